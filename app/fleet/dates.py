"""Days as lists write them. Where day and month cannot be told apart a person says which is first."""

import re
from collections.abc import Iterable
from datetime import date, timedelta
from enum import StrEnum

from firstcap.schema.errors import UsageError


class DayOrder(StrEnum):
    DAY_FIRST = "day-first"
    MONTH_FIRST = "month-first"


class AmbiguousDatesError(UsageError):
    """A column whose dates read both ways, or one way here and the other there."""

    code = "ambiguous_dates"


_YEAR_FIRST = re.compile(r"^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$")
_SOLID = re.compile(r"^(19|20)(\d{2})(\d{2})(\d{2})$")
_NUMBERS = re.compile(r"^(\d{1,2})([-/.])(\d{1,2})\2(\d{4}|\d{2})$")
_DAY_MONTH_YEAR = re.compile(r"^(\d{1,2})(?:st|nd|rd|th)?[\s./-]*([a-z]{3,9})\.?[\s,./-]*(\d{4}|\d{2})$")
_MONTH_DAY_YEAR = re.compile(r"^([a-z]{3,9})\.?[\s./-]*(\d{1,2})(?:st|nd|rd|th)?[\s,./-]+(\d{4}|\d{2})$")
_YEAR_MONTH_DAY = re.compile(r"^(\d{4})[\s./-]*([a-z]{3,9})\.?[\s./-]*(\d{1,2})$")
_SERIAL = re.compile(r"^([23456]\d{4})(?:\.0+)?$")
_SERIAL_START = date(1899, 12, 30)  # day 0 of spreadsheets that count from 1900
_MONTHS = "january february march april may june july august september october november december".split()
_TWO_DIGITS_TURN = 69  # POSIX: 69 to 99 are 1969 to 1999
_FIRST_YEAR, _LAST_YEAR = 1950, 2100
_FEW = 3


def days_in(texts: Iterable[str], column: str, order: DayOrder | None = None) -> dict[str, date]:
    """Text -> day, of those that name a day of the calendar.

    AmbiguousDatesError where numbers such as 03/04/2019 may be read both ways and no text of the column says which, or
    where some texts can only be read one way and others only the other.
    """
    found: dict[str, date] = {}
    numbers: list[tuple[str, int, int, int]] = []
    for text in texts:
        plain = " ".join(text.casefold().split())
        if match := _NUMBERS.match(plain):
            numbers.append((text, int(match[1]), int(match[3]), _year(match[4])))
        elif (day := _unmistakable(plain)) is not None:
            found[text] = day
    chosen = order or _order_of(numbers, column)
    for text, first, second, year in numbers:
        month, day_no = (second, first) if chosen is DayOrder.DAY_FIRST else (first, second)
        if (day := _day(year, month, day_no)) is not None:
            found[text] = day
    return found


def _order_of(numbers: list[tuple[str, int, int, int]], column: str) -> DayOrder:
    days = [text for text, first, second, _ in numbers if first > 12 >= second]
    months = [text for text, first, second, _ in numbers if second > 12 >= first]
    both = [text for text, first, second, _ in numbers if first <= 12 and second <= 12 and first != second]
    if days and months:
        raise AmbiguousDatesError(
            f"{column}: {', '.join(days[:_FEW])} can only be day-first and {', '.join(months[:_FEW])} only "
            "month-first; "
            "put the column into one order, best as 2019-04-03, or say --dates day-first or month-first and have the "
            "others listed as not used"
        )
    if days:
        return DayOrder.DAY_FIRST
    if both and not months:
        raise AmbiguousDatesError(
            f"{column}: {', '.join(both[:_FEW])} may be day-first or month-first, and no date of the column "
            "says which; "
            "say --dates day-first or --dates month-first"
        )
    return DayOrder.MONTH_FIRST


def _unmistakable(text: str) -> date | None:
    if match := _YEAR_FIRST.match(text):
        return _day(int(match[1]), int(match[2]), int(match[3]))
    if match := _SOLID.match(text):
        return _day(int(match[1] + match[2]), int(match[3]), int(match[4]))
    if match := _DAY_MONTH_YEAR.match(text):
        return _day(_year(match[3]), _month(match[2]), int(match[1]))
    if match := _MONTH_DAY_YEAR.match(text):
        return _day(_year(match[3]), _month(match[1]), int(match[2]))
    if match := _YEAR_MONTH_DAY.match(text):
        return _day(int(match[1]), _month(match[2]), int(match[3]))
    if match := _SERIAL.match(text):
        return _SERIAL_START + timedelta(days=int(match[1]))
    return None


def _year(text: str) -> int:
    value = int(text)
    return value if len(text) == 4 else value + (1900 if value >= _TWO_DIGITS_TURN else 2000)


def _month(name: str) -> int:
    short = "sep" if name == "sept" else name
    return next((number for number, month in enumerate(_MONTHS, 1) if month == short or month[:3] == short), 0)


def _day(year: int, month: int, day: int) -> date | None:
    """The day, unless it is one of those that stand for nothing in exports (1900-01-01, 9999-12-31)."""
    try:
        return date(year, month, day) if _FIRST_YEAR <= year <= _LAST_YEAR else None
    except ValueError:
        return None
