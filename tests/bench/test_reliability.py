"""The reliability diagram says how often a term is right by the confidence it claims, and how sure that is."""

from xml.etree import ElementTree

import pytest
from reliability import Part, picture, steps, wilson
from scoring import JudgedTerm

TERMS = (
    JudgedTerm("a", 1.0, True), JudgedTerm("b", 0.96, True), JudgedTerm("c", 0.92, False), JudgedTerm("d", 0.1, False),
)  # fmt: skip


@pytest.mark.parametrize(
    ("right", "terms", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_the_interval_is_wilson_s(right: int, terms: int, low: float, high: float) -> None:
    """Newcombe 1998, Statistics in Medicine 17, 857-872, table I, method 3; quoted from memory, and agreed."""
    assert wilson(right, terms) == pytest.approx((low, high), abs=5e-5)


def test_every_term_falls_into_one_step_and_a_claim_of_one_into_the_highest() -> None:
    found = steps(TERMS)
    assert [(step.low, step.terms, step.right) for step in found] == [(0.0, 1, 0), (0.9, 1, 0), (0.95, 2, 2)]


def test_the_brier_score_is_the_mean_square_of_claim_minus_outcome() -> None:
    part = Part("Held out", 1, TERMS)
    assert part.brier == pytest.approx((0 + 0.04**2 + 0.92**2 + 0.1**2) / 4)
    assert part.blunt == pytest.approx(0.25)
    assert (part.told()["sure"], part.told()["sure_and_right"]) == (3, 2)


def test_the_picture_is_well_formed_and_tells_its_figures_in_words() -> None:
    drawing = ElementTree.fromstring(picture([Part("Held out", 1, TERMS), Part("All others", 2, TERMS[:2])]))
    words = " ".join("".join(part.itertext()) for part in drawing)
    assert "Held out: 4 terms, Brier score 0.2" in words
    assert len(drawing.findall("{http://www.w3.org/2000/svg}circle")) == 4
