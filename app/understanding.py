"""How typed words are understood, whatever the field: one value and nothing left over, or a refusal that advises."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from threading import RLock
from typing import TypeVar

from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.vocabulary import WarningKind, Word


@dataclass(frozen=True, slots=True)
class Change:
    """A field of the catalogue and its new value."""

    field: str
    value: object


@dataclass(frozen=True, slots=True)
class Understood:
    """What was typed, the values that follow from it, and those values in words.

    `sizes` has more than one label only where several were typed for a term that is being added.
    """

    text: str
    changes: tuple[Change, ...]
    shown: str
    sizes: tuple[str, ...] = ()


PARSING = RLock()  # the pipeline keeps a store of words that is not made for several threads
W = TypeVar("W", bound=Word)
_NOTHING = {"none", "nothing", "not stated", "unstated", "-", "–", "null", "no"}
# Words that may stand around a value without saying anything about it.
_FILLERS = frozenset("for until up to the a an of at is are over within period by limit in flow".split())
# Which module of patterns finds a family: extract/patterns/<module>.py, function `find`.
_MODULES = {
    Family.DURATION: "duration",
    Family.VOLUME: "volume",
    Family.FLOW: "flow",
    Family.BAND: "accuracy",
    Family.SIZE: "size",
    Family.START: "start",
    Family.RULE: "rule",
    Family.COMPONENT: "component",
}


def mentions(family: Family, text: str) -> list[Mention]:
    """What the reader's patterns of one family find in a text."""
    from firstcap.extract.language import parse

    with PARSING:
        module = import_module(f"firstcap.extract.patterns.{_MODULES[family]}")
        return [found for found in module.find(parse(text)) if found.family is family]


def is_nothing(text: str) -> bool:
    return text.strip().casefold() in _NOTHING


def refuse(text: str, wanted: str, example: str, why: str = "") -> ValueRefusedError:
    reason = f" ({why})" if why else ""
    return ValueRefusedError(f"“{text.strip()}” is not understood as {wanted}{reason}; write it like {example}")


def left_over(text: str, found: Sequence[Mention]) -> str:
    """The words of a text that no mention covers and that are no fillers."""
    rest = text
    for mention in sorted(found, key=lambda one: -one.start):
        rest = f"{rest[: mention.start]} {rest[mention.end :]}"
    words = [word.strip(".,;:()“”\"'") for word in rest.split()]
    return " ".join(word for word in words if word and word.casefold() not in _FILLERS)


def _doubt(mention: Mention) -> str:
    kinds = [WarningKind(note).meaning for note in mention.notes if note != WarningKind.OTHER]
    return kinds[0] if kinds else "it can be read in more than one way" if mention.notes else ""


def only(family: Family, text: str, wanted: str, example: str) -> Mention:
    """The one value that a text holds, and nothing else; ValueRefusedError for anything less or more."""
    found = mentions(family, text)
    if not found:
        raise refuse(text, wanted, example)
    if len(found) > 1:
        said = " and ".join(f"“{one.text}”" for one in found)
        raise refuse(text, wanted, example, f"there are several: {said}")
    rest = left_over(text, found)
    if rest:
        raise refuse(text, wanted, example, f"“{rest}” is left over")
    doubt = _doubt(found[0])
    if doubt:
        raise refuse(text, wanted, example, doubt)
    return found[0]


def plain(text: str) -> str:
    return re.sub(r"[\s_\-]+", " ", text.strip().casefold())


def choice(kind: type[W], text: str, wanted: str, synonyms: dict[str, W] | None = None) -> W:
    """A member of a value list by its name, the beginning of its name, or a synonym."""
    typed = plain(text)
    names = {plain(member.value): member for member in kind} | (synonyms or {})
    if typed in names:
        return names[typed]
    begun = {member for name, member in names.items() if name.startswith(typed)} if len(typed) > 2 else set()
    if len(begun) == 1:
        return begun.pop()
    listed = "; ".join(f"{plain(member.value)} ({member.meaning})" for member in kind)
    raise ValueRefusedError(f"“{text.strip()}” is no {wanted} of the list; there are: {listed}")


def said_as(member: Word) -> str:
    name = plain(member.value)
    return name if member.meaning == name else f"{name}: {member.meaning}"
