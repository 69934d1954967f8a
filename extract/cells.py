"""Lines of segments to rows and columns: what borderless tables and tables with level rules have in common."""

from collections.abc import Sequence
from itertools import pairwise
from statistics import median

from firstcap.extract.frame import Frame, frame_of
from firstcap.extract.grid import SIZE_LIKE, Grid, GridCell, count_header_rows, is_value, middle_of
from firstcap.extract.lines import Line, Segment
from firstcap.extract.page import Word
from firstcap.extract.pdf import Rule


def ruled_between(upper: Line, lower: Line, rules: Sequence[Rule]) -> bool:
    width = max(upper.x1, lower.x1) - min(upper.x0, lower.x0)
    return any(
        rule.horizontal
        and upper.middle < rule.top < lower.middle
        and min(rule.x1, lower.x1 + 20) - max(rule.x0, lower.x0 - 20) > 0.5 * width
        for rule in rules
    )


def make_grid(
    lines: Sequence[Line],
    rows: Sequence[Sequence[int]],
    columns: Sequence[tuple[float, float]],
    rules: Sequence[Rule],
    floating: Sequence[Line] = (),
    heading: frozenset[int] = frozenset(),
) -> Grid:
    """A grid of lines that were given to rows and columns; `floating` lines stand between two rows.

    `heading` lines are rows of one cell over all columns.
    """
    frame = frame_of(lines, columns, rules)
    placed = [frame.place(line) for line in lines]
    cells: list[GridCell] = []
    headings = {number for number, members in enumerate(rows) if members[0] in heading}
    for number, members in enumerate(rows):
        if number in headings:
            cells.append(GridCell(number, 0, 1, len(columns), [lines[index].words for index in members]))
            continue
        merged: dict[tuple[int, int], list[list[Word]]] = {}
        for index in members:
            for (col, span), segments in placed[index].items():
                merged.setdefault((col, span), []).append([word for part in segments for word in part.words])
        for (col, span), texts in sorted(merged.items()):
            cells.append(GridCell(number, col, 1, span, texts))
    _merge_overlaps(cells)
    _set_between(cells, floating, lines, rows, columns)
    given = [*lines, *floating]
    page = lines[0].words[0].page
    grid = Grid(
        cells=cells,
        rows=len(rows),
        cols=len(columns),
        header_rows=0,
        ruled=False,
        page=page,
        bounds=(
            min(line.x0 for line in given),
            min(line.top for line in given),
            max(line.x1 for line in given),
            max(line.bottom for line in given),
        ),
        spans=list(columns),
        pages=[page],
    )
    grid.header_rows = min([_header_rows(grid, lines, rows, rules), *(place for place in headings if place > 0)])
    _merge_header_lines(grid)
    _spread_middles(grid)
    _spread_groups(grid)
    return grid


