"""Meter sizes as lists write them: fractions and decimals of an inch, millimetres, DN."""

import re
from collections.abc import Iterable
from decimal import Decimal, InvalidOperation

from firstcap.app.report.rows import size_label
from firstcap.schema.vocabulary import SIZE_BY_LABEL, SIZES

_MM = re.compile(r"^(\d{1,3})\s*mm$")
_DN = re.compile(r"^dn\s*0*(\d{1,3})$")
_BARE = re.compile(r"^\d{1,3}$")
_ROUNDED = Decimal("0.006")  # 5/8 is written 0.625, 0.63 and 0.62
_INCHES = {size.nominal_inch: size.label for size in SIZES if size.nominal_inch is not None and "x" not in size.label}
_MILLIMETRES = {size.nominal_mm for size in SIZES if size.nominal_inch is None}


def sizes_in(texts: Iterable[str], given: dict[str, str] | None = None) -> dict[str, str]:
    """Text -> standard label, of those that can be understood; `given` says what others stand for.

    Bare whole numbers are inches, unless the column has some that only millimetres have (15, 25, 40 …) and none that
    only inches have (5/8, 1.5, 3 …).
    """
    found: dict[str, str] = {}
    open_numbers: list[tuple[str, int]] = []
    named = {key.casefold().strip(): value for key, value in (given or {}).items()}
    for text in texts:
        plain = text.casefold().strip()
        label = size_label(named.get(plain, text))
        if _BARE.match(plain) and plain not in named:
            open_numbers.append((text, int(plain)))
        elif label in SIZE_BY_LABEL:
            found[text] = label
        elif (other := _metric(plain) or _decimal(plain)) is not None:
            found[text] = other
    inches = {str(value) for _, value in open_numbers if str(value) in SIZE_BY_LABEL}
    only_metric = {value for _, value in open_numbers} & _MILLIMETRES - {int(value) for value in inches}
    only_inch = {value for value in inches if int(value) not in _MILLIMETRES} or any(
        not label.startswith("DN") for label in found.values()
    )
    metric = bool(only_metric) and not only_inch
    for text, value in open_numbers:
        label = f"DN{value}" if metric else str(value)
        if label in SIZE_BY_LABEL:
            found[text] = label
    return found


def _metric(text: str) -> str | None:
    match = _MM.match(text) or _DN.match(text)
    label = f"DN{int(match[1])}" if match else None
    return label if label in SIZE_BY_LABEL else None


def _decimal(text: str) -> str | None:
    bare = text.replace("inches", "").replace("inch", "").replace("in.", "").replace("in", "").strip(" \"”″'")
    try:
        value = Decimal(bare)
    except InvalidOperation:
        return None
    if not value.is_finite():
        return None
    return next((label for inch, label in _INCHES.items() if abs(inch - value) < _ROUNDED), None)
