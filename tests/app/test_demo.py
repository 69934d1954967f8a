"""The demo goes from an empty folder to a comparison in one go, and never silently loses a recorded act."""

import json
import shutil
from importlib.resources import files
from pathlib import Path

import pytest
from gold_reading import READER, read_gold
from pypdfium2 import PdfDocument

from firstcap.app import demo
from firstcap.schema.decisions import NewDecision
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import DecisionAction, DocumentStatus, TermState
from firstcap.store.catalogue import Catalogue

RECORD = json.loads(files(demo.STACK).joinpath("decisions.json").read_text(encoding="utf-8"))


def run(folder: Path) -> demo.DemoReport:
    return demo.run_demo(folder, read=read_gold, reader=READER, jobs=1)


@pytest.fixture(scope="module")
def done(tmp_path_factory: pytest.TempPathFactory) -> demo.DemoReport:
    """The demo run once; what a test changes it changes in its own `copied` folder."""
    return run(tmp_path_factory.mktemp("demo") / "pinyon-ridge")


@pytest.fixture
def copied(done: demo.DemoReport, tmp_path: Path) -> Path:
    return Path(shutil.copytree(done.folder, tmp_path / "stack"))


@pytest.fixture
def catalogue(done: demo.DemoReport, copied: Path) -> Catalogue:
    return Catalogue(copied / done.catalogue.name)


def test_the_bundled_stack_holds_at_least_twelve_papers(done: demo.DemoReport) -> None:
    assert len(list(done.folder.glob("*.pdf"))) >= 12
    assert len(done.documents) == len(list(done.folder.glob("*.pdf")))


def test_one_damaged_paper_is_said_and_stops_nothing(done: demo.DemoReport) -> None:
    failed = [row.file_name for row in done.documents if row.status is DocumentStatus.FAILED]
    assert failed == ["wexlow_damaged.pdf"]
    assert any("wexlow_damaged.pdf: could not be read" in line for line in done.lines())


def test_papers_that_are_no_warranty_are_named(done: demo.DemoReport) -> None:
    text = "\n".join(done.lines())
    assert "hobbleford_manual.pdf: no warranty terms found" in text
    assert "fernquist_prices.pdf: no warranty terms found" in text


def test_every_recorded_act_fits_a_perfect_reading(done: demo.DemoReport) -> None:
    assert done.unmatched == ()
    assert set(done.applied) == {"confirm", "correct", "strike", "add"}
    assert sum(done.applied.values()) == len(RECORD["acts"])


def test_what_the_reviewer_did_stands_in_the_catalogue(done: demo.DemoReport) -> None:
    states = {stored.state for stored in Catalogue(done.catalogue).terms()}
    assert states == set(TermState)
    corrected = [stored for stored in Catalogue(done.catalogue).terms() if stored.state is TermState.CORRECTED]
    assert [stored.term.duration_months for stored in corrected] == [144]
    assert [limit.months for limit in corrected[0].term.limits if limit.months is not None] == [144]


def test_the_comparison_is_written(done: demo.DemoReport) -> None:
    page = done.comparison.read_text(encoding="utf-8")
    assert "Saltgrove Meter Works" in page
    assert "not legal advice" in page


def test_the_fleet_shows_every_outcome_of_a_bench_test_and_claims_on_several_suppliers(done: demo.DemoReport) -> None:
    calls = {str(row["call"]) for row in Catalogue(done.catalogue).rows("SELECT DISTINCT call FROM bench_findings")}
    assert calls >= {"claimable", "not_claimable", "too_close", "cover_ended", "no_promise"}
    assert "legal act" in done.fleet.test_first.parent.joinpath("claims", "claims.html").read_text(encoding="utf-8")
    assert len(done.fleet.letters) >= 2
    assert all(path.exists() for path in (done.fleet.cover, done.fleet.test_first, done.fleet.claims))
    for letter in done.fleet.letters:
        pages = PdfDocument(letter)
        text = "".join(page.get_textpage().get_text_range() for page in pages)
        assert "Signature" in text and "Before it is sent" not in text, "the checklist is for one's own file"
    text = "\n".join(done.lines())
    assert all(str(path) in text for path in (done.fleet.cover, done.fleet.test_first, *done.fleet.letters))


def test_the_report_gives_exact_commands(done: demo.DemoReport) -> None:
    commands = [line.strip() for line in done.lines() if line.startswith("  firstcap ")]
    told = ["confirm", "query", "compare", "fleet", "test-first", "claims", "read"]
    assert [command.split()[1] for command in commands] == told
    assert all(str(done.catalogue) in command for command in commands)


def test_a_second_run_adds_nothing_and_keeps_what_a_person_did(copied: Path, catalogue: Catalogue) -> None:
    confirmed = next(stored for stored in catalogue.terms() if stored.state is TermState.CONFIRMED)
    catalogue.decide(
        [NewDecision(reviewer="someone else", item_id=confirmed.term_id, action=DecisionAction.STRIKE, note="no")]
    )
    before = catalogue.decisions()
    second = run(copied)
    assert catalogue.decisions() == before
    assert second.applied == {}
    assert second.unmatched == ()
    assert next(one for one in catalogue.terms() if one.term_id == confirmed.term_id).state is TermState.STRUCK


def test_an_act_whose_values_no_longer_fit_is_reported_and_not_applied(catalogue: Catalogue) -> None:
    record = {"reviewer": "another reviewer", "acts": [dict(RECORD["acts"][0])]}
    record["acts"][0]["seen"] = {"duration_months": 17}
    applied, unmatched = demo.apply_recorded(catalogue, record)
    assert applied == {}
    assert unmatched == (
        "confirm in saltgrove_disc_rev6.pdf (whole_meter, materials_workmanship): "
        "duration_months was 17 when recorded and reads 18 now",
    )


def test_an_act_on_a_term_that_is_not_there_is_reported(catalogue: Catalogue) -> None:
    acts = [
        {"document": "saltgrove_disc_rev6.pdf", "action": "confirm", "term": {"component": "software"}, "seen": {}},
        {"document": "saltgrove_disc_rev6.pdf", "action": "confirm", "term": {"promise": "accuracy"}, "seen": {}},
        {"document": "nowhere.pdf", "action": "confirm", "term": {"component": "register"}, "seen": {}},
    ]
    applied, unmatched = demo.apply_recorded(catalogue, {"reviewer": "r", "acts": acts})
    assert applied == {}
    assert [line.partition(": ")[2] for line in unmatched] == [
        "no term of the reading has this name",
        "12 terms of the reading have this name",
        "this document was not read",
    ]


def test_an_addition_that_the_reading_has_found_itself_is_confirmed_once(
    done: demo.DemoReport, catalogue: Catalogue
) -> None:
    act = next(one for one in RECORD["acts"] if one["document"] == "cobblemere_letter.pdf" and "new_term" in one)
    [letter] = [row.document_id for row in done.documents if row.file_name == "cobblemere_letter.pdf"]
    body = [one for one in catalogue.terms(letter) if one.term.component == "maincase"]
    assert [(one.state, one.term.duration_months) for one in body] == [(TermState.CONFIRMED, 240)]
    assert demo.apply_recorded(catalogue, {"reviewer": RECORD["reviewer"], "acts": [act]}) == ({}, ())


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("mine")
    with pytest.raises(UsageError, match="not empty"):
        run(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_file_is_no_folder(tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("mine")
    with pytest.raises(UsageError, match="this is a file"):
        run(file)
