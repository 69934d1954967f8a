"""A utility's list of meters into the catalogue: read by DuckDB, understood value by value elsewhere, written whole.

Whatever needs understanding (dates, sizes, units, names) is asked for once for each distinct text, so that a list of
millions costs little more than its reading. A line that cannot be used is kept with its number and the reason.
"""

import json
import shutil
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from pathlib import Path

import duckdb

from firstcap.schema.errors import UsageError
from firstcap.schema.fleet import DATE_COLUMNS, LineProblem, MeterColumn
from firstcap.store.catalogue import Catalogue
from firstcap.store.rows import insert
from firstcap.store.sequence import Numbers

MEMORY = "3GB"
_CHUNK = 1 << 23
_NUMBER_COLUMNS = (MeterColumn.READING, MeterColumn.ANNUAL_USE)


@dataclass(frozen=True)
class Sheet:
    """How the file is laid out: `names` are the cells of its header, `skipped` the lines before it."""

    path: Path
    names: tuple[str, ...]
    delimiter: str
    encoding: str = "utf-8"
    skipped: int = 0


@dataclass(frozen=True)
class Understanding:
    """What the texts of the list mean; each function is asked once, with all distinct texts of its column.

    `places` says which cell of the header holds which column. A text that a mapping leaves out is not understood.
    `units_given` are factors to US gallons of columns whose header names their unit; `unit` is that of a line that says
    none; None where it must.
    """

    places: Mapping[MeterColumn, int]
    dates: Callable[[MeterColumn, Sequence[str]], Mapping[str, date]]
    sizes: Callable[[Sequence[str]], Mapping[str, str]]
    units: Callable[[Sequence[str]], Mapping[str, float]]
    decimal_comma: Callable[[MeterColumn, "NumberShapes"], bool]
    units_given: Mapping[MeterColumn, float] = field(default_factory=dict)
    unit: float | None = None
    settings: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True)
class NumberShapes:
    """How many texts of a column can only be read with a decimal point, only with a comma, or with either."""

    point: int
    comma: int
    either: int
    examples: tuple[str, ...] = ()


@dataclass(frozen=True)
class Imported:
    """`lines` below the header, `meters` of them used, `problems` by kind; `unused` are columns left aside."""

    lines: int
    meters: int
    problems: Mapping[LineProblem, int]
    unused: tuple[str, ...] = ()


def import_meters(
    catalogue: Catalogue, sheet: Sheet, understanding: Understanding, *, day: date, memory: str = MEMORY
) -> Imported:
    """Replace the catalogue's meters by those of the list, in one transaction; nothing changes where it fails.

    UsageError for a file that cannot be read. Peak memory is `memory` and what the texts to be understood need; what
    does not fit goes to a folder beside the catalogue.
    """
    with _as_utf8(sheet) as path, catalogue.writing() as connection:
        _bounded(connection, memory)
        blanks = _blank_lines(path)
        try:
            broken = _load(connection, path, sheet, understanding)
        except duckdb.Error as error:
            raise UsageError(f"cannot be read as a CSV file ({_first_line(error)})", file=str(sheet.path)) from error
        line = _line_number(sheet.skipped, sorted({*blanks, *broken}))
        _understand(connection, understanding)
        _normalise(connection, understanding)
        return _store(connection, sheet, understanding, day, line, broken)


def _bounded(connection: duckdb.DuckDBPyConnection, memory: str) -> None:
    connection.execute(f"SET memory_limit = '{memory}'")


def _first_line(error: Exception) -> str:
    return str(error).split("\n", 1)[0]


@contextmanager
def _as_utf8(sheet: Sheet) -> Iterator[Path]:
    """The file itself, or a copy of it in UTF-8: DuckDB reads that alone at full speed."""
    if sheet.encoding == "utf-8":
        yield sheet.path
        return
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder) / "list.csv"
        with (
            sheet.path.open(encoding=sheet.encoding, newline="") as source,
            copy.open("w", encoding="utf-8", newline="") as out,
        ):
            shutil.copyfileobj(source, out, _CHUNK)
        yield copy


