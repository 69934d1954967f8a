"""Standards that differ by product, type or size in one sentence: "C700 up to 2 inch, C701 above"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns import size
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import MeterType

_KEYS = (Family.PRODUCT, Family.METER_TYPE, Family.SIZE)
_REST = re.compile(
    r"\b(?:above|over|larger|bigger|greater|beyond|upwards?|others?|otherwise|rest|remaining|remainder|else)\b",
    re.IGNORECASE,
)
_UP_TO = re.compile(r"\b(?:up to|to|through|until|as far as|not over|not above)\s*$", re.IGNORECASE)
_NEAR_AFTER, _NEAR_BEFORE = 28, 48  # characters between a standard and what it holds for


@dataclass(frozen=True, slots=True)
class KeyedStandard:
    """A standard and what it holds for; `rest`: all that the others leave."""

    standard: Found
    products: frozenset[str] = frozenset()
    types: frozenset[MeterType] = frozenset()
    sizes: frozenset[str] = frozenset()
    rest: bool = False

    def holds(self, product: str | None, kind: MeterType | None, label: str | None) -> bool:
        """Whether all that it asks for is known of a promise, and fits."""
        asked = [(self.products, product), (self.types, kind), (self.sizes, label)]
        return any(names for names, _ in asked) and all(not names or value in names for names, value in asked)


def keyed_standards(unit: Unit, low: int, high: int) -> tuple[KeyedStandard, ...]:
    """The standards between two places of a sentence, each with its own keys; empty where they are not told apart."""
    standards = [hit for hit in unit.of(Family.STANDARD) if low <= hit.end <= high and hit.start >= unit.start]
    if len({hit.value for hit in standards}) < 2 or len({hit.value for hit in standards}) != len(standards):
        return ()
    keys = [hit for hit in unit.of(*_KEYS) if low <= hit.start < high]
    made = _after(unit, standards, keys, high)
    if not _complete(made):
        made = _before(unit, standards, keys, low)
    return tuple(made) if _complete(made) else ()


def choose(
    keyed: Sequence[KeyedStandard], product: str | None, kind: MeterType | None, label: str | None
) -> Found | None:
    """The one standard that holds for a promise; None where none is said to, or several are."""
    fitting = [item for item in keyed if item.holds(product, kind, label)]
    if not fitting:
        others = [item for item in keyed if not item.rest]
        known = all(
            (not item.products or product) and (not item.types or kind) and (not item.sizes or label) for item in others
        )
        fitting = [item for item in keyed if item.rest and known]
    return fitting[0].standard if len(fitting) == 1 else None


def _complete(made: Sequence[KeyedStandard]) -> bool:
    keyed = [item for item in made if item.products or item.types or item.sizes]
    rest = [item for item in made if item.rest]
    return bool(keyed) and len(rest) <= 1 and len(keyed) + len(rest) == len(made)


def _after(unit: Unit, standards: Sequence[Hit], keys: Sequence[Hit], high: int) -> list[KeyedStandard]:
    made = []
    for index, hit in enumerate(standards):
        end = standards[index + 1].start if index + 1 < len(standards) else high
        own: list[Hit] = []
        place = hit.end
        for key in keys:
            if key.start < hit.end or key.end > end:
                continue
            gap = unit.run.text[place : key.start]
            if (
                len(gap) > _NEAR_AFTER
                or re.search(r"[;.]|\w.*:", gap)
                or (own and not re.match(r"\W*(?:and|or|&)?\W*", gap))
            ):
                break
            own.append(key)
            place = key.end
        made.append(_keyed(unit, hit, own, unit.run.text[hit.end : min(end, hit.end + 60)]))
    return made


def _before(unit: Unit, standards: Sequence[Hit], keys: Sequence[Hit], low: int) -> list[KeyedStandard]:
    made = []
    for index, hit in enumerate(standards):
        begin = standards[index - 1].end if index else low
        own = [key for key in keys if begin <= key.start and key.end <= hit.start]
        if own and hit.start - own[-1].end > _NEAR_BEFORE:
            own = []
        made.append(_keyed(unit, hit, own, unit.run.text[max(begin, hit.start - 60) : hit.start]))
    return made


def _keyed(unit: Unit, standard: Hit, keys: Sequence[Hit], around: str) -> KeyedStandard:
    found = Found.of(standard).passed_on()
    if not keys:
        return KeyedStandard(found, rest=_REST.search(around) is not None)
    labels: set[str] = set()
    for hit in keys:
        if hit.family is Family.SIZE:
            labels.update(_sizes(unit, hit))
    return KeyedStandard(
        found,
        frozenset(str(hit.value) for hit in keys if hit.family is Family.PRODUCT),
        frozenset(hit.value for hit in keys if hit.family is Family.METER_TYPE and isinstance(hit.value, MeterType)),
        frozenset(labels),
    )


def _sizes(unit: Unit, hit: Hit) -> tuple[str, ...]:
    """ "In sizes to 2 inch" takes all that are smaller too."""
    if _UP_TO.search(unit.run.text[max(unit.start, hit.start - 14) : hit.start]):
        mention = size.size_in(f"{hit.mention.text} and smaller", "size")
        if mention is not None and isinstance(mention.value, tuple):
            return tuple(mention.value)
    return tuple(hit.value)  # type: ignore[arg-type]
