"""One PDF -> one Reading: the order of the steps, and nothing else."""

from importlib.metadata import version
from pathlib import Path

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.clauses import find_clauses
from firstcap.extract.confidence import stamped
from firstcap.extract.facts import find_facts
from firstcap.extract.kind import is_warranty
from firstcap.extract.layout import build_layout
from firstcap.extract.legible import as_legible
from firstcap.extract.ocr import INSTALL, as_scanned, with_scans_read
from firstcap.extract.ocr import is_available as ocr_is_available
from firstcap.extract.page import Layout, Origin
from firstcap.extract.pdf import open_document
from firstcap.schema.errors import NoTextError
from firstcap.schema.terms import Reading, ReadingWarning
from firstcap.schema.vocabulary import TextSource, WarningKind

# Raised whenever what is read from the same bytes may change: a catalogue then reads its documents again.
READER = f"firstcap {version('firstcap')} reader 1"
_LITTLE = 12  # words on a page below which it is said that there is almost no text


def read(path: Path, *, max_pages: int = 200, ocr: bool = True) -> Reading:
    """Everything one document says, as the machine reads it.

    Raises a DocumentError that says why a file cannot be read: not a PDF, encrypted, damaged, without pages, without
    text, or longer than `max_pages`.
    """
    raw = open_document(path, max_pages=max_pages)
    raw, tilts = with_scans_read(raw, path) if ocr else (raw, {})
    layout = build_layout(raw)
    if not any(page.words for page in layout.pages):
        raise NoTextError(_no_text(ocr=ocr), file=path.name)
    facts, fact_warnings = find_facts(layout, path.name)
    warranty, why = is_warranty(layout)
    terms, term_warnings = assemble(layout, facts.supplier, is_warranty=warranty)
    terms = as_legible(terms, layout, term_warnings)
    clauses = find_clauses(layout)
    warnings = [*fact_warnings, *term_warnings, *_page_warnings(layout)]
    if not terms:
        told = why or "No sentence or table of this document promises anything for a time or a volume"
        warnings.append(ReadingWarning(kind=WarningKind.NO_TERMS, message=told))
    reading = Reading(
        document_id=raw.sha256,
        file_name=path.name,
        pages=len(layout.pages),
        text_source=text_source(layout),
        facts=facts,
        terms=tuple(stamped(term) for term in terms),
        exclusions=clauses.exclusions,
        duties=clauses.duties,
        conditions=clauses.conditions,
        warnings=tuple(warnings),
        reader=READER,
    )
    return as_scanned(reading, tilts)


def _no_text(*, ocr: bool) -> str:
    if not ocr:
        return "No page carries text: it is a scan, and reading images is switched off. Read it with OCR."
    if not ocr_is_available():
        return f"No page carries text: it is a scan. To read it, {INSTALL}; or ask the supplier for the original file."
    return "No page carries text, nor can any be read in its images. Ask the supplier for the original file."


def text_source(layout: Layout) -> TextSource:
    origins = {page.origin for page in layout.pages if page.words}
    if origins == {Origin.OCR}:
        return TextSource.OCR
    return TextSource.TEXT if origins <= {Origin.TEXT} else TextSource.MIXED


def _page_warnings(layout: Layout) -> list[ReadingWarning]:
    found = []
    for page in layout.pages:
        if page.origin is Origin.OCR:
            found.append(
                ReadingWarning(
                    kind=WarningKind.OCR, page=page.number, message=f"Page {page.number} was read from its image"
                )
            )
        elif page.words < _LITTLE and page.image_area > 0.3:
            found.append(
                ReadingWarning(
                    kind=WarningKind.LITTLE_TEXT,
                    page=page.number,
                    message=f"Page {page.number} carries {page.words} words beside an image: it may be a scan",
                )
            )
    return found
