"""The order of assembly: context, sentences, tables, credits, join, finish; and what a document as a whole owes."""

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from firstcap.extract.assembly.answers import note_questions
from firstcap.extract.assembly.context import (
    Context,
    build_context,
    note_level_limits,
    note_level_standard,
    note_product_limits,
)
from firstcap.extract.assembly.credits import CreditText, credit_text
from firstcap.extract.assembly.draft import CreditDraft, Draft, Found
from firstcap.extract.assembly.finish import Finished, finish, from_headings, remedy_verbs
from firstcap.extract.assembly.grids import Grid, read_grid, table_label, text_grids
from firstcap.extract.assembly.join import join
from firstcap.extract.assembly.prose_cells import prose_units
from firstcap.extract.assembly.statements import promise_of, statements
from firstcap.extract.assembly.unit import Hit, Reader, Unit, hits_of, units_of
from firstcap.extract.page import BlockKind, Layout
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.quantities import Duration
from firstcap.schema.terms import ReadingWarning, Term
from firstcap.schema.vocabulary import Component, Promise, Remedy

_PROSE = (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM)


def assemble_explained(
    layout: Layout, supplier: str | None, *, is_warranty: bool
) -> tuple[list[Finished], list[ReadingWarning]]:
    """The terms with what speaks for and against each (for fitting the confidence), and the warnings."""
    context = build_context(layout, supplier, is_warranty=is_warranty)
    units = _units(context)
    note_questions(units, context)
    _note_defaults(units, context)
    drafts: list[Draft] = []
    intros: dict[tuple[int, ...], Unit] = {}
    for block_units in units:
        carried = next((d for d in reversed(drafts) if d.unit.headings == block_units[0].headings), None)
        made = statements(block_units, context, carried)
        for draft in made:
            _from_intro(draft, intros.get(draft.unit.headings))
        drafts.extend(made)
        last = block_units[-1]
        if last.text.rstrip().endswith(":") and last.of(Family.TRIGGER):
            intros[last.headings] = last
    for draft in drafts:
        from_headings(draft, context)
    told = {block_units[0].block for block_units in units}
    grids = [
        grid
        for index, block in context.blocks(BlockKind.TABLE)
        if index not in told and (grid := read_grid(index, block, context)) is not None
    ]
    grids.extend(text_grids(units, drafts, grids))
    if not is_warranty:
        return [], []
    _credits(drafts, units, grids, context)
    joined = join(drafts, grids, context)
    _stages_elsewhere(joined, units)
    remedy = document_remedy(units, context)
    return finish(joined, context, remedy)


def assemble(layout: Layout, supplier: str | None, *, is_warranty: bool) -> tuple[list[Term], list[ReadingWarning]]:
    """All terms of a document with their warnings. Never raises on odd text: what cannot be placed is left out."""
    finished, warnings = assemble_explained(layout, supplier, is_warranty=is_warranty)
    return [item.term for item in finished], warnings


def _from_intro(draft: Draft, intro: Unit | None) -> None:
    """ "We warrant the 5/8 inch meter, from the date of purchase:" holds for the items that follow it."""
    if intro is None or intro.block >= draft.unit.block:
        return
    for name, family in (("product", Family.PRODUCT), ("meter_type", Family.METER_TYPE), ("start", Family.START)):
        hit = intro.first(family)
        if hit is not None:
            draft.put(name, Found.of(hit).passed_on())
    promise = promise_of(intro)
    if promise is not None:
        draft.put("promise", promise.passed_on())
    sizes = intro.of(Family.SIZE)
    if draft.sizes is None and sizes:
        draft.sizes = Found(tuple(dict.fromkeys(label for hit in sizes for label in hit.value)), sizes[0], True)  # type: ignore[attr-defined]


def _units(context: Context) -> list[list[Unit]]:
    found = []
    for index, block in context.blocks(*_PROSE):
        units = units_of(block.run, context.reader, block=index, headings=block.headings)
        if block.kind is BlockKind.LIST_ITEM:
            for unit in units:
                unit.extra["item"] = True
        if units:
            found.append(units)
    for index, block in context.blocks(BlockKind.TABLE):
        told = prose_units(index, block, context.reader)
        if told:
            found.append(told)
    return sorted(found, key=lambda block_units: block_units[0].block)


def _note_defaults(units: Sequence[Sequence[Unit]], context: Context) -> None:
    """Limits that a level means here, and rules said of all promises of a section."""
    for block in units:
        for unit in block:
            note_level_limits(unit, context)
            note_product_limits(unit, context)
            note_level_standard(unit, context)
            rule = unit.first(Family.RULE)
            if rule is not None and not unit.of(Family.DURATION, Family.VOLUME):
                context.note_rule(Found.of(rule), unit)
    for index, table in context.blocks(BlockKind.TABLE):
        for note in table.table.notes if table.table else ():
            for unit in units_of(note, context.reader, block=index, headings=table.headings):
                note_level_standard(unit, context)
                rule = unit.first(Family.RULE)
                if rule is not None and not unit.of(Family.DURATION, Family.VOLUME):
                    context.note_rule(Found.of(rule), unit)


