"""One upright page image -> words with boxes: strips cut at blanks, signs joined to words, lines measured by their ink.

A full-width line is read in pieces, because recognition of a strip more than some twenty times as long as high
collapses; pieces are cut where a column of the image is blank, so that no sign is cut and table columns part.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from statistics import median

import numpy as np
from numpy.typing import NDArray

from firstcap.extract.letters import Sign, Strip, find_strips, read_strips
from firstcap.extract.page import Origin, Word
from firstcap.extract.raster import Gray, Mask, Sheet

Flags = NDArray[np.bool_]

_LONGEST = 12  # times its height: the longest piece that is read at once
_COLUMN = 1.3  # times its height: a blank that parts two cells rather than two words
_STEEP = 4.0  # degrees: text that leans more is a stamp or a signature, no line
_DOUBTFUL = 0.5  # the most a reading is trusted on which two looks differ
_DESCENDERS = frozenset("gjpqyQ,;()[]{}/|$§@çşţ_„µ")
_SMALL = frozenset("acemnorsuvwxz")
_ROUND = frozenset("-–—·•.,:;'\"‘’“”*°~^=+±×÷«»¹²³´`″′ªº™®©")


@dataclass(slots=True)
class _Piece:
    """A stretch of a line in pixels, and what it says; `x` of its signs counts from the page's left."""

    x0: int
    top: int
    x1: int
    bottom: int
    signs: list[Sign] = field(default_factory=list)

    @property
    def height(self) -> int:
        return self.bottom - self.top

    @property
    def text(self) -> str:
        return "".join(sign.text for sign in self.signs)

    @property
    def sure(self) -> float:
        return sum(sign.sure for sign in self.signs) / len(self.signs) if self.signs else 0.0


def read_sheet(sheet: Sheet, page: int) -> list[Word]:
    """The words of a sheet."""
    level: list[_Piece] = []
    words: list[Word] = []
    for strip in find_strips(sheet.gray):
        if abs(_lean(strip)) > _STEEP:
            continue
        level.extend(_pieces(sheet, *_bounds(strip, sheet.gray)))
    _read(sheet.gray, level)
    words.extend(_words(sheet, [piece for piece in level if piece.signs], page))
    return words


def _lean(strip: Strip) -> float:
    (x0, y0), (x1, y1) = strip.corners[0], strip.corners[1]
    (x3, y3), (x2, y2) = strip.corners[3], strip.corners[2]
    width, height = np.hypot(x1 - x0, y1 - y0), np.hypot(x3 - x0, y3 - y0)
    if width < 2.5 * height:
        return 0.0  # too short to tell
    return float(np.degrees(np.arctan2((y1 - y0) + (y2 - y3), (x1 - x0) + (x2 - x3))))


def _bounds(strip: Strip, gray: Gray) -> tuple[int, int, int, int]:
    xs, ys = [x for x, _ in strip.corners], [y for _, y in strip.corners]
    return (
        max(0, int(min(xs))),
        max(0, int(min(ys))),
        min(gray.shape[1], int(max(xs)) + 1),
        min(gray.shape[0], int(max(ys)) + 1),
    )


# --- strips to pieces -------------------------------------------------------------------------------------------------


def _inked(ink: Mask, axis: int) -> Flags:
    """Which columns (axis 0) or rows (axis 1) carry ink."""
    return np.asarray(ink.any(axis=axis))


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """Start and end of each stretch of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return [(int(start), int(stop)) for start, stop in zip(edges[::2], edges[1::2], strict=True)]


def _pieces(sheet: Sheet, x0: int, top: int, x1: int, bottom: int) -> list[_Piece]:
    """A strip as pieces of one line and of a length that can be read."""
    found: list[_Piece] = []
    for upper, lower in _lines(sheet.ink[top:bottom, x0:x1]):
        height = lower - upper
        columns = _inked(sheet.ink[top + upper : top + lower, x0:x1], 0)
        for start, stop in _stretches(columns, height):
            margin = max(2, height // 8)
            left, right = max(x0 + start - margin, 0), min(x0 + stop + margin, sheet.gray.shape[1])
            found.append(_Piece(left, top + upper, right, top + lower))
    return found


def _lines(ink: Mask) -> list[tuple[int, int]]:
    """The lines of a strip: two that detection took for one are parted by blank rows between equal heights."""
    height = ink.shape[0]
    if height < 44:
        return [(0, height)]
    rows = _runs(_inked(ink, 1))
    tall = [run for run in rows if run[1] - run[0] >= 12]
    if len(tall) < 2 or min(b - a for a, b in tall) < 0.6 * max(b - a for a, b in tall):
        return [(0, height)]
    cuts = [0, *((first[1] + second[0]) // 2 for first, second in pairwise(tall)), height]
    return [
        (max(low, run[0] - 5), min(high, run[1] + 5)) for (low, high), run in zip(pairwise(cuts), tall, strict=True)
    ]


def _stretches(columns: Flags, height: int) -> list[tuple[int, int]]:
    """Inked stretches, parted at wide blanks and, where too long to read at once, at the widest blank near the end."""
    inked = _runs(columns)
    if not inked:
        return []
    cells: list[list[tuple[int, int]]] = [[inked[0]]]
    for run in inked[1:]:
        if run[0] - cells[-1][-1][1] > _COLUMN * height:
            cells.append([run])
        else:
            cells[-1].append(run)
    found = []
    for cell in cells:
        while cell[-1][1] - cell[0][0] > _LONGEST * height:
            reach = cell[0][0] + _LONGEST * height
            choices = [
                (second[0] - first[1], index + 1)
                for index, (first, second) in enumerate(pairwise(cell))
                if cell[0][0] + 0.45 * _LONGEST * height < first[1] <= reach
            ]
            if not choices:
                break
            _, cut = max(choices)
            found.append((cell[0][0], cell[cut - 1][1]))
            cell = cell[cut:]
        found.append((cell[0][0], cell[-1][1]))
    return found


def _read(gray: Gray, pieces: Sequence[_Piece]) -> None:
    crops = [gray[piece.top : piece.bottom, piece.x0 : piece.x1] for piece in pieces]
    for piece, signs in zip(pieces, read_strips(crops), strict=True):
        piece.signs = [replace(sign, x=sign.x + piece.x0) for sign in signs]


# --- signs to words ---------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Made:
    """A word in pixels, before its line's baseline and size are known."""

    signs: list[Sign]
    x0: float
    x1: float
    piece: _Piece


