"""Exclusions, claim duties and conditions are read from the sentence that states them, and from no other.

All sentences and papers are invented for these tests; the forms are common practice of the trade (no source).
"""

import re
import tomllib
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from notation import PHRASES, load
from papers import paper

from firstcap.extract.clauses import Clauses, find_clauses
from firstcap.extract.kind import is_warranty
from firstcap.extract.page import Origin
from firstcap.extract.patterns import condition, duty, exclusion
from firstcap.extract.patterns.clause import ClauseRow, ClauseTable, fold, mended, read
from firstcap.schema.vocabulary import ConditionKind, DutyKind, ExclusionKind

_PROMISES = {
    "Spanish": "El proveedor garantiza los medidores por cinco años desde la entrega.",
    "French": "Le fabricant garantit les compteurs pendant cinq ans à compter de la livraison.",
    "German": "Der Hersteller garantiert die Zähler für fünf Jahre ab Lieferung.",
}
_ENGLISH = "The supplier warrants its meters for five years from shipment."


def clauses_of(text: str, promise: str = _ENGLISH) -> Clauses:
    """The clauses of a warranty that says this beside its promise."""
    return find_clauses(paper(f"# Limited Warranty\n{promise}\n# Provisions\n{text}"))


def read_row(family: str, text: str, reason: str = "") -> set[str]:
    """What a row of a phrase table gives, as the table writes it; its reason names a language other than English."""
    clauses = clauses_of(text, _PROMISES.get(reason.split()[0].rstrip(",:") if reason else "", _ENGLISH))
    found = {
        "exclusion": {each.kind.value for each in clauses.exclusions},
        "duty": {each.kind.value + (f" {each.days}" if each.days else "") for each in clauses.duties},
        "condition": {each.kind.value for each in clauses.conditions},
    }[family]
    return found or {"-"}


@pytest.mark.parametrize(
    ("family", "text", "expected", "reason"),
    [
        pytest.param(family, text, expected, reason, id=f"{family}: {reason}")
        for family, least in (("exclusion", 300), ("duty", 220), ("condition", 170))
        for text, expected, reason in load(family, least)
    ],
)
def test_a_sentence_gives_its_clauses_and_no_others(family: str, text: str, expected: str, reason: str) -> None:
    assert read_row(family, text, reason) == set(expected.split(" ; "))


def rows() -> list[Any]:
    return [
        pytest.param(table, row, id=row.name)
        for family in (exclusion, duty, condition)
        for table in family.TABLES
        for row in table.rows
    ]


@pytest.mark.parametrize(("table", "row"), rows())
def test_a_row_finds_its_example_and_leaves_its_counter_example(table: ClauseTable, row: ClauseRow) -> None:
    assert row in [hit.row for hit in table.find(read(row.example))]
    assert row not in [hit.row for hit in table.find(read(row.counter_example))]
    assert row.why


@pytest.mark.parametrize(
    ("table", "kinds"),
    [(exclusion.CAUSES, ExclusionKind), (duty.DUTIES, DutyKind), (condition.CONDITIONS, ConditionKind)],
)
def test_every_kind_of_the_contract_has_a_row(table: ClauseTable, kinds: Any) -> None:
    stated = {row.kind for row in (*table.rows, *exclusion.STATEMENTS.rows, *duty.FREIGHT.rows)}
    assert {kind for kind in kinds if kind.value != "other"} <= stated


PAPERS = tomllib.loads((PHRASES / "document.papers.toml").read_text(encoding="utf-8"))["paper"]


def test_no_paper_is_lost() -> None:
    assert len(PAPERS) >= 40


@pytest.mark.parametrize("sketch", PAPERS, ids=lambda sketch: sketch["name"])
def test_a_paper_gives_the_clauses_that_a_careful_reader_finds(sketch: dict[str, Any]) -> None:
    layout = paper(sketch["text"])
    clauses = find_clauses(layout)
    assert sorted(each.kind.value for each in clauses.exclusions) == sorted(sketch["exclusions"])
    assert sorted([each.kind.value, *([each.days] if each.days else [])] for each in clauses.duties) == sorted(
        sketch["duties"]
    )
    assert sorted(each.kind.value for each in clauses.conditions) == sorted(sketch["conditions"])
    assert is_warranty(layout)[0] is sketch.get("warranty", True)


def test_a_clause_quotes_its_sentence_and_shows_its_place() -> None:
    clauses = clauses_of("Ask first. This warranty does not cover freezing. Send it later.")
    (excluded,) = clauses.exclusions
    assert excluded.quote == "This warranty does not cover freezing."
    (evidence,) = excluded.evidence
    assert evidence.field == "exclusion.freezing"
    assert evidence.quote == excluded.quote
    assert evidence.pattern == "cause.freezing"
    assert evidence.boxes and all(box.page == 1 for box in evidence.boxes)


def test_a_list_inherits_the_scope_of_the_sentence_that_opens_it_until_the_next_heading() -> None:
    clauses = clauses_of(
        """
        This warranty does not cover damage caused by:
        - frost
        - misuse
        # Care
        - keep sand away
        """
    )
    assert {each.kind.value for each in clauses.exclusions} == {"freezing", "misuse"}
    assert [each.quote for each in clauses.exclusions] == ["frost", "misuse"]


