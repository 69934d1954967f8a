"""Tables whose cells are sentences: a schedule of answers, a form filled in. They are read as prose, row by row.

A column that repeats what the buyer asks for promises nothing and is left out; a row's label is what its sentences are
about, as a question is to its answer.
"""

import re

from firstcap.extract.assembly.unit import Reader, Unit, hits_of, units_of
from firstcap.extract.page import Block, Cell, Run, Table, join_runs
from firstcap.extract.patterns.base import Family

_WORDS = 6  # a cell of fewer words is a value, no sentence
_ASKED = re.compile(
    r"\b(?:requires?|required|requirements?|asked?|asks|requested|minimum|specified|specification|enquiry|questions?|"
    r"demanded|clause text|exigé|demandé|requisito|requerido|gefordert|anforderung)\b",
    re.IGNORECASE,
)


def prose_units(index: int, block: Block, reader: Reader) -> list[Unit]:
    """The sentences of a table's cells in reading order; empty where its cells are values."""
    table = block.table
    if table is None:
        return []
    chosen = [cell for cell in table.cells if cell.row >= table.header_rows and _is_prose(cell, reader)]
    chosen = [cell for cell in chosen if not _is_asked(table, cell)]
    if not chosen or not any(hits_of(cell.run, reader) for cell in chosen) or _mostly_values(table, chosen, reader):
        return []
    chosen.sort(key=lambda cell: (cell.row, cell.col))
    runs = [_closed(cell.run) for cell in chosen]
    joined = join_runs(runs)
    units = units_of(joined, reader, block=index, headings=block.headings)
    ends: list[tuple[int, Cell]] = []
    place = 0
    for run, cell in zip(runs, chosen, strict=True):
        place += len(run.text) + 1
        ends.append((place, cell))
    for unit in units:
        cell = next(cell for end, cell in ends if unit.start < end)
        label = _label(table, cell, reader, index)
        if label is not None:
            unit.extra["label"] = label
        unit.extra["item"] = True
    return units


def _is_prose(cell: Cell, reader: Reader) -> bool:
    if len(cell.text.split()) < _WORDS:
        return False
    families = {hit.family for hit in hits_of(cell.run, reader)}
    return Family.DURATION in families and bool(families & {Family.START, Family.TRIGGER, Family.COMPONENT})


def _mostly_values(table: Table, chosen: list[Cell], reader: Reader) -> bool:
    """More cells are short values ("Brass body, 15 years") than sentences: these are values too, in more words."""
    held = {id(cell) for cell in chosen}
    values = [
        cell
        for cell in table.cells
        if cell.row >= table.header_rows
        and id(cell) not in held
        and any(hit.family is Family.DURATION for hit in hits_of(cell.run, reader))
    ]
    return len(values) > len(chosen) and not any(
        hit.family is Family.TRIGGER for cell in chosen for hit in hits_of(cell.run, reader)
    )


def _is_asked(table: Table, cell: Cell) -> bool:
    heads = [other.text for other in table.cells if other.row < table.header_rows and _above(other, cell)]
    return any(_ASKED.search(text) for text in heads)


def _above(head: Cell, cell: Cell) -> bool:
    return head.col <= cell.col < head.col + head.col_span


def _label(table: Table, cell: Cell, reader: Reader, index: int) -> Unit | None:
    """The first cell of the row that names a thing or a promise."""
    for other in sorted(table.cells, key=lambda one: one.col):
        if other.col >= cell.col:
            return None
        if other.row <= cell.row < other.row + other.row_span:
            hits = hits_of(other.run, reader)
            if any(hit.family in (Family.COMPONENT, Family.PROMISE, Family.LEVEL) for hit in hits):
                return Unit(other.run, 0, len(other.run.text), hits, index, ())
    return None


def _closed(run: Run) -> Run:
    return (
        run
        if run.text.rstrip().endswith((".", ";", "!", "?"))
        else Run(run.text + ".", run.words, run.spans, run.marks)
    )
