"""The tightest asks that enough suppliers meet together: a tender turned round.

Definition and a worked example: docs/worth.md, "Tender".
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from firstcap.app.report import words
from firstcap.app.report.paper import Cell, Part, Table, columns
from firstcap.app.worth.asks import Answer, Point, Verdict
from firstcap.schema.errors import UsageError

_MOST_SETS = 12
_MOST_SUPPLIERS = 16

_Key = tuple[str, str | None, str, str]
_ENDLESS = Fraction(10**15)


@dataclass(frozen=True)
class TightestSet:
    """Values that these suppliers, and no others, all meet together; none can be raised without losing one of them."""

    suppliers: tuple[str, ...]
    values: dict[_Key, Fraction]


def tightest_sets(answers: Sequence[Answer], at_least: int) -> list[TightestSet]:
    """The sets of values that at least so many suppliers meet together, none of which another set beats in everything.

    A supplier counts once, whatever documents it has; earlier editions, no longer on offer, not at all.

    Values are what the asks ask for in numbers, from the answers' own points; what a supplier of a set does not state
    is left out of the set. UsageError where there are fewer suppliers, or too many to try every choice of them.
    """
    held: dict[str, dict[_Key, Fraction]] = {}
    makers: dict[str, str] = {}
    for answer in answers:
        if answer.document.earlier:
            continue
        name = answer.document.label
        makers[name] = answer.document.maker
        for point in answer.points:
            better = _as_tightness(point)
            if better is not None:
                held.setdefault(name, {})[answer.ask.name, answer.size, point.name, point.unit] = better
    most = len({makers[name] for name in held})
    if not 1 <= at_least <= most:
        raise UsageError(f"{most} suppliers answer in numbers; ask for between 1 and {most}")
    if len(held) > _MOST_SUPPLIERS:
        raise UsageError(f"{len(held)} documents are too many to try every choice; narrow the catalogue")
    sets = []
    for choice in combinations(sorted(held), at_least):
        if len({makers[name] for name in choice}) < at_least:
            continue
        shared = set.intersection(*(set(held[name]) for name in choice))
        values = {key: min(held[name][key] for name in choice) for key in shared}
        if values:
            meeting = tuple(name for name in sorted(held) if _reaches(held[name], values))
            sets.append(TightestSet(meeting, values))
    unique = {(tuple(sorted(one.values.items(), key=str))): one for one in sets}
    kept = [one for one in unique.values() if not any(_beats(other, one) for other in unique.values())]
    return sorted(kept, key=lambda one: (-len(one.values), one.suppliers))


def _reaches(promised: dict[_Key, Fraction], values: dict[_Key, Fraction]) -> bool:
    return all(key in promised and promised[key] >= value for key, value in values.items())


def _as_tightness(point: Point) -> Fraction | None:
    """A promised value so that larger is always better for the buyer; no cap at all is better than any."""
    if point.name == "volume" and point.condition == "no volume cap":
        return _ENDLESS
    if point.name == "time" and point.promised is None and point.verdict is Verdict.MET:
        return _ENDLESS
    if point.promised is None:
        return None
    return -point.promised if point.name.startswith("customer pays") else point.promised


def _beats(other: TightestSet, one: TightestSet) -> bool:
    """At least as tight in every value of `one`, and tighter or fuller in something."""
    if other is one or not all(key in other.values and other.values[key] >= value for key, value in one.values.items()):
        return False
    return len(other.values) > len(one.values) or any(other.values[key] > value for key, value in one.values.items())


def tightest_parts(answers: Sequence[Answer], at_least: int) -> list[Part]:
    sets = tightest_sets(answers, at_least)
    parts: list[Part] = [
        f"Asks that at least {words.counted(at_least, 'supplier')} meet together. None of the values of a set can be "
        "raised "
        "without losing one of its suppliers, unless another value is lowered. Earlier editions are left out, and a "
        "supplier with several documents counts once."
    ]
    for number, one in enumerate(sets[:_MOST_SETS], 1):
        rows = []
        for (name, size, value, unit), found in sorted(one.values.items(), key=str):
            open_ended = found >= _ENDLESS
            shown_value = abs(found) if value.startswith("customer pays") else found
            rows.append(
                (
                    Cell(name),
                    Cell(size or "every size"),
                    Cell(f"{value}{f', {unit}' if unit else ''}"),
                    Cell("no limit") if open_ended else Cell(words.figure(shown_value), shown_value),
                )
            )
        parts.append(
            Table(
                f"set_{number}",
                f"Set {number}: met by {', '.join(one.suppliers)}",
                columns(("ask", "Ask"), ("size", "Size"), ("value", "Value"), ("tightest", "Tightest")),
                tuple(rows),
                compact=True,
            )
        )
    if len(sets) > _MOST_SETS:
        parts.append(f"{len(sets) - _MOST_SETS} more sets are not shown.")
    return parts
