"""Words to lines, and lines to segments: stretches of a line that a wide gap parts from the next.

Tolerant of jitter (scans) and of mixed sizes: a word joins the line whose nearest word stands at the same height.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import median

from firstcap.extract.page import Word
from firstcap.extract.runs import is_leader


@dataclass(slots=True)
class Segment:
    """Words of one line with no wide gap between them."""

    words: list[Word]
    x0: float = field(init=False)
    x1: float = field(init=False)
    top: float = field(init=False)
    bottom: float = field(init=False)
    size: float = field(init=False)

    def __post_init__(self) -> None:
        body = [word for word in self.words if not word.mark] or self.words
        self.x0 = min(word.x0 for word in self.words)
        self.x1 = max(word.x1 for word in self.words)
        self.top = min(word.top for word in body)
        self.bottom = max(word.bottom for word in body)
        self.size = median(word.size for word in body)

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words)

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2

    @property
    def count(self) -> int:
        return len(self.words)


@dataclass(slots=True)
class Line:
    """Segments that stand at one height, left to right."""

    segments: list[Segment]

    @property
    def words(self) -> list[Word]:
        return [word for segment in self.segments for word in segment.words]

    @property
    def x0(self) -> float:
        return min(segment.x0 for segment in self.segments)

    @property
    def x1(self) -> float:
        return max(segment.x1 for segment in self.segments)

    @property
    def top(self) -> float:
        return min(segment.top for segment in self.segments)

    @property
    def bottom(self) -> float:
        return max(segment.bottom for segment in self.segments)

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2

    @property
    def size(self) -> float:
        return median(word.size for word in self.words)

    @property
    def text(self) -> str:
        return " ".join(segment.text for segment in self.segments)


def _height(word: Word) -> float:
    return max(word.bottom - word.top, 1.0)


@dataclass(slots=True)
class _Row:
    """A line under construction, with what the next word is held against: the last words' height."""

    words: list[Word]
    middle: float
    height: float
    bottom: float

    def add(self, word: Word) -> None:
        self.words.append(word)
        recent = self.words[-4:]
        self.middle = sum(other.top + other.bottom for other in recent) / (2 * len(recent))
        self.height, self.bottom = _height(word), word.bottom


def group_lines(words: Iterable[Word]) -> list[list[Word]]:
    """Words of one height together, left to right; lines from the top of the page down. Marks follow their word."""
    plain: list[Word] = []
    marks: list[Word] = []
    for word in words:
        (marks if word.mark else plain).append(word)
    rows: list[_Row] = []
    for word in sorted(plain, key=lambda word: (word.x0, word.top)):
        middle, height = (word.top + word.bottom) / 2, _height(word)
        best: tuple[float, _Row] | None = None
        for row in rows:
            distance = abs(row.middle - middle)
            if distance > 0.5 * height and distance > 0.5 * row.height:
                continue
            low = height if height < row.height else row.height
            if distance > 0.42 * low and abs(row.bottom - word.bottom) > 0.3 * low:
                continue
            near = row.words[-1]
            if word.x0 < near.x1 - 0.5 * min(word.x1 - word.x0, near.x1 - near.x0):
                continue  # printed over it
            if best is None or distance < best[0]:
                best = (distance, row)
        if best is None:
            rows.append(_Row([word], middle, height, word.bottom))
        else:
            best[1].add(word)
    found = [row.words for row in rows]
    for mark in marks:
        _place_mark(mark, found)
    found.sort(key=lambda row: (min(word.top for word in row) + max(word.bottom for word in row)) / 2)
    return found


def _place_mark(mark: Word, rows: list[list[Word]]) -> None:
    best: tuple[float, list[Word], int] | None = None
    for row in rows:
        for index, word in enumerate(row):
            if word.mark or mark.bottom < word.top - 1 or mark.top > word.bottom:
                continue
            before = mark.x0 - word.x1
            if word.text[-1:] in ".,;:)" and -0.9 * word.size < before < 0:
                before = 0.0  # the word's own stop is printed after the mark
            after = word.x0 - mark.x1
            rise = abs(mark.bottom - (word.top + 0.75 * _height(word))) * 0.3
            if -0.5 * word.size <= before <= 0.6 * word.size and (best is None or abs(before) + rise < best[0]):
                best = (abs(before) + rise, row, index + 1)
            elif -0.2 * word.size <= after <= 1.2 * word.size and (best is None or after + 4 + rise < best[0]):
                best = (after + 4 + rise, row, index)
    if best is None:
        rows.append([mark])
    else:
        best[1].insert(best[2], mark)


@dataclass(frozen=True, slots=True)
class Strip:
    """A white strip left of x that no word crosses between two heights: the gutter of columns or of a table."""

    x: float
    top: float
    bottom: float


