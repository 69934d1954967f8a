"""Accuracy: what a meter must register, in per cent of true volume: "98.5 % to 101.5 %", "±2 %", "not below 90
percent".

±x % is 100-x to 100+x. A percentage that speaks of a price, a share of meters, humidity or lead is a PERCENT, never a
BAND.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.flow import rate_at
from firstcap.extract.patterns.matching import (
    AT_LEAST,
    AT_MOST,
    HYPHENS,
    MAYBE_DASH,
    NUMBER,
    PERCENT,
    Built,
    N,
    Table,
    lower_at,
    orth,
    payload,
    reduce,
    value_of,
    values,
    with_mentions,
    with_numbers,
    word,
)
from firstcap.schema.quantities import PercentBand
from firstcap.schema.units import as_decimal
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span

_SIGNS = ("%", "percent", "pct", "prozent", "percentage", "pc", "v.h.")
_PAIRS = {("per", "cent"), ("por", "ciento"), ("pour", "cent"), ("per", "cents"), ("p", "c")}
# What a percentage counts where it counts no registration.
_NOT_REGISTRATION = frozenset(
    "price prices cost costs fee fees list invoice discount credit meters units lot lots humidity rh lead copper tin "
    "purchase "
    "batch sample amount charge charges freight value refund order contract customers retainage deposit restocking "
    "interest "
    "then-current current time month year annum sodium chlorine bandwidth readings reads voltage mains nominal "
    "consignment "
    "endpoints failures fail failed failing devices quantity bid replacement owner buyer customer supplier tax vat "
    "utility recycled glycol water's capacity the our a an those all any".split()
)
_FURTHER = frozenset("°c °f c f degrees psi bar gpm °".split())


def _after(span: "Span") -> list[str]:
    return [lower_at(span.doc, span.end + k) for k in range(6)]


def _counts_other(span: "Span") -> bool:
    """ "of the list price", "of all meters": the words after say what the percentage is of."""
    after = _after(span)
    if after[0] in {"relative", "humidity", "lead", "rh", "off", "discount", "credit", "copper", "glycol", "interest"}:
        return True
    if after[0] != "of" and not (after[0] in {"de", "du", "des"} and not {"error", "volumen"} & set(after)):
        return False
    nouns = [
        one
        for one in after[1:]
        if one not in {"the", "its", "our", "a", "an", "all", "any", "then", "-", "such", "that"}
    ]
    return bool(nouns) and not _TRUE_WORDS & set(after[:6]) and bool(_NOT_REGISTRATION & set(nouns[:3]))


_TRUE_WORDS = frozenset(
    "true actual registration registered accuracy flow volume reading measured passed correct".split()
)


def _exact(value: Fraction) -> Decimal:
    return as_decimal(value)


def _band(lower: Fraction | None, upper: Fraction | None) -> PercentBand:
    return PercentBand(
        lower=None if lower is None else as_decimal(lower), upper=None if upper is None else as_decimal(upper)
    )


def _sane(low: Fraction, high: Fraction) -> bool:
    """A band of registration: about 100, narrower than a price scale."""
    return 70 <= low < high <= 130 and low <= 100 <= high + 1


def _closed(span: "Span") -> PercentBand | None:
    found = values(span)
    if len(found) != 2 or _counts_other(span) or lower_at(span.doc, span.end) in _FURTHER:
        return None
    low, high = found
    signed = any(token.text == PERCENT for token in span)
    if not _sane(low, high):
        return None
    if not signed:
        # bare numbers: "between 98 and 102", "98.5 - 101.5"
        symmetric = low + high == 200
        decimals = low.denominator > 1 or high.denominator > 1
        if not (symmetric or decimals):
            return None
        if lower_at(span.doc, span.end) in {
            "gallons",
            "months",
            "years",
            "gal",
            "mm",
            "days",
            "m3",
            "°c",
            "degrees",
            "lb",
        }:
            return None
    return _band(low, high)


def _not_less_nor_more(span: "Span") -> PercentBand | None:
    near = {lower_at(span.doc, k) for k in (*range(span.start - 5, span.start), *range(span.end, span.end + 5))}
    if len(span) > 14 or (span[0].text == AT_MOST and near & {AT_LEAST, AT_MOST}):
        return None  # the ceiling of one band and the floor of the next
    low, high = sorted(values(span))
    return _band(low, high) if _sane(low, high) and not _counts_other(span) else None


def _plus_minus(span: "Span") -> PercentBand | None:
    found = values(span)
    if len(found) == 2:
        if found[0] != 100:
            return None
        width = found[1]
    else:
        width = found[0]
    if not 0 < width <= 25 or _counts_other(span):
        return None
    before = {lower_at(span.doc, span.start - k) for k in range(1, 5)}
    if before & {
        "price",
        "temperature",
        "voltage",
        "humidity",
        "quantity",
        "quantities",
        "resistance",
        "thickness",
        "length",
    }:
        return None
    return _band(100 - width, 100 + width)


def _minus_plus(span: "Span") -> PercentBand | None:
    """ "-5 / +1.5 %", "plus 1.5 percent or minus 5 percent"."""
    signs = [token.lower_ for token in span if token.lower_ in {"+", "plus", "minus", *HYPHENS}]
    found = values(span)
    if len(found) != 2 or len(signs) < 2 or max(found) > 25:
        return None
    first_is_minus = signs[0] not in {"+", "plus"}
    second_is_minus = signs[1] not in {"+", "plus"}
    if first_is_minus == second_is_minus:
        return None
    minus, plus = found if first_is_minus else (found[1], found[0])
    return _band(100 - minus, 100 + plus)


def _within(span: "Span") -> PercentBand | None:
    """ "within 1.5 percent (of true registration)"."""
    width = values(span)[0]
    if not 0 < width <= 15 or _counts_other(span):
        return None
    return _band(100 - width, 100 + width)


def _at_least(span: "Span") -> PercentBand | None:
    low = values(span)[0]
    if not 60 <= low <= 100 or _counts_other(span):
        return None
    return _band(low, None)


def _accuracy_of(span: "Span") -> PercentBand | None:
    """ "95 % accuracy", "accuracy of 95 %": a floor; a small figure is an error to either side."""
    value = values(span)[0]
    if _counts_other(span):
        return None
    after = _after(span)
    if after[0] in {"to", *HYPHENS, "through", "and"} and after[1] == NUMBER:
        return None
    if 60 <= value < 100:
        return _band(value, None)
    if 0 < value <= 10:
        return _band(100 - value, 100 + value)
    return None


def _slow(span: "Span") -> PercentBand | None:
    width = values(span)[0]
    words = {token.lower_ for token in span}
    if not 0 < width <= 40 or _counts_other(span):
        return None
    if words & {"fast", "over", "high", "over-registration", "overregistration", "plus", "excess"} and not words & {
        "minus",
        "slow",
    }:
        return _band(None, 100 + width)
    return _band(100 - width, None)


def _fast_and_slow(span: "Span") -> PercentBand | None:
    one, two = values(span)
    words = [token.lower_ for token in span if token.lower_ in {"fast", "slow", "high", "low"}]
    if max(one, two) > 40 or (words[0] in {"slow", "low"}) == (words[1] in {"slow", "low"}):
        return None
    slow, fast = (one, two) if words[0] in {"slow", "low"} else (two, one)
    return _band(100 - slow, 100 + fast)


def _at_flow(span: "Span") -> Built | None:
    """A floor where a percentage stands at a flow; the flow itself is another family's mention."""
    low = values(span)[0]
    if not 60 <= low <= 100 or rate_at(span.doc, span.end) is None:
        return None
    sign = next(token.i for token in span if token.text == PERCENT)
    return Built(_band(low, None), end=sign + 1)


