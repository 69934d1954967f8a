"""Warranty times: "five (5) years", "20-yr (10/10)", "1 yr. 6 mo.", "ninety (90) days".

Years become months; days stay days. Weeks and hours are never a warranty time here. A full period with a prorated tail
is a FullAndTail. The words of a value are its mention's `text`.
"""

import re
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, Number, NumberStyle, number_in, ordinals
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import (
    COMMA,
    DOT,
    DURATION,
    HYPHENS,
    MAYBE_DASH,
    NUMBER,
    Built,
    D,
    N,
    Table,
    cell_part,
    chars_of,
    lower_at,
    orth,
    payload,
    payloads,
    source_of,
    text_of,
    value_of,
    values,
    with_mentions,
    with_numbers,
    word,
)
from firstcap.extract.patterns.values import FullAndTail
from firstcap.schema.quantities import Duration
from firstcap.schema.units import as_decimal
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span, Token

_YEARS = (
    "year", "years", "yr", "yrs", "año", "años", "anio", "anios", "ano", "anos", "an", "ans", "année", "années",
    "annee", "annees", "jahr", "jahre", "jahren", "jahres", "yaer", "yeras",
)  # fmt: skip
_MONTHS = (
    "month", "months", "mo", "mos", "mth", "mths", "mnth", "mnths", "mes", "meses", "mois", "monat", "monate",
    "monaten", "monats", "twelvemonth",
)  # fmt: skip
_DAYS = ("day", "days", "día", "días", "dia", "dias", "jour", "jours", "tag", "tage", "tagen", "kalendertage",
         "kalendertagen")  # fmt: skip
_DECADES = {"decade": 120, "decades": 120, "century": 1200, "centuries": 1200, "década": 120, "décadas": 120}
_FULL_WORDS = (
    "calendar", "full", "consecutive", "successive", "complete", "whole", "additional", "further", "more", "continuous",
    "entire", "total", "contract", "service", "successive", "extra", "uninterrupted", "short", "unbroken",
)  # fmt: skip
_BUSINESS = ("business", "working")
_KIND = word(*_FULL_WORDS, op="?")
_YEAR = word(*_YEARS)
_MONTH = word(*_MONTHS)
_AND = word("and", "plus", "y", "et", "und", "&", "+", op="?")
_ONE = word("a", "one", "un", "una", "une", "ein", "eine", "einem", "einen", "einer", "each")
_HALVES = ("medio", "demi", "demie", "halbes")
_HALF = word("half", *_HALVES)

# "five percent a year", "once a year": a rate, not a time.
_RATE_BEFORE = frozenset(
    [
        "%",
        "percent",
        "cent",
        "points",
        "point",
        "gallons",
        "gallon",
        "gal",
        "once",
        "twice",
        "times",
        "meters",
        "units",
        "per",
        "m3",
        "litres",
        "liters",
        "pct",
        "usd",
        "each",
    ]
)
_SPAN_BEFORE = frozenset(
    [
        "for",
        "of",
        "within",
        "is",
        "than",
        "after",
        ":",
        "(",
        "least",
        "one",
        "full",
        "during",
        "throughout",
        "remains",
        "be",
        "under",
        "lasts",
        "at",
        "most",
        "by",
        "over",
        "with",
        "warranted",
        "guaranteed",
        "covered",
        "runs",
        "from",
        "about",
        "=",
        "give",
        "gives",
        "carry",
        "carries",
        "pour",
        "de",
        "por",
        "durante",
        "für",
        "während",
        "nach",
        "the",
        "add",
        "plus",
        ",",
        "no",
        "not",
        "only",
        "up",
        "to",
        "–",
        "-",
        "and",
        "or",
        "pendant",
        "sous",
        "dans",
    ]
)
_SPAN_AFTER = frozenset(
    [
        "from",
        "after",
        "into",
        "of",
        "following",
        "against",
        "warranty",
        "guarantee",
        "guaranty",
        "counted",
        "on",
        ",",
        ".",
        ";",
        "cover",
        "coverage",
        "in",
        "since",
        "long",
        "limited",
        "term",
        "period",
        "a",
        "desde",
        "ab",
        "depuis",
        "à",
        "de",
    ]
)


def months(value: Fraction) -> Duration:
    """A Duration of so many calendar months."""
    return Duration(months=as_decimal(value))


def _unit_months(unit: str) -> Fraction | None:
    if unit in _YEARS or unit == "y":
        return Fraction(12)
    if unit == "twelvemonth":
        return Fraction(12)
    if unit in _MONTHS:
        return Fraction(1)
    if unit in _DECADES:
        return Fraction(_DECADES[unit])
    return None


