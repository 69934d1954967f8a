"""What cannot be true of a term: contradictions between its values that no person may bring in."""

from collections.abc import Callable, Iterable
from decimal import Decimal

from firstcap.schema.terms import CreditStep, Term
from firstcap.schema.vocabulary import SIZE_BY_LABEL, Ends, LimitKind, Promise

_LARGEST = Decimal("1e300")  # beyond any meter, and still a finite double in the views


def term_problems(term: Term) -> set[str]:
    """What contradicts itself in a term. The machine's own slips are for the person to see; a person may add none."""
    return {problem for problem in _problems(term) if problem}


def _problems(term: Term) -> Iterable[str | None]:
    times = [limit for limit in term.limits if limit.kind is LimitKind.TIME]
    volumes = [limit for limit in term.limits if limit.kind is LimitKind.VOLUME]
    yield from (
        f"{term.size_label!r} is no standard size; one of {', '.join(SIZE_BY_LABEL)}"
        if term.size_label is not None and term.size_label not in SIZE_BY_LABEL
        else None,
        "only an accuracy promise has an accuracy level"
        if term.accuracy_level is not None and term.promise is not Promise.ACCURACY
        else None,
        "life_of belongs to a promise for life; correct `ends` first"
        if term.life_of is not None and term.ends is not Ends.LIFE
        else None,
        "a promise for life has no limits" if term.ends is Ends.LIFE and term.limits else None,
        "a term lasts months or days, not both"
        if term.duration_months is not None and term.duration_days is not None
        else None,
        f"the free period ({term.full_months} months) is longer than the term ({term.duration_months} months); "
        "correct the other one first"
        if _both_and(term.full_months, term.duration_months, lambda full, whole: full > whole)
        else None,
    )
    if term.ends in (Ends.FIRST_OF, Ends.LAST_OF, Ends.UNSTATED) and len(term.limits) == 1:
        yield f"{term.ends} needs two limits and there is one; give the other one first"
    if term.ends is Ends.TIME_ONLY and volumes:
        yield "time_only, but there is a volume limit; set volume_cap_usgal to null and `ends` follows"
    if term.ends is Ends.VOLUME_ONLY and times:
        yield "volume_only, but there is a time limit; set duration_months to null and `ends` follows"
    if term.ends is Ends.TIME_ONLY and len(times) > 1:
        yield "time_only, but there are two time limits; say which comes first"
    for limit in times:
        if (limit.months is None) == (limit.days is None) or limit.usgal is not None:
            yield "a time limit has months or days, one of them, and no gallons"
    for limit in volumes:
        if limit.usgal is None or limit.months is not None or limit.days is not None:
            yield "a volume limit has gallons and nothing else"
    yield from _number_problems(term)
    yield from _step_problems(term.credits)


def _both_and(left: Decimal | None, right: Decimal | None, test: Callable[[Decimal, Decimal], bool]) -> bool:
    return left is not None and right is not None and test(left, right)


def _number_problems(term: Term) -> Iterable[str | None]:
    values: list[Decimal | int | None] = [
        term.duration_months,
        term.full_months,
        term.duration_days,
        term.volume_cap_usgal,
        *(value for limit in term.limits for value in (limit.months, limit.days, limit.usgal)),
        *(value for band in term.bands for value in (band.flow_from_usgpm, band.flow_to_usgpm)),
        *(value for band in term.bands for value in (band.lower_pct, band.upper_pct)),
    ]
    yield from (f"{value} is below zero" for value in values if value is not None and value < 0)
    yield from (f"{value} is beyond any meter" for value in values if value is not None and value > _LARGEST)
    lasting = (term.duration_months, term.full_months, term.duration_days, term.volume_cap_usgal)
    if any(value == 0 for value in lasting[:1] + lasting[2:]):
        yield "a limit of 0 promises nothing; give null where the document does not say"
    for band in term.bands:
        if _both_and(band.flow_from_usgpm, band.flow_to_usgpm, lambda low, high: low > high):
            yield f"a flow range runs upwards, not from {band.flow_from_usgpm} to {band.flow_to_usgpm}"
        if _both_and(band.lower_pct, band.upper_pct, lambda low, high: low > high):
            yield f"a band runs upwards, not from {band.lower_pct} to {band.upper_pct}"


def _step_problems(steps: tuple[CreditStep, ...]) -> Iterable[str]:
    reached: Decimal | None = None
    for step in steps:
        if not 0 <= step.from_month < step.to_month <= _LARGEST:
            yield f"a credit step runs upwards from a month, not from {step.from_month} to {step.to_month}"
        if not 0 <= step.customer_pays_pct <= 100:
            yield f"the customer pays 0 to 100 per cent, not {step.customer_pays_pct}"
        if reached is not None and step.from_month < reached:
            yield f"credit steps overlap at month {step.from_month}"
        reached = step.to_month
