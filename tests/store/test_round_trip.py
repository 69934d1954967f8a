"""What goes into the file comes out of it, to the last digit and character."""

import shutil
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pinyon_readings import reading

from firstcap.schema.decisions import NewDecision
from firstcap.schema.evidence import Alternative, Box, Evidence
from firstcap.schema.quantities import Model
from firstcap.schema.terms import AccuracyBand, CreditStep, DocumentFacts, Exclusion, Limit, Start, Term
from firstcap.schema.vocabulary import SIZE_LABELS, DecisionAction, ExclusionKind
from firstcap.store.catalogue import Catalogue
from firstcap.store.contents import Contents
from firstcap.store.file import opened
from firstcap.store.rows import Batch, load_documents, load_terms

WORDS = st.text(max_size=20)
NUMBERS = st.decimals(allow_nan=False, allow_infinity=False, min_value=Decimal("-1e30"), max_value=Decimal("1e30"))
FLOATS = st.floats(allow_nan=False, allow_infinity=False)
CONFIDENCE = st.floats(min_value=0, max_value=1)
BOXES = st.builds(
    lambda page, corners: Box(
        page=page, x0=min(corners[:2]), x1=max(corners[:2]), top=min(corners[2:]), bottom=max(corners[2:])
    ),
    st.integers(1, 500),
    st.tuples(FLOATS, FLOATS, FLOATS, FLOATS),
)


def one_of(field: Any) -> st.SearchStrategy[Any]:
    """Values of one annotated field, None included where it may be None."""
    parts = getattr(field, "__args__", (field,))
    kinds = {Decimal: NUMBERS, int: st.integers(-(2**31), 2**31 - 1), str: WORDS, type(None): st.none()}
    return st.one_of(*(st.sampled_from(part) if issubclass(part, StrEnum) else kinds[part] for part in parts))


def models(kind: type[Model], **more: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    fields = {name: one_of(field.annotation) for name, field in kind.model_fields.items() if name not in more}
    return st.builds(kind, **fields, **more)


def few(strategy: st.SearchStrategy[Any]) -> st.SearchStrategy[tuple[Any, ...]]:
    return st.lists(strategy, max_size=3).map(tuple)


EVIDENCE = models(Evidence, boxes=few(BOXES), confidence=CONFIDENCE)
TERMS = models(
    Term,
    size_label=st.sampled_from([None, *SIZE_LABELS]),
    limits=few(models(Limit)),
    starts=few(models(Start)),
    bands=few(models(AccuracyBand)),
    credits=few(models(CreditStep)),
    evidence=few(EVIDENCE),
    alternatives=few(models(Alternative)),
    confidence=CONFIDENCE,
)
FACTS = models(DocumentFacts, effective_from=st.none() | st.dates(), evidence=few(EVIDENCE))
CLAUSES = few(st.builds(Exclusion, kind=st.sampled_from(ExclusionKind), quote=WORDS, evidence=few(EVIDENCE)))


@pytest.fixture(scope="module")
def shared_file(fresh_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return Path(shutil.copy(fresh_file, tmp_path_factory.mktemp("round") / "catalogue.duckdb"))


def exact(value: object) -> str:
    """Numbers compared by value and sign, floats by bits, text by character."""
    return repr(value)


@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(terms=st.lists(TERMS, min_size=1, max_size=4), facts=FACTS, exclusions=CLAUSES)
def test_terms_and_facts_come_back_exactly(
    shared_file: Path, terms: list[Term], facts: DocumentFacts, exclusions: tuple[Exclusion, ...]
) -> None:
    contents = Contents(facts=facts, exclusions=exclusions)
    with opened(shared_file, read_only=False, wait_seconds=1) as connection:
        connection.execute("BEGIN")
        batch = Batch()
        for number, term in enumerate(terms, 1):
            batch.add_term(number, f"t{number}", "d", term, place=number)
        batch.add_document(100, "d", contents, reading=1)
        batch.write(connection)
        loaded = load_terms(connection, range(1, len(terms) + 1))
        documents = load_documents(connection, [100])
        shown = connection.execute(
            "SELECT version_no, duration_months::DOUBLE FROM base.term_versions ORDER BY 1"
        ).fetchall()
        connection.execute("ROLLBACK")
    assert [exact(loaded[number]) for number in sorted(loaded)] == [exact(term) for term in terms]
    assert exact(documents[100]) == exact(contents)
    # The double an analyst sees is the one nearest to the exact number.
    nearest = [None if term.duration_months is None else float(term.duration_months) for term in terms]
    assert [value for _, value in shown] == nearest


@settings(max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(term=TERMS)
def test_a_term_a_person_adds_passes_through_the_log_exactly(
    shared_file: Path, term: Term, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("firstcap.store.acts.term_problems", lambda _: set())  # any term, even one that makes no sense
    catalogue = Catalogue(shared_file)
    if not catalogue.documents():
        catalogue.record(reading())
    document = catalogue.documents()[0].document_id
    order = NewDecision(reviewer="Ana", item_id=document, action=DecisionAction.ADD, new_value=term.model_dump_json())
    [added] = catalogue.decide([order])
    stored = {item.term_id: item for item in catalogue.terms()}[added.item_id]
    assert stored.term == term
    catalogue.undo("Ana")
