"""Lists with dot leaders: "Register ........ 10 years" is a row of two cells, its wrapped lines included."""

import re
from collections.abc import Sequence
from itertools import pairwise

from firstcap.extract.borderless import Found
from firstcap.extract.grid import Grid, GridCell
from firstcap.extract.lines import Line, Segment
from firstcap.extract.page import Word
from firstcap.extract.runs import is_leader

_OPEN_VALUE = re.compile(
    r"(?:[\d)]|\b(?:one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|eighteen|twenty|thirty|forty|fifty"
    r"|sixty|ninety|hundred|thousand|million|half|of|or|and|to|from|the))$",
    re.IGNORECASE,
)


def leader_grids(lines: Sequence[Line]) -> list[Found]:
    """Leader lists among the lines of a region: at least two rows with leaders, nothing but their wraps between."""
    cut = [_cut(line) for line in lines]
    found: list[Found] = []
    start = 0
    while start < len(lines):
        if cut[start] is None:
            start += 1
            continue
        stop, rows = _rows(lines, cut, start)
        first = start
        if first and _opens_name(lines, first):
            first -= 1
            rows[0][0].insert(0, lines[first].words)
        if sum(cut[index] is not None for index in range(start, stop)) >= 2:
            found.append(Found(_grid(lines, first, stop, rows), first, stop))
            start = stop
        else:
            start += 1
    return found


def _cut(line: Line) -> int | None:
    """Index of the first word after the leader, where the line is name, leader, value."""
    words = line.words
    dots = [index for index, word in enumerate(words) if is_leader(word)]
    if not dots or dots[0] == 0 or dots[-1] == len(words) - 1:
        return None
    if dots[-1] - dots[0] + 1 != len(dots):
        return None  # two leaders: a table of more columns
    if len(dots) == 1 and len(words[dots[0]].text) < 2:
        return None  # a lone stop is a leader only in a list that has others
    if any(gap > 4 * line.size for gap in _gaps(words[dots[-1] + 1 :])):
        return None
    return dots[-1] + 1


def _gaps(words: Sequence[Word]) -> list[float]:
    return [right.x0 - left.x1 for left, right in pairwise(words)]


def _weak_cut(line: Line) -> int | None:
    """In a leader list: a lone stop, or the widest gap of a line whose leader had no room for a dot."""
    words = line.words
    for index, word in enumerate(words[1:-1], start=1):
        if word.text == ".":
            return index + 1
    gaps = _gaps(words)
    if len(gaps) < 2:
        return None
    widest = max(range(len(gaps)), key=lambda index: gaps[index])
    others = sorted(gaps[:widest] + gaps[widest + 1 :])
    if gaps[widest] > 1.6 * others[len(others) // 2] + 0.5:
        return widest + 1
    return None


def _opens_name(lines: Sequence[Line], first: int) -> bool:
    """The line before the list begins its first name: the list's first line goes on in small letters."""
    upper, lower = lines[first - 1], lines[first]
    text = lower.text
    return (
        text[:1].islower()
        and len(upper.segments) == 1
        and lower.top - upper.bottom < 0.6 * lower.size
        and not upper.text.rstrip().endswith((".", ":", ";"))
    )


def _rows(
    lines: Sequence[Line], cut: Sequence[int | None], start: int
) -> tuple[int, list[tuple[list[list[Word]], list[list[Word]]]]]:
    """Rows of (name lines, value lines) from `start` on, and the index after the last line taken."""
    rows: list[tuple[list[list[Word]], list[list[Word]]]] = []
    index = start
    waiting: list[list[Word]] = []
    end = start
    while index < len(lines):
        line = lines[index]
        place = cut[index]
        if index > start and line.top - lines[index - 1].bottom > 1.6 * line.size:
            break
        if place is None and rows:
            weak = _weak_cut(line)
            follows = index + 1 < len(lines) and cut[index + 1] is None and _is_small(lines[index + 1].text)
            if weak is not None and _open(line.words[weak:]) and follows:
                place = weak
        if place is not None:
            rows.append(([*waiting, line.words[:place]], [line.words[place:]]))
            waiting = []
            index += 1
            end = index
            continue
        if len(waiting) >= 1:
            break
        value = " ".join(word.text for word in rows[-1][1][-1]) if rows else ""
        text = line.text
        small = _is_small(text)
        if rows and not waiting and small and len(line.words) <= 6:
            target = rows[-1][1] if _OPEN_VALUE.search(value) or text.startswith("(") else rows[-1][0]
            target.append(line.words)
            index += 1
            end = index
            continue
        if index + 1 < len(lines) and cut[index + 1] is not None and lines[index + 1].text[:1].islower():
            waiting.append(line.words)
            index += 1
            continue
        break
    return end, rows


def _is_small(text: str) -> bool:
    """A line that goes on: it begins with a small letter or a bracket."""
    return text[:1].islower() or text.startswith("(")


def _open(words: Sequence[Word]) -> bool:
    return _OPEN_VALUE.search(" ".join(word.text for word in words)) is not None


def _grid(
    lines: Sequence[Line], first: int, stop: int, rows: Sequence[tuple[list[list[Word]], list[list[Word]]]]
) -> Grid:
    cells: list[GridCell] = []
    names: list[Segment] = []
    values: list[Segment] = []
    for number, (name, value) in enumerate(rows):
        cells.append(GridCell(number, 0, lines=list(name)))
        cells.append(GridCell(number, 1, lines=list(value)))
        names.extend(Segment(part) for part in name)
        values.append(Segment(value[0]))
    chosen = lines[first:stop]
    page = chosen[0].words[0].page
    x0, x1 = min(line.x0 for line in chosen), max(line.x1 for line in chosen)
    edge = min(segment.x0 for segment in values)
    return Grid(
        cells=cells,
        rows=len(rows),
        cols=2,
        header_rows=0,
        ruled=False,
        page=page,
        bounds=(x0, chosen[0].top, x1, chosen[-1].bottom),
        spans=[(x0, edge), (edge, x1)],
        pages=[page],
    )
