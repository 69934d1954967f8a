"""What a page is made of, between the PDF and the patterns: words with boxes, runs of text, blocks, tables.

A Run is text that knows, for every character, the word it came from: a match found in a run knows its boxes, and
nothing is ever searched for afterwards.
"""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from firstcap.schema.evidence import Box


class Origin(StrEnum):
    TEXT = "text"
    OCR = "ocr"


ONE_SIGN = 0.85  # the most a figure read in an image is trusted before a second, independent sign confirms it


@dataclass(frozen=True, slots=True)
class Word:
    """One printed word. Points from the page's top left; `size` is the font size; `page` counts from 1.

    A raised or glued footnote mark is a word of its own with `mark` true; it is never part of a run's text.
    `turned` is the direction it reads in, degrees anticlockwise: 90 climbs the page, as turned table headers do.
    """

    text: str
    page: int
    x0: float
    top: float
    x1: float
    bottom: float
    size: float = 10.0
    bold: bool = False
    italic: bool = False
    mark: bool = False
    origin: Origin = Origin.TEXT
    confidence: float = 1.0
    turned: int = 0

    @property
    def box(self) -> Box:
        return Box(page=self.page, x0=self.x0, top=self.top, x1=self.x1, bottom=self.bottom)


@dataclass(frozen=True, slots=True)
class Run:
    """Text joined from words: single blanks between words, line-end hyphens joined, NFKC applied.

    `spans[i]` = (start, end) of `words[i]` in `text`; a word broken by a line-end hyphen is two words, adjacent spans.
    `marks` are footnote marks: (offset in text after which it stands, mark text such as "a", "1", "*").
    """

    text: str
    words: tuple[Word, ...] = ()
    spans: tuple[tuple[int, int], ...] = ()
    marks: tuple[tuple[int, str], ...] = ()

    def words_between(self, start: int, end: int) -> tuple[Word, ...]:
        """The words that touch text[start:end]."""
        first = max(0, bisect_right(self.spans, (start, len(self.text) + 1)) - 1)
        found = []
        for index in range(first, len(self.spans)):
            low, high = self.spans[index]
            if low >= end:
                break
            if high > start:
                found.append(self.words[index])
        return tuple(found)

    def boxes(self, start: int = 0, end: int | None = None) -> tuple[Box, ...]:
        """One box for each line that text[start:end] stands on."""
        lines: list[list[Word]] = []
        for word in self.words_between(start, len(self.text) if end is None else end):
            if lines and _same_line(lines[-1][-1], word):
                lines[-1].append(word)
            else:
                lines.append([word])
        return tuple(
            Box(
                page=line[0].page,
                x0=min(word.x0 for word in line),
                top=min(word.top for word in line),
                x1=max(word.x1 for word in line),
                bottom=max(word.bottom for word in line),
            )
            for line in lines
        )

    @property
    def page(self) -> int:
        return self.words[0].page if self.words else 1

    @property
    def origin(self) -> Origin:
        return Origin.OCR if any(word.origin is Origin.OCR for word in self.words) else Origin.TEXT


def _same_line(left: Word, right: Word) -> bool:
    overlap = min(left.bottom, right.bottom) - max(left.top, right.top)
    return (
        left.page == right.page
        and right.x0 >= left.x0
        and overlap > 0.4 * min(left.bottom - left.top, right.bottom - right.top)
    )


def join_runs(runs: Iterable[Run], separator: str = " ") -> Run:
    """One run out of several, in order."""
    text = ""
    words: list[Word] = []
    spans: list[tuple[int, int]] = []
    marks: list[tuple[int, str]] = []
    for run in runs:
        if text and run.text:
            text += separator
        offset = len(text)
        text += run.text
        words.extend(run.words)
        spans.extend((start + offset, end + offset) for start, end in run.spans)
        marks.extend((place + offset, mark) for place, mark in run.marks)
    return Run(text, tuple(words), tuple(spans), tuple(marks))


@dataclass(frozen=True, slots=True)
class Cell:
    """A table cell; a cell that spans rows or columns stands once, at its first row and column, with its spans."""

    run: Run
    row: int
    col: int
    row_span: int = 1
    col_span: int = 1

    @property
    def text(self) -> str:
        return self.run.text


@dataclass(frozen=True, slots=True)
class Table:
    """A grid of cells, ruled or borderless, already joined over page breaks (a repeated header is dropped).

    `header_rows` rows at the top name the columns (0 for a plain two-column list); `notes` are lines directly under the
    table that explain it ("K = thousand U.S. gallons"), `caption` its title line ("Table 1. Accuracy by meter size").
    """

    cells: tuple[Cell, ...]
    rows: int
    cols: int
    header_rows: int
    caption: Run | None = None
    notes: tuple[Run, ...] = ()
    ruled: bool = True

    def at(self, row: int, col: int) -> Cell | None:
        """The cell that covers this place of the grid, spans included."""
        for cell in self.cells:
            if cell.row <= row < cell.row + cell.row_span and cell.col <= col < cell.col + cell.col_span:
                return cell
        return None

    def header(self, col: int) -> Run:
        """All header cells above a column, outermost first, joined."""
        above: list[Run] = []
        for row in range(self.header_rows):
            cell = self.at(row, col)
            if cell is not None and cell.run.text and (not above or above[-1] is not cell.run):
                above.append(cell.run)
        return join_runs(above)


class BlockKind(StrEnum):
    HEADING = "heading"
    PARAGRAPH = "paragraph"
    LIST_ITEM = "list_item"
    TABLE = "table"
    FOOTNOTE = "footnote"
    FURNITURE = "furniture"  # running heads and feet, page numbers, print marks


@dataclass(frozen=True, slots=True)
class Block:
    """A piece of the document in reading order.

    `headings` are the indexes (in Layout.blocks) of the headings it stands under, outermost first; `number` its printed
    clause number ("3.1", "IV", "a"), which is not part of the run's text only where it stands apart from the sentence;
    a run-in heading ("Claims. Give written notice …") is a HEADING block of its own followed by the paragraph.
    """

    kind: BlockKind
    run: Run
    level: int = 0
    number: str | None = None
    headings: tuple[int, ...] = ()
    table: Table | None = None
    mark: str | None = None  # FOOTNOTE: the mark it explains


@dataclass(frozen=True, slots=True)
class PageFacts:
    number: int
    width: float
    height: float
    origin: Origin
    words: int
    image_area: float = 0.0  # share of the page covered by images
    rotated: int = 0


@dataclass(frozen=True, slots=True)
class Layout:
    """A document as the eye takes it in: blocks in reading order, furniture included."""

    pages: tuple[PageFacts, ...]
    blocks: tuple[Block, ...]
    metadata: dict[str, str] = field(default_factory=dict)

    def footnote(self, mark: str) -> Block | None:
        for block in self.blocks:
            if block.kind is BlockKind.FOOTNOTE and block.mark == mark:
                return block
        return None

    def of_kind(self, *kinds: BlockKind) -> Sequence[Block]:
        return [block for block in self.blocks if block.kind in kinds]
