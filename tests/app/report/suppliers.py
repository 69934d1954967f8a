"""Invented suppliers of the invented Pinyon Ridge Water District, as if their documents had been read. All numbers are
invented; only the limits of standards are not."""

import hashlib
from collections.abc import Callable, Sequence
from datetime import date
from decimal import Decimal

from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import (
    AccuracyBand,
    CreditStep,
    DocumentFacts,
    Duty,
    Exclusion,
    Limit,
    Reading,
    ReadingWarning,
    Start,
    Term,
)
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    DutyKind,
    Ends,
    ExclusionKind,
    FlowRole,
    LimitKind,
    MeterType,
    PriceBasis,
    Promise,
    Remedy,
    StartEvent,
    StartRule,
    TextSource,
    WarningKind,
)
from firstcap.store.catalogue import Catalogue

# Records readings into a new catalogue; `confirmed` names files whose terms a person has confirmed.
Recorder = Callable[..., Catalogue]


def seen(field: str, quote: str, page: int = 1) -> Evidence:
    box = Box(page=page, x0=72, top=140, x1=300, bottom=152)
    return Evidence(field=field, boxes=(box,), quote=quote, pattern="by_hand", confidence=0.9)


def accuracy(
    level: AccuracyLevel,
    years: int | None,
    gallons: str | None,
    *,
    size: str | None = "5/8",
    ends: Ends | None = None,
    bands: Sequence[tuple[FlowRole, str | None, str | None, str | None, str | None]] = (),
    basis: str = "stated",
    meter_type: MeterType | None = MeterType.DISPLACEMENT,
    product: str | None = None,
    text: str | None = None,
) -> Term:
    """An accuracy promise; bands are role, flow from, flow to, lower and upper limit."""
    months = None if years is None else Decimal(12 * years)
    cap = None if gallons is None else Decimal(gallons)
    if ends is None:
        ends = Ends.TIME_ONLY if cap is None else Ends.VOLUME_ONLY if months is None else Ends.FIRST_OF
    quote = text or f"accuracy {years} years or {gallons} gallons from shipment"
    evidence = [seen("ends", quote)]
    limits = []
    if months is not None:
        evidence.append(seen("duration_months", quote))
        limits.append(Limit(kind=LimitKind.TIME, months=months, start_event=StartEvent.SHIPMENT))
    if cap is not None:
        evidence.append(seen("volume_cap_usgal", quote))
        limits.append(Limit(kind=LimitKind.VOLUME, usgal=cap))
    evidence.append(seen("band.1", quote, page=2))

    def number(value: str | None) -> Decimal | None:
        return None if value is None else Decimal(value)

    return Term(
        product=product,
        meter_type=meter_type,
        size_label=size,
        component=Component.WHOLE_METER,
        promise=Promise.ACCURACY,
        accuracy_level=level,
        duration_months=months,
        full_months=months,
        duration_text=None if years is None else f"{years} years",
        start_event=StartEvent.SHIPMENT if months is not None else None,
        start_rule=StartRule.SINGLE if months is not None else None,
        volume_cap_usgal=cap,
        volume_cap_text=None if gallons is None else f"{gallons} gallons",
        ends=ends,
        remedy=Remedy.REPAIR_OR_REPLACE,
        limits=tuple(limits),
        starts=(Start(event=StartEvent.SHIPMENT),) if months is not None else (),
        bands=tuple(
            AccuracyBand(
                flow_role=role,
                flow_from_usgpm=number(low_flow),
                flow_to_usgpm=number(high_flow),
                lower_pct=number(lower),
                upper_pct=number(upper),
                basis=basis,
            )
            for role, low_flow, high_flow, lower, upper in bands
        ),
        evidence=tuple(evidence),
        confidence=0.9,
    )


def materials(
    component: Component, months: int | None, *, days: int | None = None, ends: Ends = Ends.TIME_ONLY
) -> Term:
    """A promise of materials and workmanship that names no size."""
    quote = f"{component} for {months} months" if months else f"{component} for {days} days"
    return Term(
        meter_type=MeterType.DISPLACEMENT,
        component=component,
        promise=Promise.MATERIALS_WORKMANSHIP,
        duration_months=None if months is None else Decimal(months),
        full_months=None if months is None else Decimal(months),
        duration_days=days,
        duration_text=quote,
        start_event=StartEvent.SHIPMENT,
        start_rule=StartRule.SINGLE,
        ends=ends,
        remedy=Remedy.REPLACE,
        limits=(
            Limit(
                kind=LimitKind.TIME,
                months=None if months is None else Decimal(months),
                days=days,
                start_event=StartEvent.SHIPMENT,
            ),
        ),
        starts=(Start(event=StartEvent.SHIPMENT),),
        evidence=(seen("duration_months" if months else "duration_days", quote),),
        confidence=0.8,
    )


