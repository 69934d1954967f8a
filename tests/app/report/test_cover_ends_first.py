"""What ends a cover first, against values worked by hand."""

from decimal import Decimal
from fractions import Fraction

import pytest

from firstcap.app.report import words
from firstcap.worth.cover import DAYS_PER_YEAR, Cover, cover_of, end_of, yearly_uses, years_to_cap

# Years until a cap is used up by a home of 300 gallons a day (EPA: "more than 300 gallons a day",
# https://publicaccess.zendesk.com/hc/en-us/articles/211392478) and by one of 205 (2.5 persons at the 82 gallons a day
# of USGS Circular 1441 for 2015, read at second hand), worked by hand with 365.25 days a year.
YEARS_TO_CAP = [
    (500_000, 300, "4.563"),
    (500_000, 205, "6.678"),
    (1_000_000, 300, "9.126"),
    (1_000_000, 205, "13.355"),
    (1_500_000, 300, "13.689"),
    (1_500_000, 205, "20.033"),
    (2_000_000, 300, "18.252"),
    (2_000_000, 205, "26.711"),
]


@pytest.mark.parametrize(("cap", "per_day", "years"), YEARS_TO_CAP)
def test_years_to_a_cap_agree_with_hand_worked_values(cap: int, per_day: int, years: str) -> None:
    assert round(years_to_cap(cap, per_day * DAYS_PER_YEAR), 3) == Fraction(years)


def test_fifteen_years_or_a_million_and_a_half_end_by_volume_at_300_gallons_a_day_and_by_time_at_205() -> None:
    cover = cover_of(Decimal(180), None, Decimal(1_500_000))
    busy, quiet = (end_of(cover, per_day * DAYS_PER_YEAR) for per_day in (300, 205))
    assert (busy.by, round(busy.years or 0, 3)) == ("volume", Fraction("13.689"))
    assert (quiet.by, quiet.years) == ("time", 15)


def test_the_break_even_use_is_the_cap_over_the_years() -> None:
    cover = cover_of(Decimal(60), None, Decimal(500_000))
    assert cover.break_even_per_year == 100_000
    assert words.break_even(cover) == "above 100,000 gal/yr (≈ 274 gal/day)"  # 100,000 / 365.25 = 273.785…
    assert end_of(cover, Fraction(100_000)).by == "both"
    assert end_of(cover, Fraction(100_001)).by == "volume"
    assert end_of(cover, Fraction(99_999)).by == "time"


def test_with_the_later_of_two_limits_the_volume_decides_for_small_users() -> None:
    cover = cover_of(Decimal(60), None, Decimal(500_000), "last_of")
    assert end_of(cover, Fraction(50_000)) == end_of(Cover(None, Fraction(500_000), "volume_only"), Fraction(50_000))
    assert end_of(cover, Fraction(200_000)).by == "time"
    assert words.break_even(cover) == "below 100,000 gal/yr (≈ 274 gal/day)"


def test_two_limits_without_a_rule_end_at_the_earlier_one_and_say_that_no_rule_is_stated() -> None:
    cover = cover_of(Decimal(60), None, Decimal(500_000), "unstated")
    assert end_of(cover, Fraction(200_000)).years == Fraction(5, 2)
    assert "if the first limit ends it" in (words.break_even(cover) or "")


def test_one_limit_has_no_break_even_and_none_at_all_has_no_end() -> None:
    assert cover_of(Decimal(60), None, None).break_even_per_year is None
    assert cover_of(None, None, Decimal(500_000)).break_even_per_year is None
    assert end_of(cover_of(None, None, None, "life"), Fraction(100_000)).by == "nothing"


def test_days_are_drawn_as_their_part_of_a_year_and_never_as_months() -> None:
    cover = cover_of(None, 90, None)
    assert cover.years == Fraction(90 * 4, 1461)
    assert words.period(None, 90) == "90 days"


def test_yearly_uses_are_those_of_homes_unless_the_caps_lie_far_off() -> None:
    small = [cover_of(Decimal(60), None, Decimal(500_000))]
    assert yearly_uses(small) == (36_500, 73_000, 109_500, 146_000)
    large = [cover_of(Decimal(24), None, Decimal(20_000_000))]
    uses = yearly_uses(large)
    assert uses[0] < 10_000_000 < uses[-1]
    assert [use / uses[0] for use in uses] == [1, 2, 3, 4]


def test_metric_uses_are_whole_cubic_metres() -> None:
    uses = yearly_uses([], metric=True)
    assert [words.use_a_year(use, metric=True) for use in uses] == ["100 m³/yr", "200 m³/yr", "300 m³/yr", "400 m³/yr"]


@pytest.mark.parametrize(
    ("value", "text", "reason"),
    [
        (Fraction(100_000), "100,000", "exact in three digits: no sign"),
        (Fraction(400_000, 3), "≈ 133,000", "a repeating figure is cut and says so"),
        (Fraction(1461, 4), "≈ 365", "a fraction is dropped"),
        (Fraction(1, 8), "0.125", "exact small figures stay"),
        (Fraction(999_999, 1000), "≈ 1,000", "rounding may carry"),
    ],
)
def test_derived_figures_show_no_false_digits(value: Fraction, text: str, reason: str) -> None:
    assert words.about(value) == text, reason


@pytest.mark.parametrize(
    ("usgal", "gallons", "metres"),
    [
        # NIST HB 44 appendix C: one US gallon is 3.785411784 L.
        (Decimal(500_000), "500,000 gal", "≈ 1,893 m³"),
        (Decimal(2_250_000), "2,250,000 gal", "≈ 8,517 m³"),
        (Decimal("792516.157074"), "≈ 792,500 gal", "3,000 m³"),
    ],
)
def test_a_volume_is_exact_in_the_unit_of_the_document_and_approximate_in_the_other(
    usgal: Decimal, gallons: str, metres: str
) -> None:
    assert (words.volume(usgal), words.volume(usgal, metric=True)) == (gallons, metres)


@pytest.mark.parametrize(
    ("months", "text"),
    [("12", "1 year"), ("60", "5 years"), ("18", "18 months"), ("30", "30 months"), ("7.5", "7.5 months")],
)
def test_months_are_years_only_where_whole(months: str, text: str) -> None:
    assert words.period(Decimal(months)) == text
