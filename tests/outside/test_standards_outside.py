"""The standards table against public rules that it was not made from."""

from decimal import Decimal

import pytest

from firstcap.schema.baselines import Baseline, bands_for
from firstcap.schema.vocabulary import FlowRole, MeterCondition, MeterType


def _rows(standard: str, size: str, condition: MeterCondition = MeterCondition.NEW) -> dict[FlowRole, Baseline]:
    return {row.flow_role: row for row in bands_for(standard, MeterType.DISPLACEMENT, size, condition)}


# COMAR 20.70.06.03 (Maryland): minimum test flow and upper normal flow limit.
# http://www.dsd.state.md.us/comar/comarhtml/20/20.70.06.03.htm
@pytest.mark.parametrize(
    ("size", "minimum", "upper"),
    [
        ("5/8", "0.25", 20),
        ("3/4", "0.5", 30),
        ("1", "0.75", 50),
        ("1-1/2", "1.5", 100),
        ("2", "2", 160),
        ("3", "4", 300),
        ("4", "7", 500),
        ("6", "12", 1000),
    ],
)
def test_maryland_prints_the_same_minimum_and_upper_normal_flow(size: str, minimum: str, upper: int) -> None:
    rows = _rows("AWWA C700", size)
    assert rows[FlowRole.MINIMUM].flow_from_usgpm == Decimal(minimum)
    assert rows[FlowRole.NORMAL_RANGE].flow_to_usgpm == upper


def test_florida_has_lower_maximum_test_flows_from_one_inch_up() -> None:
    """Fla. Admin. Code R. 25-30.263: 35, 50 and 100 gpm. A regulation and the manual can both be right and differ."""
    florida = {"1": 35, "1-1/2": 50, "2": 100}
    for size, flow in florida.items():
        ours = _rows("AWWA C700", size)[FlowRole.MAXIMUM].flow_from_usgpm
        assert ours is not None
        assert ours > flow
    for size, same in {"5/8": 15, "3/4": 25}.items():
        assert _rows("AWWA C700", size)[FlowRole.MAXIMUM].flow_from_usgpm == same


def test_iowa_asks_for_95_at_minimum_and_one_and_a_half_per_cent_else() -> None:
    """Iowa Admin. Code 199-21.6(3)b, current to 30 Oct 2024."""
    rows = _rows("AWWA C700", "5/8")
    assert rows[FlowRole.MINIMUM].lower_pct == 95
    for role in (FlowRole.INTERMEDIATE, FlowRole.MAXIMUM):
        assert rows[role].limits == (100 - Decimal("1.5"), 100 + Decimal("1.5"))


@pytest.mark.parametrize("size", ["5/8", "3/4", "1", "1-1/2", "2"])
def test_maine_and_maryland_let_a_meter_fall_to_90_at_minimum_as_the_manual_lets_a_repaired_one(size: str) -> None:
    """Maine PUC ch. 62 s.3: not below 90 % at minimum; COMAR 20.70.06.04 A: at least 90 % before installation."""
    assert _rows("AWWA M6", size, MeterCondition.REPAIRED)[FlowRole.MINIMUM].lower_pct == 90


def test_a_bench_result_is_judged_as_the_published_limits_say() -> None:
    """5/8 in at 0.25, 2 and 15 gpm against 83 Ill. Adm. Code 600.310(b); limits inclusive by common practice."""

    def passes(condition: MeterCondition, low: str, mid: str, high: str) -> bool:
        rows = _rows("AWWA M6", "5/8", condition)
        found = {FlowRole.MINIMUM: low, FlowRole.INTERMEDIATE: mid, FlowRole.MAXIMUM: high}
        return all(
            (rows[role].lower_pct or 0) <= Decimal(value) <= (rows[role].upper_pct or 1000)
            for role, value in found.items()
        )

    assert not passes(MeterCondition.NEW, "93.0", "99.4", "99.0")
    assert passes(MeterCondition.REPAIRED, "93.0", "99.4", "99.0")
    assert not passes(MeterCondition.REPAIRED, "89.9", "99.4", "99.0")
    assert not passes(MeterCondition.REPAIRED, "93.0", "99.4", "98.4")
    assert passes(MeterCondition.REPAIRED, "90.0", "98.5", "101.5")
    assert passes(MeterCondition.NEW, "95.0", "98.5", "101.5")