def _blank_lines(path: Path) -> list[int]:
    """Numbers of the lines without a character, which the reader of CSV passes over without counting them."""
    found: list[int] = []
    line, fresh = 1, True  # `fresh`: nothing but line ends since the line began
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            if not (fresh or b"\n\n" in chunk or b"\n\r\n" in chunk or chunk[:1] in b"\r\n"):
                line += chunk.count(b"\n")
                fresh = chunk.endswith((b"\n", b"\n\r"))
                continue
            for piece in chunk.splitlines(keepends=True):
                blank = fresh and not piece.strip(b"\r\n")
                if piece.endswith(b"\n"):
                    if blank:
                        found.append(line)
                    line += 1
                    fresh = True
                else:
                    fresh = blank
    return found


def _line_number(skipped: int, missing: Sequence[int]) -> str:
    """SQL for the line of row `rn` (from 0): lines that gave no row are counted all the same."""
    thresholds = [line - 2 - skipped - before for before, line in enumerate(missing)]
    counted = f"len(list_filter({thresholds}::BIGINT[], lambda t: t <= rn))" if thresholds else "0"
    return f"(rn + 2 + {skipped} + {counted})"


def _load(
    connection: duckdb.DuckDBPyConnection, path: Path, sheet: Sheet, understanding: Understanding
) -> dict[int, str]:
    """The columns that are used into a temporary table of texts; the lines that have other columns than the header."""
    kinds = {f"c{place}": "VARCHAR" for place in range(len(sheet.names))}
    used = ", ".join(f"nullif(trim(c{place}), '') AS {column}" for column, place in understanding.places.items())
    options = (
        f"columns = {kinds!r}, delim = ?, quote = '\"', escape = '\"', header = true, skip = {sheet.skipped}, "
        "auto_detect = false, store_rejects = true, strict_mode = true, max_line_size = 10000000"
    )
    connection.execute(
        f"CREATE OR REPLACE TEMP TABLE raw AS SELECT {used} FROM read_csv(?, {options})", [str(path), sheet.delimiter]
    )
    rejected = connection.execute("SELECT line, error_type, csv_line FROM reject_errors").fetchall()
    connection.execute("DELETE FROM reject_errors; DELETE FROM reject_scans")
    if any("UNICODE" in str(kind) or "ENCODING" in str(kind) for _, kind, _ in rejected):
        raise UsageError(
            "is neither UTF-8 nor marked as anything else; save it as “CSV UTF-8”, or name its --encoding (cp1252, …)",
            file=str(sheet.path),
        )
    return {int(line): str(text or "")[:200] for line, _, text in rejected}


def _distinct(connection: duckdb.DuckDBPyConnection, expression: str) -> list[str]:
    rows = connection.execute(f"SELECT DISTINCT {expression} AS text FROM raw WHERE text IS NOT NULL ORDER BY text")
    return [str(text) for (text,) in rows.fetchall()]


def _day_text(column: str) -> str:
    """A date's text without the time of day that exports put behind it."""
    return (
        f"CASE WHEN contains({column}, ':') THEN regexp_replace({column}, '[T ]+\\d{{1,2}}:\\d{{2}}.*$', '') "
        f"ELSE {column} END"
    )


def _understand(connection: duckdb.DuckDBPyConnection, understanding: Understanding) -> None:
    """Temporary tables from text to meaning: one for each column of dates, for sizes, for units, for names."""
    for column in DATE_COLUMNS:
        days: Mapping[str, date] = {}
        if column in understanding.places:
            days = understanding.dates(column, _distinct(connection, _day_text(column)))
        _meanings(connection, f"{column}_meaning", "DATE", days)
    _meanings(connection, "size_meaning", "VARCHAR", understanding.sizes(_distinct(connection, "size")))
    named = MeterColumn.READING_UNIT in understanding.places
    units = understanding.units(_distinct(connection, "reading_unit")) if named else {}
    _meanings(connection, "unit_meaning", "DOUBLE", units)
    product = "product" if MeterColumn.PRODUCT in understanding.places else "NULL::VARCHAR"
    connection.execute(
        f"""CREATE OR REPLACE TEMP TABLE names AS
        SELECT row_number() OVER (ORDER BY supplier, product)::INTEGER AS name_no, * FROM (
          SELECT DISTINCT supplier, {product} AS product FROM raw WHERE supplier IS NOT NULL
        )"""
    )


