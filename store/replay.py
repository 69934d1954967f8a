"""What stands after a person's acts: the acts that still hold, replayed in order over a proposal of the machine.

Replaying, rather than changing what was there, lets one act be taken back without losing those made since, and keeps
what a person confirmed when a later reading says something else.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from firstcap.schema.decisions import Decision
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DecisionAction, TermState
from firstcap.store.amend import amend_term, term_value
from firstcap.store.contents import (
    CLAUSES,
    Clause,
    Contents,
    clause_place,
    fact_value,
    parse_clause,
    parse_clauses,
    with_clauses,
    with_fact,
)
from firstcap.store.values import parse_model, to_json


@dataclass(frozen=True)
class Act:
    """A decision in the log that has not been taken back. `base_version` is the proposal it was made over."""

    number: int
    base_version: int | None
    decision: Decision

    @property
    def decides_the_term(self) -> bool:
        return self.decision.action is not DecisionAction.CONFIRM or self.decision.field is None

    @property
    def confirms_the_document(self) -> bool:
        return self.decision.action is DecisionAction.CONFIRM and self.decision.field is None


def replay_term(proposal: Term | None, acts: Sequence[Act]) -> tuple[Term, TermState]:
    """The effective term and its state. `proposal` may be None only where the first act adds the term."""
    term, state = proposal, TermState.PROPOSED
    for act in acts:
        decision = act.decision
        if decision.action is DecisionAction.ADD:
            term, state = parse_model(Term, "term", decision.new_value), TermState.ADDED
            continue
        if term is None:
            raise ValueRefusedError("the term is not there any more; nothing can be decided about it")
        if decision.action is DecisionAction.STRIKE:
            state = TermState.STRUCK
        elif decision.action is DecisionAction.CORRECT:
            assert decision.field is not None
            term = amend_term(term, decision.field, decision.new_value)
            state = state if state is TermState.ADDED else TermState.CORRECTED
        elif decision.field is None:
            state = TermState.CONFIRMED if state is TermState.PROPOSED else state
        elif to_json(term_value(term, decision.field)) != decision.new_value:
            term = amend_term(term, decision.field, decision.new_value)
    if term is None:
        raise ValueRefusedError("there is neither a reading nor an act that this term could rest on")
    return term, state


def replay_document(proposal: Contents, acts: Sequence[Act]) -> tuple[Contents, TermState]:
    """The effective facts and clauses; CONFIRMED once a person has confirmed the document as a whole: its facts.

    `proposal` holds the facts that were confirmed, where they were, and the clauses of the latest reading.
    """
    contents, state = proposal, TermState.PROPOSED
    for act in acts:
        decision = act.decision
        if decision.field is None:
            state = TermState.CONFIRMED
        elif clause_place(decision.field) is None:
            if to_json(fact_value(contents, decision.field)) != decision.new_value:
                contents = with_fact(contents, decision.field, decision.new_value)
        elif decision.action is DecisionAction.STRIKE:
            old = parse_clauses(decision.field, decision.old_value)
            contents = with_clauses(contents, decision.field, old, ())
        elif decision.action is DecisionAction.CORRECT:
            old = parse_clauses(decision.field, decision.old_value)
            contents = with_clauses(contents, decision.field, old, parse_clauses(decision.field, decision.new_value))
        elif decision.action is DecisionAction.ADD:
            clause = parse_clause(decision.field, decision.new_value)
            numbered = f"{decision.field}.1"  # so that what is there of the kind stays
            contents = with_clauses(contents, numbered, (clause,), (clause,))
        else:
            held = parse_clauses(decision.field, decision.new_value)
            contents = _held(contents, decision.field, held)
    return contents, state


def _held(contents: Contents, field: str, held: tuple[Clause, ...]) -> Contents:
    """Confirmed clauses as they were confirmed. Where a reading cuts the only one of a kind otherwise, it gives way."""
    place = clause_place(field)
    assert place is not None
    family, kind, number = place
    there = {clause.quote: clause for clause in getattr(contents, CLAUSES[family][0]) if clause.kind == kind}
    if number is None and not all(clause.quote in there for clause in held):
        return with_clauses(contents, field, (), held)
    for clause in held:
        if there.get(clause.quote) != clause:
            contents = with_clauses(contents, f"{family}.{kind}.1", (clause,), (clause,))
    return contents
