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
    """A share of the water that runs at flows from `low` to `high`; equal for one flow.

    The share is known within `spread` either way; 0 where it is taken as it stands.
    """

    low: Fraction
    high: Fraction
    share: Fraction
    spread: Fraction = Fraction(0)

    @property
    def least_share(self) -> Fraction:
        return max(Fraction(0), self.share - self.spread)

    @property
    def most_share(self) -> Fraction:
        return min(ONE, self.share + self.spread)


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
    """The exposure of one promise; ValueError where the shares do not sum to one or nothing is promised.

    Where shares are known within a spread only, each end is that of the shares for which it is lowest or highest.
    """
    each = exposures_of(demand, promised, registered=registered)
    return Exposure(
        least_over(demand, [one.least for one in each]),
        most_over(demand, [one.most for one in each]),
        least_over(demand, [one.unprotected_least for one in each]),
        most_over(demand, [one.unprotected_most for one in each]),
        most_over(demand, [one.at_risk for one in each]),
    )


def exposures_of(
    demand: Sequence[DemandBand], promised: Sequence[PromisedLimit], *, registered: bool = False
) -> tuple[Exposure, ...]:
    """What each band of demand would expose if all water ran there; ValueError as for `exposure_of`."""
    if sum(band.share for band in demand) != ONE:
        raise ValueError("the shares of demand do not sum to one")
    if not promised:
        raise ValueError("no lower limit is promised")
    return tuple(_of_band(band, promised, registered) for band in demand)


def most_over(demand: Sequence[DemandBand], worth: Sequence[Fraction]) -> Fraction:
    """The highest Σ share × worth over all shares within their spread that sum to one.

    Filled from the dearest band down: the optimum of a linear sum over a box cut by one plane.
    """
    left = ONE - sum(band.least_share for band in demand)
    total = Fraction(0)
    for band, value in sorted(zip(demand, worth, strict=True), key=lambda one: -one[1]):
        more = min(left, band.most_share - band.least_share)
        left -= more
        total += (band.least_share + more) * value
    return total


def least_over(demand: Sequence[DemandBand], worth: Sequence[Fraction]) -> Fraction:
    """The lowest Σ share × worth; see `most_over`."""
    return -most_over(demand, [-value for value in worth])


def _of_band(band: DemandBand, promised: Sequence[PromisedLimit], registered: bool) -> Exposure:
    held = [limits_at(flow, promised) for flow in _sample(band, promised)]
    protected = [limits for limits in held if limits is not None]
    bare = len(protected) < len(held)
    if not protected:
        return Exposure(Fraction(0), Fraction(0), ONE, ONE, ONE)
    losses = [loss(ONE, lower, registered=registered) for limits in protected for lower in limits]
    least, most = min(losses), max(losses)
    if bare:
        return Exposure(min(least, Fraction(0)), max(most, Fraction(0)), Fraction(0), ONE, max(most, ONE))
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
