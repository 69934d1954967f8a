"""The words of prorated credits: shares of a price, stages of a warranty time, how shares change, and who pays them.

A text is reduced first: every number, ordinal, share ("40 %", "three quarters", "ein Drittel") and count of points
becomes one sign, so that a row is one readable shape: `years? N to N`. What the mentions mean together is settled in
assembly. Shares are percentages of a price; stages are months since the start, both ends as age.
"""

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle, number_in, numbers, ordinals
from firstcap.extract.patterns.base import Family, Mention, longest
from firstcap.schema.units import as_decimal

if TYPE_CHECKING:
    from spacy.tokens import Doc

# ---- values ---------------------------------------------------------------------------------------------------------


class StageKind(StrEnum):
    SPAN = "span"  # between two ages
    FIRST = "first"  # the first so many months
    LAST = "last"  # the last so many months
    NEXT = "next"  # so many months after the stage before
    REST = "rest"  # from the end of the stage before to the end


@dataclass(frozen=True, slots=True)
class Stage:
    """A stretch of a warranty time. SPAN: from `start` to `end` months of age (None: to the end, or from the stage
    before); FIRST, LAST, NEXT: `end` months long. `unit`: 12 where it is counted in years, 1 in months."""

    kind: StageKind
    start: Decimal | None = None
    end: Decimal | None = None
    unit: int = 12


@dataclass(frozen=True, slots=True)
class Change:
    """So many points more (or less, or it does not say) in each later year (`unit` 12) or month (1)."""

    points: Decimal
    falls: bool | None
    unit: int = 12


class Side(StrEnum):
    CUSTOMER = "customer"
    SUPPLIER = "supplier"


@dataclass(frozen=True, slots=True)
class Rate:
    """A share for each year (`unit` 12) or month (1): of the time gone, or (`left`) of the time still to come.

    `begun`: a year that has begun counts whole. `whole`: counted since the start; None where it does not say.
    """

    pct: Fraction
    unit: int
    left: bool
    begun: bool = False
    whole: bool | None = None


@dataclass(frozen=True, slots=True)
class Evenly:
    """A share that changes evenly: over the whole time (`whole`), over its prorated part, or it does not say."""

    whole: bool | None = None


# ---- the reduced text -----------------------------------------------------------------------------------------------

N, ORD, S, Q = "\ue100", "\ue101", "\ue102", "\ue103"  # a number, an ordinal, a share, a count of points

_EN_ORDINALS = (
    "third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth "
    "seventeenth eighteenth nineteenth twentieth"
).split()
_DENOMINATORS: dict[str, int] = {name: value for value, name in enumerate(_EN_ORDINALS, 3)} | {
    "half": 2, "halve": 2, "quarter": 4, "twenty-fourth": 24, "twenty-fifth": 25, "thirtieth": 30, "thirty-sixth": 36,
    "fortieth": 40, "forty-eighth": 48, "fiftieth": 50, "sixtieth": 60, "seventy-second": 72, "eightieth": 80,
    "eighty-fourth": 84, "ninety-sixth": 96, "hundredth": 100, "one-hundredth": 100, "hundred-twentieth": 120,
    "hundred-and-twentieth": 120, "one-hundred-twentieth": 120, "one-hundred-and-twentieth": 120,
    "hundred-eightieth": 180, "one-hundred-and-eightieth": 180, "hundred-and-eightieth": 180,
    "mitad": 2, "tercio": 3, "cuarto": 4, "quinto": 5, "sexto": 6, "séptimo": 7, "octavo": 8, "noveno": 9, "décimo": 10,
    "onceavo": 11, "doceavo": 12, "treceavo": 13, "quinceavo": 15, "veinteavo": 20, "sesentavo": 60,
    "tercera parte": 3, "cuarta parte": 4, "quinta parte": 5, "sexta parte": 6, "octava parte": 8, "décima parte": 10,
    "doceava parte": 12, "quinceava parte": 15, "veinteava parte": 20, "vigésima parte": 20, "sesentava parte": 60,
    "ciento veinteava parte": 120, "cuarta": 4,
    "moitié": 2, "demi": 2, "tier": 3, "tiers": 3, "quart": 4, "cinquième": 5, "sixième": 6, "septième": 7,
    "huitième": 8, "neuvième": 9, "dixième": 10, "douzième": 12, "quinzième": 15, "vingtième": 20, "soixantième": 60,
    "cent vingtième": 120, "cent-vingtième": 120,
    "hälfte": 2, "drittel": 3, "viertel": 4, "fünftel": 5, "sechstel": 6, "siebtel": 7, "achtel": 8, "neuntel": 9,
    "zehntel": 10, "elftel": 11, "zwölftel": 12, "fünfzehntel": 15, "zwanzigstel": 20, "vierundzwanzigstel": 24,
    "sechzigstel": 60, "hundertzwanzigstel": 120,
}  # fmt: skip
_NUMERATORS: dict[str, int] = {
    name: value
    for value, names in enumerate(
        (
            "a|an|one|un|una|une|ein|eine|einem|einen|einer|eines|la|le|die|der|den|das|el|l'|l’|du|del|au",
            "two|dos|deux|zwei", "three|tres|trois|drei", "four|cuatro|quatre|vier", "five|cinco|cinq|fünf",
            "six|seis|sechs", "seven|siete|sept|sieben", "eight|ocho|huit|acht", "nine|nueve|neuf|neun",
            "ten|diez|dix|zehn", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
            "eighteen", "nineteen",
        ),
        1,
    )
    for name in names.split("|")
}  # fmt: skip
_ALONE = {"half": 2, "mitad": 2, "moitié": 2, "hälfte": 2, "hälftig": 2, "halben preis": 2, "halbem preis": 2,
          "quarter": 4, "medio precio": 2, "demi-tarif": 2, "demi-prix": 2}  # fmt: skip


