"""Papers with tables for tests: `@` in the text stands for the next table. All of them are invented."""

from dataclasses import replace

from papers import paper, run_of

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.page import Block, BlockKind, Cell, Layout, Table
from firstcap.schema.terms import Term

Rows = list[list[str]]


def table_of(rows: Rows, header_rows: int = 1) -> Table:
    """A table of rows of texts; `<` is the cell to its left carried on, an empty text no cell."""
    cells = []
    for row, line in enumerate(rows):
        for col, text in enumerate(line):
            if text not in ("<", ""):
                span = next((n for n, more in enumerate(line[col + 1 :], 1) if more != "<"), len(line) - col)
                cells.append(Cell(run_of(text), row, col, 1, span))
    return Table(tuple(cells), len(rows), len(rows[0]), header_rows)


def read_tables(text: str, *tables: Rows, header_rows: int = 1) -> list[Term]:
    """The terms of a paper in which each line `@` stands for the next table."""
    waiting = list(tables)
    layout = paper(text)
    blocks: list[Block] = []
    for block in layout.blocks:
        if block.run.text == "@":
            block = replace(block, kind=BlockKind.TABLE, table=table_of(waiting.pop(0), header_rows))
        blocks.append(block)
    terms, _ = assemble(Layout(layout.pages, tuple(blocks)), None, is_warranty=True)
    return terms
