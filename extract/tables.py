"""Tables, ruled and borderless, as grids of cells with header rows.

Ruled tables come as cell boxes from the page's lines; borderless ones are found among lines whose segments stand under
one another. Both become a Grid, the working form; `to_table` makes the finished Table of it.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from statistics import median

from firstcap.extract.lines import Line, Segment, group_lines, make_lines, split_segments
from firstcap.extract.page import Cell, Run, Table, Word
from firstcap.extract.pdf import Bounds, Rule
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
    """A table while it is being put together. `bounds` on `page` say where it stands, `edges` its columns' left edges."""

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


# --- ruled tables -----------------------------------------------------------------------------------------------------


def _clusters(values: Iterable[float], tolerance: float = 3.0) -> list[float]:
    found: list[list[float]] = []
    for value in sorted(values):
        if found and value - found[-1][-1] <= tolerance:
            found[-1].append(value)
        else:
            found.append([value])
    return [sum(group) / len(group) for group in found]


def _nearest(values: Sequence[float], value: float) -> int:
    return min(range(len(values)), key=lambda index: abs(values[index] - value))


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


def ruled_grid(boxes: Sequence[Bounds], words: Sequence[Word]) -> Grid | None:
    """A table from the boxes of its cells and the words among them; None where the boxes are no table (a frame, cards)."""
    xs = _clusters([value for box in boxes for value in (box[0], box[2])])
    ys = _clusters([value for box in boxes for value in (box[1], box[3])])
    if len(xs) < 3 or len(ys) < 2 or not words:
        return None
    cells: list[GridCell] = []
    homes: dict[int, list[Word]] = {}
    for box in boxes:
        col, stop = _nearest(xs, box[0]), _nearest(xs, box[2])
        row, end = _nearest(ys, box[1]), _nearest(ys, box[3])
        if stop > col and end > row:
            cells.append(GridCell(row, col, end - row, stop - col))
    frames = [(xs[cell.col], ys[cell.row], xs[cell.col + cell.col_span], ys[cell.row + cell.row_span]) for cell in cells]
    for word in words:
        home = next((index for index, frame in enumerate(frames) if inside(word, frame, 0.5)), None)
        if home is None:
            x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
            row = max(0, min(len(ys) - 2, sum(edge <= y for edge in ys) - 1))
            col = max(0, min(len(xs) - 2, sum(edge <= x for edge in xs) - 1))
            home = next(
                (
                    index
                    for index, cell in enumerate(cells)
                    if cell.row <= row < cell.row + cell.row_span and cell.col <= col < cell.col + cell.col_span
                ),
                None,
            )
            if home is None:
                cells.append(GridCell(row, col))
                frames.append((xs[col], ys[row], xs[col + 1], ys[row + 1]))
                home = len(cells) - 1
        homes.setdefault(home, []).append(word)
    for index, cell in enumerate(cells):
        cell.lines = reading_lines(homes.get(index, []))
    filled = [cell for cell in cells if cell.lines]
    if len(filled) < 3 or len({cell.col for cell in filled}) < 2 or _is_prose_in_boxes(filled):
        return None
    if len(ys) < 3 and len({cell.col for cell in filled}) < 3:
        return None
    grid = Grid(
        cells=cells,
        rows=len(ys) - 1,
        cols=len(xs) - 1,
        header_rows=0,
        ruled=True,
        page=words[0].page,
        bounds=(xs[0], ys[0], xs[-1], ys[-1]),
        spans=[(xs[i], xs[i + 1]) for i in range(len(xs) - 1)],
        pages=[words[0].page],
    )
    _split_tall_rows(grid)
    _drop_empty(grid)
    grid.header_rows = count_header_rows(grid)
    return grid


def _is_prose_in_boxes(cells: Sequence[GridCell]) -> bool:
    """Cards or a page laid out with lines: few boxes, each with a paragraph or more."""
    counts = [len(cell.words) for cell in cells]
    return len(cells) <= 4 and median(counts) > 30


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


