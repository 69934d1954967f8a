"""Asks of a tender, and how each document answers them: what is promised, the margin, and the verdict.

The form of the file of asks is documented in docs/worth.md, "Tender".
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from pathlib import Path
from typing import Self

from pydantic import Field, ValidationError, model_validator

from firstcap.app.report import words
from firstcap.app.report.comparison import Column as Document
from firstcap.app.report.comparison import Offer, compare
from firstcap.app.report.rows import Views, fitting, load_all
from firstcap.app.worth.credits import schedule_of
from firstcap.app.worth.exposure import promised_limits
from firstcap.schema.errors import UsageError
from firstcap.schema.quantities import Model
from firstcap.schema.vocabulary import SIZE_BY_LABEL, AccuracyLevel, Component, Ends, Promise, StartEvent, StartRule
from firstcap.worth.credits import customer_pays
from firstcap.worth.exposure import limits_at

_HORIZON_YEARS = 100


class AccurateAt(Model):
    """At a flow the meter registers at least `lower_pct`, and at most `upper_pct` where that is asked."""

    usgpm: Decimal = Field(gt=0)
    lower_pct: Decimal
    upper_pct: Decimal | None = None


class PaysAtMost(Model):
    """For a unit that fails at this age the customer pays no more than `pct` of the price."""

    months: Decimal = Field(ge=0)
    pct: Decimal = Field(ge=0, le=100)


class Ask(Model):
    """What is asked of one component's promise; without `sizes` of every size the document names."""

    name: str
    component: Component
    promise: Promise
    level: AccuracyLevel | None = None
    sizes: tuple[str, ...] = ()
    months: Decimal | None = Field(default=None, gt=0)
    usgal: Decimal | None = Field(default=None, gt=0)
    starts: tuple[StartEvent, ...] = ()
    accurate: tuple[AccurateAt, ...] = ()
    pays: tuple[PaysAtMost, ...] = ()

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if unknown := [size for size in self.sizes if size not in SIZE_BY_LABEL]:
            raise ValueError(f"no such size: {', '.join(unknown)}")
        if self.months is None and self.usgal is None and not (self.starts or self.accurate or self.pays):
            raise ValueError("asks for nothing; give months, usgal, starts, accurate or pays")
        return self


class Tender(Model):
    title: str = "Tender"
    ask: tuple[Ask, ...] = Field(min_length=1)


def tender_from(path: Path) -> Tender:
    """The asks of a TOML file; UsageError says what is wrong with it and where."""
    try:
        return Tender.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise UsageError(f"cannot be read as TOML ({error})", file=str(path)) from error
    except ValidationError as error:
        faults = "; ".join(f"{'.'.join(map(str, fault['loc']))}: {fault['msg']}" for fault in error.errors())
        raise UsageError(f"is no file of asks: {faults}", file=str(path)) from error


class Verdict(StrEnum):
    MET = "met"
    CONDITIONAL = "met with conditions"
    NOT_STATED = "not stated"
    NOT_MET = "not met"


_WORST_FIRST = (Verdict.NOT_MET, Verdict.NOT_STATED, Verdict.CONDITIONAL, Verdict.MET)


@dataclass(frozen=True)
class Point:
    """One asked value: its name and unit, what is asked, what is promised (None: not stated), and the verdict.

    `margin` is promised minus asked so that below zero is always short; None where either is no number.
    """

    name: str
    unit: str
    verdict: Verdict
    asked: Fraction | None = None
    promised: Fraction | None = None
    margin: Fraction | None = None
    condition: str | None = None


@dataclass(frozen=True)
class Answer:
    """How one document answers one ask for one size; without an offer nothing is promised of that component."""

    ask: Ask
    size: str | None
    document: Document
    offer: Offer | None
    points: tuple[Point, ...]

    @property
    def verdict(self) -> Verdict:
        found = {point.verdict for point in self.points}
        return next((verdict for verdict in _WORST_FIRST if verdict in found), Verdict.NOT_STATED)


def answers_of(tender: Tender, views: Views) -> list[Answer]:
    """Every ask, for every size, answered by every document with promises; of several promises the best answers."""
    comparison = compare(load_all(views))
    found = []
    for ask in tender.ask:
        for size in ask.sizes or (None,):
            for document in comparison.columns:
                held = [offer for offer in comparison.offers if offer.column is document]
                fits = {id(t) for t in fitting([offer.term for offer in held], size)} if size else None
                offers = [
                    offer for offer in held if (fits is None or id(offer.term) in fits) and _speaks_to(ask, offer)
                ]
                tried = [Answer(ask, size, document, offer, _points(ask, offer)) for offer in offers]
                if size and not fits and held:
                    silent = Point("size", "", Verdict.NOT_STATED, condition="names other sizes")
                    tried = [Answer(ask, size, document, None, (silent,))]
                found.append(max(tried, key=_goodness, default=Answer(ask, size, document, None, ())))
    return found


def _goodness(answer: Answer) -> tuple[int, int, Fraction]:
    margins = [point.margin for point in answer.points if point.margin is not None]
    exact = answer.offer is not None and answer.offer.term.component == answer.ask.component
    return _WORST_FIRST.index(answer.verdict), exact, min(margins, default=Fraction(0))


