"""Registered volumes: "1,500,000 gallons", "2.2 MG", "2,005 CCF", "1,500,000 gal (5,678 m³)".

The printed spellings of the units of schema/units.py live here; flow.py takes them over with "per" and a time. A volume
that is part of a rate, or names a test draft or a tank, is no registration.
"""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, Number, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern
from firstcap.extract.patterns.matching import (
    DOT,
    MAYBE_DASH,
    NUMBER,
    Built,
    N,
    Table,
    cell_part,
    chars_of,
    lower_at,
    orth,
    payload,
    value_of,
    values,
    with_numbers,
    word,
)
from firstcap.schema.quantities import Volume
from firstcap.schema.units import as_decimal, gallons_per
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span

Gallon = Literal["gal", "imp_gal"]
_AMBIGUOUS = WarningKind.AMBIGUOUS_UNIT.value
_DIFFER = WarningKind.UNITS_DIFFER.value

GALLONS = ("gal", "gals", "gallon", "gallons", "galones", "galón", "galon", "gallonen", "gallone", "galls", "gall")
US = ("us", "u.s.", "u.s", "usa", "u.s.a.", "american", "ee.uu.", "usliq")
IMPERIAL = ("imperial", "imp", "uk", "u.k.", "u.k", "british", "canadian", "imperiales", "impériaux")
_LITRES = ("litre", "litres", "liter", "liters", "litro", "litros", "litern")
_METRES = ("metre", "metres", "meter", "meters", "metro", "metros", "mètre", "mètres", "mtr", "m")
_FEET = ("feet", "foot", "ft", "pies", "pie", "pieds")
_CUBIC = ("cubic", "cu", "cubik")
_CUBED = ("cúbicos", "cubicos", "cúbico", "cubico", "cubes", "cube")
# By exact form: capitals tell "ML" (megalitre) from "mL", "MG" (million gallons) from "mg".
_EXACT = {
    "ML": "ML", "Ml": "ML", "MG": "Mgal", "KL": "kL", "kL": "kL", "kl": "kL", "Kl": "kL", "L": "L", "l": "L",
    "CF": "ft3", "cf": "ft3", "CFT": "ft3", "cft": "ft3", "AF": "acre_ft", "TG": "kgal", "Mgals": "Mgal",
    "Mgal": "Mgal",
    "MGAL": "Mgal", "MGal": "Mgal", "mgal": "Mgal", "MMgal": "Mgal", "MMGAL": "Mgal", "IG": "imp_gal",
    "MIG": "imp_Mgal",
    "MUSG": "Mgal", "TUSG": "kgal", "GAL": "gal",
}  # fmt: skip
_SINGLE = {
    **dict.fromkeys(GALLONS, "gal"), **dict.fromkeys(("kgal", "kgals", "tgal", "tgals", "kusgal"), "kgal"),
    **dict.fromkeys(("usg", "usgal", "usgals", "ugal"), "gal"), **dict.fromkeys(("igal", "impgal"), "imp_gal"),
    **dict.fromkeys(("ccf", "hcf", "ccfs"), "CCF"), **dict.fromkeys(("mcf", "kcf"), "MCF"),
    **dict.fromkeys(("ft3", "cuft", "ft³"), "ft3"),
    **dict.fromkeys(("m3", "m³", "cbm", "kubikmeter", "kubikmetern", "mc", "mtc", "mt3"), "m3"),
    **dict.fromkeys(_LITRES, "L"),
    **dict.fromkeys(("kilolitre", "kilolitres", "kiloliter", "kiloliters", "kilolitros"), "kL"),
    **dict.fromkeys(("megalitre", "megalitres", "megaliter", "megaliters", "megalitros"), "ML"),
    **dict.fromkeys(("megagallon", "megagallons"), "Mgal"), **dict.fromkeys(("kilogallon", "kilogallons"), "kgal"),
}  # fmt: skip
_LETTER_SCALES = {"K": 1000, "k": 1000, "M": 10**6, "MM": 10**6, "mm": 10**6, "mil": 10**6, "mln": 10**6, "thou": 1000,
                  "Mio": 10**6, "T": 1000}  # fmt: skip
