"""How far a reading of images may be trusted: a term is no surer than the figures it was read from.

The readers of images say of each word how sure they are. Here that is held against the terms: a figure counts as sure
when two independent signs agree on it (two readers, the words beside the figures, or the same figure printed twice);
a table also needs its header legible and no cell of the row lost. Values keep their own confidence in their evidence.
"""

import re
from collections import Counter
from collections.abc import Sequence

from firstcap.extract.page import ONE_SIGN, BlockKind, Layout, Origin, Table, Word
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import ReadingWarning, Term
from firstcap.schema.vocabulary import WarningKind

_LEGIBLE = 0.8  # a word of a header below which its column may mean something else
_TWO_SIGNS = 0.95  # a figure that was confirmed in another way than by a second reader
_LONG = 4  # figures: the same long number twice on a page is no chance
_VALUES = re.compile(r"^(?:duration|full_months|volume_cap|size_label|limit\.|band\.|credit\.)")
_PAIR = re.compile(r"[^\W\d_]{3,}\W{0,3}\(\s?\d[\d.,]*\s?\)|\d[\d.,]*\s?\(\s?[^\W\d_]{3,}[^\W\d_ -]*\)")
_CONTRARY = (WarningKind.WORDS_AND_DIGITS_DIFFER, WarningKind.NON_MONOTONE_CREDITS, WarningKind.UNITS_DIFFER)


def as_legible(terms: Sequence[Term], layout: Layout, warnings: Sequence[ReadingWarning]) -> list[Term]:
    """The terms, those read from images no surer than their figures; boxes must still be those of `layout`."""
    words = [word for word in _words(layout) if word.origin is Origin.OCR]
    if not words:
        return list(terms)
    return _Page(words, layout, warnings).capped(terms)


def _words(layout: Layout) -> list[Word]:
    """Every word of the text, once."""
    found: dict[int, Word] = {}
    for block in layout.blocks:
        runs = [block.run, *(cell.run for cell in block.table.cells)] if block.table else [block.run]
        for run in runs:
            found.update((id(word), word) for word in run.words)
    return list(found.values())


class _Page:
    def __init__(self, words: Sequence[Word], layout: Layout, warnings: Sequence[ReadingWarning]) -> None:
        self.words = words
        self.tables = [block.table for block in layout.blocks if block.kind is BlockKind.TABLE and block.table]
        self.repeated = Counter(_bare(word) for word in words if sum(char.isdigit() for char in word.text) >= _LONG)
        self.contrary = {warning.page for warning in warnings if warning.kind in _CONTRARY}

    def capped(self, terms: Sequence[Term]) -> list[Term]:
        return [self._term(term) for term in terms]

    def _term(self, term: Term) -> Term:
        rows = [row.model_copy(update={"confidence": self._value(row)}) for row in term.evidence]
        least = min((row.confidence for row in rows if _VALUES.match(row.field)), default=term.confidence)
        quote = next((row for row in rows if row.field == "quote"), None)
        if quote is not None and quote.pattern == "table.row" and not self._row_is_whole(quote):
            least = min(least, ONE_SIGN)
        if (_flow_is_missing(term) or _limit_is_missing(term)) and self._inside(term.evidence):
            least = min(least, ONE_SIGN)  # what was not read looks like what is not printed
        return term.model_copy(update={"evidence": tuple(rows), "confidence": round(min(term.confidence, least), 4)})

    def _value(self, row: Evidence) -> float:
        """The confidence of one value: that of the least sure figure it stands on."""
        figures = [word for word in self._inside([row]) if any(char.isdigit() for char in word.text)]
        if not figures or (_PAIR.search(row.quote) and not self.contrary & {box.page for box in row.boxes}):
            return row.confidence
        return round(min(row.confidence, *map(self._sure, figures)), 4)

    def _sure(self, word: Word) -> float:
        if word.confidence >= _LEGIBLE and self.repeated[_bare(word)] > 1:
            return max(word.confidence, _TWO_SIGNS)
        return word.confidence

    def _inside(self, rows: Sequence[Evidence]) -> list[Word]:
        return [word for word in self.words if any(_holds(box, word) for row in rows for box in row.boxes)]

    def _row_is_whole(self, quote: Evidence) -> bool:
        """Whether the header of the row's table is legible and each column that carries figures does so here too."""
        for table in self.tables:
            rows = {
                row
                for cell in table.cells
                if cell.row >= table.header_rows
                for row in range(cell.row, cell.row + cell.row_span)
                if any(_holds(box, word) for word in cell.run.words for box in quote.boxes)
            }
            if rows:
                return _header_is_legible(table) and all(_is_filled(table, row) for row in rows)
        return True


def _header_is_legible(table: Table) -> bool:
    return all(
        word.confidence >= _LEGIBLE
        for cell in table.cells
        if cell.row < table.header_rows
        for word in cell.run.words
        if any(char.isalnum() for char in word.text)
    )


def _is_filled(table: Table, row: int) -> bool:
    """False where a cell is empty though nearly all others of its column carry figures."""
    for col in range(table.cols):
        column = [table.at(other, col) for other in range(table.header_rows, table.rows)]
        figures = sum(cell is not None and any(char.isdigit() for char in cell.run.text) for cell in column)
        here = table.at(row, col)
        if (here is None or not here.run.text) and figures > 0.6 * len(column):
            return False
    return True


def _flow_is_missing(term: Term) -> bool:
    return any(
        band.basis == "stated" and band.flow_from_usgpm is None and band.flow_to_usgpm is None for band in term.bands
    )


def _limit_is_missing(term: Term) -> bool:
    """Whether a rule says which of two limits ends the cover, and only one was read."""
    ruled = any(row.field == "ends" and row.pattern.startswith("whichever") for row in term.evidence)
    return ruled and len(term.limits) < 2


def _bare(word: Word) -> str:
    return word.text.strip(".,;:()\"'")


def _holds(box: Box, word: Word) -> bool:
    x, y = (word.x0 + word.x1) / 2, (word.top + word.bottom) / 2
    return box.page == word.page and box.x0 <= x <= box.x1 and box.top <= y <= box.bottom