def _single(span: "Span") -> Duration | Built | None:
    """NUMBER … unit."""
    value = values(span)[0]
    unit = next((token.lower_ for token in reversed(span) if token.is_alpha), "")
    per = _unit_months(unit)
    if per is None or value <= 0:
        return None
    if unit == "an" and any(token.text == "An" for token in span):
        return None  # "3.2 An F-900 assembly": a clause number before an English article
    if unit == "an" and lower_at(span.doc, span.end) in {"hour", "average", "additional", "inch", "event", "order"}:
        return None
    if value * per > 1200:  # a century: years such as "2024 year" are dates
        return None
    return months(value * per)


def _letter_unit(span: "Span") -> Duration | None:
    """10 Y, 10Y: never "5 y 10 años" or "DN 15 y DN 20", where y means and."""
    if lower_at(span.doc, span.end) in {NUMBER, "dn", *HYPHENS} or values(span)[0] > 50:
        return None
    return months(values(span)[0] * 12)


def _days(span: "Span") -> Duration | Built | None:
    value = values(span)[0]
    if value.denominator != 1 or value <= 0 or value > 5000:
        return None
    if span.doc[span.start].text != NUMBER:
        return None
    duration = Duration(days=int(value))
    business = any(token.lower_ in {*_BUSINESS, "hábiles", "habiles", "ouvrés", "ouvrables"} for token in span) or (
        lower_at(span.doc, span.end) in {"hábiles", "habiles", "ouvrés", "ouvrables"}
    )
    return Built(duration, (WarningKind.OTHER.value,)) if business else duration


def _mixed(span: "Span") -> Duration | None:
    years, rest = values(span)
    return None if rest >= 12 and rest.denominator == 1 and rest > 24 else months(years * 12 + rest)


def _year_and_half(span: "Span") -> Duration:
    found = values(span)
    return months((found[0] if found else Fraction(1)) * 12 + 6)


def _year_and_months(span: "Span") -> Duration:
    return months(12 + values(span)[-1])


def _a_unit(span: "Span") -> Duration | None:
    """a year, one full year, a twelvemonth: a time only where the words around say so."""
    doc = span.doc
    before, after = lower_at(doc, span.start - 1), lower_at(doc, span.end)
    unit = doc[span.end - 1].lower_ if doc[span.end - 1].text != "." else doc[span.end - 2].lower_
    first = doc[span.start].lower_
    alone = span.start == 0 and span.end == len(doc)
    if before in _RATE_BEFORE or before == NUMBER or first == "each":
        return None
    if unit in {"an", "ans"} and first not in {"un", "une"}:
        return None
    if not (
        alone or before in _SPAN_BEFORE or (after in _SPAN_AFTER and span.start == 0) or after in {"from", "after"}
    ):
        return None
    per = _unit_months(unit)
    return None if per is None else months(per)


def _first_year(span: "Span") -> Duration | None:
    after = lower_at(span.doc, span.end)
    per = _unit_months(span[-1].lower_)
    return None if per is None or after not in {"after", "following", "from"} else months(per)


_COVERS = frozenset("cover coverage warranty guarantee protection service".split())


def _of_cover(span: "Span") -> Duration | None:
    """ "a decade of cover", "a year's warranty": the unit says how long, the cover that it promises."""
    per = _unit_months(span[1].lower_)
    return None if per is None or span[0].lower_ == "each" else months(per)


def _quarter_of_century(span: "Span") -> Duration | None:
    found = values(span)
    unit = span.doc[span.end - 1].lower_
    part = found[0] if found else Fraction(1, 2)
    return months(part * (_unit_months(unit) or 0)) if part < 1 or unit != "year" else None


def _range(span: "Span") -> Built | None:
    """ "10 to 15 years": two ends are not one time; the shorter is proposed and the other kept."""
    low, high = values(span)
    unit = next(token.lower_ for token in reversed(span) if token.is_alpha)
    per = _unit_months(unit)
    if per is None or not 0 < low < high or high * per > 1200:
        return None
    if lower_at(span.doc, span.start - 1) in {*_YEARS, *_MONTHS}:
        return None
    return Built(months(low * per), (WarningKind.OTHER.value,), (months(high * per),))


def _unit_first(span: "Span") -> Duration | None:
    """ "Years: 10", "Term (months) = 24"; not "years 11 to 20"."""
    doc = span.doc
    per = _unit_months(span[0].lower_)
    after = lower_at(doc, span.end)
    if (
        per is None
        or after in {*HYPHENS, "to", "/", "%", *_YEARS, *_MONTHS, *_DAYS, "percent", "full"}
        or after == NUMBER
    ):
        return None
    value = values(span)[0]
    return months(value * per) if 0 < value * per <= 1200 and value < 241 else None


