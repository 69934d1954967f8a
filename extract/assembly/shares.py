"""The stages of each promise: from its own sentences and those after it, a table, or a section of their own."""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.credits import CreditText, credit_text
from firstcap.extract.assembly.draft import CreditDraft, Draft, Found
from firstcap.extract.assembly.records import Grid, table_label
from firstcap.extract.assembly.unit import Unit, hits_of
from firstcap.extract.page import Run
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import Component, Promise

# "2 percent comes off if you pay in ten days", "2/10, net 30": terms of payment, no stages of a promise.
_PAYMENT = re.compile(
    r"\b(?:pay|pays|paid|paying|payment|settled?)\b[^.;]{0,40}\b(?:in|within|by)\b[^.;]{0,20}\bdays\b|\bnet (?:thirty|sixty|\d+)\b",
    re.IGNORECASE,
)


def give_shares(
    drafts: Sequence[Draft], units: Sequence[Sequence[Unit]], grids: Sequence[Grid], context: Context
) -> None:
    """Gives each promise the stages that its own sentences, those after it, and the table they point to, say."""
    tables = [grid for grid in grids if grid.credits is not None]
    for table in tables:
        table.parts = _named_parts(table, context)
    by_block = {block[0].block: list(block) for block in units}
    order = sorted(by_block)
    for index, draft in enumerate(drafts):
        following = drafts[index + 1] if index + 1 < len(drafts) else None
        span = _following_units(draft, following, by_block, order, context)
        span = [unit for unit in span if unit is draft.unit or not _PAYMENT.search(unit.text)]
        total = _total(draft)
        text = credit_text(span, total, context, draft.times[0].hit if draft.times else None)
        _put_credits(draft, text)
        if text.declines or text.uses_table or any(unit.of(Family.YEAR_SPAN, Family.PERCENT) for unit in span):
            draft.doubts.append("stage_words")
        here = [
            grid
            for grid in tables
            if draft.unit.block <= grid.block and (following is None or grid.block < following.unit.block)
        ]
        told = any(step.customer_pays_pct > 0 for step in text.steps)
        of_limits = draft.get("promise") is Promise.ACCURACY and not text.mentioned  # its table has limits, not shares
        if not told and total is not None and not of_limits and (text.uses_table or (here and text.mentioned)):
            grid = _credit_grid(draft, span, tables if text.uses_table else here)
            if grid is not None and grid.credits is not None:
                _put_table(draft, grid, text, total)
    _by_caption(drafts, tables, context)


def _total(draft: Draft) -> Decimal | None:
    return draft.times[0].duration.months if draft.times else None


def _following_units(
    draft: Draft, following: Draft | None, by_block: dict[int, list[Unit]], order: Sequence[int], context: Context
) -> list[Unit]:
    """The draft's sentence and what comes after it in its section, up to the next promise."""
    found: list[Unit] = []
    for block in order:
        if block < draft.unit.block:
            continue
        if following is not None and block > following.unit.block:
            break
        if block != draft.unit.block and context.layout.blocks[block].headings != draft.unit.headings:
            break
        for unit in by_block[block]:
            if block == draft.unit.block and unit.start < draft.unit.start:
                continue
            if (
                following is not None
                and block == following.unit.block
                and unit.start >= following.unit.start
                and (following.unit.block, following.unit.start) != (draft.unit.block, draft.unit.start)
            ):
                return found
            found.append(unit)
    return found


def _put_credits(draft: Draft, text: CreditText) -> None:
    first = draft.times[0] if draft.times else None
    if text.end is not None and first is not None and first.duration.months is not None and first.full is None:
        if draft.full is None and text.full is None:
            draft.full = Found(first.duration.months, first.hit, False, first.hit.mention.pattern)
        draft.times[0] = replace(first, duration=Duration(months=text.end))
    if text.steps:
        draft.credits = list(text.steps)
        _note_gaps(draft, _total(draft))
    if text.full is not None and (draft.full is None or text.steps):
        total = _total(draft)
        if total is None or text.full[0] < total or text.steps:
            draft.full = Found(text.full[0], text.full[1], False, text.full[1].mention.pattern)
    if text.declines:
        draft.scalars["declines"] = Found(True)
    draft.price_basis = text.price_basis if (text.steps or text.declines or text.uses_table or text.mentioned) else None


