"""Units told beside a table, marks of repetition, and items of lists that head others. All papers here are invented."""

from decimal import Decimal

import pytest
from tabled import Rows, read_tables

from firstcap.schema.terms import Term

PARTS = "# Parts\n\nThe parts below are warranted against defects in material and workmanship from delivery. "
LIMITS = "# Accuracy\n\nAccuracy as new is warranted from shipment for the years or the gallons below, whichever comes first.\n\n@"
LEVELS = (
    "# Accuracy\n\nThe accuracy that AWWA C700 asks of new meters, and the accuracy that AWWA M6 asks of repaired meters, are "
    "warranted from shipment until the years or the gallons below are reached, whichever is first.\n\n"
)


def _limits(terms: list[Term]) -> set[tuple[str, str, int, int]]:
    return {
        (
            str(t.size_label),
            str(t.accuracy_level or t.component),
            int(t.duration_months or 0),
            int(t.volume_cap_usgal or 0),
        )
        for t in terms
    }


@pytest.mark.parametrize(
    ("before", "after", "unit"),
    [
        ("The number under a part is the count of years.", "", 12),
        ("All periods in years.", "", 12),
        ("", "Figures are months of cover.", 1),
        ("The entries stand for years.", "", 12),
        ("Length of cover, in months.", "", 1),
        ("", "In years unless a note says otherwise.", 12),
    ],
)
def test_words_beside_a_table_give_its_bare_numbers_their_unit(before: str, after: str, unit: int) -> None:
    table = [["Size", "Register", "Main case"], ["5/8 inch", "10", "20"], ["1 inch", "8", "15"]]
    assert _limits(read_tables(f"{PARTS}{before}\n\n@\n\n{after}", table)) == {
        ("5/8", "register", 10 * unit, 0),
        ("5/8", "maincase", 20 * unit, 0),
        ("1", "register", 8 * unit, 0),
        ("1", "maincase", 15 * unit, 0),
    }


def test_times_and_volumes_each_take_the_unit_told_for_them() -> None:
    text = f"{PARTS}\n\n@\n\nPeriods are stated in years, volumes in thousands of U.S. gallons."
    table = [["Size", "New: period", "New: volume"], ["5/8 inch", "5", "500"], ["1 inch", "4", "900"]]
    assert _limits(read_tables(text, table)) == {("5/8", "new_meter", 60, 500_000), ("1", "new_meter", 48, 900_000)}


@pytest.mark.parametrize("head", ["Part no.", "Price", "Pages", "Weight"])
def test_numbers_of_other_columns_take_no_told_unit(head: str) -> None:
    table = [["Part", "Cover", head], ["Register", "10", "44"], ["Strainer", "1", "3"], ["Main case", "25", "60"]]
    terms = read_tables(f"{PARTS}All periods in years.\n\n@", table)
    assert sorted(int(t.duration_months or 0) for t in terms) == [12, 120, 300]


def test_a_bare_number_with_no_unit_anywhere_is_no_promise() -> None:
    assert not read_tables(f"{PARTS}\n\n@", [["Size", "Register"], ["5/8 inch", "10"], ["1 inch", "8"]])


@pytest.mark.parametrize("mark", ["ditto", "do.", "\u2033", "same", "as above", "id.", "unchanged"])
def test_a_mark_of_repetition_stands_for_the_cell_above(mark: str) -> None:
    table = [
        ["Size", "Years", "Gallons"],
        ["5/8\u2033", "6", "700,000"],
        ["3/4\u2033", mark, "900,000"],
        ["1\u2033", "5", "1,100,000"],
    ]
    assert _limits(read_tables(LIMITS, table)) == {
        ("5/8", "new_meter", 72, 700_000),
        ("3/4", "new_meter", 72, 900_000),
        ("1", "new_meter", 60, 1_100_000),
    }


@pytest.mark.parametrize(
    "table",
    [
        [["Size", "New meter", "<", "Repaired meter", "<"], ["in.", "yr", "MG", "yr", "MG"], ["5/8", "5", "0.5", "15", "1.5"]],
        [["Size", "Level", "Years", "Gallons"], ["5/8 inch", "New meter", "5", "500,000"], ["", "Repaired meter", "15", "1,500,000"]],
    ],
)  # fmt: skip
def test_a_row_of_units_or_a_blank_size_is_read_as_it_stands(table: Rows) -> None:
    table = [*table, table[-1]] if len(table[0]) == 5 else table
    assert _limits(read_tables(LIMITS.replace("Accuracy as new", "Each accuracy named"), table)) == {
        ("5/8", "new_meter", 60, 500_000),
        ("5/8", "repaired_meter", 180, 1_500_000),
    }


@pytest.mark.parametrize(
    "items",
    [
        "- 5/8 inch\n\n- New meter accuracy: 5 years, 600,000 gallons\n\n- Repaired meter accuracy: 15 years, 1,750,000 gallons\n\n"
        "- 1 inch meters:\n\n- New meter accuracy: 4 years, 850,000 gallons\n\n- Repaired meter accuracy: 12 years, 2,500,000 gallons",
        "- New meter accuracy\n\n- 5/8 inch: 5 years, 600,000 gallons\n\n- 1 inch: 4 years or 850,000 gallons\n\n"
        "- Repaired meter accuracy\n\n- 5/8 inch: 15 years, 1,750,000 gallons\n\n- 1 inch: 12 years or 2,500,000 gallons",
        "5/8 inch\n\nNew meter accuracy: 5 years, 600,000 gallons\n\nRepaired meter accuracy: 15 years, 1,750,000 gallons\n\n"
        "1 inch\n\nNew meter accuracy: 4 years, 850,000 gallons\n\nRepaired meter accuracy: 12 years, 2,500,000 gallons",
    ],
)
def test_an_item_that_only_names_something_heads_the_items_under_it(items: str) -> None:
    assert _limits(read_tables(LEVELS + items)) == {
        ("5/8", "new_meter", 60, 600_000),
        ("5/8", "repaired_meter", 180, 1_750_000),
        ("1", "new_meter", 48, 850_000),
        ("1", "repaired_meter", 144, 2_500_000),
    }


