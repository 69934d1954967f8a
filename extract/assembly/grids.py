"""Tables -> records: what each group of cells says, whatever way the table is turned.

Every data cell carries the labels of its row and of its column; cells with the same labels make one record.
"""

import re
from dataclasses import replace

from firstcap.extract.assembly.cell_values import footnotes, put_values
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.credits import credit_table
from firstcap.extract.assembly.dittos import without_dittos
from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.full_and_tail import Parts, parts_of, put_parts
from firstcap.extract.assembly.labels import put_label, put_name
from firstcap.extract.assembly.named_stages import put_stage
from firstcap.extract.assembly.own_words import put_own_words
from firstcap.extract.assembly.records import Grid, Record, absorb, key_of, merged, table_label, without_overlaps
from firstcap.extract.assembly.refolded import refolded
from firstcap.extract.assembly.sections import Sections, without_new_standard
from firstcap.extract.assembly.shape import REMARK, Shape, headings_over
from firstcap.extract.assembly.unit import Hit, Unit, hits_of
from firstcap.extract.assembly.year_columns import put_years, year_columns
from firstcap.extract.page import Block, Cell, Run, Table, join_runs
from firstcap.extract.patterns import size
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.vocabulary import Component, Promise

_MEASURED = re.compile(r"year|month|gal|flow|gpm|volume|[ml]³|m3|cubic|feet", re.IGNORECASE)
_EMPTY = re.compile(
    r"^\W*(none|n/?a|not (?:covered|applicable|warranted|offered)|no warranty|no|nil|aucune?|keine?|ninguna?|excluded)?\W*$",
    re.IGNORECASE,
)


def read_grid(index: int, block: Block, context: Context) -> Grid | None:
    """The records of one table; None where it has no table."""
    if block.table is None or block.table.rows == 0:
        return None
    table = without_dittos(block.table)
    heading = table.caption.text if table.caption else ""
    over = headings_over(index, context)
    label = (
        table_label(heading)
        or next((found for run in over if (found := table_label(run.text))), None)
        or table_label(_first_header(table))
        or next((table_label(n.text) for n in table.notes if table_label(n.text[:14])), None)
    )
    grid = Grid(index, block.headings, table, label, [])
    reader = context.reader
    outer = [*([table.caption] if table.caption else []), *table.notes]
    for run in outer:
        grid.hits.extend(hits_of(run, reader))
    grid.credits = credit_table(table, context)
    if grid.credits is not None:
        return grid
    around = Unit(table.caption or table.cells[0].run, 0, 0, list(grid.hits), index, block.headings)
    found_start = around.first(Family.START)
    grid.start = Found.of(found_start) if found_start else None
    found_rule = around.first(Family.RULE)
    grid.rule = Found.of(found_rule) if found_rule else None
    grid.records = _records(Shape(index, refolded(table), context))
    _from_heading(grid, over[0] if over else None, context)
    return grid


def _from_heading(grid: Grid, heading: Run | None, context: Context) -> None:
    """ "Part Two. Repaired Meter Limits" right over a table: what its rows leave out, they are about."""
    if heading is None:
        return
    hits = hits_of(heading, context.reader)
    for name, family in (("level", Family.LEVEL), ("meter_type", Family.METER_TYPE), ("standard", Family.STANDARD)):
        found = [hit for hit in hits if hit.family is family]
        if len({hit.value for hit in found}) != 1 or any(getattr(record, name) for record in grid.records):
            continue
        for record in grid.records:
            accurate = record.promise is not None and record.promise.value is Promise.ACCURACY
            if name == "meter_type" or (record.sizes and (not record.promise or (accurate and name == "standard"))):
                setattr(record, name, Found.of(found[0]).passed_on())
                without_new_standard(record)


def _first_header(table: Table) -> str:
    cell = table.at(0, 0)
    return cell.text if cell else ""


def _records(shape: Shape) -> list[Record]:
    table = shape.table
    groups: dict[tuple[object, ...], Record] = {}
    carried: dict[int, Cell] = {}
    sections = Sections(shape)
    parts = parts_of(shape)
    years = year_columns(shape)
    for row in range(shape.first, table.rows):
        if sections.take(row):
            carried.clear()
            continue
        row_cells = shape.row_cells(row)
        row_run = join_runs([cell.run for cell in row_cells])
        labels = Record(row_run)
        for col, kind in shape.keys.items():
            cell = table.at(row, col)
            if cell is None or not cell.text:
                if col in carried and _carries(shape, row, col, kind):
                    cell = carried[col]
                else:
                    continue
            carried[col] = cell
            put_label(shape, labels, cell.run, kind, shape.header(col))
        labels.unnamed = shape.unnamed(row, labels)
        sections.give(labels, row_run)
        if row in parts.rows.values():
            continue
        if years:
            record = replace(labels, times=[], volumes=[], flows={}, bands=[], credits=[], notes=[])
            if put_years(shape, record, row, years):
                _keep(record, groups)
                continue
        joined = _joined_parts(shape, row, labels, parts, groups)
        for col in range(table.cols):
            if col in shape.keys or col in joined:
                continue
            cell = table.at(row, col)
            if cell is None or not cell.text:
                continue
            _data(shape, (row, col), cell, labels, sections.unit_text, groups)
    for col in range(table.cols) if parts.rows else ():
        cells = {role: (cell, shape.text(row, 0)) for role, row in parts.rows.items() if (cell := table.at(row, col))}
        if col not in shape.keys and len(cells) > 1:
            record = _labelled(
                shape, col, Record(join_runs([shape.header_run(col), *(cell.run for cell, _ in cells.values())]))
            )
            if put_parts(shape, record, cells):
                _keep(record, groups)
    return without_overlaps(merged(list(groups.values())))