def _speaks_to(ask: Ask, offer: Offer) -> bool:
    term = offer.term
    component = term.component in (ask.component, Component.WHOLE_METER) or (
        ask.component == Component.WHOLE_METER
        and term.component == Component.MEASURING_ELEMENT
        and ask.promise == Promise.ACCURACY
    )
    return component and term.promise == ask.promise and (ask.level is None or term.accuracy_level == ask.level)


def _points(ask: Ask, offer: Offer) -> tuple[Point, ...]:
    points = list(_limits(ask, offer))
    if ask.starts:
        points.append(_start(ask, offer))
    points += [_accurate(want, offer) for want in ask.accurate]
    points += [_pays(want, offer) for want in ask.pays]
    condition = _condition(ask, offer)
    if condition:
        points = [
            Point(p.name, p.unit, Verdict.CONDITIONAL, p.asked, p.promised, p.margin, p.condition or condition)
            if p.verdict is Verdict.MET
            else p
            for p in points
        ]
    return tuple(points)


def _condition(ask: Ask, offer: Offer) -> str | None:
    """What a buyer must know before taking a promise for the one that is asked."""
    term = offer.term
    if term.component != ask.component:
        return f"promised for the {words.component_words(term.component)}"
    if term.product or term.variant:
        return f"only for {', '.join(part for part in (term.product, term.variant) if part)}"
    if term.ends == Ends.UNSTATED:
        return "two limits and no rule between them"
    if offer.limits is not None:
        return offer.limits.text
    return None


def _limits(ask: Ask, offer: Offer) -> Iterable[Point]:
    term = offer.term
    if ask.months is not None:
        asked = Fraction(ask.months)
        if offer.cover.years is not None:
            promised = offer.cover.years * 12
            full = None if term.full_months is None else Fraction(term.full_months)
            prorated = full is not None and full < asked <= promised
            yield _number(
                "time",
                "months",
                asked,
                promised,
                f"free for {words.plain_number(full)} months only" if prorated and full is not None else None,
            )
        elif term.ends in (Ends.LIFE, Ends.VOLUME_ONLY):
            yield Point("time", "months", Verdict.MET, asked, condition=offer.rule.text)
        else:
            yield Point("time", "months", Verdict.NOT_STATED, asked)
    if ask.usgal is not None:
        asked = Fraction(ask.usgal)
        if offer.cover.usgal is not None:
            yield _number("volume", "gal", asked, offer.cover.usgal)
        else:
            no_cap = term.ends in (Ends.TIME_ONLY, Ends.LIFE)
            yield Point(
                "volume",
                "gal",
                Verdict.MET if no_cap else Verdict.NOT_STATED,
                asked,
                condition="no volume cap" if no_cap else None,
            )


def _number(name: str, unit: str, asked: Fraction, promised: Fraction, condition: str | None = None) -> Point:
    met = Verdict.CONDITIONAL if condition else Verdict.MET
    return Point(
        name, unit, met if promised >= asked else Verdict.NOT_MET, asked, promised, promised - asked, condition
    )


def _start(ask: Ask, offer: Offer) -> Point:
    event = offer.term.start_event
    if event is None:
        return Point("start", "", Verdict.NOT_STATED)
    if event not in ask.starts:
        return Point("start", "", Verdict.NOT_MET, condition=f"starts at {offer.start.text}")
    plain = offer.term.start_rule in (None, StartRule.SINGLE) and " or " not in (
        offer.limits.text if offer.limits else ""
    )
    return Point(
        "start", "", Verdict.MET if plain else Verdict.CONDITIONAL, condition=None if plain else offer.start.text
    )


def _accurate(want: AccurateAt, offer: Offer) -> Point:
    name, unit = f"lower limit at {words.plain_number(want.usgpm)} gpm", "% of true volume"
    asked, flow = Fraction(want.lower_pct), Fraction(want.usgpm)
    held = limits_at(flow, promised_limits(offer))
    if held is None:
        return Point(name, unit, Verdict.NOT_STATED, asked)
    lower = held[0] * 100
    between = "between two promised flows: the weaker limit" if held[0] != held[1] else None
    point = _number(name, unit, asked, lower, between)
    if want.upper_pct is None or point.verdict is Verdict.NOT_MET:
        return point
    uppers = [
        judged.band.upper_pct
        for judged in offer.judged
        if judged.band.flow_from_usgpm is not None
        and judged.band.flow_to_usgpm is not None
        and judged.band.flow_from_usgpm <= want.usgpm <= judged.band.flow_to_usgpm
    ]
    known = [upper for upper in uppers if upper is not None]
    if not known:
        return Point(name, unit, Verdict.NOT_STATED, asked, lower, lower - asked, "no upper limit stated")
    if min(known) > want.upper_pct:
        return Point(
            name, unit, Verdict.NOT_MET, asked, lower, Fraction(want.upper_pct - min(known)), "upper limit too high"
        )
    return point


def _pays(want: PaysAtMost, offer: Offer) -> Point:
    name, unit = f"customer pays at month {words.plain_number(want.months)}", "% of the price"
    steps = schedule_of(offer, _HORIZON_YEARS)
    asked = Fraction(want.pct)
    share = customer_pays(steps, Fraction(want.months)) if steps else None
    if share is None:
        return Point(name, unit, Verdict.NOT_STATED, asked)
    paid = share * 100
    return Point(name, unit, Verdict.MET if paid <= asked else Verdict.NOT_MET, asked, paid, asked - paid)