def _error(span: "Span") -> PercentBand | None:
    width = values(span)[0]
    if not 0 < width <= 15 or len(span) > 10:
        return None
    return _band(100 - width, 100 + width)


def _parts(span: "Span") -> PercentBand | None:
    """ "nine parts in ten": a floor of 90."""
    top, bottom = values(span)
    if not 0 < top < bottom or top / bottom < Fraction(3, 5):
        return None
    return _band(top / bottom * 100, None)


def _at_most(span: "Span") -> PercentBand | None:
    high = values(span)[0]
    if not 100 < high <= 120 or _counts_other(span):
        return None
    return _band(None, high)


_CONFUSED = {"S": "85", "B": "8", "O": "0", "o": "0", "l": "1", "I": "1", "Z": "2"}


def _damaged(span: "Span") -> Built | None:
    """ "9S.5%": a letter in place of a digit; the likelier figure, never surely."""
    letter = next(token.text for token in span if token.text in _CONFUSED)
    found = values(span)
    tail = found[-1] if len(found) > 1 else None
    digits = _CONFUSED[letter]
    options = [Fraction(int(found[0]) * 10 + int(digit)) for digit in digits]
    if tail is not None and any(token.text == "." for token in span):
        options = [option + Fraction(int(tail), 10) for option in options]
    bands = [_band(option, None) for option in options if 80 <= option <= 100]
    if not bands:
        return None
    return Built(bands[0], (WarningKind.OCR.value,), tuple(bands[1:]))


