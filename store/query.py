"""A person's own SQL over the public views: read-only, fenced in, bounded in memory and time."""

from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from typing import BinaryIO


class Format(StrEnum):
    TABLE = "table"
    CSV = "csv"
    JSON = "json"
    PARQUET = "parquet"


@dataclass(frozen=True)
class QueryResult:
    """Columns, their DuckDB types, and rows of Python values, in the order of the query."""

    columns: tuple[str, ...]
    types: tuple[str, ...]
    rows: list[tuple[object, ...]]


def run_query(
    path: Path, sql: str, *, memory_limit: str = "512MB", threads: int = 2, timeout_seconds: float = 30.0
) -> QueryResult:
    """Run exactly one SELECT-like statement. QueryError says what was refused or failed, and what to do."""
    raise NotImplementedError


def write_result(result: QueryResult, format: Format, out: BinaryIO | Path) -> None:  # noqa: A002
    """Write the exact result to a binary stream (`sys.stdout.buffer`) or to a file, which appears whole or not at all."""
    raise NotImplementedError
