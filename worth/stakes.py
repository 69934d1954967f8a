"""What is at stake in a meter whose cover is about to end: the credit that lapses and the water a failing meter misses.

Formula and worked example: docs/claims.md, "Test first".
"""

from dataclasses import dataclass
from fractions import Fraction

from firstcap.worth.exposure import loss


@dataclass(frozen=True)
class Stake:
    """`credit` and `water` in money, `usgal` a year in US gallons; None where what they rest on is not known."""

    usgal: Fraction | None
    water: Fraction | None
    credit: Fraction | None

    @property
    def money(self) -> Fraction | None:
        """Both together; what is not known counts for nothing, and all of it unknown is unknown."""
        known = [part for part in (self.water, self.credit) if part is not None]
        return sum(known, Fraction(0)) if known else None


def stake_of(
    usgal_a_year: Fraction | None,
    lower_pct: Fraction | None,
    *,
    customer_pays: Fraction | None = None,
    price: Fraction | None = None,
    tariff_per_usgal: Fraction | None = None,
    years: Fraction = Fraction(1),
) -> Stake:
    """The stake of one meter.

    `usgal_a_year` is its use as billed, `lower_pct` the promised lower limit that a failing meter falls short of,
    `customer_pays` the share (0 to 1) of `price` that the customer would pay today. `years` is how long a failing meter
    would stay unfound.
    """
    usgal = None
    if usgal_a_year is not None and lower_pct:
        usgal = usgal_a_year * years * loss(Fraction(1), lower_pct / 100, registered=True)
    water = None if usgal is None or tariff_per_usgal is None else usgal * tariff_per_usgal
    credit = None if price is None or customer_pays is None else price * (1 - customer_pays)
    return Stake(usgal, water, credit)
