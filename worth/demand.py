"""How much water accounts use, and what a warranty's two limits mean over all of them.

Uses are US gallons a year, exact. Shares and percentiles are of accounts, not of water.
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from firstcap.schema.units import gallons_per
from firstcap.worth.cover import DAYS_PER_YEAR, Cover, End, end_of

# How many of each period a year of 365.25 days has.
PERIODS: dict[str, Fraction] = {
    "day": DAYS_PER_YEAR,
    "month": Fraction(12),
    "bimonth": Fraction(6),
    "quarter": Fraction(4),
    "year": Fraction(1),
}


def gallons_a_year(amount: Fraction, unit: str = "gal", per: str = "year") -> Fraction:
    """A use as billed, in US gallons a year. KeyError for an unknown unit (schema/units.py) or period.

    >>> gallons_a_year(Fraction(300), "gal", "day")
    Fraction(109575, 1)
    """
    return amount * gallons_per(unit) * PERIODS[per]


def quantile(ordered: Sequence[Fraction], share: Fraction) -> Fraction:
    """The smallest value that at least `share` of the values do not exceed; `ordered` ascends and is not empty."""
    count = len(ordered)
    place = -(-share * count // 1) - 1
    return ordered[max(0, min(count - 1, int(place)))]


@dataclass(frozen=True)
class Fate:
    """What becomes of all accounts under one promise.

    Shares of accounts: `volume_first` and `time_first` of those whose cover ends so, `both` on one day, `open` of those
    without an end in sight. `months` are the covers in ascending order; those without an end are not among them.
    """

    volume_first: Fraction
    time_first: Fraction
    both: Fraction
    open: Fraction
    months: tuple[Fraction, ...]

    def covered(self, months: Fraction) -> Fraction:
        """The share of accounts still covered when so many months have gone by."""
        total = Fraction(len(self.months)) / (1 - self.open) if self.open != 1 else Fraction(0)
        ended = bisect_right(self.months, months)
        return Fraction(1) if not total else 1 - Fraction(ended) / total


def fate_of(cover: Cover, uses: Sequence[Fraction], idle_years: Fraction = Fraction(0)) -> Fate:
    """The end of the cover for every account; ValueError without accounts. See `cover.end_of` for `idle_years`."""
    if not uses:
        raise ValueError("there are no accounts")
    ends = [end_of(cover, use, idle_years) for use in uses]

    def share(by: str) -> Fraction:
        return Fraction(sum(end.by == by for end in ends), len(ends))

    months = sorted(months_of(end) for end in ends if end.years is not None)
    return Fate(share("volume"), share("time"), share("both"), share("nothing"), tuple(months))


def months_of(end: End) -> Fraction:
    """The length of a cover in months; ValueError where it has no end."""
    if end.years is None:
        raise ValueError("a cover without an end has no length")
    return end.years * 12
