"""Printed dates: "March 2023", "1st of September, 2024", "18.06.2018", "1 de marzo de 2020", "05/2021".

A date carries its precision: the first of the month, or of the year, stands for what is not printed. Editions of
standards
("C700-15", "ISO 4064:2014") are never dates.
"""

import re
from datetime import date
from typing import TYPE_CHECKING, Any

from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import HYPHENS, Built, Table, lower_at, orth, reduce, word
from firstcap.extract.patterns.values import PrintedDate
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span

_MONTH_NAMES = (
    ("january", "jan", "enero", "ene", "janvier", "janv", "januar", "jänner"),
    ("february", "feb", "febrero", "février", "fevrier", "févr", "februar"),
    ("march", "mar", "marzo", "mars", "märz", "maerz"),
    ("april", "apr", "abril", "abr", "avril", "avr"),
    ("may", "mayo", "mai"),
    ("june", "jun", "junio", "juin", "juni"),
    ("july", "jul", "julio", "juillet", "juil", "juli"),
    ("august", "aug", "agosto", "ago", "août", "aout"),
    ("september", "sept", "sep", "septiembre", "setiembre", "septembre"),
    ("october", "oct", "octubre", "octobre", "oktober", "okt"),
    ("november", "nov", "noviembre", "novembre"),
    ("december", "dec", "diciembre", "dic", "décembre", "decembre", "déc", "dezember", "dez"),
)
MONTHS = {name: number for number, names in enumerate(_MONTH_NAMES, 1) for name in names}
_AMBIGUOUS = WarningKind.AMBIGUOUS_DATE.value
_ORDINAL = re.compile(r"(\d{1,2})(?:st|nd|rd|th|er|º|ª|°)?", re.IGNORECASE)
_DAY_WORDS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "fifteenth": 15, "thirtieth": 30,
 "tenth": 10,
              "primero": 1, "premier": 1}  # fmt: skip


def _year(text: str) -> int | None:
    """A year of four digits, or of two (70 to 99 are of the last century)."""
    text = text.lstrip("'’")
    if not text.isascii() or not text.isdigit():
        return None
    number = int(text)
    if len(text) == 4:
        return number if 1900 <= number <= 2099 else None
    return (number + 2000 if number < 70 else number + 1900) if len(text) == 2 else None


def _date(year: int | None, month: int, day: int | None) -> PrintedDate | None:
    if year is None:
        return None
    try:
        return PrintedDate(date(year, month, day or 1), "month" if day is None else "day")
    except ValueError:
        return None


def _day(text: str) -> int | None:
    match = _ORDINAL.fullmatch(text)
    return int(match.group(1)) if match else _DAY_WORDS.get(text.lower())


def _named(span: "Span") -> PrintedDate | None:
    """A month by its name, with a day before or after it, or none."""
    month_at = next(k for k, token in enumerate(span) if token.lower_ in MONTHS)
    month = MONTHS[span[month_at].lower_]
    year_token = span[-1] if _year(span[-1].text) is not None else span[0]
    year = _year(year_token.text)
    if year is None or (len(year_token.text.lstrip("'’")) == 2 and year_token.text == span[-1].text and len(span) > 5):
        return None
    days = [_day(token.text) for k, token in enumerate(span) if k != month_at and token.i != year_token.i]
    day = next((one for one in days if one is not None), None)
    if day is not None and not 1 <= day <= 31:
        return None
    if (
        span[month_at].lower_ in {"may", "mar", "mars"}
        and day is None
        and span[month_at].text.islower()
        and len(span) < 3
    ):
        return None if span[month_at].lower_ == "may" else _date(year, month, None)
    if day is None and _preceded_by_edition(span):
        return None
    return _date(year, month, day)


def _preceded_by_edition(span: "Span") -> bool:
    """Whether a standard's name stands just before: its edition is no date of the document."""
    before = [lower_at(span.doc, span.start - k) for k in range(1, 4)]
    return any(
        re.fullmatch(r"(awwa|iso|oiml|en|nmp|ansi|nsf|astm)|c7\d\d.*|[a-z]{1,4}-?\d{3,5}(-\d+)?:?", one)
        for one in before[:2]
    )


def _iso(span: "Span") -> PrintedDate | None:
    digits = re.findall(r"\d+", "".join(token.text for token in span))
    if len(digits) != 3 or not 1 <= int(digits[1]) <= 12:
        return None
    return _date(_year(digits[0]), int(digits[1]), int(digits[2]))


