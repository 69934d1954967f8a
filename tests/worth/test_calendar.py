"""When one promise of one meter begins and ends: exact dates, held against python-dateutil and by properties."""

import doctest
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from firstcap.schema.terms import Limit, Start, Term
from firstcap.schema.vocabulary import Component, Ends, LimitKind, Promise, StartEvent, StartRule
from firstcap.worth import calendar
from firstcap.worth.calendar import MeterCover, MeterFacts, cover_of_meter, plus_months, whole_months

DOCS = Path(__file__).parents[2] / "docs"
SHIPMENT, INSTALLATION = StartEvent.SHIPMENT, StartEvent.INSTALLATION
DAYS = st.dates(date(1996, 1, 1), date(2035, 12, 31))
RANK = {False: 0, None: 1, True: 2}


def term(ends: Ends, *limits: Limit, rule: StartRule = StartRule.SINGLE, starts: tuple[Start, ...] = ()) -> Term:
    return Term(
        component=Component.WHOLE_METER,
        promise=Promise.ACCURACY,
        ends=ends,
        start_rule=rule,
        limits=limits,
        starts=starts,
    )


def months(count: Decimal | int, event: StartEvent = SHIPMENT) -> Limit:
    return Limit(kind=LimitKind.TIME, months=Decimal(count), start_event=event)


def gallons(count: int) -> Limit:
    return Limit(kind=LimitKind.VOLUME, usgal=Decimal(count))


def on(one: Term, meter: MeterFacts, day: date = date(2026, 7, 1)) -> MeterCover:
    return cover_of_meter(one, meter, day)


@pytest.mark.parametrize("page", ["fleet.md"])
def test_the_examples_of_the_page_are_true(page: str) -> None:
    failed, tried = doctest.testfile(str(DOCS / page), module_relative=False)
    assert tried > 5 and not failed
    assert doctest.testmod(calendar).failed == 0


# Regulation (EEC, Euratom) No 1182/71, article 3(2)(c), from memory: a period of months or years ends with the last
# hour of the day of the same date, or of the last day of a month without that day.
@pytest.mark.parametrize(
    ("start", "count", "last"),
    [
        (date(2020, 2, 29), 60, date(2025, 2, 28)),
        (date(2020, 2, 29), 48, date(2024, 2, 29)),
        (date(2019, 8, 31), 6, date(2020, 2, 29)),
        (date(2020, 1, 15), 12, date(2021, 1, 15)),
    ],
)
def test_the_last_day_of_a_period_is_covered_and_the_next_is_not(start: date, count: int, last: date) -> None:
    meter = MeterFacts(shipped_on=start)
    promise = term(Ends.TIME_ONLY, months(count))
    assert on(promise, meter, start).covered is True
    assert on(promise, meter, last).covered is True
    assert on(promise, meter, last + timedelta(days=1)).covered is False
    assert on(promise, meter, start - timedelta(days=1)).covered is False


# Wording common in the trade: "18 months from shipment or 12 months from installation, whichever occurs first (later)".
@pytest.mark.parametrize(("ends", "last"), [(Ends.FIRST_OF, date(2021, 8, 31)), (Ends.LAST_OF, date(2021, 10, 15))])
def test_eighteen_months_from_shipment_or_twelve_from_installation(ends: Ends, last: date) -> None:
    meter = MeterFacts(shipped_on=date(2020, 2, 29), installed_on=date(2020, 10, 15))
    cover = on(term(ends, months(18), months(12, INSTALLATION)), meter)
    assert cover.end.low == cover.end.high == (last if ends is Ends.LAST_OF else date(2021, 8, 29))


def test_installation_but_no_later_than_six_months_after_shipment() -> None:
    starts = (Start(event=INSTALLATION), Start(event=SHIPMENT, plus_months=Decimal(6)))
    promise = term(Ends.TIME_ONLY, months(60, INSTALLATION), rule=StartRule.EARLIER_OF, starts=starts)
    late = MeterFacts(date(2019, 8, 31), date(2021, 1, 1))
    assert on(promise, late).end.low == date(2025, 2, 28)
    unknown = on(promise, MeterFacts(date(2019, 8, 31)), date(2024, 12, 1))
    assert (unknown.end.low, unknown.end.high) == (date(2024, 8, 31), date(2025, 2, 28))
    assert unknown.covered is None, "without the installation date it cannot be told, and is not a yes"


