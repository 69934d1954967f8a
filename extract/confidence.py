"""How sure a term is: features of its reading, each with a weight. The weights are set by hand, not yet fitted."""

from dataclasses import astuple, dataclass, fields


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

    @classmethod
    def names(cls) -> tuple[str, ...]:
        return tuple(field.name for field in fields(cls))

    def vector(self) -> tuple[float, ...]:
        return tuple(float(value) for value in astuple(self))


_START = {
    "ocr": 2.6,
    "conflict": 3.0,
    "no_rule": 1.5,
    "footnote": 1.2,
    "component_default": 1.5,
    "promise_default": 1.6,
    "inherited": 0.1,
    "no_start": 1.2,
    "many_times": 3.0,
    "extra_volumes": 2.5,
    "credits": 0.5,
    "flowless_bands": 1.2,
    "no_band": 1.5,
    "role_default": 1.0,
}

# Until the weights are fitted on labelled documents no term claims more than about four in five.
_BEST = 1.4


def term_confidence(features: Features) -> float:
    """0 to 1."""
    from math import exp

    score = _BEST - sum(
        _START.get(name, 0.0) * value for name, value in zip(Features.names(), features.vector(), strict=True)
    )
    return round(1 / (1 + exp(-score)), 4)
