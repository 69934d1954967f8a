"""Fits the confidence of terms to what people decided. The same decisions give the same file, to the last digit."""

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from firstcap.app.confirm.core import confirmed_as_a_whole
from firstcap.app.confirm.second import INSTALL, value_of
from firstcap.extract.confidence import Calibration, logit, patterns_of, read_confidence
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import TermState
from firstcap.store.catalogue import Catalogue, StoredTerm

# Pulls of the shift and of the patterns' weights towards 0, so that few decisions move little: a pattern's weight is
# worth its place only where several decisions speak for it. Chosen with bench/recalibrate.py: over 857 labelled terms,
# each judged by a fit to other documents, the Brier score is 0.047 as read and 0.036 calibrated, its least.
SHIFT_PULL = 1.0
PATTERN_PULL = 2.0
LEAST = 10  # decided terms below which nothing is fitted
# What makes a term right: which promise it is, and its numbers (as the shipped confidence counts it).
_RIGHT = (
    *("size_label", "component", "promise", "accuracy_level", "duration_months", "full_months", "duration_days"),
    *("volume_cap_usgal", "limits", "bands", "credits"),
)


@dataclass(frozen=True, slots=True)
class Example:
    """A decided proposal: how sure it was read, with which patterns, and whether it was right."""

    term_id: str
    read: float
    patterns: frozenset[str]
    right: bool


@dataclass(frozen=True, slots=True)
class Fit:
    """A calibration with the mean squared error of the confidence (Brier score) before and after it."""

    calibration: Calibration
    decided: int
    right: int
    before: float
    after: float


def beside(catalogue: Path) -> Path:
    """Where the calibration of a catalogue lies unless another place is named: `x.confidence.toml` for `x.duckdb`."""
    return catalogue.with_suffix(".confidence.toml")


def examples(catalogue: Catalogue) -> list[Example]:
    """Every proposal of the latest readings that a person has decided as a whole, in the order of its id."""
    whole = confirmed_as_a_whole(catalogue.decisions())
    found = []
    for stored in catalogue.terms():
        read = read_confidence(stored.proposal) if stored.proposal is not None else None
        if stored.proposal is None or read is None:
            continue
        right = _is_right(stored)
        if stored.state is TermState.STRUCK or (stored.state is not TermState.PROPOSED and not right):
            found.append(Example(stored.term_id, read, patterns_of(stored.proposal), False))
        elif stored.term_id in whole:
            found.append(Example(stored.term_id, read, patterns_of(stored.proposal), True))
    return sorted(found, key=lambda one: one.term_id)


def _is_right(stored: StoredTerm) -> bool:
    assert stored.proposal is not None
    proposal = stored.proposal
    return all(value_of(proposal, name) == value_of(stored.term, name) for name in _RIGHT)


def fit(decided: Sequence[Example]) -> Fit:
    """A logistic regression over the confidence as read: a shift for all, a weight for each pattern, both held back.

    UsageError where fewer than LEAST terms are decided, or the extra `statistics` (SciPy) is not there.
    """
    if len(decided) < LEAST:
        raise UsageError(
            f"{len(decided)} terms are decided; a confidence is fitted to {LEAST} or more: confirm some first"
        )
    try:
        import numpy as np
        from scipy.optimize import minimize
    except ImportError as problem:
        raise UsageError(f"the confidence is fitted by SciPy; {INSTALL}") from problem
    names = sorted({name for one in decided for name in one.patterns})
    offset = np.array([logit(one.read) for one in decided])
    has = np.array([[float(name in one.patterns) for name in names] for one in decided])
    right = np.array([float(one.right) for one in decided])
    pull = np.array([SHIFT_PULL, *([PATTERN_PULL] * len(names))])

    def loss(weights: "np.ndarray[tuple[int], np.dtype[np.float64]]") -> float:
        odds = offset + weights[0] - has @ weights[1:]
        surprise = np.logaddexp(0, -odds) * right + np.logaddexp(0, odds) * (1 - right)
        return float(np.sum(surprise) + np.sum(pull * weights**2) / 2)

    found = minimize(loss, np.zeros(len(names) + 1), method="L-BFGS-B")
    rounded = [round(float(weight), 2) + 0.0 for weight in found.x]
    weights = {name: weight for name, weight in zip(names, rounded[1:], strict=True) if weight}
    calibration = Calibration(rounded[0], weights)
    after = np.array([calibration.confidence(one.read, one.patterns) for one in decided])
    before = np.array([one.read for one in decided])
    return Fit(
        calibration,
        decided=len(decided),
        right=int(right.sum()),
        before=float(np.mean((before - right) ** 2)),
        after=float(np.mean((after - right) ** 2)),
    )


def to_toml(fitted: Fit) -> str:
    """The file as it is written."""
    lines = [
        "# Fitted to decisions by `firstcap patterns --recalibrate`; later readings use it. A positive weight speaks",
        "# against terms that were read with the pattern. Do not edit by hand.",
        f"decided = {fitted.decided}",
        f"right = {fitted.right}",
        f"shift = {fitted.calibration.shift}",
        "",
        "[patterns]",
        *(f'"{name}" = {weight}' for name, weight in sorted(fitted.calibration.patterns.items())),
    ]
    return "\n".join(lines) + "\n"


def load(path: Path) -> Calibration:
    """The calibration in a file; UsageError for one that is not there or is none."""
    try:
        return Calibration.from_toml(path.read_text(encoding="utf-8"))
    except FileNotFoundError as problem:
        told = "there is no such file; make one with `firstcap patterns --recalibrate`"
        raise UsageError(told, file=str(path)) from problem
    except (OSError, ValueError, tomllib.TOMLDecodeError) as problem:
        raise UsageError(
            f"this is no calibration ({problem}); make one anew with `firstcap patterns --recalibrate`", file=str(path)
        ) from problem
