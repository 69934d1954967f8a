"""A list of meters into the catalogue: header, units, dates, sizes; whatever is doubtful is asked for, not guessed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path

from firstcap.app.fleet.column_file import ColumnFile, column_file, one_of
from firstcap.app.fleet.columns import KEYS, Layout, layout_of
from firstcap.app.fleet.dates import DayOrder, days_in
from firstcap.app.fleet.layout import sheet_of
from firstcap.app.fleet.sizes import sizes_in
from firstcap.app.fleet.units import gallons_in
from firstcap.schema.errors import UsageError
from firstcap.schema.fleet import MeterColumn
from firstcap.store.catalogue import Catalogue
from firstcap.store.fleet import MEMORY, Imported, NumberShapes, Sheet, Understanding, import_meters


class DecimalSign(StrEnum):
    POINT = "point"
    COMMA = "comma"


@dataclass(frozen=True)
class ListOptions:
    """What a person says of a list; each overrides what the file for `--columns` says."""

    columns: Path | None = None
    unit: str | None = None
    dates: DayOrder | None = None
    decimals: DecimalSign | None = None
    encoding: str | None = None


def import_list(
    catalogue: Catalogue, path: Path, options: ListOptions | None = None, *, day: date, memory: str = MEMORY
) -> Imported:
    """Put the meters of a CSV file into the catalogue, in place of those it has.

    UsageError where a column, a unit, the order of dates or the decimal sign cannot be told; the message says what to
    add. Dates after `day` are told as problems.
    """
    given = options or ListOptions()
    file = column_file(given.columns, MeterColumn, KEYS) if given.columns else ColumnFile[MeterColumn]()
    sheet = sheet_of(path, given.encoding or file.encoding)
    layout = layout_of(sheet.names, file.columns, str(path))
    unit = given.unit or file.unit
    factor = _factor(unit, path)
    order = given.dates or one_of(DayOrder, file.dates, given.columns, "dates")
    sign = given.decimals or one_of(DecimalSign, file.decimals, given.columns, "decimals")
    needed = _unit_needed(layout, factor)

    def units(texts: Sequence[str]) -> Mapping[str, float]:
        return {text: float(known) for text in texts if (known := gallons_in(text)) is not None}

    if needed is not None:
        raise UsageError(
            f"does not say in which unit {needed} is; name it with --unit (gal, kgal, CCF, m3, …)", file=str(path)
        )
    understanding = Understanding(
        places=layout.places,
        dates=lambda column, texts: days_in(texts, sheet.names[layout.places[column]], order),
        sizes=lambda texts: sizes_in(texts, dict(file.sizes)),
        units=units,
        decimal_comma=lambda column, shapes: decimal_comma(sheet, layout, column, shapes, sign),
        units_given=layout.units,
        unit=factor,
        settings={
            "columns": {column.value: sheet.names[place] for column, place in layout.places.items()},
            "unused": [name for place, name in enumerate(sheet.names) if place not in set(layout.places.values())],
            "unit": unit,
            "dates": order,
        },
    )
    return import_meters(catalogue, sheet, understanding, day=day, memory=memory)


def _factor(unit: str | None, path: Path) -> float | None:
    if unit is None:
        return None
    known = gallons_in(unit)
    if known is None:
        raise UsageError(f"no unit of volume {unit!r}; for example gal, kgal, CCF, ft3, m3", file=str(path))
    return float(known)


def _unit_needed(layout: Layout, factor: float | None) -> MeterColumn | None:
    """The column of volumes that says nowhere in which unit it is."""
    if factor is not None or MeterColumn.READING_UNIT in layout.places:
        return None
    volumes = (MeterColumn.READING, MeterColumn.ANNUAL_USE)
    return next((one for one in volumes if one in layout.places and one not in layout.units), None)


def decimal_comma(
    sheet: Sheet, layout: Layout, column: MeterColumn, shapes: NumberShapes, sign: DecimalSign | None
) -> bool:
    """Whether a comma is the decimal sign of a column. UsageError where its numbers read both ways.

    Where only shapes such as 1,234 are there, a comma between columns says that it stands between thousands here: a
    writer of decimal commas separates columns by something else. A list that does so must say which.
    """
    if sign is not None:
        return sign is DecimalSign.COMMA
    name = sheet.names[layout.places[column]]
    if shapes.point and shapes.comma:
        raise UsageError(
            f"{name}: some numbers have a decimal comma and some a decimal point; write them alike, or say --decimals "
            "point or comma and have the others listed as not used",
            file=str(sheet.path),
        )
    if shapes.comma:
        return True
    if shapes.either and not shapes.point and sheet.delimiter == ";":
        raise UsageError(
            f"{name}: {', '.join(shapes.examples)} may be thousands or decimals; say --decimals point or comma",
            file=str(sheet.path),
        )
    return False