def _meanings(
    connection: duckdb.DuckDBPyConnection, table: str, kind: str, meanings: Mapping[str, date | str | float]
) -> None:
    connection.execute(f"CREATE OR REPLACE TEMP TABLE {table} (text VARCHAR, meaning {kind})")
    if meanings:
        insert(connection, table, list(meanings.items()))


# Blanks, no-break blanks and apostrophes stand between thousands whatever the decimal sign is.
_BARE = "translate({0}, ' \u00a0\u202f\u2009''’', '')"
_EITHER = r"^[-+]?\d{1,3}[.,]\d{3}$"
_POINT = r"^[-+]?(\d{1,3}(,\d{3})+(\.\d+)?|\d*\.\d+|\d{1,3}(,\d{3}){2,})$"
_COMMA = r"^[-+]?(\d{1,3}(\.\d{3})+(,\d+)?|\d*,\d+|\d{1,3}(\.\d{3}){2,})$"


def _number(connection: duckdb.DuckDBPyConnection, column: MeterColumn, understanding: Understanding) -> str:
    """SQL for the number of a column: with commas or points between thousands, whichever the column writes."""
    bare = _BARE.format(column)
    counted = connection.execute(
        f"""SELECT count(*) FILTER (WHERE regexp_matches(t, '{_POINT}') AND NOT either),
          count(*) FILTER (WHERE regexp_matches(t, '{_COMMA}') AND NOT either), count(*) FILTER (WHERE either),
          list_sort(min(t, 3) FILTER (WHERE either))
        FROM (SELECT {bare} AS t, regexp_matches(t, '{_EITHER}') AS either FROM raw
          WHERE contains({column}, ',') OR contains({column}, '.'))"""
    ).fetchone()
    assert counted
    shapes = NumberShapes(int(counted[0]), int(counted[1]), int(counted[2]), tuple(counted[3] or ()))
    if understanding.decimal_comma(column, shapes):
        plain = f"replace(replace({bare}, '.', ''), ',', '.')"
        return f"try_cast({plain} AS DOUBLE)"
    return f"coalesce(try_cast({column} AS DOUBLE), try_cast(replace({bare}, ',', '') AS DOUBLE))"


def _first_row(connection: duckdb.DuckDBPyConnection) -> int:
    """Where DuckDB counts the rows of this table from: not from 0 before a transaction ends."""
    return int(connection.execute("SELECT coalesce(min(rowid), 0) FROM raw").fetchall()[0][0])


