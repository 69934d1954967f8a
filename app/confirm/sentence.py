"""A term as English sentences made from its values, so that a person can hold them against the page.

Every number of the term stands in its sentences and nothing is smoothed over: values that contradict each other, and
limits without a rule between them, are said to be so. Each value is marked with the field that a person corrects it by,
so that a front can show it as a control.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Context, Decimal

from firstcap.schema.terms import AccuracyBand, CreditStep, Limit, Start, Term
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    Ends,
    FlowRole,
    LifeOf,
    LimitKind,
    MeterType,
    Promise,
    Remedy,
    StartEvent,
    StartRule,
)

_COMPONENTS = {
    Component.MAINCASE: "maincase",
    Component.MEASURING_ELEMENT: "measuring element",
    Component.REGISTER: "register",
    Component.ELECTRONICS: "electronics",
    Component.BATTERY: "battery",
    Component.ENDPOINT: "endpoint",
    Component.STRAINER: "strainer",
    Component.CONNECTIONS: "connections",
    Component.SPARE_PARTS: "spare parts",
    Component.SOFTWARE: "software",
    Component.OTHER: "item outside the list of components",
}
_ALONE = {Component.ENDPOINT, Component.SOFTWARE, Component.SPARE_PARTS, Component.OTHER}
_PLURAL = {Component.ELECTRONICS, Component.CONNECTIONS, Component.SPARE_PARTS}
_LEVELS = {
    AccuracyLevel.NEW_METER: "new-meter accuracy",
    AccuracyLevel.REPAIRED_METER: "repaired-meter accuracy",
    AccuracyLevel.EXTENDED_LOW_FLOW: "extended low-flow accuracy",
    AccuracyLevel.STATED: "accuracy in the document's own percentages",
}
_RULES = {
    Ends.FIRST_OF: "whichever comes first",
    Ends.LAST_OF: "whichever comes later",
    Ends.UNSTATED: "the document gives no rule between them",
}
_ROLES = {
    FlowRole.MINIMUM: "minimum flow",
    FlowRole.INTERMEDIATE: "intermediate flow",
    FlowRole.MAXIMUM: "maximum flow",
    FlowRole.NORMAL_RANGE: "normal flow range",
    FlowRole.EXTENDED_LOW: "extended low flow",
}
_REMEDIES = {
    Remedy.REPAIR: "repair",
    Remedy.REPLACE: "replacement",
    Remedy.REPAIR_OR_REPLACE: "repair or replacement",
    Remedy.REPAIR_REPLACE_OR_REFUND: "repair, replacement or refund",
    Remedy.REFUND: "refund",
    Remedy.CREDIT: "a credit",
    Remedy.OTHER: "one outside the list of remedies",
}
_SHOWN_DIGITS = Context(prec=9, rounding=ROUND_HALF_EVEN)
_CONVERTED_DIGITS = Context(prec=4, rounding=ROUND_HALF_EVEN)


@dataclass(frozen=True, slots=True)
class Part:
    """A piece of a sentence; `field` is the key of the value that it says ("cap", "band 2"), None for words between."""

    text: str
    field: str | None = None


# Marks around a value inside a sentence. `clean` takes these signs out of whatever a document says.
_OPEN, _MIDDLE, _CLOSE = "\ue000", "\ue001", "\ue002"
_MARK = re.compile(f"{_OPEN}([^{_MIDDLE}]*){_MIDDLE}([^{_CLOSE}]*){_CLOSE}")


def _value(field: str, text: str) -> str:
    return f"{_OPEN}{field}{_MIDDLE}{text}{_CLOSE}" if text else ""


def _unmarked(sentence: str) -> str:
    return _MARK.sub(r"\2", sentence)


def number(value: Decimal | int) -> str:
    """Thousands separated, no padding zeros: 1,500,000, 98.5, 0.25; nine digits at most (converted values)."""
    text = f"{_SHOWN_DIGITS.plus(Decimal(value)):,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def counted(value: Decimal | int, unit: str) -> str:
    return f"{number(value)} {unit}" if value == 1 else f"{number(value)} {unit}s"


def months(value: Decimal) -> str:
    """Months, and years beside them where they are whole: "60 months (5 years)"."""
    years = f" ({counted(value / 12, 'year')})" if value and value % 12 == 0 else ""
    return counted(value, "month") + years


def gallons(value: Decimal, written: str | None = None) -> str:
    """US gallons, and the words of the document where they say it in another way than the number itself."""
    rounded = value.quantize(Decimal(1)) if value >= 1000 else value
    shown = number(rounded)
    bare = "".join((written or "").casefold().replace(",", "").split())
    plain = shown.replace(",", "")
    if not bare or bare.rstrip(".") in {plain, f"{plain}gal", f"{plain}gals", f"{plain}gallons"}:
        return f"{shown} gal"
    return f"{shown} gal (written “{clean(written or '')}”)"


def gpm(value: Decimal) -> str:
    """A flow; one that was converted is rounded to four digits and marked ≈."""
    if len(value.normalize().as_tuple().digits) <= 6:
        return number(value)
    return f"≈ {number(_CONVERTED_DIGITS.plus(value))}"


def clean(text: str) -> str:
    """Words of a document made safe to print: one line, no control characters."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())


