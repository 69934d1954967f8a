"""A person goes through what was read: every act is saved before the next item shows, and can be taken back."""

import io
from collections.abc import Callable
from decimal import Decimal

import pytest

from firstcap.app.confirm.core import Session, documents_named, holding
from firstcap.app.confirm.terminal import Terminal
from firstcap.app.understanding import Change
from firstcap.schema.errors import ConflictError, UsageError
from firstcap.schema.terms import Reading
from firstcap.schema.vocabulary import DecisionAction, DocumentStatus, Ends, TermState
from firstcap.store.catalogue import Catalogue

Sit = Callable[..., str]


@pytest.fixture
def sit(catalogue: Catalogue) -> Sit:
    """One sitting at the terminal: lines typed, what was printed."""

    def run(*lines: str, reviewer: str = "R. Alder", document: str | None = None, again: bool = False) -> str:
        out = io.StringIO()
        session = Session(catalogue, reviewer=reviewer, document=document, again=again)
        Terminal(session, io.StringIO("".join(f"{line}\n" for line in lines)), out).run()
        return out.getvalue()

    return run


def states(catalogue: Catalogue) -> list[TermState]:
    return [stored.state for stored in catalogue.terms()]


def test_the_document_comes_first_then_its_terms_one_by_one(sit: Sit) -> None:
    said = sit("y", "y", "q")
    assert said.index("The document itself") < said.index("the 5/8 in meter") < said.index("the 3/4 in meter")
    assert "5 left of 5 · quailbrush.pdf · Quailbrush Meters · W-410 rev. C" in said
    assert "2 of 5 decided; 3 left" in said


def test_a_term_shows_its_sentence_quotes_pages_warnings_and_candidates(sit: Sit) -> None:
    said = " ".join(sit("y", "q").split())
    assert "keeps new-meter accuracy for 60 months (5 years) from shipment or until 640,000 gal are registered" in said
    assert "time limit: p. 1 “five (5) years”" in said
    assert "volume limit: p. 2 “640,000 gal”" in said
    assert "! gal may be imperial (p. 2)" in said
    assert "? not taken for volume limit: 64,000 gal: it stands in another row" in said


def test_a_fact_shows_its_page_and_the_words_only_where_they_differ(sit: Sit) -> None:
    assert "supplier: Quailbrush Meters  (p. 1)" in sit("q")


def test_a_number_is_never_parted_from_its_unit(sit: Sit) -> None:
    said = sit("y", "f bands " + "; ".join(["98.5–101.5 at 1 to 20 gpm"] * 7), "n", "q")
    assert not [line for line in said.splitlines() if line.lstrip().startswith(("%", "gpm", "gal"))]


def test_the_reviewer_is_said_on_screen_and_signs_every_decision(sit: Sit, catalogue: Catalogue) -> None:
    assert "signed “M. Fescue”" in sit("y", "y", reviewer="M. Fescue")
    assert {decision.reviewer for decision in catalogue.decisions()} == {"M. Fescue"}


def test_confirming_everything_confirms_the_documents(sit: Sit, catalogue: Catalogue) -> None:
    said = sit(*"yyyyy", "q")
    assert "All 5 items are decided" in said
    assert [row.status for row in catalogue.documents()] == [
        DocumentStatus.CONFIRMED,
        DocumentStatus.CONFIRMED,
        DocumentStatus.FAILED,
    ]


def test_a_correction_is_understood_shown_and_saved_at_once(sit: Sit, catalogue: Catalogue) -> None:
    said = " ".join(sit("y", "f cap 2.2 MG", "y", "q").split())
    assert "“2.2 MG” = 2,200,000 gal" in said
    assert "until 2,200,000 gal (written “2.2 MG”) are registered" in said
    first = catalogue.terms()[0]
    assert (first.state, first.term.volume_cap_usgal) == (TermState.CORRECTED, Decimal(2200000))
    assert catalogue.decisions()[-1].note == "as written: 2.2 MG"


