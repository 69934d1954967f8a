"""Footnote marks set like the words they hang on: "1,500,0001", "years2", "compound †". They part from them where that
is certain.

A last group of four digits is never a number, so its last digit is a mark. A digit at the end of a word is one only
where the page explains that digit in a footnote. A sign (*, †, ‡) behind a word is a mark; before a text it opens the
footnote.
"""

import re
from dataclasses import replace
from itertools import pairwise

from firstcap.extract.glyphs import SIGN
from firstcap.extract.lines import make_lines
from firstcap.extract.page import Word
from firstcap.extract.pdf import RawDocument, RawPage

_LABEL = re.compile(r"[(\[]?([1-9]|[a-f])[)\].]?\s+(?=[A-ZÀ-Þ])")
_OVERFULL = re.compile(r"([$£€]?\d{1,3}(?:,\d{3})+)(\d)([.,;:]?)")
_WORD = re.compile(r"([A-Za-zÀ-ÿ]{4,}[.,;:]?|\d+(?:\.\d+)?\s?%)([1-9])([.,;:]?)")


def part_glued_marks(raw: RawDocument) -> RawDocument:
    """The document with such marks as words of their own."""
    return replace(raw, pages=tuple(_page(_signs(page)) for page in raw.pages))


def _signs(page: RawPage) -> RawPage:
    """The page with each sign that stands behind a word told as its mark."""
    if not any(not word.mark and SIGN.fullmatch(word.text) for word in page.words):
        return page
    behind: dict[int, str] = {}
    for line in make_lines(page.words):
        for left, right in pairwise(line.words):
            sign = SIGN.fullmatch(right.text)
            if sign and not right.mark and 0 <= right.x0 - left.x1 < 0.8 * left.size and not SIGN.fullmatch(left.text):
                behind[id(right)] = sign.group(1)
    words = tuple(
        replace(word, text=behind[id(word)], mark=True) if id(word) in behind else word for word in page.words
    )
    return replace(page, words=words)


def _page(page: RawPage) -> RawPage:
    if not any(word.text[-2:].rstrip(".,;:")[-1:].isdigit() for word in page.words):
        return page
    labels: set[str] | None = None
    words: list[Word] = []
    changed = False
    for word in page.words:
        match = _OVERFULL.fullmatch(word.text)
        if match is None:
            match = _WORD.fullmatch(word.text)
            if match is not None:
                labels = _labels(page) if labels is None else labels
                if match.group(2) not in labels:
                    match = None
        if match is None or word.mark:
            words.append(word)
            continue
        changed = True
        words.extend(_parts(word, match))
    return replace(page, words=tuple(words)) if changed else page


def _labels(page: RawPage) -> set[str]:
    """Marks that footnotes on this page explain: low or small lines that open with "1 Counted from …"."""
    found: list[str] = []
    sizes = sorted(word.size for word in page.words)
    body = sizes[len(sizes) // 2]
    for line in make_lines(page.words):
        match = _LABEL.match(line.text)
        if match and (line.size < 0.95 * body or line.top > 0.6 * page.height) and len(line.words) > 3:
            found.append(match.group(1))
        elif line.words[0].mark:
            found.append(line.words[0].text)
    return set(found)


def _parts(word: Word, match: re.Match[str]) -> list[Word]:
    step = (word.x1 - word.x0) / max(len(word.text), 1)
    cut = round(word.x0 + step * match.end(1), 2)
    end = round(word.x0 + step * match.end(2), 2)
    return [
        replace(word, text=match.group(1) + match.group(3), x1=cut),
        replace(word, text=match.group(2), x0=cut, x1=end, mark=True),
    ]
