"""Shapes of tables: whatever way a table is turned, it says the same. All papers here are invented."""

from decimal import Decimal

import pytest
from papers import run_of
from tabled import Rows, read_tables

from firstcap.extract.assembly.cell_tails import free_months
from firstcap.extract.assembly.part_names import parts_named
from firstcap.extract.assembly.unit import Reader, component_of, hits_of
from firstcap.extract.numbers import ENGLISH
from firstcap.extract.patterns.base import Family
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import AccuracyLevel, Component, FlowRole, MeterType

PARTS = "# Parts\n\nThe parts below are warranted against defects in material and workmanship from delivery.\n\n@"
LIMITS = "# Accuracy\n\nAccuracy is warranted from shipment for the years or the gallons in the table, whichever comes first.\n\n@"


def _free(terms: list[Term]) -> dict[str, tuple[int, int]]:
    return {str(t.component): (int(t.duration_months or 0), int(t.full_months or 0)) for t in terms}


@pytest.mark.parametrize(
    "table",
    [
        [["Item", "Full", "Prorated", "Total"], ["Register", "10 years", "5 years", "15 years"], ["Main case", "20 years", "none", "20 years"]],
        [["Part", "Full coverage", "Prorated coverage"], ["Register", "10 years", "5 years"], ["Main case", "20 years", "—"]],
        [["Part", "Free replacement (years)", "Reduced price (years)"], ["Register", "10", "5"], ["Main case", "20", "0"]],
        [["Component", "Full replacement", "Pro-rata credit"], ["Register", "Years 1 through 10", "Years 11 through 15"], ["Main case", "Years 1 through 20", "None"]],
        [["Part", "No charge", "Prorated until"], ["Register", "10 years", "15 years"], ["Main case", "20 years", "n/a"]],
        [["Part", "Non-prorated", "Altogether"], ["Register", "120 months", "180 months"], ["Main case", "240 months", "240 months"]],
        [["Coverage", "Register", "Main case"], ["Full", "10 years", "20 years"], ["Prorated", "5 years", "none"]],
        [["", "Register", "Main case"], ["Full (years)", "10", "20"], ["Then prorated (years)", "5", "-"], ["Total (years)", "15", "20"]],
        [["Part", "Warranty"], ["Register", "15 years, the last five prorated"], ["Main case", "20 years"]],
    ],
)  # fmt: skip
def test_a_time_printed_in_parts_is_one_time(table: Rows) -> None:
    assert _free(read_tables(PARTS, table)) == {"register": (180, 120), "maincase": (240, 240)}


def test_parts_that_do_not_add_up_are_told() -> None:
    (term,) = read_tables(
        PARTS, [["Part", "Full", "Prorated", "Total"], ["Register", "10 years", "5 years", "20 years"]]
    )
    assert term.duration_months == 240
    assert term.confidence < 0.9


def test_rows_that_end_prorated_take_the_table_of_shares_that_fills_their_time() -> None:
    terms = read_tables(
        PARTS + "\n\n# Shares\n\n@",
        [["Part", "Full", "Prorated"], ["Register", "10 years", "2 years"], ["Main case", "20 years", "none"]],
        [["Fails in", "Utility pays"], ["Year 11", "40%"], ["Year 12", "70%"]],
    )
    assert {str(t.component): [int(s.customer_pays_pct) for s in t.credits] for t in terms} == {
        "register": [0, 40, 70],
        "maincase": [],
    }


@pytest.mark.parametrize(
    ("cell", "free"),
    [
        ("20 years, the second ten prorated", 120),
        ("20 years (15 full)", 180),
        ("20 years, prorated after twelve", 144),
        ("20 years, prorated from year 11", 120),
        ("20 Jahre, davon 8 kostenlos", 96),
        ("20 Jahre, ab dem 9. Jahr anteilig", 96),
        ("20 years, from the 13th year at a share", 144),
        ("20 years from shipment", None),
        ("20 years for lead-free brass", None),
    ],
)
def test_a_cell_that_ends_prorated_says_how_long_it_is_free(cell: str, free: int | None) -> None:
    found = free_months(cell, Decimal(240), ENGLISH)
    assert (found[0] if found else None) == free


