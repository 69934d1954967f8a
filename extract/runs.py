"""Words into runs of text: blanks between words, line-end hyphens repaired, marks and leaders kept out of the text.

A word that is printed but is no part of the text (a footnote mark, a bullet, a dot leader, a repeated table header)
stays in the run with an empty span, so that every word of a page is in exactly one run.
"""

import re
from collections.abc import Iterable, Sequence

from firstcap.extract.glyphs import SOFT_HYPHEN
from firstcap.extract.page import Run, Word

LEADER = re.compile(r"[.·_…‥․]{2,}|[.…‥]")

# Left halves that keep their hyphen at a line end: number words, prefixes that are written with one.
_KEEPS_HYPHEN = re.compile(
    r"(?:^|[-/(])(?:twenty|thirty|fou?rty|fifty|sixty|seventy|eighty|ninety|one|two|three|four|five|six|seven|eight|nine|ten"
    r"|eleven|twelve|half|quarter|multi|low|high|whole|self|non|post|semi|long|full|third|solid|single|dual)$",
    re.IGNORECASE,
)


def is_leader(word: Word) -> bool:
    """Dots that lead the eye from a name to its value. A lone stop counts only among others of its kind."""
    return LEADER.fullmatch(word.text) is not None


class Vocabulary:
    """The words a document prints unbroken, to know whether a line-end hyphen was the writer's or the typesetter's."""

    def __init__(self, words: Iterable[Word] = ()) -> None:
        self._known = {_letters(word.text) for word in words}

    def joins(self, left: str, right: str) -> bool:
        """Whether "Meas-" + "uring" is one word without its hyphen."""
        head, tail = _letters(left.rstrip("-" + SOFT_HYPHEN)), _letters(right)
        if not head or not tail or not tail[0].isalpha():
            return False
        if not left[-2:-1].isalpha() or not (tail[0].islower() or left[:-1].isupper()):
            return False
        if f"{head}-{tail}" in self._known:
            return False
        if head + tail in self._known:
            return True
        return _KEEPS_HYPHEN.search(head) is None


def _letters(text: str) -> str:
    return text.strip("\"'“”‘’()[].,;:!?*")


EMPTY = Vocabulary()


def make_run(
    lines: Iterable[Sequence[Word]], vocabulary: Vocabulary = EMPTY, silent: frozenset[int] | set[int] = frozenset()
) -> Run:
    """Lines of words, each in reading order, as one run. `silent` holds id() of words that are no part of the text."""
    text = ""
    words: list[Word] = []
    spans: list[tuple[int, int]] = []
    marks: list[tuple[int, str]] = []
    pending = ""  # the end of the line before, where it broke a word
    for line in lines:
        fresh = True
        for word in line:
            if word.mark or id(word) in silent:
                words.append(word)
                spans.append((len(text), len(text)))
                if word.mark:
                    marks.append((len(text), word.text))
                continue
            shown = word.text
            if fresh and pending:
                if pending.endswith(SOFT_HYPHEN):
                    text = text[: -len(SOFT_HYPHEN)]
                    _shorten(spans, len(text))
                elif pending.endswith("-") and vocabulary.joins(pending, shown):
                    text = text[:-1]
                    _shorten(spans, len(text))
            elif text:
                text += " "
            start = len(text)
            text += shown
            words.append(word)
            spans.append((start, len(text)))
            fresh = False
            pending = ""
        last = next((word for word in reversed(line) if not word.mark and id(word) not in silent), None)
        if last is not None:
            broken = (last.text.endswith("-") and len(last.text) > 1 and last.text[-2].isalnum()) or (
                last.text.endswith("/") and len(last.text) > 1
            )
            pending = last.text if broken or last.text.endswith(SOFT_HYPHEN) else ""
    return Run(text.replace(SOFT_HYPHEN, "-"), tuple(words), tuple(spans), tuple(marks))


def _shorten(spans: list[tuple[int, int]], length: int) -> None:
    for index in range(len(spans) - 1, -1, -1):
        start, end = spans[index]
        if end <= length:
            break
        spans[index] = (min(start, length), length)


def with_silent(run: Run, words: Iterable[Word]) -> Run:
    """The run with further words that print nothing new, such as the repeat of a table's header."""
    extra = tuple(words)
    place = len(run.text)
    return Run(run.text, run.words + extra, run.spans + ((place, place),) * len(extra), run.marks)
