"""What the standards ask, checked against the public rules that restate them. Flows in gpm, limits in per cent."""

from decimal import Decimal

import pytest
from pydantic import ValidationError

from firstcap.schema.baselines import BASELINES, STANDARDS, Baseline, bands_for, canonical_standard, edition_named
from firstcap.schema.vocabulary import Certainty, FlowRole, MeterCondition, MeterType

NEW, REBUILT, REPAIRED = MeterCondition.NEW, MeterCondition.REBUILT, MeterCondition.REPAIRED
DISPLACEMENT = MeterType.DISPLACEMENT


def plain(rows: tuple[Baseline, ...]) -> dict[str, tuple[str, ...]]:
    """role -> flow from, flow to, lower, upper, as printed."""
    return {row.flow_role.value: tuple(str(value) for value in (*row.flows, *row.limits)) for row in rows}


# 83 Ill. Adm. Code 600.310(b), current to 1 Nov 2024: size, minimum, intermediate and maximum test flow.
# https://print.casetext.com/regulation/illinois-administrative-code/title-83-public-utilities/part-600-standards-of-service-for-water-utilities-general-order-24/subpart-d-meter-testing/section-600310-test-and-allowable-error
ILLINOIS = [
    ("5/8", "0.25", "2", "15"),
    ("3/4", "0.5", "3", "25"),
    ("1", "0.75", "4", "40"),
    ("1-1/2", "1.5", "8", "80"),
    ("2", "2", "15", "120"),
    ("3", "4", "20", "250"),
    ("4", "7", "40", "350"),
    ("6", "12", "60", "700"),
]


@pytest.mark.parametrize(("size", "minimum", "intermediate", "maximum"), ILLINOIS)
@pytest.mark.parametrize(
    ("standard", "condition", "lowest"), [("AWWA C700", NEW, "95"), ("AWWA M6", NEW, "95"), ("AWWA M6", REPAIRED, "90")]
)
def test_displacement_meters_are_tested_as_illinois_restates_the_standard(
    standard: str, condition: MeterCondition, lowest: str, size: str, minimum: str, intermediate: str, maximum: str
) -> None:
    rows = bands_for(standard, DISPLACEMENT, size, condition)
    tests = [row for row in rows if row.flow_role is not FlowRole.NORMAL_RANGE]
    assert plain(tuple(tests)) == {
        "minimum": (minimum, minimum, lowest, "101.5"),
        "intermediate": (intermediate, intermediate, "98.5", "101.5"),
        "maximum": (maximum, maximum, "98.5", "101.5"),
    }
    assert {row.certainty for row in tests} == {Certainty.PUBLISHED}
    assert all("83 Ill. Adm. Code 600.310(b)" in row.source and "https://" in row.source for row in tests)


# Fla. Admin. Code R. 25-30.263(1), copy of 11 Nov 2024: normal flow limits. http://flrules.elaws.us/rule/25-30.263
# The upper ends agree with COMAR 20.70.06.03 (Maryland).
@pytest.mark.parametrize(
    ("size", "low", "high"),
    [
        ("5/8", "1", "20"),
        ("3/4", "2", "30"),
        ("1", "3", "50"),
        ("1-1/2", "5", "100"),
        ("2", "8", "160"),
        ("3", "16", "300"),
        ("4", "28", "500"),
        ("6", "48", "1000"),
    ],
)
def test_the_normal_flow_range_is_the_one_florida_prints(size: str, low: str, high: str) -> None:
    rows = plain(bands_for("AWWA C700", DISPLACEMENT, size, NEW))
    assert rows["normal_range"] == (low, high, "98.5", "101.5")


def test_that_the_limits_hold_over_the_whole_normal_range_is_common_practice_not_published() -> None:
    (row,) = (r for r in bands_for("AWWA C700", DISPLACEMENT, "5/8", NEW) if r.flow_role is FlowRole.NORMAL_RANGE)
    assert row.certainty is Certainty.COMMON_PRACTICE
    assert "common practice" in row.source
    assert "25-30.263" in row.source


def test_the_older_print_allows_no_more_than_101_at_minimum_flow() -> None:
    """US Navy MO-221 s.4.3/5 (98.5-101.5 % at the other flows); Winnipeg bid 504-2004 for 3/4 in at 0.5 gpm."""
    old = plain(bands_for("AWWA C700", DISPLACEMENT, "3/4", NEW, edition="older print"))
    assert old["minimum"] == ("0.5", "0.5", "95", "101")
    assert old["maximum"] == ("25", "25", "98.5", "101.5")
    assert plain(bands_for("AWWA C700", DISPLACEMENT, "3/4", NEW))["minimum"] == ("0.5", "0.5", "95", "101.5")


