"""The image of a page as a reader of letters needs it: upright, evenly lit, its ruling lines found and taken out.

The only importer of pypdfium2. Pixels run from the top left; `scale` is pixels to a PDF point.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import radians
from pathlib import Path

import cv2
import numpy as np
import pypdfium2
from numpy.typing import NDArray

from firstcap.extract.pdf import Rule

Gray = NDArray[np.uint8]
Mask = NDArray[np.bool_]

DPI = 200  # measured: 300 reads no better and takes longer
_STEEPEST = 6.0  # degrees of tilt that are looked for
_LEAST_TILT = 0.04  # degrees: less moves the end of a line by under half a pixel
_RULE_INCHES = 0.33  # the shortest stretch of dark pixels that is a ruling line rather than a letter
_RULE_THICK = 10  # pixels at 200 dpi: a heavy rule of 3.6 points
_BESIDE = 0.25  # the share of a ruling line's length that may have ink close beside it
_REACH = 7  # pixels from a ruling line within which a letter that crosses it is seen
_SOLID = 0.85  # the share of a heavy ruling line that is dark
_DUST = 14  # pixels: the same where its faint edge is counted too
_EDGE_TO_EDGE = 0.05  # the dark share of each eighth of a row that a scanner's own line runs through
_NEAR, _FOOT, _LETTER, _TALL = 9, 3, 6, 40  # pixels: how near, how level, how high a letter is that a stop follows
_SPECK = 5  # pixels: the largest patch that is dust and no stop


@dataclass(frozen=True, slots=True)
class Sheet:
    """One page's image, upright: `gray` evenly lit with white paper, `ink` what is printed, both without ruling lines.

    `degrees` is the turn, anticlockwise about the middle, that set it upright.
    """

    gray: Gray
    ink: Mask
    rules: tuple[Rule, ...]
    scale: float
    degrees: float


def drawn(path: Path, pages: Sequence[int]) -> Iterator[tuple[int, Gray, float]]:
    """The images of these pages (numbers count from 1) in grey, with pixels to a point; one at a time: each takes 4 MB.

    Raises OSError or pypdfium2.PdfiumError where the file or the page cannot be drawn.
    """
    document = pypdfium2.PdfDocument(path)
    try:
        for number in pages:
            page = document[number - 1]
            try:
                image = page.render(scale=DPI / 72, grayscale=True).to_numpy()
                gray = np.array(image if image.ndim == 2 else image[:, :, 0], dtype=np.uint8)
                scale = gray.shape[1] / page.get_width()
            finally:
                page.close()
            yield number, gray, scale
    finally:
        document.close()


def sheets(path: Path, pages: Sequence[int]) -> Iterator[tuple[int, Sheet]]:
    """The upright images of these pages, as `drawn` gives them."""
    for number, gray, scale in drawn(path, pages):
        yield number, sheet(gray, scale)


def sheet(gray: Gray, scale: float) -> Sheet:
    """An image made upright, evenly lit and free of ruling lines."""
    even = _without_scan_lines(_evenly_lit(gray))
    degrees = tilt_of(_ink(even))
    height, width = even.shape
    if degrees:
        matrix = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
        even = np.asarray(
            cv2.warpAffine(even, matrix, (width, height), flags=cv2.INTER_CUBIC, borderValue=(255.0,)), dtype=np.uint8
        )
    ink = _ink(even)
    across, down = _ruled(ink, horizontal=True), _ruled(ink, horizontal=False)
    rules = [*_rules(across, scale, horizontal=True), *_rules(down, scale, horizontal=False)]
    lines = _kept_apart(ink, across, down)
    clean = even.copy()
    clean[lines] = 255
    printed = _without_specks(ink & ~lines)
    clean[_dust(clean, printed)] = 255
    return Sheet(
        gray=clean,
        ink=printed,
        rules=tuple(rules),
        scale=scale,
        degrees=degrees,
    )


def _evenly_lit(gray: Gray) -> Gray:
    """The image over its own paper: shades of a lamp, a fold or a stain become white."""
    small = cv2.resize(gray, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA)
    paper = cv2.medianBlur(cv2.dilate(small, np.ones((9, 9), np.uint8)), 21)
    paper = cv2.resize(paper, (gray.shape[1], gray.shape[0]), interpolation=cv2.INTER_LINEAR)
    return np.asarray(cv2.divide(gray, np.maximum(paper, 1), scale=255), dtype=np.uint8)


def _without_scan_lines(gray: Gray) -> Gray:
    """The image without the thin lines that a dirty scanner or a fax machine draws from edge to edge."""
    ink = _ink(gray)
    edge = gray.shape[1] // 32  # no text stands so near the edge; a line that is not there stops short of it
    margins = np.minimum(ink[:, :edge].mean(axis=1), ink[:, -edge:].mean(axis=1))
    parts = [part.mean(axis=1) > _EDGE_TO_EDGE for part in np.array_split(ink, 8, axis=1)]
    rows = np.logical_and.reduce([margins > _EDGE_TO_EDGE, *parts])
    clean = gray.copy()
    for top, bottom in _stretches(rows):
        if bottom - top > 4 or top < 6 or bottom + 6 > len(gray):
            continue
        if max(margins[top - 6 : top - 2].max(), margins[bottom + 2 : bottom + 6].max()) > _EDGE_TO_EDGE / 2:
            continue  # the dark border of a copy
        free = ~(ink[top - 4 : top - 1].any(axis=0) | ink[bottom + 1 : bottom + 4].any(axis=0))
        clean[top - 1 : bottom + 1, free] = 255
    return clean


def _stretches(flags: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flags, [False])).astype(np.int8)))
    return [(int(start), int(stop)) for start, stop in zip(edges[::2], edges[1::2], strict=True)]


def _ink(gray: Gray) -> Mask:
    """What is darker than the paper, by Otsu's threshold kept within sense."""
    smooth = cv2.GaussianBlur(gray, (3, 3), 0)
    found, _ = cv2.threshold(smooth, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    return np.asarray(smooth < min(max(found, 110.0), 205.0))


def _without_specks(ink: Mask) -> Mask:
    """The ink without dust. A small patch at the foot of the ink to its left is a stop or a decimal point and stays."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    small = stats[:, cv2.CC_STAT_AREA] <= _SPECK
    small[0] = False
    if count < 2 or not small.any():
        return ink
    large = np.asarray(~small[labels]) & ink
    for index in np.nonzero(small)[0]:
        x, y, _, height = (int(value) for value in stats[index, :4])
        left = large[max(0, y + height - _TALL) : y + height + _TALL // 2, max(0, x - _NEAR) : x]
        rows = np.flatnonzero(left.any(axis=1))
        if len(rows) > _LETTER and abs(int(rows[-1]) + 1 - min(_TALL, y + height)) <= _FOOT:
            small[index] = False
    return np.asarray(~small[labels]) & ink


def _dust(gray: Gray, ink: Mask) -> Mask:
    """Grey patches too small for a stop, with a pixel around them: read, they would be stops."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats((gray < 215).astype(np.uint8), connectivity=8)
    small = stats[:, cv2.CC_STAT_AREA] <= _DUST
    small[np.unique(labels[ink])] = False
    small[0] = False
    if count < 2 or not small.any():
        return np.zeros_like(ink)
    return np.asarray(cv2.dilate(small[labels].astype(np.uint8), np.ones((3, 3), np.uint8)) > 0) & ~ink


def tilt_of(ink: Mask) -> float:
    """The turn, in degrees anticlockwise, after which an image's lines lie level: rows of ink are then sharpest."""
    rows, cols = np.nonzero(_without_specks(ink)[::2, ::2])
    if len(rows) < 200:
        return 0.0
    if len(rows) > 120_000:
        thin = len(rows) // 120_000 + 1
        rows, cols = rows[::thin], cols[::thin]

    def sharpness(degrees: float) -> float:
        level = rows - cols * np.tan(radians(degrees))
        counts = np.bincount((level - level.min()).astype(np.int64)).astype(float)
        return float(np.sum(np.diff(counts) ** 2))

    best = 0.0
    for reach, step in ((_STEEPEST, 0.25), (0.25, 0.05), (0.05, 0.01)):
        tried = [best + step * index for index in range(-round(reach / step), round(reach / step) + 1)]
        best = max(tried, key=lambda degrees: (sharpness(degrees), -abs(degrees)))
    return best if abs(best) >= _LEAST_TILT else 0.0


# --- ruling lines -----------------------------------------------------------------------------------------------------


def _ruled(ink: Mask, *, horizontal: bool) -> Mask:
    """The pixels of long thin dark stretches in one direction, small breaks bridged."""
    length = round(_RULE_INCHES * DPI)

    def along(size: int, across: int = 1) -> NDArray[np.uint8]:
        return np.ones((across, size) if horizontal else (size, across), np.uint8)

    thick = cv2.dilate(ink.astype(np.uint8), along(1, 3))
    bridged = cv2.morphologyEx(thick, cv2.MORPH_CLOSE, along(7))
    found = cv2.morphologyEx(bridged, cv2.MORPH_OPEN, along(length))
    count, labels, stats, _ = cv2.connectedComponentsWithStats(found, connectivity=8)
    long, thin = (
        (stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT])
        if horizontal
        else (stats[:, cv2.CC_STAT_HEIGHT], stats[:, cv2.CC_STAT_WIDTH])
    )
    mean = stats[:, cv2.CC_STAT_AREA] / np.maximum(long, 1)
    keep = (mean <= _RULE_THICK + 2) & (thin <= 2 * _RULE_THICK) & (long >= length) & (long >= 6 * mean)
    keep[0] = False
    for index in np.nonzero(keep)[0]:
        x, y, width, height = (int(value) for value in stats[index, :4])
        if mean[index] > 6:
            patch = ink[y : y + height, x : x + width] & (labels[y : y + height, x : x + width] == index)
            if patch.sum() < _SOLID * (mean[index] - 2) * long[index]:
                keep[index] = False  # small letters set close, filled up by the bridging
                continue
        upright, start, size, at, thickness = (ink, x, width, y, height) if horizontal else (ink.T, y, height, x, width)
        for low in (max(at - 6, 0), at + thickness):
            beside = upright[low : low + 6, start : start + size]
            if beside.size and beside.any(axis=0).mean() > _BESIDE:
                keep[index] = False  # the feet of letters look like a line, but the letters stand on them
    return np.asarray(keep[labels]) if count > 1 else np.zeros_like(ink)


