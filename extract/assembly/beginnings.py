"""Sentences that only say when a time starts, or what a name means."""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.pointing import ANAPHORA
from firstcap.extract.assembly.times import warranted
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.assembly.unnumbered import points
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.start import one_event, start_in
from firstcap.extract.patterns.values import StartSpec
from firstcap.schema.vocabulary import StartRule

_COUNTED = re.compile(
    r"\b(period|periods|time|times|service|years?|months?|clock|duration|ages?|warrant(?:y|ies)|guarantees?|assurances?|pledges?|promises?|undertakings?|commitments?|terms?|limits?|all of (?:it|them)|everything|they all|counts?|cover(?:age)?|Frist(?:en)?|Zeiten|Zeit|Garantie(?:zeit)?|plazos?|tiempos?|vigencia|cobertura|garantía|délais?|durées?|garantie|duraciones)\b.{0,80}?\b(run|runs|ran|count|counts|counted|begin|begins|start|starts|commence\w*|measured|reckoned|told|calculated|opens?|dates?|laufen|läuft|beginn\w+|starte[tn]|courent|court|commence\w*|débute\w*|cuenta\w*|corre\w*|empieza\w*|comienza\w*|inicia\w*|has one start|have one start|are|is)\b",
    re.IGNORECASE | re.DOTALL,
)

# "The day of sale opens every period": the event is said first.
_OPENS = re.compile(
    r"^.{3,90}?\b(?:opens?|starts?|begins?|launches|triggers|sets? (?:off|going|in motion|running))\b.{0,12}?"
    r"\b(?:every|each|all|both|the|any|these|those|this|our)\b.{0,25}?\b(?:periods?|times?|clocks?|years|terms?|ages?|warrant(?:y|ies)|"
    r"guarantees?|cover(?:age)?|count(?:ing)?)\b",
    re.IGNORECASE | re.DOTALL,
)

_DEFINED = re.compile(
    r"^\W*(?:[\d.]+\s+)?[“\"«„'][^”\"»“']{2,40}[”\"»“']\s*(?:,[^,]{0,40},\s*)?(?:means?|shall mean|is|are)\b",
    re.IGNORECASE,
)


def defines_a_name(unit: Unit) -> bool:
    """A sentence that only says what a name means."""
    return _DEFINED.match(unit.text) is not None and not warranted(unit)


def defines_start(unit: Unit, has_drafts: bool) -> bool:
    starts = unit.of(Family.START)
    fallback = any(isinstance(hit.value, StartSpec) and hit.value.rule is StartRule.CONDITIONAL for hit in starts)
    if fallback and has_drafts and not unit.of(Family.DURATION, Family.VOLUME) and _TAKEN.search(unit.text):
        return True
    if not starts or not _COUNTED.search(unit.text):
        return False
    if unit.of(Family.PROMISE, Family.LEVEL, Family.BAND) and unit.of(Family.TRIGGER):
        if unit.of(Family.DURATION, Family.PERIOD) or (unit.of(Family.REFERENCE) and warranted(unit)):
            return False
    durations = unit.of(Family.DURATION)
    promising = warranted(unit) or (unit.of(Family.LEVEL, Family.BAND) and unit.of(Family.TRIGGER))
    if points(unit) and unit.of(Family.RULE) and promising:
        return False
    if durations:
        return has_drafts and bool(ANAPHORA.match(unit.text) or _CLOCK.match(unit.text))
    return not unit.of(Family.BAND, Family.VOLUME) and (
        not unit.of(Family.COMPONENT)
        or bool(
            re.search(
                r"\b(periods?|times?|terms?|warrant(?:y|ies)|years?|clock|plazos|Fristen)\b", unit.text, re.IGNORECASE
            )
        )
    )


_TAKEN = re.compile(
    r"\b(?:taken|used|counts?|serves?|deemed|regarded|treated|governs?|applies|considered|assumed|substituted)\b|"
    r"\b(?:start(?:ing)?|begin(?:s|ning)?|commencement) (?:date|point)?\b",
    re.IGNORECASE,
)

_THAT_DAY = re.compile(
    r"\b(?:from|on|at|with) (?:that|this|the same) (?:date|day|month|moment|event|time)\b", re.IGNORECASE
)

_A_DAY = re.compile(r"\b(?:date|day|month) of (?:the |its )?\w+", re.IGNORECASE)


def told_start(unit: Unit, context: Context) -> Found | None:
    """ "El tiempo empieza a correr el día de la entrega": the one event that a sentence about starting times names."""
    if unit.of(Family.START, Family.DURATION, Family.VOLUME, Family.PROMISE, Family.NEGATION):
        return None
    opened, counted = _OPENS.match(unit.text), _COUNTED.search(unit.text)
    begin, end = (0, opened.end()) if opened else (counted.start(), len(unit.text)) if counted else (0, 0)
    mention = one_event(unit.text[begin:end], context.reader.style)
    if mention is None:
        return None
    place = unit.start + begin
    moved = replace(mention, start=place + mention.start, end=place + mention.end)
    return Found.of(Hit(moved, unit.run))


def pointed_start(unit: Unit, before: Unit, context: Context) -> Found | None:
    """ "Each meter bears its month of manufacture. All years are counted from that month.": the day named before."""
    if unit.of(Family.START, Family.DURATION) or not (_COUNTED.search(unit.text) and _THAT_DAY.search(unit.text)):
        return None
    for match in _A_DAY.finditer(before.text):
        mention = start_in(match.group(), context.reader.style)
        if mention is not None:
            place = before.start + match.start()
            moved = replace(mention, start=place, end=place + len(match.group()), text=match.group())
            return Found.of(Hit(moved, before.run))
    return None


_CLOCK = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:the|this|our|your|each|every)\s+(?:\w+\s+)?(?:clock|period|periods|term|terms|time|count|cover|warranty)\s+"
    r"(?:starts?|begins?|runs?|opens?|commences?|is counted|are counted|is reckoned|are reckoned|counts?)\b",
    re.IGNORECASE,
)


def apply_start(unit: Unit, drafts: list[Draft], context: Context) -> None:
    found = best_start(unit.of(Family.START))
    if found is None:
        return
    spec = found.value
    if isinstance(spec, StartSpec) and spec.rule is StartRule.CONDITIONAL:
        # "If no record of installation is kept, shipment is taken": the fallback of what was just promised.
        for draft in drafts:
            own = draft.get("start")
            if not isinstance(own, StartSpec) or own.clocks == spec.clocks[:1]:
                draft.put("start", found, over=True)
                draft.times = [replace(limit, start=None) for limit in draft.times]
    if (
        drafts
        and ANAPHORA.match(unit.text)
        and not re.match(r"^\W*(?:both|these(?! (?:\w+ )?(?:years|months|days))|all|every)", unit.text, re.IGNORECASE)
    ):
        target = drafts[-1]
        target.put("start", found, over=True)
        target.times = [replace(limit, start=None) for limit in target.times]
    else:
        context.note_start(found, unit)


def best_start(starts: Sequence[Hit]) -> Found | None:
    """One start out of several hits: a rule that combines clocks says more than a single clock."""
    if not starts:
        return None
    combined = [hit for hit in starts if isinstance(hit.value, StartSpec) and hit.value.rule is not StartRule.SINGLE]
    return Found.of((combined or list(starts))[0])
