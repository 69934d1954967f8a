"""From the bytes of a PDF to pages of words with boxes, rules and panels. The only importer of pdfplumber and pdfminer.

Words are built here from the characters that pdfplumber's parser finds, because a word must know more than its letters:
baseline (a raised figure is a footnote mark, not another digit), fake bold (each character printed twice), direction of
running (turned table headers), and whether an eye sees it at all.
Whatever goes wrong inside the parser leaves this module as one of the errors of `firstcap.schema.errors`.
"""

import hashlib
import logging
import re
from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from io import BytesIO
from itertools import pairwise
from math import hypot
from pathlib import Path
from statistics import median
from types import SimpleNamespace
from typing import Any

import pdfplumber
from pdfminer.layout import LTChar, LTContainer, LTCurve, LTImage, LTLine, LTRect
from pdfminer.pdfdocument import PDFEncryptionError, PDFPasswordIncorrect, PDFTextExtractionNotAllowed
from pdfminer.pdfinterp import PDFPageInterpreter
from pdfplumber.page import PDFPageAggregatorWithMarkedContent
from pdfplumber.table import TableFinder

from firstcap.extract import glyphs
from firstcap.extract.page import Origin, Word
from firstcap.schema.errors import (
    DamagedError,
    DocumentError,
    EncryptedError,
    NoPagesError,
    NotAPdfError,
    TooManyPagesError,
)

logging.getLogger("pdfminer").setLevel(logging.ERROR)  # its warnings on odd fonts are no use to a reader of leaflets

Bounds = tuple[float, float, float, float]  # x0, top, x1, bottom


@dataclass(frozen=True, slots=True)
class Rule:
    """A printed line, horizontal or vertical, in points from the page's top left."""

    x0: float
    top: float
    x1: float
    bottom: float

    @property
    def horizontal(self) -> bool:
        return self.x1 - self.x0 >= self.bottom - self.top


@dataclass(frozen=True, slots=True)
class Panel:
    """A rectangle drawn on the page: a frame, a tinted field, or both."""

    x0: float
    top: float
    x1: float
    bottom: float
    framed: bool
    filled: bool


@dataclass(frozen=True, slots=True)
class RawPage:
    """One page as printed. `grids` are the ruled tables: for each, the boxes of its cells; `bullets` are
    small drawn dots and squares, as browsers print the signs of a list.

    `image_area` is the share of the page under images, `unseen` the share of words that lie beneath an image or are
    printed invisibly over one (the text layer of a scan), `unmapped` the share of characters whose font says no letter.
    """

    number: int
    width: float
    height: float
    words: tuple[Word, ...]
    rules: tuple[Rule, ...] = ()
    panels: tuple[Panel, ...] = ()
    grids: tuple[tuple[Bounds, ...], ...] = ()
    images: tuple[Bounds, ...] = ()
    bullets: tuple[Bounds, ...] = ()
    image_area: float = 0.0
    unseen: float = 0.0
    unmapped: float = 0.0
    rotated: int = 0


@dataclass(frozen=True, slots=True)
class RawDocument:
    """A PDF's pages of words; `sha256` of its bytes is the document's identity."""

    name: str
    sha256: str
    pages: tuple[RawPage, ...]
    metadata: dict[str, str] = field(default_factory=dict)


def open_document(path: Path, *, max_pages: int = 200, only: int | None = None) -> RawDocument:
    """Read every page of a PDF, or `only` the one of this number (they count from 1; no page where there is none).

    Raises NotAPdfError, EncryptedError, DamagedError (with the page where one is to blame), NoPagesError,
    TooManyPagesError; OSError where the file cannot be read at all.
    """
    name = path.name
    content = path.read_bytes()
    if b"%PDF-" not in content[:1024]:
        raise NotAPdfError("this is not a PDF (it does not begin with %PDF-); ask the sender for the PDF", file=name)
    try:
        pdf = pdfplumber.open(BytesIO(content))  # bytes, so that no file stays open behind an error
        count = len(pdf.pages)
        metadata = {str(key): str(value) for key, value in pdf.metadata.items() if isinstance(value, str | int)}
    except Exception as error:
        raise _translated(error, name, None) from error
    if count == 0:
        if b"%%EOF" not in content[-2048:]:
            raise _damaged(name, None)
        raise NoPagesError("the PDF has no pages; ask the sender for a complete copy", file=name)
    if count > max_pages:
        raise TooManyPagesError(
            f"the PDF has {count} pages, more than the limit of {max_pages}; split it or raise the limit", file=name
        )
    pages = tuple(_read(page, name) for number, page in enumerate(pdf.pages, 1) if only in (None, number))
    return RawDocument(name=name, sha256=hashlib.sha256(content).hexdigest(), pages=pages, metadata=metadata)


