"""Times and volumes beside promises that no term took: each is told to the person, and the terms near it are less sure."""

import re
from collections.abc import Iterable, Sequence
from decimal import Decimal

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft
from firstcap.extract.assembly.join import about_cover
from firstcap.extract.assembly.other_business import is_of_trade
from firstcap.extract.assembly.records import Grid, Record
from firstcap.extract.assembly.times import promise_times, promise_volumes
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.language import parse
from firstcap.extract.numbers import numbers
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec, FullAndTail
from firstcap.schema.quantities import Duration, Volume
from firstcap.schema.terms import ReadingWarning
from firstcap.schema.vocabulary import Component, Promise, WarningKind

_ABOUT = (Family.TRIGGER, Family.REMEDY, Family.PROMISE, Family.LEVEL, Family.BAND, Family.RULE, Family.SHARE)
_LONGEST = 160  # characters of a sentence that a warning quotes


def note_unread(
    units: Sequence[Sequence[Unit]], drafts: Sequence[Draft], grids: Sequence[Grid], context: Context
) -> list[ReadingWarning]:
    """A warning for each number left unread in the prose and tables of promises; the drafts near it get a doubt."""
    taken = {_place(hit) for draft in drafts for hit in _hits(draft)}
    if not taken:
        return []
    warnings: list[ReadingWarning] = []
    for draft in drafts:
        odd = [] if draft.table else [*_not_understood(draft.unit, context), *_not_used(draft, drafts, taken)]
        if odd:
            draft.doubts.append("unread")
            said = ", ".join(dict.fromkeys(odd))
            draft.notes.append(
                ("other", f"Part of this sentence was taken for no promise: {said}", draft.unit.run.page)
            )
    for block in units:
        for unit in block:
            left = [hit for hit in _left(unit, context) if _place(hit) not in taken and not _retold(hit, unit, drafts)]
            if not left:
                continue
            words = " and ".join(dict.fromkeys(hit.mention.text for hit in left))
            warnings.append(_warning(f"{words} in “{_short(unit.text)}”", unit.run.page))
            for draft in drafts:
                if _near(draft, unit):
                    draft.doubts.append("unread")
    for grid in grids:
        for record in _rows_left(grid, taken, context):
            warnings.append(_warning(f"The row “{_short(record.row.text)}”", record.row.page))
    return warnings


_EXPLAINING = (
    Family.DURATION, Family.VOLUME, Family.FLOW, Family.BAND, Family.PERCENT, Family.SIZE, Family.START, Family.STANDARD,
    Family.YEAR_SPAN, Family.REFERENCE, Family.PRODUCT, Family.PERIOD, Family.COMPONENT, Family.LEVEL, Family.LIFE,
    Family.FLOW_ROLE, Family.METER_TYPE,
)  # fmt: skip
_NAMED_BY = re.compile(
    r"(?:\b(?:tables?|schedules?|sections?|clauses?|conditions?|articles?|paragraphs?|items?|parts?|annex(?:es)?|exhibits?|appendix|"
    r"notes?|page|nos?|numbers?|types?|class|clase|classe|klasse|series|models?|form|edition|rev(?:ision)?|manual|"
    r"abschnitt|ziffer|nr|n°|artículo|cláusula|tabelle|tableau|tabla)\.?|§|(?-i:\b[A-Z]{1,4}-?)|#)\s*$",
    re.IGNORECASE,
)
_COUNTED_THINGS = re.compile(
    r"^\W*(?:°|º|psi\b|bar\b|kPa\b|mm\b|cm\b|feet\b|ft\b|inch|in\.|volts?\b|per ?cent|%|hours?\b|minutes?\b|seconds?\b|times\b|"
    r"readings?\b|meters?\b|(?:standard |test )?flows?\b|test\b|limits?\b|ends?\b|dates?\b|events?\b|periods?\b|promises\b|of (?:the|these|them|those)\b)",
    re.IGNORECASE,
)


def _not_understood(unit: Unit, context: Context) -> list[str]:
    """Numbers in the sentence of a promise that are part of nothing known: an unknown wording of a limit, perhaps."""
    doc = parse(unit.text)
    explained = [(hit.start - unit.start, hit.end - unit.start) for hit in unit.of(*_EXPLAINING)]
    odd = []
    for number in numbers(doc, context.reader.style):
        start = doc[number.start].idx
        end = doc[number.end - 1].idx + len(doc[number.end - 1].text)
        text = unit.text[start:end]
        if any(low < end and start < high for low, high in explained):
            continue
        if number.value <= 1 or start < 8 or (text.isdigit() and 1900 <= number.value <= 2100):
            continue
        if _NAMED_BY.search(unit.text[:start]) or _COUNTED_THINGS.match(unit.text[end:]):
            continue
        odd.append(unit.text[max(0, start - 1) : end + 20].split(".")[0].strip())
    return odd


