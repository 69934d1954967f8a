"""Opening the catalogue's file: waiting for whoever holds it, and plain words for whatever is wrong with it.

One process writing keeps every other process out, and within one process DuckDB refuses a reading and a writing
connection side by side: so connections are short, and within a process they take turns.
"""

import re
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import duckdb

from firstcap.schema.errors import CatalogueBusyError, CatalogueError, CatalogueVersionError

# A table that is not there must never be looked for among Python's variables.
_ALWAYS = {"python_enable_replacements": "false"}
# The oldest storage format that has all we use: DuckDB 1.5 cannot read what 2.0 writes by default. Small blocks make
# a file of many small tables a tenth of the size.
_NEW_FILE = {"storage_compatibility_version": "v1.2.0", "default_block_size": "16384"}
# DuckDB calls an opened file by its name. One called as our schema is attached by another name, or "base.terms" could
# mean either.
_SCHEMA, _OTHER_NAME = "base", "catalogue"
_AFTER_ATTACHING = ("enable_external_access",)
_FIRST_WAIT, _GROWTH, _LONGEST_WAIT = 0.02, 1.7, 0.5
_turns: dict[Path, threading.Lock] = {}
_turns_guard = threading.Lock()


@contextmanager
def opened(
    path: Path, *, read_only: bool, wait_seconds: float, config: Mapping[str, str] | None = None
) -> Iterator[duckdb.DuckDBPyConnection]:
    """A connection to the file, tried again for `wait_seconds` while another process or thread holds it."""
    deadline = time.monotonic() + wait_seconds
    with _turns_guard:
        turn = _turns.setdefault(path.resolve(), threading.Lock())
    if not turn.acquire(timeout=max(wait_seconds, 0)):
        raise _busy(path, "another thread of this program")
    try:
        connection = _connect(path, read_only, deadline, dict(config or {}))
        try:
            yield connection
        finally:
            connection.close()
    finally:
        turn.release()


def _connect(path: Path, read_only: bool, deadline: float, config: dict[str, str]) -> duckdb.DuckDBPyConnection:
    if read_only and not path.exists():
        raise CatalogueError(
            "there is no catalogue here yet; `firstcap read` makes one out of PDFs, or name another with --catalogue",
            file=str(path),
        )
    settings: dict[str, str | bool | int | float | list[str]] = {
        **_ALWAYS,
        **({} if read_only else _NEW_FILE),
        **config,
    }
    wait = _FIRST_WAIT
    while True:
        try:
            if path.stem.casefold() == _SCHEMA:
                return _attached(path, read_only, settings)
            return duckdb.connect(str(path), read_only=read_only, config=settings)
        except (duckdb.IOException, duckdb.ConnectionException) as error:
            holder = _holder(str(error))
            if holder is None:
                raise _unusable(path, str(error)) from error
            left = deadline - time.monotonic()
            if left <= 0:
                raise _busy(path, holder) from error
            time.sleep(min(wait, left))
            wait = min(wait * _GROWTH, _LONGEST_WAIT)
        except duckdb.Error as error:
            raise _unusable(path, str(error)) from error


def _attached(
    path: Path, read_only: bool, settings: Mapping[str, str | bool | int | float | list[str]]
) -> duckdb.DuckDBPyConnection:
    later = [name for name in _AFTER_ATTACHING if name in settings]
    connection = duckdb.connect(config={name: value for name, value in settings.items() if name not in later})
    try:
        quoted = str(path).replace("'", "''")
        connection.execute(f"ATTACH '{quoted}' AS {_OTHER_NAME}{' (READ_ONLY)' if read_only else ''}")
        connection.execute(f"USE {_OTHER_NAME}")
        for name in later:
            connection.execute(f"SET {name} = {settings[name]}")
    except duckdb.Error:
        connection.close()
        raise
    return connection


def _holder(message: str) -> str | None:
    """Who holds the file, by the words of DuckDB's error; None where it is about something else."""
    if "lock" in message:
        found = re.search(r"held in (.+?) \(PID (\d+)\)", message)
        return f"process {found[2]} ({Path(found[1]).name})" if found else "another process"
    if "different configuration" in message or "Unique file handle conflict" in message:
        return "another connection of this program"
    return None


def _busy(path: Path, holder: str) -> CatalogueBusyError:
    return CatalogueBusyError(
        f"{holder} has the catalogue open; wait until it is done, or end it, and try again", file=str(path)
    )


def _unusable(path: Path, message: str) -> CatalogueError:
    first = message.split("\n", 1)[0]
    if "version number" in message or "newer version" in message:
        return CatalogueVersionError(
            f"written by a newer DuckDB than the {duckdb.__version__} installed here; upgrade it: "
            f"pip install --upgrade duckdb ({first})",
            file=str(path),
        )
    if "not a valid DuckDB database" in message or "Is a directory" in message:
        return CatalogueError(
            "this is no catalogue; name a file that `firstcap read` made, or a new one, with --catalogue",
            file=str(path),
        )
    if "No such file or directory" in message:
        return CatalogueError("the folder does not exist; make it, or name another with --catalogue", file=str(path))
    return CatalogueError(
        f"the file cannot be opened ({first}); check that you may read and write it, or restore it from a copy",
        file=str(path),
    )