def _carries(shape: Shape, row: int, col: int, kind: str) -> bool:
    """Whether a blank label repeats the one above it: beside sizes, or beside the names of several measures.

    A blank size does where the row has a name of its own ("Repaired meter" under "New meter").
    """
    if kind == "size":
        return any(other == "name" and shape.text(row, place) for place, other in shape.keys.items())
    return kind == "name" and (col > 0 or bool({"size", "unit"} & set(shape.keys.values())))


def _marked(shape: Shape, row: int, col: int) -> bool:
    """Whether a cell is the one of its row that is ticked, where the times stand over the columns."""
    ticked = [
        place for place in range(shape.table.cols) if place not in shape.keys and _TICK.match(shape.text(row, place))
    ]
    return ticked == [col] and any(hit.family is Family.DURATION for hit in shape.hits(shape.header_run(col)))


_TICK = re.compile(r"^\s*(?:[xX×✓✔☑☒■●•◆]|yes|ja|oui|s[ií])\s*$", re.IGNORECASE)


def _joined_parts(
    shape: Shape, row: int, labels: Record, parts: Parts, groups: dict[tuple[object, ...], Record]
) -> set[int]:
    """Reads the times of a row that stand in parts; the columns that were read so."""
    taken: set[int] = set()
    for roles in parts.columns.values():
        cells = {
            role: (cell, shape.header(col))
            for role, col in roles.items()
            if (cell := shape.table.at(row, col)) is not None and cell.text
        }
        record = _labelled(shape, next(iter(roles.values())), labels)
        if len(cells) > 1 and put_parts(shape, record, cells):
            _keep(record, groups)
            taken |= set(roles.values())
    return taken


def _labelled(shape: Shape, col: int, labels: Record) -> Record:
    """A record with the labels of its row and of its column."""
    record = replace(labels, times=[], volumes=[], flows={}, bands=[], credits=[], notes=[])
    header_run = shape.header_run(col)
    if header_run.text:
        put_name(shape, record, header_run)
        record.variant = labels.variant
        if labels.component is None and _whole(record) and _MEASURED.search(header_run.text):
            record.component = None  # "Gallons through meter" beside "Years": what is counted, not another part
    if col in shape.size_cols:
        above = [top for place in range(shape.first) if (top := shape.table.at(place, col)) is not None]
        header_cell = next((top for top in above if size.size_in(top.text, "size") is not None), None)
        if header_cell is not None:
            record.sizes = Found.of(Hit(shape.size_cols[col], header_cell.run))
    return record


def _whole(record: Record) -> bool:
    found = record.component
    return (
        found is not None and isinstance(found.value, ComponentSpec) and found.value.component is Component.WHOLE_METER
    )


def _keep(record: Record, groups: dict[tuple[object, ...], Record]) -> None:
    key = key_of(record)
    known = groups.get(key)
    if known is None:
        groups[key] = record
    else:
        absorb(known, record)


def _data(
    shape: Shape,
    place: tuple[int, int],
    cell: Cell,
    labels: Record,
    over: str,
    groups: dict[tuple[object, ...], Record],
) -> None:
    row, col = place
    header_run = shape.header_run(col)
    if _marked(shape, row, col):
        cell = replace(cell, run=header_run)  # "x" under "10 years"
    record = _labelled(shape, col, labels)
    put_own_words(shape, record, labels, cell)
    without_new_standard(record)
    label_text = " ".join(shape.text(row, key) for key, kind in shape.keys.items() if kind in ("name", "unit"))
    unit_text = f"{header_run.text} {label_text}" if shape.size_cols else header_run.text
    if not shape.size_cols and shape.measure(row):
        unit_text = f"{unit_text} {shape.measure(row)}".strip()
    if over and not _MEASURED.search(unit_text):
        unit_text = f"{unit_text} {over}".strip()
    remark = REMARK.search(header_run.text)
    if remark:
        return
    notes = footnotes(shape, cell, header_run, row)
    if _EMPTY.match(cell.text):
        record.none = True
    put_values(shape, record, cell, (row, col), unit_text, notes)
    if not (record.has_limits or record.flows or record.bands):
        return
    if record.level is None and record.promise is None:
        names = shape.named_cols or shape.named_rows
        record.column = names.get(col if shape.named_cols else row, "")
        record.columns = tuple(names.values()) if record.column else ()
        put_stage(record, shape.stages)
    _keep(record, groups)
