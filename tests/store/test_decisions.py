"""What people decide: logged for good, never overwritten by a second person, and taken back only by a further act."""

import json
import shutil
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from pinyon_readings import accuracy_term, failed, reading, register_term, sha

from firstcap.schema.decisions import NewDecision
from firstcap.schema.errors import CatalogueError, ConflictError, ValueRefusedError
from firstcap.schema.vocabulary import Component, TermState
from firstcap.store import catalogue as catalogue_module
from firstcap.store.catalogue import Catalogue, StoredTerm

DOCUMENT = sha("juniper.pdf")
TERM = reading().term_ids()[0]


@pytest.fixture(scope="module")
def untouched(filled_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """For acts that are all refused."""
    return Catalogue(Path(shutil.copy(filled_file, tmp_path_factory.mktemp("untouched") / "catalogue.duckdb")))


def act(item: str, action: str, field: str | None = None, value: str | None = None, **more: object) -> NewDecision:
    given = {"reviewer": "Ana", "item_id": item, "action": action, "field": field, "new_value": value}
    return NewDecision.model_validate(given | more)


def first(catalogue: Catalogue) -> StoredTerm:
    return catalogue.terms()[0]


# --- the four acts ---


def test_confirming_a_term_says_who_and_when(filled: Catalogue) -> None:
    before = datetime.now(UTC)
    [decision] = filled.decide([act(first(filled).term_id, "confirm", note="checked on the page")])
    term = first(filled)
    assert term.state is TermState.CONFIRMED and term.term == accuracy_term()
    assert term.decided_by == "Ana" and term.decided_at == decision.decided_at >= before
    assert filled.decisions() == [decision] == filled.decisions(term.term_id)
    assert filled.decisions("t0") == []
    assert (decision.field, decision.old_value, decision.new_value) == (None, None, None)


def test_a_document_is_confirmed_when_every_term_of_it_is_decided(filled: Catalogue) -> None:
    one, two = (term.term_id for term in filled.terms())
    filled.decide([act(one, "confirm")])
    assert (filled.documents()[0].status, filled.documents()[0].to_confirm) == ("to_confirm", 1)
    filled.decide([act(two, "strike", note="it is the price list's line")])
    [row] = filled.documents()
    assert (row.status, row.terms, row.to_confirm) == ("confirmed", 1, 0)


def test_a_correction_keeps_old_and_new_value_and_moves_what_hangs_on_it(filled: Catalogue) -> None:
    [decision] = filled.decide([act(first(filled).term_id, "correct", "duration_months", "72.0")])
    assert (decision.old_value, decision.new_value) == ("60", "72")
    stored = first(filled)
    assert stored.state is TermState.CORRECTED
    assert (stored.term.duration_months, stored.term.full_months, stored.term.limits[0].months) == (72, 72, 72)
    assert stored.proposal == accuracy_term()
    [row] = filled.rows("SELECT duration_months, months FROM terms JOIN limits USING (term_id) WHERE kind = 'volume'")
    assert row == {"duration_months": 72.0, "months": None}


def test_striking_needs_a_reason_and_keeps_the_row(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    with pytest.raises(ValueRefusedError, match="reason"):
        filled.decide([act(term_id, "strike")])
    filled.decide([act(term_id, "strike", note="former terms, printed as withdrawn")])
    assert first(filled).state is TermState.STRUCK
    assert filled.rows("SELECT state FROM terms WHERE term_id = ?", [term_id]) == [{"state": "struck"}]
    with pytest.raises(ValueRefusedError, match="reopen it"):
        filled.decide([act(term_id, "correct", "duration_months", "72")])


def test_adding_a_term_needs_no_id_and_two_equal_ones_are_two(filled: Catalogue) -> None:
    missed = register_term(120, component=Component.BATTERY, evidence=(), confidence=0.0)
    added = filled.decide([act(DOCUMENT, "add", value=missed.model_dump_json())] * 2)
    stored = {term.term_id: term for term in filled.terms()}
    assert len({decision.item_id for decision in added}) == 2 and len(stored) == 4
    for decision in added:
        assert stored[decision.item_id].term == missed
        assert stored[decision.item_id].state is TermState.ADDED and stored[decision.item_id].proposal is None
    filled.decide([act(added[0].item_id, "correct", "duration_months", "180"), act(added[0].item_id, "confirm")])
    assert {term.term_id: term for term in filled.terms()}[added[0].item_id].state is TermState.ADDED


def test_a_term_may_be_added_under_an_id_of_ones_own(filled: Catalogue) -> None:
    value = register_term().model_dump_json()
    filled.decide([act("t-by-hand", "add", value=value, document_id=DOCUMENT)])
    assert [term.document_id for term in filled.terms() if term.term_id == "t-by-hand"] == [DOCUMENT]
    with pytest.raises(ValueRefusedError, match="already"):
        filled.decide([act("t-by-hand", "add", value=value, document_id=DOCUMENT)])


def test_a_corrected_term_stays_corrected_when_confirmed(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "correct", "volume_cap_usgal", "750000"), act(term_id, "confirm")])
    assert first(filled).state is TermState.CORRECTED and first(filled).term.volume_cap_usgal == 750_000