def _note_gaps(draft: Draft, total: Decimal | None) -> None:
    """Shares that leave out years between the first and the end are told: a wording may have been missed."""
    paid = sorted((step for step in draft.credits if step.customer_pays_pct > 0), key=lambda step: step.from_month)
    ends = [*(step.from_month for step in paid[1:]), *([total] if total is not None else [])]
    if any(step.to_month < following for step, following in zip(paid, ends, strict=False)):
        message = "The shares that were read leave out part of the time: compare with the page"
        draft.notes.append(("other", message, draft.unit.run.page))


def _named_parts(grid: Grid, context: Context) -> set[Component]:
    """The parts that a table's caption or nearest heading names."""
    over = [run for run in context.heading_runs(grid.headings)[:1] if table_label(run.text)]
    runs = [*([grid.table.caption] if grid.table.caption else []), *over]
    hits = [hit for run in runs for hit in hits_of(run, context.reader)]
    named = {hit.value.component for hit in hits if isinstance(hit.value, ComponentSpec)}
    return named - {Component.WHOLE_METER}


def _of_another(grid: Grid, draft: Draft) -> bool:
    own = _component_of(draft)
    return bool(grid.parts) and own is not None and own not in grid.parts


def _by_caption(drafts: Sequence[Draft], tables: Sequence[Grid], context: Context) -> None:
    """A table of shares that names its part ("Table 1. Endpoints") belongs to the one promise of that part."""
    for grid in tables:
        targets = [
            draft
            for draft in drafts
            if _component_of(draft) in grid.parts
            and draft.get("promise") is not Promise.ACCURACY
            and _total(draft) is not None
            and not any(step.customer_pays_pct > 0 for step in draft.credits)
        ]
        if len(targets) == 1:
            total = _total(targets[0])
            _put_table(targets[0], grid, credit_text([targets[0].unit], total, context), total)


def shares_of_rows(drafts: Sequence[Draft], grids: Sequence[Grid], context: Context) -> None:
    """Rows of a table that end in a prorated time take the one table of shares that fills that time.

    So do rows whose part (or product) heads a column of shares that reaches just to the end of their time.
    """
    tables = [grid for grid in grids if grid.credits is not None]
    for draft in drafts:
        total = _total(draft)
        free = draft.full.value if draft.full is not None else None
        if not draft.table or total is None:
            continue
        if any(step.customer_pays_pct > 0 for step in draft.credits) or draft.get("promise") is Promise.ACCURACY:
            continue
        if isinstance(free, Decimal) and 0 < free < total:
            fitting = [
                grid for grid in tables if not _of_another(grid, draft) and _fills(grid, draft, free, total, context)
            ]
        else:
            fitting = [grid for grid in tables if _own_column(grid, draft, total, context)]
        if len(fitting) == 1 and fitting[0].credits is not None:
            if fitting[0].credits.of_supplier is None:
                draft.doubts.append("stage_words")
            _put_table(draft, fitting[0], CreditText(mentioned=True), total, _steps_for(fitting[0], draft, context))


def _own_column(grid: Grid, draft: Draft, total: Decimal, context: Context) -> bool:
    """A column of shares of several that names the part of this promise, from the first year to its last."""
    assert grid.credits is not None
    steps = _steps_for(grid, draft, context) if len(grid.credits.columns) > 1 else None
    return bool(steps) and steps is not None and steps[0].from_month == 0 and steps[-1].to_month == total


def _steps_for(grid: Grid, draft: Draft, context: Context) -> tuple[CreditDraft, ...] | None:
    """The steps of the one column for this promise: by the name of its product or part, in the words of the heading."""
    assert grid.credits is not None
    part = _component_of(draft)
    found = grid.credits.steps_for([str(draft.get("product") or ""), *([part.value] if part else [])])
    if found is not None or part is None:
        return found
    fitting = [
        steps
        for head, steps in grid.credits.columns
        if part
        in {hit.value.component for hit in hits_of(Run(head), context.reader) if isinstance(hit.value, ComponentSpec)}
    ]
    return fitting[0] if len(fitting) == 1 else None


def _fills(grid: Grid, draft: Draft, free: Decimal, total: Decimal, context: Context) -> bool:
    """The steps of a table of shares begin where the free time of a promise ends, or before, and end with it."""
    steps = _steps_for(grid, draft, context)
    paid = [step for step in steps or () if step.customer_pays_pct > 0]
    return bool(paid) and paid[0].from_month == free and paid[-1].to_month == total