def test_a_missing_installation_date_is_never_read_as_a_yes() -> None:
    promise = term(Ends.TIME_ONLY, months(60, INSTALLATION))
    assert on(promise, MeterFacts(shipped_on=date(2024, 1, 1))).covered is None
    assert on(promise, MeterFacts(None, date(2024, 1, 1))).covered is True


def test_a_family_of_300_gallons_a_day_passes_the_cap_before_the_years() -> None:
    """Facts of the trade, arithmetic: 1,500,000 gallons at 300 a day are 13.689 years; at year 14 of 15 it is over."""
    meter = MeterFacts(date(2010, 1, 1), date(2010, 1, 1), year_usgal=Fraction(300) * Fraction(1461, 4))
    cover = on(term(Ends.FIRST_OF, months(180), gallons(1_500_000)), meter, date(2024, 1, 1))
    assert cover.volume is not None and (cover.volume.low - date(2010, 1, 1)).days == 5000
    assert cover.covered is False and cover.time is not None and cover.time.low == date(2025, 1, 1)


@given(start=DAYS, count=st.integers(0, 400), end=DAYS)
def test_months_are_those_of_dateutil(start: date, count: int, end: date) -> None:
    assert plus_months(start, count) == start + relativedelta(months=count)
    if start <= end:
        apart = relativedelta(end, start)
        assert whole_months(start, end) == apart.years * 12 + apart.months


@st.composite
def _cases(draw: st.DrawFn) -> tuple[list[Limit], MeterFacts, date]:
    limits = [months(draw(st.integers(1, 240)), draw(st.sampled_from([SHIPMENT, INSTALLATION]))) for _ in range(2)]
    limits.append(gallons(draw(st.integers(1, 2_000_000))))
    shipped = draw(DAYS)
    installed = shipped + timedelta(days=draw(st.integers(0, 700)))
    read_on = installed + timedelta(days=draw(st.integers(0, 5000)))
    reading, year = draw(st.none() | st.integers(0, 2_500_000)), draw(st.none() | st.integers(0, 300_000))
    meter = MeterFacts(
        shipped,
        installed,
        None if reading is None else Fraction(reading),
        None if reading is None else read_on,
        None if year is None else Fraction(year),
    )
    return limits, meter, draw(DAYS)


@settings(max_examples=150)
@given(case=_cases(), more=st.integers(0, 500_000))
def test_cover_never_grows_by_using_more_water(case: tuple[list[Limit], MeterFacts, date], more: int) -> None:
    limits, meter, day = case
    thirsty = replace(
        meter,
        reading_usgal=None if meter.reading_usgal is None else meter.reading_usgal + more,
        year_usgal=None if meter.year_usgal is None else meter.year_usgal + more,
    )
    for ends in (Ends.FIRST_OF, Ends.LAST_OF, Ends.UNSTATED):
        less, much = (on(term(ends, *limits), one, day) for one in (meter, thirsty))
        assert much.end.low <= less.end.low and much.end.high <= less.end.high
        assert RANK[much.covered] <= RANK[less.covered]


@settings(max_examples=150)
@given(case=_cases())
def test_the_later_of_never_ends_before_the_first_of(case: tuple[list[Limit], MeterFacts, date]) -> None:
    limits, meter, day = case
    first, last = (on(term(ends, *limits), meter, day) for ends in (Ends.FIRST_OF, Ends.LAST_OF))
    assert first.end.low <= last.end.low and first.end.high <= last.end.high
    assert RANK[first.covered] <= RANK[last.covered]
    starts = (Start(event=SHIPMENT), Start(event=INSTALLATION))
    early, late = (
        on(term(Ends.TIME_ONLY, limits[0], rule=rule, starts=starts), meter, day)
        for rule in (StartRule.EARLIER_OF, StartRule.LATER_OF)
    )
    assert early.end.low <= late.end.low and early.start.low <= late.start.low
