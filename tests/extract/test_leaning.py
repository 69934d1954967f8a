"""Limits whose promise stands elsewhere: in a question, a row's label, the sentence before, or in plainer words."""

from dataclasses import replace

import pytest
from papers import paper, run_of

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.page import Block, BlockKind, Cell, Table
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import AccuracyLevel, Component, Ends, Promise, StartEvent


def terms(sketch: str, rows: list[list[str]] | None = None) -> list[Term]:
    layout = paper(sketch)
    if rows:
        cells = tuple(
            Cell(run_of(text, top=400 + 40 * row), row, col)
            for row, line in enumerate(rows)
            for col, text in enumerate(line)
        )
        under = tuple(index for index, block in enumerate(layout.blocks) if block.kind is BlockKind.HEADING)
        words = run_of(" ".join(" ".join(line) for line in rows), top=400)
        block = Block(BlockKind.TABLE, words, 0, None, under, Table(cells, len(rows), len(rows[0]), 1))
        layout = replace(layout, blocks=(*layout.blocks, block))
    found, _ = assemble(layout, None, is_warranty=True)
    return found


def said(found: list[Term]) -> set[tuple[Component, Promise, int]]:
    return {(term.component, term.promise, int(term.duration_months or 0)) for term in found}


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("How long is the register covered against defects in materials and workmanship?", "Ten years from shipment."),
        ("What warranty do you give on the register for material and workmanship?", "For 10 years from shipment."),
        ("Q4. The register, against defective workmanship?", "A4. 120 months from shipment."),
        ("Register: guarantee period for defects in material?", "It is ten (10) years from shipment."),
        ("Is there a workmanship warranty on the register?", "Yes, 10 years from shipment."),
        ("For how many years is the register free from defects?", "10 full years from shipment."),
    ],
)
def test_a_question_names_what_its_answer_limits(question: str, answer: str) -> None:
    found = terms(f"{question}\n\n{answer}")
    assert said(found) == {(Component.REGISTER, Promise.MATERIALS_WORKMANSHIP, 120)}
    assert found[0].start_event is StartEvent.SHIPMENT


@pytest.mark.parametrize("follow_up", ["And the battery?", "What about the battery?", "Same for the battery?"])
def test_a_question_that_only_names_another_part_leans_on_the_one_before(follow_up: str) -> None:
    found = terms(
        f"""
        How long is the register warranted against defects in materials and workmanship?

        Ten years from delivery.

        {follow_up}

        Fifteen years from delivery.
        """
    )
    assert said(found) == {
        (Component.REGISTER, Promise.MATERIALS_WORKMANSHIP, 120),
        (Component.BATTERY, Promise.MATERIALS_WORKMANSHIP, 180),
    }


@pytest.mark.parametrize(
    "sentence",
    [
        "The contract term is five years.",
        "Spare parts will be kept available for 12 years after the last delivery.",
        "The manufacturer shall have made the model for at least ten years.",
        "Field studies show batteries that last for 23 years.",
        "Our offer remains open for two years from delivery of this letter.",
    ],
)
def test_times_of_trade_and_experience_promise_nothing_of_a_meter(sentence: str) -> None:
    found = terms(f"We warrant the register against defects for 10 years from shipment.\n\n{sentence}")
    assert said(found) == {(Component.REGISTER, Promise.MATERIALS_WORKMANSHIP, 120)}


@pytest.mark.parametrize(
    "sentence",
    [
        "Every maincase is good for 25 years against faulty workmanship.",
        "The maincase is covered for faulty material and faulty assembly for 25 years.",
        "The maincase carries the same assurance for twenty-five (25) years against bad workmanship.",
        "The maincase has a 25-year guarantee against workmanship defects.",
        "Should the maincase crack by faulty workmanship within 25 years, we make it good.",
        "If bad workmanship shows in the maincase within 25 years, the maincase is replaced.",
    ],
)
def test_a_promise_needs_no_word_of_law(sentence: str) -> None:
    assert said(terms(sentence)) == {(Component.MAINCASE, Promise.MATERIALS_WORKMANSHIP, 300)}