def _either(words: Iterator[str] | Sequence[str]) -> str:
    return "|".join(
        re.escape(word).replace(r"\ ", r"[ -]").replace(r"\-", r"[ -]") for word in sorted(words, key=len, reverse=True)
    )


_PARTED = re.compile(
    rf"\b({_either(list(_NUMERATORS))}|\d{{1,3}})(?:[ -]|(?<=['’]))({_either(list(_DENOMINATORS))})(?:s|n|as|os)?\b(?: partes?\b)?"
)
_SINGLE = re.compile(rf"(?<![\w-])({_either(list(_ALONE))})\b")
_SLASHED = re.compile(r"(?<![\d/.,-])(\d{1,3})/(\d{1,3})(?:th|ths|rd|rds)?(?![\d/])")
_NO_PART = re.compile(  # a place in a row, a length of time, a meter size: no share of a price
    r"[ -]*(?:years?|yrs?|months?|year's|années?|ans?|años?|mes|meses|mois|jahre?s?|monate?s?|(?:a|an|de|of an?) (?:year|month|inch|gallon|century|million|decade)|inch(?:es)?|failure|time|part(?:y|ies)|persons?|edition|row|column|lines?|millions?|gallons?|percent|per cent|turns?|hours?)\b",
)
_NO_PART_SIGN = re.compile(r"[ -]*(?:in\.|[\"”″]|x \d)")
_OF_PRICE = re.compile(
    r"\s*(?:th|ths)?\s*(?:of\b|off\b|del?\b|des?\b|du\b|vom\b|per\b|pro\b|par\b|por\b|for (?:each|every)|the (?:price|cost|list)|(?:list |purchase )?price|list\b|cost\b|credit\b|share\b|part\b|für jede|each (?:year|month))"
)
_ENDS = re.compile(r"\s*(?:[,;.)]|$|(?:and|in|for|y|et|und)\b)")
_PERCENT = re.compile(
    r"\s*(?:%|percent\b|per cent\b|per-cent\b|pct\b\.?|prozent\b|v\. ?h\.|por ciento\b|pour cent\b|por 100\b|p\. ?c(?:t)?\.?)(?!age)(?![ -]*(?:age )?(?:points?|punkte?|puntos))",
)
_POINTS = re.compile(
    r"[ -]*(?:(?:percentage|per cent|percent|%)[ -]*)?(?:points?\b|puntos?\b|prozentpunkten?\b|punkte?n?\b)(?: (?:porcentuales|de pourcentage))?"
)


@dataclass(frozen=True, slots=True)
class Reduced:
    """A text with one sign for each number. `places[i]` is where sign i stands in the text, `values[i]` its value."""

    text: str
    places: tuple[tuple[int, int], ...]
    values: dict[int, Fraction]

    def place(self, start: int, end: int) -> tuple[int, int]:
        return self.places[start][0], self.places[max(start, end - 1)][1]


def _no_part(low: str, at: int) -> bool:
    return _NO_PART.match(low, at) is not None or _NO_PART_SIGN.match(low, at) is not None


def _parts(low: str) -> Iterator[tuple[int, int, Fraction]]:
    """Shares written as parts: "three quarters", "one-thirteenth", "die Hälfte", "1/20 of the price"."""
    taken: list[tuple[int, int]] = []
    for match in _PARTED.finditer(low):
        above, below = match.group(1), re.sub(r"[ -]", lambda m: m.group(0), match.group(2))
        top = int(above) if above.isdigit() else _NUMERATORS[above]
        bottom = next(
            value for name, value in _DENOMINATORS.items() if re.sub(r"[ -]", " ", name) == re.sub(r"[ -]", " ", below)
        )
        article = not above.isdigit() and above in (
            "a",
            "an",
            "la",
            "le",
            "die",
            "der",
            "den",
            "das",
            "el",
            "l'",
            "l’",
            "du",
            "del",
            "au",
        )
        ordinal_like = bottom not in (2, 4) or below.startswith("cuart")
        if _no_part(low, match.end()) or top >= bottom:
            continue
        if (
            article
            and ordinal_like
            and not (
                _OF_PRICE.match(low, match.end())
                or (above in ("a", "an") and _ENDS.match(low, match.end()))
                or below.endswith(("parte", "tiers", "tel"))
            )
        ):
            continue
        taken.append(match.span())
        yield match.start(), match.end(), Fraction(100 * top, bottom)
    for match in _SLASHED.finditer(low):
        top, bottom = int(match.group(1)), int(match.group(2))
        if 0 < top < bottom and _OF_PRICE.match(low, match.end()) and not _no_part(low, match.end()):
            taken.append(match.span())
            yield match.start(), match.end(), Fraction(100 * top, bottom)
    for match in _SINGLE.finditer(low):
        before = low[max(0, match.start() - 14) : match.start()]
        if any(a <= match.start() < b for a, b in taken) or _no_part(low, match.end()):
            continue
        if re.search(r"(?:and a|calendar|each|every|per|one and) $", before):
            continue
        yield match.start(), match.end(), Fraction(100, _ALONE[match.group(1)])