GROUPED: Rows = [
    ["Size", "New", "<", "Repaired", "<"],
    ["", "Years", "Million gallons", "Years", "Million gallons"],
    ["Kestrel turbine meters, AWWA C701", "<", "<", "<", "<"],
    ["3 inch", "2", "20", "6", "70"],
    ["Heron compound meters, AWWA C702", "<", "<", "<", "<"],
    ["3 inch", "1", "8", "5", "24"],
]


def test_a_row_alone_says_what_the_rows_under_it_are_about() -> None:
    """AWWA C701 and C702 are standards for new meters; those in use are held to Manual M6."""
    sentence = (
        "# Accuracy\n\nEach meter will keep the accuracy for new meters in the standard named over its type for the years "
        "from shipment or the gallons under New, whichever comes first; and the accuracy for repaired meters in AWWA M6 "
        "for the years or gallons under Repaired in the table, whichever comes first.\n\n@"
    )
    terms = read_tables(sentence, GROUPED, header_rows=3)
    assert {(t.meter_type, t.accuracy_level, t.duration_months, t.bands[0].basis) for t in terms} == {
        (MeterType.TURBINE, AccuracyLevel.NEW_METER, 24, "AWWA C701"),
        (MeterType.TURBINE, AccuracyLevel.REPAIRED_METER, 72, "AWWA M6"),
        (MeterType.COMPOUND, AccuracyLevel.NEW_METER, 12, "AWWA C702"),
        (MeterType.COMPOUND, AccuracyLevel.REPAIRED_METER, 60, "AWWA M6"),
    }


def test_rows_of_sizes_head_the_levels_under_them() -> None:
    terms = read_tables(
        LIMITS,
        [["Accuracy", "Years", "Gallons"], ["5/8 inch", "<", "<"], ["New meter limits", "5", "500,000"], ["Repaired meter limits", "15", "1,500,000"],
         ["1 inch", "<", "<"], ["New meter limits", "4", "900,000"], ["Repaired meter limits", "12", "2,500,000"]],
    )  # fmt: skip
    assert sorted((str(t.size_label), str(t.accuracy_level), int(t.duration_months or 0)) for t in terms) == [
        ("1", "new_meter", 48),
        ("1", "repaired_meter", 144),
        ("5/8", "new_meter", 60),
        ("5/8", "repaired_meter", 180),
    ]


def test_a_cell_names_its_own_part() -> None:
    terms = read_tables(
        "# Lines\n\nThe meters are warranted from the date of invoice for the times in this table.\n\n@",
        [["Line", "Body", "Counter or electronics", "Accuracy"],
         ["KT turbine", "Ductile iron body, 10 years", "Sealed register, 8 years", "98.5 to 101.5 % over the normal flow range for 18 months"],
         ["KM electromagnetic", "Flow tube, 15 years", "Converter and display, 5 years", "New meter limits of AWWA C708 for 2 years"]],
    )  # fmt: skip
    assert {(str(t.component), int(t.duration_months or 0)) for t in terms} == {
        ("maincase", 120), ("register", 96), ("whole_meter", 18), ("maincase", 180), ("electronics", 60), ("whole_meter", 24),
    }  # fmt: skip


NAMED = (
    "# Three stages\n\nWe warrant the accuracy of a meter in stages from the date of sale. Each ends after the years or the gallons "
    "in Table 2, whichever happens first.\n\n"
)


