"""Flows: "1/4 gpm", "1 to 20 gpm", "one-eighth of a gallon a minute", "Q2 to Q4".

A unit of flow (a unit of volume and a time, or gpm and its kin) first becomes one token RATE. Named flows of ISO 4064
are
NamedFlow values; `named_flows` computes them from Q3 and the ratio R.
"""

import re
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, Number, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import (
    HYPHENS,
    MAYBE_DASH,
    NUMBER,
    RATE,
    N,
    Table,
    cell_part,
    chars_of,
    lower_at,
    orth,
    payload,
    reduce,
    source_of,
    values,
    with_numbers,
    word,
)
from firstcap.extract.patterns.values import NamedFlow
from firstcap.extract.patterns.volume import IMPERIAL, US, Gallon, unit_at
from firstcap.schema.quantities import FlowRate
from firstcap.schema.units import as_decimal, gpm_per
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span, Token

_WORDS = {
    "gpm": "gpm", "g.p.m.": "gpm", "g.p.m": "gpm", "usgpm": "gpm", "gpms": "gpm", "igpm": "imp_gpm", "gph": "gph",
    "g.p.h.": "gph", "usgph": "gph", "igph": "imp_gph", "lph": "L/h", "l.p.h.": "L/h", "lpm": "L/min",
    "l.p.m.": "L/min",
    "lps": "L/s", "l.p.s.": "L/s", "cfm": "cfm", "c.f.m.": "cfm", "cmh": "m3/h", "lt/h": "L/h", "m3h": "m3/h",
}  # fmt: skip
_MINUTE = ("min", "minute", "minutes", "mins", "minuto", "minuten")
_HOUR = ("h", "hr", "hrs", "hour", "hours", "heure", "hora", "stunde", "std")
_SECOND = ("s", "sec", "second", "seconde", "segundo", "sekunde", "secs")
_PER = {
    ("gal", "min"): "gpm", ("gal", "h"): "gph", ("imp_gal", "min"): "imp_gpm", ("imp_gal", "h"): "imp_gph", ("L",
     "h"): "L/h",
    ("L", "min"): "L/min", ("L", "s"): "L/s", ("m3", "h"): "m3/h", ("kL", "h"): "m3/h", ("ft3", "min"): "cfm",
}  # fmt: skip
_IMPERIAL_KEY = {"gpm": "imp_gpm", "gph": "imp_gph"}


def _time(form: str) -> str | None:
    for key, forms in (("min", _MINUTE), ("h", _HOUR), ("s", _SECOND)):
        if form in forms:
            return key
    return None


def rate_at(doc: "Doc", i: int) -> tuple[str, int, bool] | None:
    """The unit of flow that begins at a token: its key in FLOW_UNITS, where it ends, whether its gallon is named."""
    if i >= len(doc):
        return None
    lower = doc[i].lower_
    if lower in _WORDS:
        return _WORDS[lower], i + 1, lower.startswith(("us", "ig"))
    if lower in US or lower in IMPERIAL:
        j = i + 1
        while lower_at(doc, j) in {".", "-"}:
            j += 1
        key = _WORDS.get(lower_at(doc, j))
        if key in _IMPERIAL_KEY:
            return (key if lower in US else _IMPERIAL_KEY[key]), j + 1, True
    unit = unit_at(doc, i)
    if unit is None or unit.scale != 1:
        return None
    j = unit.end
    while lower_at(doc, j) in {".", *HYPHENS}:
        j += 1
    if lower_at(doc, j) not in {"/", "per", "a", "an", "each", "every", "por", "par", "pro", "je", "p", "in", "one"}:
        return None
    j += 1
    while lower_at(doc, j) in {".", *HYPHENS, "one"}:
        j += 1
    if doc[j - 1].lower_ == "in" and lower_at(doc, j) == "a":
        j += 1
    time = _time(lower_at(doc, j))
    key = _PER.get((unit.key, time or ""))
    if key is None:
        return None
    end = j + 1
    if lower_at(doc, end) == "." and lower_at(doc, j) in {"min", "hr", "sec", "h"}:
        end += 1
    return key, end, unit.qualified


