"""What sentences promise, read out of small papers: one wording family a test, each in several hands."""

from dataclasses import replace

import pytest
from papers import paper, run_of

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.page import Block, BlockKind, Cell, Table
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import AccuracyLevel, StartEvent, StartRule


def terms(sketch: str) -> list[Term]:
    found, _ = assemble(paper(sketch), None, is_warranty=True)
    return found


def table_terms(sketch: str, rows: list[list[str]]) -> list[Term]:
    """As `terms`, with a ruled table under the last line of the paper; its first row heads the columns."""
    layout = paper(sketch)
    cells = tuple(
        Cell(run_of(text, top=400 + 12 * row), row, col)
        for row, line in enumerate(rows)
        for col, text in enumerate(line)
    )
    under = tuple(index for index, block in enumerate(layout.blocks) if block.kind is BlockKind.HEADING)
    words = run_of(" ".join(" ".join(line) for line in rows), top=400)
    block = Block(BlockKind.TABLE, words, 0, None, under, Table(cells, len(rows), len(rows[0]), 1))
    found, _ = assemble(replace(layout, blocks=(*layout.blocks, block)), None, is_warranty=True)
    return found


def standards(sketch: str, level: AccuracyLevel = AccuracyLevel.NEW_METER) -> dict[str | None, str]:
    """The standard of each promise at a level, by product and size."""
    return {
        " ".join(part for part in (term.product, term.size_label) if part) or None: term.bands[0].basis
        for term in terms(sketch)
        if term.accuracy_level is level and term.bands
    }


@pytest.mark.parametrize(
    "limits",
    [
        "New meter limits are those of AWWA C700 for Alder and those of AWWA C712 for Birch.",
        "New meter limits are those of AWWA C700 (Alder) and C712 (Birch).",
        "New meter limits are those of the AWWA standard for the type (C700 for Alder, C712 for Birch).",
        "New meter accuracy means AWWA C712 for the Birch and AWWA C700 for the Alder.",
        "New meter accuracy is, for Alder, that of AWWA C700 and, for Birch, that of AWWA C712.",
        "The new meter limits are AWWA C700 for Alder meters and AWWA C712 for Birch meters.",
    ],
)
def test_a_standard_said_for_one_product_holds_for_that_product(limits: str) -> None:
    sketch = f"""
    The Alder disc meter and the Birch single-jet meter are warranted as follows.

    {limits}

    - Alder meters meet the new meter accuracy limits for 5 years from shipment.
    - Birch meters meet the new meter accuracy limits for 6 years from shipment.
    """
    assert standards(sketch) == {"Alder": "AWWA C700", "Birch": "AWWA C712"}


@pytest.mark.parametrize(
    "limits",
    [
        "(C700 up to 2 inch, C701 above)",
        "(C700 to 2 inch, C701 over that)",
        "(C700 for 1 inch through 2 inch, C701 for 3 inch and larger)",
        "(C700 for the 2 inch and C701 for the 3 inch)",
        "(C701 for the 3 inch, C700 otherwise)",
        "(C700: 2 inch and smaller; C701: 3 inch and larger)",
    ],
)
def test_a_standard_said_for_some_sizes_holds_for_those_sizes(limits: str) -> None:
    sketch = f"""
    2 inch and 3 inch meters keep within the AWWA limits for new meters {limits} for 5 years from installation.
    """
    assert standards(sketch) == {"2": "AWWA C700", "3": "AWWA C701"}


@pytest.mark.parametrize(
    "sentence",
    [
        "A meter holds to the limits of C700 for new meters, then to those of M6 for repaired meters, for 5 years.",
        "A meter holds to the new meter limits of C700 and thereafter to the repaired meter limits of M6 for 5 years.",
        "For 5 years a meter keeps the new meter accuracy of C700 and after that the repaired meter accuracy of M6.",
    ],
)
def test_each_level_keeps_the_standard_said_beside_it(sentence: str) -> None:
    assert standards(sentence) == {None: "AWWA C700"}
    assert standards(sentence, AccuracyLevel.REPAIRED_METER) == {None: "AWWA M6"}


