"""A list of bench tests from a CSV file; a line that cannot be used is told with its number and the reason."""

import csv
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from fractions import Fraction
from pathlib import Path

from firstcap.app.fleet.column_file import ColumnFile, column_file, one_of, places_given
from firstcap.app.fleet.columns import plain_name
from firstcap.app.fleet.dates import DayOrder, days_in
from firstcap.app.fleet.layout import sheet_of
from firstcap.app.fleet.units import gallons_in
from firstcap.app.report.paper import Cell, Table, columns
from firstcap.app.worth.bench import BenchTest
from firstcap.schema.claims import TestColumn
from firstcap.schema.errors import UsageError
from firstcap.schema.units import gpm_per
from firstcap.worth.claims import registration

# Names are compared without case, blanks and marks. Common practice of test benches and their sheets.
NAMES: dict[TestColumn, str] = {
    TestColumn.METER_ID: "meter id|meter|meter number|meter no|serial|serial number|serial no|badge|device id|asset id",
    TestColumn.TESTED_ON: "tested on|test date|date of test|date tested|tested|date",
    TestColumn.FLOW: "flow|flow rate|test flow|rate|test rate|flowrate",
    TestColumn.FLOW_UNIT: "flow unit|flow units|rate unit|unit of flow",
    TestColumn.REGISTRATION: "registration pct|registration|accuracy|accuracy pct|registered pct|percent registration",
    TestColumn.ERROR: "error|error pct|percent error|error of indication",
    TestColumn.REGISTERED_VOLUME: "registered volume|meter volume|registered|volume registered|indicated volume",
    TestColumn.REFERENCE_VOLUME: "reference volume|true volume|reference|tank volume|actual volume|volume passed",
    TestColumn.UNCERTAINTY: "uncertainty pct|uncertainty|expanded uncertainty|u",
    TestColumn.READING: "reading|register reading|meter reading|odometer|index|reading at test",
    TestColumn.READING_UNIT: "reading unit|register unit|unit of reading",
}
_FLOW_NAMES = {
    "gpm": "gpm|gal/min|gallons per minute|usgpm|us gpm|gallon per minute",
    "gph": "gph|gal/h|gallons per hour",
    "L/h": "l/h|lph|litres per hour|liters per hour|l/hr",
    "L/min": "l/min|lpm|litres per minute|liters per minute",
    "L/s": "l/s|lps",
    "m3/h": "m3/h|m³/h|cubic metres per hour|cubic meters per hour|cmh|m3/hr",
    "cfm": "cfm|ft3/min|cubic feet per minute",
    "imp_gpm": "imp gpm|igpm|imperial gallons per minute",
}
_KEYS = ("columns", "unit", "flow_unit", "dates", "encoding")
_FLOWS = {name: unit for unit, names in _FLOW_NAMES.items() for name in names.split("|")}
_NUMBER = re.compile(r"^([+±-]?)\s*(\d[\d,]*(?:\.\d*)?|\.\d+)\s*%?$")
_FRACTION = re.compile(r"^(?:(\d+)[ -])?(\d+)/(\d+)$")
_UNIT_IN_HEADER = re.compile(r"^(.+?)[\s_]*(?:[\[(]([^\])]+)[\])]|(?<=[_\s])([^\s_]+))$")
_SHARE = 2  # a registration above zero up to here is more likely a share of one than a per cent
_HIGHEST = 200
_AGREE = Fraction(1, 20)  # points between a stated registration and that of the volumes beside it


@dataclass(frozen=True)
class Fault:
    """Why a line of the list was not used."""

    line: int
    column: str
    written: str
    reason: str


@dataclass(frozen=True)
class BenchList:
    tests: tuple[BenchTest, ...]
    faults: tuple[Fault, ...]

    @property
    def table(self) -> Table:
        """The lines not used, as a table of the report."""
        head = columns(("line", "Line"), ("column", "Column"), ("written", "What it says"), ("reason", "Why not used"))
        rows = tuple(
            (Cell(str(one.line), one.line), Cell(one.column), Cell(one.written or "—"), Cell(one.reason))
            for one in self.faults
        )
        return Table("claims-problems", "Lines not used", head, rows)


class _UnusableError(Exception):
    def __init__(self, column: str, written: str, reason: str) -> None:
        super().__init__(reason)
        self.column, self.written, self.reason = column, written, reason