_WORD_SCALES = {
    "hundred": 100, "hundreds": 100, "thousand": 1000, "thousands": 1000, "million": 10**6, "millions": 10**6,
    "tens": 10,
    "ten": 10, "miles": 1000, "mil": 1000, "millones": 10**6, "milliers": 1000, "tausend": 1000, "millionen": 10**6,
    "'000": 1000, "000": 1000, "000s": 1000, "mio": 10**6,
}  # fmt: skip
_TIMES = frozenset(
    "min minute minutes mins minuto minuten h hr hour hours heure heures hora stunde std s sec second seconds "
    "seconde d day "
    "days día dia jour tag week month months year years yr annum".split()
)
_PERIODS = frozenset({"year", "years", "yrs", "yr", "months", "month", "años", "jahre", "ans"})
_NO_CAP = frozenset({"test", "tests", "draft", "drafts", "tank", "tanks", "drum", "prover", "bucket", "sample"})


@dataclass(frozen=True, slots=True)
class Unit:
    """A printed unit: a key of VOLUME_UNITS, a factor printed with it, and where its words end."""

    key: str
    scale: int
    end: int
    qualified: bool = False
    notes: tuple[str, ...] = ()


def _skip(doc: "Doc", i: int, *marks: str) -> int:
    while i < len(doc) and doc[i].text in marks:
        i += 1
    return i


def unit_at(doc: "Doc", i: int) -> Unit | None:
    """The unit of volume that begins at a token, longest first; dots after abbreviations are taken along."""
    i = _skip(doc, i, ".")
    found = _unit(doc, i)
    if found is None:
        return None
    end = found.end
    if end < len(doc) and doc[end].text == "." and doc[end - 1].lower_ in {"gal", "gals", "ft", "imp", "cu", "m", "l"}:
        end += 1
    if found.key in {"gal", "kgal", "Mgal"}:  # "gallons (US)", "gal. imperial"
        bracket = lower_at(doc, end) == "("
        qualifier = lower_at(doc, end + bracket)
        if qualifier in US or qualifier in IMPERIAL:
            close = end + bracket + 1
            if bracket:
                close = _skip(doc, close, ".")
                close += lower_at(doc, close) in {*GALLONS, "liquid"}
            if not bracket or lower_at(doc, close) == ")":
                key = found.key if qualifier in US else _IMPERIAL_KEY[found.key]
                return Unit(key, found.scale, close + bracket, True, found.notes)
    return replace(found, end=end)


_IMPERIAL_KEY = {"gal": "imp_gal", "kgal": "imp_kgal", "Mgal": "imp_Mgal"}


