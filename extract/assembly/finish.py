"""Drafts -> terms: defaults of section and document, sizes spread out, ends settled, evidence written down."""

import itertools
import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal

from firstcap.extract.assembly.bands import at_own_flow
from firstcap.extract.assembly.cell_notes import NOTE_START
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import BandDraft, Draft, Found, TimeLimit
from firstcap.extract.assembly.finished import Finished
from firstcap.extract.assembly.join import level_of
from firstcap.extract.assembly.keyed import choose
from firstcap.extract.assembly.promised import promise_of
from firstcap.extract.assembly.siblings import compared
from firstcap.extract.assembly.unit import Hit, Unit, hits_of
from firstcap.extract.confidence import Features, term_confidence
from firstcap.extract.page import Origin
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec, NamedFlow, StartSpec
from firstcap.schema.evidence import Alternative, Box, Evidence
from firstcap.schema.quantities import FlowRate, PercentBand
from firstcap.schema.terms import AccuracyBand, CreditStep, Limit, ReadingWarning, Start, Term
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    Ends,
    FlowRole,
    LimitKind,
    MeterType,
    PriceBasis,
    Promise,
    Remedy,
    StartEvent,
    StartRule,
    WarningKind,
)

_NO_TYPE = (Component.ENDPOINT, Component.SOFTWARE)


def finish(
    drafts: Sequence[Draft], context: Context, remedy: Found | None
) -> tuple[list[Finished], list[ReadingWarning]]:
    """The terms of a document, in reading order, and what a person should look at."""
    for draft in drafts:
        if draft.table:
            from_headings(draft, context)
        _defaults(draft, context)
    _one_start(drafts, context)
    products = {str(d.get("product")) for d in drafts if d.get("product") and "products" not in d.scalars}
    for draft in drafts:
        names = draft.get("products")
        products |= set(names) if isinstance(names, tuple) else set()
    finished: list[Finished] = []
    for draft in drafts:
        for one in _by_product(draft):
            if "products" in one.scalars or len(products) < 2:
                one.scalars.pop("product", None)
            finished.extend(_terms(one, context, remedy))
    finished = compared(_told_apart(_distinct(finished)))
    warnings = [
        ReadingWarning(kind=kind, page=page, message=message, term=index)
        for index, item in enumerate(finished)
        for kind, message, page in item.warnings
    ]
    return finished, warnings


def _by_product(draft: Draft) -> list[Draft]:
    """ "KM and KP meters are warranted": one promise for each. "Either model", or a part that both take: one for both."""
    names = draft.get("products")
    component = draft.get("component")
    whole = not isinstance(component, ComponentSpec) or component.component is Component.WHOLE_METER
    if not isinstance(names, tuple) or not whole or re.search(r"\b(?:either|or|any) \b", draft.unit.text[:160]):
        return [draft]
    made = []
    for name in names:
        own = draft.copy()
        own.scalars.pop("products")
        own.scalars.pop("mixed_types", None)
        own.scalars.pop("meter_type", None)
        own.scalars["product"] = Found(name, draft.scalars["product"].hit)
        made.append(own)
    return made


def from_headings(draft: Draft, context: Context) -> None:
    """What the sentence leaves out, the nearest heading that scopes it may say; a title that scopes all does not."""
    total = max(1, len(context.layout.blocks))
    for index in reversed(draft.unit.headings):
        scope = sum(1 for block in context.layout.blocks if index in block.headings)
        if scope > 0.6 * total:
            continue
        run = context.layout.blocks[index].run
        hits = hits_of(run, context.reader)
        unit = Unit(run, 0, len(run.text), hits, index)
        levels = unit.of(Family.LEVEL)
        for name, family in (("product", Family.PRODUCT), ("meter_type", Family.METER_TYPE)):
            found = unit.of(family)
            if (
                found
                and len({hit.value for hit in found}) == 1
                and not (name == "product" and "products" in draft.scalars)
            ):
                draft.put(name, Found.of(found[0]).passed_on())
        if draft.sizes is None and unit.of(Family.SIZE):
            draft.sizes = Found.of(unit.of(Family.SIZE)[0]).passed_on()
        components = [
            hit
            for hit in unit.of(Family.COMPONENT)
            if isinstance(hit.value, ComponentSpec) and not any(lv.start <= hit.start < lv.end for lv in levels)
        ]
        if "component" not in draft.scalars and draft.get("promise") is not Promise.ACCURACY:
            specific = [hit for hit in components if hit.value.component is not Component.WHOLE_METER]  # type: ignore[attr-defined]
            if len({hit.value.component for hit in specific}) == 1:  # type: ignore[attr-defined]
                draft.put("component", Found.of(specific[0]).passed_on())
        if "promise" not in draft.scalars:
            found_promise = promise_of(unit)
            if found_promise is not None:
                draft.put("promise", found_promise.passed_on())
        if (
            draft.get("promise") is Promise.ACCURACY
            and len({hit.value for hit in levels}) == 1
            and not (
                levels[0].value is AccuracyLevel.EXTENDED_LOW_FLOW
                and any(band.role is FlowRole.NORMAL_RANGE for band in draft.bands)
            )
        ):
            draft.put("level", Found.of(levels[0]).passed_on())