def joined(parts: Sequence[str], word: str) -> str:
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} {word} {parts[-1]}"


def size(label: str) -> str:
    """ "5/8 in", "5/8 x 3/4 in", "DN15"."""
    return label if label.startswith("DN") else f"{label.replace('x', ' x ')} in"


def describe(term: Term) -> str:
    """All sentences of a term in one paragraph."""
    return " ".join(sentences(term))


def sentences(term: Term) -> tuple[str, ...]:
    """What is promised and until when; then start, proration, remedy and accuracy, as far as the term has them."""
    return tuple(_unmarked(sentence) for sentence in _marked(term))


def parts(term: Term) -> tuple[Part, ...]:
    """The same sentences in pieces: values, and the words between them."""
    found: list[Part] = []
    text = " ".join(_marked(term))
    at = 0
    for mark in _MARK.finditer(text):
        found.append(Part(text[at : mark.start()]))
        found.append(Part(mark[2], mark[1]))
        at = mark.end()
    found.append(Part(text[at:]))
    return tuple(part for part in found if part.text)


def _marked(term: Term) -> list[str]:
    found = [f"{_capital(_subject(term))} {_promise(term)}{_cover(term)}."]
    found.extend(_start(term))
    found.extend(_contradictions(term))
    found.extend(_proration(term))
    if term.remedy is not None:
        found.append(f"The remedy is {_value('remedy', _REMEDIES[term.remedy])}.")
    found.extend(_bands(term))
    return found


def heading(term: Term) -> str:
    """A term in a few words, for lists: "5/8 in measuring element, new-meter accuracy"."""
    parts = [size(term.size_label)] if term.size_label else []
    parts.append("whole meter" if term.component is Component.WHOLE_METER else _COMPONENTS[term.component])
    if term.variant:
        parts.append(f"({clean(term.variant)})")
    what = {
        Promise.MATERIALS_WORKMANSHIP: "materials and workmanship",
        Promise.FUNCTION: "function",
        Promise.ACCURACY: _LEVELS[term.accuracy_level] if term.accuracy_level else "accuracy",
    }[term.promise]
    product = f", {clean(term.product)}" if term.product else ""
    return f"{' '.join(parts)}, {what}{product}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _subject(term: Term) -> str:
    kinds = {MeterType.OTHER: "meter of another type", None: "meter"}
    named = kinds.get(term.meter_type) or f"{str(term.meter_type).replace('_', ' ')} meter"
    meter = _value("type", named) if term.meter_type else named
    if term.size_label:
        meter = f"{_value('size', size(term.size_label))} {meter}"
    product = _value("product", f"“{clean(term.product)}”") if term.product else ""
    variant = f" {_value('variant', f'({clean(term.variant)})')}" if term.variant else ""
    if product:
        meter += f" {product}"
    if term.component is Component.WHOLE_METER:
        return f"the {meter}{variant}"
    component = _value("component", _COMPONENTS[term.component])
    if not term.meter_type and not term.size_label and (product or term.component in _ALONE):
        # An endpoint, software or a stand-alone register: what it is sold as, and no meter that it would belong to.
        return f"the {component}{variant}{' ' if product else ''}{product}"
    return f"the {component}{variant} of the {meter}"