# "2 percent comes off if you pay in ten days", "2/10, net 30": terms of payment, no stages of a promise.
_PAYMENT = re.compile(
    r"\b(?:pay|pays|paid|paying|payment|settled?)\b[^.;]{0,40}\b(?:in|within|by)\b[^.;]{0,20}\bdays\b|\bnet (?:thirty|sixty|\d+)\b",
    re.IGNORECASE,
)


def _credits(drafts: Sequence[Draft], units: Sequence[Sequence[Unit]], grids: Sequence[Grid], context: Context) -> None:
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
        if not told and total is not None and (text.uses_table or (here and text.mentioned)):
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


def _put_table(draft: Draft, grid: Grid, text: CreditText, total: Decimal | None) -> None:
    assert grid.credits is not None
    part = _component_of(draft)
    names = [str(draft.get("product") or ""), *([part.value] if part else [])]
    found = grid.credits.steps_for(names)
    if found is None:
        message = "The table of shares has several columns and none names this promise: read the right one by eye"
        draft.notes.append(("other", message, grid.credits.run.page))
        return
    steps = list(found)
    if grid.credits.of_supplier is None and text.of_supplier:
        steps = [CreditDraft(s.from_month, s.to_month, Decimal(100) - s.customer_pays_pct, s.hit) for s in steps]
    if total is not None and max(step.to_month for step in steps) != total and not _names_table(draft, grid):
        return  # the table of another promise
    draft.credits = [step for step in steps if total is None or step.from_month < total]
    draft.price_basis = text.price_basis or grid.credits.price_basis or draft.price_basis
    draft.table = True


def _names_table(draft: Draft, grid: Grid) -> bool:
    return grid.label is not None and grid.label in draft.unit.text.lower()


_STAGE_VERB = re.compile(r"\b(fails?|failed|replaced?|replacement|exchange[ds]?|free|pays?|credit)", re.IGNORECASE)


def _stages_elsewhere(drafts: Sequence[Draft], units: Sequence[Sequence[Unit]]) -> None:
    """Stages said away from their promise ("In years eleven to fifteen a meter whose battery has failed …")."""
    for block in units:
        for unit in block:
            if not unit.of(Family.YEAR_SPAN) or not (unit.of(Family.PERCENT)) or not _STAGE_VERB.search(unit.text):
                continue
            if any(d.unit.block == unit.block and d.credits for d in drafts):
                continue
            named = {
                hit.value.component for hit in unit.of(Family.COMPONENT) if isinstance(hit.value, ComponentSpec)
            } - {Component.WHOLE_METER}
            targets = [
                d
                for d in drafts
                if not d.credits and _component_of(d) in named and d.get("promise") is not Promise.ACCURACY
            ]
            if len(targets) != 1:
                continue
            text = credit_text([unit], _total(targets[0]), Context(layout=Layout((), ()), reader=Reader()))
            if text.steps and all(step.to_month <= (_total(targets[0]) or step.to_month) for step in text.steps):
                _put_credits(targets[0], text)


def _component_of(draft: Draft) -> Component | None:
    value = draft.get("component")
    return value.component if isinstance(value, ComponentSpec) else None


_HEAD = re.compile(
    r"\b(remed(?:y|ies)|obligation|settle|what (?:we|\w+) (?:will )?(?:do|does)|we do|fulfil|our part|recours|leistung|reposici|service|performance of|claims?|exclusive|how it is|makes? good)\b",
    re.IGNORECASE,
)
_OPTION = re.compile(
    r"\b(option|choice|choose|chooses|elects?|discretion|prefers?|decides|see fit|sole|only obligation|exclusive|remedy|free of charge|à (?:son|notre) choix|nach (?:seiner|unserer|ihrer) wahl|elección|opción|at our|as it)\b",
    re.IGNORECASE,
)
_WILL = re.compile(
    r"\b(we (?:repair|replace|exchange|mend|send)|will|shall|is|are|may|repairs|replaces|exchanges|gives?|issues|répare|répar\w+|échange\w+|remplac\w+|repara|se repone|se reemplaza|se repara|se sustituye|reponemos|bessert?n?|liefern|reparará|agrees|werden|wird|sera|seront|será|serán|receives?|gets?)\b",
    re.IGNORECASE,
)
_ADJECTIVE = re.compile(r"\b(?:the|a|an|any|of|each|or|and|that|for|its)\s+$", re.IGNORECASE)
_OTHERS = re.compile(
    r"\b(unauthori[sz]ed|by others|by anyone|other than|not authorized|persons not|third part|does not cover|excluded|void|terceros|dritte)\b",
    re.IGNORECASE,
)
_CLOCK = re.compile(
    r"\b(remainder|unexpired|is covered for|are covered for|what is left|restart|carries|carry|new period|(?:it|one|repaired|replaced|replacement)\b[^.;]{0,40}\bis warranted for|original period|runs out|found to be in order|restocking|refund within|cash refund)\b",
    re.IGNORECASE,
)


