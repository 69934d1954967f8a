"""Which part of which page is shown for a card, and which words in it are marked for which value.

Points from the page's top left. A strip is as wide as the text it shows, so that a column is shown larger than a page.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from firstcap.app.confirm.cards import Card, CardKind
from firstcap.app.facts import FACTS
from firstcap.app.values import FIELDS, label_of
from firstcap.schema.evidence import Box, Evidence

_GAP = 40.0  # points between two places on a page that are still shown in one strip
_ABOVE, _BELOW, _BESIDE = 14.0, 12.0, 16.0  # paper around the words of a strip
_HEADER = 44.0  # paper above the first row of a table, for its header
_NARROWEST = 260.0
_PAGE_WIDTH, _PAGE_HEIGHT = 612.0, 792.0
_WHOLE = "quote"


@dataclass(frozen=True, slots=True)
class Mark:
    """Words on the page that say a value. `item` is whose value, `fields` the keys it is corrected by."""

    box: Box
    item: str
    fields: tuple[str, ...]
    label: str


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of a page. `whole` holds the rows or sentences it is about, each with the box it stands in."""

    part: Box
    marks: tuple[Mark, ...]
    whole: tuple[tuple[str, Box], ...] = ()
    main: bool = False

    @property
    def width(self) -> float:
        return self.part.x1 - self.part.x0

    @property
    def height(self) -> float:
        return self.part.bottom - self.part.top

    @property
    def labels(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(mark.label for mark in self.marks))


@dataclass(frozen=True, slots=True)
class _Place:
    box: Box
    item: str
    field: str | None  # None for the row or sentence as a whole
    label: str
    row: bool = False


def strips_of(card: Card) -> tuple[Strip, ...]:
    """The strips of a card: where its rows or sentences stand first, then other places its values were read from."""
    places = list(_places(card))
    clusters: list[list[_Place]] = []
    for place in sorted(places, key=lambda one: (one.box.page, one.box.top)):
        last = clusters[-1] if clusters else None
        if last and last[0].box.page == place.box.page and place.box.top - max(p.box.bottom for p in last) <= _GAP:
            last.append(place)
        else:
            clusters.append([place])
    strips = [_strip(cluster) for cluster in clusters]
    return tuple(sorted(strips, key=lambda strip: not strip.main))


def _places(card: Card) -> Iterable[_Place]:
    if card.kind is CardKind.FACTS:
        for one in card.facts.evidence:
            yield from _of(one, card.document.document_id)
    for item in card.items:
        for line in item.lines:
            for one in line.clause.evidence:
                label = line.clause.kind.replace("_", " ")
                yield from (_Place(box, line.field, None, label) for box in one.boxes)
        if item.stored is not None:
            for one in item.stored.term.evidence:
                yield from _of(one, item.stored.term_id)


def _of(one: Evidence, item: str) -> Iterable[_Place]:
    key = None if one.field == _WHOLE else key_of(one.field)
    label = "" if key is None else label_of(one.field)
    return (_Place(box, item, key, label, one.pattern == "table.row") for box in one.boxes)


def key_of(evidence_field: str) -> str:
    """The key that a field of the evidence is corrected by: `band.2` is "band 2", `volume_cap_usgal` is "cap"."""
    name, _, turn = evidence_field.partition(".")
    for field in FIELDS:
        if name in field.covers:
            return f"{field.key} {turn}" if field.numbered and turn.isdecimal() else field.key
    return next((fact.key for fact in FACTS if fact.field == name), name)


def _strip(cluster: Sequence[_Place]) -> Strip:
    boxes = [place.box for place in cluster]
    header = _HEADER if any(place.row for place in cluster) else 0.0
    x0, x1 = min(box.x0 for box in boxes) - _BESIDE, max(box.x1 for box in boxes) + _BESIDE
    if x1 - x0 < _NARROWEST:
        x1 = x0 + _NARROWEST
    part = Box(
        page=boxes[0].page,
        x0=max(0.0, round(x0)),
        top=max(0.0, round(min(box.top for box in boxes) - _ABOVE - header)),
        x1=round(x1),
        bottom=round(max(box.bottom for box in boxes) + _BELOW),
    )
    wholes = dict.fromkeys((place.item, place.box) for place in cluster if place.field is None)
    return Strip(part, tuple(_marks(cluster)), tuple(wholes), main=bool(wholes))


def _marks(cluster: Sequence[_Place]) -> Iterable[Mark]:
    """One mark for each item and box, with every value that is read there."""
    found: dict[tuple[str, Box], list[_Place]] = {}
    wholes = {(place.item, place.box) for place in cluster if place.field is None}
    for place in cluster:
        if place.field is not None and (place.item, place.box) not in wholes:
            found.setdefault((place.item, place.box), []).append(place)
    for (item, box), places in found.items():
        fields = tuple(dict.fromkeys(place.field for place in places if place.field))
        label = ", ".join(dict.fromkeys(place.label for place in places))
        yield Mark(box, item, fields, label)
