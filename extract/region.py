"""A part of a page that a person drew around, read by the same steps as a whole document."""

from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.clauses import find_clauses
from firstcap.extract.layout import build_layout
from firstcap.extract.ocr import as_scanned, with_scans_read
from firstcap.extract.page import join_runs
from firstcap.extract.pdf import Bounds, RawPage, open_document
from firstcap.schema.evidence import Box
from firstcap.schema.quantities import Model
from firstcap.schema.terms import Condition, DocumentFacts, Duty, Exclusion, Reading, Term
from firstcap.schema.vocabulary import TextSource

_ANY = 100_000  # pages: it was read before, so it is not too long


class RegionReading(Model):
    """What stands in a part of a page: its words in reading order, and what they promise, exclude and demand."""

    text: str
    terms: tuple[Term, ...] = ()
    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()


def read_region(path: Path, part: Box, *, supplier: str | None = None) -> RegionReading:
    """What the words promise whose middle lies in this part of a page; a scan is read from its image.

    Raises as `open_document` does.
    """
    page = open_document(path, max_pages=_ANY, only=part.page)
    if not page.pages:
        return RegionReading(text="")
    whole, tilts = with_scans_read(page, path)
    cut = replace(whole, pages=(_cut(whole.pages[0], part),))
    if not cut.pages[0].words:
        return RegionReading(text="")
    layout = build_layout(cut)
    terms, _ = assemble(layout, supplier, is_warranty=True)
    clauses = find_clauses(layout, warranty=True)
    reading = Reading(
        document_id=page.sha256,
        file_name=page.name,
        pages=1,
        text_source=TextSource.TEXT,
        facts=DocumentFacts(),
        terms=tuple(terms),
        exclusions=clauses.exclusions,
        duties=clauses.duties,
        conditions=clauses.conditions,
    )
    reading = as_scanned(reading, tilts)
    return RegionReading(
        text=join_runs(block.run for block in layout.blocks).text,
        terms=reading.terms,
        exclusions=reading.exclusions,
        duties=reading.duties,
        conditions=reading.conditions,
    )


def _cut(page: RawPage, part: Box) -> RawPage:
    def inside(x0: float, top: float, x1: float, bottom: float) -> bool:
        return part.x0 <= (x0 + x1) / 2 <= part.x1 and part.top <= (top + bottom) / 2 <= part.bottom

    def kept(bounds: Iterable[Bounds]) -> tuple[Bounds, ...]:
        return tuple(one for one in bounds if inside(*one))

    grids = (kept(cells) for cells in page.grids)
    return replace(
        page,
        words=tuple(word for word in page.words if inside(word.x0, word.top, word.x1, word.bottom)),
        rules=tuple(rule for rule in page.rules if inside(rule.x0, rule.top, rule.x1, rule.bottom)),
        panels=tuple(panel for panel in page.panels if inside(panel.x0, panel.top, panel.x1, panel.bottom)),
        grids=tuple(cells for cells in grids if cells),
        bullets=kept(page.bullets),
    )
