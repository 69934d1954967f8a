"""Prorated credits: tables and sentences that say what the customer pays in which year."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import CreditDraft
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.language import parse
from firstcap.extract.numbers import number_in
from firstcap.extract.page import Cell, Run, Table
from firstcap.extract.patterns import remedy, trigger
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.values import YearSpan
from firstcap.schema.quantities import Duration, PercentBand
from firstcap.schema.units import as_decimal
from firstcap.schema.vocabulary import PriceBasis

_HUNDRED = Decimal(100)
_YEAR_HEAD = re.compile(r"\b(years?|yr|age|année|año|jahr|months?)\b", re.IGNORECASE)
_SHARE_HEAD = re.compile(
    r"\b(credit|pays?|share|price|percent|%|cost|allowance|discount|contribution|charge|anteil|part|paga|customer|owner|buyer|purchaser|utility|importer)\b|%",
    re.IGNORECASE,
)
_RANGE = re.compile(
    r"^\W*(?:years?\s*|yr\.?\s*)?(\d{1,2})(?:st|nd|rd|th)?\s*(?:(?:to|through|thru|-|–|—|until|bis|à|a)\s*(?:year\s*)?(\d{1,2})(?:st|nd|rd|th)?)?(?:\s*years?)?\W*$",
    re.IGNORECASE,
)
_PERCENT = re.compile(r"^\W*(\d{1,3}(?:[.,]\d+)?)\s*(?:%|percent|per cent)?\W*$", re.IGNORECASE)
_WORD_SHARES = (
    (re.compile(r"\bthree[- ]quarters?\b", re.IGNORECASE), Fraction(75)),
    (re.compile(r"\b(?:one[- ]|a )quarter\b|\bquarter\b", re.IGNORECASE), Fraction(25)),
    (re.compile(r"\b(?:one[- ])?half\b", re.IGNORECASE), Fraction(50)),
    (re.compile(r"\btwo[- ]thirds\b", re.IGNORECASE), Fraction(200, 3)),
    (re.compile(r"\b(?:one[- ]|a )third\b", re.IGNORECASE), Fraction(100, 3)),
    (re.compile(r"\bnine[- ]tenths\b", re.IGNORECASE), Fraction(90)),
    (re.compile(r"\bthree[- ]tenths\b", re.IGNORECASE), Fraction(30)),
    (re.compile(r"\bseven[- ]tenths\b", re.IGNORECASE), Fraction(70)),
    (re.compile(r"\b(?:one[- ]|a )tenth\b", re.IGNORECASE), Fraction(10)),
    (re.compile(r"\b(?:one[- ]|a )fifth\b", re.IGNORECASE), Fraction(20)),
    (re.compile(r"\btwo[- ]fifths\b", re.IGNORECASE), Fraction(40)),
    (re.compile(r"\bthree[- ]fifths\b", re.IGNORECASE), Fraction(60)),
    (re.compile(r"\bfour[- ]fifths\b", re.IGNORECASE), Fraction(80)),
)


@dataclass(frozen=True, slots=True)
class CreditTable:
    """A printed table of shares, as what the customer pays. `of_supplier`: it says that it prints the supplier's share."""

    steps: tuple[CreditDraft, ...]
    price_basis: PriceBasis | None
    run: Run
    columns: tuple[tuple[str, tuple[CreditDraft, ...]], ...] = ()
    of_supplier: bool | None = None

    def steps_for(self, names: Sequence[str]) -> tuple[CreditDraft, ...] | None:
        """The steps of the column that names one of these; None where several columns stand and none is named."""
        if len(self.columns) < 2:
            return self.steps
        for name in names:
            fitting = [steps for head, steps in self.columns if name and name.lower() in head.lower()]
            if len(fitting) == 1:
                return fitting[0]
        return None


def credit_table(table: Table, context: Context) -> CreditTable | None:
    """Reads Year | share tables, upright, on their side or in half tables side by side; None where it is no such table.

    A table with a column of shares for each of several products keeps them apart in `columns`.
    """
    text = " ".join(cell.text for cell in table.cells[: table.cols * max(1, table.header_rows)])
    if table.caption:
        text = f"{text} {table.caption.text}"
    supplier = share_is_suppliers(text)
    columns = [(head, _steps(cells, supplier)) for head, cells in _upright(table)]
    if not columns:
        sideways = _sideways(table)
        columns = [("", _steps(sideways, supplier))] if sideways else []
    if not columns:
        return None
    return CreditTable(columns[0][1], price_basis_in(text), table.cells[0].run, tuple(columns), supplier)


