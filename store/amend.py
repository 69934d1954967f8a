"""One value of a term or a document changed by a person, with everything that hangs on it moved along.

Pure: a model in, a changed and checked model out. ValueRefusedError says what is wrong with the value and what to give.
"""

import json
from collections.abc import Callable, Iterable
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pydantic import BaseModel, TypeAdapter, ValidationError

from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.quantities import Model
from firstcap.schema.terms import Condition, CreditStep, DocumentFacts, Duty, Exclusion, Limit, Reading, Start, Term
from firstcap.schema.vocabulary import SIZE_BY_LABEL, Ends, LimitKind, Promise, StartRule

_MACHINE_ONLY = frozenset({"evidence", "alternatives", "confidence"})
TERM_FIELDS = tuple(name for name in Term.model_fields if name not in _MACHINE_ONLY)
FACT_FIELDS = tuple(name for name in DocumentFacts.model_fields if name != "evidence")
Clause = Exclusion | Duty | Condition
CLAUSES: dict[str, tuple[str, type[Exclusion] | type[Duty] | type[Condition]]] = {
    "exclusion": ("exclusions", Exclusion),
    "duty": ("duties", Duty),
    "condition": ("conditions", Condition),
}
_LARGEST = Decimal("1e300")  # beyond any meter, and still a finite double in the views


class Contents(Model):
    """What a document says beside its terms."""

    facts: DocumentFacts = DocumentFacts()
    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()

    @classmethod
    def of(cls, reading: Reading) -> "Contents":
        return cls(
            facts=reading.facts,
            exclusions=reading.exclusions,
            duties=reading.duties,
            conditions=reading.conditions,
        )


def to_json(value: object) -> str:
    """A field's value as the JSON text that stands in the log: numbers with all their digits."""
    if isinstance(value, Decimal):
        return format(value.normalize() if value else Decimal(0), "f") if abs(value) < Decimal("1e30") else str(value)
    if isinstance(value, BaseModel):
        return value.model_dump_json(exclude_defaults=True)
    if isinstance(value, tuple):
        return "[" + ", ".join(to_json(part) for part in value) + "]"
    if isinstance(value, StrEnum):
        return json.dumps(value.value)
    if isinstance(value, date):
        return json.dumps(value.isoformat())
    return json.dumps(value, ensure_ascii=False)


def from_json(text: str | None, field: str) -> Any:
    """The value in a JSON text, its numbers as exact decimals."""
    if text is None:
        raise ValueRefusedError(f"{field}: no value given; give JSON text, `null` where the document does not say")
    try:
        return json.loads(text, parse_float=Decimal, parse_constant=_refuse_constant)
    except ValueError as error:
        raise ValueRefusedError(f"{field}: {text!r} is not JSON text ({error}); write words in double quotes") from None


def _refuse_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def parse(model: type[Model], field: str, text: str | None) -> Any:
    """The value of one field of `model`, typed; blank words are None."""
    value = from_json(text, field)
    annotation: Any = model.model_fields[field].annotation
    if isinstance(value, str):
        value = value.strip() or None
    if isinstance(value, bool):
        raise ValueRefusedError(f"{field}: {text} is no value for it{_wanted(field)}")
    try:
        return TypeAdapter(annotation).validate_python(value)
    except ValidationError as error:
        raise ValueRefusedError(f"{field}: {_reason(error)}{_wanted(field)}") from None


def parse_model(kind: type[Model], what: str, text: str | None) -> Any:
    """A whole model out of JSON text."""
    try:
        return kind.model_validate(from_json(text, what))
    except ValidationError as error:
        raise ValueRefusedError(f"{what}: {_reason(error)}") from None


def _reason(error: ValidationError) -> str:
    first = error.errors()[0]
    place = ".".join(str(part) for part in first["loc"])
    given = "" if isinstance(first["input"], dict) else f", not {first['input']!s}"
    return f"{place + ': ' if place else ''}{first['msg'][:1].lower()}{first['msg'][1:]}{given}"


_UNITS = {
    "_months": "a number of months",
    "_days": "a whole number of days",
    "_usgal": "a number of US gallons",
    "_usgpm": "a number of US gallons per minute",
    "_pct": "per cent of true volume",
    "_from": "a date as YYYY-MM-DD",
}