def _credit_grid(draft: Draft, span: Sequence[Unit], tables: Sequence[Grid]) -> Grid | None:
    labels = {
        table_label(unit.text[m.start() : m.start() + 24])
        for unit in span
        for m in re.finditer(r"\b(?:table|schedule|annex|tabelle|tableau|tabla)\b", unit.text, re.IGNORECASE)
    }
    tables = [grid for grid in tables if not _of_another(grid, draft)]
    for grid in tables:
        if grid.label is not None and grid.label in labels:
            return grid
    printed = {grid.label for grid in tables if grid.label}
    if printed & {label for label in labels if label}:
        return None
    near = [grid for grid in tables if grid.headings == draft.unit.headings]
    after = [grid for grid in (near or tables) if grid.block >= draft.unit.block]
    return min(after or tables, key=lambda grid: abs(grid.block - draft.unit.block), default=None)


def _put_table(
    draft: Draft,
    grid: Grid,
    text: CreditText,
    total: Decimal | None,
    steps: tuple[CreditDraft, ...] | None = None,
) -> None:
    assert grid.credits is not None
    part = _component_of(draft)
    names = [str(draft.get("product") or ""), *([part.value] if part else [])]
    found = steps if steps is not None else grid.credits.steps_for(names)
    if found is None:
        message = "The table of shares has several columns and none names this promise: read the right one by eye"
        draft.notes.append(("other", message, grid.credits.run.page))
        return
    listed = list(found)
    if grid.credits.of_supplier is None and text.of_supplier:
        listed = [CreditDraft(s.from_month, s.to_month, Decimal(100) - s.customer_pays_pct, s.hit) for s in listed]
    if total is not None and max(step.to_month for step in listed) != total and not _names_table(draft, grid):
        return  # the table of another promise
    draft.credits = [step for step in listed if total is None or step.from_month < total]
    draft.price_basis = text.price_basis or grid.credits.price_basis or draft.price_basis
    draft.table = True


def _names_table(draft: Draft, grid: Grid) -> bool:
    return grid.label is not None and grid.label in draft.unit.text.lower()


def shares_elsewhere(drafts: Sequence[Draft], units: Sequence[Sequence[Unit]], context: Context) -> None:
    """Stages said away from their promise, by the name of the part: "A battery which fails in the first five years …"."""
    for block in units:
        place = 0
        while place < len(block):
            named = _parts_in(block[place]) if _speaks_of_shares(block[place]) else set()
            end = place + 1
            while named and end < len(block) and not _parts_in(block[end]) - named:
                end += 1
            if named and not any(draft.unit.block == block[place].block and draft.credits for draft in drafts):
                _share_out(drafts, named, block[place:end], context)
            place = end


def _speaks_of_shares(unit: Unit) -> bool:
    """A stage and a share in one sentence."""
    times = [
        hit for hit in unit.of(Family.DURATION) if not (isinstance(hit.value, Duration) and hit.value.days is not None)
    ]
    return bool((times or unit.of(Family.YEAR_SPAN)) and unit.of(Family.PERCENT, Family.SHARE))


def _parts_in(unit: Unit) -> set[Component]:
    named = {hit.value.component for hit in unit.of(Family.COMPONENT) if isinstance(hit.value, ComponentSpec)}
    return named - {Component.WHOLE_METER, Component.OTHER}


def _share_out(drafts: Sequence[Draft], named: set[Component], span: Sequence[Unit], context: Context) -> None:
    targets = [
        draft
        for draft in drafts
        if not draft.credits
        and draft.unit.block != span[0].block
        and _component_of(draft) in named
        and draft.get("promise") is not Promise.ACCURACY
        and _total(draft) is not None
    ]
    for draft in targets:
        total = _total(draft)
        text = credit_text(span, total, context)
        reaches = max((step.to_month for step in text.steps), default=Decimal(0))
        paid = any(step.customer_pays_pct > 0 for step in text.steps)
        if total is not None and paid and (reaches == total if len(targets) > 1 else reaches <= total):
            _put_credits(draft, text)
        elif text.full or text.declines or any(unit.of(Family.YEAR_SPAN, Family.PERCENT) for unit in span):
            draft.doubts.append("stage_words")


def _component_of(draft: Draft) -> Component | None:
    value = draft.get("component")
    return value.component if isinstance(value, ComponentSpec) else None