@pytest.mark.parametrize(
    "told",
    [
        "## Stage A, new meter accuracy\n\nA meter registers 98.5 to 101.5 percent at the minimum flow.\n\n"
        "## Stage B, repaired meter accuracy\n\nA meter registers 90 to 101.5 percent at the minimum flow.\n\n",
        "Stage A means new meter accuracy: the meter registers 98.5 to 101.5 percent at the minimum flow. "
        "Stage B means repaired meter accuracy: the meter registers 90 to 101.5 percent at the minimum flow.\n\n",
    ],
)
@pytest.mark.parametrize(
    "table",
    [
        [["Size", "Stage A", "<", "Stage B", "<"], ["", "Years", "Kgal", "Years", "Kgal"], ["5/8 inch", "6", "700", "15", "2,100"]],
        [["Stage", "Years", "Gallons"], ["Stage A", "6", "700,000"], ["Stage B", "15", "2,100,000"]],
    ],
)  # fmt: skip
def test_the_text_says_what_a_named_stage_is(told: str, table: Rows) -> None:
    terms = read_tables(f"{NAMED}{told}@", table, header_rows=2 if "<" in table[0] else 1)
    assert {(t.accuracy_level, t.duration_months, t.bands[0].lower_pct) for t in terms} == {
        (AccuracyLevel.NEW_METER, 72, Decimal("98.5")),
        (AccuracyLevel.REPAIRED_METER, 180, Decimal(90)),
    }


BANDED: Rows = [
    ["Size", "At minimum flow 95 % to 105 %", "At normal flows 98.5 % to 101.5 %"],
    ["1 inch", "0.25 gpm", "0.75 to 55 gpm"],
]


@pytest.mark.parametrize(
    "sentence",
    [
        "For 15 years from installation every meter will keep within the limits of this table.",
        "We guarantee that a meter measures as this table shows for 15 years from the date on which it is installed.",
    ],
)
def test_a_time_in_the_text_holds_for_limits_in_the_head_of_a_table(sentence: str) -> None:
    (term,) = read_tables(f"# Accuracy\n\n{sentence}\n\n@", BANDED)
    assert (term.size_label, term.duration_months) == ("1", 180)
    assert {(b.flow_role, b.flow_from_usgpm, b.lower_pct) for b in term.bands} == {
        (FlowRole.MINIMUM, Decimal("0.25"), 95),
        (FlowRole.NORMAL_RANGE, Decimal("0.75"), Decimal("98.5")),
    }


@pytest.mark.parametrize(
    "text",
    [
        "In den ersten fünf Jahren ab Lieferung beträgt die Messabweichung höchstens ±2 % von Q2 bis Q4. Diese Zusage endet vorzeitig, sobald der Zähler das in der Tabelle genannte Volumen gezählt hat.",
        "For five years from delivery the error of a meter will not exceed ±2 % from Q2 to Q4. This assurance lapses sooner, as soon as a meter has counted the volume in the table.",
        "Durante cinco años desde la entrega garantizamos que el error no pasará de ±2 % entre Q2 y Q4. Esta garantía termina antes si el medidor registra el volumen de la tabla siguiente.",
    ],
)  # fmt: skip
def test_a_promise_ends_early_at_the_volume_of_a_table(text: str) -> None:
    table = [
        ["DN", "Q2 (l/h)", "Q4 (m3/h)", "Volumen (m3)"],
        ["DN 15", "50", "3", "2500"],
        ["DN 20", "80", "5", "4000"],
    ]
    terms = read_tables(f"# Accuracy\n\n{text}\n\n@", table)
    assert [(t.size_label, t.duration_months, str(t.ends)) for t in terms] == [
        ("DN15", 60, "first_of"),
        ("DN20", 60, "first_of"),
    ]
    assert all(t.volume_cap_usgal and t.bands[0].flow_from_usgpm for t in terms)


@pytest.mark.parametrize(
    ("label", "parts"),
    [
        ("Case bolts and gaskets", ["connections"]),
        ("Strainer and companion flanges", ["strainer", "connections"]),
        ("Filtro y racores", ["strainer", "connections"]),
        ("Meter tube, epoxy lined, with its flanges", ["maincase"]),
        ("Propeller, magnets and bearings, if greased as the manual shows", ["measuring_element"]),
        ("Meter head and all parts not named below", ["whole_meter"]),
        ("Radio endpoint, battery included", ["endpoint"]),
        ("Deckel und Messrohr", ["maincase"]),
        ("Boulons et brides", ["connections"]),
        ("Coils and electrodes", ["electronics"]),
    ],
)
def test_a_label_names_its_parts(label: str, parts: list[str]) -> None:
    run = run_of(label)
    hits = [hit for hit in hits_of(run, Reader()) if hit.family is Family.COMPONENT]
    assert [str(component_of(hit)) for hit in parts_named(run, hits)] == parts


