"""Values as they stand in the log of decisions: JSON text out of typed values, and typed values out of JSON text."""

import json
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.quantities import Model


def to_json(value: object) -> str:
    """A field's value as the JSON text that stands in the log: numbers with all their digits."""
    if isinstance(value, Decimal):
        return format(value.normalize() if value else Decimal(0), "f") if abs(value) < Decimal("1e30") else str(value)
    if isinstance(value, BaseModel):
        return value.model_dump_json(exclude_defaults=True)
    if isinstance(value, tuple):
        return "[" + ", ".join(to_json(part) for part in value) + "]"
    if isinstance(value, StrEnum):
        return json.dumps(value.value)
    if isinstance(value, date):
        return json.dumps(value.isoformat())
    return json.dumps(value, ensure_ascii=False)


def from_json(text: str | None, field: str) -> Any:
    """The value in a JSON text, its numbers as exact decimals."""
    if text is None:
        raise ValueRefusedError(f"{field}: no value given; give JSON text, `null` where the document does not say")
    try:
        return json.loads(text, parse_float=Decimal, parse_constant=_refuse_constant)
    except ValueError as error:
        raise ValueRefusedError(f"{field}: {text!r} is not JSON text ({error}); write words in double quotes") from None


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def parse(model: type[Model], field: str, text: str | None) -> Any:
    """The value of one field of `model`, typed; blank words are None."""
    value = from_json(text, field)
    annotation: Any = model.model_fields[field].annotation
    if isinstance(value, str):
        value = value.strip() or None
    if isinstance(value, bool):
        raise ValueRefusedError(f"{field}: {text} is no value for it{_wanted(field)}")
    try:
        return TypeAdapter(annotation).validate_python(value)
    except ValidationError as error:
        raise ValueRefusedError(f"{field}: {reason(error)}{_wanted(field)}") from None


def parse_model(kind: type[Model], what: str, text: str | None) -> Any:
    """A whole model out of JSON text."""
    try:
        return kind.model_validate(from_json(text, what))
    except ValidationError as error:
        raise ValueRefusedError(f"{what}: {reason(error)}") from None


def reason(error: ValidationError) -> str:
    first = error.errors()[0]
    place = ".".join(str(part) for part in first["loc"])
    given = "" if isinstance(first["input"], dict) else f", not {first['input']!s}"
    return f"{place + ': ' if place else ''}{first['msg'][:1].lower()}{first['msg'][1:]}{given}"


_UNITS = {
    "_months": "a number of months",
    "_days": "a whole number of days",
    "_usgal": "a number of US gallons",
    "_usgpm": "a number of US gallons per minute",
    "_pct": "per cent of true volume",
    "_from": "a date as YYYY-MM-DD",
}


def _wanted(field: str) -> str:
    return next((f"; it takes {words}, or null" for ending, words in _UNITS.items() if field.endswith(ending)), "")
