"""Borderless tables: among the lines of a region, those whose segments stand under one another."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from firstcap.extract.cells import find_rows, floating_lines, make_grid
from firstcap.extract.frame import find_columns, text_x1
from firstcap.extract.grid import Grid, is_value
from firstcap.extract.lines import Line, Segment
from firstcap.extract.pdf import Rule
from firstcap.extract.row_lines import around_values, heads_rows, rows_by_gaps
from firstcap.extract.runs import is_leader


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
        seen = start
        first = found[-1].last if found else 0
        while start > first and _beside(split[start - 1], split[start]):
            start -= 1  # the first line of a name set in the middle of the row's height
        stop = _stretch(split, start, rules)
        table = _build(split, start, stop, rules)
        while table is None and stop - start > 2:
            stop -= 1
            table = _build(split, start, stop, rules)
        if table is None:
            start = seen + 1
            continue
        found.append(Found(table, start, stop))
        start = stop
    return found


def _beside(upper: Line, lower: Line) -> bool:
    """Two lines that overlap in height and not in width: pieces of one row."""
    return upper.bottom > lower.top + 0.2 * lower.size and all(
        one.x0 >= other.x1 or one.x1 <= other.x0 for one in upper.segments for other in lower.segments
    )


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


def _stretch(lines: Sequence[Line], start: int, rules: Sequence[Rule]) -> int:
    """How far a table that begins at `start` may run: until prose, or a gap far wider than its rows'."""
    stop = start + 1
    last_multi = start
    while stop < len(lines):
        line, before = lines[stop], lines[stop - 1]
        gap = line.top - before.bottom
        if gap > 2.2 * max(line.size, before.size):
            break
        valued = is_value(line.text) or is_value(before.text)
        if len(line.segments) >= 2 or (valued and _beside(before, line)):
            last_multi = stop
        elif heads_rows(lines, stop, start):
            pass
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
            part for part in other.segments if part.x0 < segment.x1 and max(text_x1(part), part.x0 + 1) > segment.x0
        ]
        if len(touched) > 1:
            return False
        if touched and touched[0] is other.segments[0]:
            return segment.x1 <= other.segments[1].x0 - 2
        return True
    return False


def _build(lines: Sequence[Line], first: int, last: int, rules: Sequence[Rule]) -> Grid | None:
    given = lines[first:last]
    spaced = _by_gaps(given, rules)
    if spaced is not None:
        return spaced
    floating = floating_lines(given)
    chosen = [line for line in given if line not in floating]
    if sum(len(line.segments) >= 2 for line in chosen) < 2:
        return None
    columns = find_columns(chosen, floating)
    if len(columns) < 2 or not _is_tabular(chosen, columns):
        return None
    heading = frozenset(index for index in range(1, len(chosen)) if heads_rows(chosen, index, 0))
    joined = frozenset(around_values(chosen, floating))
    rows = find_rows(chosen, columns, rules, alone=heading, joined=joined)
    if len(rows) < 2:
        return None
    return make_grid(chosen, rows, columns, rules, floating, heading)


def _by_gaps(given: Sequence[Line], rules: Sequence[Rule]) -> Grid | None:
    """A table whose rows stand apart by wider blanks than the lines of its cells."""
    if sum(len(line.segments) >= 2 for line in given) < 2:
        return None
    columns = find_columns(given, given)
    rows = rows_by_gaps(given, columns) if len(columns) > 1 and _is_tabular(given, columns) else None
    if rows is None:
        return None
    heading = frozenset(
        row[0] for place, row in enumerate(rows) if place and len(row) == 1 and heads_rows(given, row[0], 0)
    )
    return make_grid(given, rows, columns, rules, (), heading)


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