def _three(parts: list[str], day_first: bool, sure: bool) -> PrintedDate | Built | None:
    """Day, month and year in figures; where both orders are possible the other one is kept."""
    one, two, year = int(parts[0]), int(parts[1]), _year(parts[2])
    first = _date(year, two, one) if 1 <= two <= 12 else None  # day first
    second = _date(year, one, two) if 1 <= one <= 12 else None  # month first
    value, other = (first, second) if day_first else (second, first)
    if value is None:
        return other
    if other is None or other == value or sure:
        return value
    return Built(value, (_AMBIGUOUS,), (other,))


_DAY_FIRST = "firstcap.day_first"  # in a doc's user_data: how the language of the text orders figures


def _slashed(span: "Span") -> PrintedDate | Built | None:
    digits = re.findall(r"\d+", "".join(token.text for token in span))
    if (
        len(digits) != 3
        or (not span[-1].whitespace_ and lower_at(span.doc, span.end) in {"/", *HYPHENS})
        or lower_at(span.doc, span.start - 1) in {"/", *HYPHENS}
    ):
        return None
    if len(digits[2]) not in {2, 4} or any(len(part) > 2 for part in digits[:2]):
        return None
    day_first = bool(span.doc.user_data.get(_DAY_FIRST))
    return _three(digits, day_first, day_first)


def _dotted(span: "Span") -> PrintedDate | Built | None:
    digits = span[0].text.split(".")
    if len(digits) != 3 or len(digits[2]) not in {2, 4} or any(not 1 <= len(part) <= 2 for part in digits[:2]):
        return None
    if len(digits[2]) == 2 and lower_at(span.doc, span.start - 1) in {"section", "clause", "§", "see", "article"}:
        return None
    return _three(digits, True, True)


def _month_year(span: "Span") -> PrintedDate | None:
    """05/2021, 05-2021, 08.2019."""
    digits = re.findall(r"\d+", "".join(token.text for token in span))
    if len(digits) != 2 or len(digits[1]) != 4 or not 1 <= int(digits[0]) <= 12 or len(digits[0]) > 2:
        return None
    before = lower_at(span.doc, span.start - 1)
    if before in {"/", ".", *HYPHENS} or _preceded_by_edition(span) or lower_at(span.doc, span.end) == "/":
        return None
    return _date(_year(digits[1]), int(digits[0]), None)


def _bare_year(span: "Span") -> PrintedDate | None:
    year = _year(span[-1].text)
    if (
        year is None
        or len(span[-1].text) != 4
        or lower_at(span.doc, span.end) in {*HYPHENS, "/", "gallons", "gal", "%", "units"}
    ):
        return None
    return PrintedDate(date(year, 1, 1), "year")


def _six(span: "Span") -> Built | None:
    """Month, day and year run together on a form ("V. 031522"): a guess, flagged."""
    text = span[-1].text
    made = _date(_year(text[4:]), int(text[:2]), int(text[2:4])) if 1 <= int(text[:2]) <= 12 else None
    return None if made is None else Built(made, (_AMBIGUOUS,))


def _revision_month(span: "Span") -> Built | None:
    """ "Rev. 4.2/11-09": November 2009, flagged."""
    month, year = int(span[-3].text), _year(span[-1].text)
    made = _date(year, month, None) if 1 <= month <= 12 else None
    return None if made is None else Built(made, (_AMBIGUOUS,))


