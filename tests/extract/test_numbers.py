"""Number expressions are exact, and say so where they can be read in two ways."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from notation import load, plain

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle, number_in, number_style, numbers, ordinals

SPANISH = NumberStyle(",", ".", sure=True, language="es")


def read(text: str, style: NumberStyle = ENGLISH) -> str:
    shown = []
    for number in numbers(parse(text), style):
        words = [plain(number.value), *(f"!{note}" for note in number.notes)]
        shown.append(" ".join([*words, *(f"~ {plain(other)}" for other in number.alternatives)]))
    return " ; ".join(shown) or "-"


@pytest.mark.parametrize(("text", "expected", "reason"), load("numbers", 90))
def test_numbers_of_a_text(text: str, expected: str, reason: str) -> None:
    assert read(text) == expected, reason


@pytest.mark.parametrize(
    ("text", "style", "expected"),
    [
        ("3.000", SPANISH, "3000"),
        ("1.500.000", SPANISH, "1500000"),
        ("1,500", SPANISH, "3/2 !ambiguous_decimal ~ 1500"),
        ("5,68", SPANISH, "142/25"),
        ("3.000", NumberStyle(sure=True), "3"),
        ("5 680", NumberStyle(",", " ", sure=True), "5680"),
        ("5 680,5", NumberStyle(",", " ", sure=True), "11361/2"),
        ("5.680", NumberStyle(",", " ", sure=True), "5680 !ambiguous_decimal ~ 142/25"),
    ],
)
def test_the_style_of_a_document_decides_what_a_mark_means(text: str, style: NumberStyle, expected: str) -> None:
    assert read(text, style) in {expected, expected.replace("3/2 !ambiguous_decimal ~ 1500", "3/2")}


@pytest.mark.parametrize(
    ("texts", "decimal", "thousands", "sure"),
    [
        (["A comma is the decimal sign; a space separates thousands.", "5 680 m3"], ",", " ", True),
        (["98.5 % at 20 gpm", "1,500,000 gallons"], ".", ",", True),
        (["98,5 % entre Q2 y Q4", "3.000 m3"], ",", ".", False),
        (["98.5 % at 20 gpm and 2.350 m3"], ".", ",", False),
        (["3.1 Réclamations. Le compteur est garanti deux ans à compter de la livraison."], ",", " ", False),
        (["1.500.000 galones"], ",", ".", True),
        (["1,500,000 gallons"], ".", ",", True),
        (["El proveedor garantiza los medidores por tres años desde la entrega."], ",", ".", False),
        (["Le compteur est garanti deux ans à compter de la livraison."], ",", " ", False),
        (["Ten years from shipment."], ".", ",", False),
        (["750 000 gallons and 98.5 %"], ".", " ", True),
    ],
)
def test_a_document_shows_how_it_writes_numbers(texts: list[str], decimal: str, thousands: str, sure: bool) -> None:
    style = number_style(texts)
    assert (style.decimal, style.thousands, style.sure) == (decimal, thousands, sure)


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("the 11th year", [11]),
        ("the eleventh year", [11]),
        ("the twenty-fifth year", [25]),
        ("the one hundred and twentieth month", [120]),
        ("ten years", []),
        ("à partir de la 11e année", [11]),
        ("1st to 3rd year", [1, 3]),
    ],
)
def test_ordinals_are_places_in_a_row(text: str, values: list[int]) -> None:
    assert [int(number.value) for number in ordinals(parse(text))] == values


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1,500", 1500),
        ("20*", 20),
        ("  5/8 ", Fraction(5, 8)),
        ("ten", 10),
        ("5 years", None),
        ("", None),
        ("5 6", None),
    ],
)
def test_a_whole_text_may_be_one_number(text: str, value: Fraction | int | None) -> None:
    number = number_in(text)
    assert (None if number is None else number.value) == value


@given(st.integers(0, 999_999_999))
def test_any_whole_number_with_commas_reads_back(value: int) -> None:
    assert read(f"{value:,}") == str(value)


@given(st.integers(0, 9_999), st.integers(2, 16), st.data())
def test_any_mixed_fraction_reads_back(whole: int, bottom: int, data: st.DataObject) -> None:
    top = data.draw(st.integers(1, bottom - 1))
    text = f"{top}/{bottom}" if not whole or whole > 999 else f"{whole}-{top}/{bottom}"
    expected = Fraction(top, bottom) + (0 if not whole or whole > 999 else whole)
    assert [number.value for number in numbers(parse(text))] == [expected]


@given(st.text())
def test_no_text_makes_numbers_raise(text: str) -> None:
    for number in numbers(parse(text)):
        assert number.start < number.end
    ordinals(parse(text))
    number_style([text])
