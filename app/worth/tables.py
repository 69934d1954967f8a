"""The user's own tables: CSV files with a header, read row by row, every fault told with its line."""

import csv
from collections.abc import Iterator, Sequence
from decimal import Decimal, InvalidOperation
from pathlib import Path

from firstcap.schema.errors import UsageError


def rows_of(path: Path, needed: Sequence[str], known: Sequence[str] = ()) -> Iterator[tuple[int, dict[str, str]]]:
    """Each row with its line number; names of columns are taken without regard to case and blanks.

    UsageError where the file cannot be read, lacks a needed column, or holds no row.
    """
    try:
        text = path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise UsageError(f"cannot be read as a CSV file ({error})", file=str(path)) from error
    reader = csv.DictReader(text.splitlines())
    names = [name.strip().casefold() for name in reader.fieldnames or ()]
    missing = [name for name in needed if name not in names]
    if missing:
        wanted = ", ".join([*needed, *(f"[{name}]" for name in known)])
        raise UsageError(
            f"has no column {', '.join(missing)}; its first line names the columns: {wanted}", file=str(path)
        )
    reader.fieldnames = names
    count = 0
    for row in reader:
        count += 1
        yield reader.line_num, {name: (value or "").strip() for name, value in row.items() if isinstance(name, str)}
    if not count:
        raise UsageError("holds no row below its header", file=str(path))


def number(path: Path, line: int, column: str, text: str, *, least: Decimal | None = Decimal(0)) -> Decimal:
    """The number in a cell, thousands separated by commas or not; UsageError with the line otherwise."""
    try:
        value = Decimal(text.replace(",", ""))
    except InvalidOperation:
        value = Decimal("NaN")
    if not value.is_finite() or (least is not None and value < least):
        wanted = "a number" if least is None else f"a number of {least} or more"
        raise UsageError(f"line {line}: {column} is {text!r}; it must be {wanted}", file=str(path))
    return value