def white_strips(words: Sequence[Word]) -> list[Strip]:
    """Strips that at least four lines in a row leave free, with words that begin at their right edge.

    In columns set close together the gutter is hardly wider than a blank of a justified line; only its height tells.
    """
    level = [word for word in words if not word.turned and not word.mark]
    if len(level) < 20:
        return []
    size = median(word.size for word in level)
    starts: dict[int, int] = {}
    for word in level:
        starts[round(word.x0)] = starts.get(round(word.x0), 0) + 1
    found: list[Strip] = []
    for start in sorted(starts):
        near = sum(starts.get(start + step, 0) for step in (-1, 0, 1))
        if near < 4 or starts[start] < max(starts.get(start - 1, 0), starts.get(start + 1, 0)):
            continue
        x = start - 0.5 * 0.8 * size
        low, high = start - 0.75 * size, start - 1.2
        crossing = sorted((word.top, word.bottom) for word in level if word.x0 < high and word.x1 > low)
        reached = min(word.top for word in level)
        for top, bottom in [*crossing, (max(word.bottom for word in level), float("inf"))]:
            if top - reached > 4 * 1.1 * size:
                opening = [
                    word for word in level if abs(word.x0 - start) <= 1.6 and reached <= word.top and word.bottom <= top
                ]
                before = [word for word in level if word.x1 <= low and reached <= word.top and word.bottom <= top]
                if len(opening) >= 4 and len({round(word.top) for word in before}) >= 4:
                    found.append(Strip(x, reached, top))
            reached = max(reached, bottom)
    return found


_ITEM_SIGN = re.compile(
    r"[•◦▪■□●○‣·–—*\ufffd-]|\(?(?:\d{1,2}|[ivxIVX]{1,5}|[A-Za-z])[.)]|\d{1,2}(?:\.\d{1,2}){1,3}\.?|§", re.UNICODE
)


def _opens_item(sign: str, following: str) -> bool:
    return _ITEM_SIGN.fullmatch(sign) is not None and following[:2].isalpha()


def split_segments(row: Sequence[Word], strips: Sequence[Strip] = ()) -> list[Segment]:
    """Cut a line at white strips and at its wide gaps: wider than a font size and than its usual blank."""
    gaps = [right.x0 - left.x1 for left, right in pairwise(row)]
    real = [gap for gap in gaps if gap > 0]
    usual = sorted(real)[len(real) // 4] if len(real) >= 4 else 0.0
    segments: list[list[Word]] = [[row[0]]]
    for (left, right), gap in zip(pairwise(row), gaps, strict=True):
        size = max(min(left.size, right.size), 4.0)
        wide = gap > max(size, min(1.9 * usual, 2.2 * size))
        leader = is_leader(left) or is_leader(right)
        if left is row[0] and gap < 7 * size and _opens_item(left.text, right.text):
            segments[-1].append(right)  # a number or bullet set out before its clause
            continue
        middle = (right.top + right.bottom) / 2
        if any(left.x1 <= strip.x <= right.x0 and strip.top <= middle <= strip.bottom for strip in strips):
            segments.append([right])
            continue
        if wide and not right.mark and not (leader and gap < 3 * size):
            segments.append([right])
        else:
            segments[-1].append(right)
    return [Segment(words) for words in segments]


def shared_strips(words: Sequence[Word]) -> list[Strip]:
    """Strips that nearly all lines of a table leave free, however narrow: half a font size is enough between cells."""
    rows = group_lines(word for word in words if not word.turned)
    if len(rows) < 3:
        return []
    size = median(word.size for row in rows for word in row)
    top, bottom = min(word.top for word in words), max(word.bottom for word in words)
    places = sorted(
        (left.x1 + right.x0) / 2 for row in rows for left, right in pairwise(row) if right.x0 - left.x1 > 0.45 * size
    )
    found: list[Strip] = []
    for place in places:
        if found and place - found[-1].x < 0.5 * size:
            continue
        crossing = sum(any(w.x0 < place - 0.15 * size and w.x1 > place + 0.15 * size for w in row) for row in rows)
        if crossing <= 0.25 * len(rows) and sum(_gap_at(row, place) > 0.45 * size for row in rows) >= 3:
            found.append(Strip(place, top, bottom))
    return found


def _gap_at(row: Sequence[Word], place: float) -> float:
    """The white at this place of a line that has words on both sides of it, else 0."""
    left = max((word.x1 for word in row if word.x1 <= place), default=None)
    right = min((word.x0 for word in row if word.x0 >= place), default=None)
    return right - left if left is not None and right is not None else 0.0


def make_lines(words: Iterable[Word], strips: Sequence[Strip] = ()) -> list[Line]:
    """Lines of a region, top down, each cut into segments."""
    given = list(words)
    strips = [*strips, *white_strips(given)]
    return [Line(split_segments(row, strips)) for row in group_lines(given)]


def rebuild_lines(segments: Iterable[Segment]) -> list[Line]:
    """Lines again from segments, after some of their neighbours went to another column."""
    kept = list(segments)
    lines: list[list[Segment]] = []
    for segment in sorted(kept, key=lambda segment: (segment.middle, segment.x0)):
        for line in reversed(lines[-4:]):
            other = line[-1]
            low = min(segment.bottom - segment.top, other.bottom - other.top)
            if abs(segment.middle - other.middle) < 0.45 * low and all(
                segment.x0 >= part.x1 - 1 or segment.x1 <= part.x0 + 1 for part in line
            ):
                line.append(segment)
                break
        else:
            lines.append([segment])
    return [Line(sorted(line, key=lambda segment: segment.x0)) for line in lines]
