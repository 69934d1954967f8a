"""Exclusions, claim duties and conditions of a document: one row per kind, with the words and place it was read from.

What a sentence means hangs on its scope: "freezing" excludes only where something says that it does. The scope of an
exclusion opens at a trigger ("does not cover", "is void if", a heading "Exclusions"), runs forward or backward within
the sentence, goes over into the list the sentence opens, and turns round at "except", "unless" or "but".
"""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from firstcap.extract.claims import duties_in
from firstcap.extract.kind import is_warranty, warranty_paper
from firstcap.extract.language import language_of, sentences
from firstcap.extract.page import Block, BlockKind, Layout, Origin, Run
from firstcap.extract.parties import Parties, find_parties
from firstcap.extract.patterns import condition, duty, exclusion
from firstcap.extract.patterns.clause import read
from firstcap.extract.scope import enumerating, excludes, exclusions_in, is_item, opens_list
from firstcap.extract.stated import Found, Sentence
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import Condition, Duty, Exclusion


@dataclass(frozen=True, slots=True)
class Clauses:
    """What the document excludes, asks and sets out besides its terms: one row per kind."""

    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()


@dataclass(slots=True)
class _Best:
    """The best hit of each kind: the heaviest, of equals the first."""

    rows: dict[Any, Found] = field(default_factory=dict)

    def add(self, found: Found) -> None:
        held = self.rows.get(found.kind)
        if held is None or found.weight > held.weight:
            self.rows[found.kind] = found

    def __iter__(self) -> Iterator[Found]:
        return iter(self.rows.values())


def find_clauses(layout: Layout, *, warranty: bool | None = None) -> Clauses:
    """Exclusions, duties and conditions of a document, each kind once, in the order of the page.

    A document that is no warranty (a manual, a price list) has no causes of exclusion and no duties, whatever its care
    text says; its disclaimers and limits of liability are read all the same. `warranty` says whether it is one, where
    a person knows; otherwise the text decides.
    """
    parties = find_parties(layout)
    if warranty is None:
        warranty, _ = is_warranty(layout)
    languages = _languages(layout)
    exclusions, duties, conditions = _Best(), _Best(), _Best()
    for sentence in _sentences(layout, parties, languages):
        for found in exclusions_in(sentence, languages, warranty):
            exclusions.add(found)
        for found in _conditions(sentence, languages):
            conditions.add(found)
        if warranty and (sentence.claims or _reports_failure(sentence)):
            for found in duties_in(sentence, languages):
                duties.add(found)
    return Clauses(
        tuple(Exclusion(kind=f.kind, quote=_quote(f), evidence=_evidence(f, "exclusion")) for f in exclusions),
        tuple(Duty(kind=f.kind, days=f.days, quote=_quote(f), evidence=_evidence(f, "duty")) for f in duties),
        tuple(Condition(kind=f.kind, quote=_quote(f), evidence=_evidence(f, "condition")) for f in conditions),
    )


def _reports_failure(sentence: Sentence) -> bool:
    """Whether a sentence outside the warranty clause speaks of a failure of the product all the same."""
    return any(token.norm_.startswith("failure") for token in sentence.span)


def _quote(found: Found) -> str:
    return found.sentence.text.strip()


def _evidence(found: Found, kind: str) -> tuple[Evidence, ...]:
    span = found.sentence.span
    boxes = found.sentence.run.boxes(span.start_char, span.end_char)
    if not boxes:
        return ()
    return (Evidence(field=f"{kind}.{found.kind}", boxes=boxes, quote=_quote(found), pattern=found.pattern),)


def _languages(layout: Layout) -> frozenset[str]:
    """English, and every other language that a block of the document is written in."""
    long = (block.run.text for block in layout.blocks if len(block.run.text) > 20 and block.table is None)
    return frozenset({"en", *(language_of(text) for text in long)})


def _sentences(layout: Layout, parties: Parties, languages: Collection[str]) -> Iterator[Sentence]:
    contract = not warranty_paper(layout)
    warranty_sections = _warranty_sections(layout) if contract else frozenset()
    open_list = False
    excluding = {
        index
        for index, block in enumerate(layout.blocks)
        if block.kind is BlockKind.HEADING and excludes(block.run.text, languages, parties)
    }
    said = [[one for run in _runs(block) for one in _split(run, parties)] for block in layout.blocks]
    listing = enumerating(layout, said, excluding, languages)
    for index, block in enumerate(layout.blocks):
        if block.kind in (BlockKind.FURNITURE, BlockKind.HEADING):
            headed = False
            if block.kind is BlockKind.HEADING:
                open_list = False
                headed = not excluding.isdisjoint(block.headings) and index not in excluding  # "Exclusions", "Frost"
                if not headed:
                    continue
            for sentence in said[index]:
                sentence.headed, sentence.claims = headed, False
                yield sentence
            continue
        headed = not excluding.isdisjoint(block.headings) or index in listing
        claims = not contract or bool(warranty_sections & set(block.headings[-1:]))
        in_list = open_list and (block.kind is BlockKind.LIST_ITEM or is_item(block))
        last: Sentence | None = None
        for last in said[index]:
            last.headed, last.listed, last.claims = headed, in_list, claims
            yield last
        if not in_list and last is not None:
            open_list = not last.text.rstrip().endswith((".", "!", "?")) and opens_list(last, languages)


def _runs(block: Block) -> Iterable[Run]:
    if block.table is None:
        return (block.run,)
    return (*(cell.run for cell in block.table.cells), *block.table.notes)


def _split(run: Run, parties: Parties) -> list[Sentence]:
    vocabulary = _vocabulary() if run.origin is Origin.OCR else frozenset()
    doc = read(run.text, parties.suppliers, parties.customers, vocabulary)
    made: list[Sentence] = []
    for span in sentences(doc):
        if span.text.strip():
            made.append(Sentence(run, doc, span, before=made[-1] if made else None))
    return made


@cache
def _vocabulary() -> frozenset[str]:
    """The words that patterns of clauses know, five letters or longer."""
    tables = (*exclusion.TABLES, *duty.TABLES, *condition.TABLES)
    return frozenset(word for table in tables for word in table.vocabulary if len(word) >= 4)


def _warranty_sections(layout: Layout) -> frozenset[int]:
    """Innermost headings under which a warranty is spoken of."""
    sections = set()
    for index, block in enumerate(layout.blocks):
        text = block.run.text.lower()
        if any(stem in text for stem in ("warrant", "guarant", "garant", "gewähr")):
            if block.kind is BlockKind.HEADING:
                sections.add(index)
                sections.update(i for i, b in enumerate(layout.blocks) if index in b.headings)
            elif "implied" not in text or "defect" in text:
                sections.update(block.headings[-1:])
    return frozenset(sections)


def _conditions(sentence: Sentence, languages: Collection[str]) -> Iterator[Found]:
    span = sentence.span
    for hit in condition.CONDITIONS.find(sentence.doc, languages, [(span.start, span.end)]):
        yield Found(hit.row.kind, hit.row.name, sentence, hit.start)
