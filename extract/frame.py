"""The columns of a table without closed cells: where they are, and which of them a segment stands in or spans."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from firstcap.extract.grid import is_value
from firstcap.extract.lines import Line, Segment
from firstcap.extract.pdf import Rule
from firstcap.extract.runs import is_leader


def text_x1(segment: Segment) -> float:
    """Where a segment's text ends, its leader left out."""
    words = [word for word in segment.words if not is_leader(word)] or segment.words
    return max(word.x1 for word in words)


def find_columns(lines: Sequence[Line], floating: Sequence[Line] = ()) -> list[tuple[float, float]]:
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
                x0, x1 = segment.x0, max(text_x1(segment), segment.x0 + 1)
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
                    fits = wanted >= most - 1 or _aligned(segment, (column[0], column[1]))
                    if x0 > low and x1 < high and fits:
                        column[0], column[1] = min(column[0], x0), max(column[1], x1)
    found = [(x0, x1) for x0, x1 in columns]
    for segment in (segment for line in floating for segment in line.segments):
        if all(segment.x0 >= high or segment.x1 <= low for low, high in found):
            found = sorted([*found, (segment.x0, segment.x1)])
    return found


@dataclass(frozen=True, slots=True)
class Frame:
    """A table's columns: where their text stands, their full widths where rules show them, and how cells are set."""

    columns: tuple[tuple[float, float], ...]
    rules: tuple[Rule, ...] = ()
    boxes: tuple[tuple[float, float], ...] | None = None
    centred: bool = False

    def place(self, line: Line) -> dict[tuple[int, int], list[Segment]]:
        """Which column (and how many) each segment of a line stands in."""
        claims = [self._claim(segment, line) for segment in line.segments]
        for index, claim in enumerate(claims):
            for other, rival in enumerate(claims):
                if index != other and len(claim) > 1 and len(rival) == 1 and rival[0] in (claim[0], claim[-1]):
                    claim.remove(rival[0])  # a name that reaches a little into a column whose value has its own segment
        placed: dict[tuple[int, int], list[Segment]] = {}
        for segment, claim in zip(line.segments, claims, strict=True):
            placed.setdefault((claim[0], claim[-1] - claim[0] + 1), []).append(segment)
        return placed

    def _claim(self, segment: Segment, line: Line) -> list[int]:
        found = _under_rule(segment, self.columns, self.rules)
        partial = len(line.segments) < len(self.columns)
        if found is None and self.boxes and partial and (self.centred or not is_value(segment.text)):
            found = _in_boxes(segment, self.boxes)
        return found or _claim(segment, line, self.columns)


def frame_of(lines: Sequence[Line], columns: Sequence[tuple[float, float]], rules: Sequence[Rule]) -> Frame:
    """The frame that these lines of a table stand in."""
    boxes = _boxes(columns, rules)
    middles = [
        abs((segment.x0 + segment.x1) - (low + high)) < 3
        for line in lines
        if boxes and len(line.segments) == len(columns)
        for segment, (low, high) in list(zip(line.segments, boxes, strict=True))[1:]
    ]
    return Frame(
        columns=tuple(columns),
        rules=tuple(rules),
        boxes=tuple(boxes) if boxes else None,
        centred=bool(middles) and sum(middles) >= 0.8 * len(middles),
    )


def _under_rule(segment: Segment, columns: Sequence[tuple[float, float]], rules: Sequence[Rule]) -> list[int] | None:
    """The columns that a short rule right under a header gathers below it."""
    size = segment.size
    for rule in rules:
        if not rule.horizontal or not 0.0 <= rule.top - segment.bottom + 0.2 * size < 0.8 * size:
            continue
        if rule.x0 > segment.x0 + 2 or rule.x1 < segment.x1 - 2:
            continue
        below = [i for i, (low, high) in enumerate(columns) if rule.x0 <= (low + high) / 2 <= rule.x1]
        if 1 < len(below) < len(columns) and below[0] > 0:
            return below
    return None


def _boxes(columns: Sequence[tuple[float, float]], rules: Sequence[Rule]) -> list[tuple[float, float]] | None:
    """The full width of each column, where a level rule is drawn in pieces, one for each cell."""
    by_height: dict[int, list[Rule]] = {}
    for rule in rules:
        if rule.horizontal:
            by_height.setdefault(round(rule.top), []).append(rule)
    for pieces in by_height.values():
        if len(pieces) < len(columns):
            continue
        found = []
        for low, high in columns:
            holding = [piece for piece in pieces if piece.x0 <= (low + high) / 2 <= piece.x1]
            if len(holding) == 1:
                found.append((holding[0].x0, holding[0].x1))
        if len(found) == len(columns) and all(left[1] <= right[0] + 1 for left, right in pairwise(found)):
            return found
    return None


def _in_boxes(segment: Segment, boxes: Sequence[tuple[float, float]]) -> list[int] | None:
    """The neighbouring columns in whose common middle a header stands, if in no single column's."""
    middle = (segment.x0 + segment.x1) / 2
    if any(abs(middle - (low + high) / 2) < 1.5 for low, high in boxes):
        return None
    for first in range(1, len(boxes)):
        for last in range(first + 1, len(boxes)):
            if abs(middle - (boxes[first][0] + boxes[last][1]) / 2) < 1.5:
                return list(range(first, last + 1))
    return None


def _claim(segment: Segment, line: Line, columns: Sequence[tuple[float, float]]) -> list[int]:
    x0, x1 = segment.x0, max(text_x1(segment), segment.x0 + 1)
    touched = [i for i, (low, high) in enumerate(columns) if min(x1, high) - max(x0, low) > 0.5]
    if len(touched) == 1 and len(line.segments) < len(columns):
        return _middle_of_two(segment, touched[0], columns)
    if touched:
        return touched
    between = [i for i in range(1, len(columns) - 1) if columns[i][1] <= x0 and x1 <= columns[i + 1][0]]
    if between and len(line.segments) < len(columns):
        return [between[0], between[0] + 1]
    middle = (x0 + x1) / 2
    gaps = [min(abs(middle - low), abs(middle - high)) for low, high in columns]
    return [gaps.index(min(gaps))]


def _middle_of_two(segment: Segment, place: int, columns: Sequence[tuple[float, float]]) -> list[int]:
    """A header over two columns may touch only one of them: it then stands in the middle of both."""
    if _aligned(segment, columns[place]):
        return [place]
    middle = (segment.x0 + segment.x1) / 2
    for low, high in ((place - 1, place), (place, place + 1)):
        if low < 1 or high >= len(columns):
            continue
        x0, x1 = columns[low][0], columns[high][1]
        if abs(middle - (x0 + x1) / 2) < 0.12 * (x1 - x0):
            return [low, high]
    return [place]


def _aligned(segment: Segment, column: tuple[float, float]) -> bool:
    """At the column's left edge, right edge or middle, or wholly inside it."""
    low, high = column
    x1 = max(text_x1(segment), segment.x0 + 1)
    return (
        abs(segment.x0 - low) <= 4
        or abs(x1 - high) <= 4
        or abs((segment.x0 + x1) - (low + high)) <= 8
        or (segment.x0 >= low and x1 <= high)
    )