@pytest.mark.parametrize(
    "ceiling",
    [
        "though not beyond 24 months from delivery",
        "with a ceiling of 24 months from delivery",
        "but no later than 24 months from delivery",
        "at the latest 24 months from delivery",
        "subject to a maximum of 24 months from delivery",
        "and in no case longer than 24 months from delivery",
    ],
)
def test_a_ceiling_ends_the_cover_like_whichever_comes_first(ceiling: str) -> None:
    found = terms(f"The meter is warranted for 18 months from installation, {ceiling}.")
    assert len(found) == 1
    assert found[0].ends is Ends.FIRST_OF
    assert [int(limit.months or 0) for limit in found[0].limits] == [18, 24]


def test_answers_in_a_schedule_are_read_and_what_the_buyer_asks_is_not() -> None:
    found = terms(
        "# Schedule of guarantees",
        [
            ["Item", "Required", "Offered"],
            [
                "Meter body",
                "The body shall be guaranteed for at least 20 years from delivery.",
                "We guarantee the body against defects in material for 30 years from delivery.",
            ],
            [
                "Battery",
                "The battery shall be guaranteed for 12 years from delivery at least.",
                "Guaranteed against defects for 15 years from the day of delivery.",
            ],
        ],
    )
    assert said(found) == {
        (Component.MAINCASE, Promise.MATERIALS_WORKMANSHIP, 360),
        (Component.BATTERY, Promise.MATERIALS_WORKMANSHIP, 180),
    }


def test_limits_by_size_lean_on_the_accuracy_that_the_sentence_before_names() -> None:
    found = terms(
        "Meters stay within ±2 % in service. 3/4 inch: eight years from delivery or 900,000 gallons, whichever is "
        "sooner. 1 inch: six years from delivery or 1,400,000 gallons, whichever is sooner."
    )
    assert {(t.size_label, int(t.duration_months or 0), int(t.volume_cap_usgal or 0)) for t in found} == {
        ("3/4", 96, 900_000),
        ("1", 72, 1_400_000),
    }
    assert {(int(t.bands[0].lower_pct or 0), int(t.bands[0].upper_pct or 0)) for t in found} == {(98, 102)}
    assert {t.promise for t in found} == {Promise.ACCURACY}


def test_a_thing_without_a_name_in_the_catalogue_is_not_taken_for_the_meter() -> None:
    found = terms("Any dock supplied with it is warranted against defects in material for one year from delivery.")
    assert said(found) == {(Component.OTHER, Promise.MATERIALS_WORKMANSHIP, 12)}


def test_meters_and_registers_named_together_are_both_promised() -> None:
    found = terms(
        "We warrant meters and registers against defects in workmanship for the lesser of 18 months ex-works and 12 "
        "months in use."
    )
    assert said(found) == {
        (Component.WHOLE_METER, Promise.MATERIALS_WORKMANSHIP, 18),
        (Component.REGISTER, Promise.MATERIALS_WORKMANSHIP, 18),
    }
    assert all(term.ends is Ends.FIRST_OF and len(term.limits) == 2 for term in found)


@pytest.mark.parametrize(
    ("name", "meaning", "level"),
    [
        ("Initial Accuracy", "is the accuracy that AWWA C710 requires of new meters", AccuracyLevel.NEW_METER),
        ("Opening Limits", "means the limits of AWWA C710 for new meters", AccuracyLevel.NEW_METER),
        ("Sustained Accuracy", "is the accuracy that AWWA M6 asks of repaired meters", AccuracyLevel.REPAIRED_METER),
        ("Grade Two Accuracy", "means the repaired meter accuracy limits of AWWA M6", AccuracyLevel.REPAIRED_METER),
    ],
)
def test_a_name_of_the_papers_own_means_the_level_it_is_defined_by(
    name: str, meaning: str, level: AccuracyLevel
) -> None:
    found = terms(
        f'''
        "{name}" {meaning}.

        3.1 A 5/8-inch meter shall keep {name} for five (5) years from shipment or 600,000 gallons, whichever event is
        the earlier. For a 1-inch meter the corresponding figures are four (4) years and 1,150,000 gallons.
        '''
    )
    assert [(term.size_label, term.accuracy_level, term.ends) for term in found] == [
        ("5/8", level, Ends.FIRST_OF),
        ("1", level, Ends.FIRST_OF),
    ]