def _damaged(name: str, page: int | None) -> DamagedError:
    return DamagedError(
        "the PDF is damaged or cut short and cannot be read; ask for a fresh copy", file=name, page=page
    )


def _translated(error: BaseException, name: str, page: int | None) -> DocumentError:
    seen: set[int] = set()
    pending: list[BaseException] = [error]
    while pending:
        cause = pending.pop()
        if id(cause) in seen:
            continue
        seen.add(id(cause))
        if isinstance(cause, PDFPasswordIncorrect | PDFEncryptionError | PDFTextExtractionNotAllowed):
            return EncryptedError("the PDF is locked by a password; save an open copy and read that", file=name)
        pending.extend(inner for inner in (cause.__cause__, cause.__context__) if inner is not None)
        pending.extend(inner for inner in cause.args if isinstance(inner, BaseException))
    return _damaged(name, page)


# --- one page ---------------------------------------------------------------------------------------------------------


class _Device(PDFPageAggregatorWithMarkedContent):
    """pdfplumber's page device, which also notes what the parser drops: text mode, rise, and the order of painting."""

    mode = 0
    rise = 0.0

    def render_string(self, textstate: Any, seq: Any, ncs: Any, graphicstate: Any) -> None:
        self.mode = textstate.render
        self.rise = textstate.rise
        super().render_string(textstate, seq, ncs, graphicstate)

    def render_char(self, *args: Any, **kwargs: Any) -> float:
        advance: float = super().render_char(*args, **kwargs)
        if self.mode in (3, 7) or self.rise:
            item: Any = self.cur_item._objs[-1]
            item.unpainted = self.mode in (3, 7)
            item.rise = self.rise
        return advance


@dataclass(slots=True)
class _Char:
    """A character in its line's own frame: `start`..`end` along the line, `base` the baseline across it."""

    text: str
    start: float
    end: float
    base: float
    size: float
    turned: int
    font: str
    unseen: bool
    raised: bool = False


def _read(page: Any, name: str) -> RawPage:
    number = int(page.page_number)
    try:
        device = _Device(page.pdf.rsrcmgr, pageno=page.page_number, laparams=None)
        PDFPageInterpreter(page.pdf.rsrcmgr, device).process_page(page.page_obj)
        page._layout = device.get_result()
        return _page(page, number)
    except Exception as error:
        raise _translated(error, name, number) from error
    finally:
        page.close()