def _promise(term: Term) -> str:
    plural = term.component in _PLURAL
    if term.promise is Promise.MATERIALS_WORKMANSHIP:
        return f"{'are' if plural else 'is'} {_value('promise', 'free from defects in materials and workmanship')}"
    keep = "keep" if plural else "keeps"
    if term.promise is Promise.FUNCTION:
        return _value("promise", f"{keep} working")
    if term.accuracy_level:
        return f"{keep} {_value('level', _LEVELS[term.accuracy_level])}"
    return f"{keep} {_value('promise', 'accuracy')}"


def effective_limits(term: Term) -> tuple[Limit, ...]:
    """The ends of a term: its `limits`, or those its main values make where it has none."""
    if term.limits:
        return term.limits
    made = []
    if term.duration_months is not None or term.duration_days is not None:
        made.append(
            Limit(
                kind=LimitKind.TIME,
                months=term.duration_months,
                days=None if term.duration_months is not None else term.duration_days,
                start_event=term.start_event,
                limit_text=term.duration_text or "",
            )
        )
    if term.volume_cap_usgal is not None:
        made.append(Limit(kind=LimitKind.VOLUME, usgal=term.volume_cap_usgal, limit_text=term.volume_cap_text or ""))
    return tuple(made)


def _event(event: StartEvent | None, words: str = "") -> str:
    if event is StartEvent.OTHER:
        return f"another event (“{clean(words)}”)" if words else "another event"
    return str(event).replace("_", " ")


def _clock(start: Start) -> str:
    after = f"{months(start.plus_months)} after " if start.plus_months else ""
    return after + _event(start.event, start.start_text)


def _moved_start(term: Term) -> bool:
    """Does a rule between several clocks, or a delay, say when the time starts?"""
    several = len(term.starts) > 1 and term.start_rule not in (None, StartRule.SINGLE)
    return several or any(start.plus_months for start in term.starts)


def _limit(limit: Limit, term: Term) -> str:
    alone = sum(other.kind is limit.kind for other in effective_limits(term)) == 1
    if limit.kind is LimitKind.VOLUME:
        amount = "a volume not given" if limit.usgal is None else gallons(limit.usgal, limit.limit_text)
        amount = _value("cap" if alone else "limits", amount)
        return f"until {amount} {'is' if limit.usgal in (None, 1) else 'are'} registered"
    lengths = []
    if limit.months is not None:
        lengths.append(months(limit.months))
    if limit.days is not None:
        lengths.append(counted(limit.days, "day"))
    length = _value("time" if alone else "limits", " or ".join(lengths) or "a time not given")
    if limit.start_event is None or _moved_start(term):
        return f"for {length}"
    words = next((start.start_text for start in term.starts if start.event is limit.start_event), "")
    return f"for {length} from {_value('start' if alone else 'limits', _event(limit.start_event, words))}"


