"""Values of the catalogue in the words and figures of a report.

A figure that was rounded carries ≈ and no more digits than it can answer for; a value that the document does not
give is "not stated".
"""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Context, Decimal
from fractions import Fraction
from typing import Protocol

from firstcap.app.report.rows import CreditRow, LimitRow, TermRow
from firstcap.schema.units import gallons_per, gpm_per
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    DutyKind,
    Ends,
    ExclusionKind,
    LifeOf,
    PriceBasis,
    StartEvent,
    StartRule,
    TermState,
)
from firstcap.worth.cover import DAYS_PER_YEAR, Cover

NOT_STATED = "not stated"
UNCONFIRMED_SIGN = "◇"
UNCONFIRMED = f"{UNCONFIRMED_SIGN} unconfirmed"

# Doubles carry about sixteen digits; what is left below this after a conversion is dust, not a printed digit.
_DUST = Fraction(1, 10**6)
_CONVERTED_DIGITS = 4
_DERIVED_DIGITS = 3


def spaced(word: str) -> str:
    """A member of a value list as words: `whole_meter` is "whole meter"."""
    return word.replace("_", " ")


def component_words(component: str) -> str:
    names = {Component.MAINCASE: "main case", Component.WHOLE_METER: "whole meter", Component.OTHER: "other part"}
    return names.get(Component(component), spaced(component)) if component in set(Component) else spaced(component)


_LEVELS = {
    AccuracyLevel.NEW_METER: "new-meter accuracy",
    AccuracyLevel.REPAIRED_METER: "repaired-meter accuracy",
    AccuracyLevel.EXTENDED_LOW_FLOW: "extended low-flow accuracy",
    AccuracyLevel.STATED: "accuracy in the document's own percentages",
}


def promise_words(component: str, promise: str, level: str | None) -> str:
    """The heading of a promise: "new-meter accuracy, whole meter"."""
    if promise == "accuracy":
        first = _LEVELS[AccuracyLevel(level)] if level in set(AccuracyLevel) else "accuracy"
    else:
        first = {"materials_workmanship": "materials and workmanship"}.get(promise, spaced(promise))
    return f"{first}, {component_words(component)}"


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def plain_number(value: Decimal | Fraction) -> str:
    """A decimal without padding zeros, thousands separated: 98.5, 1,500."""
    number = value if isinstance(value, Decimal) else Decimal(value.numerator) / Decimal(value.denominator)
    text = f"{number:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def is_whole(value: Fraction | Decimal) -> bool:
    exact = Fraction(value)
    return abs(exact - round(exact)) <= _DUST


def _to_digits(value: Fraction, digits: int) -> Fraction:
    """Rounded to so many significant digits, half to even."""
    exact = Context(prec=60).divide(Decimal(value.numerator), Decimal(value.denominator))
    return Fraction(Context(prec=digits).plus(exact))


def about(value: Fraction | Decimal, digits: int = _DERIVED_DIGITS) -> str:
    """A derived figure: exact where it has no more than `digits` significant digits, else rounded and marked ≈."""
    exact = Fraction(value)
    rounded = _to_digits(exact, digits)
    mark = "" if abs(exact - rounded) <= _DUST else "≈ "
    return f"{mark}{plain_number(rounded)}"


def figure(value: Fraction | Decimal, digits: int = _CONVERTED_DIGITS) -> str:
    """A whole number in full; anything else rounded and marked ≈ where digits were dropped."""
    return f"{round(Fraction(value)):,}" if is_whole(value) else about(value, digits)


def volume_unit(metric: bool) -> tuple[Fraction, str]:
    """US gallons in the unit a comparison counts volume in, and its sign."""
    return (gallons_per("m3"), "m³") if metric else (Fraction(1), "gal")


def volume(usgal: Decimal | Fraction | None, *, metric: bool = False) -> str:
    """A registered volume with separators; ≈ where the document counts in another unit."""
    if usgal is None:
        return NOT_STATED
    unit, sign = volume_unit(metric)
    return f"{figure(Fraction(usgal) / unit)} {sign}"


def use_a_year(usgal: Fraction, *, metric: bool = False) -> str:
    unit, sign = volume_unit(metric)
    return f"{figure(usgal / unit)} {sign}/yr"


def use_a_day(usgal_a_year: Fraction, *, metric: bool = False, digits: int = 2) -> str:
    """A yearly use by the day, 365.25 days a year."""
    unit, sign = volume_unit(metric)
    return f"{about(usgal_a_year / unit / DAYS_PER_YEAR, digits)} {sign}/day"


def break_even(cover: Cover, *, metric: bool = False) -> str | None:
    """From which yearly use on the volume cap, and not the years, decides when the cover ends; None with one limit."""
    yearly = cover.break_even_per_year
    if yearly is None:
        return None
    unit, sign = volume_unit(metric)
    a_day = use_a_day(yearly, metric=metric, digits=_DERIVED_DIGITS)
    use = f"{about(yearly / unit)} {sign}/yr ({a_day})"
    if cover.ends == Ends.LAST_OF:
        return f"below {use}"
    return f"above {use}" if cover.ends == Ends.FIRST_OF else f"above {use}, if the first limit ends it"


