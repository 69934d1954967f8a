"""A sentence of a block with what its surroundings say about it, and what a row found in it."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from firstcap.extract.page import Run

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span


@dataclass(slots=True)
class Sentence:
    """A sentence of a block, with what its surroundings say about it."""

    run: Run
    doc: "Doc"
    span: "Span"
    headed: bool = False  # stands under a heading that excludes
    listed: bool = False  # item of a list that an excluding sentence opened
    claims: bool = True  # stands where a duty of a claim may stand
    before: "Sentence | None" = None  # the sentence before it in the same block

    @property
    def text(self) -> str:
        return self.span.text


@dataclass(slots=True)
class Found:
    kind: Any
    pattern: str
    sentence: Sentence
    start: int
    days: int | None = None
    weight: int = 0


def spans(table: Any, sentence: Sentence, languages: Collection[str]) -> Iterator[tuple[Any, int, int]]:
    """Every match of a row with one-phrase wordings: (row, first token, last token + 1)."""
    span = sentence.span
    for row, first, last in table.rows_at(sentence.doc, languages):
        if span.start <= first and last <= span.end:
            yield row, first, last


def any_of(table: Any, sentence: Sentence, languages: Collection[str]) -> bool:
    return bool(table.find(sentence.doc, languages, [(sentence.span.start, sentence.span.end)]))
