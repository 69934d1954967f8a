"""Promised accuracy against published limits.

Limits and test flows of displacement meters: 83 Ill. Adm. Code 600.310(b), which cites AWWA C705; normal flow ranges:
Fla. Adm. Code R. 25-30.263(1). Class 2 limits: explainers of 2014/32/EU and EN 14154. What is from memory
is no measure.
"""

from decimal import Decimal

import pytest

from firstcap.app.report.rows import BandRow, BaselineRow, TermRow
from firstcap.app.report.standards import Judged, judge, measure_for
from firstcap.schema.baselines import BASELINES

ROWS = tuple(BaselineRow(**baseline.model_dump()) for baseline in BASELINES)


def judged(
    role: str,
    flows: tuple[str, str] | None,
    limits: tuple[str | None, str | None],
    *,
    level: str = "new_meter",
    meter_type: str | None = "displacement",
    size: str = "5/8",
    basis: str = "stated",
) -> Judged:
    low, high = (Decimal(flow) for flow in flows) if flows else (None, None)
    lower, upper = (None if limit is None else Decimal(limit) for limit in limits)
    band = BandRow("t", basis, role, low, high, lower, upper)
    term = TermRow(
        "t", "d", "whole_meter", "accuracy", "time_only", meter_type=meter_type, size_label=size, accuracy_level=level
    )
    return judge(band, measure_for(term, [band], size, ROWS))


@pytest.mark.parametrize(
    ("size", "flow", "level", "promised", "margins", "verdict"),
    [
        ("5/8", "0.25", "new_meter", ("98.5", "101.5"), ("3.5", "0"), "stricter"),
        ("5/8", "0.25", "new_meter", ("95", "101.5"), ("0", "0"), "the same"),
        ("5/8", "0.25", "new_meter", ("94", "101.5"), ("-1", "0"), "weaker"),
        ("5/8", "0.25", "repaired_meter", ("95", "101.5"), ("5", "0"), "stricter"),
        ("5/8", "0.25", "new_meter", ("97", "103"), ("2", "1.5"), "stricter on one side, weaker on the other"),
        ("1", "0.75", "new_meter", ("96", "101"), ("1", "-0.5"), "stricter"),
        ("2", "2", "repaired_meter", ("90", "101.5"), ("0", "0"), "the same"),
    ],
)
def test_margins_at_minimum_flow_are_points_from_the_published_limit(
    size: str, flow: str, level: str, promised: tuple[str, str], margins: tuple[str, str], verdict: str
) -> None:
    found = judged("minimum", (flow, flow), promised, level=level, size=size)
    assert (found.lower_margin, found.upper_margin) == tuple(map(Decimal, margins))
    assert found.stricter == verdict
    assert found.against is not None and found.against.certainty == "published"


def test_a_test_flow_within_the_normal_range_is_measured_by_the_range() -> None:
    found = judged("intermediate", ("5", "5"), ("98", "102"))
    assert (found.lower_margin, found.upper_margin) == (Decimal("-0.5"), Decimal("0.5"))
    assert found.note == "within the standard's range of flow"


def test_a_limit_at_half_the_standards_minimum_flow_is_never_measured_by_the_minimum_flow() -> None:
    found = judged("extended_low", ("0.125", "0.125"), ("95", "101.5"), level="extended_low_flow")
    assert found.against is None and found.lower_margin is None
    assert found.reason == "below the standard's minimum test flow: the standard asks nothing here"


def test_one_sided_promises_have_one_margin() -> None:
    found = judged("minimum", ("0.25", "0.25"), ("90", None), level="repaired_meter")
    assert (found.lower_margin, found.upper_margin) == (0, None)


@pytest.mark.parametrize(
    ("meter_type", "role", "standard"),
    [("multi_jet", "minimum", "AWWA C708"), ("ultrasonic", "normal_range", "AWWA C715")],
)
def test_limits_known_from_memory_are_shown_and_never_a_measure(meter_type: str, role: str, standard: str) -> None:
    band = BandRow("t", "stated", role, None, None, Decimal(97), Decimal(103))
    term = TermRow("t", "d", "whole_meter", "accuracy", "time_only", meter_type=meter_type, accuracy_level="new_meter")
    measure = measure_for(term, [band], "5/8", ROWS)
    assert not measure.limits
    assert {row.standard for row in measure.remembered} == {standard}
    assert judge(band, measure).against is None


def test_no_standard_is_chosen_for_a_meter_of_unknown_type() -> None:
    found = judged("minimum", ("0.25", "0.25"), ("95", "101.5"), meter_type=None)
    assert found.against is None and found.reason is not None and "no meter type" in found.reason


def test_metric_sizes_are_measured_by_class_2_and_inch_sizes_never_are() -> None:
    found = judged("normal_range", None, ("98.5", "101.5"), size="DN20", level="stated")
    assert found.against is not None and found.against.edition == "class 2"
    assert (found.lower_margin, found.upper_margin) == (Decimal("0.5"), Decimal("-0.5"))
    for size in ("5/8", "1", "2"):
        inch = judged("normal_range", None, ("98.5", "101.5"), size=size)
        assert inch.against is not None and inch.against.standard.startswith("AWWA")


def test_the_older_print_is_the_measure_only_where_it_is_named() -> None:
    found = judged("minimum", ("0.25", "0.25"), ("95", "101.5"))
    assert found.against is not None and found.against.edition == "newer print"
