"""Settling at the terminal where two looks differ: one difference after another, each settled by an act in the log."""

import json
from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TextIO

from firstcap.app.confirm.lines import EndOfInputError, Lines
from firstcap.app.confirm.second import WHOLE, Judged, Log, Take, settle
from firstcap.app.confirm.sentence import clean, counted, describe, gallons, months
from firstcap.app.values import label_of
from firstcap.schema.errors import ConflictError, ValueRefusedError
from firstcap.store.second import Pair

_TAKES = {"1": Take.FIRST, "2": Take.SECOND}


class Settling(Lines):
    """Goes through the differences; `look` gives those that are still open, by the latest state of the log."""

    def __init__(
        self,
        log: Log,
        look: Callable[[], Sequence[Judged]],
        names: dict[str, str],
        source: TextIO,
        out: TextIO,
        *,
        reviewer: str,
    ) -> None:
        super().__init__(source, out)
        self._log = log
        self._look = look
        self._names = names
        self._reviewer = reviewer
        self._skipped: set[tuple[str, str]] = set()

    def run(self) -> None:
        """Until none is left that was not skipped, or the person quits."""
        self.say(f"What you settle is signed “{clean(self._reviewer)}” and saved at once.")
        try:
            while (one := self._next()) is not None:
                if not self._settled(one):
                    break
        except (EndOfInputError, KeyboardInterrupt):
            self.say("")
        left = len(self._look())
        self.say(f"{left} differences left." if left != 1 else "1 difference left.")

    def _next(self) -> Judged | None:
        return next((one for one in self._look() if (one.pair.item_id, one.field) not in self._skipped), None)

    def _settled(self, one: Judged) -> bool:
        """One difference; False to quit."""
        self.say("")
        self.say(f"── {clean(self._names[one.pair.document_id])} · {name_of(one.field)}")
        shown = one.pair.first.term or one.pair.second.term
        if shown is not None:
            self.say(describe(shown))
        for number, said in enumerate(sides(one), 1):
            self.say(f"{number} {said}", "  ", "  ")
        while True:
            word, _, note = self.ask("1 or 2 to let it stand (and why), n skip, q quit >").partition(" ")
            if word.casefold() in ("q", "quit"):
                return False
            if word.casefold() in ("n", "skip"):
                self._skipped.add((one.pair.item_id, one.field))
                return True
            if word not in _TAKES:
                self.say("Nothing was changed: type 1, 2, n or q.")
                continue
            try:
                settle(self._log, one, _TAKES[word], reviewer=self._reviewer, note=note)
            except (ConflictError, ValueRefusedError) as problem:
                self.say(f"Not saved: {problem.message}.", hang="  ")
                continue
            self.say("Settled.")
            return True


_NAMES = {
    WHOLE: WHOLE,
    "duration_days": "time limit in days",
    "start_rule": "rule of the starts",
    "limits": "all limits",
    "starts": "all starts",
}
_UNITS: dict[str, Callable[[Decimal], str]] = {
    "_months": months,
    "_days": lambda value: counted(value, "day"),
    "_usgal": gallons,
}


def name_of(field: str) -> str:
    """The words for a field that was compared; no two fields have the same."""
    return _NAMES.get(field) or label_of(field)


def sides(one: Judged) -> tuple[str, str]:
    """What each of the two left, with their names."""
    first, second = one.pair.first, one.pair.second
    return (
        f"{clean(first.reviewer) or 'first look'}: {_said(one, one.first)}",
        f"{clean(second.reviewer) or 'second look'}: {_said(one, one.second)}",
    )


def _said(one: Judged, value: str | None) -> str:
    if one.field == WHOLE or is_clause(one.pair, one.field):
        if value is None:
            return "not there"
        days = json.loads(value) if is_clause(one.pair, one.field) else None
        return "there" if days is None else f"there, {days} days"
    told = json.loads(value or "null", parse_float=Decimal)
    if told is None:
        return "not stated"
    unit = next((said for ending, said in _UNITS.items() if one.field.endswith(ending)), None)
    if unit is not None and isinstance(told, int | Decimal):
        return unit(Decimal(told))
    return clean(told.replace("_", " ") if isinstance(told, str) else str(value))


def is_clause(pair: Pair, field: str) -> bool:
    """Is this an exclusion, a duty or a condition of a document?"""
    return pair.is_document and "." in field