def with_rates(doc: "Doc", style: NumberStyle = ENGLISH, gallon: Gallon = "gal") -> "Doc":
    """The doc with numbers and units of flow as single tokens."""
    reduced = with_numbers(doc, style)
    found = []
    i = 0
    while i < len(reduced):
        rate = rate_at(reduced, i)
        if rate is None:
            i += 1
            continue
        key, end, named = rate
        if gallon == "imp_gal" and not named:
            key = _IMPERIAL_KEY.get(key, key)
        found.append((i, end, RATE, key))
        i = end
    return reduce(reduced, found)


def _key(span: "Span") -> str:
    return str(payload(next(token for token in reversed(span) if token.text == RATE)))


def _one(span: "Span") -> FlowRate | None:
    value = values(span)[0]
    return _flow(value, _key(span)) if value > 0 else None


def _between(span: "Span") -> FlowRate | None:
    """A closed range; where both ends carry a unit of their own the first is converted to nothing: units must agree."""
    low, high = values(span)
    keys = {payload(token) for token in span if token.text == RATE}
    if not 0 <= low < high or len(keys) != 1:
        return None
    return FlowRate(low=as_decimal(low), high=as_decimal(high), unit=_key(span))


def _mixed_units(span: "Span") -> FlowRate | None:
    """ "10 L/h to 2 m³/h": told in the second unit."""
    low, high = values(span)
    first, second = (str(payload(token)) for token in span if token.text == RATE)
    if first == second:
        return None
    scaled = low * gpm_per(first) / gpm_per(second)
    return FlowRate(low=as_decimal(scaled), high=as_decimal(high), unit=second) if scaled < high else None


def _to(span: "Span") -> FlowRate:
    return FlowRate(low=None, high=as_decimal(values(span)[-1]), unit=_key(span))


def _above(span: "Span") -> FlowRate:
    return FlowRate(low=as_decimal(values(span)[0]), high=None, unit=_key(span))


_NAMED = re.compile(r"q(?:[1-4]|min|max|t|n|p|s)")
_NAME: dict[str, Any] = {"LOWER": {"REGEX": r"^q(?:[1-4]|min|max|t|n)$"}}


def _names(span: "Span") -> list[str]:
    return ["Q" + token.lower_[1:] for token in span if _NAMED.fullmatch(token.lower_)]


def _named_range(span: "Span") -> NamedFlow | None:
    names = _names(span)
    if len(names) != 2 or names[0] == names[1]:
        return None
    order = {"Q1": 1, "Qmin": 1, "Q2": 2, "Qt": 2, "Q3": 3, "Qn": 3, "Q4": 4, "Qmax": 4}
    low, high = sorted(names, key=lambda name: order[name])
    return NamedFlow(low, high)


def _named_one(span: "Span") -> NamedFlow | None:
    doc = span.doc
    after = lower_at(doc, span.end)
    if after in {"=", ":", "/", "<", "≤", ">", "≥", "<="} or after == NUMBER:
        return None
    return NamedFlow(_names(span)[0], _names(span)[0])


def _named_to(span: "Span") -> NamedFlow:
    return NamedFlow(None, _names(span)[0])