def _rules(mask: Mask, scale: float, *, horizontal: bool) -> Iterator[Rule]:
    count, _, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    for index in range(1, count):
        x, y, width, height = (int(value) for value in stats[index, :4])
        middle_x, middle_y = (x + width / 2) / scale, (y + height / 2) / scale
        if horizontal:
            yield Rule(x / scale, middle_y, (x + width) / scale, middle_y)
        else:
            yield Rule(middle_x, y / scale, middle_x, (y + height) / scale)


def _kept_apart(ink: Mask, across: Mask, down: Mask) -> Mask:
    """The pixels of ruling lines, but not where a letter crosses the line: there is ink on both sides."""
    lines = np.zeros_like(ink)
    for mask, horizontal in ((across, True), (down, False)):
        wide = cv2.dilate(mask.astype(np.uint8), np.ones((3, 1) if horizontal else (1, 3), np.uint8)).astype(bool)
        other = (ink & ~(cv2.dilate((across | down).astype(np.uint8), np.ones((3, 3), np.uint8)) > 0)).astype(np.uint8)
        reach = np.ones((_REACH, 1) if horizontal else (1, _REACH), np.uint8)
        anchor = (0, reach.shape[0] - 1) if horizontal else (reach.shape[1] - 1, 0)
        before = cv2.dilate(other, reach, anchor=anchor) > 0
        after = cv2.dilate(other, reach, anchor=(0, 0)) > 0
        lines |= wide & ~(before & after)
    return lines
