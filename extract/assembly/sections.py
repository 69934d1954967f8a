"""Rows that stand alone in a table and say what the rows under them are about: "Turbine meters, AWWA C701"."""

import re
from dataclasses import replace

from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.labels import put_name
from firstcap.extract.assembly.own_words import component_of_found
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.page import Cell, Run
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import AccuracyLevel, Component

_NAMES = ("product", "meter_type", "standard", "sizes", "component", "level", "promise", "start", "rule")
_NEW_ONLY = re.compile(r"\bC-?7\d\d\b")  # AWWA C7xx: standards for new meters; used ones are held to Manual M6


class Sections:
    """The rows of a table that head those under them, read from the top down."""

    def __init__(self, shape: Shape) -> None:
        self._shape = shape
        self._said: list[tuple[str, Found]] = []  # in the order in which they were said, outermost first
        self._products: tuple[str, ...] = ()
        self._variant: str | None = None
        self._units = ""
        self._last = -1

    @property
    def unit_text(self) -> str:
        """Words of the heading row in which the unit of bare numbers may stand."""
        return self._units

    def take(self, row: int) -> bool:
        """Takes a row that is a heading; False where it is a row like others."""
        cell = heading_row(self._shape, row)
        if cell is None:
            return False
        own = Record(cell.run)
        put_name(self._shape, own, cell.run)
        found = [(name, value) for name in _NAMES if (value := getattr(own, name)) is not None]
        names = {name for name, _ in found}
        if self._last != row - 1:
            # A new heading ends what those of its kind said, and what was said under them.
            place = next((i for i, (name, _) in enumerate(self._said) if name in names), len(self._said))
            self._said = self._said[:place] if names else []
        self._said = [item for item in self._said if item[0] not in names] + found
        self._products, self._variant = own.products, own.variant
        self._units = cell.text
        self._last = row
        return True

    def give(self, labels: Record, run: Run) -> None:
        """What the headings over a row say, where its own labels do not."""
        named = any((labels.component, labels.product, labels.meter_type)) or labels.unnamed
        for name, found in self._said:
            if getattr(labels, name) is not None:
                continue
            if name == "component" and named and component_of_found(found) is Component.WHOLE_METER:
                continue
            setattr(labels, name, replace(found, inherited=True))
        if self._products and not labels.products and labels.product is not None:
            labels.products = self._products
        labels.variant = labels.variant or self._variant


def without_new_standard(record: Record) -> None:
    """A standard for new meters, printed over a whole group of rows, is no limit of its repaired meters."""
    level = record.level.value if record.level is not None else None
    if level is AccuracyLevel.REPAIRED_METER and record.standard is not None and record.standard.inherited:
        if _NEW_ONLY.search(str(record.standard.value)):
            record.standard = None


def heading_row(shape: Shape, row: int) -> Cell | None:
    """The one cell of a row that has words and no value, over rows that have more cells."""
    table = shape.table
    if table.cols < 2 or row + 1 >= table.rows:
        return None
    cells = shape.row_cells(row)
    if len(cells) != 1 or cells[0].row != row or cells[0].row_span > 1:
        return None
    cell = cells[0]
    if cell.col_span < table.cols and cell.col > 0:
        return None
    if len(cell.text.split()) > 14 or not re.search(r"[^\W\d_]{2}", cell.text):
        return None
    if any(hit.family in (Family.DURATION, Family.VOLUME, Family.LIFE) for hit in shape.hits(cell.run)):
        return None
    return cell