def _unit(doc: "Doc", i: int) -> Unit | None:
    if i >= len(doc):
        return None
    text, lower = doc[i].text, doc[i].lower_
    after = lower_at(doc, i + 1)
    if lower in US or lower in IMPERIAL:
        j = _skip(doc, i + 1, ".", "-", "liquid")
        inner = _unit(doc, j)
        if inner is None or inner.key not in _IMPERIAL_KEY:
            return None
        key = inner.key if lower in US else _IMPERIAL_KEY[inner.key]
        return Unit(key, inner.scale, inner.end, True, inner.notes)
    if lower in _CUBIC or lower == "cu":
        j = _skip(doc, i + 1, ".", "-")
        measure = lower_at(doc, j)
        if measure in _FEET:
            return Unit("ft3", 1, j + 1)
        if measure in _METRES:
            return Unit("m3", 1, j + 1)
        return None
    if lower in _METRES and after in _CUBED:
        return Unit("m3", 1, i + 2)
    if lower in {*_FEET} and after in _CUBED:
        return Unit("ft3", 1, i + 2)
    if lower in {"m", "ft"}:
        j = _skip(doc, i + 1, "^", ".")
        if j < len(doc) and doc[j].text in {"³", "3"}:
            return Unit("m3" if lower == "m" else "ft3", 1, j + 1)
        if (
            j < len(doc)
            and doc[j].text == NUMBER
            and value_of(doc[j]) == 3
            and (doc[j - 1].text == "^" or lower == "m")
        ):
            return Unit("m3" if lower == "m" else "ft3", 1, j + 1)
        if lower == "ft":
            return None
    if lower in {"acre", "ac"}:
        j = _skip(doc, i + 1, "-", "–", ".")
        return Unit("acre_ft", 1, j + 1) if lower_at(doc, j) in _FEET else None
    if lower in {
        "million",
        "thousand",
        "k",
        "m",
        "mm",
        "hundred",
        "hundreds",
        "thousands",
        "millions",
        "tens",
        "t",
    } or (text in _LETTER_SCALES or lower in {"miles", "millones", "milliers", "thou", "mln"}):
        j = _skip(doc, i + 1, ".", "-", "of", "de", "d'")
        inner = _unit(doc, j)
        if inner is not None and inner.scale == 1:
            letter = text in _LETTER_SCALES
            scale = _LETTER_SCALES[text] if letter else _WORD_SCALES.get(lower, 1000 if lower in {"k", "t"} else 10**6)
            if letter and text in {"T", "L"} and inner.key != "gal":
                return None
            if inner.key == "ft3" and scale == 100:
                return Unit("CCF", 1, inner.end)
            # whether M is a thousand or a million, the number beside it has to say
            notes = (_AMBIGUOUS,) if text == "M" else ()
            return Unit(inner.key, scale, inner.end, inner.qualified, (*inner.notes, *notes))
    if text in _EXACT:
        return Unit(_EXACT[text], 1, i + 1, _EXACT[text].startswith("imp"))
    if lower in _SINGLE:
        key = _SINGLE[lower]
        qualified = lower.startswith(("us", "imp", "ig", "kus"))
        return Unit(key, 1, i + 1, qualified, (_AMBIGUOUS,) if lower == "mcf" else ())
    return None


def is_rate(doc: "Doc", end: int) -> bool:
    """Whether the words after a unit make it a rate: "per minute", "/h", "a day"."""
    following, then = lower_at(doc, end), lower_at(doc, end + 1)
    if following in {"/", "per", "a", "an", "each", "every", "por", "par", "pro", "je", "p", "à"}:
        then = lower_at(doc, end + 2) if then == "." else then
        return then in _TIMES or (following == "/" and then == "l")
    return following in {"daily", "hourly"}


_MANY_GALLONS = 200  # "200 M gal" may be two hundred million; more is read as Roman thousands


def _built(number: Fraction, unit: Unit) -> Built | None:
    notes = unit.notes
    scale = unit.scale
    alternatives: tuple[Volume, ...] = ()
    if scale == 10**6 and _AMBIGUOUS in notes:
        if number <= _MANY_GALLONS:
            notes = tuple(note for note in notes if note != _AMBIGUOUS)
        else:
            alternatives = (Volume(value=as_decimal(number * scale), unit=unit.key),)
            scale = 1000
    elif unit.key == "MCF":
        alternatives = (Volume(value=as_decimal(number * 1000), unit="MCF"),) if _AMBIGUOUS in notes else ()
    if number <= 0:
        return None
    return Built(Volume(value=as_decimal(number * scale), unit=unit.key), notes, alternatives)


