"""Number words against num2words (which writes them), text2num and recognizers-text (which read them)."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle, number_in, numbers

STYLES = {
    "en": ENGLISH,
    "es": NumberStyle(",", ".", language="es"),
    "fr": NumberStyle(",", " ", language="fr"),
    "de": NumberStyle(",", ".", language="de"),
}
# Years, months, days and caps as warranties print them, and the joints of number words in each language.
COUNTS = (
    *range(1, 131), 144, 150, 180, 200, 240, 250, 300, 360, 365, 400, 500, 600, 640, 750, 999, 1000, 1001, 1250, 1500,
    2005, 2500, 5680, 8500, 10_000, 12_000, 15_500, 20_052, 100_000, 500_000, 640_000, 750_000, 1_000_000, 1_500_000,
    2_250_000, 2_500_000, 10_000_000, 12_500_000, 100_000_000,
)  # fmt: skip
# A lone "one" is an article in French as in English "a": the unit behind it decides, not the number reader.
ARTICLES = {("fr", 1)}
# text2num leaves small number words and a few scales alone; we do not.
LEFT_BY_TEXT2NUM = {(language, small) for language in STYLES for small in (1, 2)} | {
    ("de", 1_000_000),
    ("de", 1_500_000),
}


@pytest.mark.parametrize("language", STYLES)
def test_every_number_written_by_num2words_is_read_back(
    language: str, words_for_number: Callable[[int, str], str]
) -> None:
    for count in COUNTS:
        if (language, count) not in ARTICLES:
            words = words_for_number(count, language)
            read = number_in(words, STYLES[language])
            assert read is not None, words
            assert read.value == count, words


@pytest.mark.parametrize("language", STYLES)
def test_text2num_reads_the_same_numbers(
    language: str, words_for_number: Callable[[int, str], str], digits_for_words: Callable[[str, str], str]
) -> None:
    compared = 0
    for count in COUNTS:
        words = words_for_number(count, language).replace(",", "")  # it stops at a comma
        if (language, count) in LEFT_BY_TEXT2NUM | ARTICLES:
            continue
        read = number_in(words, STYLES[language])
        assert read is not None, words
        assert digits_for_words(words, language) == str(read.value), words
        compared += 1
    assert compared > 150


AGREED = [
    ("twenty-five years and six months", ["25", "6"]),
    ("2.5 million gallons", ["2500000"]),
    ("1/4 gpm", ["0.25"]),
    ("one-eighth of a gallon per minute", ["0.125"]),
    ("one and one-half per cent", ["1.5"]),
    ("0,25 m3/h", ["0.25"]),
    ("sixty months", ["60"]),
    ("one hundred and twenty months", ["120"]),
    ("1,500,000 gallons", ["1500000"]),
    ("750 000 litres", ["750000"]),
    ("1 500 000 gal", ["1500000"]),
    ("4.5 million", ["4500000"]),
    ("a hundred thousand gallons", ["100000"]),
    ("one dozen meters", ["12"]),
    ("twenty one months", ["21"]),
    ("one thousand five hundred", ["1500"]),
    ("5/8 inch", ["0.625"]),
    ("3 to 5 gpm", ["3", "5"]),
    ("nine parts in ten", ["9", "10"]),
    ("whichever comes first", []),
    ("the eleventh year", []),
]


@pytest.mark.parametrize(("text", "values"), AGREED)
def test_recognizers_reads_the_same_number(
    text: str, values: list[str], recognised_numbers: Callable[[str], list[Decimal]]
) -> None:
    assert [number.value for number in numbers(parse(text))] == [Fraction(value) for value in values]
    assert recognised_numbers(text) == [Decimal(value) for value in values]


# text, ours, theirs, who is right and why
DIFFERENCES = [
    ("five (5) years", ["5"], ["5", "5"], "we: words and digits are one number, printed twice"),
    ("60 (sixty) months", ["60"], ["60", "60"], "we: the same, digits first"),
    ("twelve (18) months", ["12"], ["12", "18"], "we: one number in conflict; words win, with a warning"),
    ("98.5% - 101.5%", ["98.5", "101.5"], ["98.5", "-101.5"], "we: the dash is a range, not a minus"),
    ("two and a half million gallons", ["2500000"], ["2.5"], "we: the scale belongs to the fraction too"),
    ("half a million gallons", ["500000"], ["0.5", "1000000"], "we: half of a million"),
    ("three-quarters of a million gallons", ["750000"], ["0.75", "1000000"], "we: the same"),
    ("1-1/2 inch", ["1.5"], ["1", "1", "2"], "we: a mixed number, as the trade prints sizes"),
    ("1½ inch", ["1.5"], ["1"], "we: a fraction glyph is a number"),
    ("a year and a half", [], ["0.5"], "both: we leave it to the duration, which is 18 months"),
]


@pytest.mark.parametrize(("text", "ours", "theirs", "why"), DIFFERENCES)
def test_where_we_differ_from_recognizers_it_is_known_why(
    text: str, ours: list[str], theirs: list[str], why: str, recognised_numbers: Callable[[str], list[Decimal]]
) -> None:
    assert [number.value for number in numbers(parse(text))] == [Fraction(value) for value in ours], why
    assert recognised_numbers(text) == [Decimal(value) for value in theirs], "the library changed its mind: look again"


def test_a_comma_between_a_million_and_its_thousands_is_read_as_one_number_and_said() -> None:
    (number,) = numbers(parse("one million, five hundred thousand gallons"))
    assert number.value == 1_500_000
    assert number.alternatives == (Fraction(1_000_000),)
    assert number.notes