def test_confirming_one_field_decides_that_field_only(filled: Catalogue) -> None:
    [decision] = filled.decide([act(first(filled).term_id, "confirm", "duration_months")])
    assert (decision.old_value, decision.new_value) == ("60", "60")
    assert first(filled).state is TermState.PROPOSED and first(filled).decided_by == "Ana"


# --- documents ---


def test_facts_of_a_document_are_corrected_with_their_type(filled: Catalogue) -> None:
    filled.decide(
        [
            act(DOCUMENT, "correct", "effective_from", '"2022-07-01"'),
            act(DOCUMENT, "correct", "supplier", '"Juniper Flow Works, Inc."'),
            act(DOCUMENT, "correct", "region", '"State of New Mexico"'),
            act(DOCUMENT, "correct", "document_code", "null"),
        ]
    )
    [row] = filled.documents()
    assert str(row.effective_from) == "2022-07-01" and row.region == "State of New Mexico"
    assert row.document_code is None and first(filled).supplier == "Juniper Flow Works, Inc."


def test_clauses_are_added_corrected_and_struck_by_kind(filled: Catalogue) -> None:
    filled.decide(
        [
            act(DOCUMENT, "add", "exclusion.tampering", '{"quote": "if the seal is broken"}'),
            act(DOCUMENT, "correct", "duty.written_notice", '{"quote": "within ten days", "days": 10}'),
            act(DOCUMENT, "strike", "condition.governing_law", note="belongs to the order form"),
        ]
    )
    kinds = [row["kind"] for row in filled.rows("SELECT kind FROM exclusions ORDER BY kind")]
    assert kinds == ["freezing", "misuse", "tampering"]
    assert filled.rows("SELECT days, quote FROM duties") == [{"days": 10, "quote": "within ten days"}]
    assert filled.rows("SELECT * FROM conditions") == []
    assert filled.undo("Ana") is not None
    assert filled.rows("SELECT kind FROM conditions") == [{"kind": "governing_law"}]


def test_one_of_several_clauses_of_a_kind_is_named_by_its_number(filled: Catalogue) -> None:
    filled.decide([act(DOCUMENT, "add", "condition.other", json.dumps({"quote": quote})) for quote in ("A", "B", "C")])
    filled.decide([act(DOCUMENT, "strike", "condition.other.2", note="no clause")])
    filled.decide([act(DOCUMENT, "correct", "condition.other.2", '{"quote": "C, whole"}')])
    quotes = [row["quote"] for row in filled.rows("SELECT quote FROM conditions WHERE kind = 'other' ORDER BY quote")]
    assert quotes == ["A", "C, whole"]


# --- taking back ---