def _amount(span: "Span") -> Built | None:
    """NUMBER … unit, the unit reaching exactly to the end of the span."""
    doc = span.doc
    number = values(span)[0]
    last = span.end - (span[-1].text == ".")  # the stop may end the sentence and not an abbreviation
    for i in range(span.start + 1, last):
        unit = unit_at(doc, i)
        if unit is None or unit.end < last or doc[i].text in {"-", "–"}:
            continue
        if unit.end > span.end:
            # the words after the span say which gallon, or belong to a longer match of another pattern
            return None
        if is_rate(doc, unit.end) or lower_at(doc, unit.end) in _NO_CAP:
            return None
        if span[-1].text == NUMBER and re.match(rf"[-–]{NUMBER}", doc.text[span.end_char :]):
            return None  # "5M 3-19" at a form's foot: copies printed, month and year
        skipped = [doc[k].lower_ for k in range(span.start + 1, i)]
        if any(one in {"k", "m", "mm"} for one in skipped):
            return None
        if unit.key == "L" and doc[i].text in {"L", "l"} and lower_at(doc, unit.end) in {"/", "="}:
            return None
        return _built(number, unit)
    return None


def _unit_first(span: "Span") -> Built | None:
    unit = unit_at(span.doc, span.start)
    if unit is None or unit.end >= span.end:
        return None
    if any(token.text == NUMBER for token in span[:-1]) or unit_at(span.doc, span.end) is not None:
        return None
    return _built(values(span)[-1], unit)


_ADJECTIVE = word(
    "registered", "recorded", "metered", "total", "cumulative", "measured", "full", "of", "de", "d'", "liquid",
    "metric",
    op="?",
)  # fmt: skip
_UNIT_WORDS = sorted({*_SINGLE, *(form.lower() for form in _EXACT)} - {"m", "ft"})
_SINGLE_UNIT = word(*_UNIT_WORDS)
_QUALIFIER = word(*US, *IMPERIAL)
_LETTER = orth(*_LETTER_SCALES)
_GAL = word(*GALLONS)

PATTERNS: tuple[Pattern, ...] = (
    Pattern(
        "number_and_unit", "a number and a unit of one word: 1,500,000 gallons, 2.2 MG, 2,005 CCF, 5,678 m³",
        [[N, MAYBE_DASH, _ADJECTIVE, _SINGLE_UNIT, DOT],
         [N, MAYBE_DASH, _ADJECTIVE, _SINGLE_UNIT, DOT, orth("(", op="?"), _QUALIFIER, DOT, word(*GALLONS, op="?"),
          orth(")", op="?")]],
        _amount, "1,500,000 gallons", Volume(value=Decimal(1500000), unit="gal"), "1.5 gallons per minute",
    ),
    Pattern(
        "qualified_gallons", "which gallon it is: U.S. gallons, imperial gallons, Imp. gal.",
        [[N, MAYBE_DASH, word("million", "thousand", op="?"), _QUALIFIER, DOT, MAYBE_DASH, _GAL, DOT]],
        _amount, "500,000 imperial gallons", Volume(value=Decimal(500000), unit="imp_gal"), "500,000 imperial units",
    ),
    Pattern(
        "scale_letter", "a letter for the scale: 500K gallons, 1.5M gal, 750 k gal",
        [[N, MAYBE_DASH, _LETTER, DOT, MAYBE_DASH, word(*US, *IMPERIAL, op="?"), DOT, word(*_UNIT_WORDS, "cubic",
         "cu"), DOT],
         [N, MAYBE_DASH, _LETTER, DOT, MAYBE_DASH, word("cubic", "cu"), DOT, word(*_FEET, *_METRES), DOT]],
        _amount, "500K gallons", Volume(value=Decimal(500000), unit="gal"), "500 K resistor",
    ),
    Pattern(
        "cubic", "cubic feet and metres in words: 200,520 cu. ft., 5,678 cubic metres, metros cúbicos",
        [[N, MAYBE_DASH, _ADJECTIVE, word(*_CUBIC), DOT, MAYBE_DASH, word(*_FEET, *_METRES), DOT],
         [N, MAYBE_DASH, word("de", op="?"), word(*_METRES, *_FEET), word(*_CUBED)]],
        _amount, "200,520 cu. ft.", Volume(value=Decimal(200520), unit="ft3"), "20 cu. ft. per minute",
    ),
    Pattern(
        "power_three", "a raised 3 that came apart: 5,678 m 3, 200 ft^3",
        [[N, word("m", "ft"), orth("^", op="?"), N], [N, word("m", "ft"), orth("^", op="?"), orth("³")]],
        _amount, "5,678 m 3", Volume(value=Decimal(5678), unit="m3"), "5 m 4",
    ),
    Pattern(
        "acre_feet", "acre-feet of large meters",
        [[N, MAYBE_DASH, word("acre", "ac"), MAYBE_DASH, DOT, word(*_FEET), DOT]],
        _amount, "12 acre-feet", Volume(value=Decimal(12), unit="acre_ft"), "12 acre lots",
    ),
    Pattern(
        "tens_of", "counted in tens, hundreds or thousands: 20,052 tens of cubic feet",
        [[N, word("tens", "hundreds", "thousands", "millions"), word("of"), _SINGLE_UNIT, DOT],
         [N, word("tens", "hundreds", "thousands", "millions"), word("of"), word(*_CUBIC), DOT, word(*_FEET,
          *_METRES)]],
        _amount, "20,052 tens of cubic feet", Volume(value=Decimal(200520), unit="ft3"), "20 tens of them",
    ),
    Pattern(
        "unit_before", "the unit before the number, with a colon or an equals sign: Gallons: 1,500,000",
        [[_SINGLE_UNIT, orth(")", op="?"), orth(":", "="), N],
         [word(*_CUBIC), DOT, word(*_FEET, *_METRES), orth(")", op="?"), orth(":", "="), N]],
        _unit_first, "Gallons: 1,500,000", Volume(value=Decimal(1500000), unit="gal"), "Gallons of water",
    ),
)  # fmt: skip
_TABLE = Table(Family.VOLUME, PATTERNS)


