"""How sure a term is: features of its reading, each with a weight. The weights are fitted (bench/fit_confidence.py)."""

import tomllib
from dataclasses import astuple, dataclass, fields
from functools import cache
from math import exp
from pathlib import Path


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

    @classmethod
    def names(cls) -> tuple[str, ...]:
        return tuple(field.name for field in fields(cls))

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