_MONTH = word(*MONTHS)
_DAY: dict[str, Any] = {"TEXT": {"REGEX": r"^(?:[0-3]?\d)(?:st|nd|rd|th|er|ST|ND|RD|TH|º|°)?$"}}
_YEAR: dict[str, Any] = {"TEXT": {"REGEX": r"^(?:19|20)\d\d$"}}
_SHORT_YEAR: dict[str, Any] = {"TEXT": {"REGEX": r"^(?:(?:19|20)\d\d|\d\d)$"}}
_TWO: dict[str, Any] = {"TEXT": {"REGEX": r"^\d{1,2}$"}}
_OF = word("of", "de", "del", ",", ".", "-", "/", "d'", op="*")
_DAY_OF = word("of", "de", "del", ".", "-", "/", "d'", op="*")  # a comma parts an edition's number from its month
_ISSUED = (
    "effective", "revised", "dated", "since", "edition", "issued", "published", "©", "copyright", "stand", "ausgabe",
    "vigencia", "édition", "edición", "version", "updated", "printed", "rev",
)  # fmt: skip
PATTERNS: tuple[Pattern, ...] = (
    Pattern(
        "day_month_year", "a day, a month by name, a year: 1st of September, 2024; 1 de marzo de 2020; 3. Mai 2019",
        [[_DAY, _DAY_OF, _MONTH, _OF, _YEAR], [word("first", "primero", "premier", "fifteenth"), _OF, word("day",
         op="?"),
         _OF, _MONTH,
                                           _OF, _YEAR],
         [_DAY, orth("-"), _MONTH, orth("-"), _SHORT_YEAR]],
        _named, "1st of September, 2024", PrintedDate(date(2024, 9, 1), "day"), "September rain",
    ),
    Pattern(
        "month_day_year", "a month by name, a day, a year: March 15, 2022",
        [[_MONTH, orth(".", op="?"), word("the", op="?"), _DAY, orth(",", op="?"), _YEAR]],
        _named, "March 15, 2022", PrintedDate(date(2022, 3, 15), "day"), "March 45, 2022",
    ),
    Pattern(
        "month_and_year", "a month by name and a year: (March 2023), Mar. 2023, octubre de 2021",
        [[_MONTH, _OF, _YEAR], [_MONTH, orth("'", "’", "-"), {"TEXT": {"REGEX": r"^\d\d$"}}], [_YEAR, orth(",",
         op="?"), _MONTH]],
        _named, "March 2023", PrintedDate(date(2023, 3, 1), "month"), "may 20 meters",
    ),
    Pattern(
        "year_month_day", "the year first: 2024-09-01, 2024/9/1",
        [[_YEAR, orth("-", "/", "–"), _TWO, orth("-", "/", "–"), _TWO], [_YEAR, orth("/"),
         {"TEXT": {"REGEX": r"^\d{1,2}/\d{1,2}$"}}]],
        _iso, "2024-09-01", PrintedDate(date(2024, 9, 1), "day"), "2024-99-01",
    ),
    Pattern(
        "figures_slashed", "three figures with bars or hyphens: 12/31/2023; 05/06/2021 is ambiguous",
        [[_TWO, orth("/"), _TWO, orth("/"), _SHORT_YEAR], [_TWO, orth("-"), _TWO, orth("-"), _SHORT_YEAR],
         [{"TEXT": {"REGEX": r"^\d{1,2}/\d{1,2}$"}}, orth("/"), _SHORT_YEAR]],
        _slashed, "12/31/2023", PrintedDate(date(2023, 12, 31), "day"), "12/2023",
    ),
    Pattern(
        "figures_dotted", "three figures with dots, the day first: 18.06.2018",
        [[{"TEXT": {"REGEX": r"^\d{1,2}\.\d{1,2}\.(?:\d{4}|\d{2})$"}}]],
        _dotted, "18.06.2018", PrintedDate(date(2018, 6, 18), "day"), "section 3.1.2 here",
    ),
    Pattern(
        "month_year_figures", "a month and a year in figures: 05/2021",
        [[_TWO, orth("/", "-"), _YEAR], [{"TEXT": {"REGEX": r"^\d{1,2}\.(?:19|20)\d\d$"}}]],
        _month_year, "Stand: 05/2021", PrintedDate(date(2021, 5, 1), "month"), "C700-2015",
    ),
    Pattern(
        "year_alone", "a year beside a word of issue: effective 2024, Ausgabe 2018, © 2023",
        [[word(*_ISSUED), word("in", "from", ":", ".", "of", "date", "january", op="*"), _YEAR]],
        _bare_year, "effective 2024", PrintedDate(date(2024, 1, 1), "year"), "ISO 4064 edition 4",
    ),
    Pattern(
        "six_figures", "month, day and year run together after a V. on a form, flagged: V. 031522",
        [[word("v", "ver", "vers", "rev", "form"), orth(".", ":", op="?"),
         {"TEXT": {"REGEX": r"^[01]\d[0-3]\d\d\d$"}}]],
        _six, "V. 031522", Built(PrintedDate(date(2022, 3, 15), "day"), (_AMBIGUOUS,)), "part 031522",
    ),
    Pattern(
        "revision_month", "a revision with a month and a year, flagged: Rev. 4.2/11-09",
        [[word("rev", "revision", "ed", "issue"), orth(".", op="?"), {"TEXT": {"REGEX": r"^[\d.]+$"}}, orth("/"),
         _TWO, orth("-"),
          {"TEXT": {"REGEX": r"^\d\d$"}}]],
        _revision_month, "Rev. 4.2/11-09", Built(PrintedDate(date(2009, 11, 1), "month"), (_AMBIGUOUS,)), "Rev. 4.2",
    ),
)  # fmt: skip
_TABLE = Table(Family.DATE, PATTERNS)


def find(doc: "Doc", style: NumberStyle = ENGLISH, day_first: bool | None = None) -> list[Mention]:
    """The printed dates of a text: value PrintedDate.

    `day_first` says how figures between bars are ordered; unsaid, the month is first in English, and flagged.
    """
    reduced = reduce(doc, ())
    reduced.user_data[_DAY_FIRST] = style.language != "en" if day_first is None else day_first
    return longest(_TABLE.all(reduced))