def _wanted(field: str) -> str:
    return next((f"; it takes {words}, or null" for ending, words in _UNITS.items() if field.endswith(ending)), "")


def term_value(term: Term, field: str) -> Any:
    """The value of an editable field; ValueRefusedError names the fields there are."""
    if field not in TERM_FIELDS:
        raise ValueRefusedError(f"a term has no field {field!r} to decide; it has {', '.join(TERM_FIELDS)}")
    return getattr(term, field)


# --- terms: a field and what hangs on it ---------------------------------------------------------------------------


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


# --- what cannot be true of a term ---------------------------------------------------------------------------------


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


# --- documents: facts and clauses ----------------------------------------------------------------------------------


def clause_place(field: str) -> tuple[str, str, int | None] | None:
    """Family, kind and number of a clause's field (`exclusion.freezing`, `condition.other.2`); None if it is none."""
    family, _, rest = field.partition(".")
    if family not in CLAUSES or not rest:
        return None
    kind, _, number = rest.partition(".")
    if number and not (number.isdecimal() and int(number) > 0):
        raise ValueRefusedError(f"{field}: the number of a clause counts from 1")
    kinds: Any = CLAUSES[family][1].model_fields["kind"].annotation
    if kind not in set(kinds):
        raise ValueRefusedError(f"{field}: no kind of {family}; one of {', '.join(kinds)}")
    return family, kind, int(number) if number else None


def clauses_at(contents: Contents, field: str) -> tuple[Clause, ...]:
    """The clauses that a field names: all of the kind, or the one with that number."""
    place = clause_place(field)
    assert place is not None
    family, kind, number = place
    of_kind = tuple(clause for clause in getattr(contents, CLAUSES[family][0]) if clause.kind == kind)
    return of_kind if number is None else of_kind[number - 1 : number]


def fact_value(contents: Contents, field: str) -> Any:
    """A fact of a document, or its clauses of one kind; ValueRefusedError names the fields there are."""
    if clause_place(field) is not None:
        return clauses_at(contents, field)
    if field not in FACT_FIELDS:
        raise ValueRefusedError(
            f"a document has no field {field!r} to decide; it has {', '.join(FACT_FIELDS)} and clauses such as "
            "exclusion.freezing, duty.written_notice, condition.governing_law"
        )
    return getattr(contents.facts, field)


def with_fact(contents: Contents, field: str, text: str | None) -> Contents:
    value = parse(DocumentFacts, field, text)
    return contents.model_copy(update={"facts": contents.facts.model_copy(update={field: value})})


def parse_clause(field: str, text: str | None) -> Clause:
    """A clause out of JSON text; its kind is the field's."""
    place = clause_place(field)
    assert place is not None
    family, kind, _ = place
    given = from_json(text, field)
    if not isinstance(given, dict) or given.get("kind", kind) != kind:
        raise ValueRefusedError(f'{field}: give the clause as {{"quote": "…"}} with nothing of another kind')
    try:
        clause: Clause = CLAUSES[family][1].model_validate({**given, "kind": kind})
    except ValidationError as error:
        raise ValueRefusedError(f"{field}: {_reason(error)}") from None
    return clause


def parse_clauses(field: str, text: str | None) -> tuple[Clause, ...]:
    return tuple(parse_clause(field, json.dumps(item)) for item in json.loads(text or "[]"))


def with_clauses(contents: Contents, field: str, old: tuple[Clause, ...], new: tuple[Clause, ...]) -> Contents:
    """`old` clauses replaced by `new` where the first of them stood, at the end where none of them is there.

    A clause is known again by its quote. Without a number in the field, every clause of the kind is meant.
    """
    place = clause_place(field)
    assert place is not None
    family, kind, number = place
    name = CLAUSES[family][0]
    quotes = {clause.quote for clause in old}
    kept: list[Clause] = []
    spot: int | None = None
    for clause in getattr(contents, name):
        if clause.kind == kind and (number is None or clause.quote in quotes):
            spot = len(kept) if spot is None else spot
        else:
            kept.append(clause)
    spot = len(kept) if spot is None else spot
    return contents.model_copy(update={name: (*kept[:spot], *new, *kept[spot:])})
