"""A person's own SQL over the public views: read-only, fenced in, bounded in memory and time.

The person's statement runs on a connection that can reach nothing but the catalogue and whose settings are locked.
Files are written afterwards, by a second connection that holds the finished result and never sees that statement.
"""

import re
import shutil
import tempfile
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import BinaryIO

import duckdb

from firstcap.schema.errors import QueryError
from firstcap.store.catalogue import Catalogue, quoted
from firstcap.store.contract import VIEWS
from firstcap.store.rows import insert

MOST_ROWS = 1_000_000
_ROWS_AT_ONCE = 50_000
_MOST_CHARACTERS = 500_000_000
_FENCE = {
    "enable_external_access": "false",
    "autoinstall_known_extensions": "false",
    "autoload_known_extensions": "false",
    "allow_community_extensions": "false",
    "temp_directory": "",
}
# Types whose Python value says all there is to say; the rest travels as DuckDB's own text (an INTERVAL of 60 months
# would come out as 1,800 days), nested ones as JSON.
_PLAIN = re.compile(r"BOOLEAN|U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|VARCHAR|DATE|DECIMAL\(\d+,\d+\)")
_NUMBER = re.compile(r"U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|DECIMAL\(\d+,\d+\)")
_NESTED = re.compile(r"STRUCT|MAP|UNION|JSON|VARIANT|.*\[\d*\]$", re.DOTALL)
_SHAPES = "one SELECT, WITH, FROM, VALUES, DESCRIBE, SHOW, SUMMARIZE or EXPLAIN statement"


class Format(StrEnum):
    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    PARQUET = "parquet"


@dataclass(frozen=True)
class QueryResult:
    """Columns, their DuckDB types, and rows in the order of the query.

    Values are bool, int, float, Decimal, str, date or None; of any other type DuckDB's text, JSON text where nested.
    """

    columns: tuple[str, ...]
    types: tuple[str, ...]
    rows: list[tuple[object, ...]]


def run_query(
    path: Path,
    sql: str,
    *,
    memory_limit: str = "512MB",
    threads: int = 2,
    timeout_seconds: float = 30.0,
    wait_seconds: float = 5.0,
) -> QueryResult:
    """Run exactly one SELECT-like statement. QueryError says what was refused or failed, and what to do.

    Times are shown in UTC. More than MOST_ROWS rows are refused rather than cut.
    """
    config = {**_FENCE, "memory_limit": memory_limit, "threads": str(threads)}
    with Catalogue(path, wait_seconds=wait_seconds).reading(config) as connection:
        connection.execute("SET TimeZone = 'UTC'")
        connection.execute("SET lock_configuration = true")
        with _told(timeout_seconds, memory_limit), _stopped_after(connection, timeout_seconds):
            return _run(connection, _only_statement(connection, sql))


def _only_statement(connection: duckdb.DuckDBPyConnection, sql: str) -> duckdb.Statement:
    """The one statement there is, if it only reads. Parsed on the fenced connection: parsing may open files too."""
    statements = connection.extract_statements(sql)
    if not statements:
        raise QueryError(f"there is no statement; give {_SHAPES}, for example: select * from terms")
    kind = statements[0].type
    if "pivot" in sql.lower() and (len(statements) > 1 or kind.name == "MULTI"):
        raise QueryError("a PIVOT that looks up its own columns writes; list them: PIVOT … ON column IN (…)")
    if len(statements) > 1:
        raise QueryError(f"{len(statements)} statements; give {_SHAPES}")
    [statement] = statements
    if kind == duckdb.StatementType.EXPLAIN:
        explained = re.sub(
            r"^\s*explain\s+(analyze\s+)?(\([^)]*\)\s*)?", "", _bare(statement.query), flags=re.IGNORECASE
        )
        _only_statement(connection, explained)
    elif kind != duckdb.StatementType.SELECT:
        raise QueryError(
            f"{kind.name} is refused: a query only reads; give {_SHAPES}. "
            "To change a value use `firstcap confirm`, to write a file use --out"
        )
    return statement


def _bare(sql: str) -> str:
    """A statement without the comments before it."""
    return re.sub(r"^(\s|--[^\n]*(\n|$)|/\*.*?\*/)+", "", sql, flags=re.DOTALL)