_LEVELS_BESIDE = {AccuracyLevel.NEW_METER, AccuracyLevel.REPAIRED_METER}


def _defaults(draft: Draft, context: Context) -> None:
    if "component" not in draft.scalars:
        draft.doubts.append("component_default")
    if "promise" not in draft.scalars:
        draft.doubts.append("promise_default")
    level = draft.get("level")
    if draft.get("promise") is Promise.ACCURACY and level is None and set(context.level_mentions) >= _LEVELS_BESIDE:
        if draft.bands and {band.role for band in draft.bands} == {FlowRole.MINIMUM}:
            level = AccuracyLevel.EXTENDED_LOW_FLOW  # low flow alone, beside the promises for new and repaired meters
            draft.scalars["level"] = Found(level, draft.bands[0].hit, True, "level.low_flow_alone")
    if draft.get("promise") is Promise.ACCURACY and isinstance(level, AccuracyLevel):
        if not draft.bands and level in context.level_bands and "standard" not in draft.scalars:
            draft.bands = at_own_flow(context.level_bands[level], draft.unit)
        if "standard" not in draft.scalars and level in context.level_standards:
            draft.put("standard", context.level_standards[level])
        if "standard" not in draft.scalars and level in context.level_keyed:
            draft.put("keyed", Found(context.level_keyed[level]))
        mentioned = context.level_mentions.get(level, {})
        if not {"standard", "keyed"} & set(draft.scalars) and not draft.bands and len(mentioned) == 1:
            draft.put("standard", next(iter(mentioned.values())))
    if draft.get("promise") is Promise.ACCURACY and not draft.bands and "standard" not in draft.scalars:
        draft.bands = list(context.product_bands.get(str(draft.get("product")), []))
    if "start" not in draft.scalars and not all(limit.start for limit in draft.times) and draft.times:
        found = context.start_for(draft.unit.block, draft.unit.headings)
        if found is not None:
            draft.put("start", found.passed_on())
    if "rule" not in draft.scalars and len(draft.times) + len(draft.volumes) > 1:
        found = context.rule_for(draft.unit.block, draft.unit.headings)
        if found is not None and (draft.table or context.rules_here(draft.unit.headings)):
            draft.put("rule", found.passed_on())


def _one_start(drafts: Sequence[Draft], context: Context) -> None:
    """A start said once holds for every promise that does not state its own (settled question 4)."""
    lacking = [d for d in drafts if d.times and "start" not in d.scalars and not any(limit.start for limit in d.times)]
    if not lacking:
        return
    tabled = any(draft.table for draft in lacking)  # rows without the mark of a note that gives others their start
    known = [
        found
        for draft in drafts
        if (found := draft.scalars.get("start")) is not None and not (tabled and found.pattern == NOTE_START)
    ]
    if not known:
        return
    values = {str(found.value) for found in known}
    if len(values) == 1:
        for draft in lacking:
            draft.put("start", known[0].passed_on())