def floating_lines(lines: Sequence[Line]) -> list[Line]:
    """Lines that stand in the middle between two rows: a value printed once beside the two."""
    steps = [
        lower.middle - upper.middle
        for upper, lower in pairwise(lines)
        if len(upper.segments) > 1 and len(lower.segments) > 1
    ]
    pitch = max(steps, default=0.0)
    found: list[Line] = []
    for index in range(1, len(lines) - 1):
        upper, line, lower = lines[index - 1 : index + 2]
        if upper in found:
            continue
        above, below = line.middle - upper.middle, lower.middle - line.middle
        overlapping = max(above, below) < 0.9 * (line.bottom - line.top)
        halfway = abs(above - below) < 0.15 * (above + below) and above + below < 1.3 * pitch
        if (overlapping or halfway) and all(
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
        for (col, span), segments in Frame(tuple(columns)).place(line).items():
            held = {row for cell in cells for row in range(cell.row, cell.row + cell.row_span)
                    if cell.col < col + span and col < cell.col + cell.col_span}  # fmt: skip
            top = max((row for row, middle in enumerate(middles) if middle <= line.middle), default=0)
            bottom = min(top + 1, len(middles) - 1)
            words = [[word for part in segments for word in part.words]]
            own = _row_around(line, lines, rows)
            if own is not None and own not in held:
                cells.append(GridCell(own, col, 1, span, words))
                continue
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


def _row_around(line: Line, lines: Sequence[Line], rows: Sequence[Sequence[int]]) -> int | None:
    """The row of several lines that a value stands in the middle of: its label is broken over them."""
    for number, members in enumerate(rows):
        heights = [lines[index].middle for index in members]
        if len(members) > 1 and min(heights) < line.middle < max(heights):
            return number
    return None


def _spread_middles(grid: Grid) -> None:
    """A value in the middle of several columns, or rows, spans them, where that explains every gap."""
    for row in range(grid.header_rows, grid.rows):
        cells = [cell for cell in grid.row(row) if cell.col > 0 and cell.row_span == 1]
        if grid.cols < 4 or not cells or grid.at(row, 0) is None:
            continue
        if len(cells) == 1 or not any(_at_an_edge(cell, grid) for cell in cells):
            _symmetric(cells, set(range(1, grid.cols)), "col")
    for col in range(1, grid.cols):
        cells = [cell for cell in grid.cells if cell.col == col and cell.col_span == 1 and cell.row >= grid.header_rows]
        taken = {row for row in range(grid.header_rows, grid.rows) if grid.at(row, col) is None} | {
            row for cell in cells for row in range(cell.row, cell.row + cell.row_span)
        }
        if len(cells) > 0 and all(cell.row_span == 1 for cell in cells):
            _symmetric(cells, taken, "row")


def _at_an_edge(cell: GridCell, grid: Grid) -> bool:
    """The cell is flush with others of its column at the left or right while their middles differ."""
    x0, x1 = _extent(cell)
    for other in grid.cells:
        if other is cell or other.col != cell.col or other.col_span != 1 or other.row < grid.header_rows:
            continue
        low, high = _extent(other)
        if abs((x0 + x1) - (low + high)) > 3 and (abs(x0 - low) < 1 or abs(x1 - high) < 1):
            return True
    return False


def _extent(cell: GridCell) -> tuple[float, float]:
    words = cell.words
    return min((word.x0 for word in words), default=0.0), max((word.x1 for word in words), default=0.0)


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
                cell.lines = sorted([*cell.lines, *other.lines], key=middle_of)
                cells.remove(other)
                break
        else:
            index += 1


def find_rows(
    lines: Sequence[Line],
    columns: Sequence[tuple[float, float]],
    rules: Sequence[Rule],
    *,
    alone: frozenset[int] = frozenset(),
    joined: frozenset[int] = frozenset(),
) -> list[list[int]]:
    """Lines to rows: a line that only carries on the cells above (or waits for those below) is no row of its own.

    Lines `alone` are rows whatever stands near them; `joined` ones belong to the line before.
    """
    frame = frame_of(lines, columns, rules)
    placed = [frame.place(line) for line in lines]
    gaps = [lower.top - upper.bottom for upper, lower in pairwise(lines)]
    ruled = [ruled_between(upper, lower, rules) for upper, lower in pairwise(lines)]
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
        if index in joined:
            rows[-1].append(index)
        elif ruled[index - 1] or {index, index - 1} & alone:
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
    if any(
        wide > 1 and narrow == 1 and first <= col < first + wide
        for number in row
        for first, wide in placed[number]
        for col, narrow in placed[index]
    ):
        return False  # names of single columns under the name that spans them
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
        if any(is_value(text) for text in texts) and here & above:
            return tight and all(not is_value(text) or len(text) < 3 for text in texts)
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
        return soft
    return False


def _header_rows(grid: Grid, lines: Sequence[Line], rows: Sequence[Sequence[int]], rules: Sequence[Rule]) -> int:
    """Header rows by bold type, by a rule under them, or by having no values where the rows below do."""
    by_style = count_header_rows(grid)
    for number in range(min(4, len(rows) - 1)):
        upper, lower = lines[rows[number][-1]], lines[rows[number + 1][0]]
        if ruled_between(upper, lower, rules) or _dashes(upper):
            below = sum(
                ruled_between(lines[rows[i][-1]], lines[rows[i + 1][0]], rules)
                for i in range(number + 1, len(rows) - 1)
            )
            if below <= 1 and not any(
                is_value(cell.text) and not SIZE_LIKE.match(cell.text) for cell in grid.row(number) if cell.col > 0
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
            elif cell.row == 0 and cell.row_span > 1:
                cell.row_span -= 1
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