def _split_tall_rows(grid: Grid) -> None:
    """Rows that share one ruled row (rules only round the table and under its header) part line by line."""
    row = 0
    while row < grid.rows:
        inner = [cell for cell in grid.cells if cell.row == row and cell.row_span == 1 and cell.lines]
        counts = {len(cell.lines) for cell in inner}
        deep = max(counts, default=0)
        if len(inner) < 2 or deep < 2 or not _are_rows(inner, deep):
            row += 1
            continue
        guide = max(inner, key=lambda cell: len(cell.lines))
        middles = [_middle(line) for line in guide.lines]
        added = deep - 1
        fresh: list[GridCell] = []
        for cell in grid.cells:
            if cell.row > row:
                cell.row += added
            elif cell.row == row and cell.row_span == 1:
                by_row: dict[int, list[list[Word]]] = {}
                for line in cell.lines:
                    by_row.setdefault(_nearest(middles, _middle(line)), []).append(line)
                cell.lines = by_row.pop(0, [])
                fresh.extend(
                    GridCell(row + offset, cell.col, 1, cell.col_span, lines) for offset, lines in by_row.items()
                )
            elif cell.row <= row < cell.row + cell.row_span:
                cell.row_span += added
        grid.cells.extend(fresh)
        grid.rows += added
        row += deep


def _middle(line: Sequence[Word]) -> float:
    return sum((word.top + word.bottom) / 2 for word in line) / len(line)


def _are_rows(cells: Sequence[GridCell], deep: int) -> bool:
    full = [cell for cell in cells if len(cell.lines) == deep]
    if len(full) < 2 or len(full) < len(cells) - (deep > 2):
        return False
    if any(line[-1].text in "–—-+±/&" for cell in full for line in cell.lines[:-1]):
        return False
    if any(word.turned for cell in full for word in cell.words):
        return False
    first = [_middle(line) for line in full[0].lines]
    for cell in full[1:]:
        if any(abs(a - _middle(b)) > 2.5 for a, b in zip(first, cell.lines, strict=True)):
            return False
    numeric = [cell for cell in full if all(_is_value(" ".join(w.text for w in line)) for line in cell.lines)]
    return bool(numeric) and (deep >= 3 or len(numeric) >= 2)


_VALUE = re.compile(r"^[~<>≤≥±+–—-]?\s?[$£€]?\d|^[—–-]+$|^(?:none|n/?a)\b", re.IGNORECASE)


def _is_value(text: str) -> bool:
    return _VALUE.match(text) is not None


def _drop_empty(grid: Grid) -> None:
    """Leave out rows and columns in which nothing is printed."""
    for row in range(grid.rows - 1, -1, -1):
        touching = [cell for cell in grid.cells if cell.row <= row < cell.row + cell.row_span]
        if any(cell.lines and (cell.row == row or cell.row_span == 1) for cell in touching):
            continue
        if any(cell.lines for cell in touching) and any(cell.row_span == 1 for cell in touching):
            continue  # an empty row beside a merged cell is a row
        for cell in touching:
            if cell.row_span > 1:
                cell.row_span -= 1
            else:
                grid.cells.remove(cell)
        for cell in grid.cells:
            if cell.row > row:
                cell.row -= 1
        grid.rows -= 1
    for col in range(grid.cols - 1, -1, -1):
        touching = [cell for cell in grid.cells if cell.col <= col < cell.col + cell.col_span]
        if any(cell.lines and cell.col_span == 1 for cell in touching):
            continue
        if any(cell.lines and cell.col == col for cell in touching):
            continue
        for cell in touching:
            if cell.col_span > 1:
                cell.col_span -= 1
            else:
                grid.cells.remove(cell)
        for cell in grid.cells:
            if cell.col > col:
                cell.col -= 1
        grid.cols -= 1
        del grid.spans[col]


# --- header rows ------------------------------------------------------------------------------------------------------