def test_a_rebuilt_meter_is_held_to_new_meter_limits_by_common_practice() -> None:
    rebuilt = bands_for("AWWA M6", DISPLACEMENT, "5/8", REBUILT)
    assert plain(rebuilt) == plain(bands_for("AWWA M6", DISPLACEMENT, "5/8", NEW))
    assert {row.certainty for row in rebuilt} == {Certainty.COMMON_PRACTICE}


@pytest.mark.parametrize("standard", ["ISO 4064", "EU 2014/32/EU"])
@pytest.mark.parametrize(
    ("edition", "lower_zone", "upper_zone", "certainty"),
    [
        # class 2: supplier explainer of the directive and EN 14154, name withheld
        ("class 2", ("95", "105"), ("98", "102"), Certainty.PUBLISHED),
        ("class 2, water above 30 °C", ("95", "105"), ("97", "103"), Certainty.PUBLISHED),
        # class 1: from memory of OIML R 49-1 s.4.2
        ("class 1", ("97", "103"), ("99", "101"), Certainty.FROM_MEMORY),
        ("class 1, water above 30 °C", ("97", "103"), ("98", "102"), Certainty.FROM_MEMORY),
    ],
)
def test_european_classes_have_two_zones_and_flows_of_the_meter_itself(
    standard: str, edition: str, lower_zone: tuple[str, str], upper_zone: tuple[str, str], certainty: Certainty
) -> None:
    rows = bands_for(standard, MeterType.ULTRASONIC, "DN20", NEW, edition=edition)
    assert plain(rows) == {"minimum": ("None", "None", *lower_zone), "normal_range": ("None", "None", *upper_zone)}
    assert {row.certainty for row in rows} == {certainty}


def test_a_class_that_is_not_named_is_never_assumed() -> None:
    assert bands_for("ISO 4064", None, "DN15", NEW) == ()
    assert bands_for("AWWA C701", MeterType.TURBINE, "3", NEW) == ()


def test_what_all_classes_share_stands_even_where_none_is_named() -> None:
    """C702, from memory: 90 % at the changeover and 95 % at low flow in either class; the range differs."""
    assert plain(bands_for("AWWA C702", MeterType.COMPOUND, "4", NEW)) == {
        "minimum": ("None", "None", "95", "None"),
        "intermediate": ("None", "None", "90", "None"),
    }


def test_a_promise_without_a_size_gets_the_limits_and_no_flow() -> None:
    rows = bands_for("AWWA C700", DISPLACEMENT, None, NEW)
    assert plain(rows)["minimum"] == ("None", "None", "95", "101.5")
    assert all(row.size_label is None for row in rows)


def test_a_metric_size_is_not_turned_into_inches() -> None:
    assert plain(bands_for("AWWA C700", DISPLACEMENT, "DN20", NEW))["minimum"] == ("None", "None", "95", "101.5")


def test_a_size_outside_the_standard_gets_nothing() -> None:
    assert bands_for("AWWA C700", DISPLACEMENT, "12", NEW) == ()


def test_a_solid_state_meter_held_to_c700_is_held_to_its_limits() -> None:
    assert plain(bands_for("AWWA C700", MeterType.ULTRASONIC, "5/8", NEW))["minimum"][2:] == ("95", "101.5")


def test_the_manual_answers_only_for_the_types_it_has_rows_for() -> None:
    assert bands_for("AWWA M6", MeterType.MULTI_JET, "5/8", REPAIRED) == ()
    assert bands_for("AWWA M6", None, "5/8", REPAIRED) == ()


def test_handbook_44_gives_multi_jet_meters_a_wider_band_at_minimum_flow() -> None:
    """NIST HB 44 s.3.36, from memory: 97-103 for multi-jet, 95-101.5 for others; flows as Illinois."""
    assert plain(bands_for("NIST HB 44", MeterType.MULTI_JET, "1", NEW))["minimum"] == ("0.75", "0.75", "97", "103")
    assert plain(bands_for("NIST HB 44", DISPLACEMENT, "1", NEW))["minimum"] == ("0.75", "0.75", "95", "101.5")
    assert set(plain(bands_for("NIST HB 44", None, "1", NEW))) == {"maximum"}, "the type decides the minimum"


@pytest.mark.parametrize("name", ["AWWA C703", "EN 14154", "AWWA M36", "nothing of the kind"])
def test_a_standard_without_rows_gives_none(name: str) -> None:
    assert bands_for(name, DISPLACEMENT, "5/8", NEW) == ()


