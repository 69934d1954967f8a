"""The sentences of a card's promises as a page shows them: those that differ only in values become one with a table.

"The measuring element of the [size] meter keeps new-meter accuracy for [time] …" stands once, with a row for each
promise and a column for each value in which they differ.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from firstcap.app.confirm.core import Item
from firstcap.app.confirm.sentence import Part, parts
from firstcap.app.values import FIELDS, Field
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import TermState


@dataclass(frozen=True, slots=True)
class Slot:
    """A place in a sentence where the promises of a statement differ; `label` is the heading of its column."""

    label: str
    field: str


@dataclass(frozen=True, slots=True)
class Row:
    """One promise: its values in the order of the slots."""

    item: Item
    values: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Statement:
    """One sentence and the promises that it makes. Without slots it is one promise, or several that are the same."""

    pieces: tuple[Part | Slot, ...]
    rows: tuple[Row, ...]

    @property
    def slots(self) -> tuple[Slot, ...]:
        return tuple(piece for piece in self.pieces if isinstance(piece, Slot))

    @property
    def item_ids(self) -> tuple[str, ...]:
        """Whose value is corrected by correcting one that all of them share: those that are not struck."""
        return tuple(row.item.item_id for row in self.rows if row.item.stored and not is_struck(row.item))


def is_struck(item: Item) -> bool:
    return item.stored is not None and item.stored.state is TermState.STRUCK


def statements(items: Sequence[Item]) -> tuple[Statement, ...]:
    """The statements of a card's promises, in their order."""
    shapes: dict[tuple[object, ...], list[tuple[Item, tuple[Part, ...]]]] = {}
    for item in items:
        assert item.stored is not None
        told = parts(item.stored.term)
        shape = tuple(("", part.text) if part.field is None else (part.field, "") for part in told)
        shapes.setdefault(shape, []).append((item, told))
    return tuple(_statement(told) for told in shapes.values())


def _statement(told: Sequence[tuple[Item, tuple[Part, ...]]]) -> Statement:
    _, first = told[0]
    differing = [
        turn
        for turn, part in enumerate(first)
        if part.field is not None and any(other[turn].text != part.text for _, other in told)
    ]
    pieces = tuple(
        Slot(label_of_key(part.field), part.field) if turn in differing and part.field else part
        for turn, part in enumerate(first)
    )
    rows = tuple(Row(item, tuple(other[turn] for turn in differing)) for item, other in told)
    return Statement(pieces, rows)


def label_of_key(key: str) -> str:
    """The words for what a value is corrected by: "cap" is "volume limit", "band 2" "accuracy band 2"."""
    name, _, turn = key.partition(" ")
    field = next((one for one in FIELDS if one.key == name), None)
    if field is None:
        return key
    return f"{field.name} {turn}".strip()


def unsaid(term: Term) -> tuple[Field, ...]:
    """Fields that the sentence of a term does not say, in the order of the list: they can be given too."""
    said = {(part.field or "").partition(" ")[0] for part in parts(term)}
    if "band" in said or "bands" in said:
        said |= {"band", "flow", "role"}
    return tuple(field for field in FIELDS if field.key not in said and not field.numbered)
