"""A reader that reads perfectly: it returns what the gold beside a paper says. For tests of what follows reading."""

import hashlib
import json
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import Any

from firstcap.schema.errors import DamagedError
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import AccuracyBand, CreditStep, DocumentFacts, Limit, Reading, Start, Term

READER = "gold"


def read_gold(path: Path, *, max_pages: int = 200, ocr: bool = True) -> Reading:
    """The gold of a bundled paper as a Reading; DamagedError for the paper whose gold says that it cannot be read."""
    text = files("firstcap.app.demo_stack").joinpath(f"{path.stem}.gold.json").read_text(encoding="utf-8")
    gold = json.loads(text, parse_float=Decimal)
    document = gold["document"]
    if document.get("status") == "failed":
        raise DamagedError("the file is damaged; ask for it again", file=path.name)
    return Reading(
        document_id=hashlib.sha256(path.read_bytes()).hexdigest(),
        file_name=path.name,
        pages=1,
        text_source=document["text_source"],
        facts=DocumentFacts(**{key: document[key] for key in DocumentFacts.model_fields if key in document}),
        terms=tuple(_term(term) for term in gold["terms"]),
        reader=READER,
    )


def _term(gold: dict[str, Any]) -> Term:
    plain = {key: gold[key] for key in Term.model_fields if key in gold and not isinstance(gold[key], list)}
    box = Box(page=gold["page"], x0=72, top=72, x1=540, bottom=84)
    return Term(
        **plain,
        limits=tuple(Limit(**limit) for limit in gold["limits"]),
        starts=tuple(Start(**start) for start in gold["starts"]),
        bands=tuple(AccuracyBand(**band) for band in gold["bands"]),
        credits=tuple(CreditStep(**step) for step in gold["credits"]),
        evidence=(Evidence(field="component", boxes=(box,), quote=gold["quote"], pattern="gold", confidence=1.0),),
        confidence=1.0,
    )
