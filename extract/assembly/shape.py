"""The shape of a table: where its body begins, which columns name what a row is about, which sizes head a column."""

import re

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.named_stages import explained, stage_names
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.told_units import told_units
from firstcap.extract.assembly.unit import Hit, component_of, hits_of
from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.page import BlockKind, Cell, Run, Table, join_runs
from firstcap.extract.patterns import size, start
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.values import StartSpec
from firstcap.extract.patterns.volume import volume_in
from firstcap.schema.vocabulary import Component, StartEvent

_COUNTED = r"(?:number of|total|registered|max(?:imum|\.)?|thousands?|millions?|1[,. ]?000s?|u\.?s\.?|in|of|the|warranty|k|m|anzahl|tausend|miles de|milliers de)"
_UNITS = (
    r"(?:years?|yrs?\.?|months?|mos?\.?|gal(?:lon)?s?\.?|k\.?gal|mgal|mg|ccf|hcf|cubic (?:feet|foot|met(?:er|re)s)|cu\.? ?ft\.?|ft³|ft3|m³|m3|k[lL]|volumes?|registration|throughput|"
    r"quantit(?:y|ies)|usage|time|periods?|duration|age|terms?|jahre?|monate?|laufzeit|volumen|durchgang|menge|años?|mes(?:es)?|plazo|tiempo|ans?|années?|mois|durée)"
)
MEASURE = re.compile(
    rf"^\W*(?:{_COUNTED}\s+)*{_UNITS}(?:\s+(?:limits?|registered|of \w+|in \w+(?: \w+)?))?\W*(?:\([^)]*\)\W*)?$",
    re.IGNORECASE,
)
REMARK = re.compile(r"\b(remark|note|comment|condition|description)s?\b", re.IGNORECASE)

_OTHER_UNIT = re.compile(
    r"^\W*(?:in(?:ch(?:es)?)?\.?|mm|dn|nominal|gpm|l/h|m³/h|m3/h|lps|psi|bar|%|percent|each|no\.?|size)?\W*$",
    re.IGNORECASE,
)


def headings_over(index: int, context: Context) -> list[Run]:
    """The headings set right above a table, nearest first: they say what it holds, and in what unit."""
    found: list[Run] = []
    for block in reversed(context.layout.blocks[max(0, index - 3) : index]):
        if block.kind is not BlockKind.HEADING:
            break
        found.append(block.run)
    return found


