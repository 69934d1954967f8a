"""Sample sizes and draws, against published plans and scipy."""

import doctest
import math
from fractions import Fraction
from pathlib import Path

import duckdb
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from firstcap.worth.sampling import chance_of_passing, draw, letter_plan, sample_size

DOCS = Path(__file__).parents[2] / "docs"
PERCENT = Fraction(1, 100)


@pytest.mark.parametrize(
    ("bad", "chance"), [(1, 0.888889), (2, 0.787302), (4, 0.610474), (9, 0.297937), (18, 0.051948)]
)
def test_four_of_a_lot_of_36_tested_as_wisconsin_asks_for_new_meters(bad: int, chance: float) -> None:
    # Wis. Admin. Code PSC 185.751 (effective 2-1-97): lots of 36 or less, 4 tested at random, none may fail.
    # The chances follow from it (arithmetic).
    assert float(chance_of_passing(36, bad, 4)) == pytest.approx(chance, abs=5e-7)


def test_nine_of_ten_are_tested_to_be_ninety_per_cent_sure() -> None:
    # A national laboratory's published procedure: N = 10, R = 0.9, confidence 0.9, none accepted: (10-9)/10 is a tenth
    # and not more. In floating point 1 - 0.9 is less than a tenth, and the answer would be 10.
    assert sample_size(10, 10 * PERCENT, 90 * PERCENT) == 9
    assert 1 - 0.9 < 0.1


# Lot, failing, confidence in per cent, accepted, sample, chance of passing (arithmetic).
PLANS = [
    (50, 5, 90, 0, 18, 0.09504),
    (100, 10, 90, 0, 20, 0.09512),
    (100, 5, 95, 0, 45, 0.04621),
    (200, 10, 95, 0, 51, 0.04862),
    (500, 25, 95, 0, 56, 0.04745),
    (1000, 50, 95, 0, 57, 0.04924),
    (1000, 50, 95, 1, 90, 0.04918),
    (1000, 50, 95, 2, 119, 0.04925),
    (3000, 60, 95, 0, 145, 0.04965),
    (10000, 500, 95, 0, 59, 0.04806),
    (10000, 1000, 90, 0, 22, 0.09822),
]


@pytest.mark.parametrize(("lot", "bad", "confidence", "accepted", "sample", "chance"), PLANS)
def test_a_sample_is_just_large_enough(
    lot: int, bad: int, confidence: int, accepted: int, sample: int, chance: float
) -> None:
    assert sample_size(lot, Fraction(bad, lot), confidence * PERCENT, accepted) == sample
    assert float(chance_of_passing(lot, bad, sample, accepted)) == pytest.approx(chance, abs=5e-6)
    assert stats.hypergeom(lot, bad, sample).cdf(accepted) == pytest.approx(chance, abs=5e-6)
    assert stats.hypergeom(lot, bad, sample - 1).cdf(accepted) > 1 - confidence / 100


def test_very_large_lots_need_the_sample_of_an_endless_one() -> None:
    # ln(0.05)/ln(0.95) = 58.404 -> 59; ln(0.1)/ln(0.9) = 21.854 -> 22
    assert sample_size(1_000_000, 5 * PERCENT, 95 * PERCENT) == math.ceil(math.log(0.05) / math.log(0.95)) == 59
    assert sample_size(1_000_000, 10 * PERCENT, 90 * PERCENT) == 22


def test_a_lot_in_which_so_few_may_fail_cannot_be_told_by_a_sample() -> None:
    assert sample_size(10, 5 * PERCENT, 95 * PERCENT) == 10  # one failing meter of ten: all are tested
    assert sample_size(10, 5 * PERCENT, 95 * PERCENT, accepted=1) is None
    assert sample_size(0, 5 * PERCENT, 95 * PERCENT) is None


@given(st.integers(1, 400), st.integers(1, 60), st.integers(50, 99), st.integers(0, 2))
def test_one_fewer_would_not_do_by_scipy(lot: int, percent: int, confidence: int, accepted: int) -> None:
    share = percent * PERCENT
    sample, bad = sample_size(lot, share, confidence * PERCENT, accepted), math.ceil(lot * share)
    if sample is None:
        assert bad <= accepted
        return
    chance = stats.hypergeom(lot, bad, sample).cdf(accepted)
    assert chance <= 1 - confidence / 100 + 1e-9
    assert float(chance_of_passing(lot, bad, sample, accepted)) == pytest.approx(chance, abs=1e-9)
    assert stats.hypergeom(lot, bad, sample - 1).cdf(accepted) > 1 - confidence / 100 - 1e-9


@pytest.mark.parametrize(
    ("lots", "letter", "sample"),
    [
        ((151, 280), "G", 32),
        ((281, 500), "H", 50),
        ((501, 1200), "J", 80),
        ((1201, 3200), "K", 125),
        ((3201, 10000), "L", 200),
        ((10001, 35000), "M", 315),
    ],
)
def test_code_letters_are_those_of_the_published_table(lots: tuple[int, int], letter: str, sample: int) -> None:
    # ANSI/ASQ Z1.4 / ISO 2859-1, general level II, from a published copy of the table.
    for lot in lots:
        plan = letter_plan(lot)
        assert plan is not None and (plan.letter, plan.sample) == (letter, sample)
    assert letter_plan(150) is None and letter_plan(35_001) is None


def test_a_plan_of_125_with_three_accepted_lets_lots_pass_as_scipy_says() -> None:
    for bad in (20, 100):  # 1 % and 5 % of 2,000: 0.96775 and 0.11584 (arithmetic)
        ours = float(chance_of_passing(2000, bad, 125, 3))
        assert ours == pytest.approx(stats.hypergeom(2000, bad, 125).cdf(3))
        assert ours == pytest.approx({20: 0.96775, 100: 0.11584}[bad], abs=5e-6)


METERS = [f"PR-{number:05d}" for number in range(400)]


def test_a_draw_can_be_repeated_and_a_larger_one_contains_it() -> None:
    few, many = (draw(METERS, size, seed="2026-11-25", lot="Saltgrove disc 5/8 2019") for size in (20, 45))
    assert few == draw(reversed(METERS), 20, seed="2026-11-25", lot="Saltgrove disc 5/8 2019") == many[:20]
    found = duckdb.execute(
        "SELECT unnest(?) AS meter ORDER BY sha256('2026-11-25|Saltgrove disc 5/8 2019|' || meter) LIMIT 20", [METERS]
    ).fetchall()
    assert few == tuple(meter for (meter,) in found)  # another program repeats the draw from the same list
    assert draw(METERS, 20, seed="another", lot="Saltgrove disc 5/8 2019") != few
    left = [meter for meter in METERS if meter != few[0]]
    assert draw(left, 20, seed="2026-11-25", lot="Saltgrove disc 5/8 2019")[:19] == few[1:]


def test_every_meter_of_a_lot_is_drawn_about_equally_often() -> None:
    counts = dict.fromkeys(METERS[:50], 0)
    for seed in range(600):
        for meter in draw(METERS[:50], 5, seed=str(seed), lot="lot"):
            counts[meter] += 1
    assert stats.chisquare(list(counts.values())).pvalue > 0.01


def test_the_worked_examples_in_the_documentation_come_out_as_printed() -> None:
    failed, tried = doctest.testfile(str(DOCS / "claims.md"), module_relative=False)
    assert tried >= 15 and failed == 0