def _page(page: Any, number: int) -> RawPage:
    crop_x, crop_top, crop_x1, crop_bottom = (float(value) for value in page.cropbox)
    shift_x, shift_y = crop_x - float(page.mediabox[0]), crop_top - float(page.mediabox[1])
    width, height = crop_x1 - crop_x, crop_bottom - crop_top
    full_height = float(page.mediabox[3]) - float(page.mediabox[1])

    def placed(item: Any) -> Bounds:
        return (
            float(item.x0) - shift_x,
            full_height - float(item.y1) - shift_y,
            float(item.x1) - shift_x,
            full_height - float(item.y0) - shift_y,
        )

    chars: list[_Char] = []
    pale: list[tuple[_Char, Bounds]] = []
    images: list[Bounds] = []
    painted: list[Bounds] = []  # fields darker than white, painted so far
    rules: list[Rule] = []
    panels: list[Panel] = []
    bullets: list[Bounds] = []
    unmapped = total = 0
    order: list[tuple[int, Bounds]] = []  # characters' boxes, to see which an image covers later
    for item in _items(page._layout):
        if isinstance(item, LTChar):
            text = item.get_text()
            bounds = placed(item)
            if bounds[2] < 0 or bounds[0] > width or bounds[3] < 0 or bounds[1] > height:
                continue
            char = _char(item, text, shift_x, full_height - shift_y)
            if char is None:
                continue
            total += not text.isspace()
            unmapped += text.startswith("(cid:") or text == "\ufffd"
            char.unseen = bool(getattr(item, "unpainted", False))
            if not char.unseen and not text.isspace() and _is_white(item.graphicstate.ncolor):
                pale.append((char, bounds))
            order.append((len(chars), bounds))
            chars.append(char)
        elif isinstance(item, LTImage):
            box = placed(item)
            images.append(box)
            for index, bounds in order:
                if _inside(bounds, box):
                    chars[index].unseen = True
            painted.append(box)
        elif isinstance(item, LTCurve):
            box = placed(item)
            if item.fill and not _is_white(item.non_stroking_color):
                painted.append(box)
            if 1.2 <= box[2] - box[0] <= 7 and 1.2 <= box[3] - box[1] <= 7 and (item.fill or item.stroke):
                bullets.append(box)
            _note_path(item, box, rules, panels)
    page_area = max(width * height, 1.0)
    images = [_clipped(box, width, height) for box in images]
    image_area = min(1.0, sum((x1 - x0) * (bottom - top) for x0, top, x1, bottom in images) / page_area)
    hidden = _hidden(page, pale, painted, shift_x, shift_y) if pale else set()
    scan_layer = image_area > 0.3
    chars = [
        char
        for char in chars
        if id(char) not in hidden and char.size >= 1.0 and (scan_layer or not char.unseen or char.text.isspace())
    ]
    unseen = sum(char.unseen for char in chars if not char.text.isspace())
    visible = sum(1 for char in chars if not char.text.isspace())
    words = _words(chars, number)
    return RawPage(
        number=number,
        width=width,
        height=height,
        words=tuple(words),
        rules=tuple(rules),
        panels=tuple(panels),
        grids=ruled_grids(rules, panels),
        images=tuple(images),
        bullets=tuple(bullets),
        image_area=image_area,
        unseen=unseen / visible if visible else 0.0,
        unmapped=unmapped / total if total else 0.0,
        rotated=int(page.rotation or 0),
    )


def _items(layout: Any) -> Iterator[Any]:
    for item in layout._objs:
        if isinstance(item, LTContainer):
            yield from _items(item)
        else:
            yield item


def _char(item: Any, text: str, shift_x: float, height: float) -> _Char | None:
    a, b, c, d, e, f = item.matrix
    scale = hypot(a, b)
    rise = float(getattr(item, "rise", 0.0))
    if scale == 0:
        return None
    if abs(b) <= 0.3 * scale:
        turned = 0 if a > 0 else 180
    elif abs(a) <= 0.3 * scale:
        turned = 90 if b > 0 else 270
    else:
        turned = 45  # a watermark across the page
    size = float(item.width if turned in (90, 270) else item.height)
    x, y = float(e) - shift_x + rise * c, height - float(f) - rise * d
    x0, x1 = float(item.x0) - shift_x, float(item.x1) - shift_x
    top, bottom = height - float(item.y1), height - float(item.y0)
    if turned == 0:
        start, end, base = x0, x1, y
    elif turned == 90:
        start, end, base = -bottom, -top, x
    elif turned == 270:
        start, end, base = top, bottom, -x
    elif turned == 180:
        start, end, base = -x1, -x0, -y
    else:
        start, end, base = x0, x1, y
        size = float(item.fontsize) if hasattr(item, "fontsize") else hypot(c, d)
    return _Char(text, start, end, base, size, turned, str(item.fontname), unseen=False)


def _clipped(box: Bounds, width: float, height: float) -> Bounds:
    x0, top, x1, bottom = box
    x0, x1 = min(max(x0, 0.0), width), min(max(x1, 0.0), width)
    top, bottom = min(max(top, 0.0), height), min(max(bottom, 0.0), height)
    return (x0, top, x1, bottom)