_P: dict[str, Any] = {"ORTH": PERCENT}
_P_MAYBE: dict[str, Any] = {"ORTH": PERCENT, "OP": "?"}
_PM = (orth("±"), orth("+/-", "+/–", "+/−", "+-"))
_TO = word("to", "through", "thru", "a", "à", "bis", "and", "y", "et", "und", "al", "until", "or", *HYPHENS)
_TO_ONLY = word("to", "through", "thru", "a", "à", "bis", "al", *HYPHENS)
_BETWEEN = word("between", "from", "entre", "zwischen", "von", "within", "de")
_LEAST = (
    [word("not", "no", "never", "neither"), word("less", "lower", "below", "under", "fewer"), word("than", op="?")],
    [word("at"), word("least")], [word("minimum", "min", "mínimo", "minimo"), word("of", ".", "de", ":", op="?")],
    [word("not"), word("fall", "drop", "be", "register"), word("below", "under", "less"), word("than", op="?")],
    [word("≥", ">=")], [word("better", "greater", "more", "higher"), word("than"), word("or", "equal", "to", op="*")],
    [word("floor", "floor"), word("of", ":", "at", op="?")], [word("al", "como"), word("menos", "mínimo")],
    [word("mindestens", "menos", "moins", "wenigstens")], [word("au"), word("moins")],
    [word("no", "nothing"), word("worse", "poorer"), word("than")], [word("lower"), word("limit"), word("of", ":",
     op="?")],
)  # fmt: skip
_MOST = (
    [word("or", "nor"), word("greater", "more", "higher"), word("than")],
    [word("or", "nor"), word("above", "over", "exceeding", "beyond")],
    [word("not", "no", "nor", "never"), word("more", "greater", "higher", "over", "above"), word("than", op="?")],
    [word("at"), word("most")], [word("maximum", "max", "máximo"), word("of", ".", "de", ":", op="?")],
    [word("not", "nor"), word("to", "exceeding", "exceed", "above", "over"), word("exceed", op="?")],
    [word("≤", "<=")], [word("up"), word("to")], [word("ceiling", "cap"), word("of", ":", op="?")],
    [word("upper"), word("limit"), word("of", ":", op="?")],
)  # fmt: skip
_LOW: dict[str, Any] = {"ORTH": AT_LEAST}
_HIGH: dict[str, Any] = {"ORTH": AT_MOST}
_LITTLE: dict[str, Any] = {"ORTH": {"NOT_IN": [".", ";", NUMBER, PERCENT, AT_LEAST]}, "OP": "*"}
_ACCURACY = ("accuracy", "registration", "accurate", "registered", "recorded", "recovery", "exactitud", "précision",
             "precisión", "genauigkeit", "registers", "register", "record", "records")  # fmt: skip
_ERROR = ("error", "errors", "mpe", "tolerance", "deviation", "fehlergrenze", "messabweichung", "erreur", "inaccuracy",
          "abweichung", "fehlergrenzen", "emt")  # fmt: skip
_PERCENTAGE = Pattern(
    "percentage", "a bare percentage", [[N, MAYBE_DASH, _P]], lambda span: _exact(values(span)[0]), "a 15 % charge",
    Decimal(15), "15 meters",
)  # fmt: skip