def reduced(doc: "Doc", style: NumberStyle = ENGLISH) -> Reduced:
    """The text of a doc in lower case, its numbers, ordinals, shares and points as one sign each."""
    text = doc.text
    low = "".join(sign.lower()[0] for sign in text)
    found: list[tuple[int, int, str, Fraction]] = [(start, end, S, value) for start, end, value in _parts(low)]

    def free(start: int, end: int) -> bool:
        return all(end <= other[0] or start >= other[1] for other in found)

    cardinals = [
        (doc[one.start].idx, doc[one.end - 1].idx + len(doc[one.end - 1]), one.value) for one in numbers(doc, style)
    ]
    for start, end, value in cardinals:
        if free(start, end) and (after := _POINTS.match(low, end)):
            found.append((start, after.end(), Q, value))
        elif free(start, end) and (after := _PERCENT.match(low, end)):
            found.append((start, after.end(), S, value))
    for one in ordinals(doc):
        start, end = doc[one.start].idx, doc[one.end - 1].idx + len(doc[one.end - 1])
        count = one.value == 1 and low[start:end].isalpha() and not _NEXT_TIME.match(low, end)
        if free(start, end) and not count:  # "the first five years" counts, "the first year" names one
            found.append((start, end, ORD, one.value))
    for match in _GERMAN_ORDINAL.finditer(low):
        if free(*match.span(1)):
            found.append((*match.span(1), ORD, Fraction(int(match.group(1)[:-1]))))
    for start, end, value in cardinals:
        part = next((other for other in found if start < other[0] < end <= other[1]), None)
        if part is not None:  # "year nine and nine tenths": a year, and a share
            words = re.sub(r"[\s,-]+(?:and[\s]*)?$", "", text[start : part[0]])
            one_ = number_in(words, style)
            start, end, value = start, start + len(words), one_.value if one_ else Fraction(0)
        if value and free(start, end):
            found.append((start, end, N, value))
    found.sort()
    out: list[str] = []
    places: list[tuple[int, int]] = []
    values: dict[int, Fraction] = {}
    at = 0
    for start, end, sign, value in found:
        for place in range(at, start):
            out.append(low[place])
            places.append((place, place + 1))
        values[len(out)] = value
        out.append(sign)
        places.append((start, end))
        at = end
    for place in range(at, len(low)):
        out.append(low[place])
        places.append((place, place + 1))
    return Reduced("".join(out), tuple(places), values)


_NEXT_TIME = re.compile(r"\s+(?:year|month|año|mes\b|an\b|année|mois|jahr|monat|to\b|through|and\b)")
# German prints ordinals as a number with a full stop: "vom 9. bis zum 12. Jahr".
_GERMAN_ORDINAL = re.compile(r"\b(\d{1,3}\.)(?=\s*(?:(?:bis|und)\b|jahre?s?\b|monate?s?\b|betriebsjahr|garantiejahr))")

# ---- rows -----------------------------------------------------------------------------------------------------------

_YEAR = r"(?:years?|yrs?\.?|(?:warranty|contract|service) years?|años?|ans?|années?|jahr(?:e[ns]?|es)?|(?:betriebs|garantie|nutzungs)jahr(?:e[ns]?|es)?)\b"
_MONTH = r"(?:months?|mos?\.?|mes(?:es)?|mois|monat(?:e[ns]?|s)?)\b"
_TIME = rf"(?:{_YEAR}|{_MONTH})"
_TO = r"(?:to|through|thru|until|till|up to|and|al?|hasta|y|à|au|et|bis(?: zum| einschließlich)?|und|-|–|—)"
_THE = r"(?:(?:the|el|la|los|las|le|les|l['’]|dem|den|des|der|die|das|zum|zur|du|de|del|its|their|this|such|of) ?)*"
_FIRST = r"(?:first|initial|opening|erste[nr]?|premi[eè]re?s?|primer[oa]?s?)"
_LAST = r"(?:last|final|closing|remaining|residual|other|letzten|restlichen|übrigen|verbleibenden|derni[eè]re?s?|restant[ea]?s?|últim[oa]s)"
_NEXT = r"(?:next|following|further|subsequent|ensuing|succeeding|another|additional|more|folgenden|nächsten|weiteren?|anschließenden|siguientes|suivante?s?|subsiguientes|adicionales)"
_EACH = (
    r"(?:(?:each|every|any|chaque|cada|jede[smnr]?|pro|per|por|par|in each|in every|im jeweils)(?: of)?(?: (?:the|los|las))?"
    r"(?: (?:later|following|further|subsequent|succeeding|next|additional|new|more|weitere[ns]?|folgende[ns]?|spätere[ns]?|nächste[ns]?))*"
    rf" (?:{_TIME}|one|other|an)(?: (?:after(?: that| it)?|thereafter|suivante?|siguiente|adicional|ult[ée]rieure?|supplémentaire|danach|darauf|since|that follows))*"
    r"|a (?:year|month)\b|annually|yearly|monthly|jährlich|monatlich|anual(?:es|mente)?|mensual(?:es|mente)?|al año|al mes|par an\b|annuels?)"
)
_LESS = r"(?:less|lower|fewer|smaller|down|minus|fall\w*|drop\w*|declin\w*|decreas\w*|reduc\w*|diminish\w*|shrink\w*|weniger|abzüglich|sink\w*|verringer\w*|vermindert?|menos|disminu\w*|baj\w+|moins|diminu\w*|baiss\w*|décro\w*)"
_MORE = r"(?:more|higher|greater|larger|up\b|plus|ris\w+|increas\w*|grow\w*|add\w*|climb\w*|extra|another|further|mehr|zuzüglich|steig\w*|erhöh\w*|wächst|más|aument\w*|sub[ei]\w*|crec\w*|incrementad\w*|de plus|augment\w*|major\w*|supplémentaire\w*|croi\w*)"


@dataclass(frozen=True, slots=True)
class Row:
    """One wording: a shape over the reduced text, and what it means. `value` is what the example gives."""

    name: str
    shape: str
    build: Callable[[list[Fraction], "re.Match[str]"], Any]
    example: str
    value: Any
    counter_example: str
    why: str
    language: str = "en"


