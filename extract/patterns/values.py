"""Values that mentions carry where the schema has no type of its own."""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Literal

from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import AccuracyLevel, Component, Promise, StartEvent, StartRule


@dataclass(frozen=True, slots=True)
class StartClock:
    """An event, plus whole months: "six months after shipment" is (shipment, 6)."""

    event: StartEvent
    plus_months: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True)
class StartSpec:
    """The clocks that start a time, and how they combine (a start-MOVING form; end-moving pairs are two limits)."""

    clocks: tuple[StartClock, ...]
    rule: StartRule = StartRule.SINGLE


@dataclass(frozen=True, slots=True)
class ComponentSpec:
    """What is covered; `variant` only for a material or make that may tell two alike components apart."""

    component: Component
    variant: str | None = None


@dataclass(frozen=True, slots=True)
class PromiseSpec:
    """What is promised of it."""

    promise: Promise
    level: AccuracyLevel | None = None


@dataclass(frozen=True, slots=True)
class YearSpan:
    """Years of age counted from 1: year 11 is months 120 to 132. `last` None means to the end."""

    first: Decimal
    last: Decimal | None

    @property
    def from_month(self) -> Decimal:
        return (self.first - 1) * 12

    @property
    def to_month(self) -> Decimal | None:
        return None if self.last is None else self.last * 12


@dataclass(frozen=True, slots=True)
class ShareSpec:
    """A share of a price: what the customer pays, or (`of_supplier`) what the supplier credits."""

    pct: Decimal
    of_supplier: bool


@dataclass(frozen=True, slots=True)
class FullAndTail:
    """ "Ten years full, then ten prorated": the whole time, and how much of it is free of charge."""

    total: Duration
    full: Duration


@dataclass(frozen=True, slots=True)
class NamedFlow:
    """A range between named flows of ISO 4064 ("Q2 to Q4"); `low` None for "up to Q4"."""

    low: str | None
    high: str


@dataclass(frozen=True, slots=True)
class PrintedDate:
    """A date as precise as it is printed: the first of the month, or 1 January, stands for what is missing."""

    date: date
    precision: Literal["day", "month", "year"]
