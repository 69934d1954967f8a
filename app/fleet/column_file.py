"""The small TOML file that says which header of a list is which column, and how its cells are meant."""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Any, Generic, TypeVar

from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import Word

_Column = TypeVar("_Column", bound=Word)
_Kind = TypeVar("_Kind", bound=StrEnum)
_TEXTS = ("unit", "flow_unit", "dates", "decimals", "encoding")


@dataclass(frozen=True)
class ColumnFile(Generic[_Column]):
    """Which header each column has, and what else the file says; None where it says nothing."""

    columns: Mapping[_Column, str] = field(default_factory=dict)
    sizes: Mapping[str, str] = field(default_factory=dict)
    unit: str | None = None
    flow_unit: str | None = None
    dates: str | None = None
    decimals: str | None = None
    encoding: str | None = None


def column_file(path: Path, kind: type[_Column], keys: Sequence[str]) -> ColumnFile[_Column]:
    """Read the TOML file of a list with columns of this kind; `keys` are what it may hold.

    UsageError that names what is wrong with it, and what may stand there.
    """
    try:
        content: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise UsageError(f"cannot be read as TOML ({error})", file=str(path)) from error
    if unknown := set(content) - set(keys):
        raise UsageError(f"has no use for {', '.join(sorted(unknown))}; it may hold {', '.join(keys)}", file=str(path))
    columns = {}
    for name, header in _table(content, "columns", path).items():
        if name not in set(kind) or not isinstance(header, str):
            raise UsageError(
                f'columns.{name} is none; write meter_id = "Header in your list"; there are {", ".join(kind)}',
                file=str(path),
            )
        columns[kind(name)] = header
    plain = {key: content.get(key) for key in _TEXTS}
    for key, value in plain.items():
        if value is not None and not isinstance(value, str):
            raise UsageError(f"{key} must be a text", file=str(path))
    sizes = {str(written): str(size) for written, size in _table(content, "sizes", path).items()}
    return ColumnFile(columns, sizes, **plain)


def _table(content: Mapping[str, Any], key: str, path: Path) -> dict[str, Any]:
    held = content.get(key, {})
    if not isinstance(held, dict):
        raise UsageError(f"{key} must be a table; write [{key}] above its lines", file=str(path))
    return held


def places_given(names: Sequence[str], given: Mapping[_Column, str], file: str) -> dict[_Column, int]:
    """Where the columns named by a person stand. UsageError for a header that is not there, or there twice."""
    places: dict[_Column, int] = {}
    for column, header in given.items():
        found = [place for place, name in enumerate(names) if name.casefold() == header.casefold()]
        if len(found) != 1:
            raise UsageError(
                f"{'has no' if not found else 'has more than one'} column {header!r}, which is to be {column}; "
                f"it has {', '.join(names)}",
                file=file,
            )
        places[column] = found[0]
    return places


def one_of(kind: type[_Kind], text: str | None, file: Path | None, key: str) -> _Kind | None:
    """What the file says of `key`. UsageError for what it may not say."""
    if text is None:
        return None
    try:
        return kind(text)
    except ValueError:
        raise UsageError(f"{key} is {text!r}; it may be {' or '.join(kind)}", file=str(file)) from None