class ShapeTable:
    """The rows of one family; of mentions that overlap the longest stands."""

    def __init__(self, family: Family, rows: Sequence[Row]) -> None:
        self.family = family
        self.wordings = tuple(rows)
        self._compiled = [(row, re.compile(row.shape)) for row in rows]

    def find(self, doc: "Doc", *, overlapping: bool = False) -> list[Mention]:
        """Mentions in order, their places counted in the text of the doc."""
        return self.find_in(reduced(doc), doc.text, overlapping=overlapping)

    def find_in(self, low: Reduced, text: str, *, overlapping: bool = False) -> list[Mention]:
        found = []
        for row, shape in self._compiled:
            for match in shape.finditer(low.text):
                given = [low.values[i] for i in range(match.start(), match.end()) if i in low.values]
                value = row.build(given, match)
                if value is None:
                    continue
                start, end = low.place(*match.span())
                found.append(Mention(self.family, start, end, value, row.name, text[start:end]))
        return sorted(found, key=lambda one: (one.start, -one.end)) if overlapping else longest(found)


def _unit(match: "re.Match[str]") -> int:
    return 1 if re.search(_MONTH, match.group(0)) and not re.search(_YEAR, match.group(0)) else 12


def _whole(value: Fraction, most: int = 720) -> bool:
    return value.denominator == 1 and 0 < value <= most


