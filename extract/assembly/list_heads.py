"""Items of a list that only name something ("5/8 inch", "Registers"): they head the items under them."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.unit import Hit, Unit, component_of
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.vocabulary import Component, Promise

_NAMES = (Family.SIZE, Family.PRODUCT, Family.METER_TYPE, Family.COMPONENT, Family.LEVEL)
_VALUES = (
    Family.DURATION,
    Family.VOLUME,
    Family.BAND,
    Family.FLOW,
    Family.START,
    Family.RULE,
    Family.LIFE,
    Family.TRIGGER,
    Family.NEGATION,
    Family.REFERENCE,
    Family.YEAR_SPAN,
)
_PLAIN = re.compile(
    r"\b(?:for|the|a|an|of|all|any|each|every|our|in|with|and|or|to|sizes?|size|nominal|meters?|inch(?:es)?|series|models?|types?|line|water|cold|"
    r"für|der|die|das|zähler|größe|nennweite|pour|les|le|la|compteurs?|para|los|las|medidor(?:es)?|calibre|diámetro|diamètre)\b",
    re.IGNORECASE,
)
_FIELDS = {
    Family.PRODUCT: "product",
    Family.METER_TYPE: "meter_type",
    Family.COMPONENT: "component",
    Family.LEVEL: "level",
}


class ListHeads:
    """The names that head the items of a list, taken from the top down."""

    def __init__(self) -> None:
        self._headings: tuple[int, ...] | None = None
        self._said: list[tuple[Family, Hit]] = []  # in the order in which they were said, outermost first
        self._open = False  # the block before was a head itself

    def take(self, units: Sequence[Unit], following: Sequence[Unit]) -> bool:
        """Takes a block that only names something over a block with values; forgets all at a block of another kind."""
        first = units[0]
        if first.headings != self._headings or _tells(units):
            self._headings, self._said, self._open = first.headings, [], False
        own = _names(units)
        if not own or not following or following[0].headings != first.headings:
            self._open = False
            return False
        families = {family for family, _ in own}
        if not self._open:
            place = next((i for i, (family, _) in enumerate(self._said) if family in families), len(self._said))
            self._said = self._said[:place]
        self._said = [item for item in self._said if item[0] not in families] + own
        self._open = True
        return True

    def mark(self, units: Sequence[Unit]) -> None:
        """Tells the items under a head that names a part or a level that their times are promised for it."""
        if any(family in (Family.COMPONENT, Family.LEVEL) for family, _ in self._said):
            for unit in units:
                unit.extra["headed"] = True

    def give(self, draft: Draft) -> None:
        """What the heads over an item name, where the item does not."""
        for family, hit in self._said:
            if family is Family.SIZE:
                if draft.sizes is None:
                    draft.sizes = Found.of(hit).passed_on()
                continue
            name = _FIELDS[family]
            if name == "component":
                one = draft.scalars.get("component")
                if "components" in draft.scalars or (one is not None and not one.inherited and not _whole(one)):
                    continue
                draft.put(name, Found.of(hit).passed_on(), over=True)
            else:
                draft.put(name, Found.of(hit).passed_on())
            if family is Family.LEVEL and draft.get("level") == hit.value:
                draft.put("promise", Found(Promise.ACCURACY, hit, True, hit.mention.pattern))


def _names(units: Sequence[Unit]) -> list[tuple[Family, Hit]]:
    """What a block of one short line names, if it does nothing else."""
    if len(units) != 1 or units[0].of(*_VALUES):
        return []
    unit = units[0]
    text = unit.text.strip()
    if len(text.split()) > 9 or text.endswith((".", ";", "!", "?")):
        return []
    named = [hit for hit in unit.of(*_NAMES) if hit.family is not Family.COMPONENT or _is_part(hit)]
    rest = list(unit.run.text)
    for hit in unit.of(*_NAMES):
        rest[hit.start : hit.end] = " " * (hit.end - hit.start)
    left = _PLAIN.sub(" ", "".join(rest[unit.start : unit.end]))
    if not named or len(re.findall(r"[^\W\d_]{3,}", left)) > 1:
        return []
    found: dict[Family, Hit] = {}
    for hit in named:
        if hit.family in found and found[hit.family].value != hit.value:
            return []
        found.setdefault(hit.family, hit)
    return list(found.items())


def _is_part(hit: Hit) -> bool:
    return component_of(hit) is not Component.WHOLE_METER


def _whole(found: Found) -> bool:
    return isinstance(found.value, ComponentSpec) and found.value.component is Component.WHOLE_METER


def _tells(units: Sequence[Unit]) -> bool:
    """Running text: the list, and what its heads said, ends with it."""
    return not units[0].extra.get("item") and (len(units) > 1 or len(units[0].text.split()) > 14)
