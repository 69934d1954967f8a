"""Pages without usable text -> the same words, read from the page's image; and the only judge of which pages those are.

Nothing heavy is imported before a page has to be read.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from importlib.util import find_spec
from math import cos, radians, sin
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel

from firstcap.extract.page import Origin, Word
from firstcap.extract.pdf import RawDocument, RawPage, Rule, ruled_grids
from firstcap.schema.evidence import Box
from firstcap.schema.terms import Reading

T = TypeVar("T")

INSTALL = 'install the reader of images: pip install "firstcap[ocr]"'
_NEEDED = ("rapidocr", "onnxruntime", "pypdfium2", "cv2")
_FEW_WORDS = 12  # beside an image that covers the page: a stamp or a page number laid over a scan
_COVERED = 0.5  # share of a page under images from which it may be a scan


@dataclass(frozen=True, slots=True)
class Tilt:
    """The turn that set a page upright: degrees anticlockwise about `x`, `y` (points from the page's top left)."""

    degrees: float
    x: float
    y: float

    def on_page(self, box: Box) -> Box:
        """The rectangle on the page as scanned that holds one of the upright image."""
        c, s = cos(radians(self.degrees)), sin(radians(self.degrees))
        corners = [
            (self.x + c * (x - self.x) - s * (y - self.y), self.y + s * (x - self.x) + c * (y - self.y))
            for x in (box.x0, box.x1)
            for y in (box.top, box.bottom)
        ]
        xs, ys = [round(x, 2) for x, _ in corners], [round(y, 2) for _, y in corners]
        return Box(page=box.page, x0=min(xs), top=min(ys), x1=max(xs), bottom=max(ys))


@dataclass(frozen=True, slots=True)
class ScannedPage:
    """What the image of one page says, as it stands upright: the page as scanned leans by `tilt`."""

    words: tuple[Word, ...]
    rules: tuple[Rule, ...]
    tilt: Tilt


def is_available() -> bool:
    """Whether the parts that read images are installed."""
    return all(find_spec(name) is not None for name in _NEEDED)


def wants_ocr(page: RawPage) -> bool:
    """A page whose words are not what an eye sees: none or almost none beside an image, or a hidden layer under one."""
    if not page.words:
        return page.image_area > 0.02
    if page.image_area < _COVERED:
        return False
    seen = sum(word.origin is Origin.TEXT for word in page.words)
    return page.unseen > 0.5 or seen < _FEW_WORDS


def read_pages(path: Path, pages: Sequence[int]) -> dict[int, ScannedPage]:
    """The words and ruling lines of these pages (numbers count from 1) out of their images.

    Words carry the origin OCR, boxes in points from the top left, and the confidence of their least sure sign.
    Raises ImportError where the parts that read images are not installed.
    """
    from firstcap.extract.raster import sheets
    from firstcap.extract.scanned import read_sheet

    read = {}
    for number, sheet in sheets(path, pages):
        height, width = sheet.gray.shape
        tilt = Tilt(sheet.degrees, width / 2 / sheet.scale, height / 2 / sheet.scale)
        read[number] = ScannedPage(tuple(read_sheet(sheet, number)), sheet.rules, tilt)
    return read


def with_scans_read(raw: RawDocument, path: Path) -> tuple[RawDocument, dict[int, Tilt]]:
    """The document with the words of its images in place of unusable text, and how far each such page leans."""
    wanted = [page.number for page in raw.pages if wants_ocr(page)]
    if not wanted or not is_available():
        return raw, {}
    read = read_pages(path, wanted)
    pages = tuple(_replaced(page, read[page.number]) if page.number in read else page for page in raw.pages)
    return replace(raw, pages=pages), {number: scan.tilt for number, scan in read.items() if scan.tilt.degrees}


def _replaced(page: RawPage, scan: ScannedPage) -> RawPage:
    if not scan.words:
        return page
    return replace(
        page, words=scan.words, rules=scan.rules, panels=(), grids=ruled_grids(scan.rules, ()), bullets=(), unseen=0.0
    )


def as_scanned(reading: Reading, tilts: Mapping[int, Tilt]) -> Reading:
    """The reading with every box back on the page as scanned, so that the strip shown is the strip meant."""
    return _turned_back(reading, tilts) if tilts else reading


def _turned_back(value: T, tilts: Mapping[int, Tilt]) -> T:
    moved: Any = value
    if isinstance(value, Box):
        moved = tilts[value.page].on_page(value) if value.page in tilts else value
    elif isinstance(value, BaseModel):
        moved = value.model_copy(
            update={name: _turned_back(getattr(value, name), tilts) for name in type(value).model_fields}
        )
    elif isinstance(value, tuple):
        moved = tuple(_turned_back(item, tilts) for item in value)
    result: T = moved
    return result