def _inside(inner: Bounds, outer: Bounds) -> bool:
    x, y = (inner[0] + inner[2]) / 2, (inner[1] + inner[3]) / 2
    return outer[0] <= x <= outer[2] and outer[1] <= y <= outer[3]


def _is_white(color: Any) -> bool:
    """White or nearly so in grey, RGB or CMYK. A pattern or an unknown colour is not."""
    if isinstance(color, int | float):
        return float(color) > 0.96
    if isinstance(color, tuple | list) and color and all(isinstance(value, int | float) for value in color):
        if len(color) == 4:
            return all(value < 0.04 for value in color)
        return all(value > 0.96 for value in color)
    return False


def _hidden(page: Any, pale: list[tuple[_Char, Bounds]], painted: list[Bounds], dx: float, dy: float) -> set[int]:
    """White characters that nothing dark stands behind. Where no field explains them, the rendered page decides."""
    doubtful = [(char, box) for char, box in pale if not any(_inside(box, field) for field in painted)]
    if not doubtful:
        return set()
    try:
        image = page.to_image(resolution=72).original.convert("L")
    except Exception:  # a page that cannot be drawn still has text; keep what is there
        return set()
    hidden = set()
    for char, box in doubtful:
        frame = tuple(round(value) for value in (box[0] - 1, box[1] - 1, box[2] + 1, box[3] + 1))
        low, high = image.crop(frame).getextrema()
        if high - low < 24:
            hidden.add(id(char))
    return hidden


# --- rules, panels, ruled tables --------------------------------------------------------------------------------------

_THIN = 2.5  # points: a rectangle no thicker than this is a line


def _note_path(item: Any, box: Bounds, rules: list[Rule], panels: list[Panel]) -> None:
    x0, top, x1, bottom = box
    width, height = x1 - x0, bottom - top
    visible_fill = bool(item.fill) and not _is_white(item.non_stroking_color)
    visible_line = bool(item.stroke) and not _is_white(item.stroking_color)
    if not (visible_fill or visible_line):
        return
    if isinstance(item, LTLine) or height <= _THIN or width <= _THIN:
        if max(width, height) >= 3 and min(width, height) <= _THIN:
            rules.append(Rule(x0, top, x1, bottom))
        return
    if isinstance(item, LTRect):
        panels.append(Panel(x0, top, x1, bottom, framed=visible_line, filled=visible_fill))
        return
    points = list(item.pts)
    straight = [
        (first, second)
        for first, second in pairwise(points)
        if abs(first[0] - second[0]) < 0.5 or abs(first[1] - second[1]) < 0.5
    ]
    if width > 40 and height > 20 and len(points) >= 4 and straight:
        panels.append(Panel(x0, top, x1, bottom, framed=visible_line, filled=visible_fill))  # rounded corners


def _edge(x0: float, top: float, x1: float, bottom: float) -> dict[str, Any]:
    return {
        "x0": x0,
        "x1": x1,
        "top": top,
        "bottom": bottom,
        "width": x1 - x0,
        "height": bottom - top,
        "orientation": "h" if x1 - x0 >= bottom - top else "v",
        "object_type": "line",
    }


def _edges(rules: Sequence[Rule], panels: Sequence[Panel]) -> list[dict[str, Any]]:
    edges = []
    for rule in rules:
        x, y = (rule.x0 + rule.x1) / 2, (rule.top + rule.bottom) / 2
        edges.append(_edge(rule.x0, y, rule.x1, y) if rule.horizontal else _edge(x, rule.top, x, rule.bottom))
    for panel in panels:
        if panel.framed:
            edges.append(_edge(panel.x0, panel.top, panel.x1, panel.top))
            edges.append(_edge(panel.x0, panel.bottom, panel.x1, panel.bottom))
            edges.append(_edge(panel.x0, panel.top, panel.x0, panel.bottom))
            edges.append(_edge(panel.x1, panel.top, panel.x1, panel.bottom))
    return edges


