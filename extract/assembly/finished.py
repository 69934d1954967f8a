"""A term with what speaks for and against it."""

from dataclasses import dataclass

from firstcap.extract.confidence import Features
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import WarningKind


@dataclass(slots=True)
class Finished:
    term: Term
    warnings: list[tuple[WarningKind, str, int]]
    order: tuple[int, int]
    features: Features
