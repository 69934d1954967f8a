"""Two looks compared: how far two people agree on each field, where they differ, and settling a difference.

Both judge the machine's proposals, and neither sees what the other did. A difference is settled by an act in the log of
decisions, signed by whoever settles it; agreement is counted on what the two decided before that.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from firstcap.app.confirm.clauses import ClauseFamily, clause_lines
from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.errors import UsageError
from firstcap.schema.quantities import Model
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DecisionAction
from firstcap.store.amend import to_json
from firstcap.store.contents import FACT_FIELDS, Clause
from firstcap.store.second import SETTLED, Outcome, Pair

INSTALL = "install it with `pip install 'firstcap[statistics]'`"
WHOLE = "is a promise"  # the field of whether a term, or a clause, is there at all
_NOT_COMPARED = {"evidence", "alternatives", "confidence", "duration_text", "volume_cap_text"}
TERM_FIELDS = tuple(name for name in Term.model_fields if name not in _NOT_COMPARED)
_SAID_BY = {  # where these differ, the list that they are drawn from differs too and is not told again
    "limits": ("duration_months", "duration_days", "volume_cap_usgal", "start_event"),
    "starts": ("start_event", "start_rule"),
    "credits": ("full_months", "duration_months"),
}


class Take(StrEnum):
    """Whose value is to stand."""

    FIRST = "first"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class Judged:
    """One field of one item as both left it, as JSON text; None is that the item is not there."""

    pair: Pair
    field: str
    first: str | None
    second: str | None

    @property
    def agreed(self) -> bool:
        return self.first == self.second


@dataclass(frozen=True, slots=True)
class FieldAgreement:
    """How far two looks agree on a field.

    `kappa` is Cohen's: agreement beyond what chance would give. None where both only ever gave one and the same
    value, for which it is not defined.
    """

    field: str
    items: int
    agreed: int
    kappa: float | None

    @property
    def share(self) -> float:
        return self.agreed / self.items


def judged(pairs: Sequence[Pair]) -> list[Judged]:
    """Every field that both have decided: whether it is a promise, then the fields of promises that both kept."""
    return [one for pair in pairs for one in _fields(pair)]


def _fields(pair: Pair) -> Iterator[Judged]:
    if pair.is_document:
        yield from _document_fields(pair)
        return
    first, second = pair.first.term, pair.second.term
    yield Judged(pair, WHOLE, _yes(first is not None), _yes(second is not None))
    if first is not None and second is not None:
        for name in TERM_FIELDS:
            yield Judged(pair, name, value_of(first, name), value_of(second, name))


def _document_fields(pair: Pair) -> Iterator[Judged]:
    first, second = pair.first.contents, pair.second.contents
    assert first is not None and second is not None
    for name in FACT_FIELDS:
        yield Judged(pair, name, to_json(getattr(first.facts, name)), to_json(getattr(second.facts, name)))
    for family in ClauseFamily:
        mine, theirs = _clauses(pair.first, family), _clauses(pair.second, family)
        if mine is None or theirs is None:
            continue
        for kind in dict.fromkeys((*mine, *theirs)):
            yield Judged(pair, f"{family}.{kind}", mine.get(kind), theirs.get(kind))


def _clauses(outcome: Outcome, family: ClauseFamily) -> dict[str, str] | None:
    """Kind -> what of it is compared, its days; None while a clause of the family is still open."""
    assert outcome.contents is not None
    lines = clause_lines(outcome.contents, outcome.acts, family)
    if any(line.decided is None for line in lines):
        return None
    said: dict[str, str] = {}
    for line in lines:
        if not line.struck:
            said.setdefault(line.clause.kind.value, to_json(getattr(line.clause, "days", None)))
    return said


def _yes(there: bool) -> str | None:
    return "true" if there else None


def value_of(term: Term, field: str) -> str:
    """A field without the document's words, which two people copy differently."""
    value = getattr(term, field)
    if isinstance(value, tuple):
        bare = [
            one.model_copy(update={name: "" for name in type(one).model_fields if name.endswith("_text")})
            if isinstance(one, Model)
            else one
            for one in value
        ]
        return to_json(tuple(bare))
    return to_json(value)


# --- agreement ---


def agreement(pairs: Sequence[Pair]) -> list[FieldAgreement]:
    """Agreement by field, clauses by family. Needs the extra `statistics` (PyCM's `ConfusionMatrix.Kappa`).

    UsageError says how to install it.
    """
    by_field: dict[str, list[Judged]] = defaultdict(list)
    for one in judged(pairs):
        family = one.field.partition(".")[0]
        by_field[ClauseFamily(family).plural if family in set(ClauseFamily) else one.field].append(one)
    return [
        FieldAgreement(field, len(of_field), sum(one.agreed for one in of_field), _kappa(of_field))
        for field, of_field in by_field.items()
    ]


