"""Tables printed in another fold than they are read in: half tables side by side, cards of labels under one another."""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.page import Cell, Table

_MEASURED = re.compile(r"year|month|gal|volume|flow|gpm|%|cubic|m³|jahr|monat|año|mes\b|ans\b|mois", re.IGNORECASE)
_MOST_LABELS = 8


def refolded(table: Table) -> Table:
    """The table as one list of rows under one header; as it stands where it is printed so."""
    return _halves(table) or _cards(table) or table


def _plain(text: str) -> str:
    return re.sub(r"[\W\d_]+", " ", text).strip().casefold()


def _halves(table: Table) -> Table | None:
    """ "Part | Years | Part | Years": the right half goes under the left, each under what its own header adds."""
    half, odd = divmod(table.cols, 2)
    if odd or half < 2 or not table.header_rows:
        return None
    last = table.header_rows - 1
    heads = [_plain(cell.text) if (cell := table.at(last, col)) is not None else "" for col in range(table.cols)]
    alike = all(
        heads[col] and heads[col].split()[-1] == heads[col + half].split()[-1:][0]
        for col in range(half)
        if heads[col + half]
    )
    if not alike or not all(heads) or any(heads[col] != heads[col + half] for col in range(1, half)):
        return None
    if _MEASURED.search(heads[0]) or len(set(heads[:half])) < half:
        return None
    body = range(table.header_rows, table.rows)
    cells = [
        replace(cell, row=0, row_span=1)
        for cell in table.cells
        if cell.row <= last < cell.row + cell.row_span and cell.col < half
    ]
    row = 1
    for low in (0, half):
        title = _title(table, low, half, heads)
        if title is not None:
            cells.append(Cell(title.run, row, 0, 1, half))
            row += 1
        for place in body:
            own = [cell for cell in table.cells if cell.row == place and low <= cell.col < low + half and cell.text]
            cells.extend(
                replace(
                    cell, row=row, col=cell.col - low, row_span=1, col_span=min(cell.col_span, low + half - cell.col)
                )
                for cell in own
            )
            row += bool(own)
    return replace(table, cells=tuple(cells), rows=row, cols=half, header_rows=1)


def _title(table: Table, low: int, half: int, heads: Sequence[str]) -> Cell | None:
    """What stands over one half alone: a cell of its own, or words before the name of its first column."""
    first = table.at(0, low)
    other = table.at(0, 0 if low else half)
    if first is None or other is None or first is other or not first.text:
        return None
    if table.header_rows > 1:
        return first if _plain(first.text) != _plain(other.text) else None
    return first if heads[low] != heads[0 if low else half] else None


def _cards(table: Table) -> Table | None:
    """ "Part | Case", "Warranty | 25 years", "Part | Register", "Warranty | 15 years": each card is a row."""
    if table.cols != 2 or table.rows < 4 or table.header_rows > 1:
        return None
    pairs = [(table.at(row, 0), table.at(row, 1)) for row in range(table.rows)]
    cards: list[dict[str, tuple[Cell, Cell]]] = []
    names: dict[str, Cell] = {}
    opening = _plain(pairs[0][0].text) if pairs[0][0] is not None else ""
    for label, value in pairs:
        if label is None or value is None or label is value or not _plain(label.text):
            return None
        name = _plain(label.text)
        if name == opening:
            cards.append({})
        if name in cards[-1]:
            return None
        cards[-1][name] = (label, value)
        names.setdefault(name, label)
    if len(cards) < 2 or not 2 <= len(names) <= _MOST_LABELS or any(2 * len(card) < len(names) for card in cards):
        return None
    cells = [replace(label, row=0, col=col, row_span=1, col_span=1) for col, label in enumerate(names.values())]
    for row, card in enumerate(cards, 1):
        for col, name in enumerate(names):
            if name in card:
                cells.append(replace(card[name][1], row=row, col=col, row_span=1, col_span=1))
    return replace(table, cells=tuple(cells), rows=len(cards) + 1, cols=len(names), header_rows=1)
