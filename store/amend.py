"""One value of a term changed by a person, with everything that hangs on it moved along.

Pure: a term in, a changed and checked term out. ValueRefusedError says what is wrong with the value and what to give.
"""

from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any

from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import CreditStep, Limit, Start, Term
from firstcap.schema.vocabulary import Ends, LimitKind, Promise, StartRule
from firstcap.store.problems import term_problems
from firstcap.store.values import parse, to_json

__all__ = ["TERM_FIELDS", "amend_term", "term_value", "to_json"]

_MACHINE_ONLY = frozenset({"evidence", "alternatives", "confidence"})
TERM_FIELDS = tuple(name for name in Term.model_fields if name not in _MACHINE_ONLY)


def term_value(term: Term, field: str) -> Any:
    """The value of an editable field; ValueRefusedError names the fields there are."""
    if field not in TERM_FIELDS:
        raise ValueRefusedError(f"a term has no field {field!r} to decide; it has {', '.join(TERM_FIELDS)}")
    return getattr(term, field)


def amend_term(term: Term, field: str, text: str | None) -> Term:
    """`term` with `field` set to the JSON value `text`, its limits, starts and ends kept in step."""
    term_value(term, field)
    value = parse(Term, field, text)
    follow = _FOLLOW.get(field)
    changed = follow(term, value) if follow else _with(term, **{field: value})
    changed = Term.model_validate(_without_stale_evidence(changed).model_dump())
    for problem in sorted(term_problems(changed) - term_problems(term)):
        raise ValueRefusedError(f"{field}: {problem}")
    return changed


def _with(term: Term, **values: object) -> Term:
    return term.model_copy(update=values)


def _first(limits: Iterable[Limit], kind: LimitKind) -> Limit | None:
    return next((limit for limit in limits if limit.kind is kind), None)


def _with_limit(term: Term, kind: LimitKind, limit: Limit | None) -> Term:
    """The term with its first limit of `kind` replaced, added (time before volume) or, for None, taken away."""
    old = _first(term.limits, kind)
    if limit is None:
        limits = tuple(other for other in term.limits if other is not old)
        if _first(limits, kind) is not None:
            raise ValueRefusedError(f"the term has several {kind} limits; correct `limits` as a whole")
    elif old is not None:
        limits = tuple(limit if other is old else other for other in term.limits)
    elif kind is LimitKind.TIME:
        limits = (limit, *term.limits)
    else:
        limits = (*term.limits, limit)
    return _with_ends(_with(term, limits=limits))


def _with_ends(term: Term) -> Term:
    """`ends` as far as it follows from which limits there are; two limits newly met have no rule between them."""
    kinds = {limit.kind for limit in term.limits}
    ends = term.ends
    if len(term.limits) == 1 and ends is not Ends.LIFE:
        ends = Ends.TIME_ONLY if LimitKind.TIME in kinds else Ends.VOLUME_ONLY
    elif len(term.limits) > 1 and ends in (Ends.TIME_ONLY, Ends.VOLUME_ONLY):
        ends = Ends.UNSTATED
    return _with(term, ends=ends)


def _free_period(term: Term, duration: Decimal | None) -> Decimal | None:
    """full_months beside a new duration: all of it where nothing is prorated."""
    prorated = bool(term.credits) or term.full_months != term.duration_months
    return term.full_months if prorated else duration


def _duration_months(term: Term, months: Decimal | None) -> Term:
    changed = _with(term, duration_months=months, full_months=_free_period(term, months))
    if months is None:
        return changed if term.duration_days is not None else _end_time(term, changed)
    changed = _with(changed, duration_days=None)
    return _set_time(term, changed, months=months, days=None)


def _duration_days(term: Term, days: int | None) -> Term:
    changed = _with(term, duration_days=days)
    if days is None:
        return changed if term.duration_months is not None else _end_time(term, changed)
    changed = _with(changed, duration_months=None, full_months=None)
    return _set_time(term, changed, months=None, days=days)


def _end_time(term: Term, changed: Term) -> Term:
    return _with_limit(changed, LimitKind.TIME, None) if _first(term.limits, LimitKind.TIME) else changed


def _set_time(term: Term, changed: Term, *, months: Decimal | None, days: int | None) -> Term:
    if term.ends is Ends.LIFE:
        return changed  # a life has no row of limits, whatever number is printed beside it
    old = _first(term.limits, LimitKind.TIME)
    limit = old or Limit(kind=LimitKind.TIME, start_event=term.start_event, limit_text=term.duration_text or "")
    return _with_limit(changed, LimitKind.TIME, limit.model_copy(update={"months": months, "days": days}))


