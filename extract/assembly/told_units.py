"""Units that words beside a table give to its bare numbers: "the number under an item is the count of years"."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from firstcap.extract.assembly.context import Context
from firstcap.extract.page import BlockKind

_TIME = r"(?P<time>years?|months?|jahren?|monaten?|ans|années|mois|años|meses)"
_THOUSANDS = r"(?:(?:thousands?|millions?|hundreds?|1[, ]?000s?|1[, ]?000[, ]?000s?|tausend|millionen|milliers|miles|millones)\s*(?:of |de |d['’])?)"
_VOLUME = (
    rf"(?P<volume>{_THOUSANDS}?(?:u\.?s\.? )?(?:gal(?:lon)?s?|kgal|mgal|cubic (?:feet|foot|met(?:er|re)s?)|cu\.? ?ft|ccf|hcf|ft³|m³|"
    r"kubikmetern?|mètres cubes|metros cúbicos|galones|gallons))"
)
_UNIT = rf"(?:{_TIME}|{_VOLUME})\b"
_NUMBER = (
    r"(?:numbers?|figures?|values?|entr(?:y|ies)|numerals?|digits?|cells?|columns?|all|table|list|zahl(?:en)?|angaben|werte|chiffres?|valeurs?|"
    r"cifras?|valores|números?)"
)
_SPAN = (
    r"(?:periods?|terms?|times?|durations?|spans?|lengths?|warrant(?:y|ies)|guarant(?:y|ies|ees?)|cover(?:age)?|limits?|ages?|lives|lifetimes?|"
    r"volumes?|quantit(?:y|ies)|caps?|throughputs?|totals?|registrations?|amounts?|fristen|dauer|laufzeit(?:en)?|mengen?|durées?|délais|plazos?|volúmenes)"
)
_IS = (
    r"(?:is|are|gives?|shows?|stands? for|means?|counts?|tells?|denotes?|represents?|expresse[sd]?|read|to be read|stated|given|shown|set out|set down|printed|"
    r"listed|quoted|reckoned|measured|sind|bedeuten|gelten|angegeben|sont|indiquent|exprimé\w*|son|indican|expresad\w+)"
)
_GAP = r"[^.;:\d]{0,45}?"
_ALONE = r"(?=\W*$|\s*(?:[.;,()]|unless|except|throughout|only|if not|and|\bund\b|\bet\b|\by\b))"
_TOLD = (
    # "The number under an item is the count of years", "figures are thousands of gallons".
    re.compile(rf"\b{_NUMBER}\b{_GAP}\b{_IS}\b{_GAP}\b{_UNIT}", re.IGNORECASE),
    # "All periods in years", "volumes are stated in thousands of gallons", "warranty (years)".
    re.compile(rf"\b(?:{_SPAN}|{_NUMBER})\b[^.;:\d]{{0,45}}?(?:\b(?:in|as|by|en)\b\s+(?:whole |full |calendar |terms of )?|\(|:\s){_UNIT}{_ALONE}", re.IGNORECASE),
    # "Times are years, quantities thousands of gallons".
    re.compile(rf"\b(?:{_SPAN}|{_NUMBER})\s+{_IS}\s+(?:in |whole )?{_UNIT}{_ALONE}", re.IGNORECASE),
    # "In years unless a note says otherwise", "years throughout".
    re.compile(rf"^\W*(?:in |en )?{_UNIT}\s*(?:unless|except|throughout|if not|where nothing|only)\b", re.IGNORECASE),
    re.compile(rf"^\W*(?:in|en) {_UNIT}\W*$", re.IGNORECASE),
)  # fmt: skip
_AND = re.compile(
    rf"^\s*(?:,|and|or|und|et|y|,? and)\s+(?:{_SPAN}\s+(?:are )?)?(?:in |the |en |as )?{_UNIT}", re.IGNORECASE
)
_NEAR = 6  # blocks before and after a table in which its units may be told


@dataclass(frozen=True, slots=True)
class ToldUnits:
    """The unit of times and that of volumes in a table, in words; empty where none is told, or several are."""

    time: str = ""
    volume: str = ""


def told_units(context: Context, block: int) -> ToldUnits:
    """What captions, notes and the sentences near a table say of the unit of its numbers."""
    times: set[str] = set()
    volumes: set[str] = set()
    for text in _texts(context, block):
        for sentence in re.split(r"(?<=[a-z0-9)][.;])\s+", text):
            for match in _matches(sentence):
                times |= {match.group("time").lower()} if match.group("time") else set()
                volumes |= {match.group("volume").lower()} if match.group("volume") else set()
    return ToldUnits(times.pop() if len(times) == 1 else "", volumes.pop() if len(volumes) == 1 else "")


def _matches(sentence: str) -> Iterator[re.Match[str]]:
    for pattern in _TOLD:
        for match in pattern.finditer(sentence):
            yield match
            more = _AND.match(sentence[match.end() :])
            if more is not None:
                yield more


def _texts(context: Context, block: int) -> Iterator[str]:
    blocks = context.layout.blocks
    here = blocks[block]
    if here.table is not None:
        if here.table.caption is not None:
            yield here.table.caption.text
        for note in here.table.notes:
            yield note.text
    for index, other in enumerate(blocks):
        if index == block or other.kind is BlockKind.TABLE:
            continue
        heads = other.kind is BlockKind.HEADING and block - 3 <= index < block
        near = abs(index - block) <= _NEAR and other.headings == here.headings
        if (
            heads
            or (near and other.kind in (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM))
            or other.kind is BlockKind.FOOTNOTE
        ):
            yield other.run.text


_TIMED = re.compile(
    r"\b(?:periods?|terms?|times?|durations?|how long|lengths?|cover(?:age)?|ages?|warrant\w*|guarant\w*|frist|dauer|laufzeit|garantie\w*|gewähr\w*|durée|plazo|garantía)\b",
    re.IGNORECASE,
)
_FILLED = re.compile(
    r"\b(?:volumes?|quantit(?:y|ies)|throughputs?|totals?|registrations?|registered|caps?|amounts?|use|usage|water|menge|durchgang|volumen|cantidad)\b",
    re.IGNORECASE,
)
_OTHER = re.compile(
    r"flow|gpm|l/h|m³/h|psi|bar\b|%|percent|\bsizes?\b|weight|\blay\b|prices?\b|[$€£]|pages?\b|\bqty\b|models?\b|number\b|\bno\.|part no|diamet|inch|\bmm\b|\bdn\b|temp|test|serial|q[1-4]\b|"
    r"year|month|gal\b|gallon|cubic|m³",
    re.IGNORECASE,
)


def unit_of_column(units: ToldUnits, header: str) -> tuple[str, bool] | None:
    """The told unit that a column's bare numbers are in, and whether it is one of time; None where that is not certain.

    `header` are the words over (and beside) the number; one that names a unit or another measure takes none.
    """
    if _OTHER.search(header) or not (units.time or units.volume):
        return None
    filled, timed = _FILLED.search(header) is not None, _TIMED.search(header) is not None
    if filled and not timed:
        return (units.volume, False) if units.volume else None
    if units.time and (timed or not units.volume) and not filled:
        return units.time, True
    if units.volume and not units.time and not timed:
        return units.volume, False
    return None