def test_undo_walks_back_through_one_reviewers_acts_and_each_step_is_an_act(filled: Catalogue) -> None:
    one, two = (term.term_id for term in filled.terms())
    filled.decide([act(one, "correct", "duration_months", "72")])
    filled.decide([act(two, "confirm")])
    filled.decide([act(two, "confirm", reviewer="Ben")])
    undone = filled.undo("Ana")
    assert undone is not None and (undone.item_id, undone.action, undone.note) == (two, "reopen", "undo: confirm")
    assert filled.terms()[1].state is TermState.CONFIRMED and filled.terms()[1].decided_by == "Ben"
    undone = filled.undo("Ana")
    assert undone is not None and (undone.item_id, undone.old_value, undone.new_value) == (one, "72", "60")
    assert first(filled).state is TermState.PROPOSED and first(filled).term == accuracy_term()
    assert filled.undo("Ana") is None
    assert [decision.action for decision in filled.decisions()] == ["correct", "confirm", "confirm", "reopen", "reopen"]


def test_undo_leaves_what_somebody_else_did_to_the_same_term(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "correct", "duration_months", "72")])
    filled.decide([act(term_id, "correct", "remedy", '"replace"', reviewer="Ben")])
    filled.undo("Ana")
    stored = first(filled)
    assert (stored.term.duration_months, stored.term.remedy, stored.state) == (60, "replace", TermState.CORRECTED)


def test_undo_says_so_when_a_later_act_rests_on_the_one_to_take_back(filled: Catalogue) -> None:
    register = filled.terms()[1].term_id
    filled.decide([act(register, "correct", "volume_cap_usgal", "1500000")])
    filled.decide([act(register, "correct", "ends", '"last_of"', reviewer="Ben")])
    with pytest.raises(ConflictError, match="rests on this one"):
        filled.undo("Ana")
    assert filled.terms()[1].term.ends == "last_of" and len(filled.decisions()) == 2


def test_undoing_an_added_term_takes_it_out_and_adding_it_again_is_possible(filled: Catalogue) -> None:
    value = register_term(component=Component.BATTERY).model_dump_json()
    [added] = filled.decide([act(DOCUMENT, "add", value=value)])
    filled.undo("Ana")
    assert len(filled.terms()) == 2
    [again] = filled.decide([act(DOCUMENT, "add", value=value)])
    assert again.item_id == added.item_id and len(filled.terms()) == 3


def test_reopening_a_term_returns_it_to_what_the_machine_read(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "correct", "duration_months", "72"), act(term_id, "confirm", reviewer="Ben")])
    filled.decide([act(term_id, "reopen", note="page 2 says otherwise")])
    assert first(filled).state is TermState.PROPOSED and first(filled).term == accuracy_term()
    with pytest.raises(ValueRefusedError, match="nobody has decided"):
        filled.decide([act(term_id, "reopen")])


def test_reopening_a_struck_term_brings_back_the_corrections_made_before(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "correct", "duration_months", "72"), act(term_id, "strike", note="double")])
    filled.decide([act(term_id, "reopen")])
    assert first(filled).state is TermState.CORRECTED and first(filled).term.duration_months == 72


def test_reopening_one_field_leaves_the_others(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "correct", "duration_months", "72"), act(term_id, "correct", "remedy", '"repair"')])
    [decision] = filled.decide([act(term_id, "reopen", "duration_months")])
    assert (decision.old_value, decision.new_value) == ("72", "60")
    assert (first(filled).term.duration_months, first(filled).term.remedy) == (60, "repair")


def test_a_term_reopened_after_a_newer_reading_shows_the_newer_proposal(filled: Catalogue) -> None:
    one, two = (term.term_id for term in filled.terms())
    filled.decide([act(one, "confirm"), act(two, "confirm")])
    filled.record(reading("juniper.pdf", accuracy_term(months=72), reader="2"))
    filled.decide([act(one, "reopen"), act(two, "reopen")])
    [stored] = filled.terms()  # the register's term is no longer proposed, and no longer decided
    assert stored.term_id == one and stored.term.duration_months == 72


# --- two people ---


def test_an_act_over_an_outdated_version_is_refused_and_says_who_was_first(filled: Catalogue) -> None:
    seen_by_both = first(filled)
    filled.decide(
        [act(seen_by_both.term_id, "correct", "duration_months", "72", expected_version=seen_by_both.version)]
    )
    late = act(
        seen_by_both.term_id, "correct", "duration_months", "84", reviewer="Ben", expected_version=seen_by_both.version
    )
    with pytest.raises(ConflictError, match=r"Ana has decided about it meanwhile \(correct duration_months\)"):
        filled.decide([late])
    assert first(filled).term.duration_months == 72 and len(filled.decisions()) == 1
    filled.decide([late.model_copy(update={"expected_version": first(filled).version})])
    assert first(filled).term.duration_months == 84


