"""Finding passages, and the book of terms with its glossary."""

import pytest
from test_worth_first_cap import rows_of

from firstcap.app.report.writers import html
from firstcap.app.worth.library import book, find, glossary, passages
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import Certainty
from firstcap.store.catalogue import Catalogue


def test_a_clause_is_found_by_our_name_of_its_kind_and_by_its_own_words(pinyon: Catalogue) -> None:
    clause = next(one for one in passages(pinyon) if one.family == "exclusion")
    for query in (clause.text, clause.name):
        found = rows_of(find(pinyon, query), "found")
        assert any(clause.text in str(row["words"]) for row in found[:5])
    with pytest.raises(UsageError, match="nothing to look for"):
        find(pinyon, " ")


def test_the_book_holds_every_clause_of_every_document_and_says_where_none_was_found(pinyon: Catalogue) -> None:
    page = html(book(pinyon))
    quotes = pinyon.rows("SELECT quote FROM exclusions UNION ALL SELECT quote FROM duties")
    tables = [
        str(row["words"]) for one in book(pinyon).tables for row in rows_of(book(pinyon), one.key) if "words" in row
    ]
    for row in quotes:
        assert any(" ".join(str(row["quote"]).split()) in text for text in tables)
    assert "Not found in" in page and "not legal advice" in page


def test_the_glossary_tells_new_rebuilt_and_repaired_apart_with_source_and_certainty() -> None:
    held = {entry.term: entry for entry in glossary()}
    assert {"New meter", "Rebuilt meter", "Repaired meter", "Registration", "Proration", "Extended low flow"} <= set(
        held
    )
    assert {"Normal test flow", "Minimum test flow", "Whichever comes first"} <= set(held)
    for entry in held.values():
        assert entry.source and (entry.certainty is not Certainty.PUBLISHED or any(c.isdigit() for c in entry.source))
