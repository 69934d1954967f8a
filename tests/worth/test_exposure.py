"""Water that may go unregistered within a promise, against published examples and plain reasoning."""

from fractions import Fraction

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from firstcap.worth.exposure import DemandBand, PromisedLimit, exposure_of, limits_at, loss


def band(low: str, high: str, percent: int) -> DemandBand:
    return DemandBand(Fraction(low), Fraction(high), Fraction(percent, 100))


def limit(low: str, high: str, percent: str) -> PromisedLimit:
    return PromisedLimit(Fraction(low), Fraction(high), Fraction(percent) / 100)


# Limits for a new and a repaired 5/8 inch displacement meter: 83 Ill. Adm. Code 600.310(b); normal range of flow:
# Fla. Admin. Code R. 25-30.263(1).
NEW = (limit("0.25", "0.25", "95"), limit("1", "20", "98.5"))
REPAIRED = (limit("0.25", "0.25", "90"), limit("1", "20", "98.5"))
DEMAND = (band("0.25", "0.25", 15), band("2", "2", 70), band("15", "15", 15))

# Water Loss Control, 2nd ed., McGraw-Hill 2008, Table 12.8 p. 186, after AWWA M36: shares of 939.2 million gallons
# registered, registration in per cent, meter error as printed. The printed middle figure is 0.02 low.
TABLE_12_8 = [(10, "90.0", 10.43), (65, "96.54", 21.86), (25, "101.0", -2.32)]


def test_the_published_table_of_large_meters_comes_out_within_its_rounding() -> None:
    found = [float(loss(Fraction(s, 100), Fraction(r) / 100, registered=True)) * 939.2 for s, r, _ in TABLE_12_8]
    for ours, (_, _, printed) in zip(found, TABLE_12_8, strict=True):
        assert ours == pytest.approx(printed, abs=0.03)
    assert sum(found) == pytest.approx(29.97, abs=0.03) and sum(found) == pytest.approx(29.9904, abs=1e-4)
    frame = pl.DataFrame({"share": [0.10, 0.65, 0.25], "r": [0.90, 0.9654, 1.01]})
    outside = frame.select((939.2 * pl.col("share") * (1 / pl.col("r") - 1)).sum()).item()
    assert sum(found) == pytest.approx(outside)


def test_weighted_accuracy_of_a_home_meter_is_one_less_its_exposure() -> None:
    # Common practice 15/70/15: 92.0, 99.5 and 98.8 % give 98.27 % (arithmetic)
    promised = (limit("0.25", "0.25", "92"), limit("2", "2", "99.5"), limit("15", "15", "98.8"))
    found = exposure_of(DEMAND, promised)
    assert 1 - found.most == 1 - found.least == Fraction("0.9827")


def test_a_repaired_meter_may_lose_three_quarters_of_a_per_cent_more_than_a_new_one() -> None:
    new, repaired = exposure_of(DEMAND, NEW), exposure_of(DEMAND, REPAIRED)
    assert (new.most, repaired.most) == (Fraction("0.02025"), Fraction("0.02775"))
    assert repaired.most - new.most == Fraction(15, 100) * (Fraction(95, 100) - Fraction(90, 100))


def test_demand_below_the_lowest_promised_flow_is_unprotected_and_never_counted_as_exposed() -> None:
    found = exposure_of((band("0", "0.125", 4), band("2", "2", 96)), NEW)
    assert (found.unprotected_least, found.unprotected_most) == (Fraction(4, 100), Fraction(4, 100))
    assert found.least == found.most == Fraction(96, 100) * Fraction(15, 1000)
    with_low_flow = (*NEW, limit("0.125", "0.125", "95"))
    assert exposure_of((band("0.125", "0.25", 4), band("2", "2", 96)), with_low_flow).unprotected_most == 0


def test_a_band_across_the_lowest_promised_flow_is_unprotected_in_part_between_none_and_all() -> None:
    found = exposure_of((band("0.1", "0.5", 10), band("2", "2", 90)), NEW)
    assert (found.unprotected_least, found.unprotected_most) == (0, Fraction(10, 100))


def test_between_two_promised_flows_either_limit_may_hold() -> None:
    assert limits_at(Fraction(1, 2), NEW) == (Fraction(95, 100), Fraction(985, 1000))
    assert limits_at(Fraction(1, 4), NEW) == (Fraction(95, 100), Fraction(95, 100))
    assert limits_at(Fraction(1, 10), NEW) is None and limits_at(Fraction(25), NEW) is None
    found = exposure_of((band("0.25", "1", 100),), NEW)
    assert (found.least, found.most) == (Fraction("0.015"), Fraction("0.05"))


def test_shares_that_do_not_sum_to_one_are_refused() -> None:
    with pytest.raises(ValueError, match="sum to one"):
        exposure_of((band("2", "2", 90),), NEW)


@given(st.lists(st.tuples(st.integers(0, 40), st.integers(1, 40), st.integers(1, 9)), min_size=1, max_size=6))
def test_a_tighter_promise_is_never_more_exposed(drawn: list[tuple[int, int, int]]) -> None:
    total = sum(weight for _, _, weight in drawn)
    demand = [DemandBand(Fraction(a, 2), Fraction(a + w, 2), Fraction(weight, total)) for a, w, weight in drawn]
    new, repaired = exposure_of(demand, NEW), exposure_of(demand, REPAIRED)
    assert new.most <= repaired.most and new.least <= repaired.least
    assert new.unprotected_most == repaired.unprotected_most
    assert 0 <= new.least <= new.most and new.unprotected_least <= new.unprotected_most <= 1


def test_shares_within_a_spread_give_the_range_that_linear_programming_finds() -> None:
    spread = [DemandBand(one.low, one.high, one.share, Fraction(5, 100)) for one in DEMAND]
    losses = [0.10, 0.015, 0.015]
    limits = [(float(one.least_share), float(one.most_share)) for one in spread]
    lowest = linprog(losses, A_eq=[[1, 1, 1]], b_eq=[1], bounds=limits).fun
    highest = -linprog([-one for one in losses], A_eq=[[1, 1, 1]], b_eq=[1], bounds=limits).fun
    found = exposure_of(spread, REPAIRED)
    assert (float(found.least), float(found.most)) == pytest.approx((lowest, highest))
    assert found.least < exposure_of(DEMAND, REPAIRED).least < found.most


def test_what_is_not_protected_counts_whole_among_what_is_at_risk() -> None:
    leaky = (band("0.1", "0.2", 4), band("2", "2", 96))
    bare, kept = exposure_of(leaky, NEW), exposure_of(leaky, (*NEW, limit("0.1", "0.2", "95")))
    assert bare.at_risk == Fraction(4, 100) + Fraction(96, 100) * Fraction(15, 1000)
    assert bare.at_risk - kept.at_risk == Fraction(4, 100) * Fraction(95, 100)