def cubic_metres(usgal: Decimal | Fraction) -> Fraction:
    return Fraction(usgal) / gallons_per("m3")


def litres_an_hour(usgpm: Decimal) -> Fraction:
    return Fraction(usgpm) / gpm_per("L/h")


def counted(value: Decimal | Fraction | int, unit: str) -> str:
    number = plain_number(Decimal(value) if isinstance(value, int) else value)
    return f"{number} {unit if number == '1' else unit + 's'}"


def period(months: Decimal | None, days: int | None = None) -> str:
    """Years where they are whole, else months; days stay days."""
    if months is not None:
        return counted(months / 12, "year") if months % 12 == 0 else counted(months, "month")
    return NOT_STATED if days is None else counted(days, "day")


def duration(term: TermRow) -> str:
    if term.duration_months is None and term.duration_days is None and term.ends == Ends.LIFE:
        return life(term)
    text = period(term.duration_months, term.duration_days)
    if term.ends == Ends.VOLUME_ONLY and text == NOT_STATED:
        return "no time limit"
    return text


def years_about(years: Fraction) -> str:
    """Years to a tenth, ≈ where that is rounded."""
    tenths = Fraction(round(years * 10), 10)
    return f"{'' if tenths == years else '≈ '}{counted(tenths, 'year')}"


def life(term: TermRow) -> str:
    whose = {LifeOf.METER: "life of the meter", LifeOf.OWNERSHIP: "as long as the buyer owns it"}
    return (
        whose.get(LifeOf(term.life_of), "life, of what is not clear") if term.life_of else "life, whose is not stated"
    )


def cap(term: TermRow, *, metric: bool = False) -> str:
    """The registration cap; a promise limited by time alone says so."""
    if term.volume_cap_usgal is None and term.ends in (Ends.TIME_ONLY, Ends.LIFE):
        return "no volume cap"
    return volume(term.volume_cap_usgal, metric=metric)


def which_ends_first(term: TermRow, limits: Sequence[LimitRow] = ()) -> str:
    """The rule between the limits, in words."""
    clocks = [limit for limit in limits if limit.kind == "time"]
    if term.ends == Ends.TIME_ONLY and len(clocks) > 1:
        return "time alone: of several periods, see the limits"
    return {
        Ends.FIRST_OF: "whichever comes first",
        Ends.LAST_OF: "whichever comes later",
        Ends.TIME_ONLY: "time alone",
        Ends.VOLUME_ONLY: "registered volume alone",
        Ends.LIFE: "no fixed end",
        Ends.UNSTATED: "two limits, no rule between them stated",
    }.get(Ends(term.ends), spaced(term.ends))


def event(name: str | None) -> str:
    if name is None:
        return NOT_STATED
    return "another event" if name == StartEvent.OTHER else spaced(name)


class Ended(Protocol):
    """Which of several limits ends a promise: of a view or a term."""

    @property
    def ends(self) -> str: ...


class Bound(Protocol):
    """One limit of a promise: of a view or a term."""

    @property
    def kind(self) -> str: ...
    @property
    def months(self) -> Decimal | None: ...
    @property
    def days(self) -> int | None: ...
    @property
    def usgal(self) -> Decimal | None: ...
    @property
    def start_event(self) -> str | None: ...


def limits_in_words(term: Ended, limits: Sequence[Bound], *, metric: bool = False) -> str | None:
    """All ends of a promise that has more than one of a kind: "12 months from installation or 18 months from …"."""
    clocks = [limit for limit in limits if limit.kind == "time"]
    caps = [limit for limit in limits if limit.kind == "volume"]
    if len(clocks) < 2 and len(caps) < 2:
        return None
    parts = []
    for limit in clocks:
        since = f" from {event(limit.start_event)}" if limit.start_event else ""
        parts.append(period(limit.months, limit.days) + since)
    parts.extend(volume(limit.usgal, metric=metric) for limit in caps)
    rule = {Ends.LAST_OF: "whichever comes later", Ends.UNSTATED: "no rule between them stated"}
    return f"{' or '.join(parts)}, {rule.get(Ends(term.ends), 'whichever comes first')}"


class Clock(Protocol):
    """An event that can start a promise: of a view or of a term."""

    @property
    def event(self) -> str: ...
    @property
    def plus_months(self) -> Decimal: ...


class Clocked(Protocol):
    """How the clocks of a promise are joined: of a view or a term."""

    @property
    def start_rule(self) -> str | None: ...
    @property
    def start_event(self) -> str | None: ...


