"""Supplier, title, code, revision, effective date and region, each from its own place; and what is no warranty."""

import tomllib
from datetime import date
from typing import Any

import pytest
from notation import PHRASES, load
from papers import paper

from firstcap.extract.facts import find_facts
from firstcap.extract.kind import is_warranty
from firstcap.extract.parties import find_parties
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import ClauseRow, ClauseTable, read
from firstcap.schema.vocabulary import WarningKind

_BODY = "Farrowdale Meters warrants its meters for five years from shipment."


def read_row(text: str) -> str:
    """Code, revision and date of a line of furniture, as the table writes them."""
    facts, _ = find_facts(paper(f"# Limited Warranty\n{text}\n# Coverage\n{_BODY}"), "paper.pdf")
    parts = [
        f"{name} {value}"
        for name, value in (
            ("code", facts.document_code),
            ("rev", facts.revision),
            ("from", facts.effective_from),
        )
        if value is not None
    ]
    return " ; ".join(parts) or "-"


@pytest.mark.parametrize(
    ("text", "expected"),
    [pytest.param(text, expected, id=reason) for text, expected, reason in load("document", 25)],
)
def test_a_line_of_furniture_gives_its_code_mark_and_date(text: str, expected: str) -> None:
    assert read_row(text) == expected


@pytest.mark.parametrize(
    ("table", "row"),
    [
        pytest.param(table, row, id=row.name)
        for table in (document.LABELS, document.WARRANTS, document.PROMISES, document.PAPERS)
        for row in table.rows
    ],
)
def test_a_row_finds_its_example_and_leaves_its_counter_example(table: ClauseTable, row: ClauseRow) -> None:
    assert row in [hit.row for hit in table.find(read(row.example))]
    assert row not in [hit.row for hit in table.find(read(row.counter_example))]
    assert row.why


PAPERS = tomllib.loads((PHRASES / "document.papers.toml").read_text(encoding="utf-8"))["paper"]


@pytest.mark.parametrize("sketch", PAPERS, ids=lambda sketch: sketch["name"])
def test_a_paper_gives_the_facts_that_a_careful_reader_finds(sketch: dict[str, Any]) -> None:
    facts, _ = find_facts(paper(sketch["text"]), "paper.pdf")
    assert facts.supplier == sketch.get("supplier")
    assert facts.document_code == sketch.get("document_code")
    assert facts.revision == sketch.get("revision")
    assert (str(facts.effective_from) if facts.effective_from else None) == sketch.get("effective_from")


def test_every_fact_shows_its_place_and_words() -> None:
    facts, _ = find_facts(
        paper(
            "# Farrowdale Meters Inc.\n# Limited Warranty\nForm FM-9 Rev. B Effective May 1, 2020. For the United States."  # noqa: E501
        ),
        "paper.pdf",
    )
    told = {each.field: each for each in facts.evidence}
    assert set(told) == {"supplier", "title", "document_code", "revision", "effective_from", "region"}
    assert told["document_code"].quote == "FM-9"
    assert told["effective_from"].quote == "May 1, 2020"
    assert facts.region == "United States"
    assert facts.title == "Limited Warranty"
    assert all(each.boxes and each.pattern for each in told.values())


def test_a_date_that_reads_two_ways_is_taken_by_the_place_of_origin_and_warned_of() -> None:
    american, told = find_facts(
        paper("# Farrowdale Meters LLC\n# Warranty\nForm FM-9. Issued 05/06/2021\nFlows in gallons."), "paper.pdf"
    )
    assert american.effective_from == date(2021, 5, 6)
    assert [each.kind for each in told] == [WarningKind.AMBIGUOUS_DATE]
    assert "2021-05-06" in told[0].message and "2021-06-05" in told[0].message
    british, _ = find_facts(
        paper("# Farrowdale Meters Limited\n# Warranty\nForm FM-9. Issued 05/06/2021\nDN15 meters, despatched."),
        "paper.pdf",
    )
    assert british.effective_from == date(2021, 6, 5)


def test_another_date_of_the_paper_settles_the_order() -> None:
    facts, _ = find_facts(
        paper("# Farrowdale Meters LLC\n# Warranty\nForm FM-9. Issued 05/06/2021\n# Notes\nTested on 28/04/2021."),
        "paper.pdf",
    )
    assert facts.effective_from == date(2021, 6, 5)


def test_a_head_in_capitals_takes_the_form_of_the_running_text() -> None:
    facts, _ = find_facts(
        paper("# FARROWDALE METER COMPANY\n# Warranty\nFarrowdale Meter Company warrants meters for a year."),
        "paper.pdf",
    )
    assert facts.supplier == "Farrowdale Meter Company"


def test_the_names_of_the_parties_are_those_the_text_defines() -> None:
    parties = find_parties(
        paper('# Warranty\nFarrowdale Meter Company ("FMC") warrants its meters to the buyer for a year.')
    )
    assert parties.supplier == "Farrowdale Meter Company"
    assert parties.suppliers == {"Farrowdale", "FMC"}


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("# Owner's Manual\nDrain in winter. Replace the battery after 10 years.", "instructions"),
        ("# Price List 2024\nMeters, 42.10 each.", "a price list"),
        ("# Technical Data\nBattery life 16 years (typical).", "a data sheet"),
        ("# Software License Agreement\nAll implied warranties are disclaimed for the term of 5 years.", "a licence"),
        ("# Terms of Sale\nInvoices are due in 30 days.", "terms of sale"),
    ],
)
def test_a_paper_without_a_promise_is_no_warranty_and_says_what_it_is(text: str, said: str) -> None:
    promised, why = is_warranty(paper(text))
    assert not promised
    assert said in why


@pytest.mark.parametrize(
    "text",
    [
        "# Technical Data\n- Body: bronze, warranted 25 years against leakage",
        "# Terms of Sale\n# 9. Warranty\nSeller warrants meters for 24 months from invoice.",
        "# Meet the Meter\nWe promise that it will work for ten years.",
    ],
)
def test_a_paper_with_a_promise_among_other_things_is_a_warranty_for_it(text: str) -> None:
    assert is_warranty(paper(text)) == (True, "")
