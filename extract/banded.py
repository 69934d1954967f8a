"""Tables with level rules only: three or more rules of one length, one under the other, and cells between them."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from firstcap.extract.cells import find_rows, floating_lines, make_grid
from firstcap.extract.frame import find_columns
from firstcap.extract.grid import Grid
from firstcap.extract.lines import Line, Segment, Strip, make_lines, shared_strips
from firstcap.extract.page import Word
from firstcap.extract.pdf import Rule
from firstcap.extract.row_lines import around_values, heads_rows, is_heading_text, one_run, rows_by_gaps


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
    """Stretches of neighbouring bands that hold cells; prose between two rules ends a stretch.

    Rules between rows only leave the first and the last row outside: lines of cells close above and below belong too.
    """
    x0, x1 = group[0].x0 - 3, group[0].x1 + 3
    column = [word for word in words if x0 <= (word.x0 + word.x1) / 2 <= x1]
    strips = shared_strips([word for word in column if group[0].top - 20 < _height(word) < group[-1].top + 20])
    strips = [Strip(strip.x, strip.top - 40, strip.bottom + 40) for strip in strips]
    runs: list[list[_Band]] = [[]]
    waiting: _Band | None = None  # a line between two rules that heads the rows after it, if there are any
    for upper, lower in pairwise(group):
        inner = [word for word in column if upper.top - 1 < _height(word) < lower.top + 1]
        crossing = any(word.x0 < x0 or word.x1 > x1 for word in inner)
        lines = make_lines(inner, strips=strips)
        if not crossing and _heads_next(lines, runs[-1], upper, lower):
            waiting = _Band(lines)
            continue
        if not lines or crossing or _is_prose(lines, x1 - x0) or not _holds_cells(lines):
            runs.append([])
        else:
            runs[-1] += [waiting] if waiting is not None else []
            runs[-1].append(_Band(lines))
        waiting = None
    if runs[0]:
        above = make_lines([word for word in column if _height(word) < group[0].top], strips=strips)
        runs[0][:0] = _beyond(above[::-1], group[0].top, x0, x1, runs[0][0])
    if runs[-1]:
        below = make_lines([word for word in column if _height(word) > group[-1].top], strips=strips)
        runs[-1] += _beyond(below, group[-1].top, x0, x1, runs[-1][-1])
    return [run for run in runs if len(run) >= 2]


def _heads_next(lines: Sequence[Line], run: Sequence[_Band], upper: Rule, lower: Rule) -> bool:
    """One line of few words in a band no higher than a row, after other rows: "Turbine meters" over rows of its own."""
    if len(lines) != 1 or not run or not one_run(lines[0]) or not is_heading_text(lines[0].text):
        return False
    heights = [max(line.bottom for line in band.lines) - min(line.top for line in band.lines) for band in run]
    return lower.top - upper.top < min(heights) + 2.2 * lines[0].size


def _height(word: Word) -> float:
    return (word.top + word.bottom) / 2


def _beyond(lines: Sequence[Line], edge: float, x0: float, x1: float, inner: _Band) -> list[_Band]:
    """The row next to an outer rule, on its far side: lines of cells right at the rule, if there are any.

    Cells set in the middle of a row's height may share no line: lines that overlap in height are one row. Above a rule,
    so are bold lines close together whose words stand over those of the lowest one: names of columns in two lines.
    """
    if not lines:
        return []
    chosen = [lines[0]]
    for line in lines[1:4]:
        apart = max(line.top - chosen[-1].bottom, chosen[-1].top - line.bottom)
        if apart > 0.1 * line.size and not _names_over(line, lines[0], edge, apart):
            break
        chosen.append(line)
    line = lines[0]
    near = min(abs(line.top - edge), abs(line.bottom - edge)) < 0.8 * line.size
    segments = [segment for line in chosen for segment in line.segments]
    cells = len(segments) >= 3 and all(segment.count <= 6 for segment in segments)
    cells = cells or (len(segments) == 2 and _over_pair(segments, inner))
    within = all(line.x0 >= x0 and line.x1 <= x1 for line in chosen)
    return [_Band(sorted(chosen, key=lambda line: line.top))] if near and cells and within else []


def _names_over(upper: Line, lower: Line, edge: float, apart: float) -> bool:
    """ "Nominal | Q1 | Q2" right over "diameter | (L/h) | (L/h)", all bold: one row of names in two lines."""
    bold = all(word.bold for line in (upper, lower) for word in line.words)
    if lower.bottom > edge + 2 or apart > 0.5 * lower.size or len(upper.segments) < 2 or not bold:
        return False
    return all(
        sum(part.x0 < under.x1 and under.x0 < part.x1 for under in lower.segments) <= 1 for part in upper.segments
    )


def _over_pair(segments: Sequence[Segment], inner: _Band) -> bool:
    """Two short cells, each over one of the two columns of the row that the rule parts them from."""
    row = next((line.segments for line in inner.lines if len(line.segments) == 2), None)
    if row is None or any(segment.count > 4 for segment in segments):
        return False
    pairs = list(zip(segments, row, strict=True))
    return all(upper.x0 < lower.x1 + 12 and lower.x0 < upper.x1 + 12 for upper, lower in pairs) and (
        segments[0].x1 < row[1].x0 and segments[1].x0 > row[0].x1
    )


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


def _is_prose(lines: Sequence[Line], width: float) -> bool:
    """Lines that fill the width with words close together: a paragraph between two tables, not a row of them."""
    if len(lines) < 3 or sum(len(line.words) for line in lines) < 25:
        return False
    full = 0
    for line in lines:
        gap = max((right.x0 - left.x1 for left, right in pairwise(line.words)), default=0.0)
        full += line.x1 - line.x0 > 0.75 * width and gap < 1.6 * line.size
    return full >= 0.6 * len(lines)


def _grid(bands: Sequence[_Band], rules: Sequence[Rule]) -> Grid | None:
    lines: list[Line] = []
    rows: list[list[int]] = []
    everything = [line for band in bands for line in band.lines]
    columns = find_columns(everything, everything)
    if len(columns) < 2:
        return None
    floating: list[Line] = []
    heading: set[int] = set()
    over = {id(everything[index]) for index in range(1, len(everything)) if heads_rows(everything, index, 0)}
    for band in bands:
        first = len(lines)
        full = sum(len(line.segments) >= len(columns) for line in band.lines)
        chosen = band.lines
        spaced = rows_by_gaps(chosen, columns)
        if spaced is not None:
            heading |= {first + row[0] for row in spaced if len(row) == 1 and id(chosen[row[0]]) in over}
            rows.extend([[first + index for index in row] for row in spaced])
        elif _parts_rows(band, full):
            between = floating_lines(band.lines)
            chosen = [line for line in band.lines if line not in between]
            alone = frozenset(index for index, line in enumerate(chosen) if id(line) in over)
            joined = frozenset(around_values(chosen, between))
            floating.extend(between)
            heading |= {first + index for index in alone}
            found = find_rows(chosen, columns, (), alone=alone, joined=joined)
            rows.extend([[first + index for index in row] for row in found])
        else:
            if rows and len(chosen) == 1 and one_run(chosen[0]) and is_heading_text(chosen[0].text):
                heading.add(first)
            rows.append(list(range(first, first + len(chosen))))
        lines.extend(chosen)
    if (
        len(rows) < 2
        or sum(len({_column(s.x0, columns) for i in row for s in lines[i].segments}) > 1 for row in rows) < 2
    ):
        return None
    return make_grid(lines, rows, columns, rules, floating, frozenset(heading))


def _parts_rows(band: _Band, full: int) -> bool:
    """More than one row between two rules: several full lines, or lines of values between the halves of labels."""
    between = floating_lines(band.lines)
    chosen = [line for line in band.lines if line not in between]
    return full > 1 or full + len(around_values(chosen, between)) > 1


def _column(x: float, columns: Sequence[tuple[float, float]]) -> int:
    return min(range(len(columns)), key=lambda index: abs(columns[index][0] - x))
