"""What stands near a promise and was not read: it is told with its words, and the promise is not sure."""

import pytest
from papers import paper

from firstcap.extract.assembly.assemble import assemble
from firstcap.schema.terms import ReadingWarning, Term
from firstcap.schema.vocabulary import Component, Ends, StartEvent, WarningKind

SURE = 0.9
REGISTER = "The register is warranted against defects in materials and workmanship for ten years from shipment"


def read(sketch: str) -> tuple[list[Term], list[ReadingWarning]]:
    return assemble(paper(sketch), None, is_warranty=True)


def test_a_promise_that_is_read_whole_is_sure_and_tells_nothing() -> None:
    found, warnings = read(f"{REGISTER}.")
    assert found[0].confidence >= SURE
    assert not warnings


@pytest.mark.parametrize(
    ("added", "told"),
    [
        (", or 600 thousand wine casks", "600 thousand wine casks"),
        (" and 9 winters for the lid", "9 winters"),
        (", the first 7 seasons in full", "7 seasons"),
    ],
)
def test_a_number_in_unknown_words_beside_a_promise_is_told_and_keeps_it_from_being_sure(added: str, told: str) -> None:
    found, warnings = read(f"{REGISTER}{added}.")
    assert found[0].confidence < SURE
    assert any(told in one.message and one.kind is WarningKind.OTHER and one.page == 1 for one in warnings)


@pytest.mark.parametrize(
    "harmless",
    [
        "Claims are made in writing within 30 days of discovery.",
        "We have made meters for 41 years.",
        "Our quotation stays open for 60 days.",
        "Section 4 of Form W-12 lists what is not covered.",
    ],
)
def test_times_of_claims_and_trade_beside_a_promise_are_no_unread_numbers(harmless: str) -> None:
    found, warnings = read(f"{REGISTER}. {harmless}")
    assert found[0].confidence >= SURE
    assert not warnings


def test_a_stage_in_a_section_of_its_own_belongs_to_the_part_it_names() -> None:
    found, _ = read(
        """
        # Warranty

        ## What is promised

        A battery is warranted against defects in materials and workmanship for ten years from delivery.

        ## What is done

        A battery which fails in the first five years is replaced free of charge. Where it fails later, the
        customer pays 60 % of the list price.
        """
    )
    assert [(step.from_month, step.customer_pays_pct) for step in found[0].credits] == [(0, 0), (60, 60)]
    assert found[0].full_months == 60


@pytest.mark.parametrize(
    ("limits", "promise"),
    [
        ("Ten years from installation.", "This holds for the register against defects in materials and workmanship."),
        ("Ten years from installation.", "For that time the register is free from defects in material."),
        ("Ten years from installation.", "So long do we warrant the register against defects in material."),
        ("10 Jahre ab Einbau.", "Diese Zeit gilt für das Zählwerk gegen Materialfehler; das garantieren wir."),
    ],
)
def test_limits_may_stand_before_what_they_hold_for(limits: str, promise: str) -> None:
    found, _ = read(f"{limits} {promise}")
    assert [(term.component, term.duration_months, term.start_event) for term in found] == [
        (Component.REGISTER, 120, StartEvent.INSTALLATION)
    ]


def test_an_offer_that_stays_open_is_no_limit_of_what_follows() -> None:
    found, _ = read("Our offer stays open for 60 days. This is a promise against defects in material of the register.")
    assert not found


def test_the_day_named_before_starts_the_time() -> None:
    found, _ = read(
        "The register is warranted against defects for ten years. Each register bears its month of manufacture. "
        "All years are counted from that month."
    )
    assert found[0].start_event is StartEvent.MANUFACTURE


def test_a_sentence_of_two_levels_keeps_its_size_for_both() -> None:
    found, _ = read(
        "5/8-inch meters will meet AWWA C708 new meter accuracy for five years from shipment or 550,000 gallons, "
        "whichever comes first, and AWWA M6 repaired meter accuracy for fifteen years from shipment or 1,650,000 "
        "gallons, whichever comes first."
    )
    assert [(term.size_label, int(term.volume_cap_usgal or 0), term.ends) for term in found] == [
        ("5/8", 550_000, Ends.FIRST_OF),
        ("5/8", 1_650_000, Ends.FIRST_OF),
    ]