def _cover(term: Term) -> str:
    limits = effective_limits(term)
    parts = [_limit(limit, term) for limit in limits]
    listed = joined(parts, "or")
    if term.ends is Ends.LIFE:
        whose = {
            LifeOf.METER: "for the life of the meter",
            LifeOf.OWNERSHIP: "for as long as the buyer owns it",
            LifeOf.OTHER: "for another life than the meter's or its ownership",
            None: "for life, the document does not say whose",
        }[term.life_of]
        return f" {_value('life', whose)}" + (f"; the document also gives a limit: {listed}" if parts else "")
    tail = ""
    if term.life_of is not None:
        tail = f" (a life is noted too: {term.life_of.meaning})"
    if term.ends is Ends.TIME_ONLY:
        wrong = any(limit.kind is LimitKind.VOLUME for limit in limits)
        rule = f"; {_value('ends', 'time alone ends it')}" + (", although a volume stands here" if wrong else "")
        no_time = f", {_value('ends', 'ended by time alone')}, but {_value('time', 'no time')} is given"
        return (f" {listed}{rule}" if parts else no_time) + tail
    if term.ends is Ends.VOLUME_ONLY:
        wrong = any(limit.kind is LimitKind.TIME for limit in limits)
        rule = f"; {_value('ends', 'registered volume alone ends it')}" + (
            ", although a time stands here" if wrong else ""
        )
        no_cap = f", {_value('ends', 'ended by registered volume alone')}, but {_value('cap', 'no volume')} is given"
        return (f" {listed}{rule}" if parts else no_cap) + tail
    if len(parts) >= 2:
        mark = ";" if term.ends is Ends.UNSTATED else ","
        return f" {listed}{mark} {_value('ends', _RULES[term.ends])}{tail}"
    rule = {
        Ends.FIRST_OF: "the rule is “whichever comes first”",
        Ends.LAST_OF: "the rule is “whichever comes later”",
        Ends.UNSTATED: "no rule is given",
    }[term.ends]
    rule = _value("ends", rule)
    only = f" {listed}; {rule}, but only one limit stands here" if parts else f"; {rule}, and no limit is given"
    return only + tail


def _start(term: Term) -> list[str]:
    clocks = [_value("start", _clock(start)) for start in term.starts]
    times = [limit for limit in effective_limits(term) if limit.kind is LimitKind.TIME]
    if not clocks:
        if term.start_event is not None:
            said = any(limit.start_event is term.start_event for limit in times)
            return [] if said else [f"It starts at {_value('start', _event(term.start_event))}."]
        unstarted = times and all(limit.start_event is None for limit in times)
        return [f"The document does not say {_value('start', 'what starts the time')}."] if unstarted else []
    if len(clocks) == 1:
        said = any(limit.start_event is term.starts[0].event for limit in effective_limits(term))
        if said and not _moved_start(term):
            return []
        rule = ""
        if term.start_rule not in (None, StartRule.SINGLE):
            rule = f" (the rule is “{term.start_rule.replace('_', ' ')}”, but only one event stands here)"
        return [f"It starts at {clocks[0]}{rule}."]
    if term.start_rule is StartRule.EARLIER_OF:
        return [f"The time starts at the earlier of {joined(clocks, 'and')}."]
    if term.start_rule is StartRule.LATER_OF:
        return [f"The time starts at the later of {joined(clocks, 'and')}."]
    if term.start_rule is StartRule.CONDITIONAL:
        rest = joined(clocks[1:], "or")
        return [f"The time starts at {clocks[0]} or, where the document's condition is not met, at {rest}."]
    held = {limit.start_event for limit in effective_limits(term) if limit.kind is LimitKind.TIME}
    if all(start.event in held for start in term.starts) and not _moved_start(term):
        return []
    return [f"Each time has a start of its own: {joined(clocks, 'and')}."]


def _contradictions(term: Term) -> list[str]:
    """Main values that its own limits do not carry: a person must see both."""
    times = [limit for limit in effective_limits(term) if limit.kind is LimitKind.TIME]
    found = []
    if term.duration_months is not None and all(limit.months != term.duration_months for limit in times):
        found.append(f"The main time limit is given as {_value('time', months(term.duration_months))}.")
    if term.duration_days is not None and all(limit.days != term.duration_days for limit in times):
        found.append(f"The main time limit is given as {_value('time', counted(term.duration_days, 'day'))}.")
    caps = [limit.usgal for limit in effective_limits(term) if limit.kind is LimitKind.VOLUME]
    if term.volume_cap_usgal is not None and term.volume_cap_usgal not in caps:
        cap = gallons(term.volume_cap_usgal, term.volume_cap_text)
        found.append(f"The main volume limit is given as {_value('cap', cap)}.")
    return found


