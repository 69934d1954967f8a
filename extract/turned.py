"""Pages whose text runs up, down or upside down the sheet, brought upright for layout and back again afterwards."""

from collections.abc import Callable
from dataclasses import replace

from firstcap.extract.page import Block, Cell, Run, Table, Word
from firstcap.extract.pdf import Bounds, Panel, RawPage, Rule


def direction(page: RawPage) -> int:
    """The direction most words of a page run in: 0, 90, 180 or 270 degrees anticlockwise."""
    counts: dict[int, int] = {}
    for word in page.words:
        counts[word.turned] = counts.get(word.turned, 0) + 1
    if not counts:
        return 0
    best = max(counts, key=lambda turned: counts[turned])
    return best if best in (90, 180, 270) and counts[best] > 0.6 * len(page.words) else 0


def upright(page: RawPage) -> tuple[RawPage, dict[int, Word]]:
    """The page with its text level, and for each new word (by id) the word as it stands on the sheet."""
    turn = direction(page)
    if not turn:
        return page, {}
    width, height = page.width, page.height

    def box(x0: float, top: float, x1: float, bottom: float) -> Bounds:
        if turn == 90:
            return (height - bottom, x0, height - top, x1)
        if turn == 270:
            return (top, width - x1, bottom, width - x0)
        return (width - x1, height - bottom, width - x0, height - top)

    origin: dict[int, Word] = {}
    words = []
    for word in page.words:
        x0, top, x1, bottom = box(word.x0, word.top, word.x1, word.bottom)
        level = replace(word, x0=x0, top=top, x1=x1, bottom=bottom, turned=(word.turned - turn) % 360)
        origin[id(level)] = word
        words.append(level)
    return (
        replace(
            page,
            width=width if turn == 180 else height,
            height=height if turn == 180 else width,
            words=tuple(words),
            rules=tuple(Rule(*box(rule.x0, rule.top, rule.x1, rule.bottom)) for rule in page.rules),
            panels=tuple(
                Panel(*box(panel.x0, panel.top, panel.x1, panel.bottom), panel.framed, panel.filled)
                for panel in page.panels
            ),
            grids=tuple(tuple(box(*cell) for cell in cells) for cells in page.grids),
            images=tuple(box(*image) for image in page.images),
            bullets=tuple(box(*bullet) for bullet in page.bullets),
        ),
        origin,
    )


def restored(block: Block, origin: dict[int, Word]) -> Block:
    """The block with its words where they are printed."""

    def run(value: Run) -> Run:
        return Run(value.text, tuple(origin.get(id(word), word) for word in value.words), value.spans, value.marks)

    return replace(block, run=run(block.run), table=_table(block.table, run) if block.table is not None else None)


def _table(table: Table, run: Callable[[Run], Run]) -> Table:
    return replace(
        table,
        cells=tuple(Cell(run(cell.run), cell.row, cell.col, cell.row_span, cell.col_span) for cell in table.cells),
        caption=run(table.caption) if table.caption is not None else None,
        notes=tuple(run(note) for note in table.notes),
    )