def _terms(draft: Draft, context: Context, remedy: Found | None) -> list[Finished]:
    labels: tuple[str | None, ...] = tuple(draft.sizes.value) if draft.sizes is not None else ()  # type: ignore[arg-type]
    if not labels:
        banded = [label for band in draft.bands for label in band.sizes]
        labels = tuple(dict.fromkeys(banded)) or (None,)
    components = _components(draft)
    return [
        _term(_with_standard(draft, component.component, label, context), component, hit, label, context, remedy)
        for component, hit in components
        for label in labels
    ]


def _with_standard(draft: Draft, component: Component, label: str | None, context: Context) -> Draft:
    """Of several standards, each said for something else, the one that holds for this promise."""
    keyed = draft.get("keyed")
    if not isinstance(keyed, tuple):
        return draft
    own = draft.copy()
    product = str(draft.get("product")) if draft.get("product") else None
    found = choose(keyed, product, _meter_type(draft, component, context), label)
    own.scalars.pop("standard", None)
    own.put("standard", found)
    return own


def _components(draft: Draft) -> list[tuple[ComponentSpec, Hit | None]]:
    several = draft.scalars.get("components")
    if several is not None and draft.get("promise") is not Promise.ACCURACY:
        found: dict[Component, tuple[ComponentSpec, Hit | None]] = {}
        for hit in several.value:  # type: ignore[attr-defined]
            if isinstance(hit.value, ComponentSpec):
                found.setdefault(hit.value.component, (hit.value, hit))
        return list(found.values())
    one = draft.scalars.get("component")
    if draft.get("promise") is Promise.ACCURACY:
        # Accuracy is the meter's, whatever part the sentence names on the way.
        return [(ComponentSpec(Component.WHOLE_METER), one.hit if one else None)]
    if one is not None and isinstance(one.value, ComponentSpec):
        return [(one.value, one.hit)]
    return [(ComponentSpec(Component.WHOLE_METER), None)]


def _term(
    draft: Draft,
    component: ComponentSpec,
    component_hit: Hit | None,
    label: str | None,
    context: Context,
    remedy: Found | None,
) -> Finished:
    warnings: list[tuple[WarningKind, str, int]] = [
        (WarningKind(kind), message, page) for kind, message, page in draft.notes
    ]
    evidence = _Writer(draft)
    promise = draft.get("promise") if isinstance(draft.get("promise"), Promise) else Promise.MATERIALS_WORKMANSHIP
    assert isinstance(promise, Promise)
    level = level_of(draft)
    times = draft.times
    start = _start(draft)
    ends = _ends(draft, warnings)
    limits = _limits(draft, start)
    main = _main(times)
    months = main.duration.months if main else None
    days = main.duration.days if main else None
    cap = draft.volumes[0] if draft.volumes else None
    steps, full, _ = _credits(draft, months)
    bands = _bands(draft, label, level, context, promise)
    meter_type = _meter_type(draft, component.component, context)
    own_remedy = draft.scalars.get("remedy") or remedy
    life = draft.get("life")
    main_start = main.start if main and main.start else draft.scalars.get("start")
    spec = main_start.value if main_start and isinstance(main_start.value, StartSpec) else start
    end_moving = len({limit.start.value for limit in times if limit.start}) > 1
    starts = _starts(draft, spec, end_moving)
    event = (
        spec.clocks[0].event
        if spec
        and (
            times
            or (spec is not None and draft.scalars.get("start") is not None and not draft.scalars["start"].inherited)
        )
        else None
    )
    if not times and not (draft.scalars.get("start") and not draft.scalars["start"].inherited and life):
        event = None
    term = Term(
        product=str(draft.get("product")) if draft.get("product") else None,
        meter_type=meter_type,
        size_label=label,
        component=component.component,
        variant=str(draft.get("variant")) if draft.get("variant") else None,
        promise=promise,
        accuracy_level=level if promise is Promise.ACCURACY else None,
        duration_months=months,
        full_months=(full if full is not None else months) if months is not None else None,
        duration_days=days,
        duration_text=main.hit.mention.text if main else None,
        start_event=event,
        start_rule=(StartRule.SINGLE if end_moving or spec is None else spec.rule) if event else None,
        volume_cap_usgal=cap[0].usgal if cap else None,
        volume_cap_text=cap[1].mention.text if cap else None,
        ends=ends,
        life_of=life if ends is Ends.LIFE else None,  # type: ignore[arg-type]
        remedy=own_remedy.value if own_remedy else None,  # type: ignore[arg-type]
        limits=limits,
        starts=starts if event else (),
        bands=bands,
        credits=tuple(steps),
    )
    for hit in _value_hits(draft, label):
        for note in hit.mention.notes:
            warnings.append((WarningKind(note), _note_text(WarningKind(note), hit), hit.run.page))
    shares = [step.customer_pays_pct for step in steps]
    if any(later < sooner for sooner, later in itertools.pairwise(shares)):
        warnings.append(
            (
                WarningKind.NON_MONOTONE_CREDITS,
                "The customer's share falls from one year to the next",
                draft.unit.run.page,
            )
        )
    alternatives = tuple(
        Alternative(
            field=_field_of(hit), value=_plain(other), quote=hit.mention.text, why_not="the other reading was taken"
        )
        for hit in _value_hits(draft, label)
        for other in hit.mention.alternatives
    )
    written = evidence.write(term, draft, component_hit, main, cap, own_remedy, label, context)
    features = _features(draft, term, warnings, context)
    confidence = term_confidence(features)
    written = tuple(item.model_copy(update={"confidence": confidence}) for item in written)
    return Finished(
        term.model_copy(update={"evidence": written, "alternatives": alternatives, "confidence": confidence}),
        list(dict.fromkeys(warnings)),
        (draft.unit.block, draft.unit.start),
        features,
    )


