"""Scales, ticks, the width of text and the placing of labels: what the charts share. Lengths are SVG user units."""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

# Advance widths in em of a common sans serif, on the wide side, so that estimated text is never wider than its box.
_NARROW = "iljtfrI.,:;'|!()[] "
_WIDE = "mwMW@%—≈"


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """An upper estimate of the width of `text`; the fonts of the reader are not known."""
    em = 0.0
    for character in text:
        if character in _NARROW:
            em += 0.36
        elif character in _WIDE:
            em += 0.96
        elif character.isupper():
            em += 0.74
        elif ord(character) > 0x2E80:
            em += 1.05
        else:
            em += 0.62
    return em * size * (1.07 if bold else 1.0)


def shortened(text: str, size: float, width: float, *, bold: bool = False) -> str:
    """The text, cut with an ellipsis where it is wider than `width`."""
    if text_width(text, size, bold=bold) <= width:
        return text
    while text and text_width(text + "…", size, bold=bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def in_lines(text: str, size: float, width: float, most: int, *, bold: bool = False) -> list[str]:
    """The text broken at blanks into at most `most` lines of `width`; what is left over is cut with an ellipsis."""
    lines: list[str] = []
    current = ""
    for word in text.split():
        longer = f"{current} {word}".strip()
        if current and text_width(longer, size, bold=bold) > width:
            lines.append(current)
            current = word
        else:
            current = longer
    lines.append(current)
    if len(lines) > most:
        lines = [*lines[: most - 1], " ".join(lines[most - 1 :])]
    return [shortened(line, size, width, bold=bold) for line in lines]


@dataclass(frozen=True)
class Scale:
    """Linear map from values to positions, both ways."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float | Fraction | Decimal) -> float:
        share = (float(value) - self.low) / (self.high - self.low)
        return self.start + share * (self.end - self.start)

    def value_at(self, position: float) -> float:
        return self.low + (position - self.start) / (self.end - self.start) * (self.high - self.low)


@dataclass(frozen=True)
class LogScale:
    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float | Fraction | Decimal) -> float:
        share = math.log(float(value) / self.low) / math.log(self.high / self.low)
        return self.start + share * (self.end - self.start)


def nice_step(span: float, most: int) -> float:
    """The round step (1, 2, 2.5 or 5 times a power of ten) that cuts `span` into at most `most` parts."""
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    return next(step * power for step in (1, 2, 2.5, 5, 10) if step * power >= raw * (1 - 1e-9))


def ticks(low: float, high: float, step: float) -> list[float]:
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [number * step for number in range(first, last + 1)]


def log_ticks(low: float, high: float) -> list[float]:
    """1, 2 and 5 times the powers of ten within the range."""
    powers = range(math.floor(math.log10(low)) - 1, math.ceil(math.log10(high)) + 1)
    every = [digit * 10.0**power for power in powers for digit in (1, 2, 5)]
    return [value for value in every if low * (1 - 1e-9) <= value <= high * (1 + 1e-9)]


@dataclass(frozen=True)
class Rect:
    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        return self.x + self.width

    @property
    def bottom(self) -> float:
        return self.y + self.height

    def overlaps(self, other: "Rect", gap: float = 0.0) -> bool:
        return (
            self.x < other.right + gap
            and other.x < self.right + gap
            and self.y < other.bottom + gap
            and other.y < self.bottom + gap
        )

    def within(self, other: "Rect") -> bool:
        return self.x >= other.x and self.y >= other.y and self.right <= other.right and self.bottom <= other.bottom

    def nearest(self, x: float, y: float) -> tuple[float, float]:
        return min(max(x, self.x), self.right), min(max(y, self.y), self.bottom)


@dataclass(frozen=True)
class Line:
    x1: float
    y1: float
    x2: float
    y2: float

    @property
    def length(self) -> float:
        return math.hypot(self.x2 - self.x1, self.y2 - self.y1)

    @property
    def is_aslant(self) -> bool:
        across, down = abs(self.x2 - self.x1), abs(self.y2 - self.y1)
        return min(across, down) >= _ASLANT * max(across, down)

    def crosses(self, rect: Rect) -> bool:
        """Whether any part of the line lies within the rectangle (Liang and Barsky's clipping)."""
        enter, leave = 0.0, 1.0
        for move, room_low, room_high in (
            (self.x2 - self.x1, rect.x - self.x1, rect.right - self.x1),
            (self.y2 - self.y1, rect.y - self.y1, rect.bottom - self.y1),
        ):
            if move == 0:
                if room_low > 0 or room_high < 0:
                    return False
                continue
            first, last = sorted((room_low / move, room_high / move))
            enter, leave = max(enter, first), min(leave, last)
        return enter <= leave


@dataclass(frozen=True)
class Wanted:
    """A label of a size that belongs to a point."""

    x: float
    y: float
    width: float
    height: float


# The best side of a point comes first: up and to the right is outside a rectangle that grows from the origin.
_DIRECTIONS = (
    *((1, -1), (1, 0), (0, -1), (1, 1), (-1, -1), (-1, 1), (0, 1), (-1, 0)),
    *((0.5, -1), (1, -0.5), (-0.5, -1), (1, 0.5), (0.5, 1), (-1, -0.5), (-0.5, 1), (-1, 0.5)),
)
_RINGS = (9, 20, 34, 52, 74, 100, 130, 165, 205, 250, 300)
_GAP = 5.0
_FARNESS = 1.4
_CROSSED = 45.0  # what a leader through another label costs, in units of distance
_ASLANT = 0.2  # the least slope, either way
SHORT = 16.0  # below this a label needs no leader


def place(
    wanted: Sequence[Wanted],
    room: Rect,
    *,
    taken: Iterable[Rect] = (),
    avoid: Callable[[Rect], float] = lambda rect: 0.0,
) -> list[Rect | None]:
    """A box for every label near its point, none over another or over what is `taken`; None for one without room.

    `avoid` prices what a box would cover (marks, lines) in units of distance.
    """
    blocked = list(taken)
    boxes: list[Rect | None] = []
    for label in wanted:
        best: tuple[float, Rect] | None = None
        for ring in _RINGS:
            for rank, (across, down) in enumerate(_DIRECTIONS):
                box = _beside(label, across * ring, down * ring, across, down)
                if not box.within(room) or any(box.overlaps(other, _GAP) for other in blocked):
                    continue
                leader = leader_to(box, label.x, label.y)
                price = _FARNESS * leader.length + rank + avoid(box)
                if leader.length > SHORT:
                    price += _CROSSED * sum(leader.crosses(other) for other in blocked)
                if best is None or price < best[0]:
                    best = price, box
            if best is not None and best[0] < _FARNESS * ring:
                break
        if best is None:
            boxes.append(None)
            continue
        boxes.append(best[1])
        blocked.append(best[1])
    return boxes


def leader_to(box: Rect, x: float, y: float) -> Line:
    """The line from a point to the label it belongs to: straight to the nearest side when short, else aslant.

    A long line along an axis would read as an edge of something drawn.
    """
    near = box.nearest(x, y)
    line = Line(x, y, *near)
    if line.length <= SHORT:
        return line
    across = (box.x, box.x + box.width / 2, box.right)
    down = (box.y, box.y + box.height / 2, box.bottom)
    ends = [Line(x, y, to_x, to_y) for to_x in across for to_y in down if to_x in (box.x, box.right) or to_y != down[1]]
    return min((end for end in ends if end.is_aslant), key=lambda end: end.length, default=line)


def _beside(label: Wanted, dx: float, dy: float, across: float, down: float) -> Rect:
    left = label.x + dx - (0 if across > 0 else label.width if across < 0 else label.width / 2)
    top = label.y + dy - (0 if down > 0 else label.height if down < 0 else label.height / 2)
    return Rect(left, top, label.width, label.height)


def spread(centres: Sequence[float], sizes: Sequence[float], low: float, high: float, gap: float = 4.0) -> list[float]:
    """Centres moved as little as need be so that intervals of these sizes do not overlap between `low` and `high`."""
    order = sorted(range(len(centres)), key=lambda index: centres[index])
    placed = list(centres)
    edge = low
    for index in order:
        placed[index] = max(centres[index], edge + sizes[index] / 2)
        edge = placed[index] + sizes[index] / 2 + gap
    edge = high
    for index in reversed(order):
        placed[index] = min(placed[index], edge - sizes[index] / 2)
        edge = placed[index] - sizes[index] / 2 - gap
    return placed