PATTERNS: tuple[Pattern, ...] = (
    Pattern(
        "closed", "two limits: 98.5 % to 101.5 %, 97 % – 103 %, between 98 and 102",
        [[N, MAYBE_DASH, _P_MAYBE, _TO_ONLY, N, MAYBE_DASH, _P], [N, _P, _TO_ONLY, N], [N, _TO_ONLY, N],
         [_BETWEEN, N, _P_MAYBE, _TO, N, MAYBE_DASH, _P_MAYBE], [N, _P_MAYBE, word("and", "/"), N, _P], [N, orth("/"),
          N, _P]],
        _closed, "98.5 % to 101.5 %", _band(Fraction("98.5"), Fraction("101.5")), "10 to 20 % of the price",
    ),
    Pattern(
        "not_less_nor_more", "not less than 98.5 percent nor more than 101.5 percent",
        [[_LOW, N, _P_MAYBE, _LITTLE, _HIGH, N, MAYBE_DASH, _P], [_HIGH, N, _P_MAYBE, _LITTLE, _LOW, N, MAYBE_DASH,
         _P]],
        _not_less_nor_more,
        "not less than 98.5 percent nor more than 101.5 percent", _band(Fraction("98.5"), Fraction("101.5")),
        "not less than 10 percent nor more than 20 percent",
    ),
    Pattern(
        "plus_minus", "± of true: ±2 %, plus or minus 1.5 percent, 100 % ± 1.5 %",
        [*([sign, N, MAYBE_DASH, _P] for sign in _PM), *([N, _P_MAYBE, sign, N, MAYBE_DASH, _P] for sign in _PM),
         [word("plus"), orth("/", "-", op="?"), word("or", "and", op="?"), word("minus"), N, MAYBE_DASH, _P],
         [N, _P_MAYBE, word("plus"), orth("/", op="?"), word("or", "and", op="?"), word("minus"), N, MAYBE_DASH, _P],
         [orth("+"), word("or", "/", op="?"), orth(*HYPHENS), N, _P], [word("más", "mas"), word("o"), word("menos"),
          N, _P],
         [N, _P, orth("+/-", "±"), N],
         [N, MAYBE_DASH, _P, orth("(", ",", op="?"), word("plus", "high", "over", "fast"), word("or", "and", "/"),
          word("minus", "low", "under", "slow")],
         [N, MAYBE_DASH, _P, orth("(", ",", op="?"), word("either", "in"), word("either", "way", "direction"),
          word("direction", op="?")],
         [N, MAYBE_DASH, _P, orth("(", ",", op="?"), word("on", "to"), word("either", "each"), word("side")]],
        _plus_minus, "±2 %", _band(Fraction(98), Fraction(102)), "temperature ±2 %",
    ),
    Pattern(
        "minus_plus", "the two sides apart: -5 / +1.5 %, plus 1.5 percent or minus 5 percent",
        [[orth(*HYPHENS, "+"), N, _P_MAYBE, orth("/", ",", "and", "to", "et", "y", "und", "a", "à", "bis", op="?"),
          orth("+", *HYPHENS), N, _P_MAYBE],
         [word("plus", "minus"), N, _P_MAYBE, word("and", "or", "to", "/", ",", op="?"), word("minus", "plus"), N, _P]],
        _minus_plus, "-5 / +1.5 %", _band(Fraction(95), Fraction("101.5")), "minus 5 dollars",
    ),
    Pattern(
        "within", "a width to either side: within one and one half percent of true",
        [[word("within", "to"), word("within", "a", "an", "±", "+/-", "accuracy", "error", "of", op="*"), N,
         MAYBE_DASH, _P],
         [word("accurate"), word("to", "within", op="*"), N, _P]],
        _within, "registers within one and one half percent", _band(Fraction("98.5"), Fraction("101.5")),
        "within 5 percent of the list price",
    ),
    Pattern(
        "at_least", "a floor: at least 95 percent, not below 90 %, 95 % or better",
        [[_LOW, N, MAYBE_DASH, _P],
         [N, MAYBE_DASH, _P, word("or", "and"), word("better", "more", "above", "higher", "over", "greater")],
         [N, MAYBE_DASH, _P, word("minimum", "floor", "min", "mínimo", AT_LEAST)]],
        _at_least, "at least 95 percent", _band(Fraction(95), None), "at least 95 percent of the purchase price",
    ),
    Pattern(
        "accuracy_of", "95 % accuracy, registers 95 %, accuracy: 95 %",
        [[N, MAYBE_DASH, _P, word("of", op="?"), word("true", "actual", "of", "the", "flow", op="*"), word(*_ACCURACY)],
         [word(*_ACCURACY), word(AT_LEAST, "of", ":", "is", "at", "to", "=", "level", "de", "will", "be", "shall",
          op="*"), N, MAYBE_DASH, _P],
         [N, MAYBE_DASH, _P, word("of"), word("the", op="?"), word("true", "actual"), word("flow", "volume",
          "registration",
                                                                                       "quantity", op="?")]],
        _accuracy_of, "95 % accuracy", _band(Fraction(95), None), "95 % of meters",
    ),
    Pattern(
        "slow_or_fast", "one side in words: no worse than minus 5 percent, not more than 5 percent slow",
        [[word("worse", "lower", "more", "exceed", "below", "over", "beyond", AT_LEAST, AT_MOST), word("than", op="?"),
          word("minus", *HYPHENS, "plus", "+"), N, MAYBE_DASH, _P],
         [word(AT_MOST, op="?"), N, MAYBE_DASH, _P, word("slow", "fast", "under-registration", "over-registration",
          "underregistration")],
         [N, MAYBE_DASH, _P, word("under", "over"), MAYBE_DASH, word("registration", "reading", "register")]],
        _slow, "no worse than minus 5 percent", _band(Fraction(95), None), "worse than 5 meters",
    ),
    Pattern(
        "fast_and_slow", "both sides in words: not more than 1.5 percent fast or 5 percent slow",
        [[word(AT_MOST, op="?"), N, MAYBE_DASH, _P, word("fast", "slow", "high", "low"), word("or", "nor", "and", ",",
         op="+"),
          word(AT_MOST, op="?"), N, MAYBE_DASH, _P, word("fast", "slow", "high", "low")]],
        _fast_and_slow, "not more than 1.5 percent fast or 5 percent slow", _band(Fraction(95), Fraction("101.5")),
        "5 percent slow or stopped",
    ),
    Pattern(
        "at_flow", "a percentage at a flow: 95 % at 1/8 gpm",
        [[N, MAYBE_DASH, _P, word("at", "@", "down", "from", "for", "above"), word("the", "to", "a", "flow", "of",
         "flows", "as",
          "low", op="*"), N]],
        _at_flow, "95 % at 1/8 gpm", _band(Fraction(95), None), "95 % at 20 °C",
    ),
    Pattern(
        "error", "an error at most: error at most 2 %, maximum permissible error of 2 %, 1.5 % max error",
        [[word("err", "errs", "departs", "varies", "vary", "strays", "deviate", "deviates", "differ", "differs", "depart", "stray", "out", "wrong", "abweichen",
               "s'écarter", "apartarse"), _LITTLE, word("by", "um", "de", "en", op="?"), word(AT_MOST, AT_LEAST, op="?"), N,
          MAYBE_DASH, _P],
         [word(*_ERROR), _LITTLE, N, MAYBE_DASH, _P], [word(*_ERROR), _LITTLE, orth("±", "+/-"), N, MAYBE_DASH, _P],
         [N, MAYBE_DASH, _P, word("max", "maximum", "permissible", ".", "measurement", AT_MOST, op="*"),
          word(*_ERROR)]],
        _error, "error at most 2 %", _band(Fraction(98), Fraction(102)), "error code 2",
    ),
    Pattern(
        "parts_in", "nine parts in ten",
        [[N, word("parts", "part", "gallons", "litres"), word("in", "of", "out", "from"), word("of", "every", "each",
         op="*"), N],
         [N, word("tenths", "hundredths"), word("of"), word("true", "the", "actual")]],
        lambda span: _parts(span) if len(values(span)) == 2 else None, "at least nine parts in ten",
         _band(Fraction(90), None),
        "two parts in a kit",
    ),
    Pattern(
        "at_most", "a ceiling: not more than 101.5 percent",
        [[_HIGH, N, MAYBE_DASH, _P]],
        _at_most, "not more than 101.5 percent", _band(None, Fraction("101.5")), "not more than 20 percent",
    ),
    Pattern(
        "damaged_digit", "a letter read for a digit: 9S.5 %",
        [[N, orth(*_CONFUSED), orth("."), N, _P], [N, orth(*_CONFUSED), _P]],
        _damaged, "9S.5%", Built(_band(Fraction("98.5"), None), (WarningKind.OCR.value,), (_band(Fraction("95.5"),
         None),)),
        "9 S. 5 meters",
    ),
)  # fmt: skip
_BOUNDS = Table(
    Family.BAND,
    (
        Pattern("at_least", "words of a floor", _LEAST, lambda span: AT_LEAST, "not less than", AT_LEAST, "less"),
        Pattern("at_most", "words of a ceiling", _MOST, lambda span: AT_MOST, "nor more than", AT_MOST, "more"),
    ),
)
_TABLE = Table(Family.BAND, PATTERNS)
_PERCENTS = Table(Family.PERCENT, (_PERCENTAGE,))
PATTERNS = (*PATTERNS, _PERCENTAGE)