def test_a_corrected_term_stays_until_the_rest_of_it_is_confirmed(sit: Sit, catalogue: Catalogue) -> None:
    said = sit("y", "f time 15 yrs", "y", "f ends whichever is later", "y", "y", "q")
    assert said.count("Already corrected") == 2
    term = catalogue.terms()[0].term
    assert (term.duration_months, term.duration_text, term.ends) == (Decimal(180), "15 yrs", Ends.LAST_OF)


def test_a_correction_can_be_asked_for_step_by_step(sit: Sit, catalogue: Catalogue) -> None:
    sit("y", "f", "start", "delivery", "y", "q")
    assert catalogue.terms()[0].term.start_event == "delivery"


def test_a_correction_that_is_not_agreed_to_changes_nothing(sit: Sit, catalogue: Catalogue) -> None:
    sit("y", "f cap 2.2 MG", "n", "q")
    assert states(catalogue) == [TermState.PROPOSED] * 3


@pytest.mark.parametrize(
    "typed", ["f cap plenty", "f time 15", "f colour blue", "f ends time only", "zz", "", "yes but"]
)
def test_what_is_not_understood_changes_nothing_and_is_asked_again(sit: Sit, catalogue: Catalogue, typed: str) -> None:
    said = sit("y", typed, "y", "q")
    assert "Not saved" in said or "Nothing was changed" in said
    assert states(catalogue)[0] is TermState.CONFIRMED


def test_striking_asks_for_a_reason_and_keeps_it(sit: Sit, catalogue: Catalogue) -> None:
    said = sit("y", "x", "", "x", "it is a test flow, no promise", "q")
    assert "a reason is needed" in said
    assert states(catalogue)[0] is TermState.STRUCK
    assert catalogue.decisions()[-1].note == "it is a test flow, no promise"


def test_a_missed_term_is_added_field_by_field_with_defaults(sit: Sit, catalogue: Catalogue) -> None:
    answers = [
        "1", "", "", "register", "", "function",  # size, product, type, component, variant, promise
        "ten (10) years", "", "", "", "", "repair or replace",  # time, cap, start, free, credits, remedy
        "p. 2, register: ten (10) years", "y",
    ]  # fmt: skip
    said = " ".join(sit("y", "a", *answers, "q").split())
    assert "The register of the 1 in meter keeps working for 120 months (10 years) from shipment" in said
    added = catalogue.terms(catalogue.documents()[0].document_id)[-1]
    assert (added.state, added.term.size_label, added.term.start_event) == (TermState.ADDED, "1", "shipment")
    assert [limit.months for limit in added.term.limits] == [Decimal(120)]
    assert catalogue.decisions()[-1].note == "stands at: p. 2, register: ten (10) years"


def test_a_term_without_limits_is_given_for_life_only_when_said_so(sit: Sit, catalogue: Catalogue) -> None:
    answers = ["", "", "", "maincase", "bronze", "", "", "", "as long as the buyer owns it", "", "p. 1", "y"]
    sit("y", "a", *answers, "q")
    added = catalogue.terms(catalogue.documents()[0].document_id)[-1].term
    assert (added.ends, added.life_of, added.variant, added.limits) == (Ends.LIFE, "ownership", "bronze", ())


def test_a_skipped_term_comes_again_in_the_next_sitting(sit: Sit) -> None:
    first = sit("y", "n", "y", "q")
    assert first.count("the 5/8 in meter") == 1 and "1 of them skipped" in first
    assert "the 5/8 in meter" in sit("q")


def test_a_sitting_goes_on_where_the_last_one_stopped(sit: Sit) -> None:
    sit("y", "y")  # the input ends: the window was closed
    said = sit("q")
    assert "The document itself" not in said and "the 5/8 in meter" not in said and "the 3/4 in meter" in said


def test_undo_takes_back_the_latest_act_and_shows_the_item_again(sit: Sit, catalogue: Catalogue) -> None:
    said = sit("y", "y", "u", "q")
    assert "Taken back: the confirmation" in said
    assert states(catalogue)[0] is TermState.PROPOSED


def test_a_correction_of_value_and_words_is_one_act_to_undo(sit: Sit, catalogue: Catalogue) -> None:
    sit("y", "f cap 2.2 MG", "y", "u", "q")
    first = catalogue.terms()[0]
    assert (first.state, first.term.volume_cap_usgal, first.term.volume_cap_text) == (
        TermState.PROPOSED,
        Decimal(640000),
        "640,000 gal",
    )


