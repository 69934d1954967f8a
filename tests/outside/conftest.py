"""General-purpose libraries as second opinions. Their own import warnings are not ours to mend."""

import warnings
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest


@pytest.fixture(scope="session")
def digits_for_words() -> Callable[[str, str], str]:
    """text2num: (text, language) -> the text with its number words as digits."""
    from text_to_num import alpha2digit

    return lambda text, language: str(alpha2digit(text, language))


@pytest.fixture(scope="session")
def words_for_number() -> Callable[[int, str], str]:
    """num2words: (number, language) -> the number in words."""
    from num2words import num2words

    return lambda number, language: str(num2words(number, lang=language))


@pytest.fixture(scope="session")
def recognised_numbers() -> Callable[[str], list[Decimal]]:
    """recognizers-text: the values of the numbers it finds in English text."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from recognizers_number import Culture, recognize_number

    def recognise(text: str) -> list[Decimal]:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return [Decimal(found.resolution["value"]) for found in recognize_number(text, Culture.English)]

    return recognise


@pytest.fixture(scope="session")
def general_quantities() -> Callable[[str], list[Any]]:
    """quantulum3 without its classifier: the quantities it finds in English text."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from quantulum3 import parser

    def parse(text: str) -> list[Any]:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            return list(parser.parse(text))

    return parse