def find(doc: "Doc", style: NumberStyle = ENGLISH, gallon: Gallon = "gal") -> list[Mention]:
    """The volumes of a text. `gallon` is what an unqualified gallon means in this document."""
    reduced = with_numbers(doc, style)
    found = [_in_gallons(doc, _plausible(mention), gallon) for mention in _TABLE.find(reduced)]
    return _side_by_side(doc, found)


_TINY = Decimal(15_000)  # US gallons: a meter passes as much in a month or two, so no promise ends there


def _plausible(mention: Mention) -> Mention:
    """Of two readings of a mark before three digits, the one that can be a registration cap; both kept, flagged."""
    if WarningKind.AMBIGUOUS_DECIMAL.value not in mention.notes or mention.value.usgal >= _TINY:
        return mention
    other = next((one for one in mention.alternatives if one.usgal >= _TINY), None)
    if other is None:
        return mention
    rest = tuple(one for one in mention.alternatives if one != other)
    return replace(mention, value=other, alternatives=(mention.value, *rest))


def _imperial(volume: Volume) -> Volume:
    return volume.model_copy(update={"unit": _IMPERIAL_KEY.get(volume.unit, volume.unit)})


def _says_us(text: str) -> bool:
    words = {token.lower_ for token in parse(text)}
    return not words.isdisjoint({*US, "usg", "usgal", "usgals", "musg"})


def _in_gallons(doc: "Doc", mention: Mention, gallon: Gallon) -> Mention:
    if gallon == "gal" or mention.value.unit not in _IMPERIAL_KEY or _says_us(mention.text):
        return mention
    return replace(
        mention,
        value=_imperial(mention.value),
        alternatives=tuple(_imperial(other) for other in mention.alternatives),
    )


def _tolerance(volume: Volume) -> Fraction:
    """Half a unit of the last significant digit printed, in US gallons."""
    digits = volume.value.normalize().as_tuple()
    return Fraction(10) ** int(digits.exponent) / 2 * gallons_per(volume.unit)


def agree(first: Volume, second: Volume) -> bool:
    """Whether two printed volumes are the same within rounding: half a last digit, or half a per cent."""
    one, two = Fraction(first.value) * gallons_per(first.unit), Fraction(second.value) * gallons_per(second.unit)
    gap = abs(one - two)
    rounding = min(max(_tolerance(first), _tolerance(second)), max(one, two) / 20)
    return gap <= max(rounding, max(one, two) / 200)


