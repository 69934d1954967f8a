"""Kind of paper: what a document says it is, and whether it promises anything at all."""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from firstcap.extract.language import sentences
from firstcap.extract.page import BlockKind, Layout
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import ClauseRow, read
from firstcap.extract.patterns.document import Paper

if TYPE_CHECKING:
    from spacy.tokens import Doc


def paper_of(layout: Layout) -> Paper:
    """What the document says it is, by its title and first heads: a warranty before anything else."""
    heads = [b for b in layout.blocks if b.kind is BlockKind.HEADING and b.run.page == 1 and b.number is None][:3]
    lines = [b for b in layout.blocks if b.kind is not BlockKind.HEADING and b.table is None][:3]
    top = [*heads, *(b for b in lines if len(b.run.text) < 120 and not b.run.text.endswith("."))]
    for group in (heads, top):
        kinds = [row.kind for block in group for row, _, _ in document.PAPERS.rows_at(read(block.run.text[:160]))]
        for kind in (Paper.WARRANTY, Paper.TERMS, Paper.LICENCE, Paper.BID, Paper.MANUAL, Paper.PRICES, Paper.DATA):
            if kind in kinds:
                return kind
    return Paper.OTHER


def warranty_paper(layout: Layout) -> bool:
    """Whether the whole paper is about a warranty, so that every duty in it is a duty of a claim."""
    return paper_of(layout) not in (Paper.TERMS, Paper.LICENCE, Paper.BID, Paper.MANUAL, Paper.PRICES)


def is_warranty(layout: Layout) -> tuple[bool, str]:
    """Whether the document promises anything about its products, and if not, why: what paper it is and what it lacks.

    A data sheet or terms of sale with a real warranty clause are a warranty for that clause.
    """
    kind = paper_of(layout)
    timed = False
    sections: dict[tuple[int, ...], set[str]] = {}
    for block in layout.blocks:
        if block.kind is BlockKind.FURNITURE:
            continue
        doc = read(block.run.text)
        rows = list(document.PROMISES.rows_at(doc))
        timed = timed or (block.kind is not BlockKind.HEADING and any(row.kind == "time" for row, _, _ in rows))
        section = sections.setdefault(block.headings, set())
        for kinds in _sentence_kinds(doc, rows):
            if "denied" not in kinds and ({"promise", "time"} <= kinds or ("clock" in kinds and kind is Paper.OTHER)):
                return True, ""
            if "denied" not in kinds:
                section |= kinds
        if (
            block.kind is not BlockKind.HEADING
            and {"verb", "time"} <= section
            and kind in (Paper.WARRANTY, Paper.OTHER)
        ):
            return True, ""
    if kind is Paper.WARRANTY and timed:
        return True, ""
    return False, f"no promise with a period or a volume was found; the document reads as {kind.value}"


def _sentence_kinds(doc: "Doc", rows: Sequence[tuple[ClauseRow, int, int]]) -> Iterator[set[str]]:
    """For each sentence, which of promise, verb of promise, time and denial it holds."""
    for span in sentences(doc):
        yield {row.kind for row, first, last in rows if span.start <= first and last <= span.end}
