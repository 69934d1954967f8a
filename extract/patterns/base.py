"""What a pattern is and what it finds.

A pattern has a stable name, a reason, an example and a counter-example; `tests/extract/test_patterns.py` runs both for
every pattern of every family. Adding a wording is adding a row.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span


class Family(StrEnum):
    """What a mention is about."""

    DURATION = "duration"  # value: Duration
    VOLUME = "volume"  # value: Volume
    FLOW = "flow"  # value: FlowRate
    BAND = "band"  # value: PercentBand
    PERCENT = "percent"  # value: Decimal, a bare percentage that is no band (prices, shares)
    SIZE = "size"  # value: tuple[str, ...] of size labels
    PERIOD = "period"  # value: the unit that defines a named period ("Basic Period")
    START = "start"  # value: StartSpec
    RULE = "rule"  # value: Ends (first_of, last_of)
    LIFE = "life"  # value: LifeOf
    COMPONENT = "component"  # value: ComponentSpec
    METER_TYPE = "meter_type"  # value: MeterType
    PROMISE = "promise"  # value: PromiseSpec
    STANDARD = "standard"  # value: str such as "AWWA C700"
    LEVEL = "level"  # value: AccuracyLevel
    FLOW_ROLE = "flow_role"  # value: FlowRole
    REMEDY = "remedy"  # value: Remedy
    SHARE = "share"  # value: ShareSpec, who pays how much of what
    PRICE_BASIS = "price_basis"  # value: PriceBasis
    YEAR_SPAN = "year_span"  # value: YearSpan ("years 11 to 20", "the 11th year")
    REFERENCE = "reference"  # value: str, normalised ("table 1", "schedule a", "column 2")
    PRODUCT = "product"  # value: str
    TRIGGER = "trigger"  # value: True: words that make a sentence a promise
    NEGATION = "negation"  # value: None: words that take a promise away ("is not a warranty", "typical")
    DATE = "date"  # value: datetime.date


@dataclass(frozen=True, slots=True)
class Mention:
    """A value found in a text: text[start:end] are its words. `notes` name a conflict or doubt (WarningKind values)."""

    family: Family
    start: int
    end: int
    value: Any
    pattern: str
    text: str
    notes: tuple[str, ...] = ()
    alternatives: tuple[Any, ...] = ()


@dataclass(frozen=True, slots=True)
class Pattern:
    """One wording. `tokens` are spaCy Matcher patterns; `build` makes the value from the span, or None to refuse it.

    `example` must be found by this pattern with `expect` as its value; in `counter_example` this pattern finds nothing.
    """

    name: str
    why: str
    tokens: Sequence[Sequence[dict[str, Any]]]
    build: "Callable[[Span], Any]"
    example: str
    expect: Any
    counter_example: str
    language: str = "en"
    notes: tuple[str, ...] = field(default=())


Finder = Callable[["Doc"], list[Mention]]


def longest(mentions: Sequence[Mention]) -> list[Mention]:
    """Of mentions that overlap, the longest; of equals, the first. Sorted by place."""
    kept: list[Mention] = []
    for mention in sorted(mentions, key=lambda found: (found.start - found.end, found.start)):
        if all(mention.end <= other.start or mention.start >= other.end for other in kept):
            kept.append(mention)
    return sorted(kept, key=lambda found: found.start)