def _free(unit: Unit, verbs: set[Remedy]) -> Remedy | None:
    """ "Years 1-10: replaced at no charge; then 50 %": what is free of charge is what is owed on day 1."""
    for free in unit.of(Family.SHARE):
        if free.mention.pattern != "share.free":
            continue
        for hit in unit.of(Family.REMEDY):
            near = unit.run.text[min(hit.end, free.end) : max(hit.start, free.start)]
            if isinstance(hit.value, Remedy) and hit.value in verbs and len(near) < 30 and ";" not in near:
                return hit.value
    return None


def remedy_of(unit: Unit) -> tuple[int, set[Remedy], Hit | None]:
    """How much a sentence looks like the promise of a remedy, and the verbs it names."""
    verbs: set[Remedy] = set()
    first: Hit | None = None
    for hit in unit.of(Family.REMEDY):
        before = unit.run.text[max(unit.start, hit.start - 12) : hit.start]
        word = hit.mention.text.lower()
        after = unit.run.text[hit.end : hit.end + 30]
        if (
            word in ("repaired", "replaced", "exchanged", "replacement")
            and re.match(
                r"\s+(?:or (?:repaired|replaced|replacement) )?(?:product|meter|unit|part|item|register|goods|batter|endpoint)",
                after,
                re.IGNORECASE,
            )
            and _ADJECTIVE.search(before)
        ):
            continue
        if word == "repaired" and re.match(
            r"[\s-]+(?:(?:\w+[\s-]+)?(?:limits?|accuracy|column|levels?)|(?:years|gallons|volume|promise)\b)",
            after,
            re.IGNORECASE,
        ):
            continue  # the second stage of an accuracy promise, not what is done
        if word in ("credit", "credits") and re.search(
            r"\b(cash discount|credit (?:card|terms))", unit.text, re.IGNORECASE
        ):
            continue
        if re.match(r"\s*(?:charge|labou?r|cost|parts?\b|kits?\b)", after, re.IGNORECASE) and word in (
            "repair",
            "replacement",
        ):
            continue
        if word == "repair" and re.search(r"\b(?:if|where|unless)\s+$", before, re.IGNORECASE):
            continue
        if isinstance(hit.value, Remedy):
            verbs.add(hit.value)
            first = first or hit
    score = 0
    if verbs:
        score += 2 * bool(_OPTION.search(unit.text)) + bool(_WILL.search(unit.text)) + (len(verbs) > 1)
        score -= 4 * bool(_OTHERS.search(unit.text)) + 3 * bool(_CLOCK.search(unit.text))
        score -= 2 * bool(
            re.search(r"\b(freight|carriage|ships?|shipping|transportation|pays the)\b", unit.text, re.IGNORECASE)
            and len(verbs) == 1
            and not _OPTION.search(unit.text)
            and not (
                first is not None
                and re.match(
                    r"(?:sends?|gives?|suppl(?:y|ies)|provides?|delivers?)\b", first.mention.text, re.IGNORECASE
                )
            )
        )
        if unit.of(Family.YEAR_SPAN, Family.PERCENT):
            free = _free(unit, verbs)
            if free is None:
                score -= 2
            else:
                verbs, score = {free}, max(score, 1)
    return score, verbs, first


def document_remedy(units: Sequence[Sequence[Unit]], context: Context) -> Found | None:
    """The remedy the document owes on day 1, from the sentence that most looks like its promise."""
    best: tuple[int, set[Remedy], Hit] | None = None
    for block in units:
        for unit in block:
            score, verbs, hit = remedy_of(unit)
            if hit is None:
                continue
            heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
            score += 2 * bool(_HEAD.search(heads))
            if _OTHERS.search(heads) or re.search(r"exclu|not covered|liab", heads, re.IGNORECASE):
                score -= 2
            if score >= 1 and (best is None or score > best[0]):
                best = (score, verbs, hit)
    if best is None:
        return None
    value = remedy_verbs(best[1])
    return None if value is None else Found(value, best[2], False, best[2].mention.pattern)