def test_a_part_with_an_unknown_name_is_proposed_with_little_confidence() -> None:
    terms = read_tables(PARTS, [["Part", "Years"], ["Measuring chamber", "10"], ["Wobbulator", "1"], ["Strainer", "3"]])
    assert {(str(t.component), int(t.duration_months or 0)) for t in terms} == {
        ("measuring_element", 120),
        ("other", 12),
        ("strainer", 36),
    }
    (unknown,) = (t for t in terms if t.component is Component.OTHER)
    assert unknown.confidence < 0.9
    assert all(t.confidence > unknown.confidence for t in terms if t is not unknown)


def test_a_row_that_says_what_works_is_no_promise_of_material() -> None:
    terms = read_tables(
        "# Parts\n\nWe cover the customer for the defects and for the time in the table, from delivery.\n\n@",
        [
            ["Part", "Covered", "Time"],
            ["Main case", "defects of material", "12 years"],
            ["Register", "fogging", "8 years"],
        ],
    )
    assert {(str(t.component), str(t.promise)) for t in terms} == {
        ("maincase", "materials_workmanship"),
        ("register", "function"),
    }


LEVELS: set[tuple[str, str, int, int]] = {
    ("5/8", "new_meter", 72, 700_000),
    ("1", "new_meter", 60, 1_200_000),
    ("5/8", "repaired_meter", 180, 2_100_000),
    ("1", "repaired_meter", 144, 3_600_000),
}


@pytest.mark.parametrize(
    ("table", "header_rows"),
    [
        ([["Size", "New meter", "<", "Repaired meter", "<"], ["", "Years", "Gallons", "Years", "Gallons"],
          ["5/8 inch", "6", "700,000", "15", "2,100,000"], ["1 inch", "5", "1,200,000", "12", "3,600,000"]], 2),
        ([["Size", "New meter", "<", "Repaired meter", "<"], ["", "Time", "Volume", "Time", "Volume"], ["", "years", "million gallons", "years", "million gallons"],
          ["5/8 inch", "6", "0.7", "15", "2.1"], ["1 inch", "5", "1.2", "12", "3.6"]], 3),
        ([["Size", "Limits", "Years", "Gallons"], ["5/8 inch", "New meter", "6", "700,000"], ["5/8 inch", "Repaired meter", "15", "2,100,000"],
          ["1 inch", "New meter", "5", "1,200,000"], ["1 inch", "Repaired meter", "12", "3,600,000"]], 1),
        ([["Size", "New meter limits", "Repaired meter limits"], ["5/8 inch", "6 years or 700,000 gal", "15 years or 2.1 MG"],
          ["1 inch", "5 years or 1.2 MG", "12 years or 3.6 MG"]], 1),
        ([["", "5/8 inch", "1 inch"], ["New meter limits", "6 years / 700,000 gal", "5 years / 1.2 MG"],
          ["Repaired meter limits", "15 years / 2.1 MG", "12 years / 3.6 MG"]], 1),
        ([["Size", "5/8 inch", "1 inch"], ["New meter limits", "<", "<"], ["Years", "6", "5"], ["Gallons", "700,000", "1,200,000"],
          ["Repaired meter limits", "<", "<"], ["Years", "15", "12"], ["Gallons", "2,100,000", "3,600,000"]], 1),
        ([["", "", "5/8 inch", "1 inch"], ["New meter", "Years", "6", "5"], ["", "Kgal", "700", "1,200"],
          ["Repaired meter", "Years", "15", "12"], ["", "Kgal", "2,100", "3,600"]], 1),
    ],
)  # fmt: skip
def test_limits_by_size_and_level_read_the_same_whatever_way_the_table_is_turned(table: Rows, header_rows: int) -> None:
    text = (
        "# Accuracy\n\nEach meter will register within the limits shown from the date of shipment for the years or until "
        "the gallons in the table, whichever comes first.\n\n@"
    )
    terms = read_tables(text, table, header_rows=header_rows)
    assert {
        (str(t.size_label), str(t.accuracy_level), int(t.duration_months or 0), int(t.volume_cap_usgal or 0))
        for t in terms
    } == LEVELS