def test_a_heading_opens_a_scope_for_what_stands_under_it() -> None:
    clauses = clauses_of(
        """
        # What is not covered
        Freezing; sand in the line; acts of God.
        # Advice
        Lightning is rare. Clean out scale.
        """
    )
    assert {each.kind.value for each in clauses.exclusions} == {"freezing", "foreign_matter", "natural_disaster"}


def test_a_heading_that_declines_is_one_that_excludes_and_its_own_headings_name_causes() -> None:
    clauses = clauses_of(
        """
        # When we must decline
        ## Frozen meters
        Hot water. A broken seal. Grit and pipe scale.
        # In general
        Lightning is rare.
        """
    )
    assert {each.kind.value for each in clauses.exclusions} == {
        "freezing",
        "over_range",
        "tampering",
        "foreign_matter",
    }


@pytest.mark.parametrize(
    "listed",
    [
        "# Where our promise ends\nMeters killed by frost.\nSand in the chamber.\nMeters opened by strangers.",
        "# On the other side\nFrost. Abuse. Grit and pipe scale. A meter set against the manual.",
        "We cannot help where\n- the meter has frozen;\n- sand has worn the disc;\n- lightning struck it.",
    ],
)
def test_causes_told_one_by_one_are_a_list_of_exclusions_under_any_heading(listed: str) -> None:
    kinds = {
        row.kind
        for row in find_clauses(paper(f"# Limited Warranty\nA meter is warranted for a year.\n{listed}")).exclusions
    }
    assert len(kinds) >= 3
    assert ExclusionKind.FREEZING in kinds


def test_causes_among_promises_exclude_nothing() -> None:
    promised = "# Made to last\nThe case is protected against frost.\nSand is kept out.\nLightning may strike it."
    assert not find_clauses(paper(f"# Limited Warranty\nA meter is warranted for a year.\n{promised}")).exclusions


def test_advice_under_an_excluding_heading_excludes_nothing() -> None:
    clauses = clauses_of("# Exclusions\nThe customer must drain the line before frost.")
    assert clauses.exclusions == ()


def test_duties_of_terms_of_sale_are_those_of_the_warranty_clause() -> None:
    clauses = find_clauses(
        paper(
            """
            # Terms and Conditions of Sale
            # 1. Returns
            Goods are returned freight prepaid by Buyer. Buyer notifies Seller in writing within 5 days of a shortage.
            # 2. Warranty
            Seller warrants meters for 24 months from invoice. Buyer shall notify Seller in writing within 30 days
            after it discovers a defect.
            """
        )
    )
    assert [(each.kind.value, each.days) for each in clauses.duties] == [("written_notice", 30)]


def test_the_firm_by_its_short_name_pays_as_the_supplier_does() -> None:
    clauses = find_clauses(
        paper(
            """
            # Farrowdale Meter Company
            # Warranty
            Farrowdale Meter Company ("FMC") warrants its meters for two years from shipment.
            # Freight
            The owner pays freight to the plant. FMC pays it back.
            """
        )
    )
    assert {each.kind.value for each in clauses.duties} == {"return_freight_customer", "return_freight_supplier"}


@pytest.mark.parametrize(
    ("printed", "plain"),
    [
        ("Unauthorised", "unauthorized"),
        ("labour", "labor"),
        ("otherwise", "otherwise"),
        ("Garantía", "garantia"),
        ("gal1ons", "gallons"),
        ("C700", "c700"),
        ("Maßgeblich", "massgeblich"),
    ],
)
def test_words_are_compared_in_their_plain_form(printed: str, plain: str) -> None:
    assert fold(printed) == plain


@pytest.mark.parametrize(
    ("seen", "meant"), [("warrauty", "warrauty"), ("darnage", "damage"), ("freezlng", "freezing"), ("sand", "sand")]
)
def test_a_confusion_of_letters_is_undone_where_one_known_word_results(seen: str, meant: str) -> None:
    assert mended(seen, {"damage", "freezing", "send"}) == meant


def test_a_page_read_from_its_image_is_read_through_confused_letters() -> None:
    scanned = paper(f"# Limited Warranty\n{_ENGLISH}\nNo clairn for darnage by vandalism is accepted.")
    blocks = tuple(
        replace(
            block, run=replace(block.run, words=tuple(replace(word, origin=Origin.OCR) for word in block.run.words))
        )
        for block in scanned.blocks
    )
    clauses = find_clauses(replace(scanned, blocks=blocks))
    assert [each.kind.value for each in clauses.exclusions] == ["misuse"]


_FRAGMENTS = re.split(r"(?<=[.;])\s+", " ".join(text for text, _, _ in load("exclusion", 1)))


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=200), st.lists(st.sampled_from(_FRAGMENTS), max_size=4))
def test_reading_never_raises(noise: str, fragments: list[str]) -> None:
    clauses = find_clauses(paper(" ".join([noise, *fragments])))
    kinds = [each.kind for each in clauses.exclusions]
    assert len(kinds) == len(set(kinds))
