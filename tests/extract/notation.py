"""How the phrase tables write what a text should give, and how a mention is written in the same way.

A table is `text|expected|reason`, one wording a row. Several mentions are parted by ` ; `, none is `-`; a note follows
a
mention as `!note`, another reading as `~ value`.
"""

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from decimal import Decimal
from enum import Enum
from fractions import Fraction
from pathlib import Path
from typing import Any

from firstcap.extract.patterns.base import Mention
from firstcap.extract.patterns.credit import Change, Evenly, Rate, Stage
from firstcap.extract.patterns.values import FullAndTail, NamedFlow, PrintedDate, StartSpec, YearSpan
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume

PHRASES = Path(__file__).parent / "phrases"


def load(name: str, at_least: int) -> list[tuple[str, str, str]]:
    """The rows of a phrase table. A bad row, a repeated text or too few rows is an error, never skipped."""
    lines = (PHRASES / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    if lines[0] != "text|expected|reason":
        raise ValueError(f"{name}: the first line names the columns")
    rows = []
    for number, line in enumerate(lines[1:], 2):
        cells = line.split("|")
        if len(cells) != 3 or not all(cell.strip() for cell in cells):
            raise ValueError(f"{name}, line {number}: three filled cells are asked for, not {line!r}")
        rows.append((cells[0], cells[1], cells[2]))
    texts = [text for text, _, _ in rows]
    if repeated := {text for text in texts if texts.count(text) > 1}:
        raise ValueError(f"{name}: repeated {sorted(repeated)}")
    if len(rows) < at_least:
        raise ValueError(f"{name}: {len(rows)} rows, at least {at_least} are asked for")
    return rows


def plain(number: Decimal | Fraction | None) -> str:
    if number is None:
        return ""
    if isinstance(number, Fraction):
        return str(number)
    return f"{number.normalize():f}"


def _between(low: Decimal | None, high: Decimal | None, unit: str) -> str:
    return f"{plain(low)} {unit}" if low == high else f"{plain(low)}..{plain(high)} {unit}"


def value(found: Any) -> str:
    match found:
        case FullAndTail(total, full):
            return f"{value(total)}, {plain(full.months)} full"
        case Duration():
            return f"{plain(found.months)} mo" if found.months is not None else f"{found.days} d"
        case Volume():
            return f"{plain(found.value)} {found.unit}"
        case FlowRate():
            return _between(found.low, found.high, found.unit)
        case NamedFlow(low, high):
            return high if low == high else f"{low or ''}..{high}"
        case PercentBand():
            return _between(found.lower, found.upper, "%")
        case StartSpec(clocks, rule):
            words = [
                clock.event.value + (f"+{plain(clock.plus_months)}" if clock.plus_months else "") for clock in clocks
            ]
            return " ".join([rule.value, *words])
        case Stage(kind, start, end, _):
            return f"{kind.value} {plain(start)}..{plain(end)} mo" if start or end else kind.value
        case Change(points, falls, unit):
            turn = "more or less" if falls is None else "less" if falls else "more"
            return f"{plain(points)} points {turn} a {'year' if unit == 12 else 'month'}"
        case Rate(pct, unit, left, _, _):
            return f"{pct} % a {'year' if unit == 12 else 'month'} {'left' if left else 'gone'}"
        case Evenly(whole):
            return "evenly over the whole time" if whole else "evenly"
        case PrintedDate(date, precision):
            return f"{date.isoformat()} {precision}"
        case Decimal():
            return f"{plain(found)} %"
        case Enum():
            return str(found.value)
        case None:
            return "-"
        case bool():
            return "yes" if found else "no"
        case YearSpan(first, last):
            return f"years {plain(first)}..{plain(last)}"
        case tuple():
            return " ".join(value(part) for part in found)
        case _ if is_dataclass(found):
            parts = [(part.name, getattr(found, part.name)) for part in fields(found)]
            return " ".join(
                name.replace("_", " ") if part is True else value(part)
                for name, part in parts
                if part not in (None, False)
            )
        case _:
            return str(found)


def mention(found: Mention) -> str:
    words = [
        value(found.value),
        *(f"!{note}" for note in found.notes),
        *(f"~ {value(one)}" for one in found.alternatives),
    ]
    return " ".join(words)


def mentions(found: Iterable[Mention]) -> str:
    return " ; ".join(mention(one) for one in found) or "-"
