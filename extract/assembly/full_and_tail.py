"""Tables that print one time in parts: "Full | Prorated | Total", upright or on their side, with a time or years in each."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from firstcap.extract.assembly.credits import year_span
from firstcap.extract.assembly.draft import Found, TimeLimit
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.unit import Hit
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.page import Cell
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.values import FullAndTail
from firstcap.schema.quantities import Duration

_TAIL = re.compile(
    r"\bpro[- ]?rat\w*|\breduced\b|\bdeclin\w+|\bdecreasing\b|\bpartial(?:ly)?\b|\bpart (?:credit|cover|payment|price)\b|\bshared?\b|\bgraduated\b|"
    r"\bdiscount\w*|\bsliding\b|\btaper\w*|\btail\b|\bdepreciat\w*|\bwith (?:co-?)?payment\b|\banteilig\w*|\bgestaffelt\w*|\bd[eé]gressi\w*|"
    r"\bau prorata\b|\bpror?rat\w*|\bprorrat\w*|\bparcial\w*|\bescalonad\w*|\bzeitwert\w*",
    re.IGNORECASE,
)
_NOT_TAIL = re.compile(r"\b(?:non|un|not)[- ]?pro[- ]?rat\w*|\bsans prorata\b", re.IGNORECASE)
_FULL = re.compile(
    r"\bfull(?:y)?\b|\bfree\b|\bunconditional\w*|\bno[- ](?:charge|cost)\b|\b(?:without|w/o) charge\b|\b100\s*%|\bcomplete\b|\b(?:non|un|not)[- ]?pro[- ]?rat\w*|"
    r"\bgratis\b|\bgratuit\w*|\bkostenlos\w*|\bkostenfrei\w*|\bsin (?:cargo|costo)\b|\bplein\w*|\bvoll\w*|\bcompleta?\b|\btotalmente\b|\bsans frais\b",
    re.IGNORECASE,
)
_TOTAL = re.compile(
    r"^\W*(?:the )?(?:grand )?total\b(?! (?:replacement|cover|credit))|\baltogether\b|\boverall\b|\bin all\b|\bcombined\b|\bwhole (?:term|period|time)\b|\btogether\b|"
    r"\bgesamt\w*|\binsgesamt\b|\ben tout\b|\bau total\b|\ben total\b|\btotal (?:term|period|years|months|warranty|time|duration|length)\b",
    re.IGNORECASE,
)
_OTHER = re.compile(
    r"\bgal(?:lons?|s)?\b|\bvolume\b|\bflows?\b|\bgpm\b|\bsizes?\b|\bshare of\b|\bcharge \(|m³|m3|\bregistr|\btest\b",
    re.IGNORECASE,
)
_UNTIL = re.compile(
    r"\b(?:to|until|till|up to|through|ends?|bis|jusqu\w*|hasta)\b(?! (?:be|the customer))", re.IGNORECASE
)
_NOTHING = re.compile(
    r"^\W*(?:none|n/?a|not applicable|no|nil|nothing|0|zero|aucune?|keine?|entfällt|ninguna?|sin|—|–|-)?\W*(?:years?|months?)?\W*$",
    re.IGNORECASE,
)


def role_of(text: str) -> str | None:
    """`full`, `tail` or `total`: which part of a time a heading names."""
    if _OTHER.search(text) or len(text.split()) > 12:
        return None
    if _TOTAL.search(text):
        return "total"
    tail = _TAIL.search(text) is not None and not _NOT_TAIL.search(text)
    full = _FULL.search(text) is not None
    if tail:
        return None if full else "tail"
    return "full" if full else None


@dataclass(frozen=True, slots=True)
class Parts:
    """Where the parts of times stand: columns by group of headings, or rows where the table lies on its side."""

    columns: Mapping[str, Mapping[str, int]]  # group -> role -> column
    rows: Mapping[str, int]  # role -> row

    @property
    def held(self) -> set[int]:
        return {col for group in self.columns.values() for col in group.values()}


def parts_of(shape: Shape) -> Parts:
    """The columns (or rows) of a table that are parts of one time; empty where there are none."""
    columns: dict[str, dict[str, int]] = {}
    for col in range(shape.table.cols):
        role = role_of(shape.text(shape.first - 1, col)) if shape.first and col not in shape.keys else None
        if role is not None:
            group = " ".join(shape.text(row, col) for row in range(shape.first - 1))
            columns.setdefault(group, {}).setdefault(role, col)
    columns = {group: roles for group, roles in columns.items() if _enough(roles)}
    rows: dict[str, int] = {}
    if not columns and any(kind == "name" for kind in shape.keys.values()):
        key = next(col for col, kind in shape.keys.items() if kind == "name")
        for row in range(shape.first, shape.table.rows):
            role = role_of(shape.text(row, key))
            if role is not None:
                rows.setdefault(role, row)
    return Parts(columns, rows if _enough(rows) else {})


def _enough(roles: Mapping[str, int]) -> bool:
    return len(roles) > 1


@dataclass(frozen=True, slots=True)
class _Part:
    """What one cell says: a length of time, the month it ends with, or nothing at all."""

    hit: Hit | None
    length: Decimal | None = None
    begin: Decimal | None = None
    end: Decimal | None = None
    nothing: bool = False


def put_parts(shape: Shape, record: Record, cells: Mapping[str, tuple[Cell, str]]) -> bool:
    """Reads one time out of its parts (role -> cell and heading); False where they do not make one."""
    read = {
        role: _part(cell, f"{head} {shape.outer}", head, role, shape.reader.style)
        for role, (cell, head) in cells.items()
    }
    full, tail, total = read.get("full"), read.get("tail"), read.get("total")
    free = _end(full)
    if full is not None and full.nothing:
        free = Decimal(0)
    whole = _end(total)
    summed = _end_of_tail(free, tail)
    months = whole if whole is not None else summed
    if months is None or months <= 0 or (full is not None and free is None):
        return False
    if free is None:
        free = months - tail.length if tail is not None and tail.length is not None else None
        free = months if tail is not None and tail.nothing else free
    hit = next(
        (part.hit for part in (total, tail, full) if part is not None and part.hit is not None and not part.nothing),
        None,
    )
    if hit is None:
        return False
    if summed is not None and whole is not None and summed != whole:
        record.clash = True
        said = f"{free} and {summed} months in parts, {whole} in all"
        record.notes.append(("other", f"The parts of this time and its whole differ: {said}", record.row.page))
    if free is not None and free > months:
        return False
    record.times.append(TimeLimit(Duration(months=months), hit))
    if free is not None and free < months:
        told = full.hit if full is not None and full.hit is not None else hit
        record.full = Found(free, told, False, "columns.full_and_tail")
    return True


def _end(part: _Part | None) -> Decimal | None:
    if part is None or part.nothing:
        return None
    return part.end if part.end is not None else part.length


def _end_of_tail(free: Decimal | None, tail: _Part | None) -> Decimal | None:
    if tail is None:
        return None
    if tail.nothing:
        return free
    if tail.end is not None:
        return tail.end if tail.begin is None or free is None or tail.begin == free else None
    return free + tail.length if free is not None and tail.length is not None else None


def _part(cell: Cell, outer: str, head: str, role: str, style: NumberStyle) -> _Part:
    text = cell.text
    if _NOTHING.match(text):
        return _Part(None, nothing=True)
    span = year_span(text, head)
    if span is not None:
        hit = Hit(Mention(Family.DURATION, 0, len(text), None, "columns.years", text), cell.run)
        begin, end = span
        return _Part(hit, begin=begin, end=end)
    mention = duration_in(text, head, style) or duration_in(text, outer, style)
    if mention is None:
        return _Part(None)
    value = mention.value.total if isinstance(mention.value, FullAndTail) else mention.value
    if not isinstance(value, Duration) or value.months is None:
        return _Part(None)
    hit = Hit(mention, cell.run)
    if role == "tail" and (
        _UNTIL.search(head) or re.match(r"\W*(?:then )?(?:to|until|till|through|up to)\b", text, re.IGNORECASE)
    ):
        return _Part(hit, end=value.months)
    return _Part(hit, length=value.months)