def _span(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
    """Years 11 to 15: from the end of year 10 to the end of year 15."""
    unit = _unit(match)
    first, last = given[0], given[-1]
    if not (_whole(first) and _whole(last)) or last < first or last > (60 if unit == 12 else 720):
        return None
    return Stage(StageKind.SPAN, as_decimal((first - 1) * unit), as_decimal(last * unit), unit)


def _open(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
    stage = _span(given[:1], match)
    return None if stage is None else Stage(StageKind.SPAN, stage.start, None, stage.unit)


def _after(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
    stage = _span(given[:1], match)
    return None if stage is None else Stage(StageKind.SPAN, stage.end, None, stage.unit)


def _until(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
    stage = _span(given[:1], match)
    return None if stage is None else Stage(StageKind.SPAN, None, stage.end, stage.unit)


def _between(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
    sooner, later = _span(given[:1], match), _span(given[-1:], match)
    if sooner is None or later is None or sooner.end is None or later.end is None or later.end <= sooner.end:
        return None
    return Stage(StageKind.SPAN, sooner.end, later.end, sooner.unit)


def _long(kind: StageKind) -> Callable[[list[Fraction], "re.Match[str]"], Stage | None]:
    def build(given: list[Fraction], match: "re.Match[str]") -> Stage | None:
        value = given[0] if given else Fraction(1)
        unit = _unit(match)
        return Stage(kind, None, as_decimal(value * unit), unit) if 0 < value * unit <= 720 else None

    return build


def _d(value: int) -> Decimal:
    return Decimal(value)


STAGES = ShapeTable(
    Family.YEAR_SPAN,
    (
        Row("stage.span", rf"{_YEAR} {_THE}(?:from )?{N} ?{_TO} ?{_THE}(?:{_YEAR} )?{N}(?![\w%{S}])|{_YEAR} {N}(?:, {N})*,? (?:and|or|y|o|et|ou|und|oder) {N}", _span,
            "years 11 through 15", Stage(StageKind.SPAN, _d(120), _d(180)), "11 to 15 gallons", "the usual way"),
        Row("stage.months", rf"{_MONTH} {_THE}(?:from )?{N} ?{_TO} ?{_THE}(?:{_MONTH} )?{N}", _span,
            "months 61 to 84", Stage(StageKind.SPAN, _d(60), _d(84), 1), "61 to 84 gallons", "counted in months"),
        Row("stage.ordinals", rf"{ORD} (?:{_TIME} )?{_THE}{_TO} {_THE}{ORD} {_TIME}|{ORD}(?:, {ORD})*,? (?:and|or|y|o|et|ou|und|oder) {_THE}{ORD} {_TIME}", _span,
            "from the 9th to the 12th year", Stage(StageKind.SPAN, _d(96), _d(144)), "the 9th to the 12th floor", "ordinals"),
        Row("stage.one", rf"(?:{_TIME} {N}(?! ?(?:to|-|–|through|bis|al?|à) ?{N})(?! ?years)|{ORD} {_TIME})", _span,
            "in year nine", Stage(StageKind.SPAN, _d(96), _d(108)), "nine years", "one year by its number"),
        Row("stage.open", rf"(?:from|as of|as from|starting (?:with|in|at|from)|beginning (?:with|in|at|from)|since|ab|desde|a partir del?|à partir de|à compter de|dès|von|in|im) {_THE}(?:(?:start|beginning|beginn|commencement|inicio|début) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N}) (?:on(?:wards?)?|(?:and|or) (?:later|after|beyond|thereafter)|an|und später|y siguientes|et suivantes|en adelante|forward|upwards?)\b"
            rf"|(?:as of|as from|starting (?:with|in|at|from)|beginning (?:with|in|at|from)|ab|desde|a partir del?|à partir de|à compter de|dès) {_THE}(?:(?:start|beginning|beginn|commencement|inicio|début) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N})"
            rf"|from {_THE}(?:(?:start|beginning) of )?{_THE}(?:{ORD} {_TIME}|{_TIME} {N})(?! ?(?:to|through|thru|until|till|up|-|–|—)(?: |{N}))", _open,
            "ab dem 6. Jahr", Stage(StageKind.SPAN, _d(60), None), "from the date of shipment", "from a year to the end"),
        Row("stage.after", rf"(?:after|beyond|past|nach|después de|tras|luego de|pasad[oa]s?|cumplid[oa]s?|transcurrid[oa]s?|vencid[oa]s?|après|au-delà de|once|over) {_THE}(?:(?:end|close|completion|ablauf|fin|expiry|full|complete) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N}|{N} (?:full |complete |whole |volle[ns]? )?{_TIME})(?!['’]| from| after| of (?:notice|discovery|receipt))", _after,
            "after the tenth year", Stage(StageKind.SPAN, _d(120), None), "after removal", "from the end of a year to the end"),
        Row("stage.between", rf"(?:more|older|longer|later) than (?:{N}|{_THE}{ORD})(?: {_TIME})?,? (?:but|and) (?:not|no) (?:more|older|longer|later) than (?:{N} {_TIME}|{_THE}{ORD} {_TIME})|(?:after|nach|tras|después de|après) {_THE}(?:(?:end|close|ablauf|fin) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N}|{N} {_TIME}),? (?:(?:but|and|und|y|et|aber|pero|mais) )?(?:until|till|before|by|up to|through|not (?:later than|after|beyond)|within|vor|bis(?: zum)?|antes de|hasta|avant|jusqu['’]à) {_THE}(?:(?:end|close|ablauf|ende|fin) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N}|{N} {_TIME})", _between,
            "after year 10 but before the end of year 15", Stage(StageKind.SPAN, _d(120), _d(180)), "after removal but before the end of May", "two ends"),
        Row("stage.until", rf"(?:(?:between then and|from then (?:on )?|thereafter,? |danach |después |ensuite )(?:and )?)?(?:until|till|through|up to|to|by|before|vor|bis|hasta|antes de|avant|jusqu['’](?:à|au)|(?<=then )and) {_THE}(?:(?:end|close|ende|fin|final) {_THE})?(?:{ORD} {_TIME}|{_TIME} {N})", _until,
            "through the end of year 15", Stage(StageKind.SPAN, None, _d(180)), "through the meter", "to the end of a year"),
        Row("stage.first", rf"{_FIRST} {N} (?:of (?:these|those|them|the|its|this) (?:{N} )?)?{_TIME}|{N} {_FIRST} {_TIME}|{_FIRST} {_TIME}\b(?! of (?:operation|manufacture))|(?:of which|of these|of them|dont|davon|de los cuales|de ellos),? {_THE}{_FIRST} {N}(?! ?{_TIME})|(?:^|[.;:,]|years,?) ?(?:the |die |les |los )?{_FIRST} {N}(?= (?:are|is|being|sind|sont|son)\b)|(?:for|in|over|during) the {_FIRST} {N}(?=[,;:])|(?:of which|dont|davon|de los cuales),? {_THE}{N} {_FIRST}|\b(?:los|las|les|die) (?:{N} {_FIRST}|{_FIRST} {N})(?= (?:sin|con|sans|à|avec|zu|mit|kostenlos|gratis|gratuit|frei|unentgeltlich|son|sont|sind)|[,;:])"
            rf"|{N} (?:of them|of these|of those|davon|de ellos|d['’]entre elles)\b", _long(StageKind.FIRST),
            "for the first five years", Stage(StageKind.FIRST, None, _d(60)), "the first five meters", "counted from the start"),
        Row("stage.last", rf"{_LAST} {N} (?:of (?:these|those|them|the|its) )?{_TIME}|{_LAST} {N}(?= (?:on|of full|prorated|at|are|being|pro|with|the|we|it|you|they|he|en|de|auf|anteilig|zu|mit|con|à)\b|[,;:.])|{N} {_LAST} {_TIME}|{_LAST} {_TIME}\b|(?:of which|davon|dont|de los cuales),? {_THE}(?:{_LAST} {N}|{N} {_LAST})|\b(?:los|las|les|die) (?:{N} {_LAST}|{_LAST} {N})(?= (?:sin|con|sans|à|avec|zu|mit|kostenlos|gratis|gratuit|frei|anteilig|son|sont|sind|al|a)\b|[,;:])", _long(StageKind.LAST),
            "the last ten years", Stage(StageKind.LAST, None, _d(120)), "the last ten claims", "counted back from the end"),
        Row("stage.next", rf"{_NEXT} {N} {_TIME}|{N} {_NEXT} {_TIME}|{N} {_TIME} (?:after that|thereafter|more|danach|más|de plus|siguientes|suivants|which follow|that follow)|{N} (?:that|which) (?:follow|come after|then follow|remain|are left)\b|{_NEXT} {_TIME}\b", _long(StageKind.NEXT),
            "the following five years", Stage(StageKind.NEXT, None, _d(60)), "the following five parts", "after the stage before"),
        Row("stage.rest", r"(?:thereafter|after that|after which|afterwards?|from then on|from that (?:point|day|time|date|moment) on|from there on|(?:for |in )?(?:any|every|each|all) later (?:failures?|claims?|cases?)|later (?:failures|claims)\b|(?:where|if|when|should) (?:it|one|they|a \w+) (?:fails?|is found faulty) (?:later|after that|thereafter)|(?:for|during|over|through) (?:the (?:rest|remainder|balance)|what (?:is left|remains)) of (?:the |its |that |this )?(?:\w+ )?(?:term|time|period|cover|coverage|warranty|years)|(?:in|during|for|over|through) (?:the years|those|all|what|the time|the months) (?:that|which)? ?(?:follows?|comes? after|remains?|(?:is|are) left)\b|until the end(?: of (?:the|its) (?:term|time|period|cover|warranty))?|danach|anschließend|im anschluss|für die (?:restliche|übrige|verbleibende) (?:zeit|laufzeit|dauer|garantiezeit)|bis (?:zum|zu ihrem) ende|ensuite|par la suite|au-delà\b|jusqu['’]au terme|posteriormente|a partir de entonces|de ahí en adelante|en adelante|(?:por|durante) el (?:resto|tiempo restante|plazo restante)|durante el plazo restante|pour (?:le reste|la durée restante))"
            r"|(?:(?<=[;,:.] )|(?<=and )|(?<=, and ))(?:then|later|puis|después|luego|dann|später)\b|(?<=\w )(?:after|later)(?= ?[.;,)]| ?$)|(?:for|in|during|over) (?:the |any )?(?:rest|remainder|balance)(?! of)\b", lambda given, match: Stage(StageKind.REST),
            "thereafter at half price", Stage(StageKind.REST), "there after all", "from the stage before to the end"),
    ),
)  # fmt: skip

LENGTHS = ShapeTable(
    Family.YEAR_SPAN,
    (
        Row("stage.length", rf"{N}[ -]{_TIME}", _long(StageKind.NEXT),
            "three years free", Stage(StageKind.NEXT, None, _d(36)), "three parts free", "a bare length beside a share: the stages one after the other"),
    ),
)  # fmt: skip

BARE_LENGTHS = ShapeTable(
    Family.YEAR_SPAN,
    (
        Row("stage.bare_length", rf"{N}(?= ?(?:{_YEAR} )?(?:at|full|free|with|in full|of full|prorated|pro[ -]rata|declining|zu|zum|al|mit|voll|frei|kostenlos|anteilig|con|sin|gratis|à|gratuits?|sans|{S}))", _long(StageKind.NEXT),
            "7 full, 7 at half of list", Stage(StageKind.NEXT, None, _d(84)), "7 meters, 7 bolts", "in a cell that has named its years: lengths one after the other"),
        Row("stage.bare_rest", r"(?:rest|remainder|balance|übrige|resto|reste|solde)\b", lambda given, match: Stage(StageKind.REST),
            "5 full, rest at 40 %", Stage(StageKind.REST), "the restaurant", "what is left of the years of the cell"),
    ),
)  # fmt: skip

FREE = ShapeTable(
    Family.SHARE,
    (
        Row("share.free", r"(?<![a-z]-)(?<!lead )(?<!oil )free(?:ly)?(?! from| and clear)(?: (?:of|from) (?:all |any )?(?:charge|cost|expense)s?|(?! of)\b)|(?:without|sans|sin|ohne) (?:any |further |ningún |aucun )?(?:charge|cost|payment|cargo|costo|coste|frais|kosten|berechnung|participation)|(?:at )?no (?:charge|cost)\b(?! of)|(?:cover|coverage|credit|replacement|warranty) is (?:in )?(?:full|free|total)|(?:of |is )?(?:full|total) (?:cover|coverage|credit|replacement|warranty|allowance|refund)\b|in full\b|not prorated|non-?prorated|unprorated|nothing\b|nil\b|at (?:our|its own|the (?:maker|manufacturer|supplier|company)['’]s) (?:own |sole )?(?:expense|cost)|gratis|gratuit\w*|kostenlos\w*|kostenfrei\w*|unentgeltlich\w*|gebührenfrei\w*|volle[rns]? (?:garantie|deckung|ersatz|kostenübernahme)|cobertura (?:total|completa|plena)|garantía (?:total|plena)|(?:garantie|couverture|remplacement) (?:est )?(?:totale?|pleine|entière|intégrale?)|no (?:tiene|genera|supone) (?:ningún )?(?:coste|costo|cargo)|prise en charge (?:totale|intégrale)|(?<=[\ue100 ]) ?(?:full|voll)\b(?! (?:price|cost|list|amount|term|time|period|years?|months?|calendar|scale|flow|of|extent|force))|of full cover|pièces et main",
            lambda given, match: Decimal(0), "is replaced free of charge", Decimal(0), "free from defects", "the customer pays nothing"),
    ),
)  # fmt: skip


def _change(given: list[Fraction], match: "re.Match[str]") -> Change | None:
    words = match.group(0)
    falls, rises = re.search(rf"\b{_LESS}", words), re.search(rf"\b{_MORE}", words)
    each = re.search(_EACH, words)
    unit = 1 if each and re.search(rf"{_MONTH}|monthly|monatlich|mensual", each.group(0)) else 12
    if not given or not 0 < given[0] <= 50:
        return None
    direction = None if bool(falls) == bool(rises) else bool(falls)
    return Change(as_decimal(given[0]), direction, unit)


_GAP = r"[^;.\ue100-\ue103]{0,46}?"
CHANGES = ShapeTable(
    Family.SHARE,
    (
        Row("change.each_points", rf"\b{_EACH}{_GAP}{Q}(?:[^;.,{S}]{{0,24}}?\b(?:{_LESS}|{_MORE})\b)?", _change,
            "in each later year five points less", Change(_d(5), True), "each later year the price list", "the year first"),
        Row("change.points_each", rf"(?:\b(?:{_LESS}|{_MORE})\b[^;.{N}{S}]{{0,30}}?)?{Q}{_GAP}\b{_EACH}", _change,
            "rising by ten points a year", Change(_d(10), False), "ten points of the scale", "the points first"),
        Row("change.percent", rf"\b(?:{_LESS}|{_MORE})\b[^;.,{N}{S}]{{0,30}}?{S}{_GAP}\b{_EACH}|\b{_EACH}[^;.,{N}{S}]{{0,30}}?\b(?:{_LESS}|{_MORE})\b[^;.,{N}{S}]{{0,16}}?{S}|{S} (?:{_LESS}|{_MORE})\b{_GAP}\b{_EACH}|\b{_EACH}[^;.,{N}{S}]{{0,30}}?{S} (?:{_LESS}|{_MORE})\b", _change,
            "and 5 % more in each year after", Change(_d(5), False), "5 % of the price each year", "a percentage with its direction"),
        Row("change.steps", rf"(?:in )?(?:steps|stufen|tramos|paliers|increments|schritten|escalones) (?:of|von|de) (?:{Q}|{S})", _change,
            "in steps of five points", Change(_d(5), None), "in steps of five inches", "steps"),
    ),
)  # fmt: skip


_LEFT = r"(?:unexpired|unused|remaining|left|outstanding|still to (?:run|come)|to run|not yet (?:begun|elapsed|expired|passed|used)|restantes?|restliche[nrs]?|verbleibende[nrs]?|(?:noch )?ausstehende[nrs]?|fehlende[nrs]?|por (?:transcurrir|correr|vencer)|(?:qui )?rest(?:e|ent|ant)\w*(?: à courir)?|à courir|lacking|short of|pending)"
_GONE = r"(?:elapsed|expired|passed|gone|completed?|used|of age|of use|of service|in (?:use|service|existence|operation)|since|begun|started|commenced|thereof|thereafter|after|abgelaufene[nrs]?|verstrichene[nrs]?|vollendete[nrs]?|angefangene[nrs]?|begonnene[nrs]?|transcurrid[oa]s?|cumplid[oa]s?|comenzad[oa]s?|iniciad[oa]s?|écoulée?s?|entamée?s?|commencée?s?|révolue?s?|full|whole|volle[ns]?)"
_BEGUN = r"(?:begun|begins|started|commenced|part of a (?:year|month)|or part|part thereof|angefangene[nrs]?|begonnene[nrs]?|comenzad[oa]|iniciad[oa]|fracción|entamée?|commencée?|fraction|(?:running|current) (?:year|month))"


def _rate(given: list[Fraction], match: "re.Match[str]") -> Rate | None:
    words = match.group(0)
    per = match.group("per")
    if not given or not 0 < given[0] <= 50 or re.search(r"(?:interest|price increase|escalat)", words):
        return None
    left = re.search(_LEFT, words) is not None
    if not left and not re.search(_GONE, words):
        return None
    if re.search(
        r"in (?:existence|service|use|operation)|since (?:the )?(?:shipment|installation|purchase|delivery|manufacture|start|commissioning)|of (?:age|use|service)|whole|in betrieb|seit (?:lieferung|einbau|inbetriebnahme)|en servicio|desde la (?:entrega|instalación|compra)|depuis la (?:livraison|pose|mise)",
        words,
    ):
        whole: bool | None = True
    elif re.search(
        r"(?:since then|since\b|thereafter|after (?:that|month|year)|beyond|danach|seitdem|desde entonces|au-delà|depuis lors)",
        words,
    ):
        whole = False
    else:
        whole = None
    unit = 1 if re.search(rf"{_MONTH}", per) else 12
    return Rate(given[0], unit, left, re.search(_BEGUN, words) is not None, whole)


RATES = ShapeTable(
    Family.SHARE,
    (
        Row("rate.each", rf"{S}[^;:\ue100-\ue103]{{0,80}}?(?P<per>\b(?:for|per|in respect of|(?:multiplied by|times) the number of|pro|für|je|por|par|pour|with|mit|con|avec|the|cada|chaque|jede[ns]?|each|every)(?: (?:each|every|jede[nsr]?|cada|chaque|the|full|whole|complete[d]?|unexpired|remaining|elapsed|calendar|volle[ns]?|angefangene[nrs]?|begonnene[nrs]?|abgelaufene[nrs]?|verstrichene[nrs]?|restliche[nrs]?|verbleibende[nrs]?|fehlende[nrs]?|noch|expired|passed|further|later|started|begun|of|los|les))* {_TIME})[^;.:]{{0,90}}", _rate,
            "one twentieth of the price for each unexpired year", Rate(Fraction(5), 12, True), "5 % interest per year", "a share for each year gone or to come"),
        Row("rate.later", rf"(?P<per>\b(?:for|per|pro|für|je|por|par|pour) (?:each |every |jede[nsrm]? |cada |chaque |full |complete[d]? |unexpired |remaining |elapsed |volle[ns]? |angefangene[nrs]? |begonnene[nrs]? |abgelaufene[nrs]? |noch |fehlende[nrs]? |verbleibende[nrs]? |ausstehende[nrs]? |restliche[nrs]? |begun |started |año comenzado )*{_TIME})(?:[^;.:\ue100-\ue103]|{N}(?= ?,)){{0,80}}?{S}[^;.:]{{0,30}}", _rate,
            "for each month elapsed we deduct one sixtieth", Rate(Fraction(100, 60), 1, False), "for each month 5 % interest", "the time first"),
    ),
)  # fmt: skip


def _evenly(given: list[Fraction], match: "re.Match[str]") -> Evenly:
    words = match.group(0)
    if re.search(
        r"\b(?:whole|entire|total|full|complete|original|gesamte\w*|ganze\w*|toda|tod[oa]s?|totale?|entière|life)\b",
        words,
    ):
        return Evenly(True)
    return Evenly(None)


EVENLY = ShapeTable(
    Family.SHARE,
    (
        Row("evenly", r"\b(?:evenly|straight[ -]?line|linear(?:ly)?|lineal(?:mente)?|linéaire(?:ment)?|gleichmäßig|in equal (?:annual |yearly |monthly )?(?:steps|parts|amounts|instal+ments|increments)|uniformly|uniformemente|por partes iguales|par parts égales|zu gleichen teilen|proportionally|in proportion)\b", _evenly,
            "the credit falls evenly", Evenly(None), "an even number", "a straight line"),
        Row("evenly.unexpired", rf"\b(?:in (?:the )?(?:proportion|ratio)|(?:the |such |that )?(?:fraction|proportion|part|share|ratio)|anteil|verhältnis|proporción|parte|fraction|proportion|prorata|quote-part)\b[^;.]{{0,70}}?\b{_LEFT}[^;.]{{0,60}}?\b(?:bears?|bear|to|of|zur?|zum|a|al|con|sur|à|au)\b[^;.]{{0,30}}?\b(?:whole|entire|total|full|complete|original|gesamt\w*|ganze\w*|total|entière|{N})\b[^;.,]{{0,30}}", lambda given, match: Evenly(True),
            "in the proportion that the unexpired months bear to the whole term", Evenly(True), "in the proportion of lead", "what is left of the whole"),
    ),
)  # fmt: skip

_WHO = (
    r"(?:customer|purchaser|buyer|owner|utility|user|township|city|district|village|county|town|authority|municipality|operator|client|"
    r"importer|distributor|you|it|they|cliente|comprador|compradora|entidad|empresa|usuario|client|acheteur|exploitant|maître d['’]ouvrage|kunde|käufer|besteller|"
    r"abnehmer|auftraggeber|betreiber|versorger)"
)
_OURS = r"(?:we|our|maker|manufacturer|supplier|vendor|seller|company|hersteller|lieferant|verkäufer|fabricant|fournisseur|vendeur|fabricante|proveedor|vendedor|contractor)"
SIDES = ShapeTable(
    Family.SHARE,
    (
        Row("side.customer_pays", rf"\b{_WHO}(?:['’]s)? (?:then |will |shall |must |itself |only |thus |now |is to |has to |would |also |therefore )*(?:pays?|bears?|contributes?|is charged|are charged|owes?|may buy|buys?|takes|funds|meets|carries|share|part|contribution|portion|cost|price|payment|pagar?á?|asume|abona|soporta|contribuye|paie|paiera|règle|supporte|contribue|prend à sa charge|trägt|zahlt|bezahlt|übernimmt|beteiligt)\b"
            rf"|\b(?:payable|paid|borne|contributed|funded|a cargo|por cuenta|à (?:la )?charge|supporté\w*|getragen|zu tragen) (?:by|del?|de l['’]|von|vom) ?{_THE}{_WHO}\b|\bat {_THE}{_WHO}['’]s (?:cost|expense)\b",
            lambda given, match: Side.CUSTOMER, "the buyer pays", Side.CUSTOMER, "the buyer returns it", "who pays is the buyer"),
        Row("side.charge", r"\b(?:pays?|payment of|on payment|against payment|deduct(?:s|ed|ion|ing)?|charge[sd]?|invoiced|billed|surcharge|contribution|selbstbehalt|eigenanteil|eigenbeteiligung|kostenanteil|kostenbeteiligung|zuzahlung|abzug|abgezogen|berechne[nt]|trägt|zahlt|(?<!sin )cargo|franquicia|copago|aporte|paga|pagará|asume|deduc\w+|descuenta|à sa charge|participation|quote-part|prend à sa charge|paie|déduit|déduction|retenue|customer (?:cost|price)|price to the (?:buyer|customer))\b",
            lambda given, match: Side.CUSTOMER, "a Selbstbehalt of 40 %", Side.CUSTOMER, "payment terms", "a charge"),
        Row("side.supplier_pays", rf"\b{_OURS}(?:['’]s)? (?:then |will |shall |still |only |also |continues to )*(?:pays?|bears?|contributes?|gives?|grants?|allows?|covers?|funds?|takes over|share|part|contribution|portion|meets|carries|trägt|übernimmt|zahlt|ersetzt|prend en charge|supporte|participe|rembourse|cubre|asume|paga|reconoce|soporta)\b"
            rf"|\b(?:paid|borne|funded|a cargo|por cuenta|à (?:la )?charge|getragen) (?:by|del?|de|du|de l['’]|vom) ?{_THE}(?:us|{_OURS})\b|\b(?:trägt|übernimmt|zahlt) der (?:hersteller|lieferant|verkäufer)\b",
            lambda given, match: Side.SUPPLIER, "the maker bears", Side.SUPPLIER, "the maker tests", "who pays is the supplier"),
        Row("side.credit", r"\b(?:credit(?:s|ed|ing)?|allowances?|allows?|discount(?:s|ed)?|rebates?|reduction|reduced by|refund(?:s|ed)?|reimburse[sd]?|reimbursement|gutschrift\w*|gutgeschrieben|schreibt|nachlass|rabatt|vergütet|vergütung|erstattet|erstattung|restwert|remise|avoir|crédit\w*|rembourse\w*|rabais|bonificaci\w+|bonifica\w*|abono|acredita\w*|reembols\w+|descuento|nota de crédito|reconoce\w*|valor residual|remaining value|residual value|is worth|covered (?:at|to|with|for)|cover(?:age)? (?:falls|drops|stands|declines|is|of|to))\b|(?<=\ue102 )(?:off|back)\b|(?<=\ue102 )of cover",
            lambda given, match: Side.SUPPLIER, "a credit of 40 %", Side.SUPPLIER, "incredible", "a credit"),
    ),
)  # fmt: skip

SEQUENCE = ShapeTable(
    Family.SHARE,
    (
        Row("sequence.and_so_on", r"\b(?:and so (?:on|forth)|and onwards?|etc\b\.?|usw\b\.?|und so (?:weiter|fort)|y así (?:sucesivamente|hasta)|et ainsi de suite|in like manner|in the same (?:way|steps)|at the same rate)", lambda given, match: True,
            "and so on up to year 15", True, "so on the day", "the steps between are not printed"),
    ),
)  # fmt: skip


def shares(low: Reduced, text: str) -> list[Mention]:
    """Every printed share of a price, as a percentage."""
    found = []
    for index, value in low.values.items():
        listed = low.text[:index].rstrip().endswith("/")  # "20/40/60 %": which of them holds when is not said
        if low.text[index] == S and 0 <= value <= 100 and not listed:
            start, end = low.place(index, index + 1)
            found.append(Mention(Family.PERCENT, start, end, as_decimal(value), "share.printed", text[start:end]))
    return found


# "a twentieth for each year that …": a share for a time is no share of a stage.
PER_TIME = re.compile(
    rf"\b(?:for|per|für|je|pro|por|pour|par|with) (?:each|every|jede[nsrm]?|cada|chaque|any)\b[^;.:]{{0,40}}?{_TIME}"
    rf"|\b(?:per|pro|je) (?:\w+ ){{0,2}}{_TIME}|\b(?:multiplied by|times) (?:the )?(?:number of )?[^;.:]{{0,30}}{_TIME}"
)


def share_in(text: str, style: NumberStyle = ENGLISH) -> Decimal | None:
    """The one share that a cell or a phrase prints; None where it prints none or several."""
    low = reduced(parse(text), style)
    found = [*shares(low, text), *FREE.find_in(low, text)]
    return Decimal(found[0].value) if len(found) == 1 else None