def _until_year(span: "Span") -> Duration | None:
    """The end of a year counted from the start; not the upper end of a span ("from year 11 to year 15")."""
    before = {lower_at(span.doc, span.start - k) for k in range(1, 4)}
    if before & {"year", "years", NUMBER, "from"} and span[0].lower_ in {"to", "through", "bis", "hasta"}:
        return None
    if re.match(_PLACE["LOWER"]["REGEX"], lower_at(span.doc, span.start - 1)):
        return None  # "in the eleventh to the twentieth year": a span too
    found = [number.value for number in ordinals(parse(text_of(span)))] or values(span)
    return months(found[-1] * 12) if found and 0 < found[-1] <= 50 and found[-1].denominator == 1 else None


def _number_after(span: "Span") -> Duration | Built | None:
    """ "five years (5)": the digits repeat the words; a lone small digit that differs is a footnote mark."""
    first, second = values(span)
    unit = next(token.lower_ for token in span if token.is_alpha and _unit_months(token.lower_))
    per = _unit_months(unit)
    if per is None:
        return None
    if first == second:
        return months(first * per)
    words = [one.words for one in payloads(span, NUMBER)]
    if words == [True, False] and second >= 10:
        return Built(months(first * per), (WarningKind.WORDS_AND_DIGITS_DIFFER.value,), (months(second * per),))
    return None


_TENS = ({**N, "OP": "?"}, MAYBE_DASH)  # the tens of "twenty-fifth"
_PLACE: dict[str, Any] = {"LOWER": {"REGEX": r"^(\d+(st|nd|rd|th)|[a-z]+th|([a-z]+-)?(first|second|third))$"}}
PATTERNS: tuple[Pattern, ...] = (
    Pattern(
        "years_or_months", "a number and its unit, with or without a hyphen: five (5) years, 10-yr, 60 mos.",
        [[N, MAYBE_DASH, _KIND, word(*_YEARS, *_MONTHS, *_DECADES), DOT]],
        _single, "ten (10) years", months(Fraction(120)), "years 11 to 20",
    ),
    Pattern(
        "letter_unit", "10 Y in a narrow table column",
        [[N, MAYBE_DASH, orth("Y", "y", "Yr", "M.")]],
        lambda span: _letter_unit(span) if span[-1].lower_ == "y" else None,
        "10 Y", months(Fraction(120)), "5 y 10 litros",
    ),
    Pattern(
        "days", "days stay days: ninety (90) days, 30 calendar days, 15 días hábiles",
        [[N, MAYBE_DASH, word(*_FULL_WORDS, *_BUSINESS, op="?"), word(*_DAYS)]],
        _days, "thirty (30) calendar days", Duration(days=30), "the fifth day",
    ),
    Pattern(
        "years_and_months", "twenty years and six months, 1 yr. 6 mo., dos años y seis meses",
        [[N, MAYBE_DASH, _YEAR, DOT, COMMA, _AND, N, MAYBE_DASH, _MONTH, DOT]],
        _mixed, "20 years and six months", months(Fraction(246)), "20 years or six months",
    ),
    Pattern(
        "year_and_a_half", "a year and a half, one year and a half, un an et demi, un año y medio",
        [[head, _YEAR, *tail] for head in (_ONE, N)
         for tail in ([word("and"), word("a", "one"), _HALF], [word("and", "y", "et"), word(*_HALVES)])],
        _year_and_half, "a year and a half", months(Fraction(18)), "one year and half the price",
    ),
    Pattern(
        "year_and_months", "a year and six months",
        [[word("a", "un", "ein"), _YEAR, _AND, N, _MONTH]],
        _year_and_months, "a year and three months", months(Fraction(15)), "a year or three months",
    ),
    Pattern(
        "one_unit", "a year, a full year, one twelvemonth, ein Jahr: where a preposition or a start stands beside it",
        [[_ONE, _KIND, word(*_YEARS, "month", "mes", "monat", "mois", "decade", "century", "twelvemonth")]],
        _a_unit, "for a year after shipment", months(Fraction(12)), "loses five percent a year",
    ),
    Pattern(
        "the_first_year", "during the first year after delivery: its one year, not a stage of a longer time",
        [[word("the", "its"), word("first", "initial"), word(*_FULL_WORDS, op="?"), word("year", "twelvemonth", "decade")]],
        _first_year, "during the first year after delivery", months(Fraction(12)), "in the first year of the contract",
    ),
    Pattern(
        "unit_of_cover", "a decade of cover, a year's warranty",
        [[word("a", "one"), word("year", "month", "decade", "century", "twelvemonth"), word("of", "'s", "’s"),
          word("full", "free", "limited", op="?"), word(*_COVERS)]],
        _of_cover, "enjoys a decade of cover", months(Fraction(120)), "once a year of its own accord",
    ),
    Pattern(
        "part_of_a_century", "a quarter of a century, half a century",
        [[word("a", op="?"), N, word("of", op="?"), word("a", "one", op="?"), MAYBE_DASH, word("century", "decade",
         "year")]],
        _quarter_of_century, "a quarter of a century", months(Fraction(300)), "a quarter of a gallon",
    ),
    Pattern(
        "range", "10 to 15 years: two ends, flagged",
        [[word("from", "between", op="?"), N, word("to", "through", "or", "a", "à", "bis", *HYPHENS), N, MAYBE_DASH,
          word(*_YEARS, *_MONTHS)]],
        _range, "10 to 15 years",
        Built(months(Fraction(120)), (WarningKind.OTHER.value,), (months(Fraction(180)),)), "years 10 to 15",
    ),
    Pattern(
        "unit_first", "the unit before the number, with a colon or an equals sign: Years: 10",
        [[word("years", "months", "yrs", "mos", "años", "meses", "ans", "mois", "jahre", "monate"), orth(")", op="?"),
          orth(":", "="), N]],
        _unit_first, "Years: 10", months(Fraction(120)), "years 10 to 15",
    ),
    Pattern(
        "until_year", "the last year named: until year 15, through year 12, to the end of the tenth year",
        [[word("until", "till", "through", "to", "up", "bis", "hasta"), word("to", "and", "including", "the", "end",
         "of",
                                                                         "close", "completion", "its", "zum", op="*"),
          word("year", "jahr", "año"), N],
         [word("until", "till", "through"), word("the", "end", "of", "close", "its", op="*"), *_TENS, _PLACE,
          word("year", "anniversary")],
         [word("to", "beyond"), word("the"), word("end", "close"), word("of"), word("the", "its"), *_TENS, _PLACE,
          word("year")],
         [word("to", "into"), word("the", "its"), *_TENS, _PLACE, word("year", "anniversary", "birthday")]],
        _until_year, "until year 15", months(Fraction(180)), "from year 11 to year 15",
    ),
    Pattern(
        "anniversary", "the day so many years on: the sixth anniversary of delivery",
        [[word("the", "its", op="?"), *_TENS, _PLACE, word("anniversary")]],
        _until_year, "on the sixth anniversary of delivery", months(Fraction(72)), "our anniversary edition",
    ),
    Pattern(
        "number_repeated_after", "the digits repeated after the unit: five years (5)",
        [[N, MAYBE_DASH, word(*_YEARS, *_MONTHS), orth("(", "["), N, orth(")", "]")]],
        _number_after, "ten years (10)", months(Fraction(120)), "ten years (2)",
    ),
)  # fmt: skip
_TABLE = Table(Family.DURATION, PATTERNS)


