"""Units of text (sentences, list items, cells) with everything the patterns found in them."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from firstcap.extract.language import parse, sentences
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.page import Run
from firstcap.extract.patterns import (
    accuracy,
    component,
    duration,
    flow,
    life,
    promise,
    remedy,
    rule,
    size,
    standard,
    start,
    trigger,
    volume,
)
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.evidence import Box
from firstcap.schema.vocabulary import AccuracyLevel, Component, Promise

if TYPE_CHECKING:
    from spacy.tokens import Doc


@dataclass(frozen=True, slots=True)
class Hit:
    """A mention in its run: knows its boxes and its quote."""

    mention: Mention
    run: Run

    @property
    def family(self) -> Family:
        return self.mention.family

    @property
    def value(self) -> object:
        return self.mention.value

    @property
    def start(self) -> int:
        return self.mention.start

    @property
    def end(self) -> int:
        return self.mention.end

    @property
    def boxes(self) -> tuple[Box, ...]:
        return self.run.boxes(self.mention.start, self.mention.end)


@dataclass(frozen=True, slots=True)
class Reader:
    """How this document writes numbers and gallons, and the names it gives to things."""

    style: NumberStyle = ENGLISH
    gallon: volume.Gallon = "gal"
    names: "tuple[Named, ...]" = ()

    def mentions(self, text: str) -> list[Mention]:
        """Everything found in a text, by family; overlaps between families are kept."""
        doc = parse(text)
        found = [
            *duration.find(doc, self.style),
            *volume.find(doc, self.style, self.gallon),
            *flow.find(doc, self.style, self.gallon),
            *accuracy.find(doc, self.style),
            *size.find(doc, self.style),
            *start.find(doc, self.style),
            *rule.find(doc),
            *life.find(doc),
            *component.find(doc),
            *promise.find(doc),
            *remedy.find(doc),
            *remedy.PAYERS.find(doc),
            *standard.find(doc),
            *trigger.TRIGGERS.find(doc, overlapping=True),
            *trigger.NEGATIONS.find(doc, overlapping=True),
            *trigger.REFERENCES.find(doc, overlapping=True),
            *trigger.find_spans(doc, self.style),
        ]
        for name in self.names:
            found.extend(name.find(doc))
        named = [mention for mention in found if mention.family is Family.PRODUCT]
        found = [
            mention
            for mention in found
            if mention.family is not Family.PRODUCT
            or not any(
                other is not mention
                and other.start <= mention.start
                and mention.end <= other.end
                and other.end - other.start > mention.end - mention.start
                for other in named
            )
        ]
        found = [
            mention
            for mention in found
            if mention.family is not Family.REFERENCE or not _NO_REFERENCE.match(text[mention.end :])
        ]
        firsts = [mention for mention in found if mention.pattern == "the_first_year"]
        found = [
            mention
            for mention in found
            if mention.family is not Family.YEAR_SPAN
            or not any(first.start <= mention.start and mention.end <= first.end for first in firsts)
        ]
        # "A warranty on registers from the date of manufacture": the part and its start, no verb of accuracy.
        begun = {mention.start for mention in found if mention.family is Family.START}
        found = [
            mention
            for mention in found
            if mention.family is not Family.PROMISE
            or not mention.text.lower().startswith("register")
            or not mention.text.lower().endswith("from")
            or mention.end - 4 not in begun
        ]
        # "During the second five years": years 6 to 10, no time of five years.
        blocks = [mention for mention in found if mention.pattern == "year_span.block"]
        found = [
            mention
            for mention in found
            if mention.family is not Family.DURATION
            or not any(block.start <= mention.start and mention.end <= block.end for block in blocks)
        ]
        levels = [mention for mention in found if mention.family is Family.LEVEL]
        starts = [mention for mention in found if mention.family is Family.START]
        # "They shall register between 98.5 and 101.5 percent": the verb, not the part.
        verbs = [
            mention
            for mention in found
            if (mention.family is Family.PROMISE and mention.value is Promise.ACCURACY)
            or (mention.family is Family.TRIGGER and _WILL.match(mention.text))
        ]
        found = [
            mention
            for mention in found
            if mention.pattern != "component.register"
            or not any(verb.start <= mention.start and mention.end <= verb.end for verb in verbs)
        ]
        # "From the later of shipment and installation" says when the time starts, not which limit ends it.
        found = [
            mention
            for mention in found
            if mention.family is not Family.RULE
            or not any(begin.start <= mention.start and mention.end <= begin.end for begin in starts)
        ]
        # "The years since shipment": when the time starts, no word of experience.
        found = [
            mention
            for mention in found
            if mention.family is not Family.NEGATION
            or not any(begin.start <= mention.start and mention.end <= begin.end for begin in starts)
        ]
        # "The repaired meter accuracy" speaks of limits, not of a meter that was repaired.
        found = [
            mention
            for mention in found
            if mention.pattern != "negation.replacement"
            or not any(level.start < mention.end and mention.start < level.end for level in levels)
        ]
        return sorted(found, key=lambda mention: (mention.start, -mention.end))


_WILL = re.compile(r"(?:will|shall|must|should|would|to)\b", re.IGNORECASE)
_NO_REFERENCE = re.compile(r"\s*(?:place|lieu|writing|addition|good|full|effect|force)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Named:
    """A name the document defines or uses ("Warranty Start", "Series 30"): its words mean `value` of `family`."""

    words: tuple[str, ...]
    family: Family
    value: object
    pattern: str
    source: "Hit | None" = None

    def find(self, doc: "Doc") -> list[Mention]:
        found = []
        size_ = len(self.words)
        for i in range(len(doc) - size_ + 1):
            if all(_same(doc[i + j].text, self.words[j], exact=self.family is Family.PRODUCT) for j in range(size_)):
                span = doc[i : i + size_]
                found.append(Mention(self.family, span.start_char, span.end_char, self.value, self.pattern, span.text))
        return found


def _same(token: str, word: str, *, exact: bool) -> bool:
    if exact:
        return token == word or (len(word) > 3 and token in (word + "s", word.upper()))
    return token.casefold() == word.casefold() or token.casefold() == word.casefold() + "s"


@dataclass(slots=True)
class Unit:
    """A sentence (or list item, or row) of a block. `hits` are in order; offsets count in `run.text`."""

    run: Run
    start: int
    end: int
    hits: list[Hit]
    block: int = -1
    headings: tuple[int, ...] = ()
    extra: dict[str, object] = field(default_factory=dict)

    @property
    def text(self) -> str:
        return self.run.text[self.start : self.end]

    def of(self, *families: Family) -> list[Hit]:
        return [hit for hit in self.hits if hit.family in families]

    def first(self, *families: Family) -> Hit | None:
        return next((hit for hit in self.hits if hit.family in families), None)

    def part(self, start: int, end: int) -> "Unit":
        """The same unit narrowed to a range of characters."""
        inside = [hit for hit in self.hits if hit.start >= start and hit.end <= end]
        return Unit(self.run, start, end, inside, self.block, self.headings, self.extra)

    def between(self, left: int, right: int) -> str:
        return self.run.text[left:right]


def hits_of(run: Run, reader: Reader) -> list[Hit]:
    return [Hit(mention, run) for mention in reader.mentions(run.text)] if run.text else []


def units_of(run: Run, reader: Reader, *, block: int = -1, headings: tuple[int, ...] = ()) -> list[Unit]:
    """The sentences of a run, each with its hits."""
    if not run.text.strip():
        return []
    hits = hits_of(run, reader)
    units: list[Unit] = []
    for sentence in sentences(parse(run.text)):
        start, end = sentence.start_char, sentence.end_char
        inside = [hit for hit in hits if hit.start >= start and hit.end <= end]
        before = units[-1].text if units else ""
        if not any(hit.family is Family.RULE for hit in inside) and (own := rule.loosely(sentence.text, before)):
            moved = replace(own, start=start + own.start, end=start + own.end)
            inside = sorted([*inside, Hit(moved, run)], key=lambda hit: (hit.start, -hit.end))
        units.append(Unit(run, start, end, _with_low_flow(inside, run, start, end), block, headings))
    return units


# "Low flow at 1/8 gpm: 3 years, 300,000 gallons" in a list; "as new stands for …, and low flow for not less than 95 percent".
_LOW_FLOW_ITEM = re.compile(
    r"^\W*(?:[\d/.-]+\W* ?(?:inch|in\.?)?,? ?)?(?:(?:extra|very|ultra)[- ])?low(?:est)?[- ]flows?\b(?=[^.:]{0,40}[:–—])",
    re.IGNORECASE,
)
_LOW_FLOW_NAMED = re.compile(r"(?<=\band )low[- ]flow(?= (?:for|means|stands|denotes|,)\b)", re.IGNORECASE)


def _with_low_flow(hits: list[Hit], run: Run, start: int, end: int) -> list[Hit]:
    """Low flow as the name of a promise: it labels a time or volume, or is explained after other levels."""
    text = run.text[start:end]
    found = _LOW_FLOW_ITEM.match(text)
    if found is not None and any(hit.family in (Family.DURATION, Family.VOLUME) for hit in hits):
        place = start + found.group().lower().index("low")
    else:
        found = _LOW_FLOW_NAMED.search(text)
        if found is None or not any(hit.family is Family.LEVEL for hit in hits):
            return hits
        place = start + found.start()
    if any(hit.family is Family.LEVEL and hit.start <= start + found.end() and place <= hit.end for hit in hits):
        return hits
    name = Mention(
        Family.LEVEL,
        place,
        start + found.end(),
        AccuracyLevel.EXTENDED_LOW_FLOW,
        "level.low_flow_label",
        run.text[place : start + found.end()],
    )
    return sorted([*hits, Hit(name, run)], key=lambda hit: (hit.start, -hit.end))


def without_overlaps(hits: Iterable[Hit], *families: Family) -> list[Hit]:
    """Hits that no hit of these families covers."""
    listed = list(hits)
    covers = [hit for hit in listed if hit.family in families]
    return [
        hit
        for hit in listed
        if hit.family in families
        or not any(cover.start <= hit.start and hit.end <= cover.end and cover.run is hit.run for cover in covers)
    ]


def shifted(hit: Hit, pattern: str, value: object) -> Hit:
    """The same place with another value: an inference keeps the words it rests on."""
    return Hit(replace(hit.mention, value=value, pattern=pattern), hit.run)


def nearest(hits: Sequence[Hit], place: int) -> Hit | None:
    return min(hits, key=lambda hit: min(abs(hit.start - place), abs(hit.end - place)), default=None)


def component_of(hit: Hit) -> Component:
    return hit.value.component if isinstance(hit.value, ComponentSpec) else Component.OTHER


def is_covered(hit: Hit, covers: Sequence[Hit]) -> bool:
    return any(cover.start <= hit.start and hit.end <= cover.end for cover in covers)
