"""What the pages work with: one catalogue, the board over it, its papers, who may ask and who signs."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from firstcap.app.confirm.board import Board, Choice, Order, Watched
from firstcap.app.confirm.cards import Card, CardFamily
from firstcap.app.confirm.core import Session
from firstcap.app.web.guard import Rules
from firstcap.app.web.papers import Papers
from firstcap.app.web.strips import Strip, strips_of
from firstcap.schema.errors import DocumentError, UsageError
from firstcap.store.catalogue import Catalogue
from firstcap.store.second import SecondLook

_AHEAD = 3  # cards whose strips are drawn before they are asked for


@dataclass(frozen=True)
class Office:
    """`document` is the beginning of the id of the one document that this run is about, None for all.

    With `second_look` the reviewer judges the proposals blind: nothing that others decided is shown or changed.
    """

    catalogue: Catalogue
    reviewer: str
    rules: Rules
    document: str | None = None
    second_look: bool = False
    desk: Watched = field(init=False)
    board: Board = field(init=False)
    papers: Papers = field(init=False)

    def __post_init__(self) -> None:
        desk = SecondLook(self.catalogue, self.reviewer) if self.second_look else self.catalogue
        object.__setattr__(self, "desk", desk)
        object.__setattr__(self, "board", Board(desk))
        object.__setattr__(self, "papers", Papers(self.catalogue))

    def session(self, reviewer: str) -> Session:
        return Session(self.desk, reviewer=reviewer)

    def choice(self, asked: Mapping[str, str]) -> Choice:
        """Out of an address or a request; what is not in the lists is left out."""
        order, family = asked.get("order", ""), asked.get("family", "")
        return Choice(
            order=Order(order) if order in set(Order) else Order.UNSURE,
            document=asked.get("document") or self.document,
            supplier=asked.get("supplier") or None,
            family=CardFamily(family) if family in set(CardFamily) else None,
        )

    def ahead(self, choice: Choice, card: Card) -> list[Card]:
        """The cards that come after this one."""
        return self.board.queue(choice, after=card.key, count=_AHEAD)

    def strips(self, card: Card) -> tuple[Strip, ...]:
        """The strips of a card; DocumentError where its pages cannot be shown."""
        return strips_of(card, lambda number: self.papers.page_size(card.document.document_id, number))

    def draw(self, cards: Iterable[Card]) -> None:
        """Have the strips of these cards ready; one that cannot be drawn is told when it is asked for."""
        for card in cards:
            try:
                for strip in self.strips(card):
                    self.papers.image(card.document.document_id, strip.part)
            except DocumentError:
                continue


def signed(name: str) -> str:
    """The name that decisions are signed with; UsageError for none."""
    clean = " ".join(name.split())
    if not clean or len(clean) > 80 or not clean.isprintable():
        raise UsageError("decisions are signed; give a name of at most 80 letters")
    return clean
