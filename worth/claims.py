"""Is a bench result a claim? Registration at a flow against every promise for that flow, with measurement uncertainty.

Flows are US gallons a minute, registration and limits per cent of true volume, all exact. Uncertainty is the expanded
one (coverage factor 2, about 95 %), in percentage points of registration. Rule, sources and a worked example:
docs/claims.md, "Claims".
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from firstcap.schema.claims import Call

COVERAGE_FACTOR = 2
FLOW_TOLERANCE = Fraction(2, 100)


@dataclass(frozen=True)
class Band:
    """At flows from `low` to `high` (equal for a test flow) the meter registers `lower` to `upper`; None: no limit."""

    low: Fraction
    high: Fraction
    lower: Fraction | None
    upper: Fraction | None

    def holds_at(self, flow: Fraction, tolerance: Fraction = FLOW_TOLERANCE) -> bool:
        """A range holds within its ends; a test flow, and the ends of a range, as nearly as a bench can set a flow."""
        return self.low * (1 - tolerance) <= flow <= self.high * (1 + tolerance)


@dataclass(frozen=True)
class Cover:
    """Whether a promise was in force on the day of the test at the registration then; None: it cannot be told.

    `by` is time or volume and `on` the day, where it had ended; `why` says in words what is missing where not told.
    """

    in_force: bool | None
    by: str | None = None
    on: date | None = None
    why: str | None = None


@dataclass(frozen=True)
class Promise:
    term_id: str
    level: str | None
    bands: tuple[Band, ...]
    cover: Cover


@dataclass(frozen=True)
class Run:
    """One run of a meter on the bench; `uncertainty` None where nobody has said it."""

    flow: Fraction
    registration: Fraction
    uncertainty: Fraction | None = None


@dataclass(frozen=True)
class Judged:
    """A run against one band of one promise. `limit` is the limit it fails or is too close to, None where it passes."""

    promise: Promise
    band: Band
    call: Call
    limit: Fraction | None
    chance_outside: float

    @property
    def too_late(self) -> bool:
        """It would be a claim if the cover had not ended."""
        return self.call is Call.COVER_ENDED and self.limit is not None


@dataclass(frozen=True)
class Finding:
    """What is said of a run. `by` is the band that decides; `others` are the other promises for that flow."""

    run: Run
    call: Call
    by: Judged | None
    others: tuple[Judged, ...] = ()


def registration(registered: Fraction, reference: Fraction) -> Fraction:
    """Per cent of the true volume that the meter registered: 100 × meter ÷ reference (common practice).

    >>> registration(Fraction("9.3"), Fraction(10))
    Fraction(93, 1)
    """
    if reference <= 0 or registered < 0:
        raise ValueError("a reference volume lies above zero, a registered one not below it")
    return 100 * registered / reference


def against(run: Run, band: Band) -> tuple[Call, Fraction | None]:
    """Claimable where the result lies beyond a limit by more than its uncertainty; the limit with it.

    Too close to call where a limit lies within the uncertainty, on either side. Without uncertainty a result on the
    limit passes.
    """
    width = run.uncertainty or Fraction(0)
    lower = None if band.lower is None else band.lower - run.registration
    upper = None if band.upper is None else run.registration - band.upper
    close = None
    for limit, beyond in ((band.lower, lower), (band.upper, upper)):
        if beyond is not None and beyond > width:
            return Call.CLAIMABLE, limit
        if beyond is not None and beyond > -width:
            close = limit
    return (Call.NOT_CLAIMABLE, None) if close is None else (Call.TOO_CLOSE, close)


def chance_outside(run: Run, band: Band) -> float:
    """How likely the true value lies outside the band: normal about the result, standard deviation U ÷ 2.

    Zero or one without uncertainty.
    """
    if not run.uncertainty:
        return float(against(run, band)[0] is Call.CLAIMABLE)
    spread = float(run.uncertainty) / COVERAGE_FACTOR

    def below(limit: Fraction | None, otherwise: float) -> float:
        if limit is None:
            return otherwise
        return 0.5 * math.erfc(-float(limit - run.registration) / spread / math.sqrt(2))

    return 1 - (below(band.upper, 1.0) - below(band.lower, 0.0))


def judge(run: Run, promises: Iterable[Promise], tolerance: Fraction = FLOW_TOLERANCE) -> Finding:
    """What the promises for this flow make of a run.

    The first promise in force that it fails makes it claimable, in the order given: new before repaired. A promise
    whose cover cannot be told decides only where the run fails it and no promise in force.
    """
    found = [_judged(run, promise, band) for promise in promises for band in _bands_at(promise, run.flow, tolerance)]
    if not found:
        return Finding(run, Call.NO_PROMISE, None)
    order = list(Call)
    by = min(found, key=lambda one: order.index(one.call))
    return Finding(run, by.call, by, tuple(one for one in found if one.promise is not by.promise))


def _bands_at(promise: Promise, flow: Fraction, tolerance: Fraction) -> Sequence[Band]:
    return [band for band in promise.bands if band.holds_at(flow, tolerance)]


def _judged(run: Run, promise: Promise, band: Band) -> Judged:
    call, limit = against(run, band)
    if promise.cover.in_force is None:
        call = Call.CANNOT_TELL if call is not Call.NOT_CLAIMABLE else call
    elif not promise.cover.in_force:
        call, limit = Call.COVER_ENDED, limit if call is Call.CLAIMABLE else None
    return Judged(promise, band, call, limit, chance_outside(run, band))


def together(findings: Sequence[Finding]) -> Call:
    """What is said of a meter: one flow that fails makes a claim; a flow whose runs differ is too close to call."""
    order = list(Call)
    by_flow: dict[Fraction, set[Call]] = {}
    for finding in findings:
        by_flow.setdefault(finding.run.flow, set()).add(finding.call)
    calls = [Call.TOO_CLOSE if _differ(calls) else min(calls, key=order.index) for calls in by_flow.values()]
    return min(calls, key=order.index) if calls else Call.NO_PROMISE


def _differ(calls: set[Call]) -> bool:
    return Call.CLAIMABLE in calls and bool(calls & {Call.NOT_CLAIMABLE, Call.TOO_CLOSE})
