"""One upright page image -> words with boxes: strips cut at blanks, signs joined to words, lines measured by their ink.

A full-width line is read in pieces, because recognition of a strip more than some twenty times as long as high
collapses; pieces are cut where a column of the image is blank, so that no sign is cut and table columns part.
Numbers are read twice, and ink that no word covers is looked at again: a lost line is worse than a slow page.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from statistics import mean, median

import cv2
import numpy as np
from numpy.typing import NDArray

from firstcap.extract import glyphs
from firstcap.extract.letters import Sign, Strip, find_strips, read_strips
from firstcap.extract.page import ONE_SIGN, Origin, Word
from firstcap.extract.raster import Gray, Mask, Sheet
from firstcap.extract.second_reader import read_figures, same_figures

Flags = NDArray[np.bool_]
Bounds = tuple[int, int, int, int]  # x0, top, x1, bottom in pixels

_LONGEST = 12  # times its height: the longest piece that is read at once
_COLUMN = 1.3  # times its height: a blank that parts two cells rather than two words
_STEEP = 4.0  # degrees: text that leans more is a stamp or a signature, no line
_DOUBTFUL = 0.5  # the most a number is trusted on which two looks differ
_OTHER_SIGN = 0.05  # from which the runner-up counts where comma and point are at stake
_LEGIBLE = 0.5  # the mean of its signs below which a piece is a stain or a picture
_LEGIBLE_AGAIN = 0.75  # the same for ink that was looked at again
_OWN_LINE = 10  # signs: the least ink looked at again says where it stands on no known line
_DESCENDERS = frozenset("gjpqyQ,;()[]{}/|$§@çşţ_„µ")
_SMALL = frozenset("acemnorsuvwxz")
_SHAPELESS = frozenset("ijt-–—·•.,:;'\"‘’“”*°~^=+±×÷«»¹²³´`″′ªº™®©†‡")
_MAY_BE_RAISED = frozenset("0123456789")
_BROKEN = 3  # pixels: a gap that a thin stroke may leave within a sign
_SAME_SIZE = 0.095  # a pixel of ink at the size of small print
_SPREAD = 1.3  # pixels that blur adds to the width of a stroke
_BOLD = 1.25  # times the usual stroke
_FIGURES = frozenset("0123456789.,/-–")
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:[.,]\d{3})+(?!\d)")


@dataclass(slots=True)
class _Piece:
    """A stretch of a line in pixels, and what it says; `x` of its signs counts from the page's left."""

    x0: int
    top: int
    x1: int
    bottom: int
    signs: list[Sign] = field(default_factory=list)
    turned: int = 0

    @property
    def height(self) -> int:
        return self.bottom - self.top

    @property
    def sure(self) -> float:
        return sum(sign.sure for sign in self.signs) / len(self.signs) if self.signs else 0.0

    def ink(self, sheet: Sheet) -> Mask:
        return sheet.ink[self.top : self.bottom, self.x0 : self.x1]


def read_sheet(sheet: Sheet, page: int) -> list[Word]:
    """The words of a sheet."""
    level: list[Bounds] = []
    leaning: list[Strip] = []
    tall: list[Bounds] = []
    for strip in find_strips(sheet.gray):
        bounds = _bounds(strip, sheet.gray)
        if abs(_lean(strip)) > _STEEP:
            leaning.append(strip)
        elif bounds[3] - bounds[1] > 2.2 * (bounds[2] - bounds[0]) and bounds[3] - bounds[1] > 60:
            tall.append(bounds)
        else:
            level.append(bounds)
    pieces = [piece for bounds in _whole(level, sheet) for piece in _pieces(sheet, bounds)]
    _read(sheet.gray, pieces)
    pieces = [piece for piece in pieces if piece.sure >= _LEGIBLE]
    words = [*_words(sheet, pieces, page), *_turned(sheet, tall, page)]
    again, patches = _lost(sheet, words, leaning)
    words += _reread(sheet, again, words, page)
    words += _reread(sheet, _broken_lines(sheet, words, patches), words, page)
    words = separators_doubted(_second_look(sheet, _with_bold(sheet, _of_one_size(words))))
    return [*words, *_stamps(sheet, leaning, page)]