# ---- full and prorated ----------------------------------------------------------------------------------------------

_PRORATED = (
    "prorated", "pro-rated", "prorata", "proratas", "declining", "sliding", "reducing", "decreasing", "prorating",
    "degressive", "dégressive", "dégressif", "proporcional", "prorrateado", "prorrateada", "prorrata", "anteilig",
    "degressiv", "tapering", "graduated", "diminishing", "rising", "discounted", "proportional", "falling", "partial",
    "shrinking",
)  # fmt: skip
_TAIL_FILL = word(
    "of", "on", "at", "with", "a", "an", "the", "as", "years", "year", "months", "yrs", "yr", "being", "are", "is",
    "under", "basis", "rate", "cover", "coverage", "warranty", "thereafter", "those", "replaced", "in", "to", "be",
    "charged", "credited", "which", "con", "cargo", "al", "auf", "basis", "scale", "covered", "run", "runs", "por",
    "au", "prorata", "further", "additional", "remaining", "for", "further", "price", "at", "customer", "contribution",
    "share", "by", "declines", op="*",
)  # fmt: skip
_PRO = word(*_PRORATED, "pro")
_RATA_END: list[list[dict[str, object]]] = [
    [word(*_PRORATED)],
    [word("pro"), MAYBE_DASH, word("rata", "rated", "rate", "ratable", "rating")],
]
_FULL_FILL = word(
    "full", "free", "of", "charge", "at", "no", "cost", "replacement", "replacements", "coverage", "cover", "warranty",
    "unconditional", "non", "in", "fully", "covered", "the", "for", "nothing", "100", "completa", "completos", "total",
    "voll", "plein", "without", "total", "one", "hundred", "percent", "full-cost", "unprorated", "-", "(", ")", "are",
    "is", "being", "with", "without", "entire", "outright", "to", "utility", "customer", "owner", "buyer", "purchaser", "repair", "or", "gratis", "gratuit", "%", NUMBER, op="*",
)  # fmt: skip
_THEN = word(
    "then", "followed", "by", "and", "plus", "+", ",", ";", "/", "thereafter", "with", "a", "an", "another", "further",
    "additional", "the", "subsequent", "next", "más", "y", "puis", "et", "dann", "danach", "und", "weitere", "more",
    "after", "that", "which", "(", "by", "remaining", "then", "last", "–", "-", "—", op="+",
)  # fmt: skip


