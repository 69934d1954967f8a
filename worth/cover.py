"""What ends a cover first: the arithmetic of a time limit against a registration cap.

A year of use is a calendar year of 365.25 days; gallons are US gallons. Everything is exact until it is put in words.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from firstcap.schema.units import gallons_per
from firstcap.schema.vocabulary import Ends

DAYS_PER_YEAR = Fraction(1461, 4)
MONTHS_PER_YEAR = 12

# 100, 200, 300 and 400 gallons a day, 365 days a year; in metric comparisons round cubic metres a year.
_USE_PER_YEAR = tuple(Fraction(36_500 * step) for step in (1, 2, 3, 4))
_METRIC_USE_PER_YEAR = tuple(Fraction(100 * step) for step in (1, 2, 3, 4))
_SAME = Fraction(1, 10**9)  # a cap converted into gallons is not quite whole any more
_NEAR = (Fraction(1, 2), Fraction(2))


@dataclass(frozen=True)
class Cover:
    """One promise as a rectangle: `years` wide, `usgal` high; None on a side that is open or not stated."""

    years: Fraction | None
    usgal: Fraction | None
    ends: str

    @property
    def open_above(self) -> bool:
        return self.years is not None and self.usgal is None

    @property
    def open_right(self) -> bool:
        return self.usgal is not None and self.years is None

    @property
    def break_even_per_year(self) -> Fraction | None:
        """The yearly use at which both caps are met on the same day: above it the volume is used up first."""
        if not self.years or self.usgal is None:
            return None
        return self.usgal / self.years

    @property
    def break_even_per_day(self) -> Fraction | None:
        yearly = self.break_even_per_year
        return None if yearly is None else yearly / DAYS_PER_YEAR


@dataclass(frozen=True)
class End:
    """When an account's cover ends: `years` after the start, by `time`, by `volume` or by `both` at once.

    `years` is None where the cover has no end in sight (`nothing`): a promise for life, or none of the caps stated.
    """

    years: Fraction | None
    by: str
    usgal: Fraction | None = None


def cover_of(months: Decimal | None, days: int | None, usgal: Decimal | None, ends: str = Ends.FIRST_OF.value) -> Cover:
    """The rectangle of a promise. Days become years only here, for the picture; no date is reckoned from it."""
    years: Fraction | None = None
    if months is not None:
        years = Fraction(months) / MONTHS_PER_YEAR
    elif days is not None:
        years = Fraction(days) / DAYS_PER_YEAR
    return Cover(years, None if usgal is None else Fraction(usgal), ends)


@dataclass(frozen=True)
class TimeLimit:
    """So many years from a clock that starts `starts` years after the meter was shipped."""

    years: Fraction
    starts: Fraction = Fraction(0)

    @property
    def ends(self) -> Fraction:
        return self.starts + self.years


@dataclass(frozen=True)
class Span:
    """A promise laid on a meter's own days: `cover` counts from the first clock that starts, `idle_years` before first
    use; below zero where the clock starts only after it.
    """

    cover: Cover
    idle_years: Fraction

    @property
    def break_even_per_year(self) -> Fraction | None:
        """The yearly use at which both caps are met on the same day; use begins at the end of `idle_years`."""
        if self.cover.years is None or self.cover.usgal is None or self.cover.years <= self.idle_years:
            return None
        return self.cover.usgal / (self.cover.years - self.idle_years)


def span_of(
    times: Sequence[TimeLimit], volumes: Sequence[Fraction], ends: str, first_use: Fraction, starts: Fraction
) -> Span:
    """Several limits of a kind as one of each: the earliest ends the cover, the latest where the document says so.

    `first_use` and `starts` (of the clock, where no time limit is stated) are years after shipment.
    """
    pick = max if ends == Ends.LAST_OF else min
    start = min((limit.starts for limit in times), default=starts)
    years = pick(limit.ends for limit in times) - start if times else None
    return Span(Cover(years, pick(volumes) if volumes else None, ends), first_use - start)


def years_to_cap(usgal: Fraction | Decimal | int, per_year: Fraction | Decimal | int) -> Fraction:
    """Years until an account that registers `per_year` gallons a year has registered `usgal`."""
    return Fraction(usgal) / Fraction(per_year)


def end_of(cover: Cover, per_year: Fraction, idle_years: Fraction = Fraction(0)) -> End:
    """Which cap an account of steady yearly use meets, and when.

    `idle_years` run from the start of the warranty until the meter is put to use: they use up years, not volume. An
    account without use never meets a volume cap. Where the document names two limits without a rule between them, the
    earlier one is shown: the careful reading.
    """
    by_volume = None
    if cover.usgal is not None and per_year > 0:
        by_volume = max(Fraction(0), idle_years + years_to_cap(cover.usgal, per_year))
    if by_volume is None:
        only_time = cover.years is not None and not (cover.usgal is not None and cover.ends == Ends.LAST_OF)
        return End(cover.years, "time", _registered(cover.years, per_year, idle_years)) if only_time else _ENDLESS
    if cover.years is None:
        return End(by_volume, "volume", cover.usgal)
    if abs(by_volume - cover.years) <= cover.years * _SAME:
        return End(cover.years, "both", cover.usgal)
    volume_decides = (by_volume < cover.years) != (cover.ends == Ends.LAST_OF)
    years = by_volume if volume_decides else cover.years
    return End(years, "volume" if volume_decides else "time", _registered(years, per_year, idle_years))


def _registered(years: Fraction | None, per_year: Fraction, idle_years: Fraction) -> Fraction:
    return max(Fraction(0), (years or Fraction(0)) - idle_years) * per_year


_ENDLESS = End(None, "nothing")


def yearly_uses(covers: Sequence[Cover], *, metric: bool = False) -> tuple[Fraction, ...]:
    """Four yearly uses in gallons that let a reader see which cap comes first, lowest first.

    Those of households, unless the promises break even far from them, as large meters do: then a round multiple (1, 2
    or 5 times a power of ten) of the same four.
    """
    unit = gallons_per("m3") if metric else Fraction(1)
    uses = tuple(use * unit for use in (_METRIC_USE_PER_YEAR if metric else _USE_PER_YEAR))
    turning = sorted(cover.break_even_per_year for cover in covers if cover.break_even_per_year is not None)
    if not turning:
        return uses
    middle = turning[len(turning) // 2] / ((uses[0] + uses[-1]) / 2)
    if _NEAR[0] <= middle <= _NEAR[1]:
        return uses
    multiples = (Fraction(10) ** power * digit for power in range(-4, 7) for digit in (1, 2, 5))
    factor = min(multiples, key=lambda multiple: max(multiple / middle, middle / multiple))
    return tuple(use * factor for use in uses)