def _not_used(draft: Draft, drafts: Sequence[Draft], taken: set[tuple[int, int, int]]) -> list[str]:
    """Times, volumes and accuracy limits of a promise's own sentence that no promise made of it took."""
    unit = draft.unit
    starts = unit.of(Family.START)
    left = [
        hit
        for hit in unit.of(Family.DURATION, Family.VOLUME)
        if _place(hit) not in taken
        and not (isinstance(hit.value, Duration) and hit.value.days is not None)
        and not any(start.start <= hit.start and hit.end <= start.end for start in starts)
        and not _retold(hit, unit, drafts)
    ]
    if draft.get("promise") is Promise.ACCURACY:
        held = {band.band for other in drafts for band in other.bands}
        left += [hit for hit in unit.of(Family.BAND) if hit.value not in held]
    return [hit.mention.text for hit in left]


def _warning(what: str, page: int) -> ReadingWarning:
    message = f"{what} was taken for no promise: compare with the page, and enter what is missing"
    return ReadingWarning(kind=WarningKind.OTHER, page=page, message=message)


def _short(text: str) -> str:
    text = text.strip()
    return text if len(text) <= _LONGEST else text[: _LONGEST - 1].rsplit(" ", 1)[0] + "…"


def _place(hit: Hit) -> tuple[int, int, int]:
    return id(hit.run), hit.start, hit.end


def _hits(draft: Draft) -> Iterable[Hit]:
    yield from (limit.hit for limit in draft.times)
    yield from (hit for _, hit in draft.volumes)
    yield from (step.hit for step in draft.credits)
    if draft.full is not None and draft.full.hit is not None:
        yield draft.full.hit


def _left(unit: Unit, context: Context) -> list[Hit]:
    """The times and volumes of a sentence that nothing explains away: no claim, no other business, nothing denied.

    Days count only beside a start.
    """
    if unit.of(Family.NEGATION) or is_of_trade(unit) or not unit.of(*_ABOUT):
        return []
    found = [*promise_times(unit, context)[0], *promise_volumes(unit)]
    starts = unit.of(Family.START)
    return [
        hit
        for hit in found
        if not any(start.start < hit.start and hit.end <= start.end for start in starts)
        and (starts or not (isinstance(hit.value, Duration) and hit.value.days is not None))
    ]


def _retold(hit: Hit, unit: Unit, drafts: Sequence[Draft]) -> bool:
    """The same number again ("those sixty months"), or one at which a stage begins or ends."""
    value = _number(hit)
    return value is not None and any(
        value in _numbers(draft) for draft in drafts if draft.unit.headings == unit.headings or _near(draft, unit)
    )


def _number(hit: Hit) -> Decimal | None:
    value = hit.value.total if isinstance(hit.value, FullAndTail) else hit.value
    if isinstance(value, Duration):
        return value.months if value.months is not None else None
    return value.usgal if isinstance(value, Volume) else None


def _numbers(draft: Draft) -> set[Decimal]:
    found = {limit.duration.months for limit in draft.times if limit.duration.months is not None}
    found |= {volume.usgal for volume, _ in draft.volumes}
    found |= {
        edge for step in draft.credits for edge in (step.from_month, step.to_month, step.to_month - step.from_month)
    }
    if draft.full is not None and isinstance(draft.full.value, Decimal):
        found.add(draft.full.value)
        found |= {total - draft.full.value for total in list(found) if total > draft.full.value}
    return found


def _near(draft: Draft, unit: Unit) -> bool:
    """In the same block, or about a part that the sentence names."""
    if draft.unit.block == unit.block:
        return True
    value = draft.get("component")
    part = value.component if isinstance(value, ComponentSpec) else None
    return part not in (None, Component.WHOLE_METER, Component.OTHER) and part in {
        hit.value.component for hit in unit.of(Family.COMPONENT) if isinstance(hit.value, ComponentSpec)
    }


def _rows_left(grid: Grid, taken: set[tuple[int, int, int]], context: Context) -> list[Record]:
    if grid.credits is not None or not grid.table.rows:
        return []
    left = [record for record in grid.records if (record.times or record.volumes) and not _used(record, taken)]
    if len(left) == len(grid.records) and not about_cover(grid, context):
        return []
    seen: set[str] = set()
    return [record for record in left if not (record.row.text in seen or seen.add(record.row.text))]  # type: ignore[func-returns-value]


def _used(record: Record, taken: set[tuple[int, int, int]]) -> bool:
    hits = [*(limit.hit for limit in record.times), *(hit for _, hit in record.volumes)]
    return any(_place(hit) in taken for hit in hits)