_SIZE_LIKE = re.compile(
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
    values_below = sum(_is_value(cell.text) for cell in below)
    sizes = [cell for cell in cells if _SIZE_LIKE.match(cell.text)]
    if len(sizes) >= 2 and len(sizes) == len(cells) and not all(cell.text.isdigit() for cell in sizes):
        first = grid.at(row, 0)
        keys = [cell for cell in grid.cells if cell.row > row and cell.col == 0 and cell.lines]
        return (first is None or not _is_value(first.text)) and not any(_is_value(cell.text) for cell in keys)
    if any(_is_value(cell.text) for cell in cells):
        return False
    return bool(below) and values_below >= 0.5 * len(below)


# --- borderless tables ------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class Found:
    """A borderless table and the lines [first:last] it was made of."""

    grid: Grid
    first: int
    last: int


def borderless_grids(lines: Sequence[Line], rules: Sequence[Rule] = ()) -> list[Found]:
    """Tables among the lines of a region (top down), none overlapping another."""
    split = [_at_leaders(line) for line in lines]
    found: list[Found] = []
    start = 0
    while start < len(split):
        if len(split[start].segments) < 2:
            start += 1
            continue
        stop = _stretch(split, start, rules)
        table = _build(split, start, stop, rules)
        while table is None and stop - start > 2:
            stop -= 1
            table = _build(split, start, stop, rules)
        if table is None:
            start += 1
            continue
        found.append(Found(table, start, stop))
        start = stop
    return found


def _at_leaders(line: Line) -> Line:
    """A line cut at its dot leader; the dots stay with the name."""
    words = line.words
    dots = [index for index, word in enumerate(words) if is_leader(word)]
    runs: list[tuple[int, int]] = []
    for index in dots:
        if runs and index == runs[-1][1]:
            runs[-1] = (runs[-1][0], index + 1)
        else:
            runs.append((index, index + 1))
    runs = [run for run in runs if run[1] - run[0] > 1 or len(words[run[0]].text) > 1]
    if not runs or runs[0][0] == 0 or runs[-1][1] == len(words):
        return line
    segments: list[Segment] = []
    low = 0
    for run in runs:
        segments.append(Segment(words[low : run[1]]))
        low = run[1]
    segments.append(Segment(words[low:]))
    return Line(segments)


def has_leader(segment: Segment) -> bool:
    return len(segment.words) > 1 and is_leader(segment.words[-1])


def _text_x1(segment: Segment) -> float:
    """Where a segment's text ends, its leader left out."""
    words = [word for word in segment.words if not is_leader(word)] or segment.words
    return max(word.x1 for word in words)


def _stretch(lines: Sequence[Line], start: int, rules: Sequence[Rule]) -> int:
    """How far a table that begins at `start` may run: until prose, or a gap far wider than its rows'."""
    stop = start + 1
    last_multi = start
    while stop < len(lines):
        line, before = lines[stop], lines[stop - 1]
        gap = line.top - before.bottom
        if gap > 2.2 * max(line.size, before.size):
            break
        if len(line.segments) >= 2:
            last_multi = stop
        elif not _may_continue(lines, start, stop) or stop - last_multi > 2:
            break
        stop += 1
    return max(last_multi + 1, _trailing(lines, start, last_multi + 1))


def _trailing(lines: Sequence[Line], start: int, stop: int) -> int:
    """Lines after the last full row that only carry on one of its cells."""
    while stop < len(lines) and len(lines[stop].segments) == 1:
        line, before = lines[stop], lines[stop - 1]
        if line.top - before.bottom > 0.6 * line.size or not _may_continue(lines, start, stop):
            break
        text = line.text
        if not (text[:1].islower() or text.startswith("(")):
            break
        stop += 1
    return stop


def _may_continue(lines: Sequence[Line], start: int, index: int) -> bool:
    """A single segment that stays within one column of the rows before it."""
    segment = lines[index].segments[0]
    for other in reversed(lines[start:index]):
        if len(other.segments) < 2:
            continue
        touched = [
            part for part in other.segments if part.x0 < segment.x1 and max(_text_x1(part), part.x0 + 1) > segment.x0
        ]
        if len(touched) > 1:
            return False
        if touched and touched[0] is other.segments[0]:
            return segment.x1 <= other.segments[1].x0 - 2
        return True
    return False


def _build(lines: Sequence[Line], first: int, last: int, rules: Sequence[Rule]) -> Grid | None:
    given = lines[first:last]
    floating = _floating(given)
    chosen = [line for line in given if line not in floating]
    multi = [line for line in chosen if len(line.segments) >= 2]
    if len(multi) < 2:
        return None
    columns = _columns(chosen)
    for segment in (segment for line in floating for segment in line.segments):
        if all(segment.x0 >= high or segment.x1 <= low for low, high in columns):
            columns = sorted([*columns, (segment.x0, segment.x1)])
    if len(columns) < 2 or not _is_tabular(chosen, columns):
        return None
    placed = [_place(line, columns) for line in chosen]
    rows = _rows(chosen, placed, columns, rules)
    if len(rows) < 2:
        return None
    cells: list[GridCell] = []
    for number, members in enumerate(rows):
        merged: dict[tuple[int, int], list[list[Word]]] = {}
        for index in members:
            for (col, span), segments in placed[index].items():
                merged.setdefault((col, span), []).append([word for part in segments for word in part.words])
        for (col, span), texts in sorted(merged.items()):
            cells.append(GridCell(number, col, 1, span, texts))
    _merge_overlaps(cells)
    _set_between(cells, floating, chosen, rows, columns)
    x0, x1 = min(line.x0 for line in given), max(line.x1 for line in given)
    grid = Grid(
        cells=cells,
        rows=len(rows),
        cols=len(columns),
        header_rows=0,
        ruled=False,
        page=chosen[0].words[0].page,
        bounds=(x0, chosen[0].top, x1, chosen[-1].bottom),
        spans=columns,
        pages=[chosen[0].words[0].page],
    )
    grid.header_rows = _borderless_header(grid, chosen, rows, rules)
    _merge_header_lines(grid)
    _spread_middles(grid)
    _spread_groups(grid)
    return grid


def _floating(lines: Sequence[Line]) -> list[Line]:
    """Lines that stand between two rows, overlapping both in height: a value printed once beside the two."""
    found = []
    for index in range(1, len(lines) - 1):
        upper, line, lower = lines[index - 1 : index + 2]
        if upper in found:
            continue
        height = line.bottom - line.top
        if upper.bottom - line.top > 0.2 * height and line.bottom - lower.top > 0.2 * height and all(
            segment.x0 >= other.x1 or segment.x1 <= other.x0
            for segment in line.segments
            for near in (upper, lower)
            for other in near.segments
        ):
            found.append(line)
    return found


def _set_between(
    cells: list[GridCell],
    floating: Sequence[Line],
    lines: Sequence[Line],
    rows: Sequence[Sequence[int]],
    columns: Sequence[tuple[float, float]],
) -> None:
    """Put floating values beside all the rows they stand in the middle of."""
    middles = [sum(lines[index].middle for index in members) / len(members) for members in rows]
    for line in floating:
        for (col, span), segments in _place(line, columns).items():
            held = {row for cell in cells for row in range(cell.row, cell.row + cell.row_span)
                    if cell.col < col + span and col < cell.col + cell.col_span}  # fmt: skip
            top = max((row for row, middle in enumerate(middles) if middle <= line.middle), default=0)
            bottom = min(top + 1, len(middles) - 1)
            words = [[word for part in segments for word in part.words]]
            if top in held and bottom in held:
                near = [cell for cell in cells if cell.row <= top < cell.row + cell.row_span]
                host = min(near, key=lambda cell: abs(cell.col - col))
                host.lines.extend(words)
                continue
            if top in held or bottom in held:
                row = bottom if top in held else top
                cells.append(GridCell(row, col, 1, span, words))
                continue
            while top > 0 and bottom < len(middles) - 1 and not {top - 1, bottom + 1} & held:
                top, bottom = top - 1, bottom + 1
            cells.append(GridCell(top, col, bottom - top + 1, span, words))


def _spread_middles(grid: Grid) -> None:
    """A value printed once in the middle of several columns, or of several rows, spans them: where that explains every gap."""
    for row in range(grid.header_rows, grid.rows):
        cells = [cell for cell in grid.row(row) if cell.col > 0 and cell.row_span == 1]
        if grid.cols < 4 or not cells or any(grid.at(row, col) is None for col in (0,)):
            continue
        _symmetric(cells, set(range(1, grid.cols)), "col")
    for col in range(1, grid.cols):
        cells = [cell for cell in grid.cells if cell.col == col and cell.col_span == 1 and cell.row >= grid.header_rows]
        taken = {row for row in range(grid.header_rows, grid.rows) if grid.at(row, col) is None} | {
            row for cell in cells for row in range(cell.row, cell.row + cell.row_span)
        }
        if len(cells) > 0 and all(cell.row_span == 1 for cell in cells):
            _symmetric(cells, taken, "row")


def _symmetric(cells: Sequence[GridCell], places: set[int], axis: str) -> None:
    """Widen each cell evenly over the empty places beside it, if in the end no place is left empty."""
    at = {getattr(cell, axis): cell for cell in cells}
    size = f"{axis}_span"
    empty = set(places)
    for cell in cells:
        empty -= set(range(getattr(cell, axis), getattr(cell, axis) + getattr(cell, size)))
    if not empty:
        return
    wider: dict[int, tuple[int, int]] = {}
    for place, cell in at.items():
        low, high = place, place + getattr(cell, size) - 1
        while low - 1 in empty and high + 1 in empty:
            low, high = low - 1, high + 1
            empty -= {low, high}
        wider[place] = (low, high)
    if empty:
        return
    for place, cell in at.items():
        low, high = wider[place]
        setattr(cell, axis, low)
        setattr(cell, size, high - low + 1)


def _merge_overlaps(cells: list[GridCell]) -> None:
    """Two cells of one row that claim the same column become one."""
    index = 0
    while index < len(cells):
        cell = cells[index]
        for other in cells[index + 1 :]:
            if other.row == cell.row and other.col < cell.col + cell.col_span and cell.col < other.col + other.col_span:
                start = min(cell.col, other.col)
                end = max(cell.col + cell.col_span, other.col + other.col_span)
                cell.col, cell.col_span = start, end - start
                cell.lines = sorted([*cell.lines, *other.lines], key=_middle)
                cells.remove(other)
                break
        else:
            index += 1


def _columns(lines: Sequence[Line]) -> list[tuple[float, float]]:
    """The x-ranges of columns, learnt from the fullest rows first; wider segments span and do not blur them."""
    most = max(len(line.segments) for line in lines)
    columns: list[list[float]] = []
    for wanted in range(most, 0, -1):
        for line in lines:
            if len(line.segments) != wanted:
                continue
            if wanted == 1 and columns:
                continue
            for segment in line.segments:
                x0, x1 = segment.x0, max(_text_x1(segment), segment.x0 + 1)
                touched = [column for column in columns if column[0] < x1 and column[1] > x0]
                if not touched:
                    if wanted >= max(2, most - 1):
                        columns.append([x0, x1])
                        columns.sort()
                elif len(touched) == 1:
                    column = touched[0]
                    place = columns.index(column)
                    low = columns[place - 1][1] if place else float("-inf")
                    high = columns[place + 1][0] if place + 1 < len(columns) else float("inf")
                    if x0 > low and x1 < high:
                        column[0], column[1] = min(column[0], x0), max(column[1], x1)
    return [(x0, x1) for x0, x1 in columns]


def _place(line: Line, columns: Sequence[tuple[float, float]]) -> dict[tuple[int, int], list[Segment]]:
    """Which column (and how many) each segment of a line stands in."""
    placed: dict[tuple[int, int], list[Segment]] = {}
    for segment in line.segments:
        x0, x1 = segment.x0, max(_text_x1(segment), segment.x0 + 1)
        touched = [i for i, (low, high) in enumerate(columns) if min(x1, high) - max(x0, low) > 0.5]
        if not touched:
            middle = (x0 + x1) / 2
            gaps = [min(abs(middle - low), abs(middle - high)) for low, high in columns]
            touched = [gaps.index(min(gaps))]
            if len(line.segments) < len(columns) and 0 < middle:
                between = [i for i in range(len(columns) - 1) if columns[i][1] <= x0 and x1 <= columns[i + 1][0]]
                if between and between[0] > 0:
                    touched = [between[0], between[0] + 1]
        key = (touched[0], touched[-1] - touched[0] + 1)
        placed.setdefault(key, []).append(segment)
    return placed


def _is_tabular(lines: Sequence[Line], columns: Sequence[tuple[float, float]]) -> bool:
    """Cells stand under one another at an edge or a middle, and are short: not prose with wide blanks."""
    multi = [line for line in lines if len(line.segments) >= 2]
    leaders = sum(any(has_leader(segment) for segment in line.segments[:-1]) for line in multi)
    if leaders >= 2 and leaders >= 0.4 * len(multi):
        return True
    inner = [segment for line in multi for segment in line.segments]
    words = [segment.count for segment in inner]
    if median(words) > 6:
        return False
    aligned = 0
    counted = 0
    for low, high in columns:
        entries = [
            segment
            for line in multi
            for segment in line.segments
            if segment.x0 < high and segment.x1 > low and segment.x0 >= low - 3 and segment.x1 <= high + 60
        ]
        if len(entries) < 2:
            continue
        counted += 1
        for edge in (
            [segment.x0 for segment in entries],
            [segment.x1 for segment in entries],
            [(segment.x0 + segment.x1) / 2 for segment in entries],
        ):
            usual = median(edge)
            if sum(abs(value - usual) <= 4.0 for value in edge) >= max(2, 0.6 * len(edge)):
                aligned += 1
                break
    if counted < 2 or aligned < 2:
        return False
    values = sum(any(char.isdigit() for char in segment.text) for line in multi for segment in line.segments[1:])
    others = sum(len(line.segments) - 1 for line in multi)
    if len(multi) == 2:
        return values >= 1 and others >= 2 and len(columns) >= 3
    return values >= 0.25 * others or len(multi) >= 4


def _ruled_between(upper: Line, lower: Line, rules: Sequence[Rule]) -> bool:
    width = max(upper.x1, lower.x1) - min(upper.x0, lower.x0)
    return any(
        rule.horizontal
        and upper.middle < rule.top < lower.middle
        and min(rule.x1, lower.x1 + 20) - max(rule.x0, lower.x0 - 20) > 0.5 * width
        for rule in rules
    )


def _rows(
    lines: Sequence[Line],
    placed: Sequence[dict[tuple[int, int], list[Segment]]],
    columns: Sequence[tuple[float, float]],
    rules: Sequence[Rule],
) -> list[list[int]]:
    """Lines to rows: a line that only carries on the cells above (or waits for those below) is no row of its own."""
    gaps = [lower.top - upper.bottom for upper, lower in zip(lines, lines[1:], strict=False)]
    ruled = [_ruled_between(upper, lower, rules) for upper, lower in zip(lines, lines[1:], strict=False)]
    separated = _rules_part_rows(placed, ruled, len(columns))
    full = [
        gap
        for gap, above, below in zip(gaps, placed, placed[1:], strict=False)
        if len(above) > 1 and len(below) > 1 and 0 in {col for col, _ in above} and 0 in {col for col, _ in below}
    ]
    usual = median(full) if full else max(gaps, default=0.0)
    rows: list[list[int]] = [[0]]
    for index in range(1, len(lines)):
        gap = gaps[index - 1]
        if ruled[index - 1]:
            rows.append([index])
        elif separated or _carries_on(lines, placed, rows[-1], index, gap, usual, len(columns)):
            rows[-1].append(index)
        else:
            rows.append([index])
    return rows


def _rules_part_rows(
    placed: Sequence[dict[tuple[int, int], list[Segment]]], ruled: Sequence[bool], columns: int
) -> bool:
    """Rules stand between all rows, not only under the header: no two full lines share a stretch between rules."""
    if sum(ruled) < 2:
        return False
    full = 0
    for index, cells in enumerate(placed):
        if index and ruled[index - 1]:
            full = 0
        full += sum(span for _, span in cells) >= columns
        if full > 1:
            return False
    return True


def _carries_on(
    lines: Sequence[Line],
    placed: Sequence[dict[tuple[int, int], list[Segment]]],
    row: Sequence[int],
    index: int,
    gap: float,
    usual: float,
    columns: int,
) -> bool:
    here = {col for col, span in placed[index] for col in range(col, col + span)}
    above = {col for number in row for col, span in placed[number] for col in range(col, col + span)}
    texts = [" ".join(part.text for part in parts) for parts in placed[index].values()]
    tight = gap < usual - 0.15 * lines[index].size
    size = lines[index].size
    if gap > max(usual + 0.3 * size, 0.9 * size):
        return False
    soft = all(text[:1].islower() or text.startswith("(") for text in texts)
    if len(here) == columns and len(above) == columns:
        return tight and soft
    if 0 not in here:
        if len(here) >= 2 and not soft:
            return False
        if any(_is_value(text) for text in texts) and here & above:
            return tight and all(not _is_value(text) or len(text) < 3 for text in texts)
        if here & above:
            return soft or tight
        return tight or (gap < 0 and not here & above)
    if here == {0}:
        if soft:
            return True
        following = index + 1 < len(lines) and {c for c, _ in placed[index + 1]} != {0}
        return tight and not (following and lines[index].words[0].bold)
    if above == {0}:
        text = next(" ".join(part.text for part in parts) for (col, _), parts in placed[index].items() if col == 0)
        return text[:1].islower() or text.startswith("(")
    if here & above and here != above:
        return soft and not (here | above) - here == set()
    return False


def _borderless_header(grid: Grid, lines: Sequence[Line], rows: Sequence[Sequence[int]], rules: Sequence[Rule]) -> int:
    """Header rows by bold type, by a rule under them, or by having no values where the rows below do."""
    by_style = count_header_rows(grid)
    for number in range(min(4, len(rows) - 1)):
        upper, lower = lines[rows[number][-1]], lines[rows[number + 1][0]]
        if _ruled_between(upper, lower, rules) or _dashes(upper):
            below = sum(
                _ruled_between(lines[rows[i][-1]], lines[rows[i + 1][0]], rules)
                for i in range(number + 1, len(rows) - 1)
            )
            if below <= 1 and not any(
                _is_value(cell.text) and not _SIZE_LIKE.match(cell.text) for cell in grid.row(number) if cell.col > 0
            ):
                return max(by_style, number + 1)
            break
    return by_style


def _dashes(line: Line) -> bool:
    return all(set(word.text) <= set("-–—=_") for word in line.words)


def _merge_header_lines(grid: Grid) -> None:
    """Header lines without spanning cells are one header row broken over lines, not levels."""
    while grid.header_rows > 1:
        upper, lower = grid.row(0), grid.row(1)
        if any(cell.col_span > 1 for cell in upper):
            return
        held = {cell.col for cell in lower}
        if len({cell.col for cell in upper} - held) > 0 and len(upper) > len(lower):
            pass
        for cell in lower:
            host = next((other for other in upper if other.col == cell.col), None)
            if host is None:
                cell.row = 0
            else:
                host.lines.extend(cell.lines)
                grid.cells.remove(cell)
        for cell in grid.cells:
            if cell.row > 1 or (cell.row == 1 and cell not in lower):
                cell.row -= 1
        grid.rows -= 1
        grid.header_rows -= 1


def _spread_groups(grid: Grid) -> None:
    """A label printed once beside several rows spans them: rows below it whose first column is empty."""
    for cell in [cell for cell in grid.cells if cell.col == 0 and cell.row >= grid.header_rows]:
        end = cell.row + cell.row_span
        while end < grid.rows and grid.at(end, 0) is None and any(other.col > 0 for other in grid.row(end)):
            end += 1
        filled = {other.col for other in grid.row(cell.row) if other.col > 0}
        if filled:
            cell.row_span = end - cell.row


# --- tables over page breaks ------------------------------------------------------------------------------------------


def continues(first: Grid, second: Grid) -> bool:
    """Whether `second`, found right after `first` at a page or column break, is the rest of the same table."""
    if first.cols != second.cols:
        return False
    if second.header_rows and first.header_rows:
        if header_text(first) == header_text(second):
            return True
        return False
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


__all__ = [
    "Found", "Grid", "GridCell", "append_grid", "borderless_grids", "bounds_of", "continues", "count_header_rows",
    "has_leader", "header_text", "inside", "make_lines", "reading_lines", "ruled_grid", "split_segments", "to_table",
]  # fmt: skip