# Flow and limits of displacement meters of 5/8 inch: 83 Ill. Adm. Code 600.310(b).
STANDARD_FLOWS = (
    (FlowRole.MINIMUM, "0.25", "0.25", "95", "101.5"),
    (FlowRole.INTERMEDIATE, "2", "2", "98.5", "101.5"),
    (FlowRole.MAXIMUM, "15", "15", "98.5", "101.5"),
)
REPAIRED_FLOWS = (
    (FlowRole.MINIMUM, "0.25", "0.25", "90", "101.5"),
    (FlowRole.INTERMEDIATE, "2", "2", "98.5", "101.5"),
    (FlowRole.MAXIMUM, "15", "15", "98.5", "101.5"),
)
TIGHT_FLOWS = (
    (FlowRole.MINIMUM, "0.25", "0.25", "98.5", "101.5"),
    (FlowRole.NORMAL_RANGE, "1", "20", "98.5", "101.5"),
)


def reading(
    supplier: str | None,
    terms: Sequence[Term],
    *,
    file_name: str,
    code: str | None = None,
    revision: str | None = None,
    effective: date | None = None,
    exclusions: Sequence[Exclusion] = (),
    duties: Sequence[Duty] = (),
    warnings: Sequence[ReadingWarning] = (),
) -> Reading:
    return Reading(
        document_id=hashlib.sha256(file_name.encode()).hexdigest(),
        file_name=file_name,
        pages=2,
        text_source=TextSource.TEXT,
        facts=DocumentFacts(
            supplier=supplier,
            title="Limited warranty",
            document_code=code,
            revision=revision,
            effective_from=effective,
            evidence=(seen("supplier", supplier),) if supplier else (),
        ),
        terms=tuple(terms),
        exclusions=tuple(exclusions),
        duties=tuple(duties),
        warnings=tuple(warnings),
        reader="by hand",
    )


def excluded(kind: ExclusionKind, quote: str) -> Exclusion:
    return Exclusion(kind=kind, quote=quote, evidence=(seen("exclusion", quote, page=2),))


def sage_hollow() -> Reading:
    return reading(
        "Sage Hollow Flow Co.",
        [
            accuracy(AccuracyLevel.NEW_METER, 5, "500000", bands=STANDARD_FLOWS, basis="AWWA C700"),
            accuracy(AccuracyLevel.REPAIRED_METER, 15, "1500000", bands=REPAIRED_FLOWS, basis="AWWA M6"),
            accuracy(AccuracyLevel.NEW_METER, 5, "750000", size="3/4", basis="AWWA C700"),
            materials(Component.MAINCASE, 300),
            materials(Component.REGISTER, 120),
            materials(Component.STRAINER, None, days=90),
        ],
        file_name="sage-hollow-w12.pdf",
        code="SH-12",
        revision="C",
        effective=date(2024, 3, 1),
        exclusions=[
            excluded(ExclusionKind.FREEZING, "damage from frost is not covered"),
            excluded(ExclusionKind.LABOUR_COST, "the cost of taking out and putting in is the utility's"),
        ],
        duties=[
            Duty(
                kind=DutyKind.WRITTEN_NOTICE,
                days=30,
                quote="in writing within thirty days",
                evidence=(seen("duty", "in writing within thirty days", page=2),),
            )
        ],
    )


def sage_hollow_earlier() -> Reading:
    return reading(
        "Sage Hollow Flow Co.",
        [
            accuracy(AccuracyLevel.NEW_METER, 3, "400000", bands=STANDARD_FLOWS, basis="AWWA C700"),
            materials(Component.MAINCASE, 240),
        ],
        file_name="sage-hollow-w12-old.pdf",
        code="SH-12",
        revision="B",
        effective=date(2018, 6, 1),
    )


