"""Readings of invented documents of the Pinyon Ridge Water District's suppliers; the numbers are invented too."""

import hashlib
from datetime import date
from decimal import Decimal
from typing import Any

from firstcap.schema.evidence import Alternative, Box, Evidence
from firstcap.schema.terms import (
    AccuracyBand,
    Condition,
    CreditStep,
    DocumentFacts,
    Duty,
    Exclusion,
    FailedReading,
    Limit,
    Reading,
    ReadingWarning,
    Start,
    Term,
)
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    ConditionKind,
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


def sha(name: str) -> str:
    return hashlib.sha256(name.encode()).hexdigest()


def seen(field: str, quote: str = "", page: int = 1, confidence: float = 0.9) -> Evidence:
    box = Box(page=page, x0=72.25, top=100.5, x1=310.125, bottom=111.75)
    return Evidence(field=field, boxes=(box,), quote=quote, pattern="duration.word_and_digits", confidence=confidence)


def accuracy_term(size: str = "5/8", months: int = 60, usgal: int = 640_000, **changes: Any) -> Term:
    """New-meter accuracy for years or gallons from shipment, whichever comes first."""
    values: dict[str, Any] = {
        "meter_type": MeterType.DISPLACEMENT,
        "size_label": size,
        "component": Component.WHOLE_METER,
        "promise": Promise.ACCURACY,
        "accuracy_level": AccuracyLevel.NEW_METER,
        "duration_months": Decimal(months),
        "full_months": Decimal(months),
        "duration_text": "five (5) years",
        "start_event": StartEvent.SHIPMENT,
        "start_rule": StartRule.SINGLE,
        "volume_cap_usgal": Decimal(usgal),
        "volume_cap_text": "640 thousand gallons",
        "ends": Ends.FIRST_OF,
        "remedy": Remedy.REPAIR_OR_REPLACE,
        "limits": (
            Limit(
                kind=LimitKind.TIME,
                months=Decimal(months),
                start_event=StartEvent.SHIPMENT,
                limit_text="five (5) years",
            ),
            Limit(kind=LimitKind.VOLUME, usgal=Decimal(usgal), limit_text="640 thousand gallons"),
        ),
        "starts": (Start(event=StartEvent.SHIPMENT, start_text="from the date of shipment"),),
        "evidence": (seen("duration_months", "five (5) years"), seen("volume_cap_usgal", "640 thousand gallons")),
        "alternatives": (Alternative(field="duration_months", value="180", quote="15 years", why_not="next row"),),
        "confidence": 0.93,
    }
    return Term(**{**values, **changes})


def register_term(months: int = 120, **changes: Any) -> Term:
    """Material and workmanship of the register, time alone."""
    values: dict[str, Any] = {
        "component": Component.REGISTER,
        "promise": Promise.MATERIALS_WORKMANSHIP,
        "duration_months": Decimal(months),
        "full_months": Decimal(months),
        "duration_text": "ten years",
        "ends": Ends.TIME_ONLY,
        "start_event": StartEvent.SHIPMENT,
        "start_rule": StartRule.SINGLE,
        "limits": (Limit(kind=LimitKind.TIME, months=Decimal(months), start_event=StartEvent.SHIPMENT),),
        "starts": (Start(event=StartEvent.SHIPMENT),),
        "evidence": (seen("duration_months", "ten years"),),
        "confidence": 0.97,
    }
    return Term(**{**values, **changes})


def banded_term() -> Term:
    """An accuracy promise with printed bands, prorated after ten years."""
    steps = ((0, 120, 0), (120, 180, 40), (180, 240, "62.5"))
    return accuracy_term(
        "3/4",
        240,
        2_200_000,
        full_months=Decimal(120),
        bands=(
            AccuracyBand(
                flow_role=FlowRole.MINIMUM,
                flow_from_usgpm=Decimal("0.5"),
                flow_to_usgpm=Decimal("0.5"),
                lower_pct=Decimal(95),
                band_text="95 % at 1/2 gpm",
            ),
            AccuracyBand(flow_role=FlowRole.NORMAL_RANGE, lower_pct=Decimal("98.5"), upper_pct=Decimal("101.5")),
        ),
        credits=tuple(
            CreditStep(
                from_month=Decimal(low),
                to_month=Decimal(high),
                customer_pays_pct=Decimal(pays),
                price_basis=PriceBasis.LIST_PRICE_THEN_CURRENT,
            )
            for low, high, pays in steps
        ),
    )


FACTS = DocumentFacts(
    supplier="Juniper Flow Works",
    title="Limited Warranty",
    document_code="JF-22",
    revision="C",
    effective_from=date(2021, 3, 1),
    evidence=(seen("supplier", "Juniper Flow Works"), seen("document_code", "Form JF-22 Rev. C")),
)


def reading(name: str = "juniper.pdf", *terms: Term, reader: str = "1", **changes: Any) -> Reading:
    """A document with the terms given (two by default), two exclusions, a duty, a condition and a warning."""
    values: dict[str, Any] = {
        "document_id": sha(name),
        "file_name": name,
        "pages": 2,
        "text_source": TextSource.TEXT,
        "facts": FACTS,
        "terms": terms or (accuracy_term(), register_term()),
        "exclusions": (
            Exclusion(kind=ExclusionKind.FREEZING, quote="damage by frost", evidence=(seen("kind", "by frost"),)),
            Exclusion(kind=ExclusionKind.MISUSE, quote="abuse or neglect"),
        ),
        "duties": (Duty(kind=DutyKind.WRITTEN_NOTICE, days=30, quote="in writing within thirty days"),),
        "conditions": (Condition(kind=ConditionKind.GOVERNING_LAW, quote="the laws of the State"),),
        "warnings": (
            ReadingWarning(kind=WarningKind.UNITS_DIFFER, page=1, message="640,000 gal is not 2,400 m³", term=0),
            ReadingWarning(kind=WarningKind.LITTLE_TEXT, page=2, message="page 2 holds almost no text"),
        ),
        "reader": reader,
    }
    return Reading(**{**values, **changes})


def failed(name: str = "broken.pdf", **changes: Any) -> FailedReading:
    values: dict[str, Any] = {
        "document_id": sha(name),
        "file_name": name,
        "error": "damaged",
        "message": "the file ends in the middle; ask for it again",
        "reader": "1",
    }
    return FailedReading(**{**values, **changes})
