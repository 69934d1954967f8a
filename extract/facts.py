"""Document facts: who gives the warranty, title, code, revision, effective date, region, each with its place."""

import re
from collections.abc import Sequence

from firstcap.extract.imprint import Place, Value, code_of, effective_from, places_of, revision_of, without_language
from firstcap.extract.page import BlockKind, Layout
from firstcap.extract.parties import name_key, supplier_of
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import read
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import DocumentFacts, ReadingWarning


def find_facts(layout: Layout, file_name: str) -> tuple[DocumentFacts, list[ReadingWarning]]:
    """Facts of the document, each with its evidence, and warnings about dates that read two ways."""
    places = places_of(layout)
    supplier = supplier_of(layout, places)
    title = _title(layout, supplier.value if supplier else None)
    code = code_of(places)
    revision = revision_of(places, code)
    effective, warnings = effective_from(layout, places)
    region = _region(places, supplier.value if supplier else None)
    code_value, split_revision = without_language(code.value, layout) if code else (None, None)
    revision_value = revision.value if revision else split_revision
    found = {
        "supplier": supplier,
        "title": title,
        "document_code": code,
        "revision": revision or (code if split_revision else None),
        "effective_from": effective,
        "region": region,
    }
    evidence = tuple(
        Evidence(
            field=name,
            boxes=value.run.boxes(value.start, value.end),
            quote=value.run.text[value.start : value.end],
            pattern=value.pattern,
        )
        for name, value in found.items()
        if value is not None
    )
    facts = DocumentFacts(
        supplier=supplier.value if supplier else None,
        title=title.value if title else None,
        document_code=code_value,
        revision=revision_value,
        effective_from=effective.value if effective else None,
        region=region.value if region else None,
        evidence=evidence,
    )
    return facts, warnings


def _title(layout: Layout, supplier: str | None) -> Value | None:
    heads = [
        block
        for block in layout.blocks
        if block.kind is BlockKind.HEADING and block.number is None and block.run.page <= 2
    ]
    if not heads:
        return None
    supplier_key = name_key(supplier) if supplier else ""
    best: Value | None = None
    for order, block in enumerate(heads[:12]):
        text = block.run.text
        if name_key(text) == supplier_key or (
            supplier_key and set(name_key(text).split()) <= set(supplier_key.split())
        ):
            continue
        papers = {row.kind for row, _, _ in document.PAPERS.rows_at(read(text))}
        score = (5 if papers else 0) - order * 0.8 - block.level + (1 if len(text.split()) > 1 else 0)
        if best is None or score > best.score:
            best = Value(text, score, block.run, 0, len(text), "title.heading")
    return best


def _region(places: Sequence[Place], supplier: str | None) -> Value | None:
    best: Value | None = None
    for place in places:
        text = place.run.text
        for match in document.REGION.finditer(text):
            before = text[: match.start()]
            score = 0.0
            if re.search(
                r"(?:for|in|within|throughout|to|dans|in der|en|für|Ámbito:|region:|territory:)\s*(?:the\s*)?$",
                before,
                re.IGNORECASE,
            ):
                score += 1
            if re.search(
                r"\b(?:appl(?:y|ies)|valid|sales|sold|shipped|for|deliver\w*|supplied|installed|given|importers|Lieferungen|livraisons|Ámbito|service)\b[^.;]{0,60}$",
                before,
                re.IGNORECASE,
            ):
                score += 2
            alone = re.fullmatch(r"\W*", re.split(r"[.|·—–•]", before)[-1]) and re.match(
                r"\s*(?:[.|·—–•]|$)", text[match.end() :]
            )
            if alone:
                score += 2.5
            if re.search(
                r"\b(?:made|printed|laws?|courts?|statute|patents?|states of|registered)\b[^.;]{0,25}$",
                before,
                re.IGNORECASE,
            ):
                score -= 4
            if re.search(r"\b(?:law|laws|courts|GmbH)\b", text[match.end() : match.end() + 12]):
                score -= 4
            if place.rank == 0:
                score -= 1.5
            if place.rank == 1:
                score -= 1
            if score > 1 and (best is None or score > best.score):
                value = text[match.start() : match.end()].strip().rstrip(",")
                value = re.sub(r"^the (?=[A-Z])", "", value)
                best = Value(value, score, place.run, match.start(), match.end(), "region.named")
    return best
