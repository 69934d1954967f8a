"""Words on the page against a second PDF library: pypdfium2 reads with PDFium, we read with pdfminer."""

import unicodedata
from collections import Counter
from functools import cache
from pathlib import Path

import pypdfium2
import pytest

from firstcap.extract.pdf import RawPage, open_document

STACK = Path(__file__).parents[2] / "fixtures" / "pinyon_ridge"
READABLE = sorted(path for path in STACK.glob("*.pdf") if path.name != "wexlow_damaged.pdf")

# Why the two count words differently. Neither is wrong; the characters are the same.
SPLIT_DIFFERENTLY = {
    "a line ends in a hyphen: PDFium joins the halves, we keep two words with a box each": lambda word: "-" in word,
    "a raised figure ends a word for us, so that it cannot pass for another digit (m3)": lambda word: "m3" in word,
}


@cache
def _pages(path: Path) -> list[tuple[RawPage, str, pypdfium2.PdfTextPage]]:
    ours = open_document(path).pages
    theirs = pypdfium2.PdfDocument(path)
    assert len(ours) == len(theirs)
    pages = []
    for page in ours:
        text_page = theirs[page.number - 1].get_textpage()
        text = text_page.get_text_range().replace("\x02", "-").replace("\ufffe", "-")  # its mark for a line-end hyphen
        pages.append((page, unicodedata.normalize("NFKC", text), text_page))
    return pages


def _normal(text: str) -> str:
    return unicodedata.normalize("NFKC", text)


@pytest.mark.parametrize("path", READABLE, ids=lambda path: path.stem)
def test_every_printed_character_is_read_once_and_no_other(path: Path) -> None:
    for page, text, _ in _pages(path):
        ours = Counter(char for word in page.words for char in _normal(word.text))
        assert ours == Counter(char for char in text if not char.isspace())
        assert ours, "a page of the stack has words"


@pytest.mark.parametrize("path", READABLE, ids=lambda path: path.stem)
def test_words_are_the_same_but_for_line_end_hyphens_and_raised_figures(path: Path) -> None:
    for page, text, _ in _pages(path):
        ours, theirs = Counter(_normal(word.text) for word in page.words), Counter(text.split())
        for word in theirs - ours:
            assert any(explains(word) for explains in SPLIT_DIFFERENTLY.values()), f"{word!r} is not among our words"
        assert (theirs - ours).total() <= 0.02 * theirs.total()


@pytest.mark.parametrize("path", READABLE, ids=lambda path: path.stem)
def test_every_number_is_read_with_the_same_digits(path: Path) -> None:
    def numbers(words: list[str]) -> Counter[str]:
        return Counter(word.strip("().,;:") for word in words if word[:1].isdigit())

    for page, text, _ in _pages(path):
        assert numbers([_normal(word.text) for word in page.words]) == numbers(text.split())


@pytest.mark.parametrize("path", READABLE[:4], ids=lambda path: path.stem)
def test_a_words_box_holds_that_word_and_nothing_else(path: Path) -> None:
    """PDFium is asked what stands inside our box; a sample of words, because it answers slowly."""
    for page, _, text_page in _pages(path):
        sample = [word for word in page.words if len(word.text) > 1][::9]
        assert len(sample) > 20
        for word in sample:
            inside = text_page.get_text_bounded(
                word.x0 - 0.2, page.height - word.bottom - 0.2, word.x1 + 0.2, page.height - word.top + 0.2
            )
            assert "".join(_normal(inside).split()) == _normal(word.text)