def _normalise(connection: duckdb.DuckDBPyConnection, understanding: Understanding) -> None:
    """A temporary table of what each line says, and of what in it was not understood."""
    has = understanding.places
    said = {column: (f"r.{column}" if column in has else "NULL::VARCHAR") for column in MeterColumn}
    numbers = {
        column: _number(connection, column, understanding) if column in has else "NULL::DOUBLE"
        for column in _NUMBER_COLUMNS
    }
    dates = "".join(
        f" LEFT JOIN {column}_meaning AS {column}_m ON {column}_m.text = {_day_text(f'r.{column}')}"
        for column in DATE_COLUMNS
        if column in has
    )
    day = {column: f"{column}_m.meaning" if column in has else "NULL::DATE" for column in DATE_COLUMNS}
    unit = " LEFT JOIN unit_meaning AS u ON u.text = r.reading_unit" if MeterColumn.READING_UNIT in has else ""
    default = f"{'NULL' if understanding.unit is None else repr(understanding.unit)}::DOUBLE"
    by_line = f"CASE WHEN r.reading_unit IS NULL THEN {default} ELSE u.meaning END" if unit else default
    given = understanding.units_given
    factor = {column: f"{given[column]!r}::DOUBLE" if column in given else by_line for column in _NUMBER_COLUMNS}
    first = _first_row(connection)
    connection.execute(
        """CREATE OR REPLACE TEMP TABLE repeated AS
        SELECT meter_id AS text, min(rowid) AS first FROM raw WHERE meter_id IS NOT NULL GROUP BY meter_id
        HAVING count(*) > 1"""
    )
    connection.execute(
        f"""CREATE OR REPLACE TEMP TABLE said AS
        SELECT
          r.rowid - {first} AS rn,
          r.meter_id,
          n.name_no,
          z.meaning AS size_label,
          {day[MeterColumn.SHIPPED_ON]} AS shipped_on,
          {day[MeterColumn.INSTALLED_ON]} AS installed_on,
          {day[MeterColumn.READING_ON]} AS reading_on,
          {numbers[MeterColumn.READING]} AS reading,
          {numbers[MeterColumn.ANNUAL_USE]} AS annual,
          {factor[MeterColumn.READING]} AS reading_factor,
          {factor[MeterColumn.ANNUAL_USE]} AS annual_factor,
          r.size IS NULL AS no_size,
          d.first IS NOT NULL AND d.first <> r.rowid AS repeated,
          {said[MeterColumn.SHIPPED_ON]} IS NOT NULL AND {day[MeterColumn.SHIPPED_ON]} IS NULL AS odd_shipped,
          {said[MeterColumn.INSTALLED_ON]} IS NOT NULL AND {day[MeterColumn.INSTALLED_ON]} IS NULL AS odd_installed,
          {said[MeterColumn.READING_ON]} IS NOT NULL AND {day[MeterColumn.READING_ON]} IS NULL AS odd_read,
          {said[MeterColumn.READING]} IS NOT NULL AS has_reading,
          {said[MeterColumn.ANNUAL_USE]} IS NOT NULL AS has_annual
        FROM raw AS r
        LEFT JOIN names AS n ON n.supplier = r.supplier AND n.product IS NOT DISTINCT FROM {said[MeterColumn.PRODUCT]}
        LEFT JOIN size_meaning AS z ON z.text = r.size
        LEFT JOIN repeated AS d ON d.text = r.meter_id{dates}{unit}"""
    )


_USED = (
    "meter_id IS NOT NULL AND NOT repeated AND name_no IS NOT NULL AND size_label IS NOT NULL "
    "AND coalesce(shipped_on, installed_on) IS NOT NULL"
)
_GOOD_READING = "isfinite(reading) AND reading >= 0 AND reading_factor IS NOT NULL AND reading_on IS NOT NULL"
_GOOD_ANNUAL = "isfinite(annual) AND annual >= 0 AND annual_factor IS NOT NULL"
_READ_LATE = "reading_on >= coalesce(installed_on, shipped_on)"


def _problems(day: date) -> tuple[tuple[LineProblem, MeterColumn | None, str], ...]:
    """Kind, column and condition of each thing that can be wrong with a line, in the order in which they are told."""
    after = f"DATE '{day.isoformat()}'"
    return (
        (LineProblem.NO_METER_ID, MeterColumn.METER_ID, "meter_id IS NULL"),
        (LineProblem.REPEATED_METER_ID, MeterColumn.METER_ID, "repeated"),
        (LineProblem.NO_SUPPLIER, MeterColumn.SUPPLIER, "name_no IS NULL"),
        (LineProblem.NO_SIZE, MeterColumn.SIZE, "no_size"),
        (LineProblem.UNKNOWN_SIZE, MeterColumn.SIZE, "NOT no_size AND size_label IS NULL"),
        (
            LineProblem.NO_DATE,
            None,
            "coalesce(shipped_on, installed_on) IS NULL AND NOT odd_shipped AND NOT odd_installed",
        ),
        (LineProblem.UNREADABLE_DATE, MeterColumn.SHIPPED_ON, "odd_shipped"),
        (LineProblem.UNREADABLE_DATE, MeterColumn.INSTALLED_ON, "odd_installed"),
        (LineProblem.UNREADABLE_DATE, MeterColumn.READING_ON, "odd_read"),
        (
            LineProblem.UNREADABLE_NUMBER,
            MeterColumn.READING,
            "has_reading AND NOT coalesce(isfinite(reading) AND reading >= 0, false)",
        ),
        (
            LineProblem.UNREADABLE_NUMBER,
            MeterColumn.ANNUAL_USE,
            "has_annual AND NOT coalesce(isfinite(annual) AND annual >= 0, false)",
        ),
        (
            LineProblem.UNKNOWN_UNIT,
            MeterColumn.READING_UNIT,
            "(has_reading AND reading_factor IS NULL) OR (has_annual AND annual_factor IS NULL)",
        ),
        (LineProblem.NO_READING_DATE, MeterColumn.READING, "has_reading AND reading_on IS NULL AND NOT odd_read"),
        (
            LineProblem.READ_BEFORE_USE,
            MeterColumn.READING_ON,
            f"has_reading AND NOT coalesce({_READ_LATE}, true)",
        ),
        (LineProblem.INSTALLED_BEFORE_SHIPPED, MeterColumn.INSTALLED_ON, "installed_on < shipped_on"),
        *((LineProblem.AFTER_THE_DAY, column, f"isfinite({column}) AND {column} > {after}") for column in DATE_COLUMNS),
    )