def _words(sheet: Sheet, pieces: Sequence[_Piece], page: int) -> list[Word]:
    found: list[Word] = []
    for piece in pieces:
        made = _made(sheet, piece)
        base, size = _measured(sheet, piece)
        for word in made:
            text = "".join(sign.text for sign in word.signs)
            found.append(
                Word(
                    text=text,
                    page=page,
                    x0=round(word.x0 / sheet.scale, 2),
                    top=round((base - 0.8 * size) / sheet.scale, 2),
                    x1=round(word.x1 / sheet.scale, 2),
                    bottom=round((base + 0.2 * size) / sheet.scale, 2),
                    size=round(size / sheet.scale, 2),
                    origin=Origin.OCR,
                    confidence=round(min(sign.sure for sign in word.signs), 3),
                )
            )
    return found


def _made(sheet: Sheet, piece: _Piece) -> list[_Made]:
    """The words of a piece: parted where a blank is read or seen, with edges where their ink begins and ends."""
    columns = _inked(sheet.ink[piece.top : piece.bottom, piece.x0 : piece.x1], 0)
    signs = [sign for sign in piece.signs if sign.text != " "]
    if not signs:
        return []
    spaced = []
    previous: Sign | None = None
    for sign in piece.signs:
        if sign.text == " ":
            previous = None
        else:
            spaced.append(previous is None)
            previous = sign
    blanks = [_blank(columns, int(a.x) - piece.x0, int(b.x) - piece.x0) for a, b in pairwise(signs)]
    read = [high - low for (low, high), space in zip(blanks, spaced[1:], strict=True) if space]
    usual = median(read) if read else 0.3 * piece.height
    inked = np.flatnonzero(columns)
    left, right = (int(inked[0]), int(inked[-1]) + 1) if len(inked) else (0, piece.x1 - piece.x0)
    words = [_Made([signs[0]], float(piece.x0 + left), float(piece.x0 + right), piece)]
    for (first, second), (low, high), space in zip(pairwise(signs), blanks, spaced[1:], strict=True):
        gap = high - low
        figures = first.text in "0123456789.,/" and second.text in "0123456789.,/"
        if space and figures and gap < 0.5 * usual and gap < 0.14 * piece.height:
            space = False
        elif not space and gap > max(0.8 * usual, 0.26 * piece.height):
            space = True
        if space:
            words[-1].x1 = float(piece.x0 + low)
            words.append(_Made([second], float(piece.x0 + high), float(piece.x0 + right), piece))
        else:
            words[-1].signs.append(second)
    return words


def _blank(columns: Flags, start: int, stop: int) -> tuple[int, int]:
    """The widest blank between two places of a line; their middle, with no width, where there is none."""
    start, stop = max(start, 0), min(max(stop, start + 1), len(columns))
    blank = _runs(~columns[start:stop])
    if not blank:
        middle = (start + stop) // 2
        return middle, middle
    low, high = max(blank, key=lambda run: run[1] - run[0])
    return start + low, start + high


def _measured(sheet: Sheet, piece: _Piece) -> tuple[float, float]:
    """Baseline and font size in pixels, from the ink of signs whose shape is known."""
    ink = sheet.ink[piece.top : piece.bottom, piece.x0 : piece.x1]
    feet: list[int] = []
    sizes: list[float] = []
    signs = [sign for sign in piece.signs if sign.text != " "]
    for index, sign in enumerate(signs):
        if sign.text in _ROUND:
            continue
        low = (signs[index - 1].x + sign.x) / 2 if index else sign.x - 0.4 * piece.height
        high = (signs[index + 1].x + sign.x) / 2 if index + 1 < len(signs) else sign.x + 0.4 * piece.height
        rows = np.flatnonzero(ink[:, max(0, int(low) - piece.x0) : max(1, int(high) - piece.x0)].any(axis=1))
        if not len(rows):
            continue
        if sign.text in _DESCENDERS or sign.text in "ij":
            continue
        body = max(np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1), key=len)
        top, foot = int(body[0]), int(body[-1]) + 1
        feet.append(foot)
        share = 0.48 if sign.text in _SMALL else 0.7
        sizes.append((foot - top) / share)
    if not feet:
        return piece.bottom - 0.22 * piece.height, 0.72 * piece.height
    return piece.top + median(feet), median(sizes)
