"""General-purpose readers beside ours on every sentence of the fixtures and every phrase case.

recognizers-text, quantulum3 and text2num read numbers, times and volumes for everybody and know nothing of the trade.
Where one of them and we differ, exactly one row of bench/differences.py says who is right and why. Their answers are
kept in answers.json; a sentence that is not there is asked anew, and a few that are there are too.
"""

import random
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "bench"))

from differences import DIFFERENCES  # noqa: E402
from second_opinions import (  # noqa: E402
    COMPARISONS,
    PLACES,
    Comparison,
    Kept,
    Outcome,
    Sentence,
    compare_all,
    every_sentence,
    with_kept_answers,
)


@pytest.fixture(scope="module")
def found() -> list[Sentence]:
    return every_sentence(PLACES)


@pytest.fixture(scope="module")
def outcome(found: list[Sentence]) -> Outcome:
    return compare_all(found, with_kept_answers())


def test_every_difference_has_one_reason(outcome: Outcome) -> None:
    assert [str(one) for one in outcome.unexplained] == [], "look who is right, then add a row to bench/differences.py"
    assert [(str(one), [row.name for row in rows]) for one, rows in outcome.doubly] == []


def test_most_is_read_alike(outcome: Outcome, found: list[Sentence]) -> None:
    assert len(found) > 2000
    least = {
        "recognizers numbers": 1500, "recognizers times": 200, "quantulum quantities": 300, "text2num rewriting": 400,
    }  # fmt: skip
    assert {name: outcome.agreed[name] >= count for name, count in least.items()} == dict.fromkeys(least, True)


@pytest.mark.parametrize("comparison", COMPARISONS, ids=lambda one: one.name)
def test_the_kept_answers_are_those_the_library_gives(comparison: Comparison, found: list[Sentence]) -> None:
    kept = next(one.theirs for one in with_kept_answers() if one.name == comparison.name)
    assert isinstance(kept, Kept)
    assert kept.before, "the library is another version: python bench/second_opinions.py --keep"
    asked = [one for one in found if one.style.language == "en" and comparison.hint.search(one.text)]
    for sentence in random.Random(3).sample(asked, 20):
        before, now = kept(sentence), comparison.theirs(sentence)
        # quantulum3 does not always give the same place twice for the same value
        assert [one.value for one in before] == [one.value for one in now], sentence.text


def test_every_row_says_who_is_right_and_why() -> None:
    assert len({(row.reader, row.sides, row.name) for row in DIFFERENCES}) == len(DIFFERENCES)
    for row in DIFFERENCES:
        assert row.right in {"we", "they", "both", "neither"} and row.why, row.name