def bench_list(
    path: Path,
    *,
    day: date,
    flow_unit: str | None = None,
    unit: str | None = None,
    dates: DayOrder | None = None,
    encoding: str | None = None,
    columns: Path | None = None,
) -> BenchList:
    """Read the list. `flow_unit` and `unit` (of readings) stand in where it names none; each option overrides what
    the TOML file `columns` says.

    UsageError where a needed column is missing, or a unit or the order of dates cannot be told.
    """
    file = column_file(columns, TestColumn, _KEYS) if columns else ColumnFile[TestColumn]()
    flow_unit, unit = flow_unit or file.flow_unit, unit or file.unit
    dates = dates or one_of(DayOrder, file.dates, columns, "dates")
    sheet = sheet_of(path, encoding or file.encoding)
    places, units = _places(sheet.names, file.columns, str(path))
    flow_given = _flow_unit(flow_unit, "--flow-unit") if flow_unit else units.get(TestColumn.FLOW)
    if unit is not None and gallons_in(unit) is None:
        raise UsageError(f"no unit of volume {unit!r}; for example gal, kgal, CCF, ft3, m3")
    volume_given = gallons_in(unit) if unit else units.get(TestColumn.READING)
    rows = _rows(path, sheet.delimiter, sheet.encoding, sheet.skipped, places)
    if not rows:
        raise UsageError("holds no line below its header", file=str(path))
    days = days_in({row[TestColumn.TESTED_ON] for _, row in rows}, sheet.names[places[TestColumn.TESTED_ON]], dates)
    tests, faults = [], []
    for line, row in rows:
        try:
            tests.append(_test(line, row, days, day, flow_given, volume_given))
        except _UnusableError as fault:
            faults.append(Fault(line, fault.column, fault.written, fault.reason))
    return BenchList(tuple(tests), tuple(faults))


def _places(
    names: Sequence[str], given: Mapping[TestColumn, str], file: str
) -> tuple[dict[TestColumn, int], dict[TestColumn, Fraction]]:
    """Where each column stands, and the units that headers of flow and reading name."""
    known = {name: column for column, held in NAMES.items() for name in held.split("|") if column not in given}
    places = places_given(names, given, file)
    units: dict[TestColumn, Fraction] = {}
    for place, name in enumerate(names):
        if place in places.values():
            continue
        column = known.get(plain_name(name))
        if column is None and (match := _UNIT_IN_HEADER.match(name.strip())):
            column = known.get(plain_name(match[1]))
            written = match[2] or match[3]
            if column is TestColumn.FLOW and (flow := _flow_factor(written)):
                units[column] = flow
            elif column is TestColumn.READING and (volume := gallons_in(written)):
                units[column] = volume
            elif column is not None and plain_name(written) not in ("", "percent", "pct"):
                column = None
        if column is None:
            continue
        if column in places:
            raise UsageError(
                f"{names[places[column]]!r} and {name!r} could each be {column}; say which in a file for --columns",
                file=file,
            )
        places[column] = place
    missing = [c.value for c in (TestColumn.METER_ID, TestColumn.TESTED_ON, TestColumn.FLOW) if c not in places]
    volumes = {TestColumn.REGISTERED_VOLUME, TestColumn.REFERENCE_VOLUME} <= set(places)
    if not volumes and TestColumn.REGISTRATION not in places and TestColumn.ERROR not in places:
        missing.append("registration_pct (or error_pct, or registered_volume and reference_volume)")
    if missing:
        told = ", ".join(repr(name) for name in names)
        raise UsageError(
            f"has no column for {', '.join(missing)} among {told}; say which it is in a file for --columns", file=file
        )
    return places, units


def _rows(
    path: Path, delimiter: str, encoding: str, skipped: int, places: Mapping[TestColumn, int]
) -> list[tuple[int, dict[TestColumn, str]]]:
    try:
        with path.open(encoding="utf-8-sig" if encoding == "utf-8" else encoding, newline="") as file:
            reader = csv.reader(file, delimiter=delimiter)
            lines = [(reader.line_num, cells) for cells in reader]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise UsageError(f"cannot be read ({error}); say its --encoding, such as cp1252", file=str(path)) from error
    found = []
    for line, cells in lines:
        if line <= skipped + 1 or not any(cell.strip() for cell in cells):
            continue
        row = {column: cells[place].strip() if place < len(cells) else "" for column, place in places.items()}
        found.append((line, row))
    return found


def _test(
    line: int,
    row: Mapping[TestColumn, str],
    days: Mapping[str, date],
    day: date,
    flow_given: Fraction | None,
    volume_given: Fraction | None,
) -> BenchTest:
    meter = row[TestColumn.METER_ID]
    if not meter:
        raise _UnusableError(TestColumn.METER_ID, "", "no number of a meter")
    written = row[TestColumn.TESTED_ON]
    tested = days.get(written)
    if tested is None:
        raise _UnusableError(TestColumn.TESTED_ON, written, "no day of the calendar")
    if tested > day:
        raise _UnusableError(TestColumn.TESTED_ON, written, f"later than {day}, the day reckoned for (--on)")
    spread = _optional(row, TestColumn.UNCERTAINTY)
    if spread is not None and spread < 0:
        raise _UnusableError(TestColumn.UNCERTAINTY, row[TestColumn.UNCERTAINTY], "below zero")
    return BenchTest(
        line, meter, tested, _flow(row, flow_given), _registration(row), spread, _reading(row, volume_given)
    )