class Shape:
    """A table with its axes told apart; `block` is its place in the layout.

    `first` is its first body row; `keys` the columns that name a row's size, part, start or remark; `size_cols` the
    columns headed by a size; `named_cols` the value columns under a name that the text uses.
    """

    def __init__(self, block: int, table: Table, context: Context) -> None:
        self.block = block
        self.table = table
        self.context = context
        self.reader = context.reader
        self.cache: dict[int, list[Hit]] = {}
        over = [run.text for run in headings_over(block, context)]
        self.outer = " ".join(
            [*over, table.caption.text if table.caption else "", *(note.text for note in table.notes)]
        )
        self.told = told_units(context, block)
        self.first = self._first_body_row()
        self.size_cols = self._header_sizes()
        self.keys = self._key_columns()
        self.of_parts = self._lists_parts()
        self.named_cols = self._named_columns()
        self.named_rows = {} if self.named_cols else self._named_rows()
        names = [*self.named_cols.values(), *self.named_rows.values()]
        self.stages = explained(names, context) if names else {}

    def hits(self, run: Run) -> list[Hit]:
        key = id(run)
        if key not in self.cache:
            self.cache[key] = hits_of(run, self.reader)
        return self.cache[key]

    def _first_body_row(self) -> int:
        table = self.table
        first = table.header_rows
        while first > 1 and self._spans_all(first - 1) and not self._spans_all(first - 2):
            first -= 1  # the heading of the first rows, under the names of the columns
        if first:
            return first + 1 if self._prints_units(first) else first
        # A list without a header row, or one whose header was not recognised: a first row without any value.
        values = [self._value_like(table.at(0, col), "") for col in range(table.cols)]
        return (
            1
            if table.rows > 1
            and not any(values)
            and any(self._value_like(table.at(1, col), self.text(0, col)) for col in range(table.cols))
            else 0
        )

    def _prints_units(self, row: int) -> bool:
        """A row of nothing but units under the names of the columns: "in. | yr | 1,000 gal"."""
        texts = [cell.text for cell in self.row_cells(row)] if row + 1 < self.table.rows else []
        units = [text for text in texts if MEASURE.match(text)]
        return len(units) >= 2 and all(MEASURE.match(text) or _OTHER_UNIT.match(text) for text in texts)

    def _spans_all(self, row: int) -> bool:
        cells = self.row_cells(row)
        return len(cells) == 1 and cells[0].col_span == self.table.cols > 1

    def text(self, row: int, col: int) -> str:
        cell = self.table.at(row, col)
        return cell.text if cell else ""

    def _value_like(self, cell: Cell | None, header: str) -> bool:
        if cell is None or not cell.text:
            return False
        return (
            duration_in(cell.text, header, self.reader.style) is not None
            or volume_in(cell.text, header, self.reader.style, self.reader.gallon) is not None
        )

    def header_run(self, col: int) -> Run:
        runs: list[Run] = []
        for row in range(self.first):
            cell = self._group(row, col) if row < self.first - 1 else self.table.at(row, col)
            if cell is not None and cell.text and (not runs or runs[-1] is not cell.run):
                runs.append(cell.run)
        return join_runs(runs) if runs else Run("")

    def _group(self, row: int, col: int) -> Cell | None:
        """A group header set in the middle of its columns serves the blank columns beside it too."""
        cell = self.table.at(row, col)
        if col == 0 or (cell is not None and cell.text):
            return cell
        right = next(
            (top for c in range(col + 1, self.table.cols) if (top := self.table.at(row, c)) is not None and top.text),
            None,
        )
        left = next(
            (top for c in range(col - 1, 0, -1) if (top := self.table.at(row, c)) is not None and top.text), None
        )
        if right is not None:
            beyond = right.col + right.col_span
            over = self.table.at(row, beyond) if beyond < self.table.cols else None
            if beyond < self.table.cols and (over is None or not over.text):
                return right
        return left

    def header(self, col: int) -> str:
        return self.header_run(col).text

    def _header_sizes(self) -> dict[int, Mention]:
        """Columns headed by a meter size (a table turned on its side)."""
        found: dict[int, Mention] = {}
        for col in range(1, self.table.cols):
            for row in range(self.first):
                cell = self.table.at(row, col)
                if cell is None or not cell.text:
                    continue
                mention = size.size_in(cell.text, "size " + self.header(0))
                if mention is not None and (
                    re.search(r"[\"″”½⅝¾/]|inch|in\b|DN|mm|po\b", cell.text) or re.fullmatch(r"\s*\d\s*", cell.text)
                ):
                    found[col] = mention
        return found if len(found) >= 2 and len(found) >= 0.6 * (self.table.cols - 1) else {}

    def _key_columns(self) -> dict[int, str]:
        """Columns that name what a row is about: size, component, product, start, remark."""
        keys: dict[int, str] = {}
        table = self.table
        for col in range(table.cols):
            header = self.header(col)
            cells = [table.at(row, col) for row in range(self.first, table.rows) if len(self.row_cells(row)) > 1]
            texts = [cell for cell in cells if cell is not None and cell.text]
            if not texts:
                continue
            if REMARK.search(header):
                keys[col] = "remark"
                continue
            if col in self.size_cols:
                continue
            if col > 0 and all(MEASURE.match(cell.text) for cell in texts):
                keys[col] = "unit"
                continue
            total = len(texts)
            headed = (
                re.search(
                    r"\b(size|nominal|calib|di[aá]met|diam|nennweite|DN|meter size|tamaño)", header, re.IGNORECASE
                )
                is not None
            )
            sized = [
                cell
                for cell in texts
                if size.size_in(cell.text, header if headed else "") is not None
                and not re.search(r"gpm|gal|year|month", cell.text, re.IGNORECASE)
            ]
            if (
                len(sized) >= 0.6 * total
                and (headed or col == 0 or len(sized) == total)
                and not re.search(r"flow|volume|gpm|year|month|length|weight|capacity|q\d", header, re.IGNORECASE)
            ):
                keys[col] = "size"
                continue
            started = [cell for cell in texts if event_in(cell.text, self.reader.style) is not None]
            if len(started) >= 0.6 * total and not any(self._value_like(cell, header) for cell in texts):
                keys[col] = "start"
                continue
            named = [
                cell
                for cell in texts
                if any(
                    hit.family in (Family.COMPONENT, Family.LEVEL, Family.PRODUCT, Family.METER_TYPE, Family.PROMISE)
                    for hit in self.hits(cell.run)
                )
            ]
            if (
                len(named) >= 0.5 * total
                and not any(hit.family is Family.DURATION for cell in texts for hit in self.hits(cell.run))
            ) or (col == 0 and not any(self._value_like(cell, header) for cell in texts)):
                keys[col] = "name"
        return keys

    def _lists_parts(self) -> bool:
        """A column of labels most of which name parts of a meter, or that is headed so."""
        for col, kind in self.keys.items():
            if kind != "name":
                continue
            cells = [
                cell for row in range(self.first, self.table.rows) if (cell := self.table.at(row, col)) and cell.text
            ]
            named = [
                cell
                for cell in cells
                if any(
                    hit.family is Family.COMPONENT and component_of(hit) is not Component.WHOLE_METER
                    for hit in self.hits(cell.run)
                )
            ]
            if len(named) >= 2 or (named and 2 * len(named) >= len(cells)) or _PARTS.search(self.header(col)):
                return True
        return False

    def unnamed(self, row: int, labels: Record) -> bool:
        """A row whose label is a word not known here, where other rows of that column name parts of a meter."""
        if labels.component or labels.level or labels.promise or labels.product or labels.meter_type or labels.sizes:
            return False
        named = [
            col for col, kind in self.keys.items() if kind == "name" and re.search(r"[^\W\d_]{3}", self.text(row, col))
        ]
        return bool(named) and self.of_parts and not self.measure(row)

    def measure(self, row: int) -> str:
        """The label of a row that says what its numbers are: "Years", "Million gallons"; empty where none does."""
        texts = [self.text(row, col) for col, kind in self.keys.items() if kind in ("name", "unit")]
        return " ".join(text for text in texts if MEASURE.match(text))

    def _named_columns(self) -> dict[int, str]:
        """Value columns under a name that the text uses: "until it has registered the First Volume", "Stage A"."""
        found: dict[int, str] = {}
        for row in range(self.first):
            columns = {col: self.text(row, col) for col in range(self.table.cols) if col not in self.keys}
            names = stage_names(self.context, [text for text in columns.values() if text])
            for col, text in columns.items():
                if text in names:
                    found.setdefault(col, names[text])
        return found if len(set(found.values())) > 1 else {}

    def _named_rows(self) -> dict[int, str]:
        """Rows under such a name, where the sizes stand over the columns."""
        for col, kind in self.keys.items():
            if kind != "name":
                continue
            rows = {row: self.text(row, col) for row in range(self.first, self.table.rows)}
            names = stage_names(self.context, [text for text in rows.values() if text])
            found = {row: names[text] for row, text in rows.items() if text in names}
            if len(set(found.values())) > 1:
                return found
        return {}

    def row_cells(self, row: int) -> list[Cell]:
        cells: list[Cell] = []
        for col in range(self.table.cols):
            cell = self.table.at(row, col)
            if cell is not None and cell not in cells and cell.text:
                cells.append(cell)
        return cells


_PARTS = re.compile(
    r"^\W*(?:\w+ )?(?:parts?|components?|items?|assembl(?:y|ies)|elements?|covered|teile?|bauteile?|komponenten?|partes?|piezas?|componentes?|elementos?|pièces?|composants?|éléments?|organes?)(?: (?:of the meter|covered|warranted))?\W*$",
    re.IGNORECASE,
)


def event_in(text: str, style: NumberStyle) -> StartEvent | None:
    """The event that a cell names ("Shipment", "from installation")."""
    if len(text) > 60:
        return None
    for form in (f"from the date of {text}", f"from {text}", text):
        for mention in start.find(parse(form), style):
            if isinstance(mention.value, StartSpec):
                return mention.value.clocks[0].event
    return None
