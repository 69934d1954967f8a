"""Values typed by a person, understood by the patterns that read the page; what cannot be meant is refused.

A Field is what a person names ("cap"). One function a field: what was typed, the term it is for, the number of a band.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, Protocol, TypeVar

from firstcap.app.confirm.sentence import counted, flows, gallons, joined, months, number, percent, size
from firstcap.app.facts import FACTS
from firstcap.app.understanding import (
    Change,
    Understood,
    choice,
    is_nothing,
    left_over,
    mentions,
    only,
    plain,
    refuse,
    said_as,
)
from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.terms import AccuracyBand, CreditStep, Limit, Start, Term
from firstcap.schema.vocabulary import (
    SIZE_LABELS,
    AccuracyLevel,
    Component,
    Ends,
    FlowRole,
    LifeOf,
    LimitKind,
    MeterType,
    PriceBasis,
    Promise,
    Remedy,
    StartEvent,
    StartRule,
    Word,
)


@dataclass(frozen=True, slots=True)
class Field:
    """What a person may correct. `covers` are the catalogue's fields that it stands for, for showing evidence."""

    key: str
    label: str
    example: str
    understand: Callable[[str, Term, int], Understood]
    covers: tuple[str, ...] = ()
    other_names: tuple[str, ...] = ()
    numbered: bool = False
    choices: tuple[tuple[str, str], ...] = ()  # what can be typed, and what it means

    @property
    def name(self) -> str:
        """The label without the place of a number."""
        return self.label.removesuffix(" N")


class Named(Protocol):
    """What a person calls by name."""

    @property
    def key(self) -> str: ...
    @property
    def other_names(self) -> tuple[str, ...]: ...


F = TypeVar("F", bound="Named")


def _text_field(field: str) -> Callable[[str, Term, int], Understood]:
    def understand(text: str, term: Term, turn: int) -> Understood:
        value = None if is_nothing(text) else " ".join(text.split())
        return Understood(text, (Change(field, value),), value or "not stated")

    return understand


def _choice_field(
    field: str, kind: type[Word], wanted: str, synonyms: dict[str, Any] | None = None, *, may_be_none: bool = True
) -> Callable[[str, Term, int], Understood]:
    def understand(text: str, term: Term, turn: int) -> Understood:
        if may_be_none and is_nothing(text):
            return Understood(text, (Change(field, None),), "not stated")
        member = choice(kind, text, wanted, synonyms)
        return Understood(text, (Change(field, member),), said_as(member))

    return understand


def sizes_of(text: str) -> tuple[str, ...]:
    """Size labels typed by a person: "5/8", "5/8 x 3/4 in", "DN 20", "1 1/2", "5/8 through 1 inch"."""
    bare = re.sub(r"(?i)\b(inch(es)?|in)\b\.?|[\"″”]", "", text)
    label = re.sub(r"\s*[x×X]\s*", "x", " ".join(bare.split()))
    label = re.sub(r"(?i)^dn\s*", "DN", re.sub(r"^(\d+) (\d/\d)$", r"\1-\2", label))
    if label in SIZE_LABELS:
        return (label,)
    wanted, example = "a meter size", "“5/8”, “5/8 x 3/4”, “1-1/2” or “DN20”"
    if re.fullmatch(r"[\d\s/.,-]+", label):
        text = f"{label.strip()} inch"
    labels = only(Family.SIZE, text, wanted, example).value
    return tuple(labels)


