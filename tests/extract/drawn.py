"""Small PDFs drawn for one case each: text at points from the top left, rules, boxes. All on them is invented."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from reportlab.pdfgen.canvas import Canvas

from firstcap.extract.layout import build_layout, unplaced
from firstcap.extract.page import Block, BlockKind, Layout, Table
from firstcap.extract.pdf import RawDocument, open_document

WIDTH, HEIGHT = 612.0, 792.0


class Paper:
    """A reportlab canvas that counts from the top and remembers its font."""

    def __init__(self, path: Path, **options: Any) -> None:
        self.path = path
        self.canvas = Canvas(str(path), pagesize=(WIDTH, HEIGHT), invariant=True, **options)
        self.face, self.points = "Times-Roman", 10.0
        self.font(self.face, self.points)

    def font(self, face: str, points: float) -> "Paper":
        self.face, self.points = face, points
        self.canvas.setFont(face, points)
        return self

    def text(self, x: float, top: float, words: str, *, face: str | None = None, points: float | None = None) -> float:
        """Print words with their baseline at `top`; the x where they end."""
        face, points = face or self.face, points or self.points
        self.canvas.setFont(face, points)
        self.canvas.drawString(x, HEIGHT - top, words)
        self.canvas.setFont(self.face, self.points)
        return x + float(self.canvas.stringWidth(words, face, points))

    def right(self, x: float, top: float, words: str) -> None:
        self.canvas.drawRightString(x, HEIGHT - top, words)

    def center(self, x: float, top: float, words: str) -> None:
        self.canvas.drawCentredString(x, HEIGHT - top, words)

    def lines(self, x: float, top: float, lines: Sequence[str], leading: float = 12.0) -> float:
        for line in lines:
            self.text(x, top, line)
            top += leading
        return top

    def broken(self, width: float, words: str) -> list[str]:
        """Words broken into lines of a column."""
        lines = [""]
        for word in words.split():
            longer = f"{lines[-1]} {word}".strip()
            if self.canvas.stringWidth(longer, self.face, self.points) > width:
                lines.append(word)
            else:
                lines[-1] = longer
        return lines

    def wrapped(self, x: float, top: float, width: float, words: str, leading: float = 12.0) -> float:
        """Ragged text in a column; the baseline after the last line."""
        return self.lines(x, top, self.broken(width, words), leading)

    def rule(self, x0: float, top: float, x1: float, bottom: float | None = None) -> None:
        self.canvas.setLineWidth(0.6)
        self.canvas.line(x0, HEIGHT - top, x1, HEIGHT - (top if bottom is None else bottom))

    def box(self, x0: float, top: float, x1: float, bottom: float) -> None:
        self.canvas.rect(x0, HEIGHT - bottom, x1 - x0, bottom - top, stroke=1, fill=0)

    def page(self) -> None:
        self.canvas.showPage()
        self.font(self.face, self.points)

    def done(self) -> Path:
        self.canvas.save()
        return self.path


def read(path: Path) -> tuple[RawDocument, Layout]:
    """The layout of a drawn PDF, after checking that each word stands in exactly one block."""
    raw = open_document(path)
    layout = build_layout(raw)
    assert unplaced(raw, layout) == 0
    return raw, layout


def texts(layout: Layout, *kinds: BlockKind) -> list[str]:
    return [block.run.text for block in layout.blocks if not kinds or block.kind in kinds]


def tables(layout: Layout) -> list[Table]:
    return [block.table for block in layout.blocks if block.table is not None]


def rows(table: Table) -> list[list[str]]:
    """The grid as seen: a spanning cell's text stands in each place it covers."""
    found = []
    for row in range(table.rows):
        cells = [table.at(row, col) for col in range(table.cols)]
        found.append([cell.text if cell is not None else "" for cell in cells])
    return found


def headings_of(layout: Layout, block: Block) -> list[str]:
    return [layout.blocks[index].run.text for index in block.headings]


def block_with(layout: Layout, words: str) -> Block:
    return next(block for block in layout.blocks if words in block.run.text)
