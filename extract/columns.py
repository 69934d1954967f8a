"""Where a page's text runs in columns, and in which order they are read.

A region is cut at the gutter that parts the most text: what stands above it, the left side, the right side, what stands
below, and each part is cut again. A gutter is only a gutter between prose (or tables, panels): a table's own white
columns, with their short cells, are never cut.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median

from firstcap.extract.lines import Segment
from firstcap.extract.pdf import Rule


@dataclass(slots=True)
class Piece:
    """Anything that takes room on a page: a segment of text, or a finished region such as a table or a panel."""

    x0: float
    top: float
    x1: float
    bottom: float
    segment: Segment | None = None
    region: object | None = None

    @property
    def middle(self) -> float:
        return (self.top + self.bottom) / 2


def of_segment(segment: Segment) -> Piece:
    return Piece(segment.x0, segment.top, segment.x1, segment.bottom, segment=segment)


def _across(pieces: Sequence[Piece]) -> list[Rule]:
    """Headings that stand alone over sides which begin again level below them, as lines across the region."""
    found: list[Rule] = []
    x0, x1 = min(piece.x0 for piece in pieces), max(piece.x1 for piece in pieces)
    for piece in pieces:
        segment = piece.segment
        if segment is None or not all(word.bold for word in segment.words) or segment.count > 10:
            continue
        others = [other for other in pieces if other is not piece]
        if any(other.top < piece.bottom + 1 and other.bottom > piece.top - 1 for other in others):
            continue
        below = [other for other in others if other.top >= piece.bottom]
        if not below or not any(other.bottom <= piece.top for other in others):
            continue
        first = min(other.top for other in below)
        near = [other for other in below if other.top - first < 1.2 * segment.size]
        level = sorted(near, key=lambda other: other.x0)
        if len(level) > 1 and any(right.x0 > left.x1 for left, right in pairwise(level)):
            found += [Rule(x0 - 20, y, x1 + 20, y) for y in (piece.top, piece.bottom)]
    return found


@dataclass(slots=True)
class _Gutter:
    x: float
    top: float
    bottom: float
    worth: float


def read_order(pieces: Sequence[Piece], rules: Sequence[Rule] = ()) -> list[list[Piece]]:
    """Leaf regions in the order they are read; each holds pieces that stand under one another."""
    if not pieces:
        return []
    gutter = _best_gutter(pieces, [*rules, *_across(pieces)]) if len(pieces) > 1 else None
    if gutter is None:
        return [sorted(pieces, key=lambda piece: (piece.top, piece.x0))]
    above = [piece for piece in pieces if piece.middle < gutter.top]
    below = [piece for piece in pieces if piece.middle > gutter.bottom]
    within = [piece for piece in pieces if gutter.top <= piece.middle <= gutter.bottom]
    left = [piece for piece in within if (piece.x0 + piece.x1) / 2 < gutter.x]
    right = [piece for piece in within if (piece.x0 + piece.x1) / 2 >= gutter.x]
    if not left or not right:
        return [sorted(pieces, key=lambda piece: (piece.top, piece.x0))]
    ordered: list[list[Piece]] = []
    for part in (above, left, right, below):
        ordered.extend(read_order(part, rules))
    return ordered


def _best_gutter(pieces: Sequence[Piece], rules: Sequence[Rule]) -> _Gutter | None:
    sizes = [piece.segment.size for piece in pieces if piece.segment is not None]
    size = median(sizes) if sizes else 10.0
    edges = sorted({round(piece.x0, 1) for piece in pieces})
    candidates: list[float] = []
    for edge in edges:
        if not candidates or edge - candidates[-1] > 1.5:
            candidates.append(edge)
    best: _Gutter | None = None
    for edge in candidates[1:]:
        x = edge - 1.0
        for top, bottom in _free(pieces, rules, x):
            found = _gutter(pieces, x, top, bottom, size)
            if found is not None and (best is None or found.worth > best.worth):
                best = found
    return best


def _free(pieces: Sequence[Piece], rules: Sequence[Rule], x: float) -> list[tuple[float, float]]:
    """The stretches of height where nothing printed crosses x."""
    blocked = [(piece.top, piece.bottom) for piece in pieces if piece.x0 < x - 0.2 and piece.x1 > x + 0.2]
    blocked += [(rule.top, rule.bottom) for rule in rules if rule.horizontal and rule.x0 < x - 8 and rule.x1 > x + 8]
    blocked.sort()
    free: list[tuple[float, float]] = []
    reached = float("-inf")
    for top, bottom in blocked:
        if top > reached:
            free.append((reached, top))
        reached = max(reached, bottom)
    free.append((reached, float("inf")))
    return free


def _gutter(pieces: Sequence[Piece], x: float, top: float, bottom: float, size: float) -> _Gutter | None:
    within = [piece for piece in pieces if top <= piece.middle <= bottom]
    left = [piece for piece in within if (piece.x0 + piece.x1) / 2 < x]
    right = [piece for piece in within if (piece.x0 + piece.x1) / 2 >= x]
    if not left or not right:
        return None
    left, right = _trimmed(left, right)
    within = left + right
    if min(piece.x0 for piece in right) - max(piece.x1 for piece in left) < max(5.0, 0.7 * size):
        return None
    shared = min(max(piece.bottom for piece in left), max(piece.bottom for piece in right)) - max(
        min(piece.top for piece in left), min(piece.top for piece in right)
    )
    if shared < 1.5 * size:
        return None
    lists = _is_headed_list(left) and _is_headed_list(right)
    if not lists and not (_is_prose(left) and _is_prose(right)):
        return None
    start, end = min(piece.top for piece in within), max(piece.bottom for piece in within)
    return _Gutter(x, start, end, worth=shared * min(_weight(left), _weight(right)))


def _trimmed(left: list[Piece], right: list[Piece]) -> tuple[list[Piece], list[Piece]]:
    """Leave out, at the foot of the longer side, a heading that belongs to what stands below both sides."""
    sides = [sorted(left, key=lambda piece: piece.bottom), sorted(right, key=lambda piece: piece.bottom)]
    _drop_masthead(sides[0], sides[1])
    for side, other in ((sides[0], sides[1]), (sides[1], sides[0])):
        regions = [piece for piece in side if piece.region is not None]
        rest = [piece for piece in side if piece.region is None]
        if regions and not _is_prose(rest):  # beside a panel stands only what begins above its foot
            foot = max(piece.bottom for piece in regions)
            side[:] = [piece for piece in side if piece.top < foot]
            other[:] = [piece for piece in other if piece.top < foot] or other[:1]
    boxed = all(any(piece.region is not None for piece in side) for side in sides)
    for side, other in ((sides[0], sides[1]), (sides[1], sides[0])):
        while len(side) > 1 and side[-1].top > other[-1].bottom and side[-1].segment is not None:
            segment = side[-1].segment
            if not boxed and not all(word.bold for word in segment.words):
                break
            side.pop()
    return sides[0], sides[1]


def _drop_masthead(left: list[Piece], right: list[Piece]) -> None:
    """Leave out a first line on the right that does not begin where its column does, with what stands beside it."""
    starts = sorted(piece.x0 for piece in right)
    edge = starts[len(starts) // 4]
    while len(right) > 3:
        first = min(right, key=lambda piece: piece.top)
        after = [piece for piece in right if piece is not first]
        if first.segment is None or first.x0 < edge + 1.5 * first.segment.size or first.segment.count > 14:
            return
        if min(piece.top for piece in after) < first.bottom + 0.1 * first.segment.size:
            return
        right.remove(first)
        for piece in [piece for piece in left if piece.middle <= first.bottom + 2]:
            if len(left) > 1:
                left.remove(piece)


def _weight(side: Sequence[Piece]) -> float:
    return sum((piece.x1 - piece.x0) * (piece.bottom - piece.top) for piece in side)


_STOPS = (".", ";", ":", "?", "!", ",")


def _is_prose(side: Sequence[Piece]) -> bool:
    """Running text rather than cells: its lines hold several words, end in stops, begin in mid-sentence."""
    if any(piece.region is not None for piece in side):
        return True
    segments = [piece.segment for piece in side if piece.segment is not None]
    if len(segments) < 3:
        return False
    words = sum(segment.count for segment in segments)
    full = [segment for segment in segments if segment.count >= 4 and _wordy(segment) >= 3]
    if len(full) < 2 or sum(segment.count for segment in full) < 0.55 * words:
        return False
    flows = sum(segment.words[0].text[:1].islower() for segment in segments)
    flows += sum(segment.words[-1].text.endswith(_STOPS) for segment in segments)
    flows += sum(segment.words[-1].text.endswith("-") for segment in segments)
    capitals = sum(segment.text.isupper() for segment in segments)
    return flows >= max(2, 0.3 * (len(segments) - capitals))


def _is_headed_list(side: Sequence[Piece]) -> bool:
    """A bold heading alone on its line, and lines of two cells or more under it: a small table with its title."""
    lines: list[list[Piece]] = []
    for piece in sorted(side, key=lambda piece: piece.middle):
        if lines and piece.middle - lines[-1][0].middle < 0.4 * (piece.bottom - piece.top):
            lines[-1].append(piece)
        else:
            lines.append([piece])
    if len(lines) < 3 or len(lines[0]) != 1 or any(piece.segment is None for line in lines for piece in line):
        return False
    title = lines[0][0].segment
    bold = title is not None and all(word.bold for word in title.words)
    return bold and lines[0][0].x0 <= min(piece.x0 for piece in side) + 8 and sum(len(line) > 1 for line in lines) >= 2


def _wordy(segment: Segment) -> int:
    return sum(1 for word in segment.words if word.text[:1].isalpha() and len(word.text) > 1)
