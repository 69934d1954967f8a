"""What a document excludes, asks and settles is gone through like its promises: one look a family."""

import io
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from firstcap.app.confirm.core import Session
from firstcap.app.confirm.terminal import Terminal
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import Condition, Duty, Exclusion, Reading
from firstcap.schema.vocabulary import ConditionKind, DecisionAction, DutyKind, ExclusionKind, TermState
from firstcap.store.catalogue import Catalogue

Sit = Callable[..., str]


def place(field: str, quote: str) -> tuple[Evidence, ...]:
    box = Box(page=2, x0=72, top=300, x1=400, bottom=312)
    return (Evidence(field=field, boxes=(box,), quote=quote, pattern="test", confidence=0.9),)


def excluded(kind: ExclusionKind, quote: str) -> Exclusion:
    return Exclusion(kind=kind, quote=quote, evidence=place("kind", quote))


EXCLUSIONS = (
    excluded(ExclusionKind.FREEZING, "damage by frost"),
    excluded(ExclusionKind.MISUSE, "abuse or neglect"),
    excluded(ExclusionKind.WATER_QUALITY, "aggressive water"),
)
DUTIES = (Duty(kind=DutyKind.WRITTEN_NOTICE, days=30, quote="in writing within thirty days of discovery"),)
CONDITIONS = (
    Condition(kind=ConditionKind.OTHER, quote="Clause A"),
    Condition(kind=ConditionKind.OTHER, quote="Clause B"),
)


@pytest.fixture(scope="module")
def paper(stack: tuple[Reading, ...]) -> Reading:
    """One promise, three exclusions, one duty, two other conditions."""
    changes = {"exclusions": EXCLUSIONS, "duties": DUTIES, "conditions": CONDITIONS, "warnings": ()}
    return stack[1].model_copy(update=changes)


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory, paper: Reading) -> Path:
    made = Catalogue(tmp_path_factory.mktemp("read") / "firstcap.duckdb")
    made.record(paper)
    return made.path


@pytest.fixture
def catalogue(tmp_path: Path, read: Path) -> Catalogue:
    """A copy of the catalogue with that paper that a test may write to."""
    return Catalogue(Path(shutil.copy(read, tmp_path / "firstcap.duckdb")))


@pytest.fixture
def sit(catalogue: Catalogue) -> Sit:
    """One sitting at the terminal: lines typed, what was printed, on one line."""

    def run(*lines: str, reviewer: str = "R. Alder", again: bool = False) -> str:
        out = io.StringIO()
        session = Session(catalogue, reviewer=reviewer, again=again)
        Terminal(session, io.StringIO("".join(f"{line}\n" for line in lines)), out).run()
        return " ".join(out.getvalue().split())

    return run


def kinds(catalogue: Catalogue, view: str) -> list[object]:
    return [row["kind"] for row in catalogue.rows(f"SELECT kind FROM {view} ORDER BY kind")]


def test_clauses_follow_the_promises_with_their_page_and_words(sit: Sit) -> None:
    said = sit("y", "y", "q")
    assert said.index("until 1,500,000 gal") < said.index("Its exclusions") < said.index("Not covered: freezing")
    assert "p. 2 “damage by frost”" in said
    assert "2 of 5 decided; 3 left" in said


def test_a_family_is_confirmed_in_one_look_and_each_of_its_clauses_is_logged(sit: Sit, catalogue: Catalogue) -> None:
    said = sit(*"yyyyy", "q")
    assert "All 5 items are decided" in said
    fields = [decision.field for decision in catalogue.decisions() if decision.field]
    assert fields == [
        *("exclusion.freezing", "exclusion.misuse", "exclusion.water_quality"),
        *("duty.written_notice", "condition.other.1", "condition.other.2"),
    ]
    assert {decision.action for decision in catalogue.decisions()} == {DecisionAction.CONFIRM}


def test_confirming_a_family_is_one_act_to_undo(sit: Sit, catalogue: Catalogue) -> None:
    said = sit(*"yyy", "u", "q")
    assert said.count("Its exclusions") == 2
    taken = [decision.field for decision in catalogue.decisions() if decision.action is DecisionAction.REOPEN]
    assert sorted(taken) == ["exclusion.freezing", "exclusion.misuse", "exclusion.water_quality"]


def test_the_days_of_a_notice_are_corrected_as_typed(sit: Sit, catalogue: Catalogue) -> None:
    said = sit(*"yyy", "f 1 days sixty (60) days", "y", "y", "q")
    assert "notice in writing, within 60 days of discovery" in said
    assert catalogue.rows("SELECT days FROM duties") == [{"days": 60}]


