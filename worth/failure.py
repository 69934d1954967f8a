"""Failure curves: the share of units that have failed by an age, in years. Floats: curves are estimates, not terms.

Sources: the two-parameter Weibull and the exponential distribution in their textbook form (IEC 61649:2008 for the
Weibull, from memory); a table of one's own is joined by straight lines.
"""

import math
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Protocol


class FailureCurve(Protocol):
    """`failed(t)` rises from 0; `age_at(failed(t))` is t wherever the curve rises."""

    @property
    def told(self) -> str: ...

    def failed(self, years: float) -> float: ...

    def age_at(self, share: float) -> float: ...


@dataclass(frozen=True)
class Weibull:
    """F(t) = 1 − exp(−(t ÷ scale)^shape). Shape below 1: early failures; 1: chance; above 1: wear."""

    shape: float
    scale: float

    def __post_init__(self) -> None:
        if self.shape <= 0 or self.scale <= 0:
            raise ValueError("shape and scale must be above zero")

    @property
    def told(self) -> str:
        return f"Weibull, shape {self.shape:g}, scale {self.scale:g} years"

    def failed(self, years: float) -> float:
        return -math.expm1(-((years / self.scale) ** self.shape)) if years > 0 else 0.0

    def age_at(self, share: float) -> float:
        return math.inf if share >= 1 else self.scale * math.pow(-math.log1p(-share), 1 / self.shape)


@dataclass(frozen=True)
class Exponential:
    """F(t) = 1 − exp(−t ÷ mean): failures by chance, at the same rate at every age."""

    mean: float

    def __post_init__(self) -> None:
        if self.mean <= 0:
            raise ValueError("the mean life must be above zero")

    @property
    def told(self) -> str:
        return f"exponential, mean life {self.mean:g} years"

    def failed(self, years: float) -> float:
        return -math.expm1(-years / self.mean) if years > 0 else 0.0

    def age_at(self, share: float) -> float:
        return math.inf if share >= 1 else -self.mean * math.log1p(-share)


@dataclass(frozen=True)
class Table:
    """Ages and the shares failed by then, both rising; straight lines between, nothing fails beyond the last row."""

    ages: tuple[float, ...]
    shares: tuple[float, ...]

    def __post_init__(self) -> None:
        rising = all(a < b for a, b in pairwise(self.ages)) and all(a <= b for a, b in pairwise(self.shares))
        if len(self.ages) != len(self.shares) or not self.ages or not rising:
            raise ValueError("ages must rise, and shares failed never fall")
        if self.ages[0] < 0 or self.shares[0] < 0 or self.shares[-1] > 1:
            raise ValueError("ages start at 0 or later, and shares lie between 0 and 1")

    @property
    def told(self) -> str:
        return f"a table of {len(self.ages)} ages, {100 * self.shares[-1]:g} % failed by {self.ages[-1]:g} years"

    def failed(self, years: float) -> float:
        return _between(years, (0.0, *self.ages), (0.0, *self.shares)) if years > 0 else 0.0

    def age_at(self, share: float) -> float:
        return _between(share, (0.0, *self.shares), (0.0, *self.ages), first=True)


def _between(x: float, xs: Sequence[float], ys: Sequence[float], *, first: bool = False) -> float:
    """The value at `x` on straight lines through the points; of several at one x the last, or the first."""
    place = bisect_left(xs, x) if first else bisect_right(xs, x)
    if place >= len(xs):
        return ys[-1]
    if place == 0:
        return ys[0]
    low, high = xs[place - 1], xs[place]
    return ys[place - 1] + (ys[place] - ys[place - 1]) * ((x - low) / (high - low) if high > low else 1.0)