def _plain(value: object) -> str:
    for name in ("months", "usgal", "days"):
        number = getattr(value, name, None)
        if number is not None:
            return f"{number} {name}"
    return str(value)


def _field_of(hit: Hit) -> str:
    return {
        Family.DURATION: "duration_months",
        Family.VOLUME: "volume_cap_usgal",
        Family.BAND: "bands",
        Family.FLOW: "bands",
    }.get(hit.family, hit.family.value)


def _note_text(kind: WarningKind, hit: Hit) -> str:
    others = ", ".join(_plain(other) for other in hit.mention.alternatives)
    told = f"; the other reading is {others}" if others else ""
    return f"“{hit.mention.text}”: {kind.meaning}{told}. Compare with the page."


def _value_hits(draft: Draft, label: str | None) -> list[Hit]:
    hits = [limit.hit for limit in draft.times]
    hits += [hit for _, hit in draft.volumes]
    for band in draft.bands:
        if not band.sizes or label in band.sizes:
            hits.append(band.hit)
            if band.flow_hit is not None:
                hits.append(band.flow_hit)
    return hits


def _start(draft: Draft) -> StartSpec | None:
    found = draft.scalars.get("start")
    return found.value if found is not None and isinstance(found.value, StartSpec) else None


def _main(times: Sequence[TimeLimit]) -> TimeLimit | None:
    """For two time limits, the one from the event named first (the contract)."""
    return times[0] if times else None


def _starts(draft: Draft, spec: StartSpec | None, end_moving: bool) -> tuple[Start, ...]:
    if end_moving:
        found = []
        for limit in draft.times:
            value = limit.start.value if limit.start else None
            if isinstance(value, StartSpec):
                text = limit.start.hit.mention.text if limit.start and limit.start.hit else ""
                found.append(
                    Start(event=value.clocks[0].event, plus_months=value.clocks[0].plus_months, start_text=text)
                )
        return tuple(found)
    if spec is None:
        return ()
    hit = draft.scalars["start"].hit if "start" in draft.scalars else None
    text = hit.mention.text if hit else ""
    return tuple(Start(event=clock.event, plus_months=clock.plus_months, start_text=text) for clock in spec.clocks)


def _ends(draft: Draft, warnings: list[tuple[WarningKind, str, int]]) -> Ends:
    if draft.get("life") is not None and not draft.times:
        return Ends.LIFE
    count = len(draft.times) + len(draft.volumes)
    if count > 1:
        rule = draft.get("rule")
        if isinstance(rule, Ends):
            return rule
        warnings.append(
            (
                WarningKind.NO_RULE_BETWEEN_LIMITS,
                "Two limits stand side by side and the document does not say which one ends the cover",
                draft.unit.run.page,
            )
        )
        return Ends.UNSTATED
    if draft.volumes:
        return Ends.VOLUME_ONLY
    return Ends.TIME_ONLY