def _steps(cells: Sequence[tuple[Decimal, Decimal, Decimal, Run]], supplier: bool | None) -> tuple[CreditDraft, ...]:
    steps = []
    for span_from, span_to, pct, run in cells:
        pays = _HUNDRED - pct if supplier else pct
        hit = Hit(Mention(Family.SHARE, 0, len(run.text), pct, "credit.table", run.text), run)
        steps.append(CreditDraft(span_from, span_to, pays, hit))
    return tuple(sorted(steps, key=lambda step: step.from_month))


def _head(table: Table, col: int) -> str:
    return table.header(col).text if table.header_rows else _text(table.at(0, col))


def _upright(table: Table) -> list[tuple[str, list[tuple[Decimal, Decimal, Decimal, Run]]]]:
    """Columns of shares by their heading; half tables (Year | share | Year | share) are read one after the other."""
    header_rows = table.header_rows or 1
    years = [
        col
        for col in range(table.cols)
        if _YEAR_HEAD.search(_head(table, col))
        and not re.search(r"gal|accuracy|registr|size", _head(table, col), re.IGNORECASE)
        and any(_span(_text(table.at(row, col)), False) for row in range(header_rows, table.rows))
    ]
    found: list[tuple[str, list[tuple[Decimal, Decimal, Decimal, Run]]]] = []
    for index, col in enumerate(years):
        end = years[index + 1] if index + 1 < len(years) else table.cols
        monthly = re.search(r"\bmonths?\b", _head(table, col), re.IGNORECASE) is not None
        place = 0
        for share in range(col + 1, end):
            if not (_SHARE_HEAD.search(_head(table, share)) or _percents(table, share, header_rows)):
                continue
            cells = []
            for row in range(header_rows, table.rows):
                left, right = table.at(row, col), table.at(row, share)
                span = _span(left.text, monthly) if left is not None else None
                pct = _pct(right) if right is not None else None
                if right is not None and span is not None and pct is not None and 0 <= pct <= 100:
                    cells.append((*span, pct, right.run))
            if index and place < len(found):
                found[place][1].extend(cells)
            elif cells:
                found.append((_head(table, share), cells))
            place += 1
    return [(head, cells) for head, cells in found if len(cells) >= 2]


def _percents(table: Table, col: int, first: int) -> bool:
    cells = [table.at(row, col) for row in range(first, table.rows)]
    texts = [cell.text for cell in cells if cell is not None and re.search(r"\w", cell.text)]
    return bool(texts) and sum("%" in text for text in texts) >= 0.7 * len(texts)


def _sideways(table: Table) -> list[tuple[Decimal, Decimal, Decimal, Run]]:
    for row in range(table.rows - 1):
        head, other = _text(table.at(row, 0)), _text(table.at(row + 1, 0))
        if not (_YEAR_HEAD.search(head) and _SHARE_HEAD.search(other)):
            continue
        found = []
        for col in range(1, table.cols):
            top, low = table.at(row, col), table.at(row + 1, col)
            if top is None or low is None:
                continue
            span, pct = _span(top.text, False), _pct(low)
            if span is not None and pct is not None:
                found.append((*span, pct, low.run))
        if len(found) >= 2:
            return found
    return []


def _text(cell: Cell | None) -> str:
    return cell.text if cell is not None else ""


def _span(text: str, monthly: bool) -> tuple[Decimal, Decimal] | None:
    match = _RANGE.match(text)
    if match is None:
        return None
    first, last = Decimal(match.group(1)), Decimal(match.group(2) or match.group(1))
    if last < first or first < 1:
        return None
    unit = 1 if monthly else 12
    return (first - 1) * unit, last * unit