def ruled_grids(rules: Sequence[Rule], panels: Sequence[Panel]) -> tuple[tuple[Bounds, ...], ...]:
    """The ruled tables of a page, as pdfplumber's TableFinder sees them: for each table the boxes of its cells."""
    edges = _edges(rules, panels)
    if sum(edge["orientation"] == "v" for edge in edges) < 2 or sum(edge["orientation"] == "h" for edge in edges) < 2:
        return ()
    page: Any = SimpleNamespace(edges=edges)  # all that the finder asks of a page
    finder = TableFinder(page, {"snap_tolerance": 2.0, "join_tolerance": 2.0})
    return tuple(tuple(tuple(float(v) for v in cell) for cell in table.cells) for table in finder.tables)  # type: ignore[misc]


# --- characters to words ----------------------------------------------------------------------------------------------

_DOTS = re.compile(r"[.·…_‥․]{3,}|[…‥]{2,}")
_TRAILING_SIGNS = re.compile(r"(?<=[\w)%\"'”’.])([*†‡§¶]{1,4})(?=[.,;:]?$)")
_NUMBER_THEN_BRACKET = re.compile(r"^([\d.,/-]*\d[%\"”]?)(\((?:\d|[a-z]|\*)\))$")


@dataclass(slots=True)
class _Piece:
    """A word under construction, in the frame of its line."""

    text: str
    start: float
    end: float
    base: float
    size: float
    turned: int
    font: str
    unseen: bool
    raised: bool = False
    mark: bool = False
    glued: bool = False  # no blank between it and the word before
    spaced: bool = True  # a blank is printed before it, or it opens its line


def _words(chars: list[_Char], page: int) -> list[Word]:
    _find_small_glyphs(chars)
    by_frame: dict[int, list[_Char]] = {}
    for char in chars:
        by_frame.setdefault(char.turned, []).append(char)
    words: list[Word] = []
    for turned, group in by_frame.items():
        pieces = _watermark(group) if turned == 45 else _pieces(group)
        words.extend(_finished(piece, page) for piece in pieces)
    return words


_MAY_BE_RAISED = frozenset("0123456789abcdefgh")


def _find_small_glyphs(chars: Sequence[_Char]) -> None:
    """Raised figures that a font draws at full size: only their width, against the font's own, tells them."""
    usual: dict[tuple[str, str], list[float]] = {}
    figures: dict[str, list[float]] = {}
    for char in chars:
        if char.text in _MAY_BE_RAISED and char.size > 0:
            width = (char.end - char.start) / char.size
            usual.setdefault((char.font, char.text), []).append(width)
            if char.text.isdigit():
                figures.setdefault(char.font, []).append(width)
    middle = {key: median(widths) for key, widths in usual.items()}
    tabular: dict[str, float] = {}
    for font, widths in figures.items():
        common = median(widths)
        if len(widths) >= 5 and sum(abs(width - common) < 0.03 * common for width in widths) >= 0.7 * len(widths):
            tabular[font] = common
    for char in chars:
        if char.text in _MAY_BE_RAISED and char.size > 0:
            width = (char.end - char.start) / char.size
            small = width < 0.8 * middle[(char.font, char.text)]
            char.raised = small or (char.text.isdigit() and width < 0.75 * tabular.get(char.font, 0.0))


def _watermark(chars: list[_Char]) -> list[_Piece]:
    """Text across the page, in the order it was drawn."""
    text = "".join(glyphs.plain(char.text) or "" for char in chars).strip()
    if not text:
        return []
    start, end = min(char.start for char in chars), max(char.end for char in chars)
    base = max(char.base for char in chars)
    return [_Piece(text, start, end, base, chars[0].size, 45, chars[0].font, chars[0].unseen)]


def _pieces(chars: list[_Char]) -> list[_Piece]:
    pieces: list[_Piece] = []
    for line in _baselines(chars):
        pieces.extend(_split_line(line))
    return _raised_words(pieces)


def _baselines(chars: list[_Char]) -> Iterator[list[_Char]]:
    """Characters that stand on one baseline, left to right, each printed once."""
    ordered = sorted(chars, key=lambda char: char.base)
    line: list[_Char] = []
    for char in ordered:
        if line and char.base - line[0].base > max(0.4, 0.08 * min(char.size, line[-1].size)):
            yield _once(line)
            line = []
        line.append(char)
    if line:
        yield _once(line)


