"""Cells that repeat the one above them: "ditto", "do.", "same as above", a mark of repetition."""

import re
from dataclasses import replace

from firstcap.extract.page import Cell, Table

_DITTO = re.compile(
    r"^\W*(?:ditto|do|id(?:em)?|same|as above|see above|same as (?:above|the (?:line|row|one) above)|as (?:in )?the (?:line|row|one) above|unchanged|dto|desgl(?:eichen)?|"
    r"wie (?:oben|vor)|(?:comme )?ci-dessus|même|igual|lo mismo|ídem|como arriba)\W*$",
    re.IGNORECASE,
)
_MARK = re.compile(r"^\s*(?:[\"″”“〃«»]|''|,,|’’|´´|``|--?\s*[\"″”]\s*--?)\s*$")


def without_dittos(table: Table) -> Table:
    """The table with each such cell as the one above it, which is where its words stand; a first row repeats nothing."""
    if not any(_repeats(cell) for cell in table.cells):
        return table
    made: list[Cell] = []
    above: dict[int, Cell] = {}
    for cell in sorted(table.cells, key=lambda cell: (cell.row, cell.col)):
        host = above.get(cell.col)
        if host is not None and cell.row >= max(table.header_rows, 1) and _repeats(cell):
            cell = replace(cell, run=host.run)
        if cell.text:
            above.update(dict.fromkeys(range(cell.col, cell.col + cell.col_span), cell))
        made.append(cell)
    return replace(table, cells=tuple(made))


def _repeats(cell: Cell) -> bool:
    return _DITTO.match(cell.text) is not None or _MARK.match(cell.text) is not None