def _tails(head: list[dict[str, object]]) -> list[list[dict[str, object]]]:
    return [[*head, *end] for end in _RATA_END]


def _total(first: object) -> Duration | None:
    value = first.value if isinstance(first, Mention) else None
    if isinstance(value, FullAndTail):
        return value.total
    return value if isinstance(value, Duration) and value.months is not None else None


def _months_of(span: "Span") -> list[Decimal]:
    """The times of a span in months; a bare number counts in years ("then ten prorated")."""
    found: list[Decimal] = []
    for token in span:
        if token.text == DURATION:
            total = _total(payload(token))
            if total is None or total.months is None:
                return []
            found.append(total.months)
        elif token.text == NUMBER and lower_at(span.doc, token.i + 1) not in {"%", "percent"}:
            found.append(as_decimal(value_of(token) * 12))
    return found


def _whole(total: Decimal, full: Decimal) -> FullAndTail | None:
    return FullAndTail(Duration(months=total), Duration(months=full)) if 0 < full < total <= 1200 else None


def _full_then_tail(span: "Span") -> FullAndTail | None:
    found = _months_of(span)
    if len(found) != 2:
        return None
    full, tail = found
    between = [token.lower_ for token in span]
    if "last" in between or "remaining" in between:
        return _whole(full, full - tail)
    return _whole(full + tail, full)


def _bar(token: "Token") -> tuple[Fraction, Fraction] | None:
    """The two numbers of "10/10" or "5/15": a bar in brackets that is no fraction."""
    match = re.fullmatch(r"(\d{1,2})/(\d{1,2})", text_of(token.doc[token.i : token.i + 1]))
    return (Fraction(match.group(1)), Fraction(match.group(2))) if match else None


def _slash_pair(span: "Span") -> FullAndTail | None:
    """ "20-yr (10/10)": full / prorated, adding up to the whole."""
    total = _total(payload(span[0])) if span[0].text == DURATION else months(values(span)[0] * 12)
    parts = next((pair for pair in (_bar(token) for token in span) if pair), None)
    if total is None or total.months is None:
        return None
    if parts is not None:
        full, tail = (as_decimal(part * 12) for part in parts)
    else:
        found = _months_of(span[1:])
        if len(found) != 2:
            return None
        full, tail = found
    return _whole(full + tail, full) if full + tail == total.months else None


def _last_declining(span: "Span") -> FullAndTail | None:
    found = _months_of(span)
    return _whole(found[0], found[0] - found[1]) if len(found) == 2 else None


def _first_full(span: "Span") -> FullAndTail | None:
    found = _months_of(span)
    return _whole(found[0], found[1]) if len(found) == 2 else None


def _plus(span: "Span") -> FullAndTail | Built | None:
    """15+5, 15 + 5 years: full and prorated, flagged where no word says so."""
    found = _months_of(span)
    if len(found) != 2 or max(found) > 480 or any(month % 12 for month in found):
        return None
    bare = span[-1].text == NUMBER
    before, after = lower_at(span.doc, span.start - 1), lower_at(span.doc, span.end)
    if bare and after not in {"", ".", ",", ";", ")", "/", "|"}:
        return None
    if before in {"+", "-", "/", "$", "±"}:
        return None
    value = _whole(found[0] + found[1], found[0])
    return None if value is None else Built(value, (WarningKind.OTHER.value,))


def _prorated_after(span: "Span") -> FullAndTail | None:
    """ "20 years, prorated after year 10", "degressive from the 11th year"."""
    found = _months_of(span)
    if len(found) != 2:
        return None
    from_year = any(
        token.lower_ in {"from", "beginning", "starting", "in", "with", "partir", "ab", "desde"} for token in span
    )
    return _whole(found[0], found[1] - 12 if from_year else found[1])


