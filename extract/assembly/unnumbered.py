"""Limits that a sentence names without a number ("until the years in the table have run"): its table has the numbers."""

import re
from dataclasses import replace

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns.base import Family, Mention

_KINDS = (Family.BAND, Family.LEVEL, Family.STANDARD, Family.PROMISE)
_MEASURE = (
    r"(?:years?|months?|ages?|lifetime|gallons?|(?:million|thousand)s?(?: of)? gallons?|cubic (?:feet|met(?:er|re)s)|"
    r"volumes?|quantit(?:y|ies)|registrations?|throughputs?|totals?|period|time|term|limits?)"
)
# The nouns of a limit behind an article, with no number: what stands in a table, where one follows.
_BARE = re.compile(
    rf"\b(?:the|that|its|their|those|these|this|said|such|each|both|either|applicable|corresponding|respective)\s+"
    rf"(?:(?:two|number of|many|quantity of|registered|stated|total|metered|recorded|maximum|warranted|guaranteed|applicable|corresponding)\s+){{0,3}}{_MEASURE}\b"
    r"|\b(?:el|los|la|las|su|sus|del|al|un|unos)\s+(?:plazos?|años|edad|volum(?:en|enes)|cantidad(?:es)?|consumo|per[ií]odos?|l[ií]mites?)\b"
    r"|(?:\b(?:le|la|les|du|des|au|aux|un|une|leur|son|sa)\s+|\b[ld]['’])(?:âge|volumes?|durées?|années?|délais?|quantités?|limites?)\b"
    r"|\b(?:die|der|das|dem|den|des|einer|eines|zum|zur|deren|dessen)\s+(?:\w+en\s+)?(?:Jahren?|Alter|Zeit|Dauer|Frist(?:en)?|Volumen|Mengen?|Durchg[aä]ngen?|Grenz(?:e|en|werte?n?))\b",
    re.IGNORECASE,
)
_SIZED = re.compile(
    r"\b(?:for|of|against|by|beside|opposite) (?:its|the|each|that|their|every) (?:meter )?(?:size|model|type)s?\b"
    r"|\bsize by size\b|\bpara cada calibre\b|\bselon le calibre\b|\bje (?:nach )?(?:Nennweite|Größe)\b",
    re.IGNORECASE,
)


def with_reference(unit: Unit, context: Context) -> Unit:
    """The sentence, pointing to the table after it where it promises an accuracy or soundness for limits it does not give.

    A sentence that has a time and a volume of its own, or a reference in words that are known, stays as it is.
    """
    if unit.of(Family.REFERENCE, Family.NEGATION, Family.VOLUME) or not _limits_ahead(unit, context):
        return unit
    if not (unit.of(*_KINDS) or _accuracy(unit)):
        return unit
    if not unit.of(Family.TRIGGER, Family.BAND, Family.LEVEL, Family.STANDARD):
        return unit  # "Accuracy ends at the years or the volume, whichever is first": a rule for all, no promise
    found = _BARE.search(unit.text) or _SIZED.search(unit.text)
    if found is None or (unit.of(Family.DURATION) and not unit.of(Family.RULE)):
        return unit
    place = unit.start + found.start()
    mention = Mention(Family.REFERENCE, place, place + len(found.group()), "table", "reference.bare", found.group())
    hits = sorted([*unit.hits, Hit(mention, unit.run)], key=lambda hit: (hit.start, -hit.end))
    return replace(unit, hits=hits)


def _accuracy(unit: Unit) -> bool:
    return re.search(r"\baccura|\bexactitud|\bprécision|genauigkeit", unit.text, re.IGNORECASE) is not None


def _limits_ahead(unit: Unit, context: Context) -> bool:
    """A table of limits follows in the same section, or the section has one and no other text before it promises."""
    return any(
        unit.block < block <= unit.block + 6 and headings[: len(unit.headings)] == unit.headings
        for block, headings in context.limit_tables
    )


def points(unit: Unit) -> bool:
    """A promise whose limits a table has: what is promised, which end counts or when it starts, and the table."""
    return bool(
        unit.of(Family.REFERENCE)
        and unit.of(Family.START, Family.RULE)
        and (unit.of(*_KINDS) or (unit.of(Family.COMPONENT) and unit.of(Family.TRIGGER) and unit.of(Family.RULE)))
        and not unit.of(Family.NEGATION)
    )
