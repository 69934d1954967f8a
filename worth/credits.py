"""What the customer pays when a unit fails at an age, and what the cover is worth over a failure curve.

Ages are months since the start in the terms, years on the failure curve. Formulas and examples: docs/worth.md.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from firstcap.worth.failure import FailureCurve

_PANELS = 128  # of Simpson's rule for each step; must be even


@dataclass(frozen=True)
class Step:
    """From month `low` (included) to month `high` (excluded) the customer pays `share` of the price; None: not said."""

    low: Fraction
    high: Fraction
    share: Fraction | None


def schedule(
    steps: Sequence[tuple[Fraction, Fraction, Fraction]], full_months: Fraction | None, end_months: Fraction
) -> tuple[Step, ...]:
    """The whole cover from month 0 to `end_months`: free while full, then the steps; what neither says stays unsaid."""
    ordered = sorted(steps)
    cuts = {Fraction(0), end_months, *(edge for low, high, _ in ordered for edge in (low, high) if edge < end_months)}
    if full_months is not None and full_months < end_months:
        cuts.add(full_months)
    edges = sorted(cuts)

    def share(month: Fraction) -> Fraction | None:
        for low, high, paid in ordered:
            if low <= month < high:
                return paid
        return Fraction(0) if full_months is not None and month < full_months else None

    return tuple(Step(low, high, share(low)) for low, high in pairwise(edges))


def customer_pays(steps: Sequence[Step], month: Fraction) -> Fraction | None:
    """The customer's share of the price at that age: 1 once the cover has ended, None where the document is silent."""
    for step in steps:
        if step.low <= month < step.high:
            return step.share
    return Fraction(1)


@dataclass(frozen=True)
class Worth:
    """Per unit of price: the expected credit, as a range where steps are unsaid, and the share that fails in cover."""

    least: float
    most: float
    failed_in_cover: float


def worth_of(steps: Sequence[Step], curve: FailureCurve, discount: float = 0.0) -> Worth:
    """The expected credit of the first failure, each discounted from its age at `discount` a year.

    Integrated over the failed share by Simpson's rule, so that steep starts of the curve do no harm.
    """
    if discount <= -1:
        raise ValueError("a discount is above -100 % a year")
    least = most = failed = 0.0
    for step in steps:
        part = _discounted(curve, float(step.low) / 12, float(step.high) / 12, discount)
        credit = None if step.share is None else 1 - float(step.share)
        least += part * (0.0 if credit is None else credit)
        most += part * (1.0 if credit is None else credit)
        failed += curve.failed(float(step.high) / 12) - curve.failed(float(step.low) / 12)
    return Worth(least, most, failed)


def _discounted(curve: FailureCurve, first: float, last: float, discount: float) -> float:
    """∫ (1 + discount)^−t dF(t) from `first` to `last` years."""
    low, high = curve.failed(first), curve.failed(last)
    if discount == 0 or high <= low:
        return high - low
    width = (high - low) / _PANELS

    def at(panel: int) -> float:
        if panel == 0:
            return float((1 + discount) ** -max(first, curve.age_at(low)))
        age = last if panel == _PANELS else curve.age_at(low + panel * width)
        return float((1 + discount) ** -min(last, max(first, age)))

    total = sum(at(panel) * (1 if panel in (0, _PANELS) else 4 if panel % 2 else 2) for panel in range(_PANELS + 1))
    return total * width / 3
