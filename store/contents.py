"""What a document says beside its terms: facts and clauses, and one of them changed by a person.

A clause is named by family and kind (`exclusion.freezing`), one of several by its number (`condition.other.2`).
"""

import json
from typing import Any

from pydantic import ValidationError

from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.quantities import Model
from firstcap.schema.terms import Condition, DocumentFacts, Duty, Exclusion, Reading
from firstcap.store.values import from_json, parse, reason

FACT_FIELDS = tuple(name for name in DocumentFacts.model_fields if name != "evidence")
Clause = Exclusion | Duty | Condition
CLAUSES: dict[str, tuple[str, type[Exclusion] | type[Duty] | type[Condition]]] = {
    "exclusion": ("exclusions", Exclusion),
    "duty": ("duties", Duty),
    "condition": ("conditions", Condition),
}


class Contents(Model):
    """What a document says beside its terms."""

    facts: DocumentFacts = DocumentFacts()
    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()

    @classmethod
    def of(cls, reading: Reading) -> "Contents":
        return cls(
            facts=reading.facts,
            exclusions=reading.exclusions,
            duties=reading.duties,
            conditions=reading.conditions,
        )


def clause_place(field: str) -> tuple[str, str, int | None] | None:
    """Family, kind and number of a clause's field (`exclusion.freezing`, `condition.other.2`); None if it is none."""
    family, _, rest = field.partition(".")
    if family not in CLAUSES or not rest:
        return None
    kind, _, number = rest.partition(".")
    if number and not (number.isdecimal() and int(number) > 0):
        raise ValueRefusedError(f"{field}: the number of a clause counts from 1")
    kinds: Any = CLAUSES[family][1].model_fields["kind"].annotation
    if kind not in set(kinds):
        raise ValueRefusedError(f"{field}: no kind of {family}; one of {', '.join(kinds)}")
    return family, kind, int(number) if number else None


def clauses_at(contents: Contents, field: str) -> tuple[Clause, ...]:
    """The clauses that a field names: all of the kind, or the one with that number."""
    place = clause_place(field)
    assert place is not None
    family, kind, number = place
    of_kind = tuple(clause for clause in getattr(contents, CLAUSES[family][0]) if clause.kind == kind)
    return of_kind if number is None else of_kind[number - 1 : number]


def fact_value(contents: Contents, field: str) -> Any:
    """A fact of a document, or its clauses of one kind; ValueRefusedError names the fields there are."""
    if clause_place(field) is not None:
        return clauses_at(contents, field)
    if field not in FACT_FIELDS:
        raise ValueRefusedError(
            f"a document has no field {field!r} to decide; it has {', '.join(FACT_FIELDS)} and clauses such as "
            "exclusion.freezing, duty.written_notice, condition.governing_law"
        )
    return getattr(contents.facts, field)


def with_fact(contents: Contents, field: str, text: str | None) -> Contents:
    value = parse(DocumentFacts, field, text)
    return contents.model_copy(update={"facts": contents.facts.model_copy(update={field: value})})


def parse_clause(field: str, text: str | None) -> Clause:
    """A clause out of JSON text; its kind is the field's."""
    place = clause_place(field)
    assert place is not None
    family, kind, _ = place
    given = from_json(text, field)
    if not isinstance(given, dict) or given.get("kind", kind) != kind:
        raise ValueRefusedError(f'{field}: give the clause as {{"quote": "…"}} with nothing of another kind')
    try:
        clause: Clause = CLAUSES[family][1].model_validate({**given, "kind": kind})
    except ValidationError as error:
        raise ValueRefusedError(f"{field}: {reason(error)}") from None
    return clause


def parse_clauses(field: str, text: str | None) -> tuple[Clause, ...]:
    return tuple(parse_clause(field, json.dumps(item)) for item in json.loads(text or "[]"))


def with_clauses(contents: Contents, field: str, old: tuple[Clause, ...], new: tuple[Clause, ...]) -> Contents:
    """`old` clauses replaced by `new` where the first of them stood, at the end where none of them is there.

    A clause is known again by its quote. Without a number in the field, every clause of the kind is meant.
    """
    place = clause_place(field)
    assert place is not None
    family, kind, number = place
    name = CLAUSES[family][0]
    quotes = {clause.quote for clause in old}
    kept: list[Clause] = []
    spot: int | None = None
    for clause in getattr(contents, name):
        if clause.kind == kind and (number is None or clause.quote in quotes):
            spot = len(kept) if spot is None else spot
        else:
            kept.append(clause)
    spot = len(kept) if spot is None else spot
    return contents.model_copy(update={name: (*kept[:spot], *new, *kept[spot:])})