def test_the_last_head_of_a_list_ends_with_the_list() -> None:
    text = (
        f"{PARTS.strip()}\n\n- Registers\n\n- of turbine meters, 10 years\n\n- of magnetic meters, 5 years\n\n"
        "Labor is not part of any warranty given here. It stays with the customer.\n\nThe strainer is warranted for 1 year."
    )
    terms = read_tables(text)
    assert [(str(t.component), int(t.duration_months or 0)) for t in terms] == [
        ("register", 120),
        ("register", 60),
        ("strainer", 12),
    ]


@pytest.mark.parametrize(
    ("table", "header_rows"),
    [
        ([["Part", "Years", "Part", "Years"], ["Main case", "25", "Register", "15"], ["Strainer", "1", "", ""]], 1),
        ([["Item", "Cover (months)", "Item", "Cover (months)"], ["Register", "180", "Main case", "300"], ["Strainer", "12", "", ""]], 1),
        ([["Meter", "<", "Counter", "<"], ["Part", "Years", "Part", "Years"], ["Main case", "25", "Register", "15"], ["Strainer", "1", "", ""]], 2),
        ([["Part", "Main case"], ["Metal", "bronze"], ["Warranty", "25 years"], ["Part", "Register"], ["Warranty", "15 years"], ["Part", "Strainer"], ["Warranty", "1 year"]], 0),
        ([["Item:", "Register"], ["Period:", "180 months"], ["Item:", "Main case"], ["Period:", "300 months"], ["Item:", "Strainer"], ["Period:", "12 months"]], 1),
        ([["Part", "1 year", "15 years", "25 years"], ["Main case", "", "", "x"], ["Register", "", "x", ""], ["Strainer", "x", "", ""]], 1),
        ([["Part", "12 months", "180 months", "300 months"], ["Main case", "-", "-", "\u2022"], ["Register", "-", "\u2022", "-"], ["Strainer", "\u2022", "-", "-"]], 1),
    ],
)  # fmt: skip
def test_a_table_in_another_fold_says_the_same(table: Rows, header_rows: int) -> None:
    terms = read_tables(f"{PARTS}\n\n@", table, header_rows=header_rows)
    assert {str(t.component): int(t.duration_months or 0) for t in terms} == {
        "maincase": 300,
        "register": 180,
        "strainer": 12,
    }
    assert len(terms) == 3


def test_ticks_in_several_years_of_a_row_are_no_single_time() -> None:
    table = [["Part", "1 year", "15 years"], ["Register", "x", "x"], ["Strainer", "x", ""]]
    terms = read_tables(f"{PARTS}\n\n@", table)
    assert [(str(t.component), int(t.duration_months or 0)) for t in terms] == [("strainer", 12)]


@pytest.mark.parametrize(
    "items",
    [
        "- 25 years: main case, bottom plate\n\n- 15 years: register, measuring chamber\n\n- 1 year: strainer",
        "- 25 years\n\n- Main case\n\n- Bottom plate\n\n- 15 years\n\n- Register\n\n- Measuring chamber\n\n- 1 year\n\n- Strainer",
        "## Twenty-five years\n\nMain case and bottom plate.\n\n## Fifteen years\n\nRegister, measuring chamber.\n\n## One year\n\nStrainer.",
        "- Main case\n\n- 25 years\n\n- Register\n\n- 15 years\n\n- Measuring chamber\n\n- 15 years\n\n- Strainer\n\n- 1 year",
        "Main case\n\n25 years\n\nRegister\n\n15 years\n\nMeasuring chamber\n\n15 years\n\nStrainer\n\n1 year",
    ],
)
def test_a_time_and_the_parts_it_is_for_may_stand_in_either_order(items: str) -> None:
    terms = read_tables(f"{PARTS}\n\n{items}")
    assert {str(t.component): int(t.duration_months or 0) for t in terms} == {
        "maincase": 300,
        "register": 180,
        "measuring_element": 180,
        "strainer": 12,
    }


def test_parts_that_are_only_listed_head_nothing() -> None:
    text = f"{PARTS}\n\n- Registers\n\n- Main cases\n\n- Strainers\n\n- 10 years"
    assert not [
        t for t in read_tables(text) if str(t.component) in ("register", "maincase", "strainer") and t.confidence > 0.5
    ]


def test_the_flow_beside_a_level_is_that_of_its_one_limit() -> None:
    text = (
        "# Accuracy\n\nLow flow accuracy means not less than 95 percent at the extra-low rate that the line names. Each accuracy is "
        "warranted from shipment for the years or the gallons of its line, whichever comes first.\n\n- 5/8 inch\n\n"
        "- Low flow accuracy at 1/8 gpm: 3 years, 300,000 gallons\n\n- 1 inch\n\n- Low flow accuracy at 3/8 gpm: 2 years, 500,000 gallons"
    )
    found = {str(t.size_label): [(b.flow_from_usgpm, b.lower_pct) for b in t.bands] for t in read_tables(text)}
    assert found == {"5/8": [(Decimal("0.125"), 95)], "1": [(Decimal("0.375"), 95)]}
