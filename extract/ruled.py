"""Ruled tables: from the boxes of their cells and the words among them to a grid."""

from collections.abc import Iterable, Sequence
from statistics import median

from firstcap.extract.grid import Grid, GridCell, count_header_rows, inside, is_value, middle_of, reading_lines
from firstcap.extract.page import Word
from firstcap.extract.pdf import Bounds


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


def ruled_grid(boxes: Sequence[Bounds], words: Sequence[Word]) -> Grid | None:
    """A table from the boxes of its cells and the words among them; None where they are a frame or cards."""
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
    frames = [
        (xs[cell.col], ys[cell.row], xs[cell.col + cell.col_span], ys[cell.row + cell.row_span]) for cell in cells
    ]
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
    _split_worn_cells(grid, ys)
    _split_tall_rows(grid)
    _drop_empty(grid)
    grid.header_rows = count_header_rows(grid)
    return grid


def _is_prose_in_boxes(cells: Sequence[GridCell]) -> bool:
    """Cards or a page laid out with lines: few boxes, each with a paragraph or more."""
    counts = [len(cell.words) for cell in cells]
    return len(cells) <= 4 and median(counts) > 30


def _split_worn_cells(grid: Grid, ys: Sequence[float]) -> None:
    """A cell over several rows with one value in each is several cells: a copy has worn away the rules between them."""
    for cell in list(grid.cells):
        if cell.row_span < 2 or len(cell.lines) != cell.row_span or any(word.turned for word in cell.words):
            continue
        spanned = range(cell.row, cell.row + cell.row_span)
        level = all(
            ys[row] < middle_of(line) < ys[row + 1] and is_value(" ".join(word.text for word in line))
            for row, line in zip(spanned, cell.lines, strict=True)
        )
        if level:
            grid.cells.remove(cell)
            grid.cells.extend(
                GridCell(row, cell.col, 1, cell.col_span, [line]) for row, line in zip(spanned, cell.lines, strict=True)
            )


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
        middles = [middle_of(line) for line in guide.lines]
        added = deep - 1
        fresh: list[GridCell] = []
        for cell in grid.cells:
            if cell.row > row:
                cell.row += added
            elif cell.row == row and cell.row_span == 1:
                by_row: dict[int, list[list[Word]]] = {}
                for line in cell.lines:
                    by_row.setdefault(_nearest(middles, middle_of(line)), []).append(line)
                cell.lines = by_row.pop(0, [])
                fresh.extend(
                    GridCell(row + offset, cell.col, 1, cell.col_span, lines) for offset, lines in by_row.items()
                )
            elif cell.row <= row < cell.row + cell.row_span:
                cell.row_span += added
        grid.cells.extend(fresh)
        grid.rows += added
        row += deep


def _are_rows(cells: Sequence[GridCell], deep: int) -> bool:
    full = [cell for cell in cells if len(cell.lines) == deep]
    if len(full) < 2 or len(full) < len(cells) - (deep > 2):
        return False
    if any(line[-1].text in "–—-+±/&" for cell in full for line in cell.lines[:-1]):
        return False
    if any(word.turned for cell in full for word in cell.words):
        return False
    first = [middle_of(line) for line in full[0].lines]
    for cell in full[1:]:
        if any(abs(a - middle_of(b)) > 2.5 for a, b in zip(first, cell.lines, strict=True)):
            return False
    numeric = [cell for cell in full if all(is_value(" ".join(w.text for w in line)) for line in cell.lines)]
    return bool(numeric) and (deep >= 3 or len(numeric) >= 2)


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
