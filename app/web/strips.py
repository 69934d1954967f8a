"""Which part of which page is shown for a card, and which words in it are marked for which value.

Points from the page's top left. A strip is as wide as the text of the page, or as the column that it stands in.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from firstcap.app.confirm.cards import Card, CardKind
from firstcap.app.facts import FACTS
from firstcap.app.values import FIELDS, label_of, telling
from firstcap.schema.evidence import Box, Evidence

_GAP = 40.0  # points between two places on a page that are still shown in one strip
_ABOVE, _BELOW, _BESIDE = 15.0, 13.0, 14.0  # paper around the words of a strip
_HEADER = 44.0  # paper above the first row of a table, for its header
_MARGIN = 34.0  # of a page, cut away where no words stand in it
_COLUMN = 0.48  # the share of a page's width up to which a text is a column of its own
_WHOLE = "quote"


@dataclass(frozen=True, slots=True)
class Mark:
    """Words on the page: the `items` whose values they say, and the keys of `fields` that those are corrected by.

    Without fields it is a row or a sentence as a whole.
    """

    box: Box
    items: tuple[str, ...]
    fields: tuple[str, ...] = ()
    label: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """A part of a page: `marks` on its words, `wholes` on the rows or sentences that it is about."""

    part: Box
    marks: tuple[Mark, ...]
    wholes: tuple[Mark, ...] = ()

    @property
    def main(self) -> bool:
        """Does a row or sentence of the card stand here, rather than a value that it takes from elsewhere?"""
        return bool(self.wholes)

    @property
    def width(self) -> float:
        return self.part.x1 - self.part.x0

    @property
    def height(self) -> float:
        return self.part.bottom - self.part.top

    @property
    def labels(self) -> tuple[str, ...]:
        return tuple(telling([label for mark in self.marks for label in mark.label.split(", ")]))


@dataclass(frozen=True, slots=True)
class _Place:
    box: Box
    item: str
    field: str | None  # None for the row or sentence as a whole
    label: str
    row: bool = False  # a whole row of a table


def strips_of(card: Card, size_of: Callable[[int], tuple[float, float]]) -> tuple[Strip, ...]:
    """The strips of a card: where its rows or sentences stand first, then other places its values were read from.

    `size_of` gives width and height of a page in points.
    """
    rows = [place for place in _places(card) if place.row]
    tables = _clusters(rows)
    loose: list[_Place] = []
    for place in _places(card):
        if not place.row:
            home = next((table for table in tables if _in_table(place.box, table)), None)
            (loose if home is None else home).append(place)
    strips = [_strip(cluster, *size_of(cluster[0].box.page)) for cluster in (*tables, *_clusters(loose))]
    return tuple(sorted(strips, key=lambda strip: not strip.main))


def _clusters(places: Sequence[_Place]) -> list[list[_Place]]:
    """Places that stand close enough together on a page to be shown in one strip."""
    clusters: list[list[_Place]] = []
    for place in sorted(places, key=lambda one: (one.box.page, one.box.top)):
        last = clusters[-1] if clusters else None
        if last and last[0].box.page == place.box.page and place.box.top - max(p.box.bottom for p in last) <= _GAP:
            last.append(place)
        else:
            clusters.append([place])
    return clusters


def _in_table(box: Box, table: Sequence[_Place]) -> bool:
    rows = [place.box for place in table if place.row]
    top, bottom = min(row.top for row in rows), max(row.bottom for row in rows)
    return box.page == rows[0].page and box.top >= top - _HEADER and box.bottom <= bottom + _BELOW


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
    return (_Place(box, item, key, label, key is None and one.pattern == "table.row") for box in one.boxes)


def key_of(evidence_field: str) -> str:
    """The key that a field of the evidence is corrected by: `band.2` is "band 2", `volume_cap_usgal` is "cap"."""
    name, _, turn = evidence_field.partition(".")
    for field in FIELDS:
        if name in field.covers:
            return f"{field.key} {turn}" if field.numbered and turn.isdecimal() else field.key
    return next((fact.key for fact in FACTS if fact.field == name), name)


def _strip(cluster: Sequence[_Place], width: float, height: float) -> Strip:
    boxes = [place.box for place in cluster]
    header = _HEADER if min(cluster, key=lambda place: place.box.top).row else 0.0
    x0, x1 = min(box.x0 for box in boxes) - _BESIDE, max(box.x1 for box in boxes) + _BESIDE
    is_column = any(place.field is None for place in cluster) and x1 - x0 < _COLUMN * width
    if not is_column:
        x0, x1 = min(x0, _MARGIN), max(x1, width - _MARGIN)
    part = Box(
        page=boxes[0].page,
        x0=max(0, round(x0)),
        top=max(0, round(min(box.top for box in boxes) - _ABOVE - header)),
        x1=min(int(width), round(x1)),
        bottom=min(int(height), round(max(box.bottom for box in boxes) + _BELOW)),
    )
    wholes = [place for place in cluster if place.field is None]
    boxes_of_wholes = {place.box for place in wholes}
    words = [place for place in cluster if place.field is not None and place.box not in boxes_of_wholes]
    return Strip(part, _marks(words), _marks(wholes))


def _marks(places: Sequence[_Place]) -> tuple[Mark, ...]:
    """One mark for each box, with all that is read there."""
    found: dict[Box, list[_Place]] = {}
    for place in places:
        found.setdefault(place.box, []).append(place)
    return tuple(
        Mark(
            box,
            items=tuple(dict.fromkeys(place.item for place in here)),
            fields=tuple(dict.fromkeys(place.field for place in here if place.field)),
            label=", ".join(telling(list(dict.fromkeys(place.label for place in here if place.label)))),
        )
        for box, here in found.items()
    )
