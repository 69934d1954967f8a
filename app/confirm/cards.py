"""What a person looks at in one look: the facts of a document, a promise, all promises of one table, its clauses.

A card stands for one item of `core`, or for the items that one table or one sentence of the document promises together.
"""

import hashlib
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum

from firstcap.app.confirm.core import Item, Note
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import DocumentFacts, Term
from firstcap.schema.vocabulary import Promise, TermState
from firstcap.store.catalogue import DocumentRow, StoredTerm

_ROW = "table.row"  # the pattern of evidence that is the row of a table
_APART = 26.0  # points between two rows of one table at most: a group header may stand between them


class CardKind(StrEnum):
    FACTS = "facts"
    TERM = "term"
    TABLE = "table"
    CLAUSES = "clauses"


class CardFamily(StrEnum):
    """What cards can be chosen by."""

    DOCUMENT = "document"
    MATERIALS = "materials"
    ACCURACY = "accuracy"
    FUNCTION = "function"
    EXCLUSIONS = "exclusions"
    DUTIES = "duties"
    CONDITIONS = "conditions"

    @property
    def label(self) -> str:
        return {"document": "the document itself", "materials": "materials and workmanship"}.get(self.value, self.value)


_PROMISES = {
    Promise.MATERIALS_WORKMANSHIP: CardFamily.MATERIALS,
    Promise.ACCURACY: CardFamily.ACCURACY,
    Promise.FUNCTION: CardFamily.FUNCTION,
}


@dataclass(frozen=True, slots=True)
class Card:
    """Items looked at together. `place` is its turn in the document, `facts` those of the document."""

    kind: CardKind
    items: tuple[Item, ...]
    place: int
    facts: DocumentFacts = field(default_factory=DocumentFacts)
    gone_through: bool = False

    @property
    def document(self) -> DocumentRow:
        return self.items[0].document

    @property
    def key(self) -> str:
        """Stays the same whatever is decided; safe in an address."""
        item = self.items[0]
        if item.stored is not None:
            return item.stored.term_id
        return f"{item.document.document_id[:20]}.{item.family.plural if item.family else 'facts'}"

    @property
    def keys(self) -> frozenset[str]:
        """Every key that leads here."""
        return frozenset({self.key, *(item.key for item in self.items)})

    @property
    def families(self) -> frozenset[CardFamily]:
        item = self.items[0]
        if item.family is not None:
            return frozenset({CardFamily(item.family.plural)})
        if item.stored is None:
            return frozenset({CardFamily.DOCUMENT})
        return frozenset(_PROMISES[one.stored.term.promise] for one in self.items if one.stored)

    @property
    def open_items(self) -> tuple[Item, ...]:
        """What is still only proposed."""
        if self.kind is CardKind.FACTS:
            return () if self.gone_through else self.items
        if self.kind is CardKind.CLAUSES:
            return tuple(item for item in self.items if item.open_lines)
        return tuple(item for item in self.items if item.stored and item.stored.state is TermState.PROPOSED)

    @property
    def parts(self) -> tuple[int, int]:
        """How many single values or promises it holds, and how many of them are open."""
        if self.kind is CardKind.CLAUSES:
            return len(self.items[0].lines), len(self.items[0].open_lines)
        return len(self.items), len(self.open_items)

    @property
    def confidence(self) -> float | None:
        """Of the least sure promise, decided or not, so that a card keeps its turn; None where none is said."""
        said = [item.stored.term.confidence for item in self.items if item.stored]
        return min(said, default=None)

    @property
    def seen(self) -> str:
        """A digest of all that is shown: where it differs, somebody has changed something since."""
        shown: list[object] = [self.gone_through] if self.kind is CardKind.FACTS else []
        for item in self.items:
            if item.stored is not None:
                shown.append((item.stored.term_id, item.stored.version))
            elif item.family is not None:
                shown.extend((line.field, line.clause.model_dump_json(), line.decided) for line in item.lines)
            else:
                shown.append(self.facts.model_dump_json())
        return hashlib.sha256(repr(shown).encode()).hexdigest()[:16]


def cards_of(
    row: DocumentRow,
    facts: DocumentFacts,
    terms: Sequence[StoredTerm],
    clauses: Sequence[Item],
    notes: Mapping[str, tuple[Note, ...]],
    *,
    gone_through: bool,
) -> tuple[Card, ...]:
    """The cards of a document in its order; `notes` are warnings by item."""
    own = Item(row, warnings=notes.get(row.document_id, ()))
    cards = [Card(CardKind.FACTS, (own,), 0, facts, gone_through)]
    for group in grouped(terms):
        items = tuple(Item(row, stored, warnings=notes.get(stored.term_id, ())) for stored in group)
        kind = CardKind.TERM if len(items) == 1 else CardKind.TABLE
        cards.append(Card(kind, items, len(cards), facts))
    cards.extend(Card(CardKind.CLAUSES, (item,), len(cards) + turn, facts) for turn, item in enumerate(clauses))
    return tuple(cards)


def grouped(terms: Sequence[StoredTerm]) -> list[list[StoredTerm]]:
    """Terms that one table, or one and the same sentence, promises; each group where its first term stands."""
    groups: list[list[StoredTerm]] = []
    for stored in terms:
        whole = whole_quote(stored.term)
        home = next((group for group in groups if whole and any(_together(whole, one) for one in _wholes(group))), None)
        if home is None:
            groups.append([stored])
        else:
            home.append(stored)
    return groups


def whole_quote(term: Term) -> Evidence | None:
    """The table row or the sentence that a term stands in."""
    return next((one for one in term.evidence if one.field == "quote" and one.boxes), None)


def _wholes(group: Iterable[StoredTerm]) -> Iterable[Evidence]:
    return (whole for stored in group if (whole := whole_quote(stored.term)))


def _together(one: Evidence, other: Evidence) -> bool:
    if one.boxes == other.boxes:
        return True
    if not one.pattern == other.pattern == _ROW:
        return False
    return any(_near(left, right) for left in one.boxes for right in other.boxes)


def _near(one: Box, other: Box) -> bool:
    gap = max(one.top, other.top) - min(one.bottom, other.bottom)
    beside = min(one.x1, other.x1) > max(one.x0, other.x0)
    return one.page == other.page and beside and gap <= _APART
