"""Tables whose columns are stretches of years: "Years 1 to 10 | Years 11 to 20" over what is given in each."""

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import pairwise

from firstcap.extract.assembly.credits import share_is_suppliers, year_span
from firstcap.extract.assembly.draft import CreditDraft, Found, TimeLimit
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.unit import Hit
from firstcap.extract.language import parse
from firstcap.extract.page import Cell
from firstcap.extract.patterns import credit
from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.quantities import Duration

_HUNDRED = Decimal(100)
_PERCENT = re.compile(r"(?<![\d.,])(\d{1,3}(?:[.,]\d+)?)\s*(?:%|per ?cent|percent)", re.IGNORECASE)
_NOTHING = re.compile(
    r"^\W*(?:none|nil|no|n/?a|not (?:covered|applicable|warranted)|no (?:cover(?:age)?|warranty|credit)|expired|ended|aucune?|keine?|ninguna?|nada|rien|—|–|-)?(?: cover(?:age)?)?\W*$",
    re.IGNORECASE,
)
_FULL = re.compile(
    r"\b(?:full(?:y)?|free|no charge|no cost|without charge|replace\w*|repair\w*|complete|100\s*%|gratis|gratuit\w*|kostenlos|voll\w*|sin (?:cargo|costo)|total)\b",
    re.IGNORECASE,
)


_PART = re.compile(
    r"\b(?:half|third|quarter|fifth|tenth|pro[- ]?rat\w*|price|cost|hälfte|drittel|viertel|mitad|tercio|moitié|tiers|quart)\b",
    re.IGNORECASE,
)


def year_columns(shape: Shape) -> Mapping[int, tuple[Decimal, Decimal]]:
    """Columns headed by stretches of years that follow one another from the start; empty where there are none."""
    found: dict[int, tuple[Decimal, Decimal]] = {}
    for col in range(shape.table.cols):
        if col in shape.keys or not shape.first:
            continue
        span = year_span(shape.text(shape.first - 1, col), shape.header(col))
        if span is None:
            return {}
        found[col] = span
    spans = list(found.values())
    touching = all(left[1] == right[0] for left, right in pairwise(spans))
    return found if len(spans) > 1 and spans[0][0] == 0 and touching else {}


def put_years(shape: Shape, record: Record, row: int, columns: Mapping[int, tuple[Decimal, Decimal]]) -> bool:
    """Reads a row of what is given in each stretch: free first, then shares, then nothing; False where it is none of these."""
    shares: list[tuple[Decimal, Decimal, Decimal, Cell]] = []
    ended = False
    for col, (low, high) in columns.items():
        cell = shape.table.at(row, col)
        if cell is None or _NOTHING.match(cell.text):
            ended = True
            continue
        pays = _pays(cell.text, f"{shape.outer} {shape.header(col)}")
        if pays is None or ended:
            return False
        shares.append((low, high, pays, cell))
    if not shares or shares[0][2] != 0 or not any(_FULL.search(cell.text) for *_, pays, cell in shares if pays == 0):
        return False
    return _put(record, shares)


def _pays(text: str, around: str) -> Decimal | None:
    """The customer's share of a cell: nothing where all is free, the rest where the supplier gives a credit."""
    match = _PERCENT.search(text)
    side = share_is_suppliers(text)
    if match is None:
        if _FULL.search(text) and not credit.SIDES.find(parse(text)) and not _PART.search(text):
            return Decimal(0)
        share = credit.share_in(text)
        if share is None:
            return None
        side = side if side is not None else share_is_suppliers(around)
        return _HUNDRED - share if side else share if side is not None else None
    pct = Decimal(match.group(1).replace(",", "."))
    if pct > _HUNDRED:
        return None
    side = side if side is not None else share_is_suppliers(around)
    if side is None and re.search(r"\bcredit|\ballowance|\brefund|\bdiscount|\bcover", text, re.IGNORECASE):
        side = True
    return None if side is None else (_HUNDRED - pct if side else pct)


def _put(record: Record, shares: Sequence[tuple[Decimal, Decimal, Decimal, Cell]]) -> bool:
    total = shares[-1][1]
    last = shares[-1][3]
    hit = Hit(Mention(Family.DURATION, 0, len(last.text), None, "columns.years", last.text), last.run)
    record.times.append(TimeLimit(Duration(months=total), hit))
    paid = [share for share in shares if share[2] > 0]
    if not paid:
        return True
    record.credits = [
        CreditDraft(
            low, high, pays, Hit(Mention(Family.SHARE, 0, len(cell.text), pays, "credit.cell", cell.text), cell.run)
        )
        for low, high, pays, cell in shares
    ]
    record.full = Found(paid[0][0], record.credits[0].hit, False, "credit.cell")
    return True
