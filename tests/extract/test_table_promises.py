"""Promises whose numbers stand in a table: the sentence says what, the rows how long. All papers here are invented."""

from decimal import Decimal

import pytest
from tabled import Rows, read_tables

from firstcap.schema.vocabulary import AccuracyLevel, FlowRole, Promise

SIZED: Rows = [["Size", "Years", "Gallons"], ["5/8 inch", "6", "800,000"], ["1 inch", "5", "1,400,000"]]
METRIC: Rows = [["DN", "Años", "Volumen (m3)"], ["DN 15", "5", "2.000"], ["DN 20", "4", "3.500"]]


@pytest.mark.parametrize(
    ("sentence", "table"),
    [
        ("Every meter will register from 98 to 102 percent from shipment until the years or the gallons have run out, whichever is sooner.", SIZED),
        ("Each meter shall perform within the limits of AWWA C700 for new meters from shipment until it has been in service for the number of years, or has attained the volume, stated for its size, whichever first occurs.", SIZED),
        ("We guarantee that a meter keeps to 98.5 to 101.5 percent, counted from shipment, for the years given or until it has counted the gallons given, and the first to be reached ends the guarantee.", SIZED),
        ("Desde la entrega, el error no excederá del ±2 % entre Q2 y Q4 durante los años del cuadro o hasta su volumen, lo que ocurra primero.", METRIC),
    ],
)  # fmt: skip
def test_a_promise_that_names_its_limits_without_numbers_takes_them_from_the_table_after_it(
    sentence: str, table: Rows
) -> None:
    terms = read_tables(f"# Accuracy\n\n{sentence}\n\n@", table)
    assert [(t.promise, t.duration_months) for t in terms] == [
        (Promise.ACCURACY, Decimal(row[1]) * 12) for row in table[1:]
    ]
    assert all(term.volume_cap_usgal for term in terms)


def test_the_limits_of_each_type_of_meter_go_to_the_rows_of_that_type() -> None:
    terms = read_tables(
        "# Accuracy\n\nAccuracy is warranted from delivery for the years or the volume set out below, whichever occurs first. "
        "Turbine meters will register from 98.5 to 101.5 percent over their normal flow range. "
        "Compound meters will register from 97 to 103 percent over their normal flow range.\n\n@",
        [["Type", "Size", "Years", "Million gallons"], ["Turbine", "2 inch", "2", "15"], ["Compound", "2 inch", "1", "11"]],
    )  # fmt: skip
    assert {(t.duration_months, t.bands[0].lower_pct) for t in terms} == {(24, Decimal("98.5")), (12, 97)}


def test_a_percentage_column_holds_at_the_flows_beside_it() -> None:
    """Two flows in a cell are the maximum and the intermediate test flow (common practice)."""
    terms = read_tables(
        "# Accuracy\n\nWe promise that a meter will register as the table says for the years given, counted from shipment, "
        "or until it has counted the gallons given, and the first to be reached ends the promise.\n\n@",
        [
            ["Size", "At flows of (gpm)", "Registers (percent)", "At low flow of (gpm)", "Registers (percent)", "Years", "Gallons"],
            ["3/4 inch", "20 and 3", "98.5 to 101.5", "1/2", "97 to 103", "7", "700,000"],
        ],
    )  # fmt: skip
    (term,) = terms
    assert {(b.flow_role, b.flow_from_usgpm, b.upper_pct) for b in term.bands} == {
        (FlowRole.MAXIMUM, Decimal(20), Decimal("101.5")),
        (FlowRole.INTERMEDIATE, Decimal(3), Decimal("101.5")),
        (FlowRole.MINIMUM, Decimal("0.5"), Decimal(103)),
    }


def test_the_part_of_a_schedule_that_a_clause_names_gives_its_limits() -> None:
    clause = (
        "Each meter shall perform within {0} limits from delivery until it has attained the volume or the years "
        "stated for its size in {1} of Schedule A, whichever first occurs."
    )
    terms = read_tables(
        f"# Accuracy\n\n{clause.format('new meter', 'Part One')}\n\n{clause.format('repaired meter', 'Part Two')}\n\n"
        "# Schedule A\n\n## Part One. New meter limits\n\n@\n\n## Part Two. Repaired meter limits\n\n@",
        [["Size", "Years", "Gallons"], ["1 inch", "5", "1,000,000"]],
        [["Size", "Years", "Gallons"], ["1 inch", "15", "3,000,000"]],
    )
    assert sorted((str(t.accuracy_level), t.duration_months) for t in terms) == [
        ("new_meter", 60),
        ("repaired_meter", 180),
    ]


@pytest.mark.parametrize(
    ("new", "repaired"), [("As New", "As Repaired"), ("When new", "Once repaired"), ("New:", "Repaired:")]
)
@pytest.mark.parametrize("counted", ["Gallons through meter", "Gallons", "Meter registration, gallons"])
def test_columns_of_years_and_of_gallons_under_one_level_are_one_promise(new: str, repaired: str, counted: str) -> None:
    head = ["Size", f"{new} Years", f"{new} {counted}", f"{repaired} Years", f"{repaired} {counted}"]
    terms = read_tables(
        "# Accuracy\n\nFrom shipment a meter stays within the accuracy limits for the years or the gallons in the table, "
        "whichever are used up first.\n\n@",
        [head, ["5/8 inch", "5", "550,000", "15", "1,650,000"], ["1 inch", "4", "900,000", "12", "3,100,000"]],
    )
    assert {(t.size_label, t.accuracy_level, t.duration_months, t.volume_cap_usgal) for t in terms} == {
        ("5/8", AccuracyLevel.NEW_METER, 60, 550_000),
        ("5/8", AccuracyLevel.REPAIRED_METER, 180, 1_650_000),
        ("1", AccuracyLevel.NEW_METER, 48, 900_000),
        ("1", AccuracyLevel.REPAIRED_METER, 144, 3_100_000),
    }