def _pct(cell: Cell) -> Decimal | None:
    match = _PERCENT.match(cell.text)
    if match is not None:
        value = Decimal(match.group(1).replace(",", "."))
        return value if 0 <= value <= 100 else None
    if re.fullmatch(r"\W*(free|none|no charge|nil|gratis)\W*", cell.text, re.IGNORECASE):
        return Decimal(0)
    return None


def share_is_suppliers(text: str) -> bool | None:
    """Whether the shares that a text prints are the supplier's (a credit) or the customer's; None where it does not say."""
    found = remedy.PAYERS.find(parse(text))
    customer = [mention for mention in found if mention.value is False]
    supplier = [mention for mention in found if mention.value is True]
    if customer:
        return False
    if supplier:
        return True
    return None


def price_basis_in(text: str) -> PriceBasis | None:
    found = remedy.PRICE_BASES.find(parse(text))
    strongest = sorted(found, key=lambda mention: -(mention.end - mention.start))
    return strongest[0].value if strongest else None


@dataclass(slots=True)
class CreditText:
    """What sentences say of a promise's stages."""

    steps: list[CreditDraft] = field(default_factory=list)
    full: tuple[Decimal, Hit] | None = None
    price_basis: PriceBasis | None = None
    of_supplier: bool | None = None
    uses_table: bool = False
    declines: bool = False
    mentioned: bool = False


def credit_text(units: Sequence[Unit], total: Decimal | None, context: Context) -> CreditText:
    """Reads the stages of one promise out of the sentences that follow it (its own included)."""
    result = CreditText()
    for unit in units:
        text = unit.text
        if not (unit.of(Family.SHARE, Family.YEAR_SPAN) or _declines(text) or unit.of(Family.PERCENT)):
            continue
        _read_full(unit, result, total)
        _read_shares(unit, result, total)
        _read_each_later(unit, result, total)
        _read_linear(unit, result, total)
        if _declines(text):
            result.declines = True
        basis = price_basis_in(text)
        if basis is not None and (
            unit.of(Family.PERCENT, Family.YEAR_SPAN)
            or _declines(text)
            or re.search(r"\bshare\b|credit", text, re.IGNORECASE)
        ):
            result.price_basis = result.price_basis if result.price_basis not in (None, PriceBasis.OTHER) else basis
        side = share_is_suppliers(text)
        if (
            side is not None
            and (unit.of(Family.REFERENCE) or re.search(r"percentage|share|credit", text, re.IGNORECASE))
            and result.of_supplier is None
        ):
            result.of_supplier = side
        if unit.of(Family.REFERENCE) and re.search(r"\b(share|credit|percent|pays?|price)", text, re.IGNORECASE):
            result.uses_table = True
    return result


def _declines(text: str) -> bool:
    return bool(remedy.DECLINES.find(parse(text)))


_FREE = re.compile(
    r"\b(free|no charge|without charge|without cost|no cost|full cover|of full|full credit|full replacement|gratuit|sans frais|kostenlos|sin costo|cover is full|at no)",
    re.IGNORECASE,
)


def _read_full(unit: Unit, result: CreditText, total: Decimal | None) -> None:
    """The stage that is free: "during the first ten years … without charge", "years 1 through 10: replaced free"."""
    text = unit.run.text
    if not _FREE.search(unit.text) and not re.search(r"\bfirst\b.{0,40}\bfull\b|\bfull\b", unit.text, re.IGNORECASE):
        if not _declines(unit.text):
            return
    for hit in unit.of(Family.DURATION):
        if not isinstance(hit.value, Duration) or hit.value.months is None:
            continue
        before = text[max(unit.start, hit.start - 30) : hit.start]
        near = text[max(unit.start, hit.start - 90) : min(unit.end, hit.end + 110)]
        if (
            re.search(r"\b(first|erste[nr]?|premi\w+|primeros)\W*(?:\w+\W+){0,2}$", before, re.IGNORECASE)
            and _FREE.search(near)
        ) or (
            re.search(r"^\W*(?:of )?full\b|^\W+free\b", text[hit.end : hit.end + 20], re.IGNORECASE)
            and total is not None
            and hit.value.months < total
        ):
            _set_full(result, hit.value.months, hit)
        elif re.search(r"\b(last|final)\W*$", before, re.IGNORECASE) and _declines(unit.text) and total is not None:
            _set_full(result, total - hit.value.months, hit)
    part = re.search(r"\bof which (?:the )?first ([\w-]+)(?: years?)? (?:are|is)\b", unit.text, re.IGNORECASE)
    if part is not None and total is not None:
        number = number_in(part.group(1))
        if number is not None and as_decimal(number.value) * 12 < total:
            start = unit.start + part.start(1)
            mention = Mention(
                Family.DURATION, start, start + len(part.group(1)), number.value, "credit.of_which", part.group(1)
            )
            _set_full(result, as_decimal(number.value) * 12, Hit(mention, unit.run))
    for hit in unit.of(Family.YEAR_SPAN):
        span = hit.value
        if isinstance(span, YearSpan) and span.first == 1 and span.to_month is not None:
            near = text[max(unit.start, hit.start - 70) : min(unit.end, hit.end + 60)]
            if _FREE.search(near):
                _set_full(result, span.to_month, hit)


