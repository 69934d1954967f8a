"""What one document promises: terms with limits, starts, bands and credits; clauses; warnings; the whole Reading."""

import hashlib
from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from pydantic import Field

from firstcap.schema.evidence import Alternative, Evidence
from firstcap.schema.quantities import Model
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    ConditionKind,
    DutyKind,
    Ends,
    ExclusionKind,
    FlowRole,
    LifeOf,
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


class Limit(Model):
    """One end of a term. Time: months or days from `start_event`; volume: `usgal`."""

    kind: LimitKind
    months: Decimal | None = None
    days: int | None = None
    usgal: Decimal | None = None
    start_event: StartEvent | None = None
    limit_text: str = ""


class Start(Model):
    """One clock that can start a term: an event plus whole months ("six months after shipment")."""

    event: StartEvent
    plus_months: Decimal = Decimal(0)
    start_text: str = ""


class AccuracyBand(Model):
    """What the meter must register at a flow. `basis` is `stated` where printed, else the standard's name."""

    flow_role: FlowRole | None = None
    flow_from_usgpm: Decimal | None = None
    flow_to_usgpm: Decimal | None = None
    lower_pct: Decimal | None = None
    upper_pct: Decimal | None = None
    basis: str = "stated"
    band_text: str = ""


class CreditStep(Model):
    """What the customer pays in months from..to (to excluded) since the start event."""

    from_month: Decimal
    to_month: Decimal
    customer_pays_pct: Decimal
    price_basis: PriceBasis = PriceBasis.OTHER
    credit_text: str = ""


class Term(Model):
    """One promise for one meter size it names, as the contract's view `terms` shows it."""

    product: str | None = None
    meter_type: MeterType | None = None
    size_label: str | None = None
    component: Component
    variant: str | None = None
    promise: Promise
    accuracy_level: AccuracyLevel | None = None
    duration_months: Decimal | None = None
    full_months: Decimal | None = None
    duration_days: int | None = None
    duration_text: str | None = None
    start_event: StartEvent | None = None
    start_rule: StartRule | None = None
    volume_cap_usgal: Decimal | None = None
    volume_cap_text: str | None = None
    ends: Ends
    life_of: LifeOf | None = None
    remedy: Remedy | None = None
    limits: tuple[Limit, ...] = ()
    starts: tuple[Start, ...] = ()
    bands: tuple[AccuracyBand, ...] = ()
    credits: tuple[CreditStep, ...] = ()
    evidence: tuple[Evidence, ...] = ()
    alternatives: tuple[Alternative, ...] = ()
    confidence: float = Field(default=0.0, ge=0.0, le=1.0)

    @property
    def key(self) -> tuple[str, ...]:
        """What makes this promise itself and no other, whatever its numbers."""
        parts = (self.product, self.size_label, self.component, self.variant, self.promise, self.accuracy_level)
        return tuple("" if part is None else str(part) for part in parts)


class Exclusion(Model):
    kind: ExclusionKind
    quote: str
    evidence: tuple[Evidence, ...] = ()


class Duty(Model):
    kind: DutyKind
    days: int | None = None
    quote: str
    evidence: tuple[Evidence, ...] = ()


class Condition(Model):
    kind: ConditionKind
    quote: str
    evidence: tuple[Evidence, ...] = ()


class ReadingWarning(Model):
    """What a person should look at. `term` is the index of the term it concerns; None for the whole document."""

    kind: WarningKind
    page: int | None = None
    message: str
    term: int | None = None


class DocumentFacts(Model):
    """The furniture of the document: who gives the warranty, which edition it is."""

    supplier: str | None = None
    title: str | None = None
    document_code: str | None = None
    revision: str | None = None
    effective_from: date | None = None
    region: str | None = None
    evidence: tuple[Evidence, ...] = ()


class Reading(Model):
    """All that one document says, as the machine read it."""

    document_id: str
    file_name: str
    pages: int
    text_source: TextSource
    facts: DocumentFacts
    terms: tuple[Term, ...] = ()
    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()
    warnings: tuple[ReadingWarning, ...] = ()
    reader: str = ""
    settings: str = ""

    def term_ids(self) -> tuple[str, ...]:
        return term_ids(self.document_id, self.terms)


class FailedReading(Model):
    """A file that could not be read: what happened and what to do next."""

    document_id: str
    file_name: str
    error: str
    message: str
    page: int | None = None
    pages: int | None = None
    reader: str = ""


def term_ids(document_id: str, terms: Iterable[Term]) -> tuple[str, ...]:
    """Ids that stay the same over re-reading: the document, what the promise is, and its turn among equals."""
    seen: dict[tuple[str, ...], int] = {}
    ids = []
    for term in terms:
        turn = seen[term.key] = seen.get(term.key, -1) + 1
        digest = hashlib.sha256("\x1f".join((document_id, *term.key, str(turn))).encode()).hexdigest()
        ids.append(f"t{digest[:20]}")
    return tuple(ids)
