"""The working form of a table: a grid of cells with header rows, ruled or not, and its joining over page breaks."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from firstcap.extract.lines import group_lines
from firstcap.extract.page import Cell, Run, Table, Word
from firstcap.extract.pdf import Bounds
from firstcap.extract.runs import EMPTY, Vocabulary, is_leader, make_run, with_silent


@dataclass(slots=True)
class GridCell:
    row: int
    col: int
    row_span: int = 1
    col_span: int = 1
    lines: list[list[Word]] = field(default_factory=list)
    silent: list[Word] = field(default_factory=list)  # leaders, repeats of the header on a later page

    @property
    def words(self) -> list[Word]:
        return [word for line in self.lines for word in line]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words if not word.mark)


@dataclass(slots=True)
class Grid:
    """A table while it is put together. `bounds` on `page` say where it stands, `spans` where its columns do."""

    cells: list[GridCell]
    rows: int
    cols: int
    header_rows: int
    ruled: bool
    page: int
    bounds: Bounds
    spans: list[tuple[float, float]]  # x0, x1 of each column
    pages: list[int] = field(default_factory=list)
    caption: Run | None = None
    notes: list[Run] = field(default_factory=list)

    def at(self, row: int, col: int) -> GridCell | None:
        for cell in self.cells:
            if cell.row <= row < cell.row + cell.row_span and cell.col <= col < cell.col + cell.col_span:
                return cell
        return None

    def row(self, row: int) -> list[GridCell]:
        return [cell for cell in self.cells if cell.row == row]

    def words(self) -> list[Word]:
        return [word for cell in self.cells for word in (*cell.words, *cell.silent)]


def to_table(grid: Grid, vocabulary: Vocabulary = EMPTY) -> Table:
    cells = []
    for cell in sorted(grid.cells, key=lambda cell: (cell.row, cell.col)):
        silent = {id(word) for word in cell.words if is_leader(word)} if len(cell.words) > 1 else set()
        run = make_run(cell.lines, vocabulary, silent)
        if cell.silent:
            run = with_silent(run, cell.silent)
        cells.append(Cell(run, cell.row, cell.col, cell.row_span, cell.col_span))
    return Table(
        cells=tuple(cells),
        rows=grid.rows,
        cols=grid.cols,
        header_rows=grid.header_rows,
        caption=grid.caption,
        notes=tuple(grid.notes),
        ruled=grid.ruled,
    )


def bounds_of(boxes: Iterable[Bounds]) -> Bounds:
    listed = list(boxes)
    return (
        min(box[0] for box in listed),
        min(box[1] for box in listed),
        max(box[2] for box in listed),
        max(box[3] for box in listed),
    )


def inside(word: Word, box: Bounds, slack: float = 1.0) -> bool:
    x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
    return box[0] - slack <= x <= box[2] + slack and box[1] - slack <= y <= box[3] + slack


def reading_lines(words: Sequence[Word]) -> list[list[Word]]:
    """The lines of a cell in the direction they are printed."""
    if not words:
        return []
    turned = [word for word in words if word.turned in (90, 270)]
    if len(turned) * 2 <= len(words):
        return group_lines(words)
    climbs = sum(word.turned == 90 for word in turned) * 2 >= len(turned)
    lines: list[list[Word]] = []
    for word in sorted(words, key=lambda word: (word.x0 + word.x1) / 2, reverse=not climbs):
        middle = (word.x0 + word.x1) / 2
        if lines and abs((lines[-1][-1].x0 + lines[-1][-1].x1) / 2 - middle) < 0.5 * (word.x1 - word.x0):
            lines[-1].append(word)
        else:
            lines.append([word])
    for line in lines:
        line.sort(key=lambda word: -word.bottom if climbs else word.top)
    return lines


def middle_of(line: Sequence[Word]) -> float:
    return sum((word.top + word.bottom) / 2 for word in line) / len(line)


_VALUE = re.compile(r"^[~<>≤≥±+–—-]?\s?[$£€]?\d|^[—–-]+$|^(?:none|n/?a)\b", re.IGNORECASE)


def is_value(text: str) -> bool:
    return _VALUE.match(text) is not None


SIZE_LIKE = re.compile(
    r"^(?:DN\s?\d+|\d+(?:[-\s]\d/\d+|/\d+|\.\d+)?(?:\s?[x×]\s?\d+(?:/\d+)?)?\s?(?:\"|”|''|in\.?|inch(?:es)?|mm)?)$",
    re.IGNORECASE,
)


def count_header_rows(grid: Grid) -> int:
    """How many rows at the top name the columns: 0 for a plain list."""
    if grid.rows < 2:
        return 0
    bold = 0
    while bold < grid.rows and _all_bold(grid, bold):
        bold += 1
    deep = max(
        (cell.row_span for cell in grid.row(0) if cell.row_span < grid.rows and cell.lines and cell.col_span == 1),
        default=1,
    )
    if deep > 1 and deep <= 3 and any(cell.col_span > 1 and cell.row_span < deep for cell in grid.row(0)):
        bold = max(bold, deep)
    if 0 < bold < grid.rows:
        return min(bold, 3)
    count = 0
    while count < min(3, grid.rows - 1) and _names_columns(grid, count):
        count += 1
        if not any(cell.col_span > 1 and cell.lines for cell in grid.row(count - 1)):
            break
    return count


def _all_bold(grid: Grid, row: int) -> bool:
    words = [word for cell in grid.row(row) for word in cell.words if not word.mark]
    return bool(words) and all(word.bold for word in words)


def _names_columns(grid: Grid, row: int) -> bool:
    """No value in this row where the rows below have values; or the sizes themselves as names of the columns."""
    cells = [cell for cell in grid.row(row) if cell.lines and cell.col > 0]
    if not cells:
        return False
    below = [cell for cell in grid.cells if cell.row > row and cell.col > 0 and cell.lines]
    values_below = sum(is_value(cell.text) for cell in below)
    sizes = [cell for cell in cells if SIZE_LIKE.match(cell.text)]
    if len(sizes) >= 2 and len(sizes) == len(cells) and not all(cell.text.isdigit() for cell in sizes):
        first = grid.at(row, 0)
        keys = [cell for cell in grid.cells if cell.row > row and cell.col == 0 and cell.lines]
        return (first is None or not is_value(first.text)) and not any(is_value(cell.text) for cell in keys)
    if any(is_value(cell.text) for cell in cells):
        return False
    return bool(below) and values_below >= 0.5 * len(below)


def continues(first: Grid, second: Grid) -> bool:
    """Whether `second`, found right after `first` at a page or column break, is the rest of the same table."""
    if first.cols != second.cols:
        return False
    if second.header_rows and first.header_rows:
        return header_text(first) == header_text(second)
    if second.header_rows > first.header_rows:
        return False
    widths = [high - low for low, high in first.spans]
    others = [high - low for low, high in second.spans]
    if first.ruled != second.ruled:
        return False
    if first.ruled:
        return all(abs(a - b) < 0.15 * max(a, b) + 4 for a, b in zip(widths, others, strict=True))
    shift = second.bounds[0] - first.bounds[0]
    return all(
        min(high + shift, other_high) - max(low + shift, other_low) > 0
        for (low, high), (other_low, other_high) in zip(first.spans, second.spans, strict=True)
    )


def header_text(grid: Grid) -> str:
    return " | ".join(
        re.sub(r"\W+", "", cell.text).lower()
        for cell in sorted(grid.cells, key=lambda cell: (cell.row, cell.col))
        if cell.row < grid.header_rows and cell.lines
    )


def append_grid(first: Grid, second: Grid) -> None:
    """Join the rest of a table to its beginning; the repeated header stays as silent words of the first one."""
    repeat = second.header_rows
    for cell in second.cells:
        if cell.row < repeat:
            host = first.at(cell.row, cell.col) or first.cells[0]
            host.silent.extend(cell.words)
            host.silent.extend(cell.silent)
        else:
            cell.row += first.rows - repeat
            first.cells.append(cell)
    first.rows += second.rows - repeat
    first.pages.extend(second.pages)
    first.notes.extend(second.notes)
