"""The stack as it stands, kept in memory and brought up to date by what has changed: its cards, and their queue."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from threading import Lock
from typing import Protocol

from firstcap.app.confirm.cards import Card, CardFamily, CardKind, cards_of
from firstcap.app.confirm.core import Desk, Note, clause_items, confirmed_as_a_whole
from firstcap.schema.decisions import Decision
from firstcap.schema.vocabulary import DocumentStatus, TermState
from firstcap.store.catalogue import DocumentRow, Pulse


class Order(StrEnum):
    """In which order open cards come."""

    UNSURE = "unsure"
    DOCUMENT = "document"


@dataclass(frozen=True, slots=True)
class Choice:
    """Which cards a person goes through: None is all."""

    order: Order = Order.UNSURE
    document: str | None = None
    supplier: str | None = None
    family: CardFamily | None = None


@dataclass(frozen=True, slots=True)
class Count:
    """Promises, facts and clauses: how many there are, how many a person has decided."""

    total: int
    decided: int

    @property
    def open(self) -> int:
        return self.total - self.decided


@dataclass(frozen=True, slots=True)
class Folder:
    """A document with its cards; none where it could not be read."""

    row: DocumentRow
    cards: tuple[Card, ...] = ()

    @property
    def count(self) -> Count:
        return counted(self.cards)

    @property
    def promises(self) -> Count:
        """Terms alone: what of them is safe to use."""
        return counted(card for card in self.cards if card.kind in (CardKind.TERM, CardKind.TABLE))


def counted(cards: Iterable[Card]) -> Count:
    parts = [card.parts for card in cards]
    total = sum(whole for whole, _ in parts)
    return Count(total, total - sum(left for _, left in parts))


class Watched(Desk, Protocol):
    """A desk that says what has changed on it."""

    def changes(self, since: Pulse | None = None) -> tuple[Pulse, frozenset[str]]: ...


class Board:
    """Folders in the order in which documents were added.

    Safe to use from several threads: what is shown is replaced as a whole, so that looking never waits for reading.
    """

    def __init__(self, desk: Watched) -> None:
        self._desk = desk
        self._changing = Lock()
        self._pulse: Pulse | None = None
        self._folders: dict[str, Folder] = {}
        self._log: list[Decision] = []
        self._notes: dict[str, tuple[Note, ...]] = {}

    def refresh(self, *, patience: float = -1) -> None:
        """Bring in what anybody has done or read since the last time.

        Where that is going on already, wait for at most `patience` seconds (below zero: until it is done) and leave it.
        """
        if not self._changing.acquire(timeout=patience):
            return
        try:
            self._bring_in()
        finally:
            self._changing.release()

    def _bring_in(self) -> None:
        pulse, changed = self._desk.changes(self._pulse)
        if not changed:
            return
        rows = self._desk.documents()
        readable = [row for row in rows if row.status is not DocumentStatus.FAILED]
        again = [row for row in readable if row.document_id in changed]
        self._log = self._desk.decisions()
        through = confirmed_as_a_whole(self._log)
        contents = self._desk.contents([row.document_id for row in again])
        clauses = clause_items(again, contents, self._log)
        one = next(iter(changed)) if len(changed) == 1 else None
        terms = self._desk.terms(one)
        if self._pulse is None or pulse.readings != self._pulse.readings:
            self._notes = self._warnings()
        folders = {row.document_id: Folder(row) for row in rows}
        for row in readable:
            if row.document_id in changed:
                cards = cards_of(
                    row,
                    contents[row.document_id].facts,
                    [stored for stored in terms if stored.document_id == row.document_id],
                    clauses[row.document_id],
                    self._notes,
                    gone_through=row.document_id in through,
                )
                folders[row.document_id] = Folder(row, cards)
            else:
                folders[row.document_id] = replace(self._folders[row.document_id], row=row)
        self._folders, self._pulse = folders, pulse

    def _warnings(self) -> dict[str, tuple[Note, ...]]:
        found: dict[str, tuple[Note, ...]] = {}
        for one in self._desk.rows("SELECT item_id, kind, page, message FROM warnings ORDER BY page, kind"):
            page = one["page"]
            note = Note(str(one["kind"]), page if isinstance(page, int) else None, str(one["message"]))
            found[str(one["item_id"])] = (*found.get(str(one["item_id"]), ()), note)
        return found

    def assume_confirmed(self, card: Card, by: Decision) -> None:
        """Show a card that was just confirmed as such before the catalogue is asked again."""
        items = tuple(
            replace(item, stored=item.stored.model_copy(update={"state": TermState.CONFIRMED}))
            if item.stored and item.stored.state is TermState.PROPOSED
            else replace(item, lines=tuple(replace(line, decided=line.decided or by) for line in item.lines))
            for item in card.items
        )
        done = replace(card, items=items, gone_through=True)
        with self._changing:
            folder = self._folders[card.document.document_id]
            cards = tuple(done if one.key == card.key else one for one in folder.cards)
            self._folders = {**self._folders, card.document.document_id: replace(folder, cards=cards)}

    # ---- looking ----

    def folders(self) -> list[Folder]:
        return list(self._folders.values())

    def folder(self, document_id: str) -> Folder | None:
        """The document of this id, or whose id begins so."""
        folders = self._folders
        found = folders.get(document_id)
        return found or next((one for key, one in folders.items() if key.startswith(document_id)), None)

    def log(self) -> Sequence[Decision]:
        return self._log

    def card(self, key: str) -> Card | None:
        """The card that holds the item of this key."""
        for folder in self.folders():
            for card in folder.cards:
                if key in card.keys:
                    return card
        return None

    def chosen(self, choice: Choice) -> list[Card]:
        """Every card of a choice, in its order, decided or not."""
        found = [
            ((at, card.place), card)
            for at, folder in enumerate(self.folders())
            if choice.document is None or folder.row.document_id.startswith(choice.document)
            if choice.supplier is None or folder.row.supplier == choice.supplier
            for card in folder.cards
            if choice.family is None or choice.family in card.families
        ]
        if choice.order is Order.UNSURE:
            found.sort(key=lambda one: (1.0 if one[1].confidence is None else one[1].confidence, one[0]))
        return [card for _, card in found]

    def queue(self, choice: Choice, after: str | None = None, count: int = 1) -> list[Card]:
        """The next open cards; after the card of a key (its own turn last), from the top otherwise."""
        cards = self.chosen(choice)
        at = next((turn for turn, card in enumerate(cards) if after is not None and after in card.keys), -1)
        around = [*cards[at + 1 :], *cards[: at + 1]]
        return [card for card in around if card.open_items][:count]