def _size(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        return Understood(text, (Change("size_label", None),), "no size named")
    labels = sizes_of(text)
    shown = joined([size(label) for label in labels], "and")
    return Understood(text, (Change("size_label", labels[0]),), shown, labels)


def _component(text: str, term: Term, turn: int) -> Understood:
    try:
        component = choice(
            Component, text, "component", {"housing": Component.MAINCASE, "meter": Component.WHOLE_METER}
        )
    except ValueRefusedError:
        found = mentions(Family.COMPONENT, text)
        if len({one.value.component for one in found}) != 1 or left_over(text, found):
            raise
        component = found[0].value.component
    return Understood(text, (Change("component", component),), said_as(component))


_PROMISES = {
    "materials": Promise.MATERIALS_WORKMANSHIP,
    "workmanship": Promise.MATERIALS_WORKMANSHIP,
    "materials and workmanship": Promise.MATERIALS_WORKMANSHIP,
    "defects": Promise.MATERIALS_WORKMANSHIP,
    "working": Promise.FUNCTION,
}
_LEVELS = {
    "new": AccuracyLevel.NEW_METER,
    "repaired": AccuracyLevel.REPAIRED_METER,
    "low flow": AccuracyLevel.EXTENDED_LOW_FLOW,
    "extended low": AccuracyLevel.EXTENDED_LOW_FLOW,
    "own": AccuracyLevel.STATED,
    "own percentages": AccuracyLevel.STATED,
}
_TYPES = {"disc": MeterType.DISPLACEMENT, "piston": MeterType.DISPLACEMENT, "magnetic": MeterType.ELECTROMAGNETIC}
_REMEDIES = {
    "replacement": Remedy.REPLACE,
    "repair or replacement": Remedy.REPAIR_OR_REPLACE,
    "repair replace refund": Remedy.REPAIR_REPLACE_OR_REFUND,
    "repair replace or refund": Remedy.REPAIR_REPLACE_OR_REFUND,
}
_LIVES = {"life of the meter": LifeOf.METER, "life of ownership": LifeOf.OWNERSHIP, "owner": LifeOf.OWNERSHIP}


def _length(duration: Duration) -> str:
    return counted(duration.days or 0, "day") if duration.months is None else months(duration.months)


def _time(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        field = "duration_days" if term.duration_days is not None else "duration_months"
        return Understood(text, (Change(field, None), Change("duration_text", None)), "no time limit")
    if term.ends is Ends.LIFE:
        raise ValueRefusedError("the cover is given for life; correct “ends” to “time only” first, then the time")
    wanted, example = "a time", "“15 yrs”, “five (5) years”, “18 months” or “90 days”"
    if re.fullmatch(r"[\d\s.,/]+", text):
        raise refuse(text, wanted, example, "a number without years, months or days")
    mention = only(Family.DURATION, text, wanted, example)
    whole = mention.value if isinstance(mention.value, Duration) else mention.value.total
    field, value = ("duration_days", whole.days) if whole.months is None else ("duration_months", whole.months)
    changes = [Change(field, value), Change("duration_text", text.strip())]
    shown = _length(whole)
    if whole is not mention.value:
        full = mention.value.full
        changes.append(Change("full_months", full.months))
        shown += f", of which {_length(full)} free of charge"
    return Understood(text, tuple(changes), shown)


def _free(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        return Understood(text, (Change("full_months", None),), "no free period given")
    mention = only(Family.DURATION, text, "a free period", "“10 years” or “120 months”")
    if not isinstance(mention.value, Duration) or mention.value.months is None:
        raise refuse(text, "a free period", "“10 years” or “120 months”", "it is counted in months")
    value = mention.value.months
    return Understood(text, (Change("full_months", value),), f"free of charge for {months(value)}")


def _volume_of(text: str) -> Volume:
    wanted, example = "a registered volume", "“640,000 gal”, “2.2 MG”, “3 000 m³” or “2,005 CCF”"
    if re.fullmatch(r"[\d\s.,]+", text):
        raise refuse(text, wanted, example, "a number without a unit")
    volume: Volume = only(Family.VOLUME, text, wanted, example).value
    if volume.value <= 0:
        raise refuse(text, wanted, example, "it must be above zero; write “none” where the document gives none")
    return volume


def _cap(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        gone = (Change("volume_cap_usgal", None), Change("volume_cap_text", None))
        return Understood(text, gone, "no volume limit")
    if term.ends is Ends.LIFE:
        raise ValueRefusedError("the cover is given for life; correct “ends” to “volume only” first, then the cap")
    value = _volume_of(text).usgal
    changes = (Change("volume_cap_usgal", value), Change("volume_cap_text", text.strip()))
    return Understood(text, changes, gallons(value))


_ENDS = {
    "first": Ends.FIRST_OF,
    "whichever first": Ends.FIRST_OF,
    "whichever comes first": Ends.FIRST_OF,
    "earlier": Ends.FIRST_OF,
    "last": Ends.LAST_OF,
    "later": Ends.LAST_OF,
    "whichever is later": Ends.LAST_OF,
    "whichever comes later": Ends.LAST_OF,
    "time": Ends.TIME_ONLY,
    "volume": Ends.VOLUME_ONLY,
    "no rule": Ends.UNSTATED,
    "lifetime": Ends.LIFE,
}


def _ends(text: str, term: Term, turn: int) -> Understood:
    life: LifeOf | None = None
    typed = plain(text)
    if "life" in typed or "owner" in typed or " owns " in f" {typed} ":
        ends = Ends.LIFE
        life = LifeOf.OWNERSHIP if "own" in typed else LifeOf.METER if "meter" in typed else None
    elif is_nothing(text):
        ends = Ends.UNSTATED
    else:
        try:
            ends = choice(Ends, text, "rule for the end", _ENDS)
        except ValueRefusedError:
            found = mentions(Family.RULE, text)
            if len(found) != 1 or left_over(text, found):
                raise
            ends = found[0].value
    kinds = {limit.kind for limit in term.limits}
    if ends is Ends.TIME_ONLY and LimitKind.VOLUME in kinds:
        raise ValueRefusedError("there is a volume limit too; correct “cap” to “none”, and time alone ends the cover")
    if ends is Ends.VOLUME_ONLY and LimitKind.TIME in kinds:
        raise ValueRefusedError("there is a time limit too; correct “time” to “none”, and volume alone ends the cover")
    if ends in (Ends.FIRST_OF, Ends.LAST_OF, Ends.UNSTATED) and len(term.limits) < 2:
        raise ValueRefusedError(
            "such a rule needs two limits and there are not two; correct “time”, “cap” or “limits” first"
        )
    changes = [Change("ends", ends)]
    if life is not None:
        changes.append(Change("life_of", life))
    return Understood(text, tuple(changes), (life or ends).meaning)


_EVENTS = {
    "sale": StartEvent.PURCHASE,
    "invoice": StartEvent.PURCHASE,
    "despatch": StartEvent.SHIPMENT,
    "dispatch": StartEvent.SHIPMENT,
    "start up": StartEvent.COMMISSIONING,
    "activation": StartEvent.COMMISSIONING,
}


def _delay(text: str, start: Mention) -> Decimal | None:
    """The months of "6 months after shipment", where the patterns see the event alone."""
    before = text[: start.start]
    if not start.text.casefold().startswith("after") or text[start.end :].strip(" ."):
        return None
    found = mentions(Family.DURATION, before)
    if len(found) != 1 or left_over(before, found) or not isinstance(found[0].value, Duration):
        return None
    return found[0].value.months


def starts_of(text: str) -> tuple[tuple[Start, ...], StartRule]:
    """The clocks that a person names: "shipment", "the earlier of installation and 6 months after shipment"."""
    wanted, example = "a start", "“shipment”, “6 months after shipment” or “the earlier of installation and shipment”"
    bare = re.sub(r"(?i)^(from|at|the date of|date of)\s+", "", text.strip())
    try:
        event = choice(StartEvent, bare, "start", _EVENTS)
    except ValueRefusedError:
        for said in (text, f"from {bare}"):
            found = mentions(Family.START, said)
            if len(found) != 1:
                continue
            spec = found[0].value
            delay = _delay(said, found[0]) if len(spec.clocks) == 1 else None
            if delay is None and left_over(said, found):
                continue
            clocks = tuple(
                Start(event=clock.event, plus_months=clock.plus_months + (delay or 0), start_text=text.strip())
                for clock in spec.clocks
            )
            return clocks, spec.rule
        raise refuse(text, wanted, f"{example}; events are {', '.join(StartEvent)}") from None
    return (Start(event=event, start_text=text.strip()),), StartRule.SINGLE


def _clock(start: Start) -> str:
    after = f"{months(start.plus_months)} after " if start.plus_months else ""
    return after + plain(start.event)


def _start(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        return Understood(text, (Change("starts", ()),), "no start given")
    clocks, rule = starts_of(text)
    changes = [Change("starts", clocks)]
    shown = joined([_clock(clock) for clock in clocks], "and")
    if len(clocks) > 1 or rule is not StartRule.SINGLE:
        changes.append(Change("start_rule", rule))
        shown = f"{rule.meaning}: {shown}"
    return Understood(text, tuple(changes), shown)


def _limits(text: str, term: Term, turn: int) -> Understood:
    """ "12 months from installation or 18 months from shipment, whichever comes first": every end at once."""
    wanted = "limits"
    example = "“12 months from installation or 18 months from shipment, whichever comes first”"
    if term.ends is Ends.LIFE:
        raise ValueRefusedError("the cover is given for life; correct “ends” first")
    rules = mentions(Family.RULE, text)
    if len(rules) > 1:
        raise refuse(text, wanted, example, "there is more than one rule")
    body = f"{text[: rules[0].start]} {text[rules[0].end :]}" if rules else text
    limits: list[Limit] = []
    starts: list[Start] = []
    for part in re.split(r"\s+or\s+|[;,](?=\s)", body):
        if not part.strip(" .,;"):
            continue
        if mentions(Family.VOLUME, part):
            amount = _volume_of(part)
            limits.append(Limit(kind=LimitKind.VOLUME, usgal=amount.usgal, limit_text=part.strip()))
            continue
        head, _, tail = part.partition(" from ")
        duration = only(Family.DURATION, head, wanted, example).value
        if not isinstance(duration, Duration):
            raise refuse(text, wanted, example, "a prorated tail belongs to “free” and “credits”")
        event = None
        if tail:
            (clock, *more), _rule = starts_of(tail)
            if more or clock.plus_months:
                raise refuse(tail, "the start of one limit", "“shipment”")
            event = clock.event
            starts.append(clock)
        limits.append(
            Limit(
                kind=LimitKind.TIME,
                months=duration.months,
                days=duration.days,
                start_event=event or term.start_event,
                limit_text=part.strip(),
            )
        )
    if not limits:
        raise refuse(text, wanted, example)
    changes = []
    if starts:
        changes.append(Change("starts", tuple(starts)))
        if len(starts) > 1:
            changes.append(Change("start_rule", StartRule.SINGLE))
    changes.append(Change("limits", tuple(limits)))
    if len(limits) > 1:
        changes.append(Change("ends", rules[0].value if rules else Ends.UNSTATED))
    said = [
        gallons(limit.usgal or Decimal(0))
        if limit.kind is LimitKind.VOLUME
        else _length(Duration(months=limit.months, days=limit.days))
        + (f" from {plain(limit.start_event)}" if limit.start_event else "")
        for limit in limits
    ]
    rule = f", {(rules[0].value if rules else Ends.UNSTATED).meaning}" if len(limits) > 1 else ""
    return Understood(text, tuple(changes), joined(said, "or") + rule)


_ROLES = {
    "min": FlowRole.MINIMUM,
    "max": FlowRole.MAXIMUM,
    "normal": FlowRole.NORMAL_RANGE,
    "low": FlowRole.EXTENDED_LOW,
    "extended low flow": FlowRole.EXTENDED_LOW,
}


def band_of(text: str) -> AccuracyBand:
    """ "98.5–101.5", "±1.5 %", "at least 95 % at 1/8 gpm", "97-103 % from 1 to 20 gpm"."""
    wanted, example = "an accuracy band", "“98.5–101.5”, “±1.5 %” or “at least 95 % at 1/8 gpm”"
    found = mentions(Family.FLOW, text)
    if len(found) > 1:
        raise refuse(text, wanted, example, "one flow or one range of flows to a band")
    rest = text
    if found:
        rest = f"{text[: found[0].start]} {text[found[0].end :]}".strip()
        rest = re.sub(
            r"(?i)\s+(at|from|between|over|in|@)\s*$|^\s*(at|from|between|@)\s*(?=[\d:;,±])", " ", rest
        ).strip(" ,:;")
    if re.fullmatch(r"[\d\s.,–—-]+", rest):
        rest = re.sub(r"\s*[–—-]\s*", " % – ", rest) + " %"
    band: PercentBand = only(Family.BAND, rest, wanted, example).value
    for side in (band.lower, band.upper):
        if side is not None and not 50 <= side <= 150:
            raise refuse(text, wanted, example, f"{number(side)} % of true volume is no meter's accuracy")
    flow: FlowRate | None = found[0].value if found else None
    if flow is not None and not isinstance(flow, FlowRate):
        raise refuse(text, wanted, example, "a named flow has no number; give it in gpm, L/h or m³/h")
    return AccuracyBand(
        lower_pct=band.lower,
        upper_pct=band.upper,
        flow_from_usgpm=flow.low_usgpm if flow else None,
        flow_to_usgpm=flow.high_usgpm if flow else None,
        band_text=text.strip(),
    )


def _said_band(band: AccuracyBand) -> str:
    low, high = band.flow_from_usgpm, band.flow_to_usgpm
    flow = "" if low is None and high is None else f" {flows(low, high)}"
    role = f" ({plain(band.flow_role)})" if band.flow_role else ""
    return percent(band) + flow + role


def _numbered_band(term: Term, turn: int) -> AccuracyBand:
    if not 1 <= turn <= len(term.bands):
        there = f"there are {len(term.bands)}" if term.bands else "there is none yet"
        raise ValueRefusedError(f"no accuracy band {turn}; {there}. Write all of them with “bands”, parted by “;”")
    return term.bands[turn - 1]


def _with_band(term: Term, turn: int, band: AccuracyBand | None) -> tuple[AccuracyBand, ...]:
    return (*term.bands[: turn - 1], *((band,) if band else ()), *term.bands[turn:])


def _band(text: str, term: Term, turn: int) -> Understood:
    if not term.bands and turn == 1 and not is_nothing(text):
        return _bands(text, term, turn)
    old = _numbered_band(term, turn)
    if is_nothing(text):
        return Understood(text, (Change("bands", _with_band(term, turn, None)),), f"band {turn} taken away")
    new = band_of(text)
    if new.flow_from_usgpm is None and new.flow_to_usgpm is None:
        there = {"flow_from_usgpm": old.flow_from_usgpm, "flow_to_usgpm": old.flow_to_usgpm}
        new = new.model_copy(update=there)
    new = new.model_copy(update={"flow_role": old.flow_role})
    return Understood(text, (Change("bands", _with_band(term, turn, new)),), _said_band(new))


def _bands(text: str, term: Term, turn: int) -> Understood:
    if is_nothing(text):
        return Understood(text, (Change("bands", ()),), "no accuracy band")
    bands = tuple(band_of(part) for part in text.split(";") if part.strip())
    return Understood(text, (Change("bands", bands),), "; ".join(_said_band(band) for band in bands))


def _flow(text: str, term: Term, turn: int) -> Understood:
    old = _numbered_band(term, turn)
    wanted, example = "a flow", "“1/8 gpm”, “1 to 20 gpm” or “25 L/h”"
    if is_nothing(text):
        new = old.model_copy(update={"flow_from_usgpm": None, "flow_to_usgpm": None})
        return Understood(text, (Change("bands", _with_band(term, turn, new)),), "no flow given")
    if re.fullmatch(r"[\d\s.,/¼½¾⅛⅜⅝⅞]+", text):
        raise refuse(text, wanted, example, "a number without a unit")
    flow = only(Family.FLOW, text, wanted, example).value
    if not isinstance(flow, FlowRate):
        raise refuse(text, wanted, example, "a named flow has no number")
    new = old.model_copy(update={"flow_from_usgpm": flow.low_usgpm, "flow_to_usgpm": flow.high_usgpm})
    return Understood(text, (Change("bands", _with_band(term, turn, new)),), _said_band(new))


def _role(text: str, term: Term, turn: int) -> Understood:
    old = _numbered_band(term, turn)
    role = None if is_nothing(text) else choice(FlowRole, text, "kind of flow", _ROLES)
    new = old.model_copy(update={"flow_role": role})
    return Understood(text, (Change("bands", _with_band(term, turn, new)),), _said_band(new))


_STEP = re.compile(
    r"(?ix) ^\s* (?:in\s+)? (?:the\s+)? (?:years?|yrs?\.?|y) \s* (?P<first>\d+) \s* "
    r"(?:(?:-|–|to|through)\s*(?P<last>\d+))? \s* [:=]? \s* (?P<share>free|\d+(?:\.\d+)?) \s* %? \s*$"
)
# "list price" alone is refused: at the claim or at the sale makes two prices of it.
_BASES = {
    "current list price": PriceBasis.LIST_PRICE_THEN_CURRENT,
    "then current list price": PriceBasis.LIST_PRICE_THEN_CURRENT,
    "list price at claim": PriceBasis.LIST_PRICE_THEN_CURRENT,
    "price paid": PriceBasis.PURCHASE_PRICE,
    "paid": PriceBasis.PURCHASE_PRICE,
}


def _credits(text: str, term: Term, turn: int) -> Understood:
    """ "years 1-10 free; year 11 30 %; years 12 to 15 45 % of list price": what the CUSTOMER pays, year by year."""
    wanted = "steps of what the customer pays"
    example = "“years 1-10 free; year 11 30 %; year 12 35 % of purchase price”"
    if is_nothing(text):
        return Understood(text, (Change("credits", ()),), "nothing is prorated")
    if re.search(r"(?i)credit|supplier|discount|allowance", text):
        raise refuse(text, wanted, example, "give the customer's share: a credit of 40 % is 60 % for the customer")
    body, _, base = text.partition(" of ")
    basis = choice(PriceBasis, base, "price", _BASES) if base.strip() else None
    if basis is None:
        basis = term.credits[-1].price_basis if term.credits else PriceBasis.OTHER
    steps = []
    for part in body.split(";"):
        if not part.strip():
            continue
        found = _STEP.match(part)
        if not found:
            raise refuse(part, wanted, example)
        first = int(found["first"])
        last = int(found["last"] or first)
        share = Decimal(0) if found["share"].casefold() == "free" else Decimal(found["share"])
        if not 1 <= first <= last or share > 100:
            raise refuse(part, wanted, example, "years run upwards from 1 and a share is at most 100 %")
        steps.append(
            CreditStep(
                from_month=Decimal(12 * (first - 1)),
                to_month=Decimal(12 * last),
                customer_pays_pct=share,
                price_basis=basis,
                credit_text=part.strip(),
            )
        )
    steps.sort(key=lambda step: step.from_month)
    said = "; ".join(
        f"months {number(step.from_month)} to {number(step.to_month)}: "
        f"the customer pays {number(step.customer_pays_pct)} %"
        for step in steps
    )
    return Understood(text, (Change("credits", tuple(steps)),), f"{said}, of {basis.meaning}")


def _listed(kind: type[Word]) -> tuple[tuple[str, str], ...]:
    return tuple((plain(member.value), member.meaning) for member in kind)


FIELDS: tuple[Field, ...] = (
    Field(
        "size", "size", "5/8", _size, ("size_label",),
        choices=tuple((label, size(label)) for label in SIZE_LABELS),
    ),
    Field(
        "component", "component", "measuring element", _component, ("component",), ("part",),
        choices=_listed(Component),
    ),
    Field("variant", "variant", "bronze", _text_field("variant"), ("variant",), ("material",)),
    Field("product", "product", "the model as written", _text_field("product"), ("product",), ("model",)),
    Field(
        "type", "meter type", "displacement",
        _choice_field("meter_type", MeterType, "meter type", _TYPES), ("meter_type",), ("meter type",),
        choices=_listed(MeterType),
    ),
    Field(
        "promise", "promise", "accuracy",
        _choice_field("promise", Promise, "promise", _PROMISES, may_be_none=False), ("promise",),
        choices=_listed(Promise),
    ),
    Field(
        "level", "accuracy level", "new meter",
        _choice_field("accuracy_level", AccuracyLevel, "accuracy level", _LEVELS), ("accuracy_level",),
        ("accuracy level",), choices=_listed(AccuracyLevel),
    ),
    Field(
        "time", "time limit", "15 yrs", _time, ("duration_months", "duration_days", "duration_text"),
        ("duration", "years", "months", "time limit"),
    ),
    Field(
        "cap", "volume limit", "2.2 MG", _cap, ("volume_cap_usgal", "volume_cap_text"),
        ("volume", "volume limit", "gallons"),
    ),
    Field("ends", "which ends it", "whichever is later", _ends, ("ends",), ("rule",), choices=_listed(Ends)),
    Field(
        "start", "start", "shipment", _start, ("start_event", "start_rule", "starts", "start"), ("starts",),
        choices=_listed(StartEvent),
    ),
    Field(
        "limits", "all limits at once", "12 months from installation or 18 months from shipment, whichever comes first",
        _limits, ("limits", "limit"),
    ),
    Field(
        "life", "whose life", "meter", _choice_field("life_of", LifeOf, "life", _LIVES), ("life_of",),
        choices=_listed(LifeOf),
    ),
    Field("free", "free period", "10 years", _free, ("full_months",), ("full", "full months", "free period")),
    Field(
        "credits", "customer's share", "years 1-10 free; year 11 30 %; year 12 35 % of current list price",
        _credits, ("credits", "credit"), ("proration", "share"),
    ),
    Field(
        "remedy", "remedy", "repair or replace", _choice_field("remedy", Remedy, "remedy", _REMEDIES), ("remedy",),
        choices=_listed(Remedy),
    ),
    Field("band", "accuracy band N", "98.5–101.5", _band, ("band",), ("accuracy",), numbered=True),
    Field("flow", "flow of band N", "⅛ gpm", _flow, (), numbered=True),
    Field("role", "kind of flow of band N", "minimum", _role, (), numbered=True, choices=_listed(FlowRole)),
    Field("bands", "all accuracy bands", "98.5–101.5 at 1 to 20 gpm; 95–101 at 1/4 gpm", _bands, ("bands",)),
)  # fmt: skip


def split_name(typed: str, among: Sequence[F]) -> tuple[F, int, str]:
    """The field a person names at the head of what they typed, the number of a band, and the rest.

    "cap 2.2 MG", "cap: 2.2 MG", "band 2: 95–101". The number of a band ends the text or stands before a colon, so that
    "flow 1 to 20 gpm" is a flow. ValueRefusedError lists the fields there are.
    """
    text = " ".join(typed.split())
    named: dict[str, F] = {}
    for one in among:
        named.update(dict.fromkeys((one.key, *one.other_names), one))
    for name in sorted(named, key=len, reverse=True):
        turn = r"(?:\s*(?P<turn>\d+)(?=\s*[:=]|$))?" if getattr(named[name], "numbered", False) else "(?P<turn>)"
        found = re.match(rf"(?i){re.escape(name)}{turn}(?:\s*[:=]|\s|$)(?P<rest>.*)$", text)
        if found:
            return named[name], int(found["turn"] or 1), found["rest"].strip()
    listed = ", ".join(field.key for field in among)
    raise ValueRefusedError(f"there is no field “{text.partition(' ')[0]}”; there are: {listed}")


def understand(field: Field, text: str, term: Term, turn: int = 1) -> Understood:
    """What a person means by `text` in a field of a term; ValueRefusedError says what was expected, with an example."""
    if not text.strip():
        raise ValueRefusedError(f"nothing was given; write a value like “{field.example}”, or “none”")
    return field.understand(text, term, turn)


def label_of(evidence_field: str) -> str:
    """The words for a field of the evidence: `duration_months` is "time limit", `band.2` "accuracy band 2"."""
    name, _, turn = evidence_field.partition(".")
    for field in FIELDS:
        if name in field.covers:
            label = "limit" if field.key == "limits" else field.label.removesuffix(" N")
            return f"{label} {turn.partition('.')[0]}" if turn[:1].isdigit() else label
    for fact in FACTS:
        if name == fact.field:
            return fact.label
    return evidence_field.replace("_", " ").replace(".", " ")


def telling(labels: Sequence[str]) -> list[str]:
    """Labels without what is said beside it ("time limit" says "limit 1" too); numbered ones drawn together."""
    said_by = {"limit": {"time limit", "volume limit"}, "start": {"start"}}
    labels = list(dict.fromkeys(labels))
    kept: list[str] = []
    numbers: dict[str, list[str]] = {}
    for label in labels:
        name, _, number = label.rpartition(" ")
        if not number.isdecimal():
            kept.append(label)
        elif not said_by.get(name, set()) & set(labels):
            if name not in numbers:
                kept.append(name)
            numbers.setdefault(name, []).append(number)
    return [f"{label} {', '.join(numbers[label])}" if label in numbers else label for label in kept]
