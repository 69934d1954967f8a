"""Prorated credits: tables and sentences that say what the customer pays in which year."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import CreditDraft, Found
from firstcap.extract.assembly.stages import Stages, read_stages
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.page import Cell, Run, Table
from firstcap.extract.patterns import credit, remedy, trigger
from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.quantities import Duration, PercentBand
from firstcap.schema.vocabulary import PriceBasis

_HUNDRED = Decimal(100)
_YEAR_HEAD = re.compile(
    r"\b(years?|yrs?|age|años?|edad|années?|âge|(?:betriebs|garantie|nutzungs)?jahre?|alter|months?|mes(?:es)?|mois|monate?)\b",
    re.IGNORECASE,
)
_MONTH_HEAD = re.compile(r"\b(months?|mos?|mes(?:es)?|mois|monate?)\b", re.IGNORECASE)
_AGE_HEAD = re.compile(r"\b(age|edad|âge|alter|completed?|elapsed|full years)\b", re.IGNORECASE)
_SHARE_HEAD = re.compile(
    r"\b(credit|pays?|share|price|percent|cost|allowance|discount|contribution|charge|covered|cover|anteil|selbstbehalt|eigenanteil|"
    r"gutschrift|zuzahlung|part|paga|cargo|cuota|aporte|bonificación|crédito?|avoir|remise|participation|quote-part|"
    r"customer|owner|buyer|purchaser|utility|importer|you|cliente?|comprador|acheteur|besteller|kunde)\b|%",
    re.IGNORECASE,
)
_ONE_AGE = r"(\d{1,3})(?:st|nd|rd|th|er|e|º|ª|\.)?"
_UNIT_WORD = r"(?:years?|yrs?\.?|months?|mos?\.?|años?|mes(?:es)?|ans?|années?|mois|jahre?s?|monate?s?)"
_RANGE = re.compile(
    rf"^\W*(?:{_UNIT_WORD}\s*)?{_ONE_AGE}\s*(?:{_UNIT_WORD}\s*)?"
    rf"(?:(?:to|through|thru|and|-|–|—|until|bis|und|à|et|al?|y|hasta)\s*(?:{_UNIT_WORD}\s*)?{_ONE_AGE})?(?:\s*{_UNIT_WORD})?\W*$",
    re.IGNORECASE,
)
_OVER_TO = re.compile(
    rf"^\W*(?:over|more than|above|from|über|mehr als|más de|de más de|plus de|après|after)\s+{_ONE_AGE}\b\D{{1,40}}?(?:up to|to|through|not over|under|less than|but|bis|hasta|à|jusqu)\D{{0,30}}{_ONE_AGE}\W*(?:{_UNIT_WORD})?\W*$",
    re.IGNORECASE,
)
_UP_TO = re.compile(
    rf"^\W*(?:up to|under|less than|until|through|first|bis(?: zu)?|unter|hasta|menos de|jusqu['’]à|moins de)\s+(?:year\s+)?{_ONE_AGE}\W*(?:{_UNIT_WORD})?\W*$",
    re.IGNORECASE,
)
_PERCENT = re.compile(r"^\W*(\d{1,3}(?:[.,]\d+)?)\s*(?:%|percent|per cent)?\W*$", re.IGNORECASE)


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
    columns = _upright(table, context.reader.style)
    if not columns:
        sideways = _sideways(table, context.reader.style)
        columns = [sideways] if sideways is not None else _rows_of_shares(table, context.reader.style)
        text = " ".join(
            [*(_text(table.at(row, 0)) for row in range(table.rows)), table.caption.text if table.caption else ""]
        )
    if not columns:
        return None
    supplier = share_is_suppliers(text)
    sides = [share_is_suppliers(head) for head, _ in columns]
    if len(columns) == 2 and {*sides} == {True, False} and _complementary(columns[0][1], columns[1][1]):
        columns, sides = [columns[sides.index(False)]], [False]  # the same share printed from both sides
    made = [
        (head, _steps(cells, side if side is not None else supplier))
        for (head, cells), side in zip(columns, sides, strict=True)
    ]
    side = sides[0] if sides[0] is not None else supplier
    return CreditTable(made[0][1], price_basis_in(text), table.cells[0].run, tuple(made), side)


_Share = tuple[Decimal, Decimal, Decimal, Run]  # from, to, percentage, where it stands


def _complementary(left: Sequence[_Share], right: Sequence[_Share]) -> bool:
    return len(left) == len(right) and all(a[2] + b[2] == _HUNDRED for a, b in zip(left, right, strict=True))


def _steps(cells: Sequence[_Share], supplier: bool | None) -> tuple[CreditDraft, ...]:
    steps = []
    for span_from, span_to, pct, run in cells:
        pays = _HUNDRED - pct if supplier else pct
        hit = Hit(Mention(Family.SHARE, 0, len(run.text), pct, "credit.table", run.text), run)
        steps.append(CreditDraft(span_from, span_to, pays, hit))
    return tuple(sorted(steps, key=lambda step: step.from_month))


def _head(table: Table, col: int) -> str:
    return table.header(col).text if table.header_rows else _text(table.at(0, col))


def _upright(table: Table, style: NumberStyle) -> list[tuple[str, list[_Share]]]:
    """Columns of shares by their heading; half tables (Year | share | Year | share) are read one after the other."""
    header_rows = table.header_rows or 1
    years = [
        col
        for col in range(table.cols)
        if (_YEAR_HEAD.search(_head(table, col)) or _says_years(table, col, header_rows))
        and not re.search(r"gal|accuracy|registr|size", _head(table, col), re.IGNORECASE)
        and any(_ages(_text(table.at(row, col))) for row in range(header_rows, table.rows))
    ]
    found: list[tuple[str, list[_Share]]] = []
    for index, col in enumerate(years):
        end = years[index + 1] if index + 1 < len(years) else table.cols
        texts = [_text(table.at(row, col)) for row in range(header_rows, table.rows)]
        spans = _spans(texts, _head(table, col))
        place = 0
        for share in range(col + 1, end):
            if not (_SHARE_HEAD.search(_head(table, share)) or _percents(table, share, header_rows)):
                continue
            cells: list[_Share] = []
            for row, span in zip(range(header_rows, table.rows), spans, strict=True):
                right = table.at(row, share)
                pct = _pct(right, style) if right is not None else None
                if right is not None and span is not None and pct is not None:
                    cells.append((*span, pct, right.run))
            if index and place < len(found):
                found[place][1].extend(cells)
            elif cells:
                found.append((_head(table, share), cells))
            place += 1
    return [(head, cells) for head, cells in found if len(cells) >= 2]


_YEAR_CELL = re.compile(rf"^\W*(?:{_UNIT_WORD}\s*\d|{_ONE_AGE}\s*{_UNIT_WORD})", re.IGNORECASE)


def _says_years(table: Table, col: int, first: int) -> bool:
    """ "Year 11" in every cell, under a heading such as "Fails in": the cells say what the column is."""
    texts = [_text(table.at(row, col)) for row in range(first, table.rows)]
    texts = [text for text in texts if text.strip()]
    return len(texts) >= 2 and all(_YEAR_CELL.match(text) and _ages(text) for text in texts)


def _percents(table: Table, col: int, first: int) -> bool:
    cells = [table.at(row, col) for row in range(first, table.rows)]
    texts = [cell.text for cell in cells if cell is not None and re.search(r"\w", cell.text)]
    return bool(texts) and sum("%" in text for text in texts) >= 0.7 * len(texts)


def _sideways(table: Table, style: NumberStyle) -> tuple[str, list[_Share]] | None:
    """A row of years with a row of shares under it."""
    for row in range(table.rows - 1):
        head, other = _text(table.at(row, 0)), _text(table.at(row + 1, 0))
        if not (_YEAR_HEAD.search(head) and _SHARE_HEAD.search(other)):
            continue
        spans = _spans([_text(table.at(row, col)) for col in range(1, table.cols)], head)
        found: list[_Share] = []
        for col, span in zip(range(1, table.cols), spans, strict=True):
            low = table.at(row + 1, col)
            pct = _pct(low, style) if low is not None else None
            if low is not None and span is not None and pct is not None:
                found.append((*span, pct, low.run))
        if len(found) >= 2:
            return other, found
    return None


def _rows_of_shares(table: Table, style: NumberStyle) -> list[tuple[str, list[_Share]]]:
    """A row of years over several rows of percentages, each of a part or product named before it."""
    top = max(table.header_rows - 1, 0)
    spans = [year_span(_text(table.at(top, col)), _head(table, col)) for col in range(1, table.cols)]
    if table.cols < 3 or any(span is None for span in spans):
        return []
    found: list[tuple[str, list[_Share]]] = []
    for row in range(top + 1, table.rows):
        cells: list[_Share] = []
        for col, span in zip(range(1, table.cols), spans, strict=True):
            cell = table.at(row, col)
            if cell is None or span is None or not re.search(r"%|\d", cell.text):
                continue
            pct = _pct(cell, style) if _PERCENT.match(cell.text) else None
            if pct is None:
                return []
            cells.append((*span, pct, cell.run))
        if len(cells) >= 2:
            found.append((_text(table.at(row, 0)), cells))
    return found


def _text(cell: Cell | None) -> str:
    return cell.text if cell is not None else ""


def _ages(text: str) -> tuple[int, int, bool] | None:
    """First and last year (or month) of a cell, and whether they are printed as ages ("over 5 up to 10")."""
    if match := _OVER_TO.match(text):
        first, last, aged = int(match.group(1)), int(match.group(2)), True
    elif match := _UP_TO.match(text):
        first, last, aged = 0, int(match.group(1)), True
    elif match := _RANGE.match(text):
        first, last, aged = int(match.group(1)), int(match.group(2) or match.group(1)), False
    elif (mention := _worded_year(text)) is not None:
        return mention
    else:
        return None
    return (first, last, aged) if first <= last and (last > first or first > 0 or not aged) else None


def year_span(text: str, head: str) -> tuple[Decimal, Decimal] | None:
    """ "Years 11 through 20", "1-10" under "Years": the months from and to of a cell that counts years of age."""
    ages = _ages(text)
    if ages is None or ages[1] <= ages[0] or not (_YEAR_HEAD.search(text) or _YEAR_HEAD.search(head)):
        return None
    first, last, aged = ages
    unit = (
        1
        if _MONTH_HEAD.search(text) or (_MONTH_HEAD.search(head) and not re.search(r"year", text, re.IGNORECASE))
        else 12
    )
    return Decimal((first if aged or first == 0 else first - 1) * unit), Decimal(last * unit)


def _worded_year(text: str) -> tuple[int, int, bool] | None:
    """ "Eleventh year", "years eleven and twelve"."""
    found = [one.value for one in credit.STAGES.find(parse(text)) if one.value.kind is credit.StageKind.SPAN]
    if len(found) == 1 and found[0].start is not None and found[0].end is not None and len(text) < 40:
        unit = found[0].unit
        return int(found[0].start / unit) + 1, int(found[0].end / unit), False
    return None


def _spans(texts: Sequence[str], head: str) -> list[tuple[Decimal, Decimal] | None]:
    """Months from and to of a column of years, in whichever way the column counts.

    "1 to 5, 6 to 10" are years of age counted from one; "0 to 5, 5 to 10" are ages; "0 to 60, 61 to 84" begin at nought.
    """
    ages = [_ages(text) for text in texts]
    known = [age for age in ages if age is not None]
    touching = any(later[0] == sooner[1] for sooner, later in pairwise(known)) and all(a[1] > a[0] for a in known)
    single_from_zero = bool(known) and known[0][:2] == (0, 0) and bool(_AGE_HEAD.search(head))
    made: list[tuple[Decimal, Decimal] | None] = []
    for text, age in zip(texts, ages, strict=True):
        if age is None:
            made.append(None)
            continue
        first, last, aged = age
        months = _MONTH_HEAD.search(text) or (_MONTH_HEAD.search(head) and not re.search(r"year", text, re.IGNORECASE))
        unit = 1 if months else 12
        if single_from_zero:
            low, high = first, last + 1
        else:
            low, high = (first if aged or touching or first == 0 else first - 1), last
        made.append((Decimal(low * unit), Decimal(high * unit)) if high > low else None)
    return made


def _pct(cell: Cell, style: NumberStyle) -> Decimal | None:
    match = _PERCENT.match(cell.text)
    if match is not None:
        value = Decimal(match.group(1).replace(",", "."))
        return value if 0 <= value <= 100 else None
    if re.fullmatch(r"\W*(free|none|no charge|nil|gratis|gratuit|kostenlos|sin cargo)\W*", cell.text, re.IGNORECASE):
        return Decimal(0)
    return credit.share_in(cell.text, style) if len(cell.text) < 60 else None


def share_is_suppliers(text: str) -> bool | None:
    """Whether the shares that a text prints are the supplier's (a credit) or the customer's; None where it does not say."""
    sides = {mention.value for mention in credit.SIDES.find(parse(text))}
    if len(sides) == 1:
        return sides == {credit.Side.SUPPLIER}
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
    end: Decimal | None = None  # a tail told after the promise: where it ends
    price_basis: PriceBasis | None = None
    of_supplier: bool | None = None
    uses_table: bool = False
    declines: bool = False
    mentioned: bool = False


def credit_text(
    units: Sequence[Unit], total: Decimal | None, context: Context, promised: Hit | None = None
) -> CreditText:
    """Reads the stages of one promise out of the sentences that follow it (its own included).

    `promised` is the promise's own time, which is no stage.
    """
    result = CreditText()
    told = [unit for unit in units if not unit.of(Family.NEGATION) or _tells_stage(unit)]
    read = read_stages(
        [unit.text for unit in told],
        total,
        style=context.reader.style,
        promised=[
            [(promised.start - unit.start, promised.end - unit.start)]
            if promised is not None and promised.run is unit.run and unit.start <= promised.start < unit.end
            else []
            for unit in told
        ],
    )
    for unit, stages in zip(told, read, strict=True):
        _take(unit, stages, result)
        text = unit.text
        if stages.declines:
            result.declines = True
        speaks = stages.steps or stages.declines or unit.of(Family.PERCENT, Family.YEAR_SPAN)
        basis = price_basis_in(text)
        if basis is not None and (speaks or re.search(r"\bshare\b|credit", text, re.IGNORECASE)):
            result.price_basis = result.price_basis if result.price_basis not in (None, PriceBasis.OTHER) else basis
        side = share_is_suppliers(text)
        if (
            side is not None
            and (unit.of(Family.REFERENCE) or re.search(r"percentage|share|credit", text, re.IGNORECASE))
            and result.of_supplier is None
        ):
            result.of_supplier = side
        if unit.of(Family.REFERENCE) and _OF_SHARES.search(text):
            result.uses_table = True
    return result


_OF_SHARES = re.compile(
    r"\b(share|credit|percent|pays?\b|price|prorated|pro rata|cargo|precio|paga|proporcional|bonificaci|crédit|paie|tarif|prix|dégressi|"
    r"degressiv|anteil|zahlt|trägt|gutschrift|listenpreis)",
    re.IGNORECASE,
)


def _tells_stage(unit: Unit) -> bool:
    """A sentence that takes something away may still tell a stage; an optional plan or a typical life tells none."""
    taken = {hit.mention.pattern for hit in unit.of(Family.NEGATION)}
    return not taken & {"negation.optional", "negation.law", "negation.past"} and (
        "negation.typical" not in taken or bool(credit.SIDES.find(parse(unit.text)))
    )


def _take(unit: Unit, stages: Stages, result: CreditText) -> None:
    def hit(place: tuple[int, int], value: object) -> Hit:
        start, end = unit.start + place[0], unit.start + place[1]
        return Hit(Mention(Family.SHARE, start, end, value, "credit.stage", unit.run.text[start:end]), unit.run)

    known = {step.from_month for step in result.steps}
    for step in stages.steps:
        if step.from_month not in known:
            pays = step.customer_pays_pct
            result.steps.append(CreditDraft(step.from_month, step.to_month, pays, hit(step.place, pays)))
            result.mentioned = True
    if stages.full is not None and result.full is None:
        result.full = (stages.full[0], hit(stages.full[1], stages.full[0]))
        result.mentioned = True
    if stages.end is not None and result.end is None:
        result.end = stages.end


def cell_stages(
    run: Run, promised: Hit | None, total: Decimal | None, style: NumberStyle, *, bare: bool = True
) -> tuple[list[CreditDraft], Found] | None:
    """The stages that a cell or a remark prints ("7 full, 7 at half of list"); None unless they fill the whole time.

    `bare`: lengths need no unit, as in a cell under "Years".
    """
    if total is None or not re.search(r"\d|\bfirst\b|\blast\b", run.text):
        return None
    own = [(promised.start, promised.end)] if promised is not None and promised.run is run else []
    stages = read_stages([run.text], total, style=style, promised=[own], bare=bare)[0]
    steps = sorted(stages.steps, key=lambda step: step.from_month)
    paid = [step for step in steps if step.customer_pays_pct > 0]
    joined = all(left.to_month == right.from_month for left, right in pairwise(steps))
    if not paid or not joined or steps[-1].to_month != total:
        return None
    drafts = []
    for step in steps:
        mention = Mention(
            Family.SHARE, *step.place, step.customer_pays_pct, "credit.cell", run.text[slice(*step.place)]
        )
        drafts.append(CreditDraft(step.from_month, step.to_month, step.customer_pays_pct, Hit(mention, run)))
    return drafts, Found(paid[0].from_month, drafts[0].hit, False, "credit.cell")


def stage_of_longer(unit: Unit, hit: Hit) -> bool:
    """A shorter time after a longer one, beside a share or beside "free": "15 years …: 10 years without charge and 5 at half"."""
    months = hit.value.months if isinstance(hit.value, Duration) else None
    before = [
        other.value.months
        for other in unit.of(Family.DURATION)
        if other.end <= hit.start and isinstance(other.value, Duration) and other.value.months is not None
    ]
    if months is None or not before or months >= max(before):
        return False
    text = unit.run.text
    ahead = re.split(r"[;:.,]|\band\b", text[max(unit.start, hit.start - 45) : hit.start])[-1]
    behind = re.split(r"[;:.,]|\b(?:and|y|et|und)\b", text[hit.end : min(unit.end, hit.end + 45)])[0]
    return any(
        credit.FREE.find(parse(part)) or remedy.DECLINES.find(parse(part)) or credit.share_in(part) is not None
        for part in (ahead, behind)
        if part.strip()
    )


def percent_value(value: object) -> Decimal | None:
    if isinstance(value, Decimal):
        return value
    return value.lower if isinstance(value, PercentBand) else None


def spans_in(text: str) -> list[Mention]:
    return trigger.find_spans(parse(text))
