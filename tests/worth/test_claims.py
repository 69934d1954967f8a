"""Bench results against promises, with published limits; uncertainty against scipy and the rules of conformity."""

from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from firstcap.schema.claims import Call
from firstcap.worth.claims import (
    Band,
    Cover,
    Finding,
    Judged,
    Promise,
    Run,
    against,
    chance_outside,
    judge,
    registration,
    together,
)
from firstcap.worth.stakes import stake_of

IN_FORCE = Cover(True)


def band(low: str, high: str, *limits: str | None) -> Band:
    lower, upper = (None if limit is None else Fraction(limit) for limit in limits)
    return Band(Fraction(low), Fraction(high), lower, upper)


# Limits of a 5/8 inch displacement meter at 1/4, 2 and 15 gpm: 83 Ill. Adm. Code 600.310(b).
def promise(level: str, cover: Cover = IN_FORCE) -> Promise:
    least = {"new_meter": "95", "repaired_meter": "90"}[level]
    bands = (band("0.25", "0.25", least, "101.5"), band("2", "2", "98.5", "101.5"), band("15", "15", "98.5", "101.5"))
    return Promise(level, level, bands, cover)


NEW, REPAIRED = promise("new_meter"), promise("repaired_meter")
NEW_ENDED = promise("new_meter", Cover(False, "volume", date(2024, 5, 1)))


def run(flow: str, percent: str, uncertainty: str | None = None) -> Run:
    return Run(Fraction(flow), Fraction(percent), None if uncertainty is None else Fraction(uncertainty))


def calls(promises: tuple[Promise, ...], *runs: Run) -> Call:
    return together([judge(one, promises) for one in runs])


FIRST = (run("0.25", "93.0"), run("2", "99.4"), run("15", "99.0"))


def test_a_meter_at_93_per_cent_fails_new_limits_and_passes_repaired_ones() -> None:
    assert calls((NEW,), *FIRST) is Call.CLAIMABLE
    assert calls((REPAIRED,), *FIRST) is Call.NOT_CLAIMABLE


def test_a_meter_at_89_9_per_cent_fails_both_and_so_does_one_flow_alone() -> None:
    for held in (NEW, REPAIRED):
        assert calls((held,), run("0.25", "89.9"), *FIRST[1:]) is Call.CLAIMABLE
        assert calls((held,), run("0.25", "96"), run("2", "99.4"), run("15", "98.4")) is Call.CLAIMABLE


@pytest.mark.parametrize(("flow", "percent"), [("0.25", "95"), ("2", "98.5"), ("15", "101.5"), ("0.25", "101.5")])
def test_limits_belong_to_the_band(flow: str, percent: str) -> None:
    assert calls((NEW,), run(flow, percent)) is Call.NOT_CLAIMABLE  # common practice


def test_a_fast_meter_fails_as_a_slow_one_does() -> None:
    found = judge(run("2", "101.6"), (NEW,))
    assert found.call is Call.CLAIMABLE and found.by is not None and found.by.limit == Fraction("101.5")


def test_once_the_new_meter_promise_has_ended_the_repaired_one_decides() -> None:
    held = (NEW_ENDED, REPAIRED)
    passed = judge(FIRST[0], held)
    assert passed.call is Call.NOT_CLAIMABLE and passed.by is not None and passed.by.promise is REPAIRED
    (late,) = passed.others
    assert late.too_late and late.limit == 95 and late.promise.cover.by == "volume"
    assert judge(run("0.25", "89.9"), held).call is Call.CLAIMABLE
    assert judge(run("0.25", "89.9"), (NEW_ENDED,)).call is Call.COVER_ENDED


def test_the_new_meter_promise_is_claimed_on_while_both_are_in_force() -> None:
    found = judge(run("0.25", "85"), (NEW, REPAIRED))
    assert found.by is not None and found.by.promise is NEW


def test_a_flow_for_which_nothing_is_promised_makes_no_claim() -> None:
    assert judge(run("8", "80"), (NEW, REPAIRED)).call is Call.NO_PROMISE
    ranged = Promise("range", "stated", (band("1", "20", "98.5", "101.5"),), IN_FORCE)
    assert judge(run("8", "80"), (ranged,)).call is Call.CLAIMABLE


def test_a_test_flow_is_met_as_nearly_as_a_bench_can_set_it() -> None:
    # 1/4 gpm is 56.78 L/h; a bench in litres sets 57
    assert judge(Run(Fraction(57) / Fraction("227.1247"), Fraction(90)), (NEW,)).call is Call.CLAIMABLE
    assert judge(run("0.26", "90"), (NEW,)).call is Call.NO_PROMISE