_R: dict[str, Any] = {"ORTH": RATE}
_TO = word("to", "through", "thru", "till", "a", "à", "bis", "up", "and", "y", "et", "und", "hasta", *HYPHENS)
_TO_ONLY = word("to", "through", "thru", "till", "a", "à", "bis", "hasta", *HYPHENS)
_FROM = word("from", "between", "of", "de", "entre", "von", "zwischen")
_PART = (word("of", op="?"), word("a", "an", "one", op="?"), MAYBE_DASH)
PATTERNS: tuple[Pattern, ...] = (
    Pattern(
        "one_flow", "a number and a unit of flow: 1/4 gpm, one-eighth of a gallon a minute",
        [[N, *_PART, _R], [N, word("u.s.", "us", "imperial", "imp"), _R]],
        _one, "1/8 of a gallon a minute", FlowRate(low=Decimal("0.125"), high=Decimal("0.125"), unit="gpm"),
        "1/8 of a gallon",
    ),
    Pattern(
        "range", "a closed range: 1 to 20 gpm, from 3 to 50 gallons per minute, 0.4 – 22 m³/h",
        [[N, _TO_ONLY, word("to", op="?"), N, MAYBE_DASH, _R], [_FROM, N, _TO, word("to", op="?"), N, MAYBE_DASH, _R],
         [N, MAYBE_DASH, _R, _TO_ONLY, word("to", op="?"), N, MAYBE_DASH, _R],
         [_FROM, N, MAYBE_DASH, _R, _TO, word("to", op="?"), N, MAYBE_DASH, _R],
         [N, word("≤", "<=", "<"), word("q", "flow"), word("≤", "<=", "<"), N, _R]],
        _between, "1 to 20 gpm", FlowRate(low=Decimal(1), high=Decimal(20), unit="gpm"), "1 or 20 gpm",
    ),
    Pattern(
        "range_of_two_units", "a range whose ends have different units: 16 L/h to 5 m³/h",
        [[N, _R, _TO_ONLY, N, _R]],
        _mixed_units, "500 L/h to 5 m³/h", FlowRate(low=Decimal("0.5"), high=Decimal(5), unit="m3/h"),
         "500 L/h to 900 L/h",
    ),
    Pattern(
        "up_to", "an upper end only: up to 25 gpm, at most 20 gpm, below 1/4 gpm",
        [[word("up"), word("to"), word("and", "including", "a", "maximum", "of", op="*"), N, MAYBE_DASH, _R],
         [word("below", "under", "≤", "<=", "<"), N, MAYBE_DASH, _R], [word("less"), word("than"), N, MAYBE_DASH, _R],
         [word("at"), word("most"), N, _R], [word("not", "no"), word("more", "over", "exceeding", "above"),
          word("than", op="?"), N, _R],
         [N, _R, word("and", "or"), word("below", "less", "under", "lower")], [word("hasta", "jusqu'à", "bis"), N, _R]],
        _to, "up to 25 gpm", FlowRate(low=None, high=Decimal(25), unit="gpm"), "from 3 to 25 gpm",
    ),
    Pattern(
        "from_up", "a lower end only: above 2 gpm, 1/4 gpm and over, not less than 3 gpm",
        [[word("above", "over", "≥", ">=", ">"), N, MAYBE_DASH, _R], [word("more", "greater", "higher"), word("than"),
         N, _R],
         [word("at"), word("least"), N, _R], [word("not", "no"), word("less", "below", "under"), word("than", op="?"),
          N, _R],
         [N, _R, word("and", "or"), word("above", "more", "over", "up", "higher", "greater")]],
        _above, "1/4 gpm and above", FlowRate(low=Decimal("0.25"), high=None, unit="gpm"), "1/4 gpm",
    ),
    Pattern(
        "named_range", "between named flows: Q2 to Q4, Q1 ≤ Q < Q2, entre Q1 y Q2",
        [[_NAME, orth(*HYPHENS, "to", "and", "a", "y", "et", "und", "bis", "through", "thru", "until", "till", "hasta", "jusqu'à", "jusqu’à", "à", "/", "up", "≤", "<", "…",
         "..."),
          word("to", "q", "≤", "<", "<=", "and", "including", op="*"), _NAME]],
        _named_range, "from Q2 to Q4", NamedFlow("Q2", "Q4"), "Q3 = 2.5",
    ),
    Pattern(
        "named_up_to", "up to a named flow",
        [[word("up", "below", "hasta", "bis", "under"), word("to", "and", "including", op="*"), _NAME]],
        _named_to, "up to Q4", NamedFlow(None, "Q4"), "from Q2 to Q4",
    ),
    Pattern(
        "named_flow", "one named flow: at Q1",
        [[word("at", "bei", "en", "à", "zu"), word("the", op="?"), _NAME], [word("q1", "q2", "q4", "qt", "qmin",
         "qmax")]],
        _named_one, "at Q1", NamedFlow("Q1", "Q1"), "Q3 = 2.5",
    ),
)  # fmt: skip
_TABLE = Table(Family.FLOW, PATTERNS)


