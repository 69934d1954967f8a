"""Fragments that lean on a question or a heading: "And the register?" – "Fifteen years from delivery."

The question names what is promised, the answer gives the limits. A question that begins with "and" or says "same" leans
on the question answered before it.
"""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.unit import Hit, Unit, hits_of
from firstcap.extract.page import BlockKind
from firstcap.extract.patterns.base import Family

_NUMBERED = r"^\W*(?:[QA]?\d{1,2}(?:\.\d+)*[.:)]?\s+|[QA][.:]\s+)?"
_LEANS = re.compile(
    _NUMBERED + r"(?:and|same|likewise|what about|how about|also|y|et|und|what of)\b|\bsame\b", re.IGNORECASE
)
_OPENING = re.compile(
    r"(?:(?:for|yes|it is|they are|is|are|a|the|full|to|that is|again|only|also|pour|pendant|für|durante|por)\b\W*){0,2}\W*",
    re.IGNORECASE,
)
_ANSWER = "answers"


def note_questions(units: Sequence[Sequence[Unit]], context: Context) -> None:
    """Tells the sentences after a question, and fragments under a heading, what they answer."""
    headings: dict[int, Unit] = {}
    asked: Unit | None = None
    answered: Unit | None = None
    for block in units:
        if asked is not None and asked.headings != block[0].headings:
            asked = None
        for unit in block:
            if _asks(unit.text):
                asked = unit
                continue
            question = asked or _heading(unit, context, headings)
            if question is None:
                continue
            answer(unit, question)
            if answered is not None and answered is not question and _LEANS.search(question.text):
                question.extra.setdefault(_ANSWER, answered)
            answered = question


def answer(unit: Unit, question: Unit) -> None:
    """Says that a sentence answers a question, or stands beside a label."""
    unit.extra[_ANSWER] = question


def questions_of(unit: Unit) -> list[Unit]:
    """What a sentence answers, nearest first, with the questions that one leans on."""
    found: list[Unit] = []
    question = unit.extra.get(_ANSWER)
    while isinstance(question, Unit) and question not in found and len(found) < 4:
        found.append(question)
        question = question.extra.get(_ANSWER)
    return found


def is_fragment(unit: Unit, limits: Sequence[Hit]) -> bool:
    """An answer without a subject of its own: it opens with its limit."""
    if not limits or (unit.of(Family.SHARE) and unit.of(Family.COMPONENT)):
        return False  # "Through the tenth year the new case costs the owner nothing": who pays, of what was promised
    first = min(hit.start for hit in limits)
    opening = re.sub(_NUMBERED, "", unit.run.text[unit.start : first])
    return _OPENING.fullmatch(opening) is not None and not unit.of(Family.NEGATION)


def _asks(text: str) -> bool:
    return text.rstrip().endswith("?")


def _heading(unit: Unit, context: Context, known: dict[int, Unit]) -> Unit | None:
    for index in reversed(unit.headings):
        if index not in known:
            run = context.layout.blocks[index].run
            known[index] = Unit(run, 0, len(run.text), hits_of(run, context.reader), index, ())
        heading = known[index]
        if heading.of(Family.COMPONENT, Family.LEVEL, Family.PROMISE):
            return heading if context.layout.blocks[index].kind is BlockKind.HEADING else None
    return None
