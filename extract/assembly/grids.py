"""Tables -> records: what each group of cells says, whatever way the table is turned.

Every data cell carries the labels of its row and of its column; cells with the same labels make one record.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.credits import CreditTable, cell_stages, credit_table
from firstcap.extract.assembly.draft import BandDraft, CreditDraft, Draft, Found, TimeLimit
from firstcap.extract.assembly.unit import Hit, Unit, hits_of
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.page import Block, BlockKind, Cell, Run, Table, join_runs
from firstcap.extract.patterns import flow, size, start
from firstcap.extract.patterns.accuracy import band_in
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.values import FullAndTail, StartSpec
from firstcap.extract.patterns.volume import volume_in
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.vocabulary import AccuracyLevel, Component, FlowRole, StartEvent, StartRule

_EMPTY = re.compile(
    r"^\W*(none|n/?a|not (?:covered|applicable|warranted|offered)|no warranty|no|nil|aucune?|keine?|ninguna?|excluded)?\W*$",
    re.IGNORECASE,
)
_LABEL = re.compile(
    r"\b(table|schedule|annex|exhibit|appendix|chart|tableau|tabelle|tabla|cuadro|anlage)\s*\.?\s*([A-Z]?-?\d+[A-Z]?|[A-Z]\b|[IVX]+\b)",
    re.IGNORECASE,
)
_REMARK = re.compile(r"\b(remark|note|comment|condition|description)s?\b", re.IGNORECASE)
_READ = re.compile(
    r"\b(?:should read|read|lire|léase|lies|correct(?:ed|ion)?(?: (?:figure|value))?(?: (?:is|to))?|misprint(?: for)?|"
    r"instead of|in place of|replaced? by|(?:changed|reduced|raised|lowered|increased|amended|revised|shortened|extended|cut)(?: to)?|"
    r"takes the place|(?:should|ought to|must|has to) (?:be|have been|say)|is (?:really|rightly|correctly|meant to be)|"
    r"(?:the )?right (?:figure|number|value) is|now)\b[:;]?",
    re.IGNORECASE,
)
_WRONG = re.compile(
    r"\b(?:wrong(?:ly)?|errors?|erroneous(?:ly)?|mistaken?(?:ly)?|misprint(?:ed|s)?|incorrect(?:ly)?|typo\w*|erratum|corrected)\b",
    re.IGNORECASE,
)
_Q = re.compile(r"^\W*(?:table \w+\.?\s*)?(Q\s?[1-4]|R)\b", re.IGNORECASE)


@dataclass(slots=True)
class Record:
    """One group of cells: its labels and its values."""

    row: Run
    sizes: Found | None = None
    component: Found | None = None
    product: Found | None = None
    meter_type: Found | None = None
    level: Found | None = None
    promise: Found | None = None
    standard: Found | None = None
    start: Found | None = None
    rule: Found | None = None
    life: Found | None = None
    variant: str | None = None
    times: list[TimeLimit] = field(default_factory=list)
    volumes: list[tuple[Volume, Hit]] = field(default_factory=list)
    flows: dict[FlowRole | str, tuple[FlowRate, Hit]] = field(default_factory=dict)
    bands: list[BandDraft] = field(default_factory=list)
    full: Found | None = None
    credits: list[CreditDraft] = field(default_factory=list)
    remark: Run | None = None
    products: tuple[str, ...] = ()
    none: bool = False
    unnamed: bool = False  # its label names nothing known, in a table whose other labels name parts
    clash: bool = False
    doubtful: bool = False  # a footnote on its value has a number that was not understood
    column: str = ""  # the heading of its values, where the text uses it as a name ("First Volume")
    columns: tuple[str, ...] = ()  # all such headings of the table
    notes: list[tuple[str, str, int]] = field(default_factory=list)

    @property
    def has_limits(self) -> bool:
        return bool(self.times or self.volumes or self.life)


@dataclass(slots=True)
class Grid:
    """A table as records. `label` is its printed name ("table 1")."""

    block: int
    headings: tuple[int, ...]
    table: Table
    label: str | None
    records: list[Record]
    credits: CreditTable | None = None
    rule: Found | None = None
    start: Found | None = None
    hits: list[Hit] = field(default_factory=list)
    parts: set[Component] = field(default_factory=set)  # of a table of shares: the parts its caption names

    @property
    def only_flows(self) -> bool:
        return bool(self.records) and all(not record.has_limits for record in self.records)


def table_label(text: str) -> str | None:
    match = _LABEL.search(text)
    return f"{match.group(1)} {match.group(2)}".lower() if match else None


def read_grid(index: int, block: Block, context: Context) -> Grid | None:
    """The records of one table; None where it has no table."""
    table = block.table
    if table is None or table.rows == 0:
        return None
    heading = table.caption.text if table.caption else ""
    over = headings_over(index, context)
    label = (
        table_label(heading)
        or next((found for run in over if (found := table_label(run.text))), None)
        or table_label(_first_header(table))
        or next((table_label(n.text) for n in table.notes if table_label(n.text[:14])), None)
    )
    grid = Grid(index, block.headings, table, label, [])
    reader = context.reader
    outer = [*([table.caption] if table.caption else []), *table.notes]
    for run in outer:
        grid.hits.extend(hits_of(run, reader))
    grid.credits = credit_table(table, context)
    if grid.credits is not None:
        return grid
    around = Unit(table.caption or table.cells[0].run, 0, 0, list(grid.hits), index, block.headings)
    found_start = around.first(Family.START)
    grid.start = Found.of(found_start) if found_start else None
    found_rule = around.first(Family.RULE)
    grid.rule = Found.of(found_rule) if found_rule else None
    _Reading(grid, table, context).run()
    return grid


def headings_over(index: int, context: Context) -> list[Run]:
    """The headings set right above a table, nearest first: they say what it holds, and in what unit."""
    found: list[Run] = []
    for block in reversed(context.layout.blocks[max(0, index - 3) : index]):
        if block.kind is not BlockKind.HEADING:
            break
        found.append(block.run)
    return found


def _first_header(table: Table) -> str:
    cell = table.at(0, 0)
    return cell.text if cell else ""


class _Reading:
    """One pass over a table."""

    def __init__(self, grid: Grid, table: Table, context: Context) -> None:
        self.grid = grid
        self.table = table
        self.context = context
        self.reader = context.reader
        self.cache: dict[int, list[Hit]] = {}
        over = [run.text for run in headings_over(grid.block, context)]
        self.outer = " ".join(
            [*over, table.caption.text if table.caption else "", *(note.text for note in table.notes)]
        )
        self.first = self._first_body_row()
        self.size_cols = self._header_sizes()
        self.keys = self._key_columns()
        self.named_cols = self._named_columns()

    def hits(self, run: Run) -> list[Hit]:
        key = id(run)
        if key not in self.cache:
            self.cache[key] = hits_of(run, self.reader)
        return self.cache[key]

    def _first_body_row(self) -> int:
        table = self.table
        if table.header_rows:
            return table.header_rows
        # A list without a header row, or one whose header was not recognised: a first row without any value.
        values = [self._value_like(table.at(0, col), "") for col in range(table.cols)]
        return (
            1
            if table.rows > 1
            and not any(values)
            and any(self._value_like(table.at(1, col), self._text(0, col)) for col in range(table.cols))
            else 0
        )

    def _text(self, row: int, col: int) -> str:
        cell = self.table.at(row, col)
        return cell.text if cell else ""

    def _value_like(self, cell: Cell | None, header: str) -> bool:
        if cell is None or not cell.text:
            return False
        return (
            duration_in(cell.text, header, self.reader.style) is not None
            or volume_in(cell.text, header, self.reader.style, self.reader.gallon) is not None
        )

    def _header_run(self, col: int) -> Run:
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
        return self._header_run(col).text

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
            cells = [table.at(row, col) for row in range(self.first, table.rows)]
            texts = [cell for cell in cells if cell is not None and cell.text]
            if not texts:
                continue
            if _REMARK.search(header):
                keys[col] = "remark"
                continue
            if col in self.size_cols:
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
            started = [cell for cell in texts if self._event(cell.text) is not None]
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

    def _event(self, text: str) -> StartEvent | None:
        if len(text) > 60:
            return None
        for form in (f"from the date of {text}", f"from {text}", text):
            from firstcap.extract.language import parse

            for mention in start.find(parse(form), self.reader.style):
                if isinstance(mention.value, StartSpec):
                    return mention.value.clocks[0].event
        return None

    def run(self) -> None:
        table = self.table
        groups: dict[tuple[object, ...], Record] = {}
        carried: dict[int, Cell] = {}
        for row in range(self.first, table.rows):
            row_cells = self._row_cells(row)
            row_run = join_runs([cell.run for cell in row_cells])
            labels = Record(row_run)
            for col, kind in self.keys.items():
                cell = table.at(row, col)
                if cell is None or not cell.text:
                    if col in carried and (col > 0 or "size" in self.keys.values()) and kind == "name":
                        cell = carried[col]
                    else:
                        continue
                carried[col] = cell
                self._label(labels, cell.run, kind, self.header(col))
            labels.unnamed = self._unnamed(row, labels)
            for col in range(table.cols):
                if col in self.keys:
                    continue
                cell = table.at(row, col)
                if cell is None or not cell.text:
                    continue
                self._data(row, col, cell, labels, row_run, groups)
        self.grid.records = self._merged(list(groups.values()))

    def _unnamed(self, row: int, labels: Record) -> bool:
        """A row whose label is a word not known here, where other rows of that column name parts of a meter."""
        if labels.component or labels.level or labels.promise or labels.product or labels.meter_type or labels.sizes:
            return False
        named = [
            col for col, kind in self.keys.items() if kind == "name" and re.search(r"[^\W\d_]{3}", self._text(row, col))
        ]
        return any(
            hit.family is Family.COMPONENT
            for col in named
            for other in range(self.first, self.table.rows)
            if (cell := self.table.at(other, col)) is not None
            for hit in self.hits(cell.run)
        )

    def _named_columns(self) -> dict[int, str]:
        """Value columns under a name that the text uses: "until it has registered the First Volume"."""
        prose = [
            block.run.text.casefold() for _, block in self.context.blocks(BlockKind.PARAGRAPH, BlockKind.LIST_ITEM)
        ]
        found = {}
        for col in range(self.table.cols):
            name = (
                re.sub(r"\W*\([^)]*\)\W*$", "", self._text(self.first - 1, col)).strip().casefold()
                if self.first
                else ""
            )
            if col not in self.keys and re.search(r"\w\W+\w", name) and any(name in text for text in prose):
                found[col] = name
        return found if len(set(found.values())) > 1 else {}

    def _row_cells(self, row: int) -> list[Cell]:
        cells: list[Cell] = []
        for col in range(self.table.cols):
            cell = self.table.at(row, col)
            if cell is not None and cell not in cells and cell.text:
                cells.append(cell)
        return cells

    def _label(self, record: Record, run: Run, kind: str, header: str) -> None:
        if kind == "size":
            mention = size.size_in(run.text, header)
            if mention is not None:
                record.sizes = Found.of(Hit(mention, run))
            return
        if kind == "start":
            event = self._event(run.text)
            if event is not None:
                from firstcap.extract.patterns.values import StartClock

                whole = Mention(
                    Family.START,
                    0,
                    len(run.text),
                    StartSpec((StartClock(event),), StartRule.SINGLE),
                    "start.column",
                    run.text,
                )
                record.start = Found.of(Hit(whole, run))
            return
        if kind == "remark":
            record.remark = run
            for hit in self.hits(run):
                if hit.family is Family.START and record.start is None:
                    record.start = Found.of(hit)
            return
        self._name(record, run)

    def _name(self, record: Record, run: Run) -> None:
        from firstcap.extract.assembly.statements import _subjects, promise_of

        whole = Unit(run, 0, len(run.text), self.hits(run))
        levels = whole.of(Family.LEVEL)
        if levels and record.level is None:
            record.level = Found.of(levels[0])
        elif record.level is None:
            record.level = _bare_level(run)
        covered = [
            hit
            for hit in whole.of(Family.COMPONENT)
            if not any(lv.start <= hit.start and hit.end <= lv.end for lv in levels)
        ]
        subjects = _subjects(whole, covered)
        if subjects and record.component is None:
            record.component = Found.of(subjects[0])
        for name, family in (
            ("product", Family.PRODUCT),
            ("meter_type", Family.METER_TYPE),
            ("standard", Family.STANDARD),
            ("start", Family.START),
            ("rule", Family.RULE),
        ):
            hit = whole.first(family)
            if hit is not None and getattr(record, name) is None:
                setattr(record, name, Found.of(hit))
        names = tuple(dict.fromkeys(str(hit.value) for hit in whole.of(Family.PRODUCT)))
        if len(names) > 1 and not record.products:
            record.products = names
        if record.promise is None:
            found = promise_of(whole)
            if found is not None:
                record.promise = found
        sizes = whole.first(Family.SIZE)
        if sizes is not None and record.sizes is None:
            record.sizes = Found.of(sizes)
        record.variant = record.variant or variant_of(run.text)

    def _data(
        self, row: int, col: int, cell: Cell, labels: Record, row_run: Run, groups: dict[tuple[object, ...], Record]
    ) -> None:
        header_run = self._header_run(col)
        record = Record(
            row_run,
            labels.sizes,
            labels.component,
            labels.product,
            labels.meter_type,
            labels.level,
            labels.promise,
            labels.standard,
            labels.start,
            labels.rule,
            None,
            labels.variant,
            remark=labels.remark,
            products=labels.products,
            unnamed=labels.unnamed,
        )
        if header_run.text:
            before = record.variant
            self._name(record, header_run)
            record.variant = before
        if col in self.size_cols:
            above = [top for place in range(self.first) if (top := self.table.at(place, col)) is not None]
            header_cell = next((top for top in above if size.size_in(top.text, "size") is not None), None)
            if header_cell is not None:
                record.sizes = Found.of(Hit(self.size_cols[col], header_cell.run))
        label_text = " ".join(self._text(row, key) for key, kind in self.keys.items() if kind == "name")
        unit_text = f"{header_run.text} {label_text}" if self.size_cols else header_run.text
        hits = self.hits(cell.run)
        remark = _REMARK.search(header_run.text)
        if remark:
            return
        notes = self._footnotes(cell, header_run, row)
        if _EMPTY.match(cell.text):
            record.none = True
        self._values(record, cell, unit_text, hits, notes)
        if not (record.has_limits or record.flows or record.bands):
            return
        if record.level is None and record.promise is None and col in self.named_cols:
            record.column, record.columns = self.named_cols[col], tuple(self.named_cols.values())
        key = _key(record)
        known = groups.get(key)
        if known is None:
            groups[key] = record
        else:
            _absorb(known, record)

    def _footnotes(self, cell: Cell, header_run: Run, row: int) -> list[Run]:
        marks = [mark for _, mark in cell.run.marks]
        marks += [mark for _, mark in header_run.marks]
        for col, kind in self.keys.items():
            if kind in ("name", "size"):
                key_cell = self.table.at(row, col)
                if key_cell is not None:
                    marks += [mark for _, mark in key_cell.run.marks]
        found = []
        for mark in dict.fromkeys(marks):
            block = self.context.layout.footnote(mark)
            if block is not None:
                found.append(block.run)
        return found

    def _values(self, record: Record, cell: Cell, unit_text: str, hits: Sequence[Hit], notes: Sequence[Run]) -> None:
        run = cell.run
        style, gallon = self.reader.style, self.reader.gallon
        q_name = _Q.match(unit_text)
        duration = (
            self._first_of(hits, Family.DURATION)
            or _lifted(duration_in(run.text, unit_text, style), run)
            or _lifted(_leading_time(run.text, unit_text, style), run)
        )
        cap = self._first_of(hits, Family.VOLUME)
        if cap is None and self._first_of(hits, Family.DURATION) is None:
            outer_units = self._outer_units(unit_text)
            cap = _lifted(
                volume_in(run.text, unit_text, style, gallon)
                or next((found for text in outer_units if (found := volume_in(run.text, text, style, gallon))), None),
                run,
            )
        life = self._first_of(hits, Family.LIFE)
        bands = [hit for hit in hits if hit.family is Family.BAND]
        flow_hit = self._first_of(hits, Family.FLOW) or (
            None if duration or cap else _lifted(flow.flow_in(run.text, unit_text, style, gallon), run)
        )
        if re.search(r"gpm|flow|q\d|l/h|m³/h|m3/h|changeover|range", unit_text, re.IGNORECASE) and not re.search(
            r"year|month|registr|volume|total", unit_text, re.IGNORECASE
        ):
            if flow_hit is not None:
                duration = cap = None
        if q_name is not None and flow_hit is None:
            ratio = re.match(r"^\W*R?\s*(\d{2,4})\W*$", run.text)
            if q_name.group(1).upper() == "R" and ratio:
                ratio_value = FlowRate(low=ratio.group(1), high=ratio.group(1), unit="gpm")  # type: ignore[arg-type]
                record.flows["R"] = (
                    ratio_value,
                    Hit(Mention(Family.FLOW, 0, len(run.text), ratio_value, "flow.ratio", run.text), run),
                )
            return
        for note in notes:
            duration, cap = self._noted(record, note, duration, cap, unit_text)
        if duration is not None:
            value = duration.value
            if isinstance(value, FullAndTail):
                record.times.append(TimeLimit(value.total, duration, value.full))
                if value.full.months is not None:
                    record.full = Found(value.full.months, duration, False, duration.mention.pattern)
            elif isinstance(value, Duration):
                record.times.append(TimeLimit(value, duration))
            starts = [hit for hit in hits if hit.family is Family.START]
            if starts:
                record.start = Found.of(starts[0])
            rules = [hit for hit in hits if hit.family is Family.RULE]
            if rules:
                record.rule = Found.of(rules[0])
            self._stages(record, duration, run, notes)
            more = [hit for hit in hits if hit.family is Family.DURATION and hit is not duration]
            if more and len(starts) > 1 and isinstance(more[0].value, Duration):
                record.times[-1] = TimeLimit(
                    record.times[-1].duration, duration, record.times[-1].full, Found.of(starts[0])
                )
                record.times.append(TimeLimit(more[0].value, more[0], None, Found.of(starts[1])))
        if cap is not None and isinstance(cap.value, Volume):
            record.volumes.append((cap.value, cap))
        if life is not None:
            record.life = Found.of(life)
        if bands:
            from firstcap.extract.assembly.statements import bands_in

            record.bands.extend(bands_in(Unit(run, 0, len(run.text), list(hits))))
        if not bands and duration is None and cap is None and (flow_hit is None or "%" in run.text):
            mention = band_in(run.text, unit_text, style)
            if mention is not None and isinstance(mention.value, PercentBand):
                record.bands.append(BandDraft(mention.value, Hit(mention, run), _role_of(unit_text)))
                return
        if flow_hit is not None and duration is None and cap is None and isinstance(flow_hit.value, FlowRate):
            record.flows[self._flow_name(unit_text)] = (flow_hit.value, flow_hit)

    def _stages(self, record: Record, duration: Hit, run: Run, notes: Sequence[Run]) -> None:
        """Stages printed beside the time, in its cell, in the remark of its row or in a footnote on it."""
        total = record.times[0].duration.months if record.times else None
        for place in (run, *([record.remark] if record.remark is not None else []), *notes):
            found = cell_stages(place, duration, total, self.reader.style, bare=place not in notes)
            if found is not None and not record.credits:
                record.credits, record.full = found

    def _first_of(self, hits: Sequence[Hit], family: Family) -> Hit | None:
        return next((hit for hit in hits if hit.family is family), None)

    def _outer_units(self, unit_text: str) -> list[str]:
        """Where the unit of a bare number may stand when its header names none: caption, notes, the sentence before."""
        if re.search(r"year|month|flow|size", unit_text, re.IGNORECASE):
            return []
        places = [f"{unit_text} {self.outer}"]
        before = self.context.layout.blocks[self.grid.block - 1].run.text if self.grid.block else ""
        said = re.search(
            r"number of (?:u\.?s\.? )?gallons|gallons in the|in (?:thousands|millions) of gallons",
            before,
            re.IGNORECASE,
        )
        if said and re.search(r"limit|accuracy|meter|registr|volume", unit_text, re.IGNORECASE):
            places.append(f"{unit_text} gallons")
        return places

    def _flow_name(self, header: str) -> FlowRole | str:
        from firstcap.extract.language import parse
        from firstcap.extract.patterns import promise

        q = re.search(r"\bQ\s?([1-4])\b", header)
        if q:
            return f"Q{q.group(1)}"
        roles = promise.FLOW_ROLES.find(parse(header))
        for mention in roles:
            if isinstance(mention.value, FlowRole):
                return mention.value
        if re.search(r"range", header, re.IGNORECASE):
            return FlowRole.NORMAL_RANGE
        if re.search(r"low|min", header, re.IGNORECASE):
            return FlowRole.MINIMUM
        return header.strip().lower() or "flow"

    def _noted(
        self, record: Record, note: Run, duration: Hit | None, cap: Hit | None, unit_text: str
    ) -> tuple[Hit | None, Hit | None]:
        """A footnote that changes a cell: another start, another number."""
        hits = self.hits(note)
        starts = [hit for hit in hits if hit.family is Family.START]
        if starts and not re.match(r"^\W*(?:years?|months?) (?:are|is)", note.text, re.IGNORECASE):
            record.start = Found.of(starts[0])
        self._noted_bands(record, note)
        replaced = _READ.search(note.text)
        if replaced is None:
            self._doubtful_note(record, note, duration, cap)
            return duration, cap
        tail = note.text[replaced.end() :]
        offset = replaced.end()
        piece = re.split(r"\b(?:in place of|instead of|not|for the|rather than)\b", tail)[0]
        if not piece.strip():
            return duration, cap
        page = note.page
        style, gallon = self.reader.style, self.reader.gallon
        if duration is not None and cap is None:
            mention = _first_read(piece, lambda text: duration_in(text, unit_text, style))
            if mention is not None:
                record.notes.append(("other", f"A footnote changes {duration.mention.text} to {mention.text}", page))
                return _moved(mention, note, offset + len(piece) - len(piece.lstrip())), cap
        if cap is not None:
            mention = _first_read(piece, lambda text: volume_in(text, unit_text, style, gallon))
            if mention is not None:
                record.notes.append(("other", f"A footnote changes {cap.mention.text} to {mention.text}", page))
                return duration, _moved(mention, note, offset + len(piece) - len(piece.lstrip()))
        self._doubtful_note(record, note, duration, cap)
        return duration, cap

    def _noted_bands(self, record: Record, note: Run) -> None:
        """ "† In the changeover range a compound meter will register at least 90 %": a limit beside those of the row."""
        from firstcap.extract.assembly.statements import bands_in

        roles = {band.role for band in record.bands}
        for band in bands_in(Unit(note, 0, len(note.text), self.hits(note))):
            if band.role is FlowRole.INTERMEDIATE and band.role not in roles:
                record.bands.append(band)

    def _doubtful_note(self, record: Record, note: Run, duration: Hit | None, cap: Hit | None) -> None:
        """A footnote with a number of its own on a value, in words we do not know: the value stands, a person looks."""
        total = duration.value.months if duration is not None and isinstance(duration.value, Duration) else None
        if cell_stages(note, None, total, self.reader.style, bare=False) is not None:
            return  # stages of this time, which are read
        hits = self.hits(note)
        clash = (duration is not None and any(hit.family is Family.DURATION for hit in hits)) or (
            cap is not None and any(hit.family is Family.VOLUME for hit in hits)
        )
        valued = duration is not None or cap is not None
        wrong = valued and (
            _WRONG.search(note.text) is not None
            or (_READ.search(note.text) is not None and re.search(r"\d", note.text) is not None)
        )
        if clash or wrong:
            record.doubtful = True
            record.notes.append(("other", f"A footnote on this value may change it: “{note.text}”", note.page))

    def _merged(self, records: list[Record]) -> list[Record]:
        """Flow columns name no level: they serve every record of their size (and product)."""
        limited = [record for record in records if record.has_limits]
        loose = [record for record in records if not record.has_limits]
        if not limited:
            merged: dict[tuple[object, ...], Record] = {}
            for record in loose:
                key = (
                    record.sizes.value if record.sizes else None,
                    record.product.value if record.product else None,
                    record.component.value if record.component else None,
                )
                if key in merged:
                    _absorb(merged[key], record)
                else:
                    merged[key] = record
            return list(merged.values())
        unlevelled = [record for record in limited if record.level is None and record.promise is None]
        for record in loose:
            for target in limited:
                if _same_row(target, record):
                    target.flows.update(record.flows)
                    target.bands.extend(band for band in record.bands if band not in target.bands)
        del unlevelled
        return limited


def text_grids(units: Sequence[Sequence[Unit]], drafts: Sequence[Draft], grids: Sequence[Grid]) -> list[Grid]:
    """Lines such as "5/8 inch: 500,000 gal" under a promise that points below: a table set as text."""
    waiting = [
        d
        for d in drafts
        if d.refs and not (d.times and d.volumes) and not any(g.headings == d.unit.headings for g in grids)
    ]
    found: list[Grid] = []
    for draft in waiting:
        records: list[Record] = []
        block = -1
        for group in units:
            first = group[0]
            if first.block <= draft.unit.block or first.headings != draft.unit.headings:
                continue
            rows = [
                unit
                for unit in group
                if unit.of(Family.SIZE) and unit.of(Family.VOLUME, Family.DURATION) and len(unit.text) < 90
            ]
            if len(rows) != len(group) or any(unit.of(Family.TRIGGER) for unit in group):
                break
            block = first.block if block < 0 else block
            records.extend(_text_record(unit) for unit in rows)
        if len(records) >= 2 and not any(grid.block == block for grid in found):
            empty = Table((), 0, 0, 0)
            found.append(Grid(block, draft.unit.headings, empty, None, records))
    return found


def _text_record(unit: Unit) -> Record:
    row = Run(unit.text, unit.run.words_between(unit.start, unit.end), ())
    sizes = unit.of(Family.SIZE)[0]
    record = Record(row, Found.of(sizes))
    for hit in unit.of(Family.DURATION):
        if isinstance(hit.value, Duration):
            record.times.append(TimeLimit(hit.value, hit))
    for hit in unit.of(Family.VOLUME)[:1]:
        if isinstance(hit.value, Volume):
            record.volumes.append((hit.value, hit))
    return record


def _first_read(piece: str, read: Callable[[str], Mention | None]) -> Mention | None:
    """The value that a correction names: all of its words, or those up to the end of its first figure ("4,800 with …")."""
    whole = piece.strip(" .,;")
    figure = re.match(r"[^\d]{0,30}?\d[\d.,/ ]*\d|[^\d]{0,30}?\d", whole)
    return read(whole) or (read(figure.group().strip()) if figure else None)


def _leading_time(text: str, header: str, style: NumberStyle) -> Mention | None:
    """ "10 (6 full, 4 at half price)" under "Years": the number that leads, where words explain it."""
    match = re.match(r"\W*(\d{1,3}(?:[.,]\d)?)\s*[:;(,]\s*(?=.*[a-z]{3})", text, re.IGNORECASE)
    return duration_in(text[: match.end(1)], header, style) if match else None


def _bare_level(run: Run) -> Found | None:
    """A column headed "New years" or "Repaired gallons": the level in one word."""
    match = re.match(r"\W*(new|repaired)\b(?!\s+(?:products?|parts?|units?|edition))", run.text, re.IGNORECASE)
    if match is None:
        return None
    level = AccuracyLevel.NEW_METER if match.group(1).lower() == "new" else AccuracyLevel.REPAIRED_METER
    mention = Mention(Family.LEVEL, match.start(1), match.end(1), level, "level.bare_header", match.group(1))
    return Found.of(Hit(mention, run))


def _role_of(header: str) -> FlowRole | None:
    from firstcap.extract.language import parse
    from firstcap.extract.patterns import promise

    roles = [mention.value for mention in promise.FLOW_ROLES.find(parse(header)) if isinstance(mention.value, FlowRole)]
    return roles[0] if roles else FlowRole.MINIMUM


def _same_row(left: Record, right: Record) -> bool:
    def value(found: Found | None) -> object:
        return None if found is None else found.value

    return (
        value(left.sizes) == value(right.sizes)
        and (left.product is None or right.product is None or value(left.product) == value(right.product))
        and left.row.text == right.row.text
    )


def _key(record: Record) -> tuple[object, ...]:
    def value(found: Found | None) -> object:
        return None if found is None else found.value

    same_row = "" if record.sizes is not None else record.row.text
    promise = None if record.level is not None else value(record.promise)
    return (
        value(record.sizes),
        value(record.component),
        value(record.product),
        value(record.level),
        promise,
        record.variant,
        record.column,
        same_row,
    )


def _absorb(known: Record, other: Record) -> None:
    if other.times and not known.times:
        known.times = other.times
        known.full = known.full or other.full
        known.credits = known.credits or other.credits
    if other.volumes and not known.volumes:
        known.volumes = other.volumes
    elif other.volumes and {volume.usgal for volume, _ in other.volumes} != {
        volume.usgal for volume, _ in known.volumes
    }:
        known.clash = True
        said = f"{known.volumes[0][1].mention.text} and {other.volumes[0][1].mention.text}"
        known.notes.append(("other", f"Two columns give this promise different volumes: {said}", other.row.page))
    known.flows.update(other.flows)
    known.bands.extend(band for band in other.bands if band not in known.bands)
    known.notes.extend(other.notes)
    known.doubtful = known.doubtful or other.doubtful
    known.life = known.life or other.life
    for name in ("standard", "rule", "meter_type", "promise"):
        if getattr(known, name) is None:
            setattr(known, name, getattr(other, name))
    if other.start is not None and (known.start is None or (other.start.hit is not None and other.times)):
        known.start = other.start
    if other.row.text != known.row.text and other.row.text not in known.row.text:
        known.row = join_runs([known.row, other.row])


def _lifted(mention: Mention | None, run: Run) -> Hit | None:
    return None if mention is None else Hit(mention, run)


def _moved(mention: Mention, run: Run, offset: int) -> Hit:
    from dataclasses import replace

    return Hit(
        replace(mention, start=mention.start + offset, end=mention.end + offset, pattern="footnote.override"), run
    )


_VARIANTS = (
    ("bottom plate", r"\bbottom plates?\b|\bfrost bottoms?\b"),
    ("bronze", r"\bbronze|\bbronce\b"),
    ("brass", r"\bbrass\b|\blaiton\b|\bmessing\b|\blatón\b"),
    ("composite", r"\bcomposite\b"),
    ("polymer", r"\bpolymer|\bplastic|\bnylon\b|\bpolímero\b|\bresin\b|\bpolymère\b|\bkunststoff"),
    ("stainless steel", r"\bstainless\b"),
    ("iron", r"\biron\b"),
    ("direct-read", r"\bdirect[- ]?read(?:ing)?\b"),
    ("encoder", r"\bencoders?\b|\bencoded\b"),
    ("mechanical", r"\bmechanical\b"),
    ("electronic", r"\belectronic\b"),
)


def variant_of(text: str) -> str | None:
    """The material or make that may tell alike components apart."""
    for name, pattern in _VARIANTS:
        if re.search(pattern, text, re.IGNORECASE):
            return name
    return None