_JOINS = frozenset({"", "(", "[", "/", "=", ",", "or", "(=", "≈", "~", "about", "approx.", "( approx.", "(about", "(or",
                    "(approximately", "(approx.", "(approx", "o", "ou", "bzw.", "i.e.", "(i.e.", "–", "-", "(~", "(≈",
                    ", or",
                    ", i.e.", "equal to", "(equal to", "equivalent to", "(equivalent to", "(ca."})  # fmt: skip


def _side_by_side(doc: "Doc", mentions: list[Mention]) -> list[Mention]:
    """ "1,500,000 gal (5,678 m³)" is one mention; where the two disagree, the first printed and a note."""
    text = doc.text
    kept: list[Mention] = []
    for mention in mentions:
        before = kept[-1] if kept else None
        between = " ".join(text[before.end : mention.start].lower().split()) if before else ""
        if before is None or between not in _JOINS or before.value.unit == mention.value.unit:
            kept.append(mention)
            continue
        bracketed = between[:1] in {"(", "["}
        joined = _reconciled(before, mention)
        if joined is None and not bracketed:
            kept.append(mention)
            continue
        end = mention.end
        if bracketed:
            rest = text[end:]
            closing = len(rest) - len(rest.lstrip())
            if rest[closing : closing + 1] in {")", "]"}:
                end += closing + 1
        if joined is None:
            joined = replace(
                before,
                notes=tuple(dict.fromkeys((*before.notes, _DIFFER))),
                alternatives=(*before.alternatives, mention.value, *_as_imperial(before.value, mention.value)),
            )
        kept[-1] = replace(joined, end=end, text=text[before.start : end])
    return kept


def _as_imperial(first: Volume, second: Volume) -> tuple[Volume, ...]:
    """The imperial reading of an unqualified gallon, where the second unit bears it out."""
    imperial = _imperial(first)
    return (imperial,) if imperial != first and agree(imperial, second) else ()


def _reconciled(first: Mention, second: Mention) -> Mention | None:
    """The first mention, with the reading of it that agrees with a reading of the second; None where none does."""
    for theirs in (second.value, *second.alternatives):
        if agree(first.value, theirs):
            return replace(first, notes=_settles(first))
    for index, other in enumerate(first.alternatives):
        if isinstance(other, Volume) and agree(other, second.value):
            rest = tuple(one for k, one in enumerate(first.alternatives) if k != index)
            return replace(first, value=other, notes=_settles(first), alternatives=(first.value, *rest))
    return None


def _settles(first: Mention) -> tuple[str, ...]:
    """Notes left once the second unit has shown which reading is meant."""
    doubtful = {WarningKind.AMBIGUOUS_DECIMAL.value, _AMBIGUOUS}
    return tuple(note for note in first.notes if note not in doubtful)


# ---- cells under a header -------------------------------------------------------------------------------------------


