"""What a person is asked at the terminal while a list is read: what a name stands for, and in which order dates are.

Asked only where both sides are a terminal; elsewhere a name stays open and a date is refused with the option that says.
"""

import sys
from collections.abc import Callable
from typing import TypeVar

from firstcap.app.fleet.dates import AmbiguousDatesError, DayOrder
from firstcap.app.fleet.matching import Answer, Names, Proposal, no_match, shown, take_near, take_none
from firstcap.store.names import NameMatch

_Read = TypeVar("_Read")


def at_terminal() -> bool:
    return sys.stdin.isatty() and sys.stderr.isatty()


def with_order(read: Callable[[DayOrder | None], _Read], order: DayOrder | None) -> _Read:
    """Read a list with the order of its dates; where they read both ways and a person is there, ask and read again.

    AmbiguousDatesError where nobody can be asked, or the person leaves it open.
    """
    try:
        return read(order)
    except AmbiguousDatesError as error:
        if order is not None or not at_terminal():
            raise
        print(f"\n{error}", file=sys.stderr)
        said = _typed("Is the day first or the month? d, m, or Enter to stop: ", ("d", "m"))
        if said is None:
            raise
    return read(DayOrder.DAY_FIRST if said == "d" else DayOrder.MONTH_FIRST)


def answer_to(names: Names | None) -> Answer:
    """How names that differ from the catalogue's are matched: as said, else by asking where a person is there."""
    if names is Names.NEAR:
        return take_near
    if names is Names.SAME or (names is None and not at_terminal()):
        return take_none
    return _asked


def _asked(proposal: Proposal) -> NameMatch | None:
    """Ask: a number, `n` for none of the catalogue, nothing to leave it open."""
    meters = f"{proposal.meters:,} meter{'' if proposal.meters == 1 else 's'}"
    print(f"\n{proposal.written!r}, {meters}, is the list's name of a {proposal.kind}:", file=sys.stderr)
    for number, choice in enumerate(proposal.choices, 1):
        print(f"  {number}  {shown(choice)}  (likeness {choice.score:g} of 100)", file=sys.stderr)
    print("  n  nothing in the catalogue", file=sys.stderr)
    numbers = tuple(str(number) for number in range(1, len(proposal.choices) + 1))
    said = _typed("Which is it? Number, n, or Enter to leave it open: ", ("n", *numbers))
    if said is None:
        return None
    return no_match(proposal) if said == "n" else proposal.choices[int(said) - 1]


def _typed(question: str, answers: tuple[str, ...]) -> str | None:
    """One of the answers; None for an empty line or the end of input. Anything else is asked again."""
    while True:
        print(question, end="", file=sys.stderr, flush=True)
        said = sys.stdin.readline().strip().casefold()
        if not said:
            return None
        if said in answers:
            return said
