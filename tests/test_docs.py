"""The pages in docs/ say what the code does; README and CI run the same commands."""

import re
import runpy
from collections.abc import Callable
from pathlib import Path

import pytest

from firstcap.schema.baselines import STANDARDS
from firstcap.store.contract import VIEWS

ROOT = Path(__file__).parents[1]
PAGES: dict[str, Callable[[], str]] = runpy.run_path(str(ROOT / "docs" / "build.py"))["PAGES"]


@pytest.mark.parametrize("name", PAGES)
def test_a_reference_page_is_what_the_code_says_now(name: str) -> None:
    assert (ROOT / "docs" / name).read_text(encoding="utf-8") == PAGES[name](), "run: python docs/build.py"


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_and_column_is_documented_with_its_type(view: str) -> None:
    page = (ROOT / "docs" / "catalogue.md").read_text(encoding="utf-8")
    section = page.partition(f"\n## {view}\n")[2].partition("\n#")[0]
    for column in VIEWS[view][1]:
        assert re.search(rf"^\| `{column}` \| [A-Z ]+ \| \S", section, re.MULTILINE), f"{view}.{column}"


@pytest.mark.parametrize("standard", STANDARDS)
def test_every_standard_is_documented_with_its_certainty(standard: str) -> None:
    page = (ROOT / "docs" / "standards.md").read_text(encoding="utf-8")
    section = page.partition(f"\n## {standard}\n")[2].partition("\n## ")[0]
    assert re.search(r"\| (published|common_practice|from_memory) \|", section)


def _shell_blocks(page: str) -> list[str]:
    return [block.strip() for block in re.findall(r"```(?:sh|console)\n(.*?)```", page, re.DOTALL)]


def test_ci_runs_the_test_command_of_the_readme_exactly_as_printed() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    demo, tests, *_ = _shell_blocks(readme)
    assert demo.endswith("firstcap demo")
    assert ".venv/bin/pytest" in tests
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert [line for line in ci.splitlines() if line.strip()][-1] == tests
    assert "\n" not in tests


def test_both_commands_of_the_readme_set_themselves_up_alike() -> None:
    demo, tests, *_ = _shell_blocks((ROOT / "README.md").read_text(encoding="utf-8"))
    assert demo.rpartition(" && ")[0] == tests.rpartition(" && ")[0]


def test_every_link_of_the_pages_leads_to_a_file() -> None:
    pages = [*ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md"), ROOT / "fixtures" / "README.md"]
    assert len(pages) > 5
    for page in pages:
        text = page.read_text(encoding="utf-8")
        for target in re.findall(r"\]\(([^)#:\s]+)(?:#[^)]*)?\)", text):
            assert (page.parent / target).exists(), f"{page.name} links to {target}"


def test_the_reports_cautions_stand_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text(encoding="utf-8").lower()
    for caution in ("not legal advice", "signed document governs", "local codes", "licensed"):
        assert caution in readme
