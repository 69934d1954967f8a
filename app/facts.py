"""The facts of a document as a person types them: supplier, code, revision, date, region."""

import re
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from firstcap.app.understanding import Change, Understood, is_nothing, refuse
from firstcap.schema.errors import ValueRefusedError


@dataclass(frozen=True, slots=True)
class Fact:
    """A fact of the document that a person may correct; `field` is its column."""

    key: str
    field: str
    label: str
    example: str
    other_names: tuple[str, ...] = ()


FACTS: tuple[Fact, ...] = (
    Fact("supplier", "supplier", "supplier", "the name as printed"),
    Fact("title", "title", "title", "Limited Warranty"),
    Fact("code", "document_code", "document code", "W-410", ("document code", "form")),
    Fact("revision", "revision", "revision", "C", ("rev", "edition", "issue")),
    Fact("date", "effective_from", "effective from", "March 2023 or 2023-03-01", ("effective", "effective from")),
    Fact("region", "region", "region", "United States"),
)


class Precision(StrEnum):
    DAY = "day"
    MONTH = "month"
    YEAR = "year"


_DATES = (
    ("%Y-%m-%d", Precision.DAY), ("%d %B %Y", Precision.DAY), ("%d %b %Y", Precision.DAY), ("%B %d %Y", Precision.DAY),
    ("%b %d %Y", Precision.DAY), ("%B %Y", Precision.MONTH), ("%b %Y", Precision.MONTH), ("%Y-%m", Precision.MONTH),
    ("%m/%Y", Precision.MONTH), ("%Y", Precision.YEAR),
)  # fmt: skip


def date_of(text: str) -> tuple[date, Precision]:
    """A date as precise as it was typed: the first of the month, 1 January. Digits alone in two orders are refused."""
    bare = re.sub(r"(?i)(?<=\d)(st|nd|rd|th)\b", "", text.replace(",", " ").replace(".", " "))
    bare = " ".join(word for word in bare.split() if word.casefold() != "of")
    for pattern, precision in _DATES:
        try:
            return datetime.strptime(bare, pattern).date(), precision
        except ValueError:
            continue
    why = "the month may be either number" if re.fullmatch(r"\d{1,2}[/ -]\d{1,2}[/ -]\d{2,4}", bare) else ""
    raise refuse(text, "a date", "“2023-03-01”, “1 March 2023”, “March 2023” or “2023”", why)


def understand_fact(fact: Fact, text: str) -> Understood:
    """What a person means by `text` as a fact of the document."""
    if not text.strip():
        raise ValueRefusedError(f"nothing was given; write a value like “{fact.example}”, or “none”")
    if is_nothing(text):
        return Understood(text, (Change(fact.field, None),), "not stated")
    if fact.field == "effective_from":
        value, precision = date_of(text)
        said = value.isoformat() + ("" if precision is Precision.DAY else f" (the first day of the {precision} typed)")
        return Understood(text, (Change(fact.field, value),), said)
    words = " ".join(text.split())
    return Understood(text, (Change(fact.field, words),), words)
