"""Ranked search over clauses, against the formula worked by hand."""

import math

import pytest

from firstcap.worth.search import ranked, stem, words_of

CLAUSES = [
    "The register will not fog: a fogged register is replaced.",
    "Damage by frost or freezing is excluded.",
    "Registers are covered for ten years.",
    "The customer pays freight to the factory.",
]


def test_words_meet_their_other_forms() -> None:
    assert stem("fogging") == stem("fogged") == stem("fog") and stem("registers") == stem("register")
    assert stem("freeze") == stem("freezing") and stem("C700-15") == "c700-15"
    assert words_of("Fogging, 1/4 gpm!") == ["fog", "1/4", "gpm"]


def test_the_clause_with_both_words_comes_first_and_those_without_any_not_at_all() -> None:
    found = ranked("fogging register", CLAUSES)
    assert [place for place, _ in found] == [0, 2]
    assert ranked("software", CLAUSES) == [] and ranked("fog", []) == []


def test_the_score_is_the_formula_worked_out() -> None:
    texts = ["fog fog glass", "glass"]
    idf = math.log(1 + (2 - 1 + 0.5) / (1 + 0.5))
    expected = idf * 2 * 2.2 / (2 + 1.2 * (0.25 + 0.75 * 3 / 2))
    assert ranked("fog", texts) == [(0, pytest.approx(expected))]