def test_cover_that_cannot_be_told_decides_only_where_it_matters() -> None:
    unknown = promise("new_meter", Cover(None, why="no date of shipment"))
    assert judge(FIRST[0], (unknown, REPAIRED)).call is Call.CANNOT_TELL
    assert judge(run("0.25", "96"), (unknown, REPAIRED)).call is Call.NOT_CLAIMABLE
    assert judge(run("0.25", "85"), (unknown, REPAIRED)).call is Call.CLAIMABLE


# A result counts against a limit only beyond the guard band (w = U): the non-binary rule of ILAC-G8:09/2019, 4.2.3,
# after JCGM 106:2012, 8.3; results on the edge of the guard band are not beyond it.
@pytest.mark.parametrize(
    ("percent", "call"),
    [
        ("98.1", Call.CLAIMABLE),
        ("98.19", Call.CLAIMABLE),
        ("98.2", Call.TOO_CLOSE),
        ("98.4", Call.TOO_CLOSE),
        ("98.6", Call.TOO_CLOSE),
        ("98.8", Call.NOT_CLAIMABLE),
        ("101.2", Call.NOT_CLAIMABLE),
        ("101.3", Call.TOO_CLOSE),
        ("101.9", Call.CLAIMABLE),
    ],
)
def test_a_result_within_its_uncertainty_of_a_limit_is_too_close_to_call(percent: str, call: Call) -> None:
    assert judge(run("2", percent, "0.3"), (NEW,)).call is call


def test_the_chance_that_a_part_conforms_is_that_of_the_standard_example() -> None:
    # JCGM 106:2012, 7.3: breakdown voltage -5.47 V with u = 0.05 V, at most -5.40 V asked: 0.92 (from memory).
    outside = chance_outside(Run(Fraction(1), Fraction("-5.47"), Fraction("0.1")), band("1", "1", None, "-5.40"))
    assert round(1 - outside, 2) == 0.92


@given(st.integers(9000, 10500), st.integers(1, 200))
def test_the_chance_is_that_of_scipy_and_agrees_with_the_call(hundredths: int, width: int) -> None:
    one = Run(Fraction(2), Fraction(hundredths, 100), Fraction(width, 100))
    held = band("2", "2", "98.5", "101.5")
    outside = chance_outside(one, held)
    law = stats.norm(float(one.registration), width / 200)
    assert outside == pytest.approx(1 - (law.cdf(101.5) - law.cdf(98.5)), abs=1e-9)
    if against(one, held)[0] is Call.CLAIMABLE:
        assert outside > stats.norm.cdf(2) - 1e-9  # 97.7 %
    if against(one, held)[0] is Call.NOT_CLAIMABLE:
        assert outside < 2 * (1 - stats.norm.cdf(2)) + 1e-9


@given(st.integers(8000, 11000), st.integers(0, 300), st.integers(0, 300))
def test_more_uncertainty_never_makes_a_claim(hundredths: int, less: int, more: int) -> None:
    less, more = sorted((less, more))
    sure, unsure = (judge(Run(Fraction(2), Fraction(hundredths, 100), Fraction(u, 100)), (NEW,)) for u in (less, more))
    assert unsure.call is sure.call or unsure.call is Call.TOO_CLOSE


def test_runs_at_one_flow_that_differ_settle_nothing() -> None:
    assert calls((NEW,), run("2", "97"), run("2", "99")) is Call.TOO_CLOSE
    assert calls((NEW,), run("2", "97"), run("2", "97.4")) is Call.CLAIMABLE
    assert calls((NEW,), run("2", "97"), run("2", "99"), run("15", "95")) is Call.CLAIMABLE


def test_registration_is_the_meter_over_the_reference() -> None:
    assert registration(Fraction("9.93"), Fraction(10)) == Fraction("99.3")
    with pytest.raises(ValueError, match="above zero"):
        registration(Fraction(1), Fraction(0))


def test_at_stake_are_the_credit_that_lapses_and_the_water_a_failing_meter_misses() -> None:
    # 98,500 gallons billed at 98.5 % were 100,000; 1,500 gallons at 7 a thousand are 10.50; 60 % of 150 are 90.
    stake = stake_of(
        Fraction(98_500),
        Fraction("98.5"),
        customer_pays=Fraction(40, 100),
        price=Fraction(150),
        tariff_per_usgal=Fraction(7, 1000),
    )
    assert (stake.usgal, stake.water, stake.credit, stake.money) == (1500, Fraction("10.5"), 90, Fraction("100.5"))
    assert stake_of(None, Fraction("98.5")).money is None


def test_a_finding_keeps_what_every_promise_says() -> None:
    found = judge(FIRST[0], (NEW, REPAIRED))
    assert isinstance(found, Finding) and all(isinstance(one, Judged) for one in found.others)
    assert [one.promise.level for one in found.others] == ["repaired_meter"]