def test_one_batch_over_one_version_may_correct_several_fields(filled: Catalogue) -> None:
    stored = first(filled)
    filled.decide(
        [
            act(stored.term_id, "correct", field, value, expected_version=stored.version)
            for field, value in (("duration_months", "72"), ("volume_cap_usgal", "750000"), ("remedy", '"repair"'))
        ]
    )
    term = first(filled).term
    assert (term.duration_months, term.volume_cap_usgal, term.remedy) == (72, 750_000, "repair")
    assert first(filled).version > stored.version


@pytest.mark.parametrize(
    ("item", "field", "value", "outdated", "now"),
    [
        ("term", "duration_months", "72", "48", "60"),
        ("term", "start_event", '"delivery"', '"manufacture"', '"shipment"'),
        ("document", "revision", '"D"', '"B"', '"C"'),
    ],
)
def test_an_act_over_an_outdated_value_is_refused(
    filled: Catalogue, item: str, field: str, value: str, outdated: str, now: str
) -> None:
    item_id = DOCUMENT if item == "document" else first(filled).term_id
    with pytest.raises(ConflictError, match=now):
        filled.decide([act(item_id, "correct", field, value, old_value=outdated)])
    filled.decide([act(item_id, "correct", field, value, old_value=now)])


def test_a_newer_reading_counts_as_a_change(filled: Catalogue) -> None:
    stored = first(filled)
    filled.record(reading("juniper.pdf", accuracy_term(months=72), reader="2"))
    with pytest.raises(ConflictError, match="read again"):
        filled.decide([act(stored.term_id, "confirm", expected_version=stored.version)])


def test_a_document_has_a_version_too(filled: Catalogue) -> None:
    version = filled.documents()[0].version
    filled.decide([act(DOCUMENT, "correct", "revision", '"D"', expected_version=version)])
    with pytest.raises(ConflictError):
        filled.decide([act(DOCUMENT, "correct", "revision", '"E"', expected_version=version)])


# --- what is refused ---


@pytest.mark.parametrize(
    ("order", "advice"),
    [
        (("nowhere", "confirm", None, None), "no term or document"),
        (("TERM", "correct", None, "72"), "which field"),
        (("TERM", "correct", "duration_months", None), "JSON text"),
        (("TERM", "correct", "duration_months", "15 years"), "not JSON text"),
        (("TERM", "correct", "duration_months", '"15 yrs"'), "number of months"),
        (("TERM", "correct", "duration_months", "NaN"), "NaN"),
        (("TERM", "correct", "duration_months", "1e400"), "beyond any meter"),
        (("TERM", "correct", "duration_months", "true"), "number of months"),
        (("TERM", "correct", "start_event", '"sunrise"'), "'shipment'"),
        (("TERM", "correct", "price", "3"), "no field 'price'"),
        (("TERM", "correct", "confidence", "1"), "no field 'confidence'"),
        (("TERM", "correct", "component", "null"), "component"),
        (("TERM", "confirm", "evidence", None), "no field 'evidence'"),
        (("TERM", "add", "duration_months", "3"), "only a whole term"),
        (("TERM", "strike", "duration_months", None), "as a whole"),
        (("DOCUMENT", "strike", None, None), "no act strike"),
        (("DOCUMENT", "correct", "pages", "3"), "no field 'pages'"),
        (("DOCUMENT", "strike", "title", None), "correct it to null"),
        (("DOCUMENT", "correct", "effective_from", '"March 2021"'), "YYYY-MM-DD"),
        (("DOCUMENT", "strike", "exclusion.accident", None), "add it"),
        (("DOCUMENT", "strike", "exclusion.rust", None), "freezing"),
        (("DOCUMENT", "strike", "condition.other.0", None), "counts from 1"),
        (("DOCUMENT", "add", "exclusion.freezing", '{"quote": "ice"}'), "already"),
        (("DOCUMENT", "add", "exclusion.accident", '"collision"'), '"quote"'),
        (("DOCUMENT", "add", "exclusion.accident", '{"kind": "misuse", "quote": "x"}'), "another kind"),
        (("DOCUMENT", "add", "duty.written_notice.2", '{"quote": "x", "weeks": 2}'), "weeks"),
        (("DOCUMENT", "add", None, "{}"), "component"),
        (("DOCUMENT", "add", None, '{"component": "register"'), "not JSON text"),
        (("nowhere", "add", None, "TERM_JSON"), "no readable document"),
    ],
)
def test_an_act_that_makes_no_sense_is_refused_with_advice_and_nothing_is_written(
    untouched: Catalogue, order: tuple[str, str, str | None, str | None], advice: str
) -> None:
    item, action, field, value = order
    item = {"TERM": TERM, "DOCUMENT": DOCUMENT}.get(item, item)
    value = register_term().model_dump_json() if value == "TERM_JSON" else value
    good = act(TERM, "confirm")
    with pytest.raises(ValueRefusedError) as refused:
        untouched.decide([good, act(item, action, field, value, note="reason")])
    assert advice in str(refused.value)
    assert untouched.decisions() == []


