"""A promise's limits laid on one meter's days: what starts each clock, and which limit ends the cover.

A document may count from several events at once: the earlier of two events starts the time, or each limit counts from
an event of its own ("18 months from shipment or 12 months from installation"). Which limit comes first then depends on
how long a meter lay in store.
"""

from collections.abc import Sequence
from fractions import Fraction

from firstcap.app.report.rows import LimitRow, StartRow, TermRow
from firstcap.schema.vocabulary import StartEvent, StartRule
from firstcap.worth.cover import DAYS_PER_YEAR, MONTHS_PER_YEAR, Span, TimeLimit, cover_of, span_of

# Clocks that run while the meter still lies in the store.
BEFORE_USE = {StartEvent.SHIPMENT, StartEvent.MANUFACTURE, StartEvent.DELIVERY, StartEvent.PURCHASE}
NOTHING = Fraction(0)


def span(
    term: TermRow, limits: Sequence[LimitRow], starts: Sequence[StartRow], stored_years: Fraction = NOTHING
) -> Span:
    """The cover of one promise for a meter first used `stored_years` after shipment, manufacture, delivery, purchase.

    Where a condition decides what starts the time, the earliest event is taken: the careful reading.
    """
    clocks = [_after_shipment(clock.event, stored_years) + Fraction(clock.plus_months) / 12 for clock in starts]
    if not clocks:
        clocks = [_after_shipment(term.start_event, stored_years)]
    start = max(clocks) if term.start_rule == StartRule.LATER_OF else min(clocks)
    own = cover_of(term.duration_months, term.duration_days, term.volume_cap_usgal, term.ends)
    times = [
        TimeLimit(years, start if limit.start_event is None else _after_shipment(limit.start_event, stored_years))
        for limit in limits
        if limit.kind == "time" and (years := _years(limit)) is not None
    ]
    if len(times) < 2:
        times = [] if own.years is None else [TimeLimit(own.years, start)]
    volumes = [Fraction(limit.usgal) for limit in limits if limit.kind == "volume" and limit.usgal is not None]
    if len(volumes) < 2:
        volumes = [] if own.usgal is None else [own.usgal]
    return span_of(times, volumes, term.ends, stored_years, start)


def _after_shipment(event: str | None, stored_years: Fraction) -> Fraction:
    return stored_years if event is not None and event not in BEFORE_USE else NOTHING


def _years(limit: LimitRow) -> Fraction | None:
    if limit.months is not None:
        return Fraction(limit.months) / MONTHS_PER_YEAR
    return None if limit.days is None else Fraction(limit.days) / DAYS_PER_YEAR
