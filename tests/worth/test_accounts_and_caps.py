"""What becomes of all accounts under one promise, against other libraries and published examples."""

import doctest
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstcap.worth.cover import Cover, TimeLimit, cover_of, end_of, span_of
from firstcap.worth.demand import PERIODS, fate_of, gallons_a_year, quantile

DOCS = Path(__file__).parents[2] / "docs"
USES = [Fraction(use) for use in (30_000, 64_000, 80_000, 99_999, 100_000, 100_001, 150_000, 220_000, 400_000, 0)]
FIVE_YEARS_OR_HALF_A_MILLION = cover_of(Decimal(60), None, Decimal(500_000))


def test_the_worked_examples_in_the_documentation_come_out_as_printed() -> None:
    failed, tried = doctest.testfile(str(DOCS / "worth.md"), module_relative=False)
    assert tried >= 6 and failed == 0


def test_a_use_of_one_ccf_a_month_is_twelve_times_748_gallons_a_year() -> None:
    # 100 ft³ = 748.051948052 US gal (1728/231 a cubic foot, NIST HB 44 App. C)
    assert round(float(gallons_a_year(Fraction(1), "CCF", "month")), 6) == round(12 * 748.051948052, 6)
    assert gallons_a_year(Fraction(1), "kgal", "quarter") == 4000
    assert sum(1 / count for count in (PERIODS["month"],) * 12) == 1


def test_accounts_above_the_break_even_end_by_volume_and_the_others_by_time() -> None:
    fate = fate_of(FIVE_YEARS_OR_HALF_A_MILLION, USES)
    assert (fate.volume_first, fate.time_first, fate.both) == (Fraction(4, 10), Fraction(5, 10), Fraction(1, 10))
    assert fate.months[0] == Fraction(500_000, 400_000) * 12 and fate.months[-1] == 60
    assert fate.covered(Fraction(59)) == Fraction(7, 10) and fate.covered(Fraction(60)) == 0


def test_shares_and_medians_are_those_another_library_finds() -> None:
    uses = [Fraction(20_000 + 3_700 * step) for step in range(97)]
    fate = fate_of(FIVE_YEARS_OR_HALF_A_MILLION, uses)
    frame = pl.DataFrame({"use": [float(use) for use in uses]}).with_columns(
        months=pl.min_horizontal(pl.lit(60.0), 500_000 / pl.col("use") * 12)
    )
    assert float(fate.volume_first) == pytest.approx(frame.select((pl.col("use") > 100_000).mean()).item())
    for percent in (5, 25, 50, 75, 95):
        outside = np.quantile(frame["months"].to_numpy(), percent / 100, method="inverted_cdf")
        assert float(quantile(fate.months, Fraction(percent, 100))) == pytest.approx(outside)


def test_time_in_store_uses_up_years_and_no_volume() -> None:
    stored = Fraction(1, 2)
    end = end_of(FIVE_YEARS_OR_HALF_A_MILLION, Fraction(200_000), stored)
    assert (end.by, end.years) == ("volume", Fraction(3))  # half a year in store, then 2.5 years to 500,000 gallons
    quiet = end_of(FIVE_YEARS_OR_HALF_A_MILLION, Fraction(50_000), stored)
    assert (quiet.by, quiet.usgal) == ("time", Fraction(225_000))


@pytest.mark.parametrize(
    ("stored", "ends", "months", "in_use"),
    [
        # 18 months from shipment or 12 from installation, whichever is sooner: common practice of the trade
        (0, "first_of", 12, 12),
        (3, "first_of", 15, 12),
        (6, "first_of", 18, 12),
        (9, "first_of", 18, 9),
        (9, "last_of", 21, 12),
    ],
)
def test_of_two_clocks_the_one_that_ends_first_ends_the_cover(stored: int, ends: str, months: int, in_use: int) -> None:
    use = Fraction(stored, 12)
    limits = (TimeLimit(Fraction(18, 12)), TimeLimit(Fraction(1), starts=use))
    span = span_of(limits, (), ends, use, Fraction(0))
    assert span.cover.years == Fraction(months, 12)
    assert span.cover.years - span.idle_years == Fraction(in_use, 12)


def test_time_in_store_raises_the_use_at_which_both_limits_meet() -> None:
    span = span_of((TimeLimit(Fraction(5)),), (Fraction(500_000),), "first_of", Fraction(1, 2), Fraction(0))
    even = span.break_even_per_year
    assert even == Fraction(500_000) / Fraction(9, 2)
    assert end_of(span.cover, even, span.idle_years).by == "both"


def test_an_account_without_use_never_meets_a_volume_cap() -> None:
    assert end_of(FIVE_YEARS_OR_HALF_A_MILLION, Fraction(0)).by == "time"
    assert end_of(Cover(None, Fraction(1000), "volume_only"), Fraction(0)).by == "nothing"
    later = cover_of(Decimal(60), None, Decimal(500_000), "last_of")
    assert end_of(later, Fraction(0)).by == "nothing"


@given(st.integers(1, 10**7), st.integers(1, 480), st.integers(1, 10**8))
def test_no_account_is_covered_longer_than_its_years(use: int, months: int, cap: int) -> None:
    end = end_of(cover_of(Decimal(months), None, Decimal(cap)), Fraction(use))
    assert end.years is not None and end.years * 12 <= months
    assert end.usgal is not None and end.usgal <= cap * (1 + Fraction(1, 10**6))
