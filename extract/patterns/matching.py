"""Runs tables of patterns over a text in which numbers, and what was found before, stand as one token each.

A reduced doc is the text with every number expression replaced by one token NUMBER, so that one shape such as
`NUMBER "-"? years` reads "5-year", "five (5) years" and "one hundred and twenty (120) years" alike: few Matcher
patterns, merged by IN-lists (the Matcher's cost is linear in their number). Blank tokens are dropped.

The words of a value are its mention's `text`; the value itself carries none, so that equal values are equal.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING, Any

from firstcap.extract.numbers import ENGLISH, Number, NumberStyle, numbers
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest

if TYPE_CHECKING:
    from spacy.matcher import Matcher
    from spacy.tokens import Doc, Span, Token

NUMBER = "\ue000"
DURATION = "\ue001"
EVENT = "\ue002"
RATE = "\ue003"
SIZE = "\ue004"
PERCENT = "\ue005"
AT_LEAST = "\ue006"
AT_MOST = "\ue007"
LATEST = "\ue008"
_PLACEHOLDERS = frozenset((NUMBER, DURATION, EVENT, RATE, SIZE, PERCENT, AT_LEAST, AT_MOST, LATEST))

HYPHENS = ("-", "–", "—", "‐", "‑", "−")
N: dict[str, Any] = {"ORTH": NUMBER}
D: dict[str, Any] = {"ORTH": DURATION}
E: dict[str, Any] = {"ORTH": EVENT}
DASH: dict[str, Any] = {"ORTH": {"IN": list(HYPHENS)}}
MAYBE_DASH: dict[str, Any] = {"ORTH": {"IN": list(HYPHENS)}, "OP": "?"}
DOT: dict[str, Any] = {"ORTH": ".", "OP": "?"}
COMMA: dict[str, Any] = {"ORTH": ",", "OP": "?"}


def word(*forms: str, op: str | None = None) -> dict[str, Any]:
    """A token of one of these lower-case forms."""
    token: dict[str, Any] = {"LOWER": forms[0]} if len(forms) == 1 else {"LOWER": {"IN": list(forms)}}
    return token if op is None else token | {"OP": op}


def orth(*forms: str, op: str | None = None) -> dict[str, Any]:
    """A token of one of these exact forms."""
    token: dict[str, Any] = {"ORTH": forms[0]} if len(forms) == 1 else {"ORTH": {"IN": list(forms)}}
    return token if op is None else token | {"OP": op}


@dataclass(frozen=True, slots=True)
class Built:
    """What a `build` returns where a value alone is not enough. `end`: the token before which the mention ends."""

    value: Any
    notes: tuple[str, ...] = ()
    alternatives: tuple[Any, ...] = ()
    end: int | None = None


@dataclass(slots=True)
class _Stand:
    """Where the tokens of a reduced doc stand in the text, and what the placeholders stand for."""

    source: "Doc"
    chars: list[tuple[int, int]]
    payload: dict[int, Any] = field(default_factory=dict)
    reading: dict[int, Fraction] = field(default_factory=dict)  # another value tried for a number


_KEY = "firstcap.stand"


def _stand(doc: "Doc") -> _Stand:
    stand: _Stand = doc.user_data[_KEY]
    return stand


def reduce(doc: "Doc", replacements: Iterable[tuple[int, int, str, Any]]) -> "Doc":
    """A doc with each doc[start:end] (in order, none overlapping) replaced by a placeholder with a payload."""
    from spacy.tokens import Doc

    if _KEY in doc.user_data:
        before = _stand(doc)
        source, chars, payload = before.source, before.chars, before.payload
    else:
        source, payload = doc, {}
        chars = [(token.idx, token.idx + len(token.text)) for token in doc]
    texts: list[str] = []
    spaces: list[bool] = []
    stand = _Stand(source, [])
    i = 0
    pending = list(replacements)
    pending.reverse()
    reduced_before = _KEY in doc.user_data
    while i < len(doc):
        if pending and pending[-1][0] == i:
            start, end, placeholder, carried = pending.pop()
            stand.payload[len(texts)] = carried
            texts.append(placeholder)
            spaces.append(bool(doc[end - 1].whitespace_))
            stand.chars.append((chars[start][0], chars[end - 1][1]))
            i = end
            continue
        token = doc[i]
        if token.is_space:
            if spaces:
                spaces[-1] = True
            i += 1
            continue
        text = token.text
        if i in payload:
            stand.payload[len(texts)] = payload[i]
        elif text in _PLACEHOLDERS and not reduced_before:
            text = "\ufffd"
        texts.append(text)
        spaces.append(bool(token.whitespace_))
        stand.chars.append(chars[i])
        i += 1
    reduced = Doc(doc.vocab, words=texts, spaces=spaces)
    reduced.user_data[_KEY] = stand
    return reduced


def with_numbers(doc: "Doc", style: NumberStyle = ENGLISH) -> "Doc":
    """The doc with its numbers as single tokens; kept with the doc, since every family asks for it."""
    key = f"firstcap.numbers.{style}"
    if key not in doc.user_data:
        found = numbers(doc, style)
        doc.user_data[key] = reduce(doc, ((one.start, one.end, NUMBER, one) for one in found))
    reduced: Doc = doc.user_data[key]
    return reduced


def with_mentions(reduced: "Doc", mentions: Sequence[Mention], placeholder: str | None = None) -> "Doc":
    """A reduced doc with these mentions (places in the text) replaced by one token each, the mention its payload.

    Without `placeholder` the value of a mention is its placeholder.
    """
    chars = _stand(reduced).chars
    starts = {start: index for index, (start, _) in enumerate(chars)}
    ends = {end: index + 1 for index, (_, end) in enumerate(chars)}
    return reduce(
        reduced,
        (
            (starts[mention.start], ends[mention.end], placeholder or mention.value, mention)
            for mention in mentions
            if mention.start in starts and mention.end in ends
        ),
    )


def source_of(reduced: "Doc") -> "Doc":
    return _stand(reduced).source


def payload(token: "Token") -> Any:
    """What a placeholder token stands for: a Number, or a Mention."""
    return _stand(token.doc).payload[token.i]


def payloads(span: "Span", placeholder: str) -> list[Any]:
    return [payload(token) for token in span if token.text == placeholder]


def value_of(token: "Token") -> Fraction:
    """The value of a NUMBER token."""
    stand = _stand(token.doc)
    number: Number = stand.payload[token.i]
    return stand.reading.get(token.i, number.value)


def values(span: "Span") -> list[Fraction]:
    """The numbers of a span, in order."""
    return [value_of(token) for token in span if token.text == NUMBER]


def chars_of(span: "Span") -> tuple[int, int]:
    """Where a span of a reduced doc stands in the text."""
    chars = _stand(span.doc).chars
    return chars[span.start][0], chars[span.end - 1][1]


def text_of(span: "Span") -> str:
    start, end = chars_of(span)
    return str(source_of(span.doc).text[start:end])


def lower_at(doc: "Doc", i: int) -> str:
    """The lower-case token at a place, or nothing outside the doc."""
    return str(doc[i].lower_) if 0 <= i < len(doc) else ""


class Table:
    """The patterns of one family, compiled once."""

    def __init__(self, family: Family, patterns: Sequence[Pattern]) -> None:
        self.family = family
        self.patterns = {pattern.name: pattern for pattern in patterns}
        if len(self.patterns) != len(patterns):
            raise ValueError(f"two patterns of {family} share a name")

    @cached_property
    def _matcher(self) -> "Matcher":
        from spacy.matcher import Matcher

        from firstcap.extract.language import pipeline

        matcher = Matcher(pipeline().vocab)
        for pattern in self.patterns.values():
            matcher.add(pattern.name, [list(tokens) for tokens in pattern.tokens])
        return matcher

    def all(self, reduced: "Doc") -> list[Mention]:
        """Every mention each pattern makes; of those of one pattern that overlap, the longest that it does not refuse.

        The Matcher's own greedy mode keeps a long match that `build` refuses and drops the shorter one inside it.
        """
        if not len(reduced):
            return []
        names = reduced.vocab.strings
        found = []
        taken: dict[int, list[tuple[int, int]]] = {}
        for key, start, end in sorted(self._matcher(reduced), key=lambda match: (match[1] - match[2], match[1])):
            kept = taken.setdefault(key, [])
            if any(start < other_end and other_start < end for other_start, other_end in kept):
                continue
            mention = self.mention(self.patterns[names[key]], reduced[start:end])
            if mention is not None:
                found.append(mention)
                kept.append((start, end))
        return found

    def find(self, reduced: "Doc") -> list[Mention]:
        """Of mentions that overlap, the longest."""
        return longest(self.all(reduced))

    def mention(self, pattern: Pattern, span: "Span") -> Mention | None:
        whole = span
        made = pattern.build(whole)
        if made is None:
            return None
        built = made if isinstance(made, Built) else Built(made)
        if built.end is not None:
            span = span.doc[span.start : built.end]
        notes = [*pattern.notes, *built.notes]
        alternatives = list(built.alternatives)
        stand = _stand(span.doc)
        for token in span:
            if token.text != NUMBER:
                continue
            number: Number = stand.payload[token.i]
            notes += number.notes
            for other in number.alternatives:
                stand.reading[token.i] = other
                again = pattern.build(whole)
                del stand.reading[token.i]
                value = again.value if isinstance(again, Built) else again
                if value is not None and value != built.value:
                    alternatives.append(value)
        start, end = chars_of(span)
        return Mention(
            self.family,
            start,
            end,
            built.value,
            pattern.name,
            source_of(span.doc).text[start:end],
            tuple(dict.fromkeys(notes)),
            tuple(alternatives),
        )


def _split(text: str, mark: str) -> list[str]:
    """Split at tokens, so that the bar of a fraction parts nothing."""
    from firstcap.extract.language import parse

    parts, start = [], 0
    for token in parse(text):
        if token.lower_ == mark:
            parts.append(text[start : token.idx])
            start = token.idx + len(token.text)
    return [*parts, text[start:]]


def cell_part(text: str, header: str, knows: Callable[[str], object]) -> tuple[str, str]:
    """The part of a cell and of its header that belong together: "15 / 1,500,000" under "(years / gallons)".

    `knows` tells whether a piece of the header is of the wanted kind; without pieces that pair up, all of both.
    """
    for mark in ("/", "or", ";", "and"):
        heads, cells = _split(header, mark), _split(text, mark)
        if len(heads) > 1 and len(heads) == len(cells):
            for head, cell in zip(heads, cells, strict=True):
                if knows(head) is not None:
                    return cell, head
    return text, header
