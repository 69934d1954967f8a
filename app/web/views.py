"""What the templates are given: a card with its statements and strips, and the numbers that stand around it."""

from collections.abc import Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from firstcap.app.confirm.board import Choice, Count, Folder, counted
from firstcap.app.confirm.cards import Card, CardFamily, CardKind
from firstcap.app.confirm.core import Note
from firstcap.app.confirm.sentence import clean, heading
from firstcap.app.facts import FACTS, Fact
from firstcap.app.values import Field
from firstcap.app.web.office import Office
from firstcap.app.web.pages import render, strip_address
from firstcap.app.web.statements import Statement, statements, unsaid
from firstcap.app.web.strips import Strip
from firstcap.schema.errors import DocumentError
from firstcap.schema.vocabulary import DecisionAction, TermState


@dataclass(frozen=True, slots=True)
class FactLine:
    """A fact of the document and its value in words, None where the document does not say."""

    fact: Fact
    value: str | None


@dataclass(frozen=True, slots=True)
class CardView:
    """A card ready to be shown. `paper` is why its page cannot be shown, None where it can."""

    card: Card
    title: str
    place: str
    strips: tuple[Strip, ...]
    statements: tuple[Statement, ...]
    facts: tuple[FactLine, ...]
    more: tuple[Field, ...]
    notes: tuple[Note, ...]
    struck: tuple[tuple[str, str], ...]
    paper: str | None

    @property
    def page(self) -> int:
        """The page to open for the whole of it."""
        return self.strips[0].part.page if self.strips else 1


def card_view(office: Office, card: Card) -> CardView:
    terms = card.kind in (CardKind.TERM, CardKind.TABLE)
    strips: tuple[Strip, ...] = ()
    paper = None
    try:
        strips = office.strips(card)
    except DocumentError as problem:
        paper = problem.message
    return CardView(
        card=card,
        title=card_title(card),
        place=place_of(card),
        strips=strips,
        statements=statements(card.items) if terms else (),
        facts=_facts(card) if card.kind is CardKind.FACTS else (),
        more=_more(card) if terms else (),
        notes=tuple(dict.fromkeys(note for item in card.items for note in item.warnings)),
        struck=_struck(office, card),
        paper=paper,
    )


def card_title(card: Card) -> str:
    item = card.items[0]
    if card.kind is CardKind.FACTS:
        return "The document itself"
    if item.family is not None:
        return item.family.plural.capitalize()
    assert item.stored is not None
    if card.kind is CardKind.TERM:
        return heading(item.stored.term)
    return f"{len(card.items)} promises made together"


def place_of(card: Card) -> str:
    """ "rushmere.pdf · Rushmere Meters · W-410 rev. C"."""
    row = card.document
    edition = " ".join(part for part in (row.document_code, row.revision and f"rev. {row.revision}") if part)
    return " · ".join(clean(part) for part in (row.file_name, row.supplier, edition) if part)


def _facts(card: Card) -> tuple[FactLine, ...]:
    lines = []
    for fact in FACTS:
        value = getattr(card.facts, fact.field)
        lines.append(FactLine(fact, None if value is None else clean(str(value))))
    return tuple(lines)


def _more(card: Card) -> tuple[Field, ...]:
    """Fields that none of the card's sentences says."""
    terms = [item.stored.term for item in card.items if item.stored]
    silent = [unsaid(term) for term in terms]
    return tuple(field for field in silent[0] if all(field in fields for fields in silent[1:]))


def _struck(office: Office, card: Card) -> tuple[tuple[str, str], ...]:
    """Why each struck promise was struck, by item."""
    gone = {item.item_id for item in card.items if item.stored and item.stored.state is TermState.STRUCK}
    reasons: dict[str, str] = {}
    for act in office.board.log() if gone else ():
        if act.item_id in gone and act.action is DecisionAction.STRIKE:
            reasons[act.item_id] = f"{act.note or 'no reason'} ({act.reviewer})"
    return tuple(reasons.items())


# ---- around a card ----


@dataclass(frozen=True, slots=True)
class Around:
    """The numbers beside a card: what is left in this choice, and what is safe to use in all of the stack."""

    choice: Choice
    left: int
    here: Count
    safe: Count
    document: Count


def around(office: Office, choice: Choice, card: Card | None) -> Around:
    chosen = office.board.chosen(choice)
    folders = office.board.folders()
    own = office.board.folder(card.document.document_id) if card else None
    return Around(
        choice=choice,
        left=sum(bool(one.open_items) for one in chosen),
        here=counted(chosen),
        safe=total([folder.promises for folder in folders]),
        document=own.count if own else Count(0, 0),
    )


def total(counts: Sequence[Count]) -> Count:
    return Count(sum(one.total for one in counts), sum(one.decided for one in counts))


def address(choice: Choice, **more: str | None) -> str:
    """The page of a choice; `at` names a card of it."""
    told = {
        "order": None if choice.order == "unsure" else choice.order.value,
        "document": choice.document,
        "supplier": choice.supplier,
        "family": choice.family.value if choice.family else None,
        **more,
    }
    query = urlencode({name: value for name, value in told.items() if value})
    return f"/confirm?{query}" if query else "/confirm"


def card_html(office: Office, choice: Choice, card: Card | None, *, say: str = "") -> str:
    """The part of the page that changes from one card to the next."""
    if card is None:
        return render("done.html", around=around(office, choice, None), say=say)
    return render("card.html", view=card_view(office, card), around=around(office, choice, card), say=say)


def images(office: Office, cards: Sequence[Card]) -> list[str]:
    """The addresses of the strips of cards, as far as their pages can be shown."""
    found: list[str] = []
    for card in cards:
        try:
            strips = office.strips(card)
        except DocumentError:
            continue
        found.extend(strip_address(card.document.document_id, strip.part) for strip in strips)
    return found


def suppliers(folders: Sequence[Folder]) -> list[str]:
    return sorted({folder.row.supplier for folder in folders if folder.row.supplier}, key=str.casefold)


def families(folders: Sequence[Folder]) -> list[CardFamily]:
    there = {family for folder in folders for card in folder.cards for family in card.families}
    return [family for family in CardFamily if family in there]