_SINCE: tuple[dict[str, object], ...] = (
    word("from", "after"),
    {"ORTH": {"NOT_IN": [".", ";", ",", "(", ")", DURATION, NUMBER]}, "OP": "*"},
)
TAILS: tuple[Pattern, ...] = (
    Pattern(
        "full_then_prorated", "ten years full, then ten prorated; 10 años + 5 con cargo proporcional",
        [*_tails([D, *_SINCE, word("and", "then", "plus"), COMMA, word("for", op="?"), D, COMMA, _TAIL_FILL]),
         *_tails([D, _FULL_FILL, _THEN, D, _TAIL_FILL]), *_tails([D, _FULL_FILL, _THEN, N, _TAIL_FILL])],
        _full_then_tail, "ten years full, then ten years prorated",
        FullAndTail(months(Fraction(240)), months(Fraction(120))), "ten years full, then the rate list applies",
    ),
    Pattern(
        "slash_pair", "20-yr (10/10): full and prorated years that add up to the whole",
        [[D, *_SINCE, orth("("), N, word("years", op="?"), word("full", "free"), word("years", op="?"),
          orth("/", "+", ",", "and"), N, word("years", op="?"), word(*_PRORATED)],
         [D, orth("("), {"TEXT": {"REGEX": r"^\d{1,2}/\d{1,2}$"}}, orth(")")],
         [D, orth("("), N, orth(")")], [D, orth("("), N, orth("/", "+"), N, orth(")")],
         [D, orth("("), word("full", op="?"), N, word("full", "yrs", "years", op="*"), orth("/", "+", ","), N,
          MAYBE_DASH, word("pro", *_PRORATED), MAYBE_DASH, word("rata", "rated", op="?"), orth(")")]],
        _slash_pair, "20-yr (10/10)", FullAndTail(months(Fraction(240)), months(Fraction(120))), "20 years (9/12)",
    ),
    Pattern(
        "last_years_declining", "20 years, the last ten on a declining basis",
        [*_tails([D, orth(",", "(", ";", "–", "-", op="?"), word("of", "which", "with", "and", op="*"),
                  word("the", op="?"), word("last", "final", "latter", "closing"), D, _TAIL_FILL]),
         *_tails([D, orth(",", "(", ";", "–", "-", op="?"), word("of", "which", "with", "and", op="*"),
                  word("the", op="?"), word("last", "final", "latter", "closing"), N, _TAIL_FILL])],
        _last_declining, "20 years, the last ten on a declining basis",
        FullAndTail(months(Fraction(240)), months(Fraction(120))), "20 years, the last ten at the owner's cost",
    ),
    Pattern(
        "first_years_full", "20 years (first 10 full, balance prorated)",
        [*_tails([D, *_SINCE, orth(",", "(", ";", ":"), word("of", "which", "with", "and", op="*"),
                  word("the", op="?"), word("first"), {"ORTH": {"IN": [DURATION, NUMBER]}}, _FULL_FILL, _THEN,
                  word("rest", "balance", "remainder", "others", "remaining", op="?"), _TAIL_FILL]),
         *_tails([D, orth(",", "(", ";", ":", "–", "-", op="?"), word("of", "which", "with", "and", op="*"),
                  word("the", op="?"), word("first"), D, _FULL_FILL, _THEN,
                  word("rest", "balance", "remainder", "others", "remaining", op="?"), _TAIL_FILL]),
         *_tails([D, orth(",", "(", ";", ":", "–", "-", op="?"), word("of", "which", "with", "and", op="*"),
                  word("the", op="?"), word("first"), N, _FULL_FILL, _THEN,
                  word("rest", "balance", "remainder", "others", "remaining", op="?"), _TAIL_FILL])],
        _first_full, "20 years (first 10 full, balance prorated)",
        FullAndTail(months(Fraction(240)), months(Fraction(120))), "20 years (first 10 shown here)",
    ),
    Pattern(
        "plus_pair", "15+5: full and prorated without a word that says so, flagged",
        [[N, orth("+"), N], [N, orth("+"), D], [D, orth("+"), D]],
        _plus, "Battery 15+5",
        Built(FullAndTail(months(Fraction(240)), months(Fraction(180))), (WarningKind.OTHER.value,)), "1 + 5 gallons",
    ),
    Pattern(
        "prorated_after", "20 years, prorated after year 10; prorated after the first 10 years",
        [[D, orth(",", "(", ";", op="?"), word("which", "is", "are", op="*"), word(*_PRORATED), word("after", "beyond"),
          word("the", "year", "years", "first", op="*"), tail] for tail in (D, N)]
        + [[D, orth(",", "(", ";", op="?"), word("which", "is", "are", op="*"), word("pro"), MAYBE_DASH,
            word("rata", "rated"), word("after", "beyond"), word("the", "year", "years", "first", op="*"), tail]
           for tail in (D, N)]
        + [[D, orth(",", "(", ";", op="?"), word(*_PRORATED), word("from", "beginning", "starting"),
            word("with", "in", "the", "of", op="*"), word("year"), N]],
        _prorated_after, "20 years, prorated after year 10",
        FullAndTail(months(Fraction(240)), months(Fraction(120))), "20 years, prorated after a claim",
    ),
)  # fmt: skip
_TAIL_TABLE = Table(Family.DURATION, TAILS)
PATTERNS = (*PATTERNS, *TAILS)


