"""What a cell says of itself beside its value: "Brass body, 15 years", "New meter limits of AWWA C708 for 3 years"."""

from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.labels import variant_of
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.subject import subjects_of
from firstcap.extract.assembly.unit import Hit, Unit, component_of, is_covered
from firstcap.extract.page import Cell
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import Component, Promise


def put_own_words(shape: Shape, record: Record, labels: Record, cell: Cell) -> None:
    """The part, level and standard that a cell names; a part that the label of its row names stays."""
    hits = shape.hits(cell.run)
    if not any(hit.family in (Family.DURATION, Family.VOLUME, Family.LIFE) for hit in hits):
        return
    whole = Unit(cell.run, 0, len(cell.text), list(hits))
    levels = whole.of(Family.LEVEL)
    if len({hit.value for hit in levels}) == 1:
        record.level = Found.of(levels[0])
        if _is_part(record.component, labels):
            record.component, record.parts = None, ()
    standards = whole.of(Family.STANDARD)
    if len({hit.value for hit in standards}) == 1:
        record.standard = Found.of(standards[0])
    if levels or whole.of(Family.BAND):
        record.promise = Found(Promise.ACCURACY, (levels or whole.of(Family.BAND))[0], True, "promise.by_band")
        return
    if labels.component is not None and component_of_found(labels.component) is not Component.WHOLE_METER:
        return
    named = _parts(whole)
    if not named:
        return
    record.component, record.parts = Found.of(named[0]), ()
    record.variant = variant_of(cell.text) or record.variant
    if record.level is not None and record.level.inherited:
        record.level = None


def _is_part(found: Found | None, labels: Record) -> bool:
    """A part that the heading of the column names, not the label of the row."""
    return found is not None and found is not labels.component


def component_of_found(found: Found) -> Component | None:
    return component_of(found.hit) if found.hit is not None else None


def _parts(whole: Unit) -> list[Hit]:
    """The parts a cell is about: none that only tells when its time starts, or that stands behind the time in brackets."""
    first = min((hit.start for hit in whole.of(Family.DURATION, Family.VOLUME, Family.LIFE)), default=whole.end)
    asides = whole.of(Family.START, Family.LIFE)
    found = [
        hit
        for hit in whole.of(Family.COMPONENT)
        if component_of(hit) is not Component.WHOLE_METER and hit.end <= first and not is_covered(hit, asides)
    ]
    return subjects_of(whole, found)