def quartz_arroyo() -> Reading:
    low = accuracy(
        AccuracyLevel.EXTENDED_LOW_FLOW,
        3,
        "300000",
        bands=[(FlowRole.EXTENDED_LOW, "0.125", "0.125", "95", "101.5")],
    )
    return reading(
        "Quartz Arroyo Meter Works",
        [
            accuracy(AccuracyLevel.NEW_METER, 10, "750000", bands=TIGHT_FLOWS),
            accuracy(AccuracyLevel.REPAIRED_METER, 15, "2250000", bands=REPAIRED_FLOWS, basis="AWWA M6"),
            low,
            materials(Component.MAINCASE, 18),
            Term(
                component=Component.ENDPOINT,
                promise=Promise.FUNCTION,
                duration_months=Decimal(240),
                full_months=Decimal(120),
                duration_text="twenty years, ten in full",
                start_event=StartEvent.INSTALLATION,
                start_rule=StartRule.EARLIER_OF,
                ends=Ends.TIME_ONLY,
                remedy=Remedy.REPLACE,
                starts=(
                    Start(event=StartEvent.INSTALLATION),
                    Start(event=StartEvent.SHIPMENT, plus_months=Decimal(6)),
                ),
                credits=(
                    CreditStep(from_month=Decimal(0), to_month=Decimal(120), customer_pays_pct=Decimal(0)),
                    CreditStep(
                        from_month=Decimal(120),
                        to_month=Decimal(180),
                        customer_pays_pct=Decimal(40),
                        price_basis=PriceBasis.LIST_PRICE_AT_SALE,
                    ),
                    CreditStep(
                        from_month=Decimal(180),
                        to_month=Decimal(240),
                        customer_pays_pct=Decimal(75),
                        price_basis=PriceBasis.LIST_PRICE_AT_SALE,
                    ),
                ),
                evidence=(seen("duration_months", "twenty years, ten in full", page=2),),
                confidence=0.7,
            ),
        ],
        file_name="quartz-arroyo-5.pdf",
        code="QA 5",
        effective=date(2025, 1, 1),
        exclusions=[excluded(ExclusionKind.FREEZING, "no claim lies for freezing")],
        warnings=[
            ReadingWarning(
                kind=WarningKind.WORDS_AND_DIGITS_DIFFER,
                page=1,
                message="“ten (12) years”: the words were taken",
                term=0,
            )
        ],
    )


def unsized_only() -> Reading:
    return reading(
        "Old Kiln Water Products",
        [materials(Component.WHOLE_METER, 24), materials(Component.MAINCASE, 120)],
        file_name="old-kiln.pdf",
    )


def large_meters_only() -> Reading:
    return reading(
        "Drywash Turbine Works",
        [
            accuracy(AccuracyLevel.NEW_METER, 2, "20000000", size="4", meter_type=MeterType.TURBINE),
            materials(Component.MAINCASE, 12),
        ],
        file_name="drywash.pdf",
    )


def many() -> list[Reading]:
    """Twelve suppliers for one size, several with the same or nearly the same caps, and every kind of end."""
    offers: list[tuple[str, int | None, str | None, Ends | None]] = [
        ("Bristlecone Register Co.", 5, "500000", None),
        ("Copperline Meter and Valve", 5, "500000", None),
        ("Cinder Fork Meters", 5, "550000", None),
        ("Larkspur Bend Metering, Incorporated, of Pinyon Ridge County", 5, "750000", None),
        ("Mule Ear Measurement", 10, "750000", None),
        ("Ponderwell Instruments", 10, "700000", None),
        ("Sandpiper Flow Labs", 15, "1500000", None),
        ("Tumbledown Gauge Co.", 1, "100000", None),
        ("Windrow Metering", 20, None, None),
        ("Yarrow Creek Works", None, "1000000", None),
        ("Vetch Valley Meters", 7, "650000", Ends.LAST_OF),
        ("Ember Mesa Water Goods", 12, "900000", Ends.UNSTATED),
    ]
    return [
        reading(
            name,
            [accuracy(AccuracyLevel.NEW_METER, years, gallons, ends=ends, bands=STANDARD_FLOWS)],
            file_name=f"supplier-{number}.pdf",
        )
        for number, (name, years, gallons, ends) in enumerate(offers, start=1)
    ]
