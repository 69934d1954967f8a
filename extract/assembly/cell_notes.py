"""What a footnote changes in the cell that bears its mark: another number, another start, a doubt."""

import re
from collections.abc import Callable
from dataclasses import replace

from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.credits import cell_stages
from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.page import Run
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.volume import volume_in
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import FlowRole

_READ = re.compile(
    r"\b(?:should read|read|lire|léase|lies|correct(?:ed|ion)?(?: (?:figure|value))?(?: (?:is|to))?|misprint(?: for)?|"
    r"instead of|in place of|replaced? by|(?:changed|reduced|raised|lowered|increased|amended|revised|shortened|extended|cut)(?: to)?|"
    r"takes the place|(?:should|ought to|must|has to) (?:be|have been|say)|is (?:really|rightly|correctly|meant to be)|"
    r"(?:the )?right (?:figure|number|value) is|now)\b[:;]?",
    re.IGNORECASE,
)
_WRONG = re.compile(
    r"\b(?:wrong(?:ly)?|errors?|erroneous(?:ly)?|mistaken?(?:ly)?|misprint(?:ed|s)?|incorrect(?:ly)?|typo\w*|erratum|corrected)\b",
    re.IGNORECASE,
)


def noted(
    shape: Shape, record: Record, note: Run, duration: Hit | None, cap: Hit | None, unit_text: str
) -> tuple[Hit | None, Hit | None]:
    """A footnote that changes a cell: another start, another number."""
    hits = shape.hits(note)
    starts = [hit for hit in hits if hit.family is Family.START]
    if starts and not re.match(r"^\W*(?:years?|months?) (?:are|is)", note.text, re.IGNORECASE):
        record.start = Found.of(starts[0])
    _noted_bands(shape, record, note)
    replaced = _READ.search(note.text)
    if replaced is None:
        _doubtful_note(shape, record, note, duration, cap)
        return duration, cap
    tail = note.text[replaced.end() :]
    offset = replaced.end()
    piece = re.split(r"\b(?:in place of|instead of|not|for the|rather than)\b", tail)[0]
    if not piece.strip():
        return duration, cap
    page = note.page
    style, gallon = shape.reader.style, shape.reader.gallon
    if duration is not None and cap is None:
        mention = _first_read(piece, lambda text: duration_in(text, unit_text, style))
        if mention is not None:
            record.notes.append(("other", f"A footnote changes {duration.mention.text} to {mention.text}", page))
            return _moved(mention, note, offset + len(piece) - len(piece.lstrip())), cap
    if cap is not None:
        mention = _first_read(piece, lambda text: volume_in(text, unit_text, style, gallon))
        if mention is not None:
            record.notes.append(("other", f"A footnote changes {cap.mention.text} to {mention.text}", page))
            return duration, _moved(mention, note, offset + len(piece) - len(piece.lstrip()))
    _doubtful_note(shape, record, note, duration, cap)
    return duration, cap


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
    wrong = valued and (
        _WRONG.search(note.text) is not None
        or (_READ.search(note.text) is not None and re.search(r"\d", note.text) is not None)
    )
    if clash or wrong:
        record.doubtful = True
        record.notes.append(("other", f"A footnote on this value may change it: “{note.text}”", note.page))


def _first_read(piece: str, read: Callable[[str], Mention | None]) -> Mention | None:
    """The value that a correction names: all of its words, or those up to the end of its first figure ("4,800 with …")."""
    whole = piece.strip(" .,;")
    figure = re.match(r"[^\d]{0,30}?\d[\d.,/ ]*\d|[^\d]{0,30}?\d", whole)
    return read(whole) or (read(figure.group().strip()) if figure else None)


def _moved(mention: Mention, run: Run, offset: int) -> Hit:
    return Hit(
        replace(mention, start=mention.start + offset, end=mention.end + offset, pattern="footnote.override"), run
    )