def _limits(draft: Draft, start: StartSpec | None) -> tuple[Limit, ...]:
    found = []
    for limit in draft.times:
        own = limit.start.value if limit.start and isinstance(limit.start.value, StartSpec) else start
        found.append(
            Limit(
                kind=LimitKind.TIME,
                months=limit.duration.months,
                days=limit.duration.days,
                start_event=own.clocks[0].event if own else None,
                limit_text=limit.hit.mention.text,
            )
        )
    for volume, hit in draft.volumes[:1]:
        found.append(Limit(kind=LimitKind.VOLUME, usgal=volume.usgal, limit_text=hit.mention.text))
    return tuple(found)


def _credits(draft: Draft, total: Decimal | None) -> tuple[list[CreditStep], Decimal | None, PriceBasis]:
    basis = draft.price_basis or PriceBasis.OTHER
    full = draft.full.value if draft.full is not None and isinstance(draft.full.value, Decimal) else None
    declines = draft.get("declines") is not None
    steps = [
        CreditStep(
            from_month=s.from_month,
            to_month=s.to_month,
            customer_pays_pct=s.customer_pays_pct,
            price_basis=basis,
            credit_text=s.hit.mention.text,
        )
        for s in draft.credits
        if total is None or s.from_month < total
    ]
    steps.sort(key=lambda step: step.from_month)
    if steps and steps[0].from_month > 0:
        full = full if full is not None and full <= steps[0].from_month else steps[0].from_month
        text = draft.full.hit.mention.text if draft.full and draft.full.hit else ""
        steps.insert(
            0,
            CreditStep(
                from_month=Decimal(0),
                to_month=steps[0].from_month,
                customer_pays_pct=Decimal(0),
                price_basis=basis,
                credit_text=text,
            ),
        )
    elif steps and steps[0].customer_pays_pct == 0:
        full = full if full is not None else steps[0].to_month
    elif not steps and full is not None and total is not None and full < total:
        text = draft.full.hit.mention.text if draft.full and draft.full.hit else ""
        steps = [
            CreditStep(
                from_month=Decimal(0), to_month=full, customer_pays_pct=Decimal(0), price_basis=basis, credit_text=text
            )
        ]
    elif not steps:
        full = full if declines else None
    if steps and full is None:
        full = Decimal(0)
    return steps, full, basis


def _bands(
    draft: Draft, label: str | None, level: AccuracyLevel | None, context: Context, promise: Promise
) -> tuple[AccuracyBand, ...]:
    if promise is not Promise.ACCURACY:
        return ()
    product = draft.get("product")
    mine = [
        band
        for band in draft.bands
        if (not band.sizes or label in band.sizes) and (band.product is None or product in (None, band.product))
    ]
    mine = [one for band in mine for one in _at_each(band, draft, label)]
    if mine:
        return tuple(_stated(band, draft, label, level) for band in mine)
    standard = draft.get("standard")
    if not isinstance(standard, str):
        return ()
    hit = draft.scalars["standard"].hit
    # The numbers of a standard are looked up where its type and size are settled, in the catalogue.
    return (AccuracyBand(basis=standard, band_text=hit.mention.text if hit else standard),)


def _at_each(band: BandDraft, draft: Draft, label: str | None) -> list[BandDraft]:
    """ "At intermediate and maximum flow": one band for each, where a table prints both flows of the size."""
    tested = (FlowRole.INTERMEDIATE, FlowRole.MAXIMUM)
    printed = {name for size, name in draft.per_size_flows if size in (label or "", "")}
    if band.at_test_flows and printed >= set(tested):
        return [replace(band, role=role) for role in tested]
    return [band]


def _stated(band: BandDraft, draft: Draft, label: str | None, level: AccuracyLevel | None) -> AccuracyBand:
    role = band.role or FlowRole.NORMAL_RANGE
    if level is AccuracyLevel.EXTENDED_LOW_FLOW:
        role = FlowRole.EXTENDED_LOW
    low, high = _flow_of(band, role, draft, label)
    return AccuracyBand(
        flow_role=role,
        flow_from_usgpm=low,
        flow_to_usgpm=high,
        lower_pct=band.band.lower,
        upper_pct=band.band.upper,
        basis="stated",
        band_text=band.hit.mention.text,
    )