def _set_full(result: CreditText, months: Decimal, hit: Hit) -> None:
    if result.full is None:
        result.full = (months, hit)
        result.mentioned = True


def _read_shares(unit: Unit, result: CreditText, total: Decimal | None) -> None:
    """Spans of years, each with the share nearest after it (or before it, where none follows)."""
    text = unit.run.text
    spans = [hit for hit in unit.of(Family.YEAR_SPAN) if isinstance(hit.value, YearSpan)]
    shares: list[tuple[int, int, Decimal, Hit | None]] = [
        (hit.start, hit.end, hit.value if isinstance(hit.value, Decimal) else Decimal(0), hit)
        for hit in unit.of(Family.PERCENT)
        if isinstance(hit.value, Decimal)
    ]
    taken = [(low, high) for low, high, _, _ in shares]
    for pattern, value in _WORD_SHARES:
        for match in pattern.finditer(text, unit.start, unit.end):
            if not any(low <= match.start() < high for low, high in taken):
                shares.append((match.start(), match.end(), as_decimal(value), None))
                taken.append((match.start(), match.end()))
    shares.sort(key=lambda share: share[0])
    if not spans or not shares:
        return
    side = share_is_suppliers(unit.text)
    if side is None:
        side = result.of_supplier
    used: set[int] = set()
    lead = shares[0][0] < spans[0].start and len(shares) == len(spans)
    for index, hit in enumerate(spans):
        following = spans[index + 1].start if index + 1 < len(spans) else unit.end
        if lead:
            candidates = [(i, share) for i, share in enumerate(shares) if share[0] < hit.start and i not in used]
            candidates = candidates[-1:]
        else:
            candidates = [
                (i, share) for i, share in enumerate(shares) if hit.end <= share[0] < following and i not in used
            ]
        if not candidates:
            continue
        i, (start, end, pct, share_hit) = candidates[0]
        span = hit.value
        assert isinstance(span, YearSpan)
        to_month = span.to_month if span.to_month is not None else total
        if to_month is None or pct > 100:
            continue
        if any(step.from_month == span.from_month for step in result.steps):
            continue
        used.add(i)
        local = text[hit.start : end + 40]
        own = share_is_suppliers(local)
        suppliers = own if own is not None else side
        pays = _HUNDRED - pct if suppliers else pct
        evidence = share_hit or Hit(Mention(Family.PERCENT, start, end, pct, "share.words", text[start:end]), unit.run)
        result.steps.append(CreditDraft(span.from_month, to_month, pays, evidence))
        result.mentioned = True


_EACH_LATER = re.compile(
    r"\b(?:each|every) (?:later|following|further|subsequent|succeeding|next) (?:year|one)\b|\b(?:each|every) year after(?: that)?\b|\bper year thereafter\b|\beach year thereafter\b|\b(?:puis|then)\b.{0,30}?\b(?:de plus|more)\b.{0,12}?\b(?:chaque|each|every) (?:année|year)\b|\bde plus chaque année\b",
    re.IGNORECASE,
)


