"""What a footnote changes in the cell that bears its mark: another number, another start, a doubt."""

import re
from collections.abc import Callable

from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.corrections import corrected, is_certain, speaks_of_error
from firstcap.extract.assembly.credits import cell_stages
from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.language import parse
from firstcap.extract.page import Run
from firstcap.extract.patterns import credit, remedy
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.volume import volume_in
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import FlowRole

NOTE_START = "footnote.start"  # the start that a note gives to the cells with its mark, and to no others


def noted(
    shape: Shape, record: Record, note: Run, duration: Hit | None, cap: Hit | None, unit_text: str
) -> tuple[Hit | None, Hit | None]:
    """A footnote that changes a cell: another start, another number."""
    hits = shape.hits(note)
    starts = [hit for hit in hits if hit.family is Family.START]
    if starts and not re.match(r"^\W*(?:years?|months?) (?:are|is)", note.text, re.IGNORECASE):
        record.start = Found(starts[0].value, starts[0], False, NOTE_START)
    _noted_bands(shape, record, note)
    style, gallon = shape.reader.style, shape.reader.gallon
    read: Callable[[str], Mention | None]
    if cap is not None:
        printed, read = cap, lambda text: volume_in(text, unit_text, style, gallon)
    elif duration is not None:
        printed, read = duration, lambda text: duration_in(text, unit_text, style)
    else:
        return duration, cap
    new = corrected(note.text, printed.mention, read, style)
    if new is None:
        _doubtful_note(shape, record, note, duration, cap)
        return duration, cap
    if new.value != printed.value:
        record.notes.append(("other", f"A footnote changes {printed.mention.text} to {new.text}", note.page))
        record.doubtful = record.doubtful or not is_certain(note.text, new)
    return (duration, Hit(new, note)) if printed is cap else (Hit(new, note), cap)


def _noted_bands(shape: Shape, record: Record, note: Run) -> None:
    """ "† In the changeover range a compound meter will register at least 90 %": a limit beside those of the row."""

    roles = {band.role for band in record.bands}
    for band in bands_in(Unit(note, 0, len(note.text), shape.hits(note))):
        if band.role is FlowRole.INTERMEDIATE and band.role not in roles:
            record.bands.append(band)


def _doubtful_note(shape: Shape, record: Record, note: Run, duration: Hit | None, cap: Hit | None) -> None:
    """A footnote with a number of its own on a value, in words we do not know: the value stands, a person looks."""
    total = duration.value.months if duration is not None and isinstance(duration.value, Duration) else None
    if cell_stages(note, None, total, shape.reader.style, bare=False) is not None:
        return  # stages of this time, which are read
    hits = shape.hits(note)
    clash = (duration is not None and any(hit.family is Family.DURATION for hit in hits)) or (
        cap is not None and any(hit.family is Family.VOLUME for hit in hits)
    )
    valued = duration is not None or cap is not None
    wrong = valued and speaks_of_error(note.text)
    if clash or wrong or (duration is not None and _shares(note.text)):
        record.doubtful = True
        record.notes.append(("other", f"A footnote on this value may change it: “{note.text}”", note.page))


def _shares(text: str) -> bool:
    """ "Half of list after the tenth year", "prorated from year six": stages of a time, in words that were not read."""
    doc = parse(text)
    low = credit.reduced(doc)
    return bool(remedy.DECLINES.find(doc)) or any(share.value not in (0, 100) for share in credit.shares(low, text))