def _run(connection: duckdb.DuckDBPyConnection, statement: duckdb.Statement) -> QueryResult:
    sql = statement.query.strip().rstrip(";").rstrip()
    relation = connection.sql(sql) if statement.type == duckdb.StatementType.SELECT else None
    if relation is None:  # an EXPLAIN is no relation: its plan comes as one text per part
        plan = "\n".join(str(row[-1]) for row in connection.execute(sql).fetchall())
        return QueryResult(("plan",), ("VARCHAR",), [(line,) for line in plan.splitlines()])
    columns = tuple(relation.columns)
    types = tuple(str(kind) for kind in relation.types)
    if any(not _PLAIN.fullmatch(kind) for kind in types):
        names = [f"c{number}" for number in range(len(columns))]
        shown = [_expression(name, kind) for name, kind in zip(names, types, strict=True)]
        sql = f"SELECT {', '.join(shown)} FROM (\n{sql}\n) AS result({', '.join(names)})"
    return QueryResult(columns, types, _fetched(connection.execute(sql)))


def _expression(name: str, kind: str) -> str:
    if _PLAIN.fullmatch(kind):
        return name
    return f"CAST(to_json({name}) AS VARCHAR)" if _NESTED.match(kind) else f"CAST({name} AS VARCHAR)"


def _fetched(cursor: duckdb.DuckDBPyConnection) -> list[tuple[object, ...]]:
    rows: list[tuple[object, ...]] = []
    characters = 0
    while chunk := cursor.fetchmany(10_000):
        rows.extend(chunk)
        characters += sum(len(value) for row in chunk for value in row if isinstance(value, str))
        if len(rows) > MOST_ROWS or characters > _MOST_CHARACTERS:
            raise QueryError(f"the result is larger than {MOST_ROWS:,} rows or 500 MB of text; add LIMIT or GROUP BY")
    return rows


@contextmanager
def _stopped_after(connection: duckdb.DuckDBPyConnection, seconds: float) -> Iterator[None]:
    done = threading.Event()

    def stop() -> None:
        wait = seconds
        while not done.wait(wait):  # again and again: the first may fall between two statements
            connection.interrupt()
            wait = 0.05

    watcher = threading.Thread(target=stop, daemon=True)
    watcher.start()
    try:
        yield
    finally:
        done.set()
        watcher.join()


@contextmanager
def _told(timeout_seconds: float, memory_limit: str) -> Iterator[None]:
    """DuckDB's errors as ours, with what to do about them."""
    try:
        yield
    except duckdb.InterruptException:
        raise QueryError(
            f"stopped after {timeout_seconds:g} seconds; narrow it down (WHERE, LIMIT) or look for a join without a key"
        ) from None
    except duckdb.OutOfMemoryException:
        raise QueryError(
            f"it needs more memory than {memory_limit}; narrow it down (WHERE, LIMIT, fewer columns)"
        ) from None
    except duckdb.PermissionException as error:
        raise QueryError(f"refused: a query reaches nothing but the catalogue ({_first_line(error)})") from None
    except duckdb.CatalogException as error:
        raise QueryError(f"{_first_line(error)} The views are: {', '.join(VIEWS)}") from None
    except duckdb.BinderException as error:
        raise QueryError(
            f"{_plain(error)}\nDESCRIBE a view to see its columns; the views are: {', '.join(VIEWS)}"
        ) from None
    except duckdb.ParserException as error:
        raise QueryError(_plain(error)) from None
    except (duckdb.Error, RuntimeError) as error:
        raise QueryError(f"the query failed: {_plain(error)}") from None


def _plain(error: Exception) -> str:
    return re.sub(r"^[\w ]+ Error: ", "", str(error)).strip()


def _first_line(error: Exception) -> str:
    return _plain(error).split("\n", 1)[0]


# --- writing -------------------------------------------------------------------------------------------------------


