"""How sure a term is: features of its reading, each with a weight. The weights are fitted (bench/fit_confidence.py).

A Calibration, fitted to what people decided, moves that confidence for later readings.
"""

import hashlib
import tomllib
from collections.abc import Iterable, Mapping
from dataclasses import astuple, dataclass, field, fields
from functools import cache
from math import exp, log
from pathlib import Path

from firstcap.schema.terms import Reading, Term


@dataclass(frozen=True, slots=True)
class Features:
    """What speaks for or against a term's numbers. Every one is a fact of the reading, none a guess."""

    table: bool = False
    ocr: bool = False
    conflict: bool = False
    no_rule: bool = False
    footnote: bool = False
    component_default: bool = False
    promise_default: bool = False
    inherited: int = 0
    no_start: bool = False
    many_times: bool = False
    extra_volumes: bool = False
    credits: bool = False
    flowless_bands: bool = False
    no_band: bool = False
    role_default: bool = False
    words: bool = False
    stage_words: bool = False  # the text speaks of a prorated stage, and none was read
    alone: bool = False  # a table row that no sentence claims
    rival: bool = False  # the same promise is read elsewhere with other numbers
    uneven: bool = False  # other sizes of the same accuracy have a limit or a flow that this one lacks
    loose: bool = (
        False  # no word known here says that it is promised: a part, its time and what is promised stand together
    )
    unread: bool = False  # a time or a volume beside it was taken for no promise

    @classmethod
    def names(cls) -> tuple[str, ...]:
        return tuple(one.name for one in fields(cls))

    def vector(self) -> tuple[float, ...]:
        return tuple(float(value) for value in astuple(self))


WEIGHTS_FILE = Path(__file__).with_name("confidence.toml")


@cache
def _weights() -> dict[str, float]:
    return tomllib.loads(WEIGHTS_FILE.read_text())


def logistic(features: Features, weights: dict[str, float]) -> float:
    """0 to 1, by weights named as the features; a positive weight speaks against the term."""
    against = sum(
        weights.get(name, 0.0) * value for name, value in zip(Features.names(), features.vector(), strict=True)
    )
    return 1 / (1 + exp(against - weights["intercept"]))


def term_confidence(features: Features) -> float:
    """How likely every number of the term is right, by the fitted weights."""
    return round(logistic(features, _weights()), 4)


WHOLE = "quote"  # the field of the evidence of a term as a whole: its table row or its sentence
_SUREST = 0.999


def stamped(term: Term) -> Term:
    """The term with its confidence kept in the evidence of the whole, where no calibration changes it."""
    evidence = tuple(
        one.model_copy(update={"confidence": term.confidence}) if one.field == WHOLE else one for one in term.evidence
    )
    return term.model_copy(update={"evidence": evidence})


def read_confidence(term: Term) -> float | None:
    """The confidence of a proposal before any calibration; None where its evidence does not keep it."""
    return next((one.confidence for one in term.evidence if one.field == WHOLE), None)


def patterns_of(term: Term) -> frozenset[str]:
    """The patterns that a term was read with."""
    return frozenset(one.pattern for one in term.evidence if one.pattern)


def logit(chance: float) -> float:
    """Log odds, of chances kept off 0 and 1."""
    held = min(max(chance, 1 - _SUREST), _SUREST)
    return log(held / (1 - held))


@dataclass(frozen=True, slots=True)
class Calibration:
    """What decisions add to the log odds of a term: `shift` for every one, less the weight of each pattern it was read
    with. A positive weight speaks against the term.
    """

    shift: float = 0.0
    patterns: Mapping[str, float] = field(default_factory=dict)

    @classmethod
    def from_toml(cls, text: str) -> "Calibration":
        """ValueError for a text that is no calibration."""
        told = tomllib.loads(text)
        patterns = told.get("patterns", {})
        if not isinstance(patterns, dict) or "shift" not in told:
            raise ValueError("a calibration holds a shift and a table of patterns")
        return cls(float(told["shift"]), {str(name): float(weight) for name, weight in patterns.items()})

    def confidence(self, read: float, patterns: Iterable[str]) -> float:
        """How likely a term is right that was read with this confidence and these patterns."""
        against = sum(self.patterns.get(name, 0.0) for name in patterns)
        return round(1 / (1 + exp(-(logit(read) + self.shift - against))), 4)

    def reader(self, name: str) -> str:
        """The reader's name with the calibration in it: another calibration is another reader."""
        text = repr((self.shift, sorted(self.patterns.items())))
        return f"{name}, calibration {hashlib.sha256(text.encode()).hexdigest()[:12]}"

    def applied(self, reading: Reading) -> Reading:
        """The reading with the confidence of its terms moved. What it was stays in the evidence of the whole."""
        terms = tuple(
            term
            if (read := read_confidence(term)) is None
            else term.model_copy(update={"confidence": self.confidence(read, patterns_of(term))})
            for term in reading.terms
        )
        return reading.model_copy(update={"terms": terms, "reader": self.reader(reading.reader)})