def find(doc: "Doc", style: NumberStyle = ENGLISH, gallon: Gallon = "gal") -> list[Mention]:
    """The flows of a text: value FlowRate (a side None where it is open) or NamedFlow."""
    reduced = with_rates(doc, style, gallon)
    if not any(token.text == RATE or token.lower_[:1] == "q" for token in reduced):
        return []
    found = longest([*_TABLE.all(reduced), *_listed(reduced)])
    return _side_by_side(doc, found)


def _listed(reduced: "Doc") -> list[Mention]:
    """ "15, 2 and 1/4 gpm": every number of a list takes the unit at its end."""
    found: list[Mention] = []
    for rate in reduced:
        if rate.text != RATE or lower_at(reduced, rate.i - 1) != NUMBER:
            continue
        places: list[Token] = []
        i = rate.i - 1
        if lower_at(reduced, i - 1) in {"to", "than", "through", *HYPHENS}:
            continue
        while i > 0:
            j = i - 1
            while j >= 0 and reduced[j].lower_ in {",", "and", "or", "&", ";", "/", "y", "et", "und"}:
                j -= 1
            if (
                j == i - 1
                or j < 0
                or reduced[j].text != NUMBER
                or lower_at(reduced, j - 1) in {*HYPHENS, "to", "between", "from"}
            ):
                break
            places.append(reduced[j])
            i = j
        for place in places:
            number: Number = payload(place)
            start, end = chars_of(reduced[place.i : place.i + 1])
            flows = [_flow(value, str(payload(rate))) for value in (number.value, *number.alternatives) if value > 0]
            if flows:
                text = source_of(reduced).text[start:end]
                found.append(
                    Mention(Family.FLOW, start, end, flows[0], "listed_flow", text, number.notes, tuple(flows[1:]))
                )
    return found


def _flow(value: Fraction, unit: str) -> FlowRate:
    return FlowRate(low=as_decimal(value), high=as_decimal(value), unit=unit)


def _usgpm(flow: Any) -> tuple[Decimal | None, Decimal | None] | None:
    return (flow.low_usgpm, flow.high_usgpm) if isinstance(flow, FlowRate) else None


def _close(one: Decimal | None, two: Decimal | None) -> bool:
    if one is None or two is None:
        return one is two
    return abs(one - two) <= max(abs(one), abs(two)) * Decimal("0.03")


def _side_by_side(doc: "Doc", mentions: list[Mention]) -> list[Mention]:
    """ "1/4 gpm (0.057 m³/h)" is one mention; where the two disagree, the first printed and a note."""
    text = doc.text
    kept: list[Mention] = []
    for mention in mentions:
        before = kept[-1] if kept else None
        if before is not None and text[before.end : mention.start].strip() in {"(", "[", "(=", "(approx."}:
            rest = text[mention.end :].lstrip()
            first, second = _usgpm(before.value), _usgpm(mention.value)
            if rest[:1] in {")", "]"} and first and second and before.value.unit != mention.value.unit:
                end = text.index(rest[0], mention.end) + 1
                same = _close(first[0], second[0]) and _close(first[1], second[1])
                kept[-1] = replace(
                    before,
                    end=end,
                    text=text[before.start : end],
                    notes=before.notes if same else (*before.notes, WarningKind.UNITS_DIFFER.value),
                    alternatives=before.alternatives if same else (*before.alternatives, mention.value),
                )
                continue
        kept.append(mention)
    return kept


# ---- cells under a header -------------------------------------------------------------------------------------------


def header_unit(header: str) -> str | None:
    """The unit of flow a header names, a key of FLOW_UNITS."""
    reduced = with_rates(parse(header))
    return next((str(payload(token)) for token in reduced if token.text == RATE), None)


