"""Invented readings of the Pinyon Ridge Water District's suppliers, and a catalogue that holds them."""

import hashlib
import shutil
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest

from firstcap.schema.evidence import Alternative, Box, Evidence
from firstcap.schema.terms import DocumentFacts, FailedReading, Limit, Reading, ReadingWarning, Start, Term
from firstcap.schema.vocabulary import (
    AccuracyLevel,
    Component,
    Ends,
    LimitKind,
    Promise,
    StartEvent,
    StartRule,
    TextSource,
    WarningKind,
)
from firstcap.store.catalogue import Catalogue

READER = "reader for tests 1"


def evidence(field: str, quote: str, page: int = 1) -> Evidence:
    box = Box(page=page, x0=72, top=100, x1=300, bottom=112)
    return Evidence(field=field, boxes=(box,), quote=quote, pattern="test", confidence=0.9)


def promise(size: str, months: int, usgal: int) -> Term:
    return Term(
        size_label=size,
        component=Component.MEASURING_ELEMENT,
        promise=Promise.ACCURACY,
        accuracy_level=AccuracyLevel.NEW_METER,
        duration_months=Decimal(months),
        full_months=Decimal(months),
        duration_text="five (5) years",
        start_event=StartEvent.SHIPMENT,
        start_rule=StartRule.SINGLE,
        volume_cap_usgal=Decimal(usgal),
        volume_cap_text=f"{usgal:,} gal",
        ends=Ends.FIRST_OF,
        limits=(
            Limit(
                kind=LimitKind.TIME,
                months=Decimal(months),
                start_event=StartEvent.SHIPMENT,
                limit_text="five (5) years",
            ),
            Limit(kind=LimitKind.VOLUME, usgal=Decimal(usgal), limit_text=f"{usgal:,} gal"),
        ),
        starts=(Start(event=StartEvent.SHIPMENT, start_text="shipment"),),
        evidence=(evidence("duration_months", "five (5) years"), evidence("volume_cap_usgal", f"{usgal:,} gal", 2)),
        alternatives=(Alternative(field="volume_cap_usgal", value="64,000 gal", why_not="it stands in another row"),),
        confidence=0.8,
    )


def reading(name: str, supplier: str, terms: tuple[Term, ...]) -> Reading:
    return Reading(
        document_id=hashlib.sha256(name.encode()).hexdigest(),
        file_name=name,
        pages=2,
        text_source=TextSource.TEXT,
        facts=DocumentFacts(
            supplier=supplier,
            document_code="W-410",
            revision="C",
            effective_from=date(2023, 3, 1),
            evidence=(evidence("supplier", supplier),),
        ),
        terms=terms,
        warnings=(
            ReadingWarning(kind=WarningKind.AMBIGUOUS_UNIT, page=2, message="gal may be imperial", term=0),
            ReadingWarning(kind=WarningKind.LITTLE_TEXT, page=1, message="page 1 holds little text"),
        )
        if terms
        else (),
        reader=READER,
    )


STACK = (
    reading("quailbrush.pdf", "Quailbrush Meters", (promise("5/8", 60, 640000), promise("3/4", 60, 960000))),
    reading("saltbush.pdf", "Saltbush Instruments", (promise("5/8", 120, 1500000),)),
)
DAMAGED = FailedReading(
    document_id=hashlib.sha256(b"damaged").hexdigest(),
    file_name="damaged.pdf",
    error="damaged",
    message="the file ends before its last page; ask for a new copy",
    reader=READER,
)


@pytest.fixture(scope="session")
def stack() -> tuple[Reading, ...]:
    return STACK


@pytest.fixture(scope="session")
def ready_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two documents with three terms, nothing decided, and one that could not be read."""
    made = Catalogue(tmp_path_factory.mktemp("catalogue") / "firstcap.duckdb")
    for one in (*STACK, DAMAGED):
        made.record(one)
    return made.path


@pytest.fixture
def catalogue(tmp_path: Path, ready_made: Path) -> Catalogue:
    """A copy of the ready-made catalogue that a test may write to."""
    return Catalogue(Path(shutil.copy(ready_made, tmp_path / "firstcap.duckdb")))