def start(term: Clocked, starts: Sequence[Clock]) -> str:
    """What starts the clock, by the rule that joins several clocks."""
    clocks = []
    for clock in starts:
        later = f"{period(clock.plus_months)} after " if clock.plus_months else ""
        clocks.append(later + event(clock.event))
    if len(clocks) < 2:
        return clocks[0] if clocks else event(term.start_event)
    if term.start_rule == StartRule.EARLIER_OF:
        return f"the earlier of {joined(clocks)}"
    if term.start_rule == StartRule.LATER_OF:
        return f"the later of {joined(clocks)}"
    if term.start_rule == StartRule.CONDITIONAL:
        return f"{clocks[0]}; under a condition {joined(clocks[1:], 'or')}"
    return f"{joined(clocks)}, each with a period of its own"


def joined(parts: Iterable[str], word: str = "and") -> str:
    *head, last = parts
    return f"{', '.join(head)} {word} {last}" if head else last


def _since_start(step: CreditRow) -> str:
    """The months of a credit step as the years a warranty counts in: year n runs from month 12(n-1) to 12n."""
    low, high = step.from_month, step.to_month
    if low % 12 == 0 and high % 12 == 0:
        first, last = low / 12 + 1, high / 12
        return f"year {plain_number(first)}" if first == last else f"years {plain_number(first)}–{plain_number(last)}"
    first_month = low + 1
    if first_month == high:
        return f"month {plain_number(high)}"
    return f"months {plain_number(first_month)}–{plain_number(high)}"


_PRICES = {
    PriceBasis.LIST_PRICE_THEN_CURRENT: "the list price when the claim is made",
    PriceBasis.LIST_PRICE_AT_SALE: "the list price at the sale",
    PriceBasis.PURCHASE_PRICE: "the price paid",
    PriceBasis.OTHER: "another price",
}


def proration(steps: Sequence[CreditRow]) -> list[str]:
    """One phrase a step: "years 1–10: free", "year 11: customer pays 30 %"."""
    phrases = []
    for step in steps:
        share = step.customer_pays_pct
        pays = "free" if share == 0 else f"customer pays {plain_number(share)} %"
        phrases.append(f"{_since_start(step)}: {pays}")
    return phrases


def price_bases(steps: Sequence[CreditRow]) -> str | None:
    """The price a customer's share is counted on, once for all steps; None where nothing is paid."""
    names = {price(step.price_basis) for step in steps if step.customer_pays_pct != 0}
    known = sorted(name for name in names if name is not None)
    return f"of {joined(known, 'or')}" if known else None


def price(basis: str | None) -> str | None:
    return None if basis is None else _PRICES.get(PriceBasis(basis), spaced(basis))


def remedy(name: str | None) -> str:
    if name is None:
        return NOT_STATED
    return {"repair_replace_or_refund": "repair, replace or refund", "other": "another remedy"}.get(name, spaced(name))


def state(name: str) -> str:
    return {
        TermState.PROPOSED: UNCONFIRMED,
        TermState.CONFIRMED: "confirmed",
        TermState.CORRECTED: "corrected by a person",
        TermState.ADDED: "entered by a person",
    }.get(TermState(name), spaced(name))


def exclusion(kind: str) -> str:
    return ExclusionKind(kind).meaning if kind in set(ExclusionKind) else spaced(kind)


def duty(kind: str) -> str:
    if kind == DutyKind.WRITTEN_NOTICE:
        return "notice in writing"
    return DutyKind(kind).meaning if kind in set(DutyKind) else spaced(kind)


def day(value: date | None) -> str:
    return NOT_STATED if value is None else value.isoformat()


def percent(value: Decimal | None) -> str:
    return NOT_STATED if value is None else f"{plain_number(value)} %"


def flow(usgpm: Decimal, *, metric: bool = False) -> str:
    """A flow in gal/min, or in litres an hour where the comparison is metric."""
    return f"{about(litres_an_hour(usgpm), 4)} L/h" if metric else f"{about(usgpm, 4)} gpm"


def flows(low: Decimal | None, high: Decimal | None, *, metric: bool = False) -> str:
    if low is None and high is None:
        return "flow not stated"
    if low is None or high is None or low == high:
        single = low if low is not None else high
        assert single is not None
        return flow(single, metric=metric)
    unit = " L/h" if metric else " gpm"
    return f"{flow(low, metric=metric).removesuffix(unit)} to {flow(high, metric=metric)}"


def band(lower: Decimal | None, upper: Decimal | None) -> str:
    if lower is not None and upper is not None:
        return f"{plain_number(lower)} to {plain_number(upper)} %"
    if lower is not None:
        return f"at least {plain_number(lower)} %"
    return NOT_STATED if upper is None else f"at most {plain_number(upper)} %"


def points(margin: Decimal | None) -> str:
    """A difference in percentage points, signed."""
    if margin is None:
        return "no limit to compare"
    if margin == 0:
        return "±0"
    return f"{'+' if margin > 0 else '−'}{plain_number(abs(margin))}"