def _reread(sheet: Sheet, pieces: Sequence[_Piece], words: Sequence[Word], page: int) -> list[Word]:
    """Words of ink looked at again: a whole line of its own, or words on a line that is there already."""
    _read(sheet.gray, pieces)
    found: list[Word] = []
    for piece in pieces:
        if not _says_something(piece):
            continue
        new = _words(sheet, [piece], page)
        level = any(abs(_base(word) - _base(new[0])) < 0.15 * word.size for word in words if not word.turned)
        if level or sum(len(word.text) for word in new) >= _OWN_LINE:
            found += new
    return found


def _base(word: Word) -> float:
    return word.top + 0.8 * word.size


def _says_something(piece: _Piece) -> bool:
    text = "".join(sign.text for sign in piece.signs)
    return piece.sure >= _LEGIBLE_AGAIN and sum(char.isalnum() for char in text) >= max(1, 0.5 * len(text))


def _corners(strip: Strip) -> NDArray[np.float32]:
    return np.array(strip.corners, dtype=np.float32)


def _lean(strip: Strip) -> float:
    """Degrees by which a strip falls to the right; 0 for one too short to tell."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = strip.corners
    if np.hypot(x1 - x0, y1 - y0) < 2.0 * np.hypot(x3 - x0, y3 - y0):
        return 0.0
    return float(np.degrees(np.arctan2((y1 - y0) + (y2 - y3), (x1 - x0) + (x2 - x3))))


def _bounds(strip: Strip, gray: Gray) -> Bounds:
    xs, ys = [x for x, _ in strip.corners], [y for _, y in strip.corners]
    return (
        max(0, int(min(xs))),
        max(0, int(min(ys))),
        min(gray.shape[1], int(max(xs)) + 1),
        min(gray.shape[0], int(max(ys)) + 1),
    )


# --- strips to pieces -------------------------------------------------------------------------------------------------


def _whole(strips: Sequence[Bounds], sheet: Sheet) -> list[Bounds]:
    """Strips of one line with no gap between them are one: a stain or a stamp has broken the line within a word."""
    found: list[Bounds] = []
    for strip in sorted(strips):
        x0, top, x1, bottom = strip
        for index, (left, upper, right, lower) in enumerate(found):
            height = min(bottom - top, lower - upper)
            if (
                min(bottom, lower) - max(top, upper) > 0.6 * height
                and max(bottom - top, lower - upper) < 1.8 * height
                and x0 - right < 0.5 * height
                and not _ruled_between(sheet, (right + x0) / 2, (top + bottom) / 2, abs(x0 - right) / 2 + 0.3 * height)
            ):
                wider = (upper, lower) if right - left >= x1 - x0 else (top, bottom)
                found[index] = (left, wider[0], max(right, x1), wider[1])
                break
        else:
            found.append(strip)
    return found


def _ruled_between(sheet: Sheet, x: float, y: float, reach: float) -> bool:
    return any(
        not rule.horizontal
        and abs(rule.x0 * sheet.scale - x) <= reach
        and rule.top * sheet.scale <= y <= rule.bottom * sheet.scale
        for rule in sheet.rules
    )


def _inked(ink: Mask, axis: int) -> Flags:
    """Which columns (axis 0) or rows (axis 1) carry ink."""
    return np.asarray(ink.any(axis=axis))


def _runs(flags: Flags) -> list[tuple[int, int]]:
    """Start and end of each stretch of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return [(int(start), int(stop)) for start, stop in zip(edges[::2], edges[1::2], strict=True)]


