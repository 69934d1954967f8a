"""Which column of a list of meters is which: by the names that exports use, or as a person says."""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from firstcap.app.fleet.column_file import places_given
from firstcap.app.fleet.units import gallons_in
from firstcap.schema.errors import UsageError
from firstcap.schema.fleet import MeterColumn

# Names are compared without case, blanks and marks. Common practice of billing and meter systems; one place for all.
NAMES: dict[MeterColumn, tuple[str, ...]] = {
    MeterColumn.METER_ID: (
        "meter id",
        "meter",
        "meter number",
        "meter no",
        "meter num",
        "serial",
        "serial number",
        "serial no",
        "meter serial",
        "meter serial number",
        "badge",
        "badge number",
        "device id",
        "asset id",
    ),
    MeterColumn.SUPPLIER: ("supplier", "manufacturer", "mfr", "mfg", "make", "meter make", "maker", "vendor", "brand"),
    MeterColumn.PRODUCT: (
        "product",
        "model",
        "meter model",
        "model number",
        "meter type",
        "type",
        "line",
        "model name",
    ),
    MeterColumn.SIZE: ("size", "meter size", "nominal size", "diameter", "size in", "size inch", "size mm"),
    MeterColumn.SHIPPED_ON: (
        "shipped on",
        "shipped",
        "ship date",
        "shipment date",
        "date shipped",
        "shipping date",
        "despatch date",
        "dispatch date",
        "date of shipment",
    ),
    MeterColumn.INSTALLED_ON: (
        "installed on",
        "installed",
        "install date",
        "installation date",
        "date installed",
        "set date",
        "date set",
        "in service date",
        "in service",
        "date in service",
        "date of installation",
    ),
    MeterColumn.READING: (
        "reading",
        "last reading",
        "last read",
        "current read",
        "current reading",
        "read",
        "register reading",
        "odometer",
        "registration",
        "meter reading",
        "latest reading",
        "index",
    ),
    MeterColumn.READING_UNIT: ("reading unit", "unit", "units", "uom", "unit of measure", "read unit", "reading units"),
    MeterColumn.READING_ON: (
        "reading on",
        "reading date",
        "read date",
        "last read date",
        "date of reading",
        "date read",
        "last reading date",
        "current read date",
    ),
    MeterColumn.ANNUAL_USE: (
        "annual use",
        "annual usage",
        "annual consumption",
        "yearly use",
        "yearly consumption",
        "use per year",
        "usage per year",
        "consumption",
        "use a year",
        "annual volume",
        "12 month use",
        "12 month usage",
    ),
}
_NEEDED = (MeterColumn.METER_ID, MeterColumn.SUPPLIER, MeterColumn.SIZE)
_DATED = (MeterColumn.SHIPPED_ON, MeterColumn.INSTALLED_ON)
_UNIT_AFTER = re.compile(r"^(.+?)[\s_]*[\[(]([^\])]+)[\])]$|^(.+?)[\s_]+(?:in[\s_]+)?([A-Za-z0-9³]+(?: [A-Za-z]+)?)$")
KEYS = ("columns", "unit", "dates", "decimals", "encoding", "sizes")  # of the file for --columns


@dataclass(frozen=True)
class Layout:
    """Where each column stands. `units` are factors to US gallons of columns whose header names their unit."""

    places: Mapping[MeterColumn, int]
    units: Mapping[MeterColumn, float] = field(default_factory=dict)


def layout_of(names: Sequence[str], given: Mapping[MeterColumn, str], file: str) -> Layout:
    """Find each column in the header. UsageError for one that is missing or stands there twice."""
    places = places_given(names, given, file)
    units: dict[MeterColumn, float] = {}
    for column, known in NAMES.items():
        if column in places:
            continue
        candidates: dict[int, float | None] = {}
        for place, name in enumerate(names):
            if place in places.values():
                continue
            if plain_name(name) in known:
                candidates[place] = None
            elif column in (MeterColumn.READING, MeterColumn.ANNUAL_USE):
                stem, factor = _with_unit(name)
                if factor is not None and plain_name(stem) in known:
                    candidates[place] = factor
        if len(candidates) > 1:
            held = ", ".join(repr(names[place]) for place in candidates)
            raise UsageError(f"{held} could each be {column}; say which in a file for --columns", file=file)
        for place, factor in candidates.items():
            places[column] = place
            if factor is not None:
                units[column] = factor
    for column in places:
        if column not in units and column in (MeterColumn.READING, MeterColumn.ANNUAL_USE):
            _, factor = _with_unit(names[places[column]])
            if factor is not None:
                units[column] = factor
    _complete(places, names, file)
    return Layout(places, units)


def _complete(places: Mapping[MeterColumn, int], names: Sequence[str], file: str) -> None:
    missing = [column.value for column in _NEEDED if column not in places]
    if not any(column in places for column in _DATED):
        missing.append(" or ".join(_DATED))
    if missing:
        raise UsageError(
            f"has no column for {', '.join(missing)} among {', '.join(repr(name) for name in names)}; "
            "say which it is in a file for --columns",
            file=file,
        )


def plain_name(name: str) -> str:
    """A header without case, blanks and marks."""
    return " ".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())


def _with_unit(name: str) -> tuple[str, float | None]:
    """A header such as `Reading (CCF)` or `annual_use_kgal` without its unit, and the unit's factor."""
    match = _UNIT_AFTER.match(name.strip())
    if match is None:
        return name, None
    stem, unit = (match[1], match[2]) if match[1] is not None else (match[3], match[4])
    factor = gallons_in(unit.replace("_", " "))
    return (name, None) if factor is None else (stem, float(factor))
