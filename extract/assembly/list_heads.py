"""Items of a list that only name something ("5/8 inch", "Registers"): they head the items under them."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.unit import Hit, Unit, component_of, hits_of, units_of
from firstcap.extract.page import join_runs
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
        self._last: set[Family] = set()  # what the block before named, if it was a head itself
        self._time: Unit | None = None  # a time alone ("25 years") over the parts it is for
        self._listing = False  # names follow one another: they are listed and head nothing

    def take(self, units: Sequence[Unit], following: Sequence[Unit]) -> bool:
        """Takes a block that only names something over a block with values; forgets all at a block of another kind."""
        first = units[0]
        if first.headings != self._headings or _tells(units):
            self._headings, self._said, self._last = first.headings, [], set()
            self._time, self._listing = None, False
        goes_on = bool(following) and following[0].headings == first.headings
        if _only_time(units) and not self._said and goes_on and _parts_alone(following):
            self._time = first
            return True
        own = [] if self._time is not None else _names(units)
        families = {family for family, _ in own}
        if families & self._last:
            self._said, self._last, self._listing = [], set(), True
        if not own or self._listing or not goes_on:
            self._last = set()
            return False
        if not self._last:
            place = next((i for i, (family, _) in enumerate(self._said) if family in families), len(self._said))
            self._said = self._said[:place]
        self._said = [item for item in self._said if item[0] not in families] + own
        self._last = families
        return True

    def timed(self, units: Sequence[Unit], context: Context) -> list[Unit]:
        """Parts alone under a time alone, as "25 years: main case"; the units as they are where there is no such time."""
        if not _parts_alone(units):
            return list(units)
        first = units[0]
        time = self._time
        if time is None and first.headings:
            run = context.layout.blocks[first.headings[-1]].run
            over = Unit(run, 0, len(run.text), hits_of(run, context.reader))
            time = over if _only_time([over]) else None
        if time is None:
            return list(units)
        joined = units_of(join_runs([time.run, first.run]), context.reader, block=first.block, headings=first.headings)
        for unit in joined:
            unit.extra.update(first.extra, item=True, timed=True)
        return joined

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
    if not named or len(_left_words(unit, *_NAMES)) > 1:
        return []
    found: dict[Family, Hit] = {}
    for hit in named:
        if hit.family in found and found[hit.family].value != hit.value:
            return []
        found.setdefault(hit.family, hit)
    return list(found.items())


def _left_words(unit: Unit, *families: Family) -> list[str]:
    """The words of three letters and more that no hit of these families covers, small words aside."""
    rest = list(unit.run.text)
    for hit in unit.of(*families):
        rest[hit.start : hit.end] = " " * (hit.end - hit.start)
    return re.findall(r"[^\W\d_]{3,}", _PLAIN.sub(" ", "".join(rest[unit.start : unit.end])))


def _only_time(units: Sequence[Unit]) -> bool:
    """ "25 years", "For ten years:": a time and nothing else."""
    return len(units) == 1 and len(units[0].of(Family.DURATION)) == 1 and not _left_words(units[0], Family.DURATION)


def _parts_alone(units: Sequence[Unit]) -> bool:
    """ "Main case, bottom plate.": parts of a meter, no value and hardly another word."""
    if len(units) != 1 or units[0].of(*_VALUES) or len(units[0].text.split()) > 12:
        return False
    parts = [hit for hit in units[0].of(Family.COMPONENT) if _is_part(hit)]
    return bool(parts) and len(_left_words(units[0], *_NAMES)) <= len(parts)


def _is_part(hit: Hit) -> bool:
    return component_of(hit) is not Component.WHOLE_METER


def _whole(found: Found) -> bool:
    return isinstance(found.value, ComponentSpec) and found.value.component is Component.WHOLE_METER


def _tells(units: Sequence[Unit]) -> bool:
    """Running text: the list, and what its heads said, ends with it."""
    return not units[0].extra.get("item") and (len(units) > 1 or len(units[0].text.split()) > 14)
