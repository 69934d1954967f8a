"""Lines of a table that are no rows by themselves: headings over some rows, halves of a label around its values."""

import re
from collections.abc import Sequence
from itertools import pairwise

from firstcap.extract.grid import is_value
from firstcap.extract.lines import Line, Segment

_LONGEST = 12  # words of a heading inside a table
_TITLE = re.compile(
    r"^\W*(?:table|schedule|annex|exhibit|appendix|chart|tableau|tabelle|tabla|cuadro|anlage)\s+[\dA-Z]", re.IGNORECASE
)
_GOES_ON = re.compile(r"(?:[,&/–-]|\b(?:and|or|with|of|the|for|y|et|und|con|avec|mit|de))$", re.IGNORECASE)


_OPEN = re.compile(r"(?:[,/(–-]|\b(?:or|and|to|through|of|oder|und|bis|o|y|a|ou|et|à))$", re.IGNORECASE)


def is_heading_text(text: str) -> bool:
    """Words that may head rows: few, no value, no sentence, no title of another table."""
    text = text.strip()
    return (
        re.search(r"[^\W\d_]{3}", text) is not None
        and len(text.split()) <= _LONGEST
        and not is_value(text)
        and not text.endswith((".", ";"))
        and _TITLE.match(text) is None
        and _GOES_ON.search(text) is None
        and not text[:1].islower()
    )


def one_run(line: Line) -> bool:
    """Words with no gap wider than between words: one piece of text, wherever columns may run under it."""
    return all(right.x0 - left.x1 <= 0.6 * line.size for left, right in pairwise(line.words))


def heads_rows(lines: Sequence[Line], index: int, start: int) -> bool:
    """Whether a line stands alone over rows of the table that began at `start`: "Turbine meters, AWWA C701"."""
    line = lines[index]
    if index + 1 >= len(lines) or not one_run(line) or not is_heading_text(line.text):
        return False
    rows = [other for other in lines[start:index] if len(other.segments) >= 2 and not one_run(other)]
    below = lines[index + 1]
    if not rows or len(below.segments) < 2 or one_run(below) or below.text[:1].islower():
        return False
    fullest = max(rows, key=lambda other: len(other.segments))
    if below.top - line.bottom > 1.6 * line.size or below.bottom <= line.bottom:
        return False
    if abs(line.x0 - min(fullest.x0, below.x0)) > 6 or _common(fullest, below) < min(2, len(below.segments)):
        return False
    bold = all(word.bold for word in line.words) and not all(word.bold for word in below.words)
    first = min(fullest.segments, key=lambda segment: segment.x0)
    inner = min(segment.x0 for segment in below.segments[1:])
    return bold or line.x1 > max(first.x1 + 2 * line.size, inner - 1) or line.text.endswith(":")


def _common(left: Line, right: Line) -> int:
    """How many columns two lines have in common."""
    return sum(any(_overlap(one, other) for other in right.segments) for one in left.segments)


def _overlap(one: Segment, other: Segment) -> bool:
    return one.x0 < other.x1 and other.x0 < one.x1


def around_values(lines: Sequence[Line], floating: Sequence[Line]) -> set[int]:
    """Lines that carry on the label of the line before, where the values of that row stand in the middle of its height.

    The values' line overlaps both lines in height, and both hold nothing but the first column's text.
    """
    found: set[int] = set()
    for index, (upper, lower) in enumerate(pairwise(lines)):
        if len(upper.segments) != 1 or len(lower.segments) != 1 or not _overlap(upper.segments[0], lower.segments[0]):
            continue
        for value in floating:
            between = (
                value.top < upper.bottom and lower.top < value.bottom and upper.middle < value.middle < lower.middle
            )
            if between and value.x0 >= max(upper.x1, lower.x1):
                found.add(index + 1)
    return found


def rows_by_gaps(lines: Sequence[Line], columns: Sequence[tuple[float, float]]) -> list[list[int]] | None:
    """Rows as the blanks between them show: wide between rows, narrow between the lines of one cell.

    None where no cell is broken over lines, where the blanks are of one width, or where a column would hold two values
    in one row.
    """
    groups: list[list[int]] = [[0]]
    bottom = lines[0].bottom
    within, between = [0.0], []
    size = max(line.size for line in lines)
    for index in range(1, len(lines)):
        gap = lines[index].top - bottom
        if gap < 0.3 * size:
            groups[-1].append(index)
            within.append(gap)
        else:
            groups.append([index])
            between.append(gap)
        bottom = max(bottom, lines[index].bottom)
    if len(groups) < 3 or len(groups) == len(lines) or min(between) < 1.8 * max(within) + 0.15 * size:
        return None
    return groups if all(_one_row([lines[index] for index in group], columns) for group in groups[1:]) else None


def _one_row(lines: Sequence[Line], columns: Sequence[tuple[float, float]]) -> bool:
    """Whether lines close together can be one row: each column begins one value at most."""
    if sum(len(line.segments) >= len(columns) for line in lines) > 1:
        return False
    for low, high in columns:
        texts = [part.text for line in lines for part in line.segments if part.x0 < high and low < part.x1]
        if len(texts) > 1 and all(is_value(text) for text in texts) and not any(map(_OPEN.search, texts[:-1])):
            return False
    return True