def find(doc: "Doc", style: NumberStyle = ENGLISH, *, tails: bool = True) -> list[Mention]:
    """The durations of a text: value Duration, or FullAndTail where a prorated tail follows (unless not `tails`)."""
    reduced = with_numbers(doc, style)
    simple = _restated(doc, _TABLE.find(reduced))
    simple = sorted(
        [*simple, *_unit_carried(reduced, simple), *_place_carried(doc, simple)], key=lambda mention: mention.start
    )
    if not tails:
        return simple
    return longest([*_TAIL_TABLE.find(with_mentions(reduced, simple, DURATION)), *simple])


_CARRY_BEFORE = frozenset(("for", "to", "of"))
# "and registers fifteen": a number in words beside a noun; "table two", "than ten" count something else.
_NO_CARRY = frozenset(
    "table section clause paragraph page step schedule item note number than least most about over under every each "
    "year years month months day days in at on by or with within after before class type model series size "
    "new another same other only good better like similar this that a an no any such first next".split()
)
_CARRY_AFTER = frozenset((".", ";", ",", "", "and", "from", "after", "following", "against"))


def _unit_carried(reduced: "Doc", found: list[Mention]) -> list[Mention]:
    """ "The rotor is covered for five years and the dial for ten": the second number counts in the unit of the first."""
    if not found:
        return []
    carried = []
    for token in reduced:
        before, after = lower_at(reduced, token.i - 1), lower_at(reduced, token.i + 1)
        if token.text != NUMBER or after not in _CARRY_AFTER:
            continue
        named = payload(token).words and before.isalpha() and before not in _NO_CARRY
        if before not in _CARRY_BEFORE and not named:
            continue
        start, end = chars_of(reduced[token.i : token.i + 1])
        prior = next((one for one in reversed(found) if one.end <= start), None)
        if prior is None or prior.pattern != "years_or_months" or start - prior.end > 60:
            continue
        between = source_of(reduced).text[prior.end : start]
        years = prior.value.months % 12 == 0 and "month" not in prior.text.lower()
        value = value_of(token)
        if "." in between or ";" in between or not years or not 1 <= value <= 40 or value.denominator != 1:
            continue
        if not re.search(r"\band\b|,|\bbut\b|\bwhile\b", between):
            continue
        text = source_of(reduced).text[start:end]
        carried.append(Mention(Family.DURATION, start, end, months(value * 12), "unit_carried", text))
    return carried


_PLACE_BARE = re.compile(
    r"\b(?:to|until|till|through)\s+(?:the\s+end\s+of\s+)?(?:the|its)\s+((?:[a-z]+-)?[a-z]+|\d+(?:st|nd|rd|th))(?=\s*(?:[.,;]|and\b|but\b|$))",
    re.IGNORECASE,
)


def _place_carried(doc: "Doc", found: list[Mention]) -> list[Mention]:
    """ "The case is good to the twentieth year, the frost plate to the tenth": the second place counts years too."""
    carried = []
    for match in _PLACE_BARE.finditer(doc.text):
        prior = next((one for one in reversed(found) if one.end <= match.start()), None)
        if prior is None or prior.pattern != "until_year" or re.search(r"[.;]", doc.text[prior.end : match.start()]):
            continue
        places = ordinals(parse(match[1]))
        if len(places) == 1 and 0 < places[0].value <= 50:
            value = months(places[0].value * 12)
            carried.append(Mention(Family.DURATION, match.start(), match.end(), value, "place_carried", match.group()))
    return carried


def _restated(doc: "Doc", mentions: list[Mention]) -> list[Mention]:
    """ "five years (60 months)" is one mention; where the two disagree, the first and a note."""
    text = doc.text
    kept: list[Mention] = []
    for mention in mentions:
        before = kept[-1] if kept else None
        if before is not None and text[before.end : mention.start].strip() in {"(", "[", "(=", "( ="}:
            rest = text[mention.end :].lstrip()
            if rest[:1] in {")", "]"}:
                end = text.index(rest[0], mention.end) + 1
                first, second = before.value, mention.value
                notes = before.notes
                alternatives = before.alternatives
                if first != second:
                    same_kind = (first.months is None) == (second.months is None)
                    if same_kind:
                        notes = (*notes, WarningKind.UNITS_DIFFER.value)
                    alternatives = (*alternatives, second)
                kept[-1] = Mention(
                    before.family,
                    before.start,
                    end,
                    first,
                    before.pattern,
                    text[before.start : end],
                    notes,
                    alternatives,
                )
                continue
        kept.append(mention)
    return kept


