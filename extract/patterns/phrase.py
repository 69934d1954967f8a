"""A compact way to write token patterns, so that a wording stays one readable line.

`free from|of defect* in|of material*` reads: the token "free", then "from" or "of", then a token that begins with "defect", …
- `a|b`     one of these words (lower case; `or` is a word like any other)
- `word*`   a token that begins so
- `x?`      may be missing (`the?`, `a|an?`)
- `_`       any one word; `_?` any one word or none; `...` up to four words, punctuation not among them
- `#`       a number in digits or words, as far as one token shows it
- `-`, `,`, `(` and the like stand for themselves

Families that are lists of wordings (components, promises, exclusions …) are tables of Wording rows run by one Matcher.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from firstcap.extract.patterns.base import Family, Mention, longest

if TYPE_CHECKING:
    from spacy.matcher import Matcher
    from spacy.tokens import Doc

_NUMBER = (
    r"^(\d[\d.,/]*|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|(?:thir|four|fif|six|seven|eigh|nine)teen|"
    r"(?:twenty|thirty|forty|fifty|sixty|seventy|eighty|ninety)(?:-.*)?|hundred)$"
)
_WORDS = {"IS_PUNCT": False, "IS_SPACE": False}


def tokens(phrase: str) -> list[dict[str, Any]]:
    """The spaCy Matcher pattern of one phrase."""
    out: list[dict[str, Any]] = []
    for item in phrase.split():
        if item == "...":
            out.extend({**_WORDS, "OP": "?"} for _ in range(4))
            continue
        optional = item.endswith("?") and len(item) > 1
        body = item[:-1] if optional else item
        out.append({**_one(body), **({"OP": "?"} if optional else {})})
    return out


def _one(body: str) -> dict[str, Any]:
    if body == "_":
        return dict(_WORDS)
    if body == "#":
        return {"LOWER": {"REGEX": _NUMBER}}
    words = [word for word in body.split("|") if word] or ["|"]
    if any(word.endswith("*") for word in words):
        stems = "|".join(
            re.escape(word[:-1]) + (".*" if word.endswith("*") else "") if word.endswith("*") else re.escape(word)
            for word in words
        )
        return {"LOWER": {"REGEX": f"^({stems})$"}}
    return {"LOWER": words[0]} if len(words) == 1 else {"LOWER": {"IN": words}}


@dataclass(frozen=True, slots=True)
class Wording:
    """One row of a family's table: `phrases` (any of them) mean `value`; `example` is found, `counter_example` is not."""

    name: str
    phrases: tuple[str, ...]
    value: Any
    example: str
    counter_example: str
    why: str = ""
    language: str = "en"


class PhraseTable:
    """The wordings of one family, run by one Matcher built at first use."""

    def __init__(self, family: Family, wordings: Sequence[Wording]) -> None:
        names = [wording.name for wording in wordings]
        if len(set(names)) != len(names):
            raise ValueError(f"two wordings of {family} share a name: {sorted(n for n in names if names.count(n) > 1)}")
        self.family = family
        self.wordings = tuple(wordings)
        self._by_name = {wording.name: wording for wording in wordings}
        self._matcher: Matcher | None = None

    def _built(self, doc: "Doc") -> "Matcher":
        if self._matcher is None:
            from spacy.matcher import Matcher

            self._matcher = Matcher(doc.vocab)
            for wording in self.wordings:
                self._matcher.add(wording.name, [tokens(phrase) for phrase in wording.phrases], greedy="LONGEST")
        return self._matcher

    def find(self, doc: "Doc", *, overlapping: bool = False) -> list[Mention]:
        """Mentions in order; where two overlap the longest stands, unless `overlapping`."""
        found = []
        for name, first, last in self._built(doc)(doc):
            span = doc[first:last]
            wording = self._by_name[doc.vocab.strings[name]]
            found.append(Mention(self.family, span.start_char, span.end_char, wording.value, wording.name, span.text))
        return sorted(found, key=lambda mention: (mention.start, -mention.end)) if overlapping else longest(found)