def test_every_row_says_where_it_comes_from_and_how_sure_that_is() -> None:
    assert len(BASELINES) > 300
    for row in BASELINES:
        assert ("from memory" in row.source) == (row.certainty is Certainty.FROM_MEMORY), row
        if row.certainty is Certainty.COMMON_PRACTICE:
            assert "no source" in row.source, row
        if row.certainty is Certainty.PUBLISHED:
            assert "http" in row.source or "withheld" in row.source, row


def test_no_row_stands_twice() -> None:
    keys = [(r.standard, r.edition, r.meter_type, r.size_label, r.condition, r.flow_role) for r in BASELINES]
    assert len(keys) == len(set(keys))


def test_every_standard_the_trade_asks_for_has_rows() -> None:
    assert set(STANDARDS) == {row.standard for row in BASELINES}
    assert {f"AWWA C{n}" for n in (700, 701, 702, 704, 708, 710, 712, 713, 715)} <= set(STANDARDS)
    assert {"AWWA M6", "ISO 4064", "EU 2014/32/EU", "NIST HB 44"} <= set(STANDARDS)


def test_limits_of_every_row_embrace_true_registration() -> None:
    for row in BASELINES:
        assert row.lower_pct is None or Decimal(90) <= row.lower_pct < 100
        assert row.upper_pct is None or Decimal(100) < row.upper_pct <= 105


@pytest.mark.parametrize(
    ("values", "reason"),
    [
        ({"lower_pct": None, "upper_pct": None}, "no limit at all"),
        ({"flow_from_usgpm": Decimal(1)}, "half a flow"),
        ({"size_label": "7/8"}, "no such size"),
    ],
)
def test_a_row_that_cannot_be_is_refused(values: dict[str, object], reason: str) -> None:
    (row,) = (r for r in bands_for("ISO 4064", None, None, NEW, edition="class 2") if r.flow_role is FlowRole.MINIMUM)
    with pytest.raises(ValidationError):
        Baseline.model_validate({**row.model_dump(), **values})


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("C700", "AWWA C700"),
        ("c-700", "AWWA C700"),
        ("ANSI/AWWA C700-15", "AWWA C700"),
        ("AWWA Standard C700", "AWWA C700"),
        ("American Water Works Association Standard C 708, latest revision", "AWWA C708"),
        ("AWWA C703", "AWWA C703"),  # named without rows: by reference
        ("AWWA Manual M6", "AWWA M6"),
        ("M-6", "AWWA M6"),
        ("M6", "AWWA M6"),
        ("AWWA Manual of Water Supply Practices M6", "AWWA M6"),
        ("Table 5-3 of AWWA Manual M6", "AWWA M6"),
        ("OIML R 49", "ISO 4064"),
        ("OIML R49-1:2013", "ISO 4064"),
        ("ISO 4064-1:2014", "ISO 4064"),
        ("EN ISO 4064", "ISO 4064"),
        ("MID", "EU 2014/32/EU"),
        ("Directive 2014/32/EU", "EU 2014/32/EU"),
        ("NIST Handbook 44", "NIST HB 44"),
        ("HB-44", "NIST HB 44"),
        ("EN 14154", "EN 14154"),
        ("AWWA C700 and Manual M6", "AWWA C700"),  # the first named
        ("M6 x 20 bolts", None),  # a thread, not a manual
        ("in the middle of the night", None),
        ("part no. C7001", None),
        ("AWWA", None),  # by itself it names no limits
    ],
)
def test_a_standard_has_one_name_however_it_is_printed(text: str, name: str | None) -> None:
    assert canonical_standard(text) == name


@pytest.mark.parametrize(
    ("standard", "text", "edition"),
    [
        ("AWWA C700", "AWWA C700-95", "older print"),
        ("AWWA C700", "ANSI/AWWA C700-1990", "older print"),
        ("AWWA C700", "AWWA C700-15", "newer print"),
        ("AWWA C700", "AWWA C700-2020", "newer print"),
        ("AWWA C700", "AWWA C700", None),
        ("AWWA C701", "AWWA C701 Class II", "class II"),
        ("AWWA C701", "C701, class 1", "class I"),
        ("ISO 4064", "ISO 4064-1:2014, accuracy class 2", "class 2"),
        ("ISO 4064", "clase 1", "class 1"),
        ("ISO 4064", "Klasse 2", "class 2"),
        ("ISO 4064", "class C", None),  # the old metrological class is another thing
        ("AWWA C700", "class II", None),  # C700 has none
        ("AWWA C703", "class II", None),
    ],
)
def test_an_edition_or_class_is_taken_only_where_it_is_named(standard: str, text: str, edition: str | None) -> None:
    assert edition_named(standard, text) == edition