def _kappa(of_field: Sequence[Judged]) -> float | None:
    first = [f"{one.field}={one.first}" for one in of_field]
    second = [f"{one.field}={one.second}" for one in of_field]
    if len({*first, *second}) < 2:
        return None
    try:
        from pycm import ConfusionMatrix
    except ImportError as problem:
        raise UsageError(f"Cohen's kappa is counted by PyCM; {INSTALL}") from problem
    return float(ConfusionMatrix(first, second).Kappa)


# --- differences ---


def differences(pairs: Sequence[Pair]) -> list[Judged]:
    """What the two looks left differently and nobody has settled since, in document order."""
    found = []
    for pair in pairs:
        of_item = [one for one in _fields(pair) if not one.agreed]
        names = {one.field for one in of_item}
        found += [one for one in of_item if not _is_told(one, names) and not _is_settled(one)]
    return found


def _is_told(one: Judged, differing: set[str]) -> bool:
    """Does the difference follow from another one of the item?"""
    terms = (one.pair.first.term, one.pair.second.term)
    if one.field == "full_months" and all(term and term.full_months == term.duration_months for term in terms):
        return "duration_months" in differing
    return bool(differing.intersection(_SAID_BY.get(one.field, ())))


def _is_settled(one: Judged) -> bool:
    field = None if one.field == WHOLE else one.field
    last = max((act.decided_at for act in one.pair.second.acts), default=None)
    return any(
        act.field == field and (last is None or act.decided_at > last or one.pair.second.reviewer == "")
        for act in one.pair.settled
    )


class Log(Protocol):
    """Where decisions are written."""

    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]: ...


def settle(log: Log, one: Judged, take: Take, *, reviewer: str, note: str = "") -> tuple[Decision, ...]:
    """Let one of the two values stand, as an act in the log. A value that neither gave is a correction after that."""
    whose = one.pair.first if take is Take.FIRST else one.pair.second
    who = f"as {whose.reviewer} decided" if whose.reviewer else f"the {take} look has none"
    reason = SETTLED + "; ".join(part for part in (who, note.strip()) if part)

    def order(action: DecisionAction, field: str | None = None, value: str | None = None) -> NewDecision:
        return NewDecision(
            reviewer=reviewer,
            item_id=one.pair.item_id,
            document_id=one.pair.document_id,
            action=action,
            field=field,
            new_value=value,
            note=reason,
        )

    if one.field == WHOLE:
        return log.decide(_whole(one.pair, take, order))
    if one.pair.is_document and one.field not in FACT_FIELDS:
        return log.decide(_clause(one, take, order))
    if take is Take.FIRST:
        return log.decide([order(DecisionAction.CONFIRM, one.field)])
    assert one.pair.second.term is not None or one.pair.second.contents is not None
    value = one.second if one.pair.second.term is None else to_json(getattr(one.pair.second.term, one.field))
    return log.decide([order(DecisionAction.CORRECT, one.field, value)])


class _Order(Protocol):
    def __call__(self, action: DecisionAction, field: str | None = None, value: str | None = None) -> NewDecision: ...


def _whole(pair: Pair, take: Take, order: _Order) -> list[NewDecision]:
    """A term that one of the two did not let stand, or did not have."""
    wanted = pair.first.term if take is Take.FIRST else pair.second.term
    standing = pair.first.term
    if wanted is None:
        if standing is not None:
            return [order(DecisionAction.STRIKE)]
        if pair.first.acts or pair.proposal is not None:
            return [order(DecisionAction.CONFIRM)]  # with the strike
        return [order(DecisionAction.ADD, value=to_json(pair.second.term)), order(DecisionAction.STRIKE)]
    if standing is not None:
        return [order(DecisionAction.CONFIRM)]
    if pair.proposal is None:
        return [order(DecisionAction.ADD, value=to_json(wanted))]
    corrections = [act for act in pair.second.acts if act.action is DecisionAction.CORRECT]
    again = [order(DecisionAction.CORRECT, act.field, act.new_value) for act in corrections]
    return [order(DecisionAction.REOPEN), *again, order(DecisionAction.CONFIRM)]


def _clause(one: Judged, take: Take, order: _Order) -> list[NewDecision]:
    """A kind of clause that one of the two did not find, or whose days differ."""
    mine, theirs = _of_kind(one.pair.first, one.field), _of_kind(one.pair.second, one.field)
    wanted = mine if take is Take.FIRST else theirs
    if wanted is None:
        if mine is not None:
            return [order(DecisionAction.STRIKE, one.field)]
        assert theirs is not None
        return [order(DecisionAction.ADD, one.field, to_json(theirs)), order(DecisionAction.STRIKE, one.field)]
    if take is Take.FIRST:
        return [order(DecisionAction.CONFIRM, one.field)]
    return [order(DecisionAction.ADD if mine is None else DecisionAction.CORRECT, one.field, to_json(wanted))]


def _of_kind(outcome: Outcome, field: str) -> Clause | None:
    assert outcome.contents is not None
    family, _, kind = field.partition(".")
    clauses: Sequence[Clause] = getattr(outcome.contents, ClauseFamily(family).plural)
    return next((clause for clause in clauses if clause.kind == kind), None)