def _volume_cap(term: Term, usgal: Decimal | None) -> Term:
    changed = _with(term, volume_cap_usgal=usgal)
    old = _first(term.limits, LimitKind.VOLUME)
    if usgal is None:
        return _with_limit(changed, LimitKind.VOLUME, None) if old else changed
    limit = old or Limit(kind=LimitKind.VOLUME, limit_text=term.volume_cap_text or "")
    return _with_limit(changed, LimitKind.VOLUME, limit.model_copy(update={"usgal": usgal}))


def _text_of(kind: LimitKind, field: str) -> Callable[[Term, Any], Term]:
    def follow(term: Term, text: str | None) -> Term:
        limit = _first(term.limits, kind)
        changed = _with(term, **{field: text})
        if limit is None or limit.limit_text != (getattr(term, field) or ""):
            return changed
        return _with_limit(changed, kind, limit.model_copy(update={"limit_text": text or ""}))

    return follow


def _ends(term: Term, ends: Ends) -> Term:
    if ends is Ends.LIFE:
        return _with(
            term,
            ends=ends,
            limits=(),
            duration_months=None,
            full_months=None,
            duration_days=None,
            volume_cap_usgal=None,
            volume_cap_text=None,
        )
    return _with(term, ends=ends, life_of=None)


def _promise(term: Term, promise: Promise) -> Term:
    return _with(term, promise=promise, accuracy_level=term.accuracy_level if promise is Promise.ACCURACY else None)


def _start_event(term: Term, event: Any) -> Term:
    if event is None:
        if len(term.starts) > 1:
            raise ValueRefusedError("the term has several starts; correct `starts` as a whole")
        starts: tuple[Start, ...] = ()
    elif term.starts:
        starts = (term.starts[0].model_copy(update={"event": event}), *term.starts[1:])
    else:
        starts = (Start(event=event),)
    return _with(_moved_start(term, event), starts=starts, start_rule=_rule(term.start_rule, starts))


def _starts(term: Term, starts: tuple[Start, ...]) -> Term:
    event = starts[0].event if starts else None
    return _with(_moved_start(term, event), starts=starts, start_rule=_rule(term.start_rule, starts))


def _rule(rule: StartRule | None, starts: tuple[Start, ...]) -> StartRule | None:
    if not starts:
        return None
    if len(starts) == 1 and rule is not StartRule.CONDITIONAL:
        return StartRule.SINGLE
    return rule or StartRule.SINGLE


def _moved_start(term: Term, event: Any) -> Term:
    """The new start event on the term and on the time limits that ran from the old one."""
    limits = tuple(
        limit.model_copy(update={"start_event": event})
        if limit.kind is LimitKind.TIME and limit.start_event is term.start_event
        else limit
        for limit in term.limits
    )
    return _with(term, start_event=event, limits=limits)


def _limits(term: Term, limits: tuple[Limit, ...]) -> Term:
    if term.ends is Ends.LIFE and limits:
        raise ValueRefusedError("a promise for life has no limits; correct `ends` first")
    time, volume = _first(limits, LimitKind.TIME), _first(limits, LimitKind.VOLUME)
    months = time.months if time else None
    changed = _with(
        term,
        limits=limits,
        duration_months=months,
        duration_days=time.days if time else None,
        full_months=_free_period(term, months),
        volume_cap_usgal=volume.usgal if volume else None,
        duration_text=(time.limit_text or term.duration_text) if time else None,
        volume_cap_text=(volume.limit_text or term.volume_cap_text) if volume else None,
    )
    return _with_ends(changed)


def _credits(term: Term, steps: tuple[CreditStep, ...]) -> Term:
    if not steps:
        return _with(term, credits=steps, full_months=term.duration_months)
    first = steps[0]
    free = first.to_month if first.from_month == 0 and first.customer_pays_pct == 0 else term.full_months
    return _with(term, credits=steps, full_months=free)


_FOLLOW: dict[str, Callable[[Term, Any], Term]] = {
    "duration_months": _duration_months,
    "duration_days": _duration_days,
    "duration_text": _text_of(LimitKind.TIME, "duration_text"),
    "volume_cap_usgal": _volume_cap,
    "volume_cap_text": _text_of(LimitKind.VOLUME, "volume_cap_text"),
    "ends": _ends,
    "promise": _promise,
    "start_event": _start_event,
    "starts": _starts,
    "limits": _limits,
    "credits": _credits,
}
_NUMBERED = {"limit": "limits", "start": "starts", "band": "bands", "credit": "credits"}


def _without_stale_evidence(term: Term) -> Term:
    """Evidence of a limit, start, band or credit that is no longer there says nothing any more."""

    def holds(field: str) -> bool:
        name, _, number = field.partition(".")
        children = _NUMBERED.get(name)
        digits = number.partition(".")[0]
        return children is None or not digits.isdecimal() or int(digits) <= len(getattr(term, children))

    return _with(term, evidence=tuple(item for item in term.evidence if holds(item.field)))