def _span(step: CreditStep) -> str:
    low, high = step.from_month, step.to_month
    if low % 12 == 0 and high % 12 == 0 and high > low:
        first, last = low / 12 + 1, high / 12
        return f"in year {number(first)}" if first == last else f"in years {number(first)} to {number(last)}"
    return f"from month {number(low)} up to month {number(high)}"


def _proration(term: Term) -> list[str]:
    steps = sorted(term.credits, key=lambda step: (step.from_month, step.to_month))
    free = term.full_months
    if not steps:
        if free is None or free == term.duration_months:
            return []
        free_text = _value("free", months(free))
        if term.duration_months is None or free < term.duration_months:
            return [f"It is free for {free_text}, then the customer pays a share that the document does not give."]
        return [f"It is given as free for {free_text}, longer than the cover itself."]
    phrases = []
    first = steps[0]
    opens_free = first.customer_pays_pct == 0 and first.from_month == 0
    if free is not None:
        phrases.append(f"free for {_value('free', months(free))}")
    if opens_free:
        if free != first.to_month:
            phrases.append(f"free {_value('credits', _span(first))}")
        steps = steps[1:]
    bases = list(dict.fromkeys(step.price_basis for step in steps))
    shares = []
    for step in steps:
        of = f" of {step.price_basis.meaning}" if len(bases) > 1 else ""
        shares.append(f"{number(step.customer_pays_pct)} %{of} {_span(step)}")
    if shares:
        of = f" of {bases[0].meaning}" if len(bases) == 1 else ""
        phrases.append(f"the customer pays {_value('credits', ', '.join(shares) + of)}")
    elif term.duration_months is not None and first.to_month < term.duration_months:
        phrases.append("the customer pays a share that the document does not give")
    return [f"It is {', then '.join(phrases)}." if phrases[0].startswith("free") else f"{_capital(phrases[0])}."]


def _flow(band: AccuracyBand) -> str:
    role = _ROLES[band.flow_role] if band.flow_role else ""
    low, high = band.flow_from_usgpm, band.flow_to_usgpm
    if low is None and high is None:
        if band.flow_role is FlowRole.NORMAL_RANGE:
            return f"in the {role}"
        return f"at {role}" if role else "at a flow not given"
    flow = flows(low, high)
    return f"{flow} ({role})" if role else flow


def flows(low: Decimal | None, high: Decimal | None) -> str:
    """ "at 0.25 gpm", "from 1 to 20 gpm"; one end at least is given."""
    if low is None:
        return f"up to {gpm(high or Decimal(0))} gpm"
    if high is None:
        return f"from {gpm(low)} gpm upwards"
    return f"at {gpm(low)} gpm" if low == high else f"from {gpm(low)} to {gpm(high)} gpm"


def percent(band: AccuracyBand) -> str:
    lower, upper = band.lower_pct, band.upper_pct
    if lower is not None and upper is not None:
        return f"{number(lower)} % to {number(upper)} %"
    if lower is not None:
        return f"at least {number(lower)} %"
    if upper is not None:
        return f"at most {number(upper)} %"
    return "a percentage not given"


def _bands(term: Term) -> Iterable[str]:
    by_basis: dict[str, list[tuple[int, AccuracyBand]]] = {}
    for turn, band in enumerate(term.bands, 1):
        by_basis.setdefault(band.basis, []).append((turn, band))
    for basis, numbered in by_basis.items():
        bands = [band for _, band in numbered]
        given = any((band.lower_pct, band.upper_pct) != (None, None) for band in bands)
        if not given and all(band.flow_from_usgpm is None and band.flow_to_usgpm is None for band in bands):
            limits = f"those of {clean(basis)}" if basis != "stated" else "not given"
            yield f"Its limits are {_value('bands', limits)}."
            continue
        listed = joined([_value(f"band {turn}", f"{percent(band)} {_flow(band)}") for turn, band in numbered], "and")
        source = "" if basis == "stated" else f", the limits of {clean(basis)}"
        yield f"It registers {listed}{source}."
