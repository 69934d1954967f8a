"""From when to when one promise covers one meter, and whether it does on a day: exact dates, one meter at a time.

The rules, as docs/fleet.md tells them: a period of months ends on the day of the month on which it began, or on the
last day of a month that has no such day, and that last day is still covered. What is not known is a range of days, from
the earliest to the latest that it can be, and a meter is covered, or is not, only where both ends of the range say so.
The same for millions of meters is SQL (store/fleet.sql); the tests hold one against the other.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from dateutil.relativedelta import relativedelta

from firstcap.schema.fleet import COUNTED_FROM, MeterColumn
from firstcap.schema.terms import Limit, Term
from firstcap.schema.vocabulary import Ends, LimitKind, StartEvent, StartRule
from firstcap.worth.cover import DAYS_PER_YEAR

FOREVER = date.max
LONG_AGO = date.min
_ROUNDING = Fraction(1, 10**6)  # a millionth of a day
_LONGEST_YEARS = 500


@dataclass(frozen=True)
class Days:
    """A day that lies between two days, both included; LONG_AGO and FOREVER where a side is open."""

    low: date
    high: date

    @classmethod
    def exactly(cls, day: date) -> "Days":
        return cls(day, day)


UNKNOWN = Days(LONG_AGO, FOREVER)


@dataclass(frozen=True)
class MeterFacts:
    """What a list of meters says of one: at least one of the first two dates; gallons are US gallons."""

    shipped_on: date | None = None
    installed_on: date | None = None
    reading_usgal: Fraction | None = None
    reading_on: date | None = None
    year_usgal: Fraction | None = None

    @property
    def used_from(self) -> date:
        found = self.installed_on or self.shipped_on
        assert found is not None
        return found

    @property
    def served_days(self) -> int:
        return (self.reading_on - self.used_from).days if self.reading_on else 0

    def of(self, column: MeterColumn | None) -> Days:
        """The range of a date of the meter: installation does not come before shipment."""
        if column is MeterColumn.SHIPPED_ON:
            return Days(self.shipped_on or LONG_AGO, self.shipped_on or self.installed_on or FOREVER)
        if column is MeterColumn.INSTALLED_ON:
            return Days(self.installed_on or self.shipped_on or LONG_AGO, self.installed_on or FOREVER)
        return UNKNOWN


@dataclass(frozen=True)
class MeterCover:
    """`time`, `volume` and `end`: last days covered, None where no such limit is. `covered` None: it cannot be told."""

    start: Days
    time: Days | None
    volume: Days | None
    end: Days
    covered: bool | None


def plus_months(day: date, months: int) -> date:
    """The same day of a later month, or the last day of a month without it; open ends stay open.

    >>> plus_months(date(2020, 2, 29), 60), plus_months(date(2023, 8, 31), 6)
    (datetime.date(2025, 2, 28), datetime.date(2024, 2, 29))
    """
    return day if day in (FOREVER, LONG_AGO) else day + relativedelta(months=months)


def plus_days(day: date, days: int) -> date:
    return day if day in (FOREVER, LONG_AGO) else day + timedelta(days=days)


def whole_months(day: date, end: date) -> int:
    """How many whole months fit between two days.

    >>> whole_months(date(2024, 1, 31), date(2024, 2, 29)), whole_months(date(2024, 1, 31), date(2024, 2, 28))
    (1, 0)
    """
    months = (end.year - day.year) * 12 + end.month - day.month
    return months - (plus_months(day, months) > end)


def cover_of_meter(term: Term, meter: MeterFacts, day: date) -> MeterCover:
    """One promise of one meter on a day."""
    start, time = _times(term, meter)
    volume = None if term.ends is Ends.LIFE else _volume(term, meter)
    ends = [days for days in (time, volume) if days is not None]
    end = _combined(ends, max if term.ends is Ends.LAST_OF else min) if ends else UNKNOWN
    covered: bool | None = None
    if day > end.high or day < start.low:
        covered = False
    elif day <= end.low and day >= start.high:
        covered = True
    return MeterCover(start, time, volume, end, covered)


def _times(term: Term, meter: MeterFacts) -> tuple[Days, Days | None]:
    """When the cover begins, and its last day by time; None for the latter where volume alone ends it."""
    limits = [limit for limit in term.limits if limit.kind is LimitKind.TIME]
    shipped = meter.of(MeterColumn.SHIPPED_ON)
    if term.ends is Ends.LIFE:
        return (_starts(term, meter, limits) if limits else shipped), Days.exactly(FOREVER)
    if not limits:
        has_cap = any(limit.kind is LimitKind.VOLUME for limit in term.limits)
        return shipped, None if has_cap else UNKNOWN
    ends = [_after(_start_of(term, meter, limit), limit) for limit in limits]
    return _starts(term, meter, limits), _combined(ends, max if term.ends is Ends.LAST_OF else min)


def _starts(term: Term, meter: MeterFacts, limits: Sequence[Limit]) -> Days:
    return _combined([_start_of(term, meter, limit) for limit in limits], min)


def _start_of(term: Term, meter: MeterFacts, limit: Limit) -> Days:
    rule = term.start_rule or StartRule.SINGLE
    if rule is not StartRule.SINGLE:
        clocks = [_shifted(_event(meter, start.event), start.plus_months) for start in term.starts]
        if not clocks:
            return UNKNOWN
        if rule is StartRule.CONDITIONAL:
            return Days(min(one.low for one in clocks), max(one.high for one in clocks))
        return _combined(clocks, max if rule is StartRule.LATER_OF else min)
    event = limit.start_event or term.start_event
    if event is None:
        return UNKNOWN
    column = COUNTED_FROM[event].column
    plus = [start.plus_months for start in term.starts if COUNTED_FROM[start.event].column is column] or [Decimal(0)]
    return _shifted(_event(meter, event), min(plus), max(plus))


def _event(meter: MeterFacts, event: StartEvent) -> Days:
    return meter.of(COUNTED_FROM[event].column)


def _shifted(days: Days, months: Decimal, most: Decimal | None = None) -> Days:
    """A part of a month has no calendar: it may be left out or taken whole."""
    return Days(plus_months(days.low, floor(months)), plus_months(days.high, ceil(months if most is None else most)))


def _after(start: Days, limit: Limit) -> Days:
    if limit.months is not None:
        return _shifted(start, limit.months)
    assert limit.days is not None
    return Days(plus_days(start.low, limit.days), plus_days(start.high, limit.days))


def _combined(found: Iterable[Days], choose: Callable[[Iterable[date]], date]) -> Days:
    held = list(found)
    return Days(choose(one.low for one in held), choose(one.high for one in held))


def yearly_use(meter: MeterFacts) -> tuple[Fraction, Fraction, Fraction] | None:
    """What a meter registers in a year, and the least and the most that its data support; None without any.

    The stated use where there is one, else the average of its reading. The range is what lies between the two; where
    there is only a reading of less than a year, the part of the year it saw, and the inverse of it, bound the average.
    """
    average: Fraction | None = None
    if meter.reading_usgal is not None and meter.served_days > 0:
        average = meter.reading_usgal * DAYS_PER_YEAR / meter.served_days
    if meter.year_usgal is not None:
        both = [meter.year_usgal] if average is None else [meter.year_usgal, average]
        return meter.year_usgal, min(both), max(both)
    if average is None:
        return None
    seen = min(Fraction(1), meter.served_days / DAYS_PER_YEAR)
    return average, average * seen, average / seen


def _volume(term: Term, meter: MeterFacts) -> Days | None:
    """The last day on which the cap is not passed: after the reading by use, before it only between two bounds."""
    caps = [
        Fraction(limit.usgal) for limit in term.limits if limit.kind is LimitKind.VOLUME and limit.usgal is not None
    ]
    if not caps:
        return None
    cap = max(caps) if term.ends is Ends.LAST_OF else min(caps)
    use = yearly_use(meter)
    if meter.reading_usgal is not None and meter.reading_on is not None:
        if meter.reading_usgal > cap:
            last = meter.reading_on - timedelta(days=1)
            return Days(min(meter.used_from, last), last)
        if use is None:
            return Days(meter.reading_on, FOREVER)
        left, since = cap - meter.reading_usgal, meter.reading_on
    elif use is None:
        return UNKNOWN
    else:
        left, since = cap, meter.used_from
    _, least, most = use
    return Days(_day_of_cap(since, left, most), _day_of_cap(since, left, least))


def _day_of_cap(since: date, left: Fraction, per_year: Fraction) -> date:
    if per_year <= 0 or left / per_year >= _LONGEST_YEARS:
        return FOREVER
    return since + timedelta(days=floor(left / per_year * DAYS_PER_YEAR + _ROUNDING))
