"""Footnotes on sentences: another start of the time, or numbers that a person should weigh against it."""

import re
from collections.abc import Iterable

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.unit import Unit, hits_of
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import StartSpec
from firstcap.schema.vocabulary import StartRule

_OF_TIME = re.compile(
    r"\b(?:counted|count|begins?|starts?|runs?|commences?|measured|reckoned|laufen|läuft|beginnt|gerechnet|court|compté\w*|"
    r"cuenta\w*|contad\w+|corre)\b",
    re.IGNORECASE,
)


def heed_footnotes(drafts: Iterable[Draft], context: Context) -> None:
    """What the footnotes that hang on a promise's sentence say of its start; a number in one is told to the person."""
    for draft in drafts:
        unit = draft.unit
        for mark in dict.fromkeys(mark for place, mark in unit.run.marks if unit.start <= place <= unit.end):
            block = context.layout.footnote(mark)
            if block is not None:
                run = block.run
                _heed(draft, Unit(run, 0, len(run.text), hits_of(run, context.reader)))


def _heed(draft: Draft, note: Unit) -> None:
    starts = [hit for hit in note.of(Family.START) if isinstance(hit.value, StartSpec)]
    combined = [hit for hit in starts if hit.value.rule is not StartRule.SINGLE]  # type: ignore[attr-defined]
    if starts and _OF_TIME.search(note.text):
        draft.put("start", Found.of((combined or starts)[0]), over=True)
    covered = [(hit.start, hit.end) for hit in starts]
    loose = [
        hit
        for hit in note.of(Family.DURATION, Family.VOLUME)
        if not any(low <= hit.start and hit.end <= high for low, high in covered)
    ]
    if loose:
        draft.doubts.append("unread")
        draft.notes.append(
            ("other", f"A footnote on this promise has a number of its own: “{note.text}”", note.run.page)
        )