def _pieces(sheet: Sheet, strip: Bounds) -> Iterator[_Piece]:
    """A strip as pieces of one line and of a length that can be read."""
    x0, top, x1, bottom = strip
    for upper, lower in _lines(sheet.ink[top:bottom, x0:x1]):
        height = lower - upper
        columns = _inked(sheet.ink[top + upper : top + lower, x0:x1], 0)
        for start, stop in _stretches(columns, height):
            margin = max(2, height // 8)
            left, right = max(x0 + start - margin, 0), min(x0 + stop + margin, sheet.gray.shape[1])
            yield _Piece(left, top + upper, right, top + lower)


def _lines(ink: Mask) -> list[tuple[int, int]]:
    """The lines of a strip: two that detection took for one are parted by blank rows between equal heights."""
    height = ink.shape[0]
    tall = [run for run in _runs(_inked(ink, 1)) if run[1] - run[0] >= 12]
    if height < 44 or len(tall) < 2 or min(b - a for a, b in tall) < 0.6 * max(b - a for a, b in tall):
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
            cut = _best_cut(cell, height)
            if not cut:
                break
            found.append((cell[0][0], cell[cut - 1][1]))
            cell = cell[cut:]
        found.append((cell[0][0], cell[-1][1]))
    return found


def _best_cut(cell: Sequence[tuple[int, int]], height: int) -> int:
    """Before which stretch of ink to cut: at the widest blank near the length wanted, or further off."""
    blanks = [
        (second[0] - first[1], (first[1] - cell[0][0]) / height, index)
        for index, (first, second) in enumerate(pairwise(cell), 1)
    ]
    for near, far, least in ((0.45, 1.0, 0.2), (0.2, 1.3, 0.2), (0.45, 1.0, 0.0)):
        choices = [
            (blank, index)
            for blank, place, index in blanks
            if near * _LONGEST < place <= far * _LONGEST and blank >= least * height
        ]
        if choices:
            return max(choices)[1]
    return 0


def _read(gray: Gray, pieces: Sequence[_Piece]) -> None:
    crops = [gray[piece.top : piece.bottom, piece.x0 : piece.x1] for piece in pieces]
    for piece, signs in zip(pieces, read_strips(crops), strict=True):
        piece.signs = [replace(sign, x=sign.x + piece.x0) for sign in signs]


# --- signs to words ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Shape:
    """How a line stands, in pixels: its baseline, its font size, and the rows each sign's ink fills (None: no ink)."""

    base: float
    size: float
    rows: tuple[tuple[int, int] | None, ...]


@dataclass(slots=True)
class _Made:
    """A word in pixels: places of its signs in the piece, left and right edge, and whether it is a footnote mark."""

    places: list[int]
    x0: float
    x1: float
    mark: bool = False


def _words(sheet: Sheet, pieces: Sequence[_Piece], page: int) -> list[Word]:
    found: list[Word] = []
    for piece in pieces:
        piece_signs = [sign for sign in piece.signs if sign.text != " "]
        if not piece_signs:
            continue
        shape = _shape(sheet, piece, piece_signs)
        for word in _parted(piece_signs, _made(sheet, piece, piece_signs), shape):
            text = "".join(glyphs.raised_digit(char) or glyphs.plain(char) for char in _text(piece_signs, word))
            if not text:
                continue
            size = 0.65 * shape.size if word.mark else shape.size
            base = shape.base - (0.33 * shape.size if word.mark else 0.0)
            found.append(
                Word(
                    text=text,
                    page=page,
                    x0=round(word.x0 / sheet.scale, 2),
                    top=round((base - 0.8 * size) / sheet.scale, 2),
                    x1=round(max(word.x1, word.x0 + 1) / sheet.scale, 2),
                    bottom=round((base + 0.2 * size) / sheet.scale, 2),
                    size=round(size / sheet.scale, 2),
                    mark=word.mark,
                    origin=Origin.OCR,
                    confidence=round(min(_sure(piece_signs[place]) for place in word.places), 3),
                )
            )
    return found


def _sure(sign: Sign) -> float:
    """How sure a sign is; a comma that may be a point, or the other way round, is little trusted."""
    either = sign.text in ".," and sign.other in ".," and sign.other_sure > _OTHER_SIGN
    return min(sign.sure, _DOUBTFUL) if either else sign.sure


def _text(signs: Sequence[Sign], word: _Made) -> str:
    return "".join(signs[place].text for place in word.places)


def _made(sheet: Sheet, piece: _Piece, signs: Sequence[Sign]) -> list[_Made]:
    """The words of a piece: parted where a blank is read or seen, with edges where their ink begins and ends."""
    columns = _inked(piece.ink(sheet), 0)
    spaced: list[bool] = []
    after_blank = True
    for sign in piece.signs:
        if sign.text != " ":
            spaced.append(after_blank)
        after_blank = sign.text == " "
    blanks = [_blank(columns, int(a.x) - piece.x0, int(b.x) - piece.x0) for a, b in pairwise(signs)]
    read = [high - low for (low, high), space in zip(blanks, spaced[1:], strict=True) if space]
    usual = median(read) if read else 0.3 * piece.height
    inked = np.flatnonzero(columns)
    left, right = (int(inked[0]), int(inked[-1]) + 1) if len(inked) else (0, piece.x1 - piece.x0)
    words = [_Made([0], float(piece.x0 + left), float(piece.x0 + right))]
    for place, (low, high) in enumerate(blanks, 1):
        gap, space = high - low, spaced[place]
        figures = signs[place - 1].text in _FIGURES and signs[place].text in _FIGURES
        if space and figures and gap < 0.5 * usual and gap < 0.14 * piece.height:
            space = False
        elif not space and gap > max(0.8 * usual, (0.5 if figures else 0.26) * piece.height):
            space = True
        if space:
            words[-1].x1 = float(piece.x0 + low)
            words.append(_Made([place], float(piece.x0 + high), float(piece.x0 + right)))
        else:
            words[-1].places.append(place)
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


def _shape(sheet: Sheet, piece: _Piece, signs: Sequence[Sign]) -> _Shape:
    """Baseline and font size from the ink of signs whose shape is known."""
    ink = piece.ink(sheet)
    rows: list[tuple[int, int] | None] = []
    feet: list[float] = []
    sizes: dict[bool, list[float]] = {True: [], False: []}
    for index, sign in enumerate(signs):
        low = (signs[index - 1].x + sign.x) / 2 if index else sign.x - 0.4 * piece.height
        high = (signs[index + 1].x + sign.x) / 2 if index + 1 < len(signs) else sign.x + 0.4 * piece.height
        filled = np.flatnonzero(_inked(ink[:, max(0, int(low) - piece.x0) : max(1, int(high) - piece.x0)], 1))
        if not len(filled):
            rows.append(None)
            continue
        body = max(np.split(filled, np.flatnonzero(np.diff(filled) > _BROKEN) + 1), key=len)
        top, foot = piece.top + int(body[0]), piece.top + int(body[-1]) + 1
        rows.append((top, foot))
        if sign.text not in _SHAPELESS and sign.text not in _DESCENDERS:
            feet.append(foot)
            small = sign.text in _SMALL
            sizes[small].append((foot - top) / (0.5 if small else 0.7))
    if not feet:
        return _Shape(piece.bottom - 0.22 * piece.height, 0.72 * piece.height, tuple(rows))
    # Blur adds the same to every sign, so tall ones say the size with the least error.
    return _Shape(_middle(feet), _middle(sizes[False] or sizes[True]), tuple(rows))


def _middle(values: Sequence[float]) -> float:
    """The mean of the middle half: finer than a pixel, and no stray sign counts."""
    ordered = sorted(values)
    cut = len(ordered) // 4
    return mean(ordered[cut : len(ordered) - cut])


def _parted(signs: Sequence[Sign], words: Sequence[_Made], shape: _Shape) -> Iterator[_Made]:
    """Words without their footnote marks, which stand alone; a fraction parts from the whole number before it."""
    for word in words:
        pending = word
        for count, place in enumerate(word.places):
            if not count or place not in pending.places[1:]:
                continue
            text = signs[place].text
            before = _text(signs, replace(pending, places=pending.places[: pending.places.index(place)]))
            raised = _is_raised(signs, place, shape)
            after = signs[place + 1].text if place + 1 in word.places else ""
            fraction = (glyphs.is_fraction(text) or (raised and after == "/")) and before[-1:].isdigit()
            if raised and glyphs.takes_power(before.rstrip(".,")) and text in "23²³":
                continue
            if fraction or (raised and before[-1:] != "/" and after != "/"):
                first, rest = _cut(signs, pending, place)
                yield first
                rest.mark = raised and not fraction
                if rest.mark and len(rest.places) > 1:
                    mark, tail = _cut(signs, rest, rest.places[1])
                    yield mark
                    tail.mark = False
                    rest = tail
                pending = rest
        yield pending


def _cut(signs: Sequence[Sign], word: _Made, place: int) -> tuple[_Made, _Made]:
    index = word.places.index(place)
    x = (signs[place - 1].x + signs[place].x) / 2
    return replace(word, places=word.places[:index], x1=x), replace(word, places=word.places[index:], x0=x)


def _is_raised(signs: Sequence[Sign], place: int, shape: _Shape) -> bool:
    text = signs[place].text
    if text in "¹²³*†‡":
        return True
    rows = shape.rows[place]
    if rows is None or text not in _MAY_BE_RAISED:
        return False
    top, foot = rows
    return foot < shape.base - 0.2 * shape.size and foot - top < 0.6 * shape.size


def _of_one_size(words: list[Word]) -> list[Word]:
    """Sizes that differ by a pixel of ink are one size: each goes to the commonest near it."""
    weights: dict[float, int] = {}
    for word in words:
        weights[word.size] = weights.get(word.size, 0) + len(word.text)
    heads: dict[float, float] = {}
    for size in sorted(weights, key=lambda size: -weights[size]):
        heads[size] = next((head for head in heads.values() if abs(size - head) < _SAME_SIZE * head), size)
    found = []
    for word in words:
        size = heads[word.size]
        base = word.top + 0.8 * word.size
        found.append(replace(word, size=size, top=round(base - 0.8 * size, 2), bottom=round(base + 0.2 * size, 2)))
    return found


def _with_bold(sheet: Sheet, words: list[Word]) -> list[Word]:
    """Words whose strokes are wider than the page's usual ones are bold; a word goes with its neighbours."""
    strokes = [_stroke(sheet, word) for word in words]
    letters = sorted((stroke, len(word.text)) for word, stroke in zip(words, strokes, strict=True))
    half, usual = sum(count for _, count in letters) / 2, 0.0
    for stroke, count in letters:
        half -= count
        usual = stroke
        if half <= 0:
            break
    sizes = sorted(word.size for word in words for _ in word.text)
    body = sizes[len(sizes) // 2] if sizes else 0.0
    heavy = [
        len(word.text) * (stroke - _BOLD * usual) if word.size > 0.85 * body else 0.0
        for word, stroke in zip(words, strokes, strict=True)
    ]
    found = []
    for index, word in enumerate(words):
        near = [
            (1.0 if other == index else 0.6) * heavy[other]
            for other in range(max(0, index - 1), min(len(words), index + 2))
            if abs(_base(words[other]) - _base(word)) < 0.2 * word.size
        ]
        found.append(replace(word, bold=sum(near) > 0))
    return found


def _stroke(sheet: Sheet, word: Word) -> float:
    """The mean width of a word's strokes across the line, as a share of its size."""
    size, base = word.size * sheet.scale, round(_base(word) * sheet.scale)
    ink = sheet.ink[
        max(0, round(base - 0.75 * size)) : base + 1, round(word.x0 * sheet.scale) : round(word.x1 * sheet.scale)
    ]
    if not ink.any():
        return 0.0
    starts = int(ink[:, 0].sum()) + int((~ink[:, :-1] & ink[:, 1:]).sum())
    return (float(ink.sum()) / starts - _SPREAD) / size


# --- text that does not lie level -------------------------------------------------------------------------------------


def _turned(sheet: Sheet, strips: Sequence[Bounds], page: int) -> list[Word]:
    """Words that climb or descend the page, as turned table headers do; digits one above the other stay level."""
    words: list[Word] = []
    for bounds in strips:
        x0, top, x1, bottom = bounds
        crop = sheet.gray[top:bottom, x0:x1]
        climbing, falling = read_strips([np.ascontiguousarray(np.rot90(crop, 3)), np.ascontiguousarray(np.rot90(crop))])
        level = list(_pieces(sheet, bounds))
        _read(sheet.gray, level)
        choices = [(_mean(climbing), 90, climbing), (_mean(falling), 270, falling)]
        sure, turned, signs = max(choices, key=lambda choice: choice[0])
        if len(signs) < 3 or sure < max(_LEGIBLE_AGAIN, *(piece.sure for piece in level)):
            words += _words(sheet, [piece for piece in level if piece.sure >= _LEGIBLE], page)
            continue
        length = bottom - top
        for text, start, end, least in _spelled(signs, length):
            low, high = (bottom - end, bottom - start) if turned == 90 else (top + start, top + end)
            words.append(
                Word(
                    text=text,
                    page=page,
                    x0=round(x0 / sheet.scale, 2),
                    top=round(low / sheet.scale, 2),
                    x1=round(x1 / sheet.scale, 2),
                    bottom=round(high / sheet.scale, 2),
                    size=round(0.75 * (x1 - x0) / sheet.scale, 2),
                    origin=Origin.OCR,
                    confidence=round(least, 3),
                    turned=turned,
                )
            )
    return words


def _mean(signs: Sequence[Sign]) -> float:
    return sum(sign.sure for sign in signs) / len(signs) if signs else 0.0


def _spelled(signs: Sequence[Sign], length: float) -> Iterator[tuple[str, float, float, float]]:
    """Words of a strip that is not measured by its ink: text, start, end, least sure sign."""
    start, group = 0.0, list[Sign]()
    for sign in [*signs, None]:
        if sign is not None and sign.text != " ":
            group.append(sign)
            continue
        end = sign.x if sign is not None else length
        if group:
            text = "".join(glyphs.plain(member.text) for member in group)
            yield text, start, end, min(member.sure for member in group)
        start, group = end, []


def _stamps(sheet: Sheet, strips: Sequence[Strip], page: int) -> list[Word]:
    """Leaning text, each strip one word: it is on the page, but belongs to no line."""
    crops = []
    for strip in strips:
        corners = _corners(strip)
        width = float(np.hypot(*(corners[1] - corners[0])))
        height = float(np.hypot(*(corners[3] - corners[0])))
        flat = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=np.float32)
        matrix = cv2.getPerspectiveTransform(corners, flat)
        size = (max(8, round(width)), max(8, round(height)))
        crops.append(np.asarray(cv2.warpPerspective(sheet.gray, matrix, size), dtype=np.uint8))
    words = []
    for strip, signs in zip(strips, read_strips(crops), strict=True):
        if _mean(signs) < _LEGIBLE:
            continue
        x0, top, x1, bottom = (value / sheet.scale for value in _bounds(strip, sheet.gray))
        words.append(
            Word(
                text="".join(glyphs.plain(sign.text) for sign in signs).strip(),
                page=page,
                x0=round(x0, 2),
                top=round(top, 2),
                x1=round(x1, 2),
                bottom=round(bottom, 2),
                size=round(0.5 * (bottom - top), 2),
                origin=Origin.OCR,
                confidence=round(min(sign.sure for sign in signs), 3),
                turned=45,
            )
        )
    return [word for word in words if word.text]


# --- nothing lost, no number taken on one look ------------------------------------------------------------------------


def _lost(sheet: Sheet, words: Sequence[Word], stamps: Sequence[Strip]) -> tuple[list[_Piece], list[Bounds]]:
    """Pieces of ink, of the height of text, that no word covers; and patches too high for text, which may hide some."""
    sizes = sorted(word.size for word in words)
    size = sizes[len(sizes) // 2] * sheet.scale if sizes else 0.15 * 72 * sheet.scale
    rest = sheet.ink.copy()
    for word in words:
        x0, top, x1, bottom = (round(value * sheet.scale) for value in (word.x0, word.top, word.x1, word.bottom))
        rest[max(0, top - 4) : bottom + 4, max(0, x0 - 4) : x1 + 4] = False
    for strip in stamps:
        x0, top, x1, bottom = _bounds(strip, sheet.gray)
        inside = np.zeros((bottom - top, x1 - x0), np.uint8)
        cv2.fillConvexPoly(inside, (_corners(strip) - (x0, top)).astype(np.int32), (1,))
        rest[top:bottom, x0:x1] &= inside == 0
    close = np.ones((3, max(3, round(0.45 * size))), np.uint8)
    count, _, stats, _ = cv2.connectedComponentsWithStats(
        cv2.morphologyEx(rest.astype(np.uint8), cv2.MORPH_CLOSE, close)
    )
    margin = round(0.25 * size)
    found: list[_Piece] = []
    tall: list[Bounds] = []
    for index in range(1, count):
        x, y, width, height, _ = (int(value) for value in stats[index])
        filled = int(rest[y : y + height, x : x + width].sum())
        if height >= 2.2 * size:
            tall.append((x, y, x + width, y + height))
        elif height > 0.4 * size and width > 0.25 * size and filled > 0.06 * size * size:
            found.extend(_pieces(sheet, _within(rest, x - margin, y - margin, x + width + margin, y + height + margin)))
    return found, [*tall, *(_bounds(strip, sheet.gray) for strip in stamps)]


def _broken_lines(sheet: Sheet, words: Sequence[Word], across: Sequence[Bounds]) -> list[_Piece]:
    """The rest of lines that a stamp or a stain has cut off: the ink in its band after its last word."""
    found: list[_Piece] = []
    for last in _line_ends(words):
        size = last.size * sheet.scale
        base, end = _base(last) * sheet.scale, round(last.x1 * sheet.scale)
        top, bottom = round(base - 0.85 * size), round(base + 0.3 * size)
        crossed = [box for box in across if box[1] < bottom and box[3] > top and box[0] - 3 * size < end < box[2]]
        if not crossed:
            continue
        right = max(word.x1 for word in words) * sheet.scale
        columns = _inked(sheet.ink[top:bottom, end + 2 : round(right) + 2], 0)
        stretches = _stretches(columns, bottom - top)
        if stretches and stretches[0][0] < 1.2 * size:
            left, stop = end + 2 + stretches[0][0], end + 2 + stretches[-1][1]
            found.extend(_pieces(sheet, _within(sheet.ink, left - 4, top, stop + 4, bottom)))
    return found


def _line_ends(words: Sequence[Word]) -> list[Word]:
    """The last word of each line."""
    ends: list[Word] = []
    for word in sorted((word for word in words if not word.turned and not word.mark), key=lambda word: word.x0):
        ends = [end for end in ends if abs(_base(end) - _base(word)) > 0.4 * word.size]
        ends.append(word)
    return ends


def _within(mask: Mask, x0: int, top: int, x1: int, bottom: int) -> Bounds:
    return max(0, x0), max(0, top), min(mask.shape[1], x1), min(mask.shape[0], bottom)


def _second_look(sheet: Sheet, words: list[Word]) -> list[Word]:
    """Every word with a figure is read again, alone, and by a second reader where there is one.

    Where the looks differ the first stands, little trusted; a figure that only one reader saw is no more than likely.
    """
    places = [index for index, word in enumerate(words) if not word.mark and any(char.isdigit() for char in word.text)]
    pieces = []
    for index in places:
        word = words[index]
        margin = 0.18 * word.size
        x0, top, x1, bottom = (
            round(value * sheet.scale)
            for value in (word.x0 - margin, word.top - margin, word.x1 + margin, word.bottom + margin)
        )
        pieces.append(_Piece(max(0, x0), max(0, top), min(sheet.gray.shape[1], x1), min(sheet.gray.shape[0], bottom)))
    _read(sheet.gray, pieces)
    seconds = read_figures([sheet.gray[piece.top : piece.bottom, piece.x0 : piece.x1] for piece in pieces])
    found = list(words)
    for index, piece, second in zip(places, pieces, seconds, strict=True):
        word = words[index]
        signs = [sign for sign in piece.signs if sign.text != " "]
        text = "".join(glyphs.raised_digit(sign.text) or glyphs.plain(sign.text) for sign in signs)
        if text.strip(".,;:'\"") != word.text.strip(".,;:'\"") or (second and not same_figures(word.text, second)):
            found[index] = replace(word, confidence=min(word.confidence, _DOUBTFUL))
        elif second is None:
            found[index] = replace(word, confidence=min(word.confidence, ONE_SIGN))
    return found


def separators_doubted(words: Sequence[Word]) -> list[Word]:
    """On a page that parts thousands by commas a point before three figures is a worn comma, or the other way round."""
    parted = [match.group() if (match := _THOUSANDS.search(word.text)) else "" for word in words]
    commas, points = sum("," in text for text in parted), sum("." in text for text in parted)
    if not (commas and points):
        return list(words)
    doubted = {"."} if commas > points else {","} if points > commas else {",", "."}
    return [
        replace(word, confidence=min(word.confidence, _DOUBTFUL)) if doubted & set(text) else word
        for word, text in zip(words, parted, strict=True)
    ]