def number_in(text: str) -> Fraction | None:
    """A number as benches print it: `0.25`, `1/4`, `1 1/2`, `1,234.5`, `+0.3`, `±0.3`, `98.5 %`.

    >>> number_in("1 1/2"), number_in("-1.5 %"), number_in("98,5")
    (Fraction(3, 2), Fraction(-3, 2), None)
    """
    plain = " ".join(text.replace("−", "-").split())
    if match := _FRACTION.match(plain):
        return int(match[1] or 0) + Fraction(int(match[2]), int(match[3])) if int(match[3]) else None
    match = _NUMBER.match(plain)
    if match is None or ("," in match[2] and not re.fullmatch(r"\d{1,3}(,\d{3})+(\.\d*)?", match[2])):
        return None
    try:
        value = Fraction(Decimal(match[2].replace(",", "")))
    except InvalidOperation:
        return None
    return -value if match[1] == "-" else value


def _optional(row: Mapping[TestColumn, str], column: TestColumn) -> Fraction | None:
    text = row.get(column, "")
    if not text:
        return None
    value = number_in(text)
    if value is None:
        raise _UnusableError(column, text, "no number; write it with a decimal point")
    return value


def _flow_factor(text: str) -> Fraction | None:
    unit = _FLOWS.get(" ".join(text.casefold().split()))
    return None if unit is None else gpm_per(unit)


def _flow_unit(text: str, where: str) -> Fraction:
    factor = _flow_factor(text)
    if factor is None:
        raise UsageError(f"{where}: no unit of flow {text!r}; for example {', '.join(_FLOW_NAMES)}")
    return factor


def _flow(row: Mapping[TestColumn, str], given: Fraction | None) -> Fraction:
    text = row[TestColumn.FLOW]
    bare, factor = text, given
    if unit := row.get(TestColumn.FLOW_UNIT):
        factor = _flow_factor(unit)
        if factor is None:
            raise _UnusableError(TestColumn.FLOW_UNIT, unit, f"no unit of flow; for example {', '.join(_FLOW_NAMES)}")
    elif match := re.match(r"^([\d.,/ -]+?)\s*([^\d\s.,/-].*)$", text):
        bare, factor = match[1], _flow_factor(match[2])
    value = number_in(bare)
    if value is None or value <= 0:
        raise _UnusableError(TestColumn.FLOW, text, "no flow above zero")
    if factor is None:
        raise _UnusableError(TestColumn.FLOW, text, "its unit is not told; add a column flow_unit, or say --flow-unit")
    return value * factor


def _registration(row: Mapping[TestColumn, str]) -> Fraction:
    found = _optional(row, TestColumn.REGISTRATION)
    error = _optional(row, TestColumn.ERROR)
    registered = _optional(row, TestColumn.REGISTERED_VOLUME)
    reference = _optional(row, TestColumn.REFERENCE_VOLUME)
    ways: list[tuple[TestColumn, Fraction]] = []
    if found is not None:
        if 0 < found <= _SHARE:
            raise _UnusableError(TestColumn.REGISTRATION, row[TestColumn.REGISTRATION], "a share of one? Give per cent")
        ways.append((TestColumn.REGISTRATION, found))
    if error is not None:
        ways.append((TestColumn.ERROR, 100 + error))
    if registered is not None and reference is not None:
        try:
            ways.append((TestColumn.REGISTERED_VOLUME, registration(registered, reference)))
        except ValueError as problem:
            written = row[TestColumn.REFERENCE_VOLUME]
            raise _UnusableError(TestColumn.REFERENCE_VOLUME, written, str(problem)) from problem
    if not ways:
        raise _UnusableError(TestColumn.REGISTRATION, "", "neither a registration nor both volumes")
    (column, value), *others = ways
    for other, told in others:
        if abs(told - value) > _AGREE:
            raise _UnusableError(other, row[other], f"does not agree with {column}, {float(value):g} %")
    if not 0 <= value <= _HIGHEST:
        raise _UnusableError(column, row[column], f"no registration between 0 and {_HIGHEST} %")
    return value


def _reading(row: Mapping[TestColumn, str], given: Fraction | None) -> Fraction | None:
    value = _optional(row, TestColumn.READING)
    if value is None:
        return None
    unit = row.get(TestColumn.READING_UNIT)
    if unit and gallons_in(unit) is None:
        raise _UnusableError(TestColumn.READING_UNIT, unit, "no unit of volume; for example gal, kgal, CCF, m3")
    gallons = gallons_in(unit) if unit else given
    if gallons is None:
        told = "its unit is not told; add a column reading_unit, or say --unit"
        raise _UnusableError(TestColumn.READING, row[TestColumn.READING], told)
    if value < 0:
        raise _UnusableError(TestColumn.READING, row[TestColumn.READING], "below zero")
    return value * gallons