def _once(line: list[_Char]) -> list[_Char]:
    """Fake bold prints each character again a hair to the right: the second is dropped."""
    line.sort(key=lambda char: char.start)
    kept: list[_Char] = []
    for char in line:
        double = False
        for earlier in reversed(kept[-3:]):
            if char.start - earlier.start > 0.3 * max(earlier.end - earlier.start, 0.1):
                break
            if earlier.text == char.text and not char.text.isspace():
                double = True
                break
        if not double:
            kept.append(char)
    return kept


def _split_line(line: list[_Char]) -> list[_Piece]:
    spaced = sum(char.text.isspace() for char in line) * 12 >= len(line)
    wide = 0.3 if spaced else 0.17
    pieces: list[_Piece] = []
    current: _Piece | None = None
    last: _Char | None = None
    blank = False
    for char in line:
        if char.text.isspace() or char.text == "":
            current = None
            blank = True
            continue
        text = glyphs.plain(char.text)
        sign = glyphs.raised_digit(char.text)
        text = sign or text
        raised = char.raised or sign is not None
        if not text:
            continue
        gap = char.start - last.end if last is not None else 0.0
        glued = last is not None and not blank and -0.5 * char.size < gap <= 0.12 * char.size
        apart = (
            current is None
            or last is None
            or gap > wide * max(char.size, last.size)
            or (gap > 0.18 * char.size and text.isupper() and (last.text.isdigit() or last.text in ".)"))
            or gap < -0.6 * char.size
            or raised != current.raised
            or (glyphs.is_fraction(char.text) and current.text[-1:].isdigit())
            or (not 0.85 < char.size / last.size < 1.18 and (text.isdigit() or text in glyphs.MARK_SIGNS))
        )
        if apart:
            current = _Piece(
                text, char.start, char.end, char.base, char.size, char.turned, char.font, char.unseen,
                raised=raised, glued=glued, spaced=blank or last is None,
            )  # fmt: skip
            pieces.append(current)
        else:
            assert current is not None
            current.text += text
            current.end = max(current.end, char.end)
            current.size = max(current.size, char.size)
        last = char
        blank = False
    return _unspaced(_leaders(pieces))


def _leaders(pieces: list[_Piece]) -> list[_Piece]:
    """Dot leaders as words of their own: "Register.....10" is three words."""
    found: list[_Piece] = []
    for piece in pieces:
        match = _DOTS.search(piece.text)
        if match is None or match.group() == piece.text:
            found.append(piece)
            continue
        cuts = [0, match.start(), match.end(), len(piece.text)]
        for low, high in pairwise(cuts):
            if low < high:
                found.append(_part(piece, low, high))
    return found


def _part(piece: _Piece, low: int, high: int) -> _Piece:
    step = (piece.end - piece.start) / max(len(piece.text), 1)
    return replace(
        piece, text=piece.text[low:high], start=piece.start + low * step, end=piece.start + high * step, glued=low > 0
    )


def _unspaced(pieces: list[_Piece]) -> list[_Piece]:
    """Letter-spaced words joined: "L U M E N" is one word. A gap much wider than the others parts two words."""
    found: list[_Piece] = []
    index = 0
    while index < len(pieces):
        stop = index
        while stop < len(pieces) and len(pieces[stop].text) == 1 and pieces[stop].text.isalpha():
            if stop > index and pieces[stop].start - pieces[stop - 1].end > 2.2 * pieces[stop].size:
                break
            stop += 1
        if stop - index < 4:
            found.append(pieces[index])
            index += 1
            continue
        run = pieces[index:stop]
        usual = median(right.start - left.end for left, right in pairwise(run))
        word = replace(run[0])
        for left, right in pairwise(run):
            if right.start - left.end > 1.7 * usual + 0.1 * right.size:
                found.append(word)
                word = replace(right)
            else:
                word.text += right.text
                word.end = right.end
        found.append(word)
        index = stop
    return found