def flow_in(text: str, header: str = "", style: NumberStyle = ENGLISH, gallon: Gallon = "gal") -> Mention | None:
    """The flow, or range of flows, of a table cell, its unit in the cell or in the header; None without a unit."""
    found = find(parse(text), style, gallon)
    if found:
        return found[0]
    part, head = cell_part(text, header, header_unit)
    key = header_unit(head)
    if key is None:
        return None
    if gallon == "imp_gal" and not any(token.lower_ in US for token in parse(head)):
        key = _IMPERIAL_KEY.get(key, key)
    reduced = with_numbers(parse(part), style)
    shape = [token.lower_ for token in reduced if token.text not in {"*", "†", "(", ")"}]
    numbers = values(reduced[:])
    offset = text.index(part)
    flow: FlowRate | None = None
    if len(numbers) == 1 and set(shape) <= {NUMBER, "up", "to", "≤", "<", "max"}:
        value = as_decimal(numbers[0])
        flow = FlowRate(low=None if len(shape) > 1 else value, high=value, unit=key) if value > 0 else None
    elif (
        len(numbers) == 2
        and len(shape) <= 4
        and {*HYPHENS, "to", "through", "a", "bis", "à"} & set(shape)
        and 0 <= numbers[0] < numbers[1]
    ):
        flow = FlowRate(low=as_decimal(numbers[0]), high=as_decimal(numbers[1]), unit=key)
    if flow is None:
        return None
    notes = tuple(note for token in reduced if token.text == NUMBER for note in payload(token).notes)
    start = offset + len(part) - len(part.lstrip())
    end = offset + len(part.rstrip())
    return Mention(Family.FLOW, start, end, flow, "cell_under_unit", text[start:end], notes)


# ---- named flows ----------------------------------------------------------------------------------------------------


def named_flows(q3: Fraction, ratio: Fraction) -> dict[str, Fraction]:
    """Q1 to Q4 in the unit of Q3: Q1 = Q3/R, Q2 = 1.6 Q1, Q4 = 1.25 Q3 (OIML R 49-1, ISO 4064-1)."""
    q1 = q3 / ratio
    return {"Q1": q1, "Q2": q1 * Fraction(8, 5), "Q3": q3, "Q4": q3 * Fraction(5, 4)}


def resolve(flow: NamedFlow, q3: FlowRate, ratio: Fraction) -> FlowRate:
    """A named flow as a FlowRate, in the unit of `q3`; KeyError for the old names (Qmin, Qt, Qn, Qmax)."""
    if q3.high is None:
        raise KeyError("Q3")
    known = named_flows(Fraction(q3.high), ratio)
    low = None if flow.low is None else as_decimal(known[flow.low])
    return FlowRate(low=low, high=as_decimal(known[flow.high]), unit=q3.unit)


def permanent_flow(doc: "Doc", style: NumberStyle = ENGLISH) -> FlowRate | None:
    """Q3 as printed: "Q3 = 2.5 m³/h"; m³/h where no unit stands beside it, as on dials (ISO 4064-1)."""
    reduced = with_rates(doc, style)
    for token in reduced:
        if token.lower_ != "q3":
            continue
        j = token.i + 1
        while lower_at(reduced, j) in {"=", ":", "of", "(", "is", "de", "von"}:
            j += 1
        if lower_at(reduced, j) == NUMBER:
            unit = str(payload(reduced[j + 1])) if lower_at(reduced, j + 1) == RATE else "m3/h"
            value = as_decimal(values(reduced[j : j + 1])[0])
            if value > 0:
                return FlowRate(low=value, high=value, unit=unit)
    return None


def flow_ratio(doc: "Doc", style: NumberStyle = ENGLISH) -> Fraction | None:
    """R, the ratio Q3/Q1, as printed: R160, R = 160, R ≥ 100, Q3/Q1 = 80."""
    reduced = with_numbers(doc, style)
    for token in reduced:
        if match := re.fullmatch(r"R(\d{2,4})[HV]?", token.text):
            return Fraction(int(match.group(1)))
        ratio = token.text == "R" or (
            token.lower_ == "q1" and lower_at(reduced, token.i - 1) == "/" and lower_at(reduced, token.i - 2) == "q3"
        )
        if ratio:
            j = token.i + 1
            while lower_at(reduced, j) in {"=", "≥", ">=", ":", "of", "("}:
                j += 1
            if j > token.i + 1 and lower_at(reduced, j) == NUMBER:
                value = values(reduced[j : j + 1])[0]
                if value >= 10:
                    return value
    return None


__all__ = [
    "PATTERNS", "find", "flow_in", "flow_ratio", "header_unit", "named_flows", "permanent_flow", "rate_at", "resolve",
    "with_rates",
]  # fmt: skip