def test_of_two_standards_not_told_apart_none_is_claimed_for_a_product() -> None:
    sketch = """
    New meter limits are those of AWWA C700 for Alder and those of AWWA C712 for Birch.

    - Cedar meters meet the new meter accuracy limits for 5 years from shipment.
    """
    assert standards(sketch) == {}


@pytest.mark.parametrize(
    ("first", "second"),
    [("First Volume", "Second Volume"), ("Initial Volume", "Total Volume"), ("New Quota", "Later Quota")],
)
def test_a_column_under_a_defined_name_belongs_to_the_promise_that_uses_it(first: str, second: str) -> None:
    found = {
        (term.accuracy_level, term.size_label): term.volume_cap_usgal
        for term in table_terms(
            f"""
            “First Accuracy Period” means six (6) years from shipment or, if sooner, until the {first} is registered.

            “Second Accuracy Period” means fourteen years from shipment or, if sooner, until the {second} is registered.

            We warrant that during the First Accuracy Period the meter meets the accuracy requirements for new meters
            of AWWA C700 and that during the Second Accuracy Period it meets those for repaired meters of AWWA M6.

            # SCHEDULE A

            # Volumes (United States gallons)
            """,
            [
                ["Size", first, second],
                ["5/8 inch", "500,000", "1,500,000"],
                ["1 inch", "900,000", "3,000,000"],
            ],
        )
    }
    new, repaired = AccuracyLevel.NEW_METER, AccuracyLevel.REPAIRED_METER
    assert found == {
        (new, "5/8"): 500_000,
        (new, "1"): 900_000,
        (repaired, "5/8"): 1_500_000,
        (repaired, "1"): 3_000_000,
    }


@pytest.mark.parametrize(
    "said",
    [
        "These years begin on installation or six months after shipment, whichever date is earlier.",
        "They begin on installation or six months after shipment, whichever is earlier.",
        "The ten years begin on installation, but no later than six months after shipment.",
        "This period begins at the earlier of installation and six months after shipment.",
        "Its period starts on installation or six months after shipment, whichever comes first.",
        "These ten years run from the earlier of installation or six months after shipment.",
    ],
)
def test_a_start_said_in_the_next_sentence_is_the_start_of_the_promise_before_it(said: str) -> None:
    sketch = f"""
    The meter is warranted free from defects in materials and workmanship for two years from delivery.

    The register is warranted free from defects in materials and workmanship for ten years. {said}
    """
    meter, register = terms(sketch)
    assert (meter.start_event, meter.start_rule) == (StartEvent.DELIVERY, StartRule.SINGLE)
    assert (register.start_event, register.start_rule) == (StartEvent.INSTALLATION, StartRule.EARLIER_OF)
    assert register.duration_months == 120


@pytest.mark.parametrize(
    "again",
    [
        "meets the same limits, from the same date, for four years",
        "shall keep the same accuracy limits for four years counted from the same day",
        "will hold the same limits for four years, counted likewise",
        "is warranted to meet these same requirements for four years from that same date",
        "shall satisfy the said limits, starting on the same date, for four years",
        "will register within the same limits for four years from the same event",
    ],
)
def test_the_same_limits_from_the_same_date_are_those_of_the_clause_before(again: str) -> None:
    small, large = terms(
        f"""
        # Accuracy

        3.1 A 5/8 inch meter shall meet the accuracy limits of AWWA C700 for new meters for five years from the later of
        shipment and installation, or until 600,000 gallons have been registered, whichever occurs first.

        3.2 A 1 inch meter {again} or until 1,000,000 gallons have been registered, whichever occurs first.
        """
    )
    assert (small.size_label, large.size_label) == ("5/8", "1")
    assert large.accuracy_level is AccuracyLevel.NEW_METER
    assert large.bands[0].basis == "AWWA C700"
    assert (large.duration_months, large.volume_cap_usgal) == (48, 1_000_000)
    assert (large.start_event, large.start_rule) == (StartEvent.SHIPMENT, StartRule.LATER_OF)
