"""How much water may go unregistered within a promise: bands of demand against promised lower limits.

Flows are US gallons a minute; shares and limits are fractions of one. Formulas with a published example: docs/worth.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

ONE = Fraction(1)


@dataclass(frozen=True)
class DemandBand:
    """A share of the water that runs at flows from `low` to `high`; equal for one flow."""

    low: Fraction
    high: Fraction
    share: Fraction


@dataclass(frozen=True)
class PromisedLimit:
    """At flows from `low` to `high` at least `lower` of the true volume is registered."""

    low: Fraction
    high: Fraction
    lower: Fraction


@dataclass(frozen=True)
class Exposure:
    """Shares of the volume, each a range: what may go unregistered within the promise, and what is not protected.

    `at_risk` is the high end of both together: what is not protected may be lost altogether.
    """

    least: Fraction
    most: Fraction
    unprotected_least: Fraction
    unprotected_most: Fraction
    at_risk: Fraction

    def __add__(self, other: "Exposure") -> "Exposure":
        return Exposure(
            self.least + other.least,
            self.most + other.most,
            self.unprotected_least + other.unprotected_least,
            self.unprotected_most + other.unprotected_most,
            self.at_risk + other.at_risk,
        )


def loss(share: Fraction, lower: Fraction, *, registered: bool = False) -> Fraction:
    """What a share of the volume loses at a registration of `lower`; below zero where the meter runs fast.

    `registered`: the share is of the registered volume, not of the true one.
    """
    return share * (ONE / lower - 1) if registered else share * (1 - lower)


def limits_at(flow: Fraction, promised: Sequence[PromisedLimit]) -> tuple[Fraction, Fraction] | None:
    """The weakest and the tightest lower limit that may hold at `flow`; None where nothing is promised.

    A flow within promised ranges takes the tightest of them. Between promised flows both neighbours may hold.
    """
    within = [limit.lower for limit in promised if limit.low <= flow <= limit.high]
    if within:
        return max(within), max(within)
    below = [limit for limit in promised if limit.high < flow]
    above = [limit for limit in promised if limit.low > flow]
    if not below or not above:
        return None
    nearest_below = max(limit.high for limit in below)
    nearest_above = min(limit.low for limit in above)
    neighbours = [
        max(limit.lower for limit in below if limit.high == nearest_below),
        max(limit.lower for limit in above if limit.low == nearest_above),
    ]
    return min(neighbours), max(neighbours)


def exposure_of(
    demand: Sequence[DemandBand], promised: Sequence[PromisedLimit], *, registered: bool = False
) -> Exposure:
    """The exposure of one promise; ValueError where the shares do not sum to one or nothing is promised."""
    if sum(band.share for band in demand) != ONE:
        raise ValueError("the shares of demand do not sum to one")
    if not promised:
        raise ValueError("no lower limit is promised")
    total = Exposure(*[Fraction(0)] * 5)
    for band in demand:
        total = total + _of_band(band, promised, registered)
    return total


def _of_band(band: DemandBand, promised: Sequence[PromisedLimit], registered: bool) -> Exposure:
    held = [limits_at(flow, promised) for flow in _sample(band, promised)]
    protected = [limits for limits in held if limits is not None]
    bare = len(protected) < len(held)
    share = band.share
    if not protected:
        return Exposure(Fraction(0), Fraction(0), share, share, share)
    losses = [loss(share, lower, registered=registered) for limits in protected for lower in limits]
    least, most = min(losses), max(losses)
    if bare:
        return Exposure(min(least, Fraction(0)), max(most, Fraction(0)), Fraction(0), share, max(most, share))
    return Exposure(least, most, Fraction(0), Fraction(0), most)


def _sample(band: DemandBand, promised: Sequence[PromisedLimit]) -> list[Fraction]:
    """One flow inside each stretch of the band over which the promise does not change.

    Where a band only touches a promised flow with its end, that flow is no stretch of it.
    """
    if band.low == band.high:
        return [band.low]
    edges = {limit.low for limit in promised} | {limit.high for limit in promised}
    cuts = sorted({band.low, band.high, *(edge for edge in edges if band.low < edge < band.high)})
    return [(first + last) / 2 for first, last in pairwise(cuts)]