def _flow_of(band: BandDraft, role: FlowRole, draft: Draft, label: str | None) -> tuple[Decimal | None, Decimal | None]:
    if isinstance(band.flow, FlowRate):
        return band.flow.low_usgpm, band.flow.high_usgpm
    flows = {name: rate for (size, name), rate in draft.per_size_flows.items() if size in (label or "", "")}
    if isinstance(band.flow, NamedFlow):
        known = named_flows(flows, draft)
        low = known.get(band.flow.low) if band.flow.low else None
        return low, known.get(band.flow.high)
    order: tuple[FlowRole | str, ...] = (role,)
    if role is FlowRole.MINIMUM:
        order = (FlowRole.MINIMUM, FlowRole.EXTENDED_LOW)
    elif role is FlowRole.EXTENDED_LOW:
        order = (FlowRole.EXTENDED_LOW, FlowRole.MINIMUM)
    for name in order:
        if name in flows:
            return flows[name].low_usgpm, flows[name].high_usgpm
    if role is FlowRole.NORMAL_RANGE and len(draft.bands) == 1 and {FlowRole.MINIMUM, FlowRole.MAXIMUM} <= set(flows):
        return flows[FlowRole.MINIMUM].low_usgpm, flows[FlowRole.MAXIMUM].high_usgpm
    if band.above_minimum and FlowRole.MINIMUM in flows:
        return flows[FlowRole.MINIMUM].low_usgpm, None
    return None, None


def named_flows(flows: dict[FlowRole | str, FlowRate], draft: Draft) -> dict[str, Decimal]:
    """Q1 to Q4 in gallons a minute: printed, or by Q1 = Q3/R, Q2 = 1.6 Q1, Q4 = 1.25 Q3 (ISO 4064-1)."""
    known: dict[str, Decimal] = {}
    for name in ("Q1", "Q2", "Q3", "Q4"):
        rate = flows.get(name)
        if rate is not None and rate.low_usgpm is not None:
            known[name] = rate.low_usgpm
    ratio = flows.get("R")
    r = ratio.low if ratio is not None else _ratio_in(draft)
    q3 = known.get("Q3") or _q3_in(draft)
    if q3 is not None and r:
        known.setdefault("Q3", q3)
        known.setdefault("Q1", q3 / r)
        known.setdefault("Q2", known["Q1"] * Decimal("1.6"))
        known.setdefault("Q4", q3 * Decimal("1.25"))
    elif q3 is not None:
        known.setdefault("Q4", q3 * Decimal("1.25"))
    elif "Q1" in known:
        known.setdefault("Q2", known["Q1"] * Decimal("1.6"))
    return known


def _ratio_in(draft: Draft) -> Decimal | None:
    match = re.search(r"\bR\s?(?:=\s?)?(\d{2,4})\b", draft.unit.text)
    return Decimal(match.group(1)) if match else None


def _q3_in(draft: Draft) -> Decimal | None:
    for hit in draft.unit.of(Family.FLOW):
        before = draft.unit.run.text[max(0, hit.start - 8) : hit.start]
        if re.search(r"Q\s?3\W*$", before) and isinstance(hit.value, FlowRate):
            return hit.value.high_usgpm
    return None


def _meter_type(draft: Draft, component: Component, context: Context) -> MeterType | None:
    if component in _NO_TYPE or "mixed_types" in draft.scalars or "products" in draft.scalars:
        return None
    own = draft.scalars.get("meter_type")
    if own is not None and isinstance(own.value, MeterType):
        return own.value
    product = draft.get("product")
    if product is not None and str(product) in context.products:
        kind = context.products[str(product)]
        if kind is not None:
            return kind
        if component in (Component.OTHER, Component.BATTERY):
            return None
        if any(known is not None for known in context.products.values()):
            return None  # the one type the document names is another product's
    if component is Component.OTHER:
        return None
    return context.meter_type.value if context.meter_type and isinstance(context.meter_type.value, MeterType) else None


