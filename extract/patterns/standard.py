"""Published standards named in a text, under the names the standards table uses."""

import re
from typing import TYPE_CHECKING

from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.baselines import canonical_standard

if TYPE_CHECKING:
    from spacy.tokens import Doc

_HEAD = re.compile(r"(C-?7\d\d(-\d+)?|M-?6|R-?49|ISO|AWWA|ANSI|OIML|EN|MID|NIST|2014/32/EU|M)$", re.IGNORECASE)


def find(doc: "Doc") -> list[Mention]:
    """The longest run of tokens from a standard's first word that `canonical_standard` knows."""
    found: list[Mention] = []
    i = 0
    while i < len(doc):
        if (_HEAD.match(doc[i].text) and doc[i].text[:1].isupper()) or (
            doc[i].text[:1].isdigit() and "/EU" in doc[i].text
        ):
            best = None
            for j in range(min(len(doc), i + 7), i, -1):
                name = canonical_standard(doc[i:j].text)
                if name is not None and not doc[j - 1].is_punct:
                    best = (j, name)
                    if canonical_standard(doc[i : j - 1].text) != name:
                        break
            if best is not None:
                span = doc[i : best[0]]
                found.append(
                    Mention(Family.STANDARD, span.start_char, span.end_char, best[1], "standard.named", span.text)
                )
                i = best[0]
                continue
        i += 1
    return found
