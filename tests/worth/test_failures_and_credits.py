"""Failure curves and the worth of prorated credits, against scipy and values worked by hand."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from firstcap.worth.credits import Step, customer_pays, schedule, worth_of
from firstcap.worth.failure import Exponential, FailureCurve, Table, Weibull


def years(low: int, high: int, percent: str | None) -> Step:
    return Step(Fraction(12 * low), Fraction(12 * high), None if percent is None else Fraction(percent) / 100)


# Free for ten years, then 30 % in year 11, rising five points a year to 75 % in year 20 (numbers invented).
STEPS = (years(0, 10, "0"), *(years(n, n + 1, str(30 + 5 * (n - 10))) for n in range(10, 20)))


@pytest.mark.parametrize("shape", [0.7, 1.0, 2.2, 4.0])
@pytest.mark.parametrize("age", [0.0, 0.3, 5.0, 12.5, 40.0])
def test_the_weibull_curve_is_that_of_scipy(shape: float, age: float) -> None:
    ours, theirs = Weibull(shape, 18.0), stats.weibull_min(shape, scale=18.0)
    assert ours.failed(age) == pytest.approx(theirs.cdf(age), abs=1e-12)
    if ours.failed(age) < 1 - 1e-9:
        assert ours.age_at(ours.failed(age)) == pytest.approx(age, rel=1e-6, abs=1e-9)


@pytest.mark.parametrize("age", [0.0, 1.0, 9.0, 60.0])
def test_the_exponential_curve_is_that_of_scipy_and_a_weibull_of_shape_one(age: float) -> None:
    assert Exponential(15.0).failed(age) == pytest.approx(stats.expon(scale=15.0).cdf(age), abs=1e-12)
    assert Exponential(15.0).failed(age) == pytest.approx(Weibull(1.0, 15.0).failed(age))


@pytest.mark.parametrize("curve", [Weibull(0.8, 20.0), Weibull(2.5, 18.0), Exponential(15.0)])
@pytest.mark.parametrize("discount", [0.0, 0.04, 0.12])
def test_the_expected_credit_is_the_integral_scipy_finds(curve: FailureCurve, discount: float) -> None:
    if isinstance(curve, Weibull):
        density = stats.weibull_min(curve.shape, scale=curve.scale).pdf
    else:
        density = stats.expon(scale=15.0).pdf
    expected = sum(
        (1 - float(step.share or 0))
        * integrate.quad(
            lambda t: density(t) * (1 + discount) ** -t, float(step.low) / 12, float(step.high) / 12, epsabs=1e-10
        )[0]
        for step in STEPS
    )
    assert worth_of(STEPS, curve, discount).most == pytest.approx(expected, rel=2e-4)


def test_a_table_is_joined_by_straight_lines_and_ends_with_its_last_row() -> None:
    table = Table((1.0, 10.0, 20.0), (0.0, 0.2, 0.5))
    assert table.failed(5.5) == pytest.approx(0.1) and table.failed(15) == pytest.approx(0.35)
    assert table.failed(30) == 0.5 and table.age_at(0.35) == pytest.approx(15)
    assert worth_of(STEPS, table).failed_in_cover == pytest.approx(0.5)
    with pytest.raises(ValueError, match="never fall"):
        Table((1.0, 2.0), (0.3, 0.2))


def test_a_claim_in_year_thirteen_is_paid_as_the_step_for_year_thirteen_says() -> None:
    # Worked by hand (price 200): age 12.0 years is year 13, the customer's share is 40 %: pays 80, credit 120.
    assert customer_pays(STEPS, Fraction(144)) == Fraction(40, 100)
    assert 200 * (1 - Fraction(40, 100)) == 120
    assert customer_pays(STEPS, Fraction("119.9")) == 0 and customer_pays(STEPS, Fraction(240)) == 1


def test_linear_monthly_decline_on_the_tail_gives_the_credit_worked_by_hand() -> None:
    # Price 200, free 120 months, linear over the next 120: at 147 months 200 x (240 - 147) / 120 = 155.00
    monthly = [(Fraction(m), Fraction(m + 1), Fraction(m - 120, 120)) for m in range(120, 240)]
    steps = schedule(monthly, Fraction(120), Fraction(240))
    paid = customer_pays(steps, Fraction(147))
    assert paid is not None and 200 * (1 - paid) == 155


def test_what_is_paid_after_the_free_period_is_unsaid_where_no_rate_is_printed() -> None:
    steps = schedule([(Fraction(0), Fraction(120), Fraction(0))], Fraction(120), Fraction(240))
    assert customer_pays(steps, Fraction(150)) is None
    worth = worth_of(steps, Exponential(15.0))
    failed = Exponential(15.0).failed
    assert worth.least == pytest.approx(failed(10)) and worth.most == pytest.approx(failed(20))


@given(st.floats(0.5, 5), st.floats(2, 60), st.floats(0, 0.2))
def test_a_credit_is_never_worth_more_than_the_units_that_fail(shape: float, scale: float, discount: float) -> None:
    worth = worth_of(STEPS, Weibull(shape, scale), discount)
    assert 0 <= worth.least <= worth.most <= worth.failed_in_cover + 1e-9