class _Writer:
    """Evidence rows: where each value of a term stands."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.rows: list[Evidence] = []

    def _sentence(self) -> tuple[tuple[Box, ...], str]:
        if self.draft.rows:
            hit = self.draft.rows[-1]
            return hit.boxes, hit.mention.text
        unit = self.draft.unit
        return unit.run.boxes(unit.start, unit.end), unit.text

    def add(self, field: str, hit: Hit | None, pattern: str = "") -> None:
        if hit is None or not hit.boxes:
            boxes, quote = self._sentence()
            self.rows.append(Evidence(field=field, boxes=boxes, quote=quote[:600], pattern=pattern or "sentence"))
            return
        self.rows.append(
            Evidence(field=field, boxes=hit.boxes, quote=hit.mention.text, pattern=pattern or hit.mention.pattern)
        )

    def write(
        self,
        term: Term,
        draft: Draft,
        component: Hit | None,
        main: TimeLimit | None,
        cap: tuple[object, Hit] | None,
        remedy: Found | None,
        label: str | None,
        context: Context,
    ) -> tuple[Evidence, ...]:
        boxes, quote = self._sentence()
        self.rows.append(
            Evidence(field="quote", boxes=boxes, quote=quote[:1500], pattern="table.row" if draft.rows else "sentence")
        )
        self.add("component", component, "" if component else "component.default")
        scalars = {
            "product": term.product,
            "meter_type": term.meter_type,
            "promise": term.promise,
            "accuracy_level": term.accuracy_level,
            "variant": term.variant,
        }
        names = {"accuracy_level": "level"}
        for field, value in scalars.items():
            if value is None:
                continue
            found = draft.scalars.get(names.get(field, field))
            if found is None and field == "meter_type":
                found = context.meter_type
            self.add(field, found.hit if found else None, found.pattern if found and found.hit is None else "")
        if term.size_label is not None:
            self.add("size_label", draft.sizes.hit if draft.sizes else None)
        if main is not None:
            self.add("duration_months" if term.duration_months is not None else "duration_days", main.hit)
            self.add("duration_text", main.hit)
            if term.full_months is not None:
                self.add("full_months", draft.full.hit if draft.full and draft.full.hit else main.hit)
        start = (main.start if main and main.start else None) or draft.scalars.get("start")
        if term.start_event is not None:
            for field in ("start_event", "start_rule"):
                self.add(field, start.hit if start else None)
        if cap is not None:
            self.add("volume_cap_usgal", cap[1])
            self.add("volume_cap_text", cap[1])
        rule = draft.scalars.get("rule") or draft.scalars.get("life")
        self.add("ends", rule.hit if rule else (main.hit if main else (cap[1] if cap else None)))
        if term.life_of is not None:
            self.add("life_of", draft.scalars["life"].hit)
        if term.remedy is not None:
            self.add("remedy", remedy.hit if remedy else None)
        limit_hits = [limit.hit for limit in draft.times] + [hit for _, hit in draft.volumes[:1]]
        for number, hit in enumerate(limit_hits, 1):
            self.add(f"limit.{number}", hit)
        mine = [band for band in draft.bands if not band.sizes or label in band.sizes]
        for number, _ in enumerate(term.bands, 1):
            source_hit = (
                mine[number - 1].hit
                if mine and number <= len(mine)
                else (draft.scalars["standard"].hit if "standard" in draft.scalars else None)
            )
            self.add(f"band.{number}", source_hit)
        for number, step in enumerate(term.credits, 1):
            source = next((item.hit for item in draft.credits if item.from_month == step.from_month), None)
            self.add(f"credit.{number}", source or (draft.full.hit if draft.full else None))
        for number, _ in enumerate(term.starts, 1):
            self.add(f"start.{number}", start.hit if start else None)
        return tuple(self.rows)


def _features(draft: Draft, term: Term, warnings: Iterable[tuple[WarningKind, str, int]], context: Context) -> Features:
    hits = _value_hits(draft, term.size_label)
    kinds = {kind for kind, _, _ in warnings}
    inherited = sum(
        1
        for name in ("component", "promise", "start", "rule")
        if name in draft.scalars and draft.scalars[name].inherited
    )
    return Features(
        table=draft.table,
        ocr=any(hit.run.origin is Origin.OCR for hit in hits),
        conflict=bool(
            kinds
            & {
                WarningKind.WORDS_AND_DIGITS_DIFFER,
                WarningKind.UNITS_DIFFER,
                WarningKind.AMBIGUOUS_DECIMAL,
                WarningKind.AMBIGUOUS_UNIT,
                WarningKind.NON_MONOTONE_CREDITS,
            }
        ),
        no_rule=WarningKind.NO_RULE_BETWEEN_LIMITS in kinds,
        footnote=any(kind == "other" for kind, _, _ in draft.notes),
        component_default="component_default" in draft.doubts and term.promise is not Promise.ACCURACY,
        promise_default="promise_default" in draft.doubts,
        inherited=inherited,
        no_start=bool(draft.times) and term.start_event is None,
        many_times=len(draft.times) > 2 or (len(draft.times) == 2 and not any(limit.start for limit in draft.times)),
        extra_volumes=len(draft.volumes) > 1,
        credits=bool(term.credits),
        flowless_bands=any(
            band.basis == "stated"
            and band.flow_from_usgpm is None
            and band.flow_to_usgpm is None
            and band.flow_role is not FlowRole.NORMAL_RANGE
            for band in term.bands
        ),
        no_band=term.promise is Promise.ACCURACY and not term.bands,
        role_default=any(band.role is None for band in draft.bands),
        stage_words="stage_words" in draft.doubts and not term.credits,
        alone="alone" in draft.doubts,
        unread="unread" in draft.doubts,
        rival="clash" in draft.doubts,
        loose="loose" in draft.doubts,
        words=any(
            isinstance(band.band, PercentBand) and (band.band.lower is None) != (band.band.upper is None)
            for band in draft.bands
        ),
    )


def _distinct(items: Sequence[Finished]) -> list[Finished]:
    """The same promise said twice with the same numbers is one term; the fuller saying stands."""
    kept: list[Finished] = []
    for item in sorted(items, key=lambda one: one.order):
        same = next((other for other in kept if _same_promise(other.term, item.term)), None)
        if same is None:
            kept.append(item)
        elif _weight(item.term) > _weight(same.term):
            kept[kept.index(same)] = item
    return kept


def _same_promise(left: Term, right: Term) -> bool:
    return (
        left.key == right.key
        and left.duration_months == right.duration_months
        and left.duration_days == right.duration_days
        and left.volume_cap_usgal in (right.volume_cap_usgal, None)
        and left.meter_type == right.meter_type
    )


def _weight(term: Term) -> int:
    return len(term.bands) + len(term.credits) + len(term.limits) + (term.start_event is not None)


def _told_apart(items: list[Finished]) -> list[Finished]:
    """A variant is kept only where it tells one component promised differently apart (settled question 14)."""
    out = []
    for item in items:
        term = item.term
        rivals = [
            other.term
            for other in items
            if other is not item
            and (
                other.term.product,
                other.term.size_label,
                other.term.component,
                other.term.promise,
                other.term.accuracy_level,
            )
            == (term.product, term.size_label, term.component, term.promise, term.accuracy_level)
        ]
        if term.variant is not None and not any(rival.variant != term.variant for rival in rivals):
            evidence = tuple(row for row in term.evidence if row.field != "variant")
            item = replace(item, term=term.model_copy(update={"variant": None, "evidence": evidence}))
        out.append(item)
    return out


def remedy_verbs(values: Iterable[object]) -> Remedy | None:
    """One remedy out of the verbs a promise of it names."""
    verbs = set(values)
    if {Remedy.REPAIR, Remedy.REPLACE} <= verbs and (Remedy.REFUND in verbs or Remedy.CREDIT in verbs):
        return Remedy.REPAIR_REPLACE_OR_REFUND
    if {Remedy.REPAIR, Remedy.REPLACE} <= verbs:
        return Remedy.REPAIR_OR_REPLACE
    for single in (Remedy.REPAIR, Remedy.REPLACE, Remedy.REFUND, Remedy.CREDIT):
        if verbs == {single}:
            return single
    return Remedy.OTHER if verbs else None


def event_of(spec: StartSpec | None) -> StartEvent | None:
    return spec.clocks[0].event if spec else None
