"""The tokeniser cuts where the trade's wording asks for it, and loses nothing."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from notation import load

from firstcap.extract.language import language_of, parse, pipeline, sentences


@pytest.mark.parametrize(("text", "expected", "reason"), load("tokens", 45))
def test_a_text_is_cut_into_these_tokens(text: str, expected: str, reason: str) -> None:
    assert " ".join(token.text for token in parse(text)) == expected, reason


@given(st.text())
def test_no_character_is_lost_and_offsets_are_those_of_the_text(text: str) -> None:
    doc = parse(text)
    assert doc.text == text
    assert all(text[token.idx : token.idx + len(token)] == token.text for token in doc)


@given(st.text(alphabet='0123456789.,/-–⁄½x"″%()\u00a0 agl³m', max_size=30))
def test_no_number_or_mark_is_lost(text: str) -> None:
    assert parse(text).text == text


def test_the_pipeline_is_built_once() -> None:
    assert pipeline() is pipeline()


@pytest.mark.parametrize(
    ("text", "language"),
    [
        ("The meter is warranted for ten years from the date of shipment, whichever comes first.", "en"),
        ("El proveedor garantiza los medidores por tres años desde la entrega.", "es"),
        ("Le compteur est garanti deux ans à compter de la livraison.", "fr"),
        ("Die Garantie beträgt 24 Monate ab Lieferung der Zähler.", "de"),
        ("10 / 20 / 5", "en"),
        ("", "en"),
    ],
)
def test_a_text_is_in_the_language_of_its_common_words(text: str, language: str) -> None:
    assert language_of(text) == language


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Cover is ten years. It starts at shipment.", 2),
        ("The cap is 200,520 cu. ft. of water in all.", 1),
        ("Form No. 7 applies. See it.", 2),
        ("Pinyon Ridge Supply Co. gives no other promise.", 1),
        ("", 0),
        ("no full stop", 1),
    ],
)
def test_a_full_stop_after_an_abbreviation_ends_no_sentence(text: str, count: int) -> None:
    found = sentences(parse(text))
    assert len(found) == count
    assert "".join(span.text_with_ws for span in found) == text
