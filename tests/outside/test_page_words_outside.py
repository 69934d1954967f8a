"""Words on the page against a second PDF library: pypdfium2 reads with PDFium, we read with pdfminer."""

import json
import unicodedata
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pypdfium2
import pytest

from firstcap.extract.pdf import RawPage, open_document

FIXTURES = Path(__file__).parents[2] / "fixtures"


def _has_its_own_text(path: Path) -> bool:
    gold = json.loads(path.with_suffix("").with_suffix(".gold.json").read_text(encoding="utf-8"))
    facts = gold["document"]
    return bool(facts.get("text_source") == "text" and facts.get("status") != "failed")


READABLE = sorted(path for path in FIXTURES.glob("*/*.pdf") if _has_its_own_text(path))

# Words with a footnote mark that touches them.
MARKED = {"20*", "10(2)", "installation.*", "years1", "42", "gallons3", "5,2004"}
# Why the two count words differently. Neither is wrong; the characters are the same.
SPLIT_DIFFERENTLY: dict[str, Callable[[str], bool]] = {
    "a line ends in a hyphen: PDFium joins the halves, we keep two words with a box each": lambda word: "-" in word,
    "a raised figure ends a word for us, so that it cannot pass for another digit (m3)": lambda word: "m3" in word,
    "a footnote mark glued to a word is a word of its own for us": lambda word: word in MARKED,
    "a fraction of raised and lowered figures is a number of its own for us": lambda word: word == "121⁄2",
    "a bullet of a symbol font that names no signs: a sign without a name for us, read as a bullet": lambda word: (
        word == "•"
    ),
}
# Headings in letters set apart, which PDFium gives as several words.
LETTERS_APART = {"sonderfell_ultrasonic"}
# Numbers PDFium gives otherwise: document -> (ours, theirs). Ours is what an eye sees.
NUMBERS_DIFFER = {
    # 20 years with footnote *, 10 years with footnote 2: each mark a word of its own
    "dunwicket_marks": ({"20": 1, "10": 1, "2": 1}, {"20*": 1, "10(2": 1}),
    # raised figures drawn at full size: 4 with footnote 2 is not 42, 5,200 with footnote 4 is not 5,2004
    # (the same figures stand before the footnotes below)
    "tamberline_footnotes": ({"1": 1, "4": 2, "2": 1, "3": 2, "5,200": 1}, {"42": 1, "5,2004": 1}),
    # 12½, never 121 halves
    "stavering_durations": ({"12": 1, "1/2": 1}, {"121⁄2": 1}),
}
# Characters that are no text for us: brackets around a footnote mark; a fraction bar is a slash; see "•" above.
AS_CHARACTERS = str.maketrans({"(": None, ")": None, "⁄": "/", "•": "\ufffd"})


@cache
def _pages(path: Path) -> list[tuple[RawPage, str, Any]]:
    ours = open_document(path).pages
    theirs: Any = pypdfium2.PdfDocument(path)
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
        ours = Counter("".join(_normal(word.text) for word in page.words).translate(AS_CHARACTERS))
        assert ours == Counter("".join(text.split()).translate(AS_CHARACTERS))
        assert ours, "a page of text has words"


@pytest.mark.parametrize("path", READABLE, ids=lambda path: path.stem)
def test_words_are_the_same_but_for_line_end_hyphens_and_raised_figures(path: Path) -> None:
    for page, text, _ in _pages(path):
        ours, theirs = Counter(_normal(word.text) for word in page.words), Counter(text.split())
        for word in theirs - ours:
            if path.stem in LETTERS_APART and any(word in whole for whole in ours - theirs):
                continue
            assert any(explains(word) for explains in SPLIT_DIFFERENTLY.values()), f"{word!r} is not among our words"
        assert (theirs - ours).total() <= 0.02 * theirs.total() or path.stem in LETTERS_APART


def _joined(words: list[str], printed: list[str]) -> list[str]:
    """Words broken at a hyphen at a line's end joined again, where PDFium gives them so ("SU-" and "4" are "SU-4")."""
    joined: list[str] = []
    wanting = Counter(printed) - Counter(words)
    for word in words:
        if joined and joined[-1].endswith("-") and wanting[joined[-1] + word]:
            joined[-1] += word
            wanting[joined[-1]] -= 1
        else:
            joined.append(word)
    return joined


@pytest.mark.parametrize("path", READABLE, ids=lambda path: path.stem)
def test_every_number_is_read_with_the_same_digits(path: Path) -> None:
    def numbers(words: list[str]) -> Counter[str]:
        return Counter(word.strip("().,;:") for word in words if word[:1].isdigit())

    ours_only, theirs_only = NUMBERS_DIFFER.get(path.stem, ({}, {}))
    for page, text, _ in _pages(path):
        printed = text.split()
        ours, theirs = numbers(_joined([_normal(word.text) for word in page.words], printed)), numbers(printed)
        assert (dict(ours - theirs), dict(theirs - ours)) == (ours_only, theirs_only)


@pytest.mark.parametrize("path", READABLE[::6], ids=lambda path: path.stem)
def test_a_words_box_holds_that_word_and_nothing_else(path: Path) -> None:
    """PDFium is asked what stands inside our box; a sample of words, because it answers slowly. A footnote mark that
    touches the word may reach into its box."""
    for page, _, text_page in _pages(path):
        sample = [word for word in page.words if len(word.text) > 1][::9]
        assert sample
        for word in sample:
            inside = text_page.get_text_bounded(
                word.x0 - 0.2, page.height - word.bottom - 0.2, word.x1 + 0.2, page.height - word.top + 0.2
            )
            held = "".join(_normal(inside).split())
            assert held == _normal(word.text) or (held in MARKED and held.startswith(_normal(word.text)))