def test_undo_reaches_into_an_earlier_sitting_but_not_into_another_persons(sit: Sit, catalogue: Catalogue) -> None:
    sit("y", "x not a promise", "q")
    assert "nothing of yours" in sit("u", "q", reviewer="M. Fescue")
    assert states(catalogue)[0] is TermState.STRUCK
    assert "Taken back: the strike" in sit("u", "q")
    assert states(catalogue)[0] is TermState.PROPOSED


def test_the_last_act_can_be_undone_after_nothing_is_left(sit: Sit, catalogue: Catalogue) -> None:
    said = sit(*"yyyyy", "u", "n", "q")
    assert "Nothing is left" in said and states(catalogue)[-1] is TermState.PROPOSED


def test_undo_with_nothing_done_says_so(sit: Sit) -> None:
    assert "nothing of yours to take back" in sit("u", "q")


def test_facts_of_the_document_are_corrected_and_confirmed_once(sit: Sit, catalogue: Catalogue) -> None:
    sit("f rev D", "y", "f date March 2024", "y", "f region none", "n", "y", "q")
    row = catalogue.documents()[0]
    assert (row.revision, str(row.effective_from)) == ("D", "2024-03-01")
    assert "The document itself" not in sit("q")


def test_a_date_that_reads_two_ways_is_not_saved(sit: Sit, catalogue: Catalogue) -> None:
    assert "the month may be either number" in sit("f date 05/06/2021", "q")
    assert str(catalogue.documents()[0].effective_from) == "2023-03-01"


def test_one_document_can_be_chosen(sit: Sit) -> None:
    said = sit("q", document="salt")
    assert "saltbush.pdf" in said and "quailbrush.pdf" not in said and "left of 2" in said


def test_a_document_that_is_not_there_is_wrong_usage(sit: Sit) -> None:
    with pytest.raises(UsageError, match="no document whose file name"):
        sit("q", document="nowhere")


def test_an_exact_file_name_is_that_file_alone(stack: tuple[Reading, ...], catalogue: Catalogue) -> None:
    catalogue.record(stack[0].model_copy(update={"document_id": "f" * 64, "file_name": "quailbrush.pdf.pdf"}))
    assert [row.file_name for row in documents_named(catalogue.documents(), "quailbrush.pdf")] == ["quailbrush.pdf"]


def test_decided_terms_can_be_gone_through_again(sit: Sit, catalogue: Catalogue) -> None:
    sit(*"yyyyy", "q")
    said = sit("y", "f cap 700,000 gal", "y", "y", "q", again=True)
    assert "Already confirmed" in said
    assert catalogue.terms()[0].term.volume_cap_usgal == Decimal(700000)


def test_documents_that_could_not_be_read_are_left_out(sit: Sit) -> None:
    assert "damaged.pdf" not in sit(*"yyyyy", "q")


def test_help_names_the_acts_and_the_fields(sit: Sit) -> None:
    said = sit("y", "?", "q")
    assert "strike: this is no promise of the document" in said and "cap (2.2 MG)" in said


def test_an_item_decided_elsewhere_meanwhile_is_shown_anew(catalogue: Catalogue) -> None:
    here, there = (Session(catalogue, reviewer=name, document="salt") for name in ("R. Alder", "M. Fescue"))
    for session in (here, there):
        session.skip(session.next() or pytest.fail("no item"))
    mine, theirs = here.next(), there.next()
    assert mine and theirs and mine.item_id == theirs.item_id
    there.correct(theirs, (Change("volume_cap_usgal", Decimal(1)),), "1 gal")
    with pytest.raises(ConflictError):
        here.confirm(mine)


def test_what_was_taken_back_no_longer_holds(catalogue: Catalogue, sit: Sit) -> None:
    sit("y", "y", "u", "x not a promise", "q")
    assert [act.action for act in holding(catalogue.decisions())] == [DecisionAction.CONFIRM, DecisionAction.STRIKE]