def duration_in(text: str, header: str = "", style: NumberStyle = ENGLISH) -> Mention | None:
    """The duration of a table cell, its unit in the cell or in the header ("Years", "Term, mo."); None without a unit.

    A header of several units ("years / gallons") takes the part of the cell that stands in the same place.
    """
    part, place = cell_part(text, header, _header_unit)
    unit = _header_unit(place)
    found = find(parse(text), style)
    if found and not (unit and found[0].pattern == "plus_pair"):
        return found[0]
    if unit is None or not part.strip():
        return None
    offset = text.index(part)
    number = number_in(part.strip(), style)
    pair = _cell_pair(part, unit, style)
    value: Duration | FullAndTail
    notes: tuple[str, ...] = ()
    alternatives: tuple[Duration, ...] = ()
    if pair is not None:
        value, name = pair, "cell_pair"
    elif number is not None:
        value, name = _counted(number.value, unit), "cell_under_unit"
        notes = number.notes
        alternatives = tuple(_counted(other, unit) for other in number.alternatives)
    else:
        leading = _leading_number(part, style)
        if leading is None:
            return None
        value, name = _counted(leading.value, unit), "cell_under_unit"
        notes = leading.notes
    counted = value.total if isinstance(value, FullAndTail) else value
    if place == header and counted.months is not None and counted.months > 600:
        return None  # a volume under "years or gallons"
    start = offset + len(part) - len(part.lstrip())
    end = offset + len(part.rstrip())
    return Mention(Family.DURATION, start, end, value, name, text[start:end], notes, alternatives)


def _counted(value: Fraction, unit: str) -> Duration:
    if unit == "days":
        return Duration(days=round(value))
    return months(value * (12 if unit == "years" else 1))


def _leading_number(text: str, style: NumberStyle) -> Number | None:
    """A number followed only by a footnote mark or a bracket: "20*", "10(2)", "5 (a)"."""
    reduced = with_numbers(parse(text), style)
    if not len(reduced) or reduced[0].text != NUMBER:
        return None
    rest = [token.text for token in reduced][1:]
    if all(part in {"*", "†", "‡", "(", ")", "[", "]", "."} or part == NUMBER or len(part) == 1 for part in rest):
        if "%" in rest or "/" in rest or "-" in rest:
            return None
        number: Number = payload(reduced[0])
        return number
    return None


def _cell_pair(part: str, unit: str, style: NumberStyle) -> FullAndTail | None:
    """A cell such as "15+5", "10 full / 10 prorated", "20 (10/10)" under a header that names the unit."""
    if unit == "days":
        return None
    per = 12 if unit == "years" else 1
    reduced = with_numbers(parse(part), style)
    shape = [token.lower_ for token in reduced if token.text not in {"(", ")"}]
    found = [value * per for value in values(reduced[:])]
    words = [one for one in shape if one.isalpha() and one != NUMBER]
    if shape == [NUMBER, "+", NUMBER]:
        full, tail = found
        return _whole(as_decimal(full + tail), as_decimal(full))
    pair = next((one for one in (_bar(token) for token in reduced) if one), None)
    if found and pair and len(shape) == 2 and sum(pair) * per == found[0]:
        return _whole(as_decimal(found[0]), as_decimal(pair[0] * per))
    if len(found) == 2 and words and any(one in _PRORATED or one in {"pro", "rated", "rata"} for one in words):
        return _whole(as_decimal(found[0] + found[1]), as_decimal(found[0]))
    return None


_HEADER_UNITS = {
    **dict.fromkeys((*_YEARS, "y"), "years"),
    **dict.fromkeys(_MONTHS, "months"),
    **dict.fromkeys(_DAYS, "days"),
}


_SINGULAR = frozenset(("year", "month", "day", "an", "mois"))  # "a year": a rate, and not the column "Stage A, years"


def _header_unit(header: str) -> str | None:
    """`years`, `months` or `days` where a header names exactly one of them."""
    tokens = [token.lower_ for token in parse(header)]
    units = {
        _HEADER_UNITS[token]
        for i, token in enumerate(tokens)
        if token in _HEADER_UNITS and not (token in {"an", "y", "ano"} and len(tokens) > 3)
        and (i == 0 or tokens[i - 1] != "per")
        and not (i > 0 and tokens[i - 1] == "a" and token in _SINGULAR)
    }  # fmt: skip
    return units.pop() if len(units) == 1 else None