@pytest.mark.parametrize(
    "typed",
    [
        "f 1 days soon",
        "f 1 days -3",
        "f 1 days 0",
        "f 1 days two months",
        "f 9 days 30",
        "f 1 colour red",
        "f 1 kind rust",
    ],
)
def test_what_is_no_clause_and_no_value_of_one_changes_nothing(sit: Sit, catalogue: Catalogue, typed: str) -> None:
    assert "Not saved" in sit(*"yyy", typed, "q")
    assert catalogue.rows("SELECT kind, days FROM duties") == [{"kind": "written_notice", "days": 30}]


def test_a_clause_of_another_kind_than_read_is_moved_there(sit: Sit, catalogue: Catalogue) -> None:
    sit("y", "y", "f 2 kind improper maintenance", "y", "y", "q")
    assert kinds(catalogue, "exclusions") == ["freezing", "improper_maintenance", "water_quality"]


def test_striking_a_clause_keeps_the_reason_and_shows_it(sit: Sit, catalogue: Catalogue) -> None:
    said = sit("y", "y", "x 1 about spare parts only", "q")
    assert "(struck: about spare parts only)" in said
    assert kinds(catalogue, "exclusions") == ["misuse", "water_quality"]
    assert "a reason" in sit("x 2", "", "q")
    assert kinds(catalogue, "exclusions") == ["misuse", "water_quality"]


def test_a_missed_exclusion_is_added_from_wherever_a_person_stands(sit: Sit, catalogue: Catalogue) -> None:
    said = sit("a exclusion", "broken seal", "if the seal is broken", "y", "q")
    assert "Not covered: tampering" in said
    assert "tampering" in kinds(catalogue, "exclusions")


def test_a_missed_promise_can_be_added_while_clauses_are_shown(sit: Sit) -> None:
    assert "A promise that was missed in saltbush.pdf" in sit("y", "y", "a promise")


def test_two_people_on_one_family_see_what_the_other_did(catalogue: Catalogue) -> None:
    here, there = Session(catalogue, reviewer="R. Alder"), Session(catalogue, reviewer="M. Fescue")
    for _ in range(2):
        here.confirm(here.next() or pytest.fail("no item"))
    for session in (here, there):
        while (item := session.next()) and item.family is None:
            session.skip(item)
    mine, theirs = here.next(), there.next()
    assert mine and theirs and mine.key == theirs.key
    there.strike_clause(theirs, theirs.lines[0], "about spare parts")
    said = io.StringIO()
    Terminal(here, io.StringIO("q\n"), said).run()
    assert "struck: about spare parts" in said.getvalue()


def test_confirming_the_facts_leaves_clauses_open_to_a_later_reading(catalogue: Catalogue, paper: Reading) -> None:
    session = Session(catalogue, reviewer="R. Alder")
    session.confirm(session.next() or pytest.fail("no item"))
    found = excluded(ExclusionKind.TAMPERING, "if the seal is broken")
    facts = paper.facts.model_copy(update={"revision": "Z"})
    catalogue.record(paper.model_copy(update={"reader": "2", "facts": facts, "exclusions": (*EXCLUSIONS, found)}))
    assert "tampering" in kinds(catalogue, "exclusions")
    assert catalogue.documents()[0].revision == "C"


def test_a_confirmed_duty_keeps_its_days_whatever_a_later_reading_says(catalogue: Catalogue, paper: Reading) -> None:
    session = Session(catalogue, reviewer="R. Alder")
    while item := session.next():
        session.confirm(item)
    other = Duty(kind=DutyKind.WRITTEN_NOTICE, days=60, quote=DUTIES[0].quote)
    returned = Duty(kind=DutyKind.RETURN_AUTHORISATION, quote="with a return number")
    catalogue.record(paper.model_copy(update={"reader": "2", "duties": (other, returned)}))
    assert catalogue.rows("SELECT kind, days FROM duties ORDER BY kind DESC") == [
        {"kind": "written_notice", "days": 30},
        {"kind": "return_authorisation", "days": None},
    ]
    again = Session(catalogue, reviewer="R. Alder").next()
    assert again is not None and [line.clause.kind for line in again.open_lines] == [DutyKind.RETURN_AUTHORISATION]
    assert catalogue.terms()[0].state is TermState.CONFIRMED