def header_unit(header: str) -> Unit | None:
    """The unit a header names, with its scale: "gallons (thousands)", "gal x 1000", "(000 gal)", "volume (m³)"."""
    reduced = with_numbers(parse(header))
    found: Unit | None = None
    place = 0
    for i in range(len(reduced)):
        if (i == 0 or reduced[i - 1].text != "/") and lower_at(reduced, i - 1) != "per":
            unit = unit_at(reduced, i)
            if unit is not None and is_rate(reduced, unit.end):
                return None
            if unit is not None and not (
                unit.key in {"L", "ft3"} and reduced[i].text in {"L", "l", "CF"} and len(reduced) > 8
            ):
                found, place = unit, i
                break
    if found is None:
        for i in range(1, len(reduced)):  # "years / gallons"
            unit = unit_at(reduced, i)
            if unit is not None and not is_rate(reduced, unit.end):
                found, place = unit, i
                break
    if found is None:
        return None
    if found.scale != 1:
        return found
    scale = 1
    for token in reduced:
        if place <= token.i < found.end:
            continue
        if token.text == NUMBER and payload(token).value in (10, 100, 1000, 10**6):
            before, after = lower_at(reduced, token.i - 1), lower_at(reduced, token.i + 1)
            printed = int(payload(token).value)
            adjacent = (
                token.i + 1 == place or before in {"x", "×", "*", "in", "of"} or after in {"x", "×", "*", "s", "'s"}
            )
            if adjacent or printed >= 1000:
                scale = max(scale, printed)
        elif token.text == NUMBER and value_of(token) == 0:
            scale = max(scale, 1000)  # "(000 gal)", "gallons (000)"
        elif token.lower_ in _WORD_SCALES and token.lower_ not in {"ten", "hundred", "mil"}:
            scale = max(scale, _WORD_SCALES[token.lower_])
        elif token.text in {"K", "MM"} and token.i + 1 != place:
            scale = max(scale, _LETTER_SCALES[token.text])
    if found.key == "ft3" and scale == 100:
        return replace(found, key="CCF")
    return replace(found, scale=scale)


_EMPTY = frozenset({"", "-", "–", "—", "n/a", "na", "none", "n.a.", "nil"})


def volume_in(text: str, unit_text: str = "", style: NumberStyle = ENGLISH, gallon: Gallon = "gal") -> Mention | None:
    """The volume of a table cell, its unit in the cell or in the header; None where neither names one."""
    if text.strip().lower() in _EMPTY:
        return None
    own = find(parse(text), style, gallon)
    if own:
        return own[0]
    part, head = cell_part(text, unit_text, header_unit)
    unit = header_unit(head)
    if unit is None:
        return None
    reduced = with_numbers(parse(part), style)
    place = next((token.i for token in reduced if token.text == NUMBER), None)
    if place is None or any(token.text in {"%", '"', "″", "±"} for token in reduced):
        return None
    before = [token.lower_ for token in reduced[:place]]
    after = [token.lower_ for token in reduced[place + 1 :]]
    letter = reduced[place + 1].text if place + 1 < len(reduced) else ""
    scale = _LETTER_SCALES.get(letter, 1) if letter in {"K", "k", "M", "MM"} else 1
    second = next((k for k, token in enumerate(reduced) if token.text == NUMBER and k > place), None)
    if not set(before) <= {"up", "to", "max", ".", "maximum", "(", "≤", "<", ":"} or (
        second is not None and not {"(", "["} & set(after[: second - place - 1])
    ):
        return None
    if any(
        len(one) > 2 and one.isalpha() and one not in {"max", "first", "total"}
        for one in after[: 3 if scale > 1 else 2]
    ):
        return None
    number: Number = payload(reduced[place])
    worded = number.words and number.value >= 1000  # "1.5 million" under a header that also says millions
    factor = scale if scale > 1 else (1 if worded else unit.scale)
    if head == unit_text and number.value * factor < 1000 and any(token.lower_ in _PERIODS for token in parse(head)):
        return None  # "years or gallons": a small number alone says neither
    built = _built(number.value, replace(unit, scale=factor, notes=unit.notes if factor == unit.scale else ()))
    if built is None:
        return None
    alternatives = [*built.alternatives]
    alternatives += [Volume(value=as_decimal(other * factor), unit=unit.key) for other in number.alternatives]
    start, end = chars_of(reduced[place : place + 1 + (scale > 1)])
    offset = text.index(part)
    mention = Mention(
        Family.VOLUME,
        start + offset,
        end + offset,
        built.value,
        "cell_under_unit",
        text[start + offset : end + offset],
        tuple(dict.fromkeys((*built.notes, *number.notes))),
        tuple(alternatives),
    )
    mention = _plausible(mention)
    return mention if unit.qualified else _in_gallons(parse(text), mention, gallon)


__all__ = ["GALLONS", "PATTERNS", "Unit", "agree", "find", "header_unit", "is_rate", "unit_at", "volume_in"]
