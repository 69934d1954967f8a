"""The order of assembly: context, sentences, tables, credits, join, finish; and what a document as a whole owes."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.answers import note_questions
from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.context import (
    Context,
    build_context,
    note_level_limits,
    note_level_standard,
    note_product_limits,
)
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.finish import finish, from_headings
from firstcap.extract.assembly.finished import Finished
from firstcap.extract.assembly.footnotes import heed_footnotes
from firstcap.extract.assembly.grids import read_grid
from firstcap.extract.assembly.join import join
from firstcap.extract.assembly.limit_standards import limit_standards
from firstcap.extract.assembly.list_heads import ListHeads
from firstcap.extract.assembly.promised import promise_of
from firstcap.extract.assembly.prose_cells import prose_units
from firstcap.extract.assembly.remedies import document_remedy
from firstcap.extract.assembly.set_lines import text_grids
from firstcap.extract.assembly.shares import give_shares, shares_elsewhere, shares_of_rows
from firstcap.extract.assembly.statements import statements
from firstcap.extract.assembly.unit import Unit, units_of
from firstcap.extract.assembly.unread import note_unread
from firstcap.extract.page import BlockKind, Layout
from firstcap.extract.patterns.base import Family
from firstcap.schema.terms import ReadingWarning, Term
from firstcap.schema.vocabulary import Promise

_PROSE = (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM)


def assemble_explained(
    layout: Layout, supplier: str | None, *, is_warranty: bool
) -> tuple[list[Finished], list[ReadingWarning]]:
    """The terms with what speaks for and against each (for fitting the confidence), and the warnings."""
    context = build_context(layout, supplier, is_warranty=is_warranty)
    units = _units(context)
    told = {block_units[0].block for block_units in units}
    grids = [
        grid
        for index, block in context.blocks(BlockKind.TABLE)
        if index not in told and (grid := read_grid(index, block, context)) is not None
    ]
    context.limit_tables = tuple((grid.block, grid.headings) for grid in grids if grid.has_limits)
    note_questions(units, context)
    _note_defaults(units, context)
    drafts: list[Draft] = []
    intros: dict[tuple[int, ...], Unit] = {}
    heads = ListHeads()
    for place, block_units in enumerate(units):
        following = units[place + 1] if place + 1 < len(units) else ()
        if heads.take(block_units, following):
            continue
        block_units = heads.timed(block_units, context)
        heads.mark(block_units)
        under = block_units[0].headings
        if under in intros and _beside(intros[under], block_units[0]):
            del intros[under]
        if under in intros:
            for unit in block_units:
                unit.extra["intro"] = intros[under]
        carried = next((d for d in reversed(drafts) if d.unit.headings == under), None)
        made = statements(block_units, context, carried)
        for draft in made:
            heads.give(draft)
            _from_intro(draft, intros.get(draft.unit.headings))
        drafts.extend(made)
        last = block_units[-1]
        if (last.text.rstrip().endswith(":") and _leads(last)) or _heads(last) or _opens_list(last, following):
            intros[last.headings] = last
            if len(block_units) > 1 and _THIS.match(last.text):
                last.extra["said"] = block_units[-2]  # "This lasts until the first of …:": what it is stands before
    heed_footnotes(drafts, context)
    for draft in drafts:
        from_headings(draft, context)
    grids.extend(text_grids(units, drafts, grids))
    if not is_warranty:
        return [], []
    give_shares(drafts, units, grids, context)
    joined = join(drafts, grids, context)
    shares_of_rows(joined, grids, context)
    shares_elsewhere(joined, [*units, *_notes(context)], context)
    unread = note_unread(units, joined, grids, context)
    finished, warnings = finish(joined, context, document_remedy(units, context))
    return finished, [*warnings, *unread]


def assemble(layout: Layout, supplier: str | None, *, is_warranty: bool) -> tuple[list[Term], list[ReadingWarning]]:
    """All terms of a document with their warnings. Never raises on odd text: what cannot be placed is left out."""
    finished, warnings = assemble_explained(layout, supplier, is_warranty=is_warranty)
    return [item.term for item in finished], warnings


_THIS = re.compile(
    r"\W*(?:[\d.]+\s+)?(?:this|it|that|these|those|they|both|dies|diese\w*|cette|ce|cela|esta?|esto)\b", re.IGNORECASE
)


def _leads(unit: Unit) -> bool:
    """ "We warrant the following:", "This lasts from delivery until the first of two limits is reached:"."""
    pointing = _THIS.match(unit.text) is not None and bool(unit.of(Family.START, Family.RULE))
    limits = bool(unit.of(Family.LEVEL, Family.BAND)) and not unit.of(Family.NEGATION)
    return bool(unit.of(Family.TRIGGER)) or limits or pointing


def _heads(unit: Unit) -> bool:
    """ "Warranty durations from shipment": a line that ends in no stop and says when the times below it start."""
    text = unit.text.rstrip()
    open_ended = len(text) < 90 and not text.endswith((".", "!", "?", ";", ","))
    return open_ended and bool(unit.of(Family.START)) and not unit.of(Family.DURATION) and not unit.extra.get("item")


def _opens_list(unit: Unit, following: Sequence[Unit]) -> bool:
    """ "We warrant these parts against defects, from delivery." right before the items of a list."""
    return bool(
        following
        and following[0].extra.get("item")
        and not unit.extra.get("item")
        and following[0].headings == unit.headings
        and unit.of(Family.TRIGGER)
        and unit.of(Family.PROMISE, Family.START)
        and not unit.of(Family.DURATION, Family.VOLUME, Family.NEGATION, Family.LIFE)
    )


_MARK = re.compile(r"^\W*(?:(?P<dotted>\d+\.\d+)|(?P<digit>\d{1,2})[.)]|(?P<upper>[A-Z])[.)]|(?P<lower>[a-z])[.)])\s")


def _beside(intro: Unit, unit: Unit) -> bool:
    """ "E. … over the following spans:" leads 1, 2 and 3, not F."""
    first, second = _MARK.match(intro.text), _MARK.match(unit.text)
    return first is not None and second is not None and first.lastgroup == second.lastgroup


def _from_intro(draft: Draft, intro: Unit | None) -> None:
    """ "We warrant the 5/8 inch meter, from the date of purchase:" holds for the items that follow it."""
    if intro is None or intro.block >= draft.unit.block:
        return
    for name, family in (("product", Family.PRODUCT), ("meter_type", Family.METER_TYPE), ("start", Family.START)):
        hit = intro.first(family)
        if hit is not None:
            draft.put(name, Found.of(hit).passed_on())
    said = intro.extra.get("said")
    promise = promise_of(intro) or (promise_of(said) if isinstance(said, Unit) else None)
    if promise is not None:
        draft.put("promise", promise.passed_on())
        if promise.value is Promise.ACCURACY and draft.get("promise") is Promise.ACCURACY and not draft.bands:
            _limits_from(draft, intro)
    rule = intro.first(Family.RULE)
    if rule is not None and len(draft.times) + len(draft.volumes) > 1:
        draft.put("rule", Found.of(rule).passed_on())
    if not draft.bands and draft.get("promise") is Promise.ACCURACY:
        draft.bands = bands_in(intro) or (bands_in(said) if isinstance(said, Unit) else [])
    sizes = intro.of(Family.SIZE)
    if draft.sizes is None and sizes:
        draft.sizes = Found(tuple(dict.fromkeys(label for hit in sizes for label in hit.value)), sizes[0], True)  # type: ignore[attr-defined]


def _limits_from(draft: Draft, intro: Unit) -> None:
    """ "Will register within the limits for repaired meters in AWWA M6 until:": whose limits the items below keep."""
    if {"level", "standard"} & set(draft.scalars):
        return
    for name, hits in (("level", intro.of(Family.LEVEL)), ("standard", limit_standards(intro))):
        if len({hit.value for hit in hits}) == 1:
            draft.put(name, Found.of(hits[0]).passed_on())


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


def _notes(context: Context) -> list[list[Unit]]:
    """The sentences of footnotes and of the notes under tables."""
    found = []
    for index, block in context.blocks(BlockKind.FOOTNOTE, BlockKind.TABLE):
        for run in block.table.notes if block.table else [block.run]:
            found.append(units_of(run, context.reader, block=index, headings=block.headings))
    return [units for units in found if units]


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