@pytest.mark.parametrize(
    "table",
    [
        [["Meter", "Main case", "Register"], ["KT turbine meter", "10 years", "8 years"], ["KM magnetic meter", "15 years", "5 years"]],
        [["Part", "KT turbine meter", "KM magnetic meter"], ["Main case", "10 years", "15 years"], ["Register", "8 years", "5 years"]],
    ],
)  # fmt: skip
def test_parts_and_lines_of_meters_may_stand_either_way(table: Rows) -> None:
    terms = read_tables(
        "# Parts\n\nThese periods run from shipment and cover defects in material and workmanship.\n\n@", table
    )
    assert {(t.product, str(t.component), int(t.duration_months or 0)) for t in terms} == {
        ("KT", "maincase", 120), ("KT", "register", 96), ("KM", "maincase", 180), ("KM", "register", 60),
    }  # fmt: skip


def test_limits_in_the_labels_of_rows_hold_at_the_flows_beside_them() -> None:
    (small, large) = read_tables(
        "# Accuracy\n\nFor 15 years from installation every meter will keep within the limits of this table.\n\n@",
        [["Meter size", "5/8 inch", "1 inch"], ["Minimum flow, 95 % to 105 % (gpm)", "0.1", "0.25"],
         ["Normal flow range, 98.5 % to 101.5 % (gpm)", "0.5 to 25", "0.75 to 55"]],
    )  # fmt: skip
    assert (small.size_label, large.size_label) == ("5/8", "1")
    assert {(b.flow_role, b.flow_from_usgpm, b.flow_to_usgpm, b.lower_pct) for b in large.bands} == {
        (FlowRole.MINIMUM, Decimal("0.25"), Decimal("0.25"), 95),
        (FlowRole.NORMAL_RANGE, Decimal("0.75"), Decimal(55), Decimal("98.5")),
    }


@pytest.mark.parametrize(
    "tables",
    [
        ([["Part", "Years"], ["Register", "20"], ["Endpoint", "15"]],
         [["Age at failure (years)", "Register: customer pays", "Endpoint: customer pays"], ["0 to 10", "0 %", "0 %"], ["10 to 15", "30 %", "50 %"], ["15 to 20", "60 %", "-"]]),
        ([["Part", "Years"], ["Register", "20"], ["Radio transmitter", "15"]],
         [["Customer pays in", "Years 1 to 10", "Years 11 to 15", "Years 16 to 20"], ["Register", "0 %", "30 %", "60 %"], ["Transmitter", "0 %", "50 %", "none"]]),
    ],
)  # fmt: skip
def test_shares_by_part_go_to_the_rows_of_their_parts(tables: tuple[Rows, Rows]) -> None:
    terms = read_tables(PARTS + "\n\n# Prorating\n\nThe customer pays the share of the list price shown.\n\n@", *tables)
    assert {str(t.component): [int(s.customer_pays_pct) for s in t.credits] for t in terms} == {
        "register": [0, 30, 60],
        "endpoint": [0, 50],
    }


def test_columns_of_years_say_what_is_given_in_each() -> None:
    terms = read_tables(
        PARTS,
        [["Part", "Years 1 through 10", "Years 11 through 20"], ["Register", "Full replacement", "40 % credit"], ["Strainer", "Full replacement", "None"]],
    )  # fmt: skip
    assert _free(terms) == {"register": (240, 120), "strainer": (120, 120)}
    assert [int(s.customer_pays_pct) for s in terms[0].credits] == [0, 60]


def test_a_size_named_in_a_row_of_its_own_is_not_of_the_range_beside_it() -> None:
    terms = read_tables(
        LIMITS, [["Size", "Years", "Gallons"], ["5/8 x 3/4 inch", "6", "700,000"], ["3/4 to 1 inch", "5", "1,200,000"]]
    )
    assert sorted((str(t.size_label), int(t.duration_months or 0)) for t in terms) == [
        ("1", 60),
        ("3/4", 60),
        ("3/4x1", 60),
        ("5/8x3/4", 72),
    ]
