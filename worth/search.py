"""Ranked search over short texts: Okapi BM25 over stemmed words. Pure; the texts come from elsewhere.

Source of the formula: Robertson and Zaragoza, The Probabilistic Relevance Framework: BM25 and Beyond, 2009, from
memory.
"""

import math
import re
from collections import Counter
from collections.abc import Sequence

K1, B = 1.2, 0.75  # the usual values: how soon repeated words stop counting, how much length matters
_WORD = re.compile(r"[^\W_]+(?:['’/.,-][^\W_]+)*")
# English endings, longest first: "fogged", "fogging" and "fog" must meet; three letters at least are left.
_ENDINGS = (
    "ations",
    "ation",
    "ments",
    "ment",
    "ings",
    "ing",
    "edly",
    "ies",
    "ied",
    "ers",
    "es",
    "ed",
    "er",
    "ly",
    "s",
    "e",
    "y",
)
_LEAST = 3


def stem(word: str) -> str:
    """A word without its English ending, and without a doubled last letter.

    >>> stem("Fogging"), stem("fogged"), stem("fog"), stem("registers")
    ('fog', 'fog', 'fog', 'regist')
    """
    plain = word.casefold()
    if not plain.isalpha():
        return plain
    for ending in _ENDINGS:
        if plain.endswith(ending) and len(plain) - len(ending) >= _LEAST:
            plain = plain[: -len(ending)]
            break
    return plain[:-1] if len(plain) > _LEAST and plain[-1] == plain[-2] else plain


def words_of(text: str) -> list[str]:
    """The stems of a text, in order."""
    return [stem(word) for word in _WORD.findall(text)]


def ranked(query: str, texts: Sequence[str]) -> list[tuple[int, float]]:
    """The places of the texts that hold any word of the query, best first, each with its score; ties in their order.

    score = Σ over words of idf × tf × (k1 + 1) ÷ (tf + k1 × (1 − b + b × length ÷ mean length)),
    idf = ln(1 + (N − n + 0.5) ÷ (n + 0.5))
    """
    held = [Counter(words_of(text)) for text in texts]
    lengths = [sum(counts.values()) for counts in held]
    mean = sum(lengths) / len(lengths) if lengths and sum(lengths) else 1.0
    scores = [0.0] * len(texts)
    for word in dict.fromkeys(words_of(query)):
        having = [place for place, counts in enumerate(held) if word in counts]
        idf = math.log(1 + (len(texts) - len(having) + 0.5) / (len(having) + 0.5))
        for place in having:
            count = held[place][word]
            scores[place] += idf * count * (K1 + 1) / (count + K1 * (1 - B + B * lengths[place] / mean))
    found = [(place, score) for place, score in enumerate(scores) if score > 0]
    return sorted(found, key=lambda one: -one[1])
