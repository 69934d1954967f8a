"""Tables with level rules only: three or more rules of one length, one under the other, and cells between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from firstcap.extract.cells import find_columns, find_rows, make_grid
from firstcap.extract.grid import Grid
from firstcap.extract.lines import Line, make_lines, shared_strips
from firstcap.extract.page import Word
from firstcap.extract.pdf import Rule


@dataclass(slots=True)
class _Band:
    """What stands between two rules."""

    lines: list[Line]


def banded_grids(words: Sequence[Word], rules: Sequence[Rule]) -> list[Grid]:
    """Tables between level rules, each with the words it took."""
    found: list[Grid] = []
    for group in _groups(rules):
        for run in _runs(group, words):
            grid = _grid(run, rules)
            if grid is not None:
                found.append(grid)
    return found


def joined_rules(rules: Sequence[Rule]) -> list[Rule]:
    """Level rules with pieces that continue one another joined, as browsers draw one border for each cell."""
    joined: list[Rule] = []
    for rule in sorted((rule for rule in rules if rule.horizontal), key=lambda rule: (round(rule.top), rule.x0)):
        last = joined[-1] if joined else None
        if last is not None and abs(last.top - rule.top) < 1.6 and rule.x0 - last.x1 < 3 and rule.x0 > last.x0 - 1:
            joined[-1] = Rule(last.x0, last.top, max(last.x1, rule.x1), last.bottom)
        else:
            joined.append(rule)
    return joined


def _groups(rules: Sequence[Rule]) -> list[list[Rule]]:
    """Rules of one left and right end, top down, each height once."""
    groups: list[list[Rule]] = []
    for rule in sorted(joined_rules(rules), key=lambda rule: rule.top):
        if rule.x1 - rule.x0 < 60:
            continue
        for group in groups:
            if abs(group[0].x0 - rule.x0) < 4 and abs(group[0].x1 - rule.x1) < 4:
                if rule.top - group[-1].top > 3:
                    group.append(rule)
                break
        else:
            groups.append([rule])
    return [group for group in groups if len(group) >= 3]


def _runs(group: Sequence[Rule], words: Sequence[Word]) -> list[list[_Band]]:
    """Stretches of neighbouring bands that hold cells; prose between two rules ends a stretch."""
    runs: list[list[_Band]] = [[]]
    x0, x1, low, high = group[0].x0 - 3, group[0].x1 + 3, group[0].top, group[-1].top
    whole = [word for word in words if x0 <= word.x0 and word.x1 <= x1 and low < (word.top + word.bottom) / 2 < high]
    strips = shared_strips(whole)
    for upper, lower in pairwise(group):
        inner = [
            word
            for word in words
            if upper.top - 1 < (word.top + word.bottom) / 2 < lower.top + 1
            and upper.x0 - 3 <= (word.x0 + word.x1) / 2 <= upper.x1 + 3
        ]
        crossing = any(word.x0 < upper.x0 - 3 or word.x1 > upper.x1 + 3 for word in inner)
        lines = make_lines(inner, strips=strips)
        if not lines or crossing or not _holds_cells(lines):
            runs.append([])
        else:
            runs[-1].append(_Band(lines))
    return [run for run in runs if len(run) >= 2]


def _holds_cells(lines: Sequence[Line]) -> bool:
    if not any(len(line.segments) >= 2 for line in lines):
        # cells set in the middle of their height may share no line; a lone full line is a title or prose
        return (
            len(lines) > 1
            and len({round(line.x0 / 6) for line in lines}) > 1
            and all(len(line.words) <= 8 for line in lines)
        )
    counts = [segment.count for line in lines for segment in line.segments]
    return median(counts) <= 7 or len(lines) <= 2


def _grid(bands: Sequence[_Band], rules: Sequence[Rule]) -> Grid | None:
    lines: list[Line] = []
    rows: list[list[int]] = []
    everything = [line for band in bands for line in band.lines]
    columns = find_columns(everything, everything)
    if len(columns) < 2:
        return None
    for band in bands:
        first = len(lines)
        lines.extend(band.lines)
        full = sum(len(line.segments) >= len(columns) for line in band.lines)
        if full > 1:
            rows.extend([[first + index for index in row] for row in find_rows(band.lines, columns, ())])
        else:
            rows.append(list(range(first, len(lines))))
    if (
        len(rows) < 2
        or sum(len({_column(s.x0, columns) for i in row for s in lines[i].segments}) > 1 for row in rows) < 2
    ):
        return None
    return make_grid(lines, rows, columns, rules)


def _column(x: float, columns: Sequence[tuple[float, float]]) -> int:
    return min(range(len(columns)), key=lambda index: abs(columns[index][0] - x))