def write_result(result: QueryResult, form: Format, out: BinaryIO | Path) -> None:
    """Write the exact result to a binary stream (`sys.stdout.buffer`) or a file, which appears whole or not at all.

    table: aligned plain text, UTF-8. csv: a header, NULL as an empty cell. json: an array of objects. parquet: with
    the types of the query. QueryError where the file cannot be written.
    """
    try:
        if isinstance(out, Path):
            with tempfile.TemporaryDirectory(dir=out.parent, prefix=f".{out.name}.") as folder:
                whole = Path(folder) / "result"
                _write_file(result, form, whole)
                whole.replace(out)
            return
        with tempfile.TemporaryDirectory() as folder:
            whole = Path(folder) / "result"
            _write_file(result, form, whole)
            with whole.open("rb") as written:
                shutil.copyfileobj(written, out)
    except OSError as error:
        raise QueryError(
            f"cannot be written ({error.strerror}); name another file with --out", file=str(out)
        ) from error


def _write_file(result: QueryResult, form: Format, path: Path) -> None:
    if form is Format.TABLE:
        path.write_text(as_table(result), encoding="utf-8")
        return
    options = {Format.CSV: "FORMAT csv, HEADER", Format.JSON: "FORMAT json, ARRAY", Format.PARQUET: "FORMAT parquet"}
    types = [_written_as(kind, at, result, form) for at, kind in enumerate(result.types)]
    names = [quoted(name) for name in _distinct(result.columns)]
    target = str(path).replace("'", "''")
    connection = duckdb.connect()
    try:
        connection.execute("SET TimeZone = 'UTC'")
        columns = ", ".join(f"{name} {kind}" for name, kind in zip(names, types, strict=True))
        connection.execute(f"CREATE TABLE result ({columns})")
        for start in range(0, len(result.rows), _ROWS_AT_ONCE):
            rows = result.rows[start : start + _ROWS_AT_ONCE]
            insert(connection, "result", rows, lambda number: _cell(number, types[number - 1], form))
        connection.execute(f"COPY result TO '{target}' ({options[form]})")
    except duckdb.Error as error:
        advice = "cast its columns to VARCHAR"
        raise QueryError(f"this result cannot be written as {form} ({_first_line(error)}); {advice}") from None
    finally:
        connection.close()


def _written_as(kind: str, at: int, result: QueryResult, form: Format) -> str:
    """The type a column is written with: its own, where the format has it."""
    if "NULL" in kind:  # of a column of nothing but NULL
        return "INTEGER"
    if kind in ("HUGEINT", "UHUGEINT") and form is Format.PARQUET:  # it has none and would round them
        values = (row[at] for row in result.rows)
        fits = all(not isinstance(value, int) or abs(value) < 10**38 for value in values)
        return "DECIMAL(38, 0)" if fits else "VARCHAR"
    return kind


def _cell(number: int, kind: str, form: Format) -> str:
    """A column's value out of its text."""
    if _NESTED.match(kind):
        return f"CAST(CAST(r[{number}] AS JSON) AS {kind})"
    value = f"CAST(r[{number}] AS {kind})"
    if kind in ("FLOAT", "DOUBLE") and form is Format.JSON:  # which has no NaN and no infinity
        return f"CASE WHEN isfinite({value}) THEN {value} END"
    return value


def _distinct(names: tuple[str, ...]) -> list[str]:
    """Column names that a file can hold: the second `x` becomes `x_2`; DuckDB compares them without case."""
    found: list[str] = []
    taken: set[str] = set()
    for name in names:
        number, new = 1, name
        while new.lower() in taken:
            number += 1
            new = f"{name}_{number}"
        taken.add(new.lower())
        found.append(new)
    return found


def as_table(result: QueryResult) -> str:
    """Aligned plain text: a header, a rule, one line a row; numbers to the right, NULL as nothing."""
    cells = [[_shown(value) for value in row] for row in result.rows]
    widths = [max([len(name), *(len(row[at]) for row in cells)]) for at, name in enumerate(result.columns)]
    right = [_NUMBER.fullmatch(kind) is not None for kind in result.types]

    def line(parts: Sequence[str]) -> str:
        padded = (
            part.rjust(width) if to_right else part.ljust(width)
            for part, width, to_right in zip(parts, widths, right, strict=True)
        )
        return "  ".join(padded).rstrip() + "\n"

    return line(result.columns) + line(["-" * width for width in widths]) + "".join(line(row) for row in cells)


def _shown(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return " ".join(str(value).split()) if isinstance(value, str) and not value.isprintable() else str(value)