def test_a_refused_batch_leaves_every_item_as_it_was(filled: Catalogue) -> None:
    before = (filled.terms(), filled.documents())
    with pytest.raises(ValueRefusedError):
        filled.decide([act(TERM, "confirm"), act(DOCUMENT, "correct", "revision", '"D"'), act(TERM, "add", "ends")])
    assert (filled.terms(), filled.documents(), filled.decisions()) == (*before, [])


def test_nothing_can_be_decided_about_a_document_that_could_not_be_read(filled: Catalogue) -> None:
    filled.record(failed())
    with pytest.raises(ValueRefusedError, match="ends in the middle"):
        filled.decide([act(sha("broken.pdf"), "confirm")])


def test_nobody_decides_anonymously(filled: Catalogue) -> None:
    with pytest.raises(ValueRefusedError, match="name of the person"):
        filled.decide([act(first(filled).term_id, "confirm", reviewer=" ")])


def test_deciding_makes_no_file(path: Path) -> None:
    missing = Catalogue(path)
    for decide in (lambda: missing.decide([act("t", "confirm")]), lambda: missing.undo("Ana")):
        with pytest.raises(CatalogueError, match="firstcap read"):
            decide()
    assert not missing.path.exists()
    assert missing.is_known("x", "1") is False


# --- the log ---


def test_the_log_keeps_its_order_when_the_clock_is_set_back(filled: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    term_id = first(filled).term_id
    filled.decide([act(term_id, "confirm")])

    class Yesterday(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            return datetime.now(UTC) - timedelta(days=1)

    monkeypatch.setattr(catalogue_module, "datetime", Yesterday)
    filled.decide([act(term_id, "correct", "duration_months", "72"), act(term_id, "correct", "remedy", '"repair"')])
    times = [decision.decided_at for decision in filled.decisions()]
    assert times == sorted(set(times))
    by_time = filled.rows("SELECT action, field FROM decisions ORDER BY decided_at")
    assert [row["field"] for row in by_time] == [None, "duration_months", "remedy"]


def test_rows_of_the_log_are_never_changed(filled: Catalogue) -> None:
    term_id = first(filled).term_id
    log: list[object] = []
    for order in (act(term_id, "correct", "duration_months", "72"), act(term_id, "confirm"), act(term_id, "reopen")):
        filled.decide([order])
        assert filled.decisions()[: len(log)] == log
        log = list(filled.decisions())
    filled.undo("Ana")
    assert filled.decisions()[: len(log)] == log


def test_a_decimal_is_logged_with_all_its_digits(filled: Catalogue) -> None:
    digits = "640000.123456789012345678901"
    [decision] = filled.decide([act(first(filled).term_id, "correct", "volume_cap_usgal", digits)])
    assert decision.new_value == digits
    assert first(filled).term.volume_cap_usgal == Decimal(digits)