def _store(
    connection: duckdb.DuckDBPyConnection,
    sheet: Sheet,
    understanding: Understanding,
    day: date,
    line: str,
    broken: Mapping[int, str],
) -> Imported:
    connection.execute("DELETE FROM base.meters; DELETE FROM base.meter_names; DELETE FROM base.fleet_problems")
    connection.execute(
        f"""INSERT INTO base.meters
        SELECT {line}, meter_id, name_no, size_label, shipped_on, installed_on,
          CASE WHEN {_GOOD_READING} AND {_READ_LATE} THEN reading * reading_factor END,
          CASE WHEN {_GOOD_READING} AND {_READ_LATE} THEN reading_on END,
          CASE WHEN {_GOOD_ANNUAL} THEN annual * annual_factor END
        FROM said WHERE {_USED}"""
    )
    connection.execute(
        """INSERT INTO base.meter_names
        SELECT n.name_no, n.supplier, n.product, coalesce(m.meters, 0)
        FROM names AS n
        LEFT JOIN (SELECT name_no, count(*) AS meters FROM base.meters GROUP BY name_no) AS m USING (name_no)"""
    )
    first = _first_row(connection)
    for kind, column, condition in _problems(day):
        written = f"raw.{column}" if column in understanding.places else "NULL"
        connection.execute(
            f"""INSERT INTO base.fleet_problems
            SELECT {line}, bad.meter_id, bad.used, ?, ?, {written}
            FROM (SELECT rn, meter_id, {_USED} AS used FROM said WHERE {condition}) AS bad
            JOIN raw ON raw.rowid = bad.rn + {first}""",
            [kind.value, None if column is None else column.value],
        )
    if broken:
        rows = [(number, None, "false", LineProblem.BROKEN_LINE.value, None, text) for number, text in broken.items()]
        insert(connection, "base.fleet_problems", rows)
    lines, meters = (
        connection.execute(f"SELECT count(*) FROM {table}").fetchall()[0][0] for table in ("said", "base.meters")
    )
    connection.execute(
        "INSERT INTO base.fleets VALUES (?, ?, ?, ?, ?, ?)",
        [
            Numbers(connection).next("fleets"),
            datetime.now(UTC),
            sheet.path.name,
            lines + len(broken),
            meters,
            json.dumps(dict(understanding.settings), ensure_ascii=False),
        ],
    )
    counts = connection.execute("SELECT kind, count(*) FROM base.fleet_problems GROUP BY kind").fetchall()
    for table in ("raw", "said", "names", "repeated", "size_meaning", "unit_meaning"):
        connection.execute(f"DROP TABLE temp.{table}")
    unused = tuple(name for place, name in enumerate(sheet.names) if place not in set(understanding.places.values()))
    return Imported(lines + len(broken), meters, {LineProblem(kind): count for kind, count in counts}, unused)
