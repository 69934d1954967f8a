"""Words that a person typed into a field of a page, and the term that follows from them."""

from collections.abc import Sequence

from firstcap.app.understanding import Change, Understood
from firstcap.app.values import FIELDS, split_name, understand
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import Term
from firstcap.store.amend import amend_term, to_json
from firstcap.store.values import parse_model


def understood_as(field: str, written: str, term: Term) -> Understood:
    """What is meant by `written` in a field ("cap", "band 2") of a term; ValueRefusedError says what was expected."""
    named, turn, rest = split_name(field, FIELDS)
    if rest:
        raise ValueRefusedError(f"there is no field “{field}”")
    told = understand(named, written, term, turn)
    if len(told.sizes) > 1:
        raise ValueRefusedError("a promise is for one size; correct it to one, and add the others as promises")
    return told


def changed(term: Term, changes: Sequence[Change]) -> Term:
    """The term with these changes; ValueRefusedError where it cannot be."""
    for change in changes:
        term = amend_term(term, change.field, to_json(change.value))
    return term


def draft_of(text: str) -> Term:
    """A term that a page holds and nobody has added yet, out of its JSON text."""
    term: Term = parse_model(Term, "the promise", text)
    return term