def _raised_words(pieces: list[_Piece]) -> list[_Piece]:
    """Find the raised and lowered words and say of each: a mark, a power, an ordinal, or part of a fraction."""
    pieces.sort(key=lambda piece: (piece.base, piece.start))
    found: list[_Piece] = []
    taken: set[int] = set()
    largest = max((piece.size for piece in pieces), default=0.0)
    small = [piece for piece in pieces if len(piece.text) <= 5 and (piece.raised or piece.size < 0.97 * largest)]
    tall = [piece for piece in pieces if not piece.raised]
    bases = [piece.base for piece in tall]
    _join_fractions(pieces, taken)
    letters = any(piece.text in ("a", "b", "c") and _host(piece, tall, taken)[1] > 0 for piece in small)
    for piece in small:
        if id(piece) in taken:
            continue
        near = tall[bisect_left(bases, piece.base - 0.5 * largest) : bisect_right(bases, piece.base + 0.8 * largest)]
        host, shift = _host(piece, near, taken)
        if host is None:
            continue
        if shift < 0:  # lowered: Q₃
            if piece.text.isalnum():
                _absorb(host, piece, taken)
            continue
        if "/" in piece.text or host.text.endswith("/"):
            continue
        if piece.text in ("2", "3") and glyphs.takes_power(host.text.rstrip(_STOPS)):
            _absorb(host, piece, taken)
            _carry_on(host, piece, near, taken)
        elif piece.text.isdigit() and len(host.text) == 1 and host.text.isupper():
            _absorb(host, piece, taken)  # a lowered figure drawn as a small glyph: Q₃
            _carry_on(host, piece, near, taken)
        elif glyphs.is_ordinal(host.text, piece.text) and not (letters and piece.text == "e"):
            _absorb(host, piece, taken)
        elif glyphs.looks_like_mark(piece.text):
            piece.mark = True
            piece.text = glyphs.bare_mark(piece.text)
            _carry_on(host, piece, near, taken, stops_only=True)
    for piece in pieces:
        if id(piece) not in taken:
            found.extend(_without_signs(piece))
    return found


_STOPS = ".,;:)"


def _absorb(host: _Piece, piece: _Piece, taken: set[int]) -> None:
    stops = host.text[len(host.text.rstrip(_STOPS)) :] if piece.start < host.end - 0.1 * host.size else ""
    host.text = host.text[: len(host.text) - len(stops)] + piece.text + stops
    host.end = max(host.end, piece.end)
    taken.add(id(piece))


def _carry_on(host: _Piece, raised: _Piece, near: Sequence[_Piece], taken: set[int], stops_only: bool = False) -> None:
    """What is printed right after a raised figure, with no blank, still belongs to the word: "m³/h", "years¹,"."""
    for other in near:
        if other is host or other is raised or id(other) in taken or other.spaced:
            continue
        if (
            abs(other.base - host.base) > 0.05 * host.size
            or not -0.3 * host.size < other.start - raised.end < 0.25 * host.size
        ):
            continue
        if not stops_only or all(char in ".,;:)" for char in other.text):
            _absorb(host, other, taken)
        return


def _host(piece: _Piece, pieces: Sequence[_Piece], taken: set[int]) -> tuple[_Piece | None, float]:
    """The larger word a small one hangs on, and how far it is raised (positive) or lowered, in that word's sizes."""
    best: tuple[float, _Piece, float] | None = None
    for other in pieces:
        if other is piece or id(other) in taken:
            continue
        shift = (other.base - piece.base) / other.size
        raised = piece.raised or (
            0.12 < shift < 0.75 and piece.size < (0.97 if 0.25 < shift < 0.6 else 0.86) * other.size
        )
        lowered = piece.size < 0.86 * other.size and -0.45 < shift < -0.06
        if piece.raised and abs(shift) > 0.3:
            continue
        if not (raised or lowered):
            continue
        gap = piece.start - other.end
        if other.text[-1:] in _STOPS and -0.9 * other.size < gap < 0 and piece.start > other.start:
            gap = 0.0  # the word's own stop is printed after the mark: "guarantee¹."
        if not -0.25 * other.size < gap < 0.4 * other.size:
            after = other.start - piece.end  # the label that opens a footnote stands before its words
            if not (raised and -0.1 * other.size < after < 0.9 * other.size):
                continue
            gap = 5 + after
        if lowered and gap > 0.15 * other.size:
            continue
        if best is None or gap < best[0]:
            best = (gap, other, shift if not piece.raised else max(shift, 0.3))
    return (best[1], best[2]) if best else (None, 0.0)


