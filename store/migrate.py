"""The layout of the file: numbered migrations, each in one transaction with its record; then views and reference rows.

Migrations only ever grow in number: one that a release has shipped is never edited. Views, standards and sizes hold
nothing of a person's, so they are put in again whenever their content differs from what the file has.
"""

import hashlib
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from importlib.resources import files
from pathlib import Path
from typing import NamedTuple

import duckdb

from firstcap.schema.errors import CatalogueError, CatalogueVersionError
from firstcap.schema.fleet import COUNTED_FROM
from firstcap.schema.vocabulary import SIZES
from firstcap.store.contract import comments_sql
from firstcap.store.rows import Batch

_NAME = re.compile(r"(\d{4})_(\w+)\.sql")
_VIEW_FILES = ("views.sql", "worth.sql", "asked.sql", "fleet.sql", "claims.sql")


class Migration(NamedTuple):
    number: int
    name: str
    sql: str


@cache
def migrations() -> tuple[Migration, ...]:
    """All migrations of this release, counted from 1 without a gap."""
    found = []
    for file in files("firstcap.store").joinpath("migrations").iterdir():
        if match := _NAME.fullmatch(file.name):
            found.append(Migration(int(match[1]), match[2], file.read_text(encoding="utf-8")))
    found.sort()
    if [migration.number for migration in found] != list(range(1, len(found) + 1)):
        raise AssertionError(f"migrations do not count from 1 without a gap: {[m.number for m in found]}")
    return tuple(found)


@contextmanager
def transaction(connection: duckdb.DuckDBPyConnection) -> Iterator[None]:
    """All of it or nothing."""
    connection.execute("BEGIN TRANSACTION")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


def is_current(connection: duckdb.DuckDBPyConnection, path: Path) -> bool:
    """Nothing to migrate or to put in again. CatalogueError for a file of another kind, or a newer one."""
    applied, installed = _state(connection, path)
    return applied == len(migrations()) and not _stale(installed)


def bring_up_to_date(connection: duckdb.DuckDBPyConnection, path: Path) -> None:
    """Apply what is missing; the connection must be able to write."""
    applied, installed = _state(connection, path)
    for migration in migrations()[applied:]:
        with transaction(connection):
            connection.execute(migration.sql)
            connection.execute(
                "INSERT INTO base.migrations VALUES (?, ?, ?, ?)",
                [migration.number, migration.name, datetime.now(UTC), _release()],
            )
    for name in _stale(installed):
        content, put_in = _INSTALLED[name]
        with transaction(connection):
            put_in(connection)
            connection.execute("DELETE FROM base.installed WHERE name = ?", [name])
            connection.execute("INSERT INTO base.installed VALUES (?, ?)", [name, _digest(content())])


def _state(connection: duckdb.DuckDBPyConnection, path: Path) -> tuple[int, dict[str, str]]:
    """How many migrations the file has, and the digests of what was put in."""
    try:
        rows = connection.execute(
            "SELECT number, NULL, NULL FROM base.migrations UNION ALL SELECT NULL, name, digest FROM base.installed"
        ).fetchall()
    except duckdb.CatalogException:
        if connection.execute("SELECT 1 FROM duckdb_tables() WHERE NOT internal LIMIT 1").fetchone() is None:
            return 0, {}
        raise CatalogueError(
            "this DuckDB file holds other tables and is no catalogue; name another file with --catalogue",
            file=str(path),
        ) from None
    applied = max((number for number, _, _ in rows if number is not None), default=0)
    if applied > len(migrations()):
        raise CatalogueVersionError(
            f"written by a newer firstcap (layout {applied}; this release knows {len(migrations())}); "
            "upgrade it: pip install --upgrade firstcap",
            file=str(path),
        )
    return applied, {name: digest for _, name, digest in rows if name is not None}


def _release() -> str:
    try:
        return version("firstcap")
    except PackageNotFoundError:
        return "unknown"


def _stale(installed: dict[str, str]) -> list[str]:
    return [name for name, (content, _) in _INSTALLED.items() if installed.get(name) != _digest(content())]


@cache
def _digest(content: str) -> str:
    return hashlib.sha256(content.encode()).hexdigest()


@cache
def _views() -> str:
    store = files("firstcap.store")
    return "".join(store.joinpath(name).read_text(encoding="utf-8") for name in _VIEW_FILES) + comments_sql()


def _put_views(connection: duckdb.DuckDBPyConnection) -> None:
    connection.execute(_views())


@cache
def _sizes() -> str:
    return repr(SIZES)


def _put_sizes(connection: duckdb.DuckDBPyConnection) -> None:
    connection.execute("DELETE FROM base.sizes")
    batch = Batch()
    for size in SIZES:
        batch.add("base.sizes", (size.label, size.nominal_mm, size.nominal_inch))
    batch.write(connection)


@cache
def _baselines() -> str:
    """What the standards table is made from: told by its text, so that no opening has to build the table."""
    schema = files("firstcap.schema")
    return "".join(schema.joinpath(name).read_text(encoding="utf-8") for name in ("baselines.toml", "baselines.py"))


@cache
def _event_dates() -> str:
    return repr(COUNTED_FROM)


def _put_event_dates(connection: duckdb.DuckDBPyConnection) -> None:
    connection.execute("DELETE FROM base.event_dates")
    batch = Batch()
    for event, counted in COUNTED_FROM.items():
        batch.add("base.event_dates", (event, counted.column, counted.assumed, counted.may_be_earlier))
    batch.write(connection)


def _put_baselines(connection: duckdb.DuckDBPyConnection) -> None:
    from firstcap.schema.baselines import BASELINES

    connection.execute("DELETE FROM base.baselines")
    batch = Batch()
    for number, row in enumerate(BASELINES, 1):
        batch.add("base.baselines", (number, *(getattr(row, name) for name in type(row).model_fields)))
    batch.write(connection)


_INSTALLED: dict[str, tuple[Callable[[], str], Callable[[duckdb.DuckDBPyConnection], None]]] = {
    "views": (_views, _put_views),
    "sizes": (_sizes, _put_sizes),
    "baselines": (_baselines, _put_baselines),
    "event_dates": (_event_dates, _put_event_dates),
}
