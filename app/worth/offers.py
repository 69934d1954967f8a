"""Promises of the catalogue as every report of this part shows them: by whom, how far confirmed, on which page."""

from collections.abc import Sequence

from firstcap.app.report import words
from firstcap.app.report.comparison import Comparison, Offer, compare
from firstcap.app.report.comparison_paper import places as places
from firstcap.app.report.paper import Cell, Status, confirmation, state_cell
from firstcap.app.report.rows import Views, load, load_all
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import Component, Promise


def comparison_of(views: Views, size: str | None) -> Comparison:
    """All promises for one size, or for every size where `size` is None."""
    return compare(load_all(views) if size is None else load(views, size))


def chosen(offers: Sequence[Offer], promise: str | None = None, component: str | None = None) -> list[Offer]:
    """Offers of one promise or component; UsageError for a name outside the lists."""
    _known(promise, Promise)
    _known(component, Component)
    return [
        offer for offer in offers if promise in (None, offer.term.promise) and component in (None, offer.term.component)
    ]


def _known(name: str | None, values: type[Promise] | type[Component]) -> None:
    if name is not None and name not in set(values):
        raise UsageError(f"no {values.__name__.lower()} {name!r}; there are {', '.join(values)}")


def who(offer: Offer) -> Cell:
    """The supplier, with edition and file, and what the promise is limited to."""
    parts = [
        offer.column.edition,
        "earlier edition" if offer.column.earlier else None,
        offer.term.product,
        offer.term.variant,
        offer.column.document.file_name,
    ]
    return Cell(offer.column.supplier, more=" · ".join(part for part in parts if part))


def size(offer: Offer) -> Cell:
    return Cell(offer.term.size_label or "every size")


def promised(offer: Offer) -> Cell:
    term = offer.term
    return Cell(words.capital(words.promise_words(term.component, term.promise, term.accuracy_level)))


def state(offer: Offer) -> Cell:
    return state_cell(offer.term.state)


def statuses(offers: Sequence[Offer], comparison: Comparison) -> tuple[Status, ...]:
    """How far what is shown was confirmed, and what was left out."""
    shown = [confirmation(sum(offer.unconfirmed for offer in offers), len(offers))]
    if comparison.left_out:
        names = "; ".join(f"{row.file_name}: {reason}" for row, reason in comparison.left_out)
        shown.append(Status(f"Left out: {names}", open=True))
    return tuple(shown)
