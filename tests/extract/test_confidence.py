"""How sure a term is: the fitted weights and what they may say."""

import tomllib
from dataclasses import fields

import pytest

from firstcap.extract.confidence import WEIGHTS_FILE, Features, term_confidence

WEIGHTS = tomllib.loads(WEIGHTS_FILE.read_text())


def test_every_feature_has_a_fitted_weight_and_no_weight_lacks_its_feature() -> None:
    assert set(WEIGHTS) == {"intercept", *Features.names()}


def test_no_feature_makes_a_term_surer() -> None:
    assert all(weight >= 0 for name, weight in WEIGHTS.items() if name != "intercept")


@pytest.mark.parametrize("name", [field.name for field in fields(Features)])
def test_a_term_with_a_doubt_is_never_surer_than_one_without(name: str) -> None:
    assert term_confidence(Features(**{name: True})) <= term_confidence(Features())


def test_an_accuracy_promise_without_any_limit_is_not_believed() -> None:
    assert term_confidence(Features(no_band=True)) < 0.5 < term_confidence(Features())


def test_a_time_that_nothing_starts_is_not_believed() -> None:
    assert term_confidence(Features(no_start=True)) < 0.5