def _join_fractions(pieces: list[_Piece], taken: set[int]) -> None:
    """A built-up fraction, raised 1 slash lowered 2, as one word "1/2"."""
    for piece in pieces:
        if piece.text not in ("/", "1/", "3/", "5/", "7/") or id(piece) in taken:
            continue
        near = [
            other
            for other in pieces
            if other is not piece and id(other) not in taken and abs(other.base - piece.base) < 0.6 * piece.size
        ]
        left = [
            o for o in near if o.text.isdigit() and len(o.text) <= 2 and abs(piece.start - o.end) < 0.2 * piece.size
        ]
        right = [
            o for o in near if o.text.isdigit() and len(o.text) <= 2 and abs(o.start - piece.end) < 0.2 * piece.size
        ]
        if not right or (piece.text == "/" and not left):
            continue
        lower = right[0]
        upper = min(left, key=lambda other: other.size) if left and piece.text == "/" else None
        if upper is not None:
            piece.text = upper.text + piece.text
            piece.start = upper.start
            taken.add(id(upper))
        _absorb(piece, lower, taken)
        piece.mark = False


def _without_signs(piece: _Piece) -> list[_Piece]:
    """Footnote signs glued to a word part from it: "20*", "10(2)"."""
    if piece.mark:
        return [piece]
    match = _TRAILING_SIGNS.search(piece.text)
    if match:
        word, sign = _part(piece, 0, match.start()), _part(piece, match.start(1), match.end(1))
        word.text += piece.text[match.end(1) :]
        sign.mark = True
        return [word, sign]
    match = _NUMBER_THEN_BRACKET.match(piece.text)
    if match:
        word, sign = _part(piece, 0, match.end(1)), _part(piece, match.start(2), match.end(2))
        sign.mark = True
        sign.text = glyphs.bare_mark(sign.text)
        return [word, sign]
    return [piece]


_BOLD = re.compile(
    r"bold|black|heavy|semibold|demi|[-,]bd\b|cmbx|sfbx|cmssbx|ecbx|lmroman\d+-bold|medi\b", re.IGNORECASE
)
_ITALIC = re.compile(r"ital|obliq|slant|[-,]it\b|cmti|cmsl|sfti|OI$", re.IGNORECASE)


def _finished(piece: _Piece, page: int) -> Word:
    """The word with its box back in the page's frame. Across the line the box is the font's body, not the ink."""
    ascent, descent = 0.8 * piece.size, 0.2 * piece.size
    if piece.raised:
        ascent, descent = 0.8 * piece.size, -0.3 * piece.size
    if piece.turned in (0, 45):
        x0, top, x1, bottom = piece.start, piece.base - ascent, piece.end, piece.base + descent
    elif piece.turned == 90:
        x0, top, x1, bottom = piece.base - ascent, -piece.end, piece.base + descent, -piece.start
    elif piece.turned == 270:
        x0, top, x1, bottom = -piece.base - descent, piece.start, -piece.base + ascent, piece.end
    else:
        x0, top, x1, bottom = -piece.end, -piece.base - descent, -piece.start, -piece.base + ascent
    return Word(
        text=piece.text[:-1].replace(glyphs.SOFT_HYPHEN, "-") + piece.text[-1:],
        page=page,
        x0=round(x0, 2),
        top=round(top, 2),
        x1=round(max(x1, x0), 2),
        bottom=round(max(bottom, top), 2),
        size=round(piece.size, 2),
        bold=_BOLD.search(piece.font) is not None,
        italic=_ITALIC.search(piece.font) is not None,
        mark=piece.mark,
        origin=Origin.OCR if piece.unseen else Origin.TEXT,
        confidence=0.6 if piece.unseen else 1.0,
        turned=piece.turned,
    )