def _read_each_later(unit: Unit, result: CreditText, total: Decimal | None) -> None:
    """ "In the 11th year 70 %, in each later year five points less": every step up to the end."""
    match = _EACH_LATER.search(unit.text)
    if match is None or not result.steps or total is None:
        return
    window = unit.text[max(0, match.start() - 40) : match.end() + 60]
    points = re.search(
        r"([\w-]+)\s*(?:percentage )?(?:points?|percent|%)\s*(less|more|lower|higher|de plus|de moins)?",
        window[window.find(match.group(0)) :],
        re.IGNORECASE,
    ) or re.search(
        r"([\w-]+)\s*(?:percentage )?points?\s*(less|more|lower|higher|de plus|de moins)", window, re.IGNORECASE
    )
    if points is None:
        return
    number = number_in(points.group(1)) or _french(points.group(1))
    if number is None:
        return
    delta = as_decimal(number.value) if hasattr(number, "value") else Decimal(number)
    last = result.steps[-1]
    supplier = share_is_suppliers(unit.text)
    falls = (points.group(2) or "more").lower() in ("less", "lower", "de moins")
    change = delta if falls == bool(supplier) else -delta
    change = (-delta if falls else delta) if not supplier else delta if falls else -delta
    month, pays = last.to_month, last.customer_pays_pct
    while month < total:
        pays = pays + change
        if not 0 <= pays <= 100:
            break
        result.steps.append(CreditDraft(month, month + 12, pays, last.hit))
        month += 12


_FRENCH = {"dix": 10, "cinq": 5, "quinze": 15, "vingt": 20}


def _french(text: str) -> int | None:
    return _FRENCH.get(text.lower())


_PARTS = re.compile(
    r"\bone[- ](twentieth|tenth|fifteenth|twelfth|thirteenth|one hundred[- ]and[- ]twentieth|hundred[- ]twentieth|fifth|sixth|eighth|twenty[- ]fourth)s?\b",
    re.IGNORECASE,
)
_PART_OF = {
    "twentieth": 20,
    "hundred-twentieth": 120,
    "one-hundred-and-twentieth": 120,
    "tenth": 10,
    "fifteenth": 15,
    "twelfth": 12,
    "thirteenth": 13,
    "fifth": 5,
    "sixth": 6,
    "eighth": 8,
    "twenty-fourth": 24,
}


def _read_linear(unit: Unit, result: CreditText, total: Decimal | None) -> None:
    """One share a year of the whole life, or one share a month of the tail, printed as a fraction."""
    text = unit.text
    match = _PARTS.search(text)
    if match is None or total is None or result.full is None or result.steps:
        return
    parts = _PART_OF.get(match.group(1).lower().replace(" ", "-"))
    if parts is None:
        return
    full = result.full[0]
    hit = Hit(
        Mention(
            Family.SHARE, unit.start + match.start(), unit.start + match.end(), parts, "credit.linear", match.group(0)
        ),
        unit.run,
    )
    monthly = re.search(r"\bmonth", text, re.IGNORECASE) is not None
    tail = total - full
    if monthly and parts == tail + 1:
        for index in range(int(tail)):
            pays = as_decimal(Fraction(100 * (index + 1), parts))
            result.steps.append(CreditDraft(full + index, full + index + 1, pays, hit))
    elif (
        not monthly
        and parts * 12 == total
        and re.search(r"unexpired|each year|for the year|remaining", text, re.IGNORECASE)
    ):
        month = full
        while month < total:
            left = (total - month) / 12
            pays = _HUNDRED - as_decimal(Fraction(left) * 100 / parts)
            result.steps.append(CreditDraft(month, month + 12, pays, hit))
            month += 12
    elif not monthly and parts * 12 == tail:
        for index in range(parts):
            pays = as_decimal(Fraction(100 * index, parts))
            result.steps.append(CreditDraft(full + 12 * index, full + 12 * (index + 1), pays, hit))
    elif monthly and parts == tail:
        for index in range(int(tail) // 12):
            pays = as_decimal(Fraction(100 * 12 * index, parts))
            result.steps.append(CreditDraft(full + 12 * index, full + 12 * (index + 1), pays, hit))


def percent_value(value: object) -> Decimal | None:
    if isinstance(value, Decimal):
        return value
    return value.lower if isinstance(value, PercentBand) else None


def spans_in(text: str) -> list[Mention]:
    return trigger.find_spans(parse(text))
