"""A second person judges the same proposals blind; where the two differ is listed, counted and settled in the log."""

import io
import shutil
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from pycm import ConfusionMatrix

from firstcap.app.confirm.core import Session
from firstcap.app.confirm.second import TERM_FIELDS, WHOLE, Take, agreement, differences, settle
from firstcap.app.confirm.settling import Settling, name_of
from firstcap.app.confirm.terminal import Terminal
from firstcap.schema.terms import Duty, Exclusion, Reading
from firstcap.schema.vocabulary import DutyKind, ExclusionKind, TermState
from firstcap.store.catalogue import Catalogue
from firstcap.store.contents import FACT_FIELDS
from firstcap.store.second import SecondLook, pairs

FIRST, SECOND, THIRD = "R. Alder", "M. Fescue", "J. Sedge"
Sit = Callable[..., str]


@pytest.fixture(scope="module")
def gone_through(ready_made: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The ready-made catalogue after one person has confirmed all five as they stand."""
    made = Path(shutil.copy(ready_made, tmp_path_factory.mktemp("through") / "firstcap.duckdb"))
    sat(Session(Catalogue(made), reviewer=FIRST), *"yyyyy", "q")
    return made


@pytest.fixture
def all_confirmed(catalogue: Catalogue, gone_through: Path) -> None:
    shutil.copy(gone_through, catalogue.path)


@pytest.fixture
def first(catalogue: Catalogue) -> Sit:
    return lambda *lines: sat(Session(catalogue, reviewer=FIRST), *lines)


@pytest.fixture
def second(catalogue: Catalogue) -> Sit:
    return lambda *lines: sat(Session(SecondLook(catalogue, SECOND), reviewer=SECOND), *lines)


def sat(session: Session, *lines: str) -> str:
    """One sitting at the terminal: what was printed, on one line."""
    out = io.StringIO()
    Terminal(session, io.StringIO("".join(f"{line}\n" for line in lines)), out).run()
    return " ".join(out.getvalue().split())


def settled(catalogue: Catalogue, *lines: str) -> str:
    out = io.StringIO()
    names = {row.document_id: row.file_name for row in catalogue.documents()}
    source = io.StringIO("".join(f"{line}\n" for line in lines))
    Settling(catalogue, lambda: differences(pairs(catalogue)), names, source, out, reviewer=THIRD).run()
    return " ".join(out.getvalue().split())


def left(catalogue: Catalogue) -> list[tuple[str, str | None, str | None]]:
    return [(one.field, one.first, one.second) for one in differences(pairs(catalogue))]


def test_a_second_look_shows_the_proposals_and_nothing_of_the_first(first: Sit, second: Sit) -> None:
    first("f rev D", "y", "y", "f cap 2.2 MG", "y", "y", "x an example only", "q")
    said = second("y", "y", "y", "q")
    assert "rev. C" in said and "640,000 gal" in said and "960,000 gal" in said
    assert not [word for word in ("2.2 MG", "Already", "struck", FIRST) if word in said]


def test_a_second_look_changes_nothing_in_the_catalogue(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f cap 2.2 MG", "y", "y", "x an example only", "q")
    assert {stored.state for stored in catalogue.terms()} == {TermState.PROPOSED}
    assert catalogue.decisions() == []
    notes = [row["note"] for row in catalogue.rows("SELECT note FROM decisions ORDER BY decided_at")]
    assert notes and all(str(note).startswith("second look") for note in notes)


def test_a_second_look_is_resumed_and_undone_like_the_first(second: Sit) -> None:
    second("y", "y", "q")
    said = second("u", "y", "q")
    assert "Taken back: the confirmation" in said and "2 of 5 decided" in said


def test_nobody_takes_the_second_look_at_what_they_decided_first(first: Sit, catalogue: Catalogue) -> None:
    first("y", "q")
    assert [row.file_name for row in SecondLook(catalogue, FIRST).documents()] == ["saltbush.pdf"]
    assert len(SecondLook(catalogue, SECOND).documents()) == 2


@pytest.mark.usefixtures("all_confirmed")
def test_two_people_who_agree_leave_no_difference(second: Sit, catalogue: Catalogue) -> None:
    second(*"yyyyy", "q")
    assert left(catalogue) == []
    assert all(one.agreed == one.items for one in agreement(pairs(catalogue)))


def test_only_what_both_have_decided_is_compared(first: Sit, second: Sit, catalogue: Catalogue) -> None:
    first("y", "y", "q")
    second("n", "n", "x not a promise", "q")
    assert pairs(catalogue) == []


@pytest.mark.usefixtures("all_confirmed")
def test_a_value_corrected_by_one_is_a_difference_and_its_limits_are_not_told_again(
    second: Sit, catalogue: Catalogue
) -> None:
    second("y", "f cap 700,000 gal", "y", "y", "y", "y", "y", "q")
    assert left(catalogue) == [("volume_cap_usgal", "640000", "700000")]


@pytest.mark.usefixtures("all_confirmed")
def test_a_free_period_that_is_the_whole_period_is_no_difference_of_its_own(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f time 6 years", "y", "y", "y", "y", "y", "q")
    assert left(catalogue) == [("duration_months", "60", "72")]
    settled(catalogue, "2", "q")
    term = catalogue.terms()[0].term
    assert (term.duration_months, term.full_months, left(catalogue)) == (72, 72, [])


def test_every_compared_field_has_a_name_of_its_own() -> None:
    fields = [WHOLE, *TERM_FIELDS, *FACT_FIELDS]
    assert len({name_of(field) for field in fields}) == len(fields)


@pytest.mark.usefixtures("all_confirmed")
def test_settling_for_the_second_is_a_signed_correction(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f cap 700,000 gal", "y", "y", "y", "y", "y", "q")
    said = settled(catalogue, "2 the page says so", "q")
    assert f"1 {FIRST}: 640,000 gal" in said and f"2 {SECOND}: 700,000 gal" in said and "0 differences left" in said
    stored = catalogue.terms()[0]
    assert (stored.state, stored.term.volume_cap_usgal) == (TermState.CORRECTED, Decimal(700000))
    last = catalogue.decisions()[-1]
    assert (last.reviewer, last.note) == (THIRD, f"settled: as {SECOND} decided; the page says so")


@pytest.mark.usefixtures("all_confirmed")
def test_settling_for_the_first_keeps_the_value_and_is_logged_too(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f cap 700,000 gal", "y", "y", "y", "y", "y", "q")
    settled(catalogue, "1", "q")
    assert left(catalogue) == []
    assert catalogue.terms()[0].term.volume_cap_usgal == Decimal(640000)
    assert catalogue.decisions()[-1].reviewer == THIRD


@pytest.mark.usefixtures("all_confirmed")
def test_agreement_is_counted_on_what_was_decided_before_settling(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f cap 700,000 gal", "y", "y", "y", "y", "y", "q")
    before = agreement(pairs(catalogue))
    settled(catalogue, "2", "q")
    assert agreement(pairs(catalogue)) == before


@pytest.mark.usefixtures("all_confirmed")
def test_settling_taken_back_opens_the_difference_again(second: Sit, catalogue: Catalogue) -> None:
    second("y", "f cap 700,000 gal", "y", "y", "y", "y", "y", "q")
    settled(catalogue, "2", "q")
    catalogue.undo(THIRD)
    assert left(catalogue) == [("volume_cap_usgal", "640000", "700000")]


@pytest.mark.parametrize(("take", "state"), [(Take.FIRST, TermState.STRUCK), (Take.SECOND, TermState.CORRECTED)])
def test_a_promise_that_only_one_lets_stand_is_settled_either_way(
    first: Sit, second: Sit, catalogue: Catalogue, take: Take, state: TermState
) -> None:
    first("y", "x a test flow", "y", "y", "y", "q")
    second("y", "f time 6 years", "y", "y", "y", "y", "y", "q")
    assert left(catalogue) == [(WHOLE, None, "true")]
    settle(catalogue, differences(pairs(catalogue))[0], take, reviewer=THIRD)
    assert left(catalogue) == []
    assert catalogue.terms()[0].state is state


@pytest.mark.usefixtures("all_confirmed")
@pytest.mark.parametrize(("take", "count"), [(Take.FIRST, 0), (Take.SECOND, 1)])
def test_a_promise_that_only_the_second_found_is_settled_either_way(
    second: Sit, catalogue: Catalogue, take: Take, count: int
) -> None:
    added = ("1", "", "", "register", "", "function", "ten (10) years", "", "", "", "", "repair", "p. 2", "y")
    second("y", "a", *added, "y", "y", "y", "y", "q")
    assert left(catalogue) == [(WHOLE, None, "true")]
    settle(catalogue, differences(pairs(catalogue))[0], take, reviewer=THIRD)
    assert left(catalogue) == []
    standing = [stored for stored in catalogue.terms() if stored.state is not TermState.STRUCK]
    assert len(standing) == 3 + count


def test_facts_and_clauses_are_compared_by_kind(stack: tuple[Reading, ...], tmp_path: Path) -> None:
    made = Catalogue(tmp_path / "firstcap.duckdb")
    frost = Exclusion(kind=ExclusionKind.FREEZING, quote="frost")
    abuse = Exclusion(kind=ExclusionKind.MISUSE, quote="abuse")
    notice = Duty(kind=DutyKind.WRITTEN_NOTICE, days=30, quote="within thirty days")
    clauses = {"exclusions": (frost, abuse), "duties": (notice,), "warnings": ()}
    made.record(stack[1].model_copy(update=clauses))
    sat(Session(made, reviewer=FIRST), *"yyyy", "q")
    other = Session(SecondLook(made, SECOND), reviewer=SECOND)
    sat(other, "f rev D", "y", "y", "y", "x 2 of another product", "y", "f 1 days 60", "y", "y", "q")
    assert left(made) == [
        ("revision", '"C"', '"D"'),
        ("exclusion.misuse", "null", None),
        ("duty.written_notice", "30", "60"),
    ]
    settled(made, "2", "2", "2", "q")
    assert left(made) == []
    assert made.documents()[0].revision == "D"
    assert made.rows("SELECT kind FROM exclusions") == [{"kind": "freezing"}]
    assert made.rows("SELECT days FROM duties") == [{"days": 60}]


@pytest.mark.usefixtures("all_confirmed")
def test_kappa_is_that_of_the_statistics_library_and_undefined_where_only_one_value_was_given(
    second: Sit, catalogue: Catalogue
) -> None:
    second("y", "f time 10 years", "y", "y", "y", "y", "y", "q")
    by_field = {one.field: one for one in agreement(pairs(catalogue))}
    months = by_field["duration_months"]
    assert (months.items, months.agreed) == (3, 2)
    assert months.kappa == pytest.approx(ConfusionMatrix([60, 60, 120], [120, 60, 120]).Kappa)
    # By hand, Cohen (1960): observed 2/3; by chance 2/3 * 1/3 + 1/3 * 2/3 = 4/9; so (2/3 - 4/9) / (1 - 4/9) = 0.4.
    assert months.kappa == pytest.approx(0.4)
    assert by_field["component"].kappa is None