def with_percents(doc: "Doc", style: NumberStyle = ENGLISH) -> "Doc":
    """The doc with numbers and per cent signs ("%", "percent", "per cent", "Prozent") as single tokens."""
    reduced = with_numbers(doc, style)
    found = []
    i = 0
    while i < len(reduced):
        pair = (reduced[i].lower_, lower_at(reduced, i + 1))
        if pair in _PAIRS and lower_at(reduced, i - 1) in {NUMBER, *HYPHENS}:
            found.append((i, i + 2, PERCENT, None))
            i += 2
        elif reduced[i].lower_ in _SIGNS:
            found.append((i, i + 1, PERCENT, None))
            i += 1
        else:
            i += 1
    return _restated(reduce(reduced, found))


def _restated(reduced: "Doc") -> "Doc":
    """ "ninety-five percent (95%)" is one percentage: the words win, and a disagreement travels with the number."""
    found: list[tuple[int, int, str, Any]] = []
    for i in range(len(reduced) - 4):
        texts = [token.text for token in reduced[i : i + 6]]
        if texts[:4] != [NUMBER, PERCENT, "(", NUMBER] or ")" not in texts[4:6]:
            continue
        first, second = payload(reduced[i]), payload(reduced[i + 3])
        if not first.words or second.words:
            continue
        if first.value != second.value:
            differ = WarningKind.WORDS_AND_DIGITS_DIFFER.value
            first = replace(first, notes=(*first.notes, differ), alternatives=(*first.alternatives, second.value))
        found += [(i, i + 1, NUMBER, first), (i + 1, i + texts.index(")") + 1, PERCENT, None)]
    return reduce(reduced, found) if found else reduced


