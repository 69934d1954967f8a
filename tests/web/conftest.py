"""A catalogue read from invented papers, served on this machine, and the system's own Chromium to look at it."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from hostile import hostile_paper
from playwright.sync_api import Browser, sync_playwright
from sitting import Open, Served, Sitting

from firstcap.app.read import read_stack
from firstcap.app.web.guard import rules
from firstcap.app.web.office import Office
from firstcap.store.catalogue import Catalogue

STACK = Path(__file__).parents[2] / "fixtures" / "pinyon_ridge"
PAPERS = ("brackenspur_low_flow.pdf", "cobblemere_letter.pdf")
REVIEWER = "R. Alder"


@pytest.fixture(scope="session")
def papers(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with two papers, one whose text is script, and the catalogue they were read into."""
    folder = tmp_path_factory.mktemp("stack")
    for name in PAPERS:
        shutil.copy(STACK / name, folder / name)
    hostile_paper(folder / "hostile.pdf")
    files = [folder / name for name in (*PAPERS, "hostile.pdf")]
    for outcome in read_stack(files, Catalogue(folder / "firstcap.duckdb"), reader="reader for tests"):
        assert outcome.status == "read", outcome
    return folder


@pytest.fixture
def stack(papers: Path, tmp_path: Path) -> Path:
    """A copy of that folder that a test may write to."""
    return Path(shutil.copytree(papers, tmp_path / "stack"))


@pytest.fixture
def catalogue(stack: Path) -> Catalogue:
    return Catalogue(stack / "firstcap.duckdb")


@pytest.fixture
def office(catalogue: Catalogue) -> Office:
    made = Office(catalogue, REVIEWER, rules("127.0.0.1"))
    made.board.refresh()
    return made


@pytest.fixture
def served(office: Office) -> Iterator[Served]:
    with Served(office) as one:
        yield one


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """Debian's Chromium, or whatever the system has; nothing is fetched."""
    place = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
    if place is None:
        assert "FIRSTCAP_NEEDS_CHROMIUM" not in os.environ, "no Chromium: apt-get install chromium"
        pytest.skip("there is no Chromium on this machine; apt-get install chromium, and these tests run")
    with sync_playwright() as playwright:
        made = playwright.chromium.launch(executable_path=place, args=["--no-sandbox", "--disable-gpu"])
        yield made
        made.close()


@pytest.fixture
def sit(browser: Browser, served: Served) -> Iterator[Open]:
    """Open a tab of its own at a path; whatever a page complains about fails the test."""
    tabs = []
    complaints: list[str] = []

    def begin(path: str = "/confirm?order=document", *, reviewer: str | None = None, **context: object) -> Sitting:
        tab = browser.new_context(viewport={"width": 1280, "height": 900}, **context)  # type: ignore[arg-type]
        tabs.append(tab)
        tab.set_default_timeout(30_000)
        if reviewer:
            tab.add_cookies(
                [{"name": "firstcap_reviewer", "value": reviewer.replace(" ", "%20"), "url": served.address}]
            )
        page = tab.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console", lambda said: complaints.append(said.text) if "Content Security Policy" in said.text else None
        )
        sitting = Sitting(page, served.address)
        sitting.go(path)
        return sitting

    yield begin
    for tab in tabs:
        tab.close()
    assert complaints == []