def _with_bounds(doc: "Doc", style: NumberStyle) -> "Doc":
    """ "not less than" and "at most" as single tokens too: one shape then reads every wording."""
    reduced = with_percents(doc, style)
    return with_mentions(reduced, _BOUNDS.find(reduced))


def find(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Mention]:
    """The bands of registration (BAND: PercentBand) and the other percentages (PERCENT: Decimal) of a text."""
    if not any(token.text == NUMBER for token in with_numbers(doc, style)):
        return []
    reduced = _with_bounds(doc, style)
    bands = longest(_TABLE.all(reduced))
    others = [
        one for one in _PERCENTS.find(reduced) if all(one.end <= band.start or one.start >= band.end for band in bands)
    ]
    return sorted([*bands, *others], key=lambda mention: mention.start)


_HEADS = frozenset({*_ACCURACY, "%", "percent", "limits", "limit", "band", "new", "repaired", "low", "range", "pct"})


def band_in(text: str, header: str = "", style: NumberStyle = ENGLISH) -> Mention | None:
    """The band of a table cell, its per cent sign in the cell or in the header ("Accuracy, %"); None otherwise."""
    found = [mention for mention in find(parse(text), style) if mention.family is Family.BAND]
    if found:
        return found[0]
    heads = {token.lower_ for token in parse(header)}
    percent_head = bool(heads & {"%", "percent", "pct"}) or bool(heads & set(_ACCURACY))
    reduced = with_percents(parse(text), style)
    shape = [token.text for token in reduced if token.text not in {PERCENT, "*", "†"}]
    signed = any(token.text == PERCENT for token in reduced)
    if not (percent_head or signed):
        return None
    numbers = [value_of(token) for token in reduced if token.text == NUMBER]
    band: PercentBand | None = None
    if len(numbers) == 2 and len(shape) <= 4 and _sane(numbers[0], numbers[1]):
        band = _band(numbers[0], numbers[1])
    elif (
        len(numbers) == 1
        and shape == [NUMBER]
        and ((percent_head and heads & set(_ACCURACY)) or (signed and percent_head))
    ):
        if 60 <= numbers[0] <= 100:
            band = _band(numbers[0], None)
        elif 100 < numbers[0] <= 120:
            band = _band(None, numbers[0])
    elif (len(numbers) == 1 and len(shape) == 2 and shape[0] in {"±", "+/-"} and 0 < numbers[0] <= 25) or (
        len(numbers) == 1 and len(shape) == 1 and heads & set(_ERROR) and 0 < numbers[0] <= 15
    ):
        band = _band(100 - numbers[0], 100 + numbers[0])
    if band is None:
        return None
    notes = tuple(note for token in reduced if token.text == NUMBER for note in payload(token).notes)
    return Mention(Family.BAND, 0, len(text), band, "cell_under_percent", text, notes)


__all__ = ["PATTERNS", "band_in", "find", "with_percents"]
