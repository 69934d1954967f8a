"""Number expressions at token level: "five (5)", "2.5 million", "1½", "one-eighth", "750 000" to exact fractions.

A number is a run of tokens with one value. Where the words allow two readings, or words and digits disagree, the value
is the one a contract reader would take; the note and the other readings travel with it. Nothing is dropped silently.
"""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING

from firstcap.extract.language import language_of, parse
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc


@dataclass(frozen=True, slots=True)
class NumberStyle:
    """How a document writes numbers; `sure` where it says or shows it; `language` steers words that mean two things."""

    decimal: str = "."
    thousands: str = ","
    sure: bool = False
    language: str = "en"


ENGLISH = NumberStyle()
_BY_LANGUAGE = {
    "en": ENGLISH,
    "es": NumberStyle(",", ".", language="es"),
    "de": NumberStyle(",", ".", language="de"),
    "fr": NumberStyle(",", " ", language="fr"),
}


@dataclass(frozen=True, slots=True)
class Number:
    """doc[start:end] is a number. `words` where it is written in words; `alternatives` are its other readings."""

    start: int
    end: int
    value: Fraction
    words: bool = False
    notes: tuple[str, ...] = ()
    alternatives: tuple[Fraction, ...] = field(default=())


_DIFFER = WarningKind.WORDS_AND_DIGITS_DIFFER.value
_DECIMAL = WarningKind.AMBIGUOUS_DECIMAL.value
_OTHER = WarningKind.OTHER.value


# ---- words ----------------------------------------------------------------------------------------------------------

_EN = dict(
    zip(
        (
            "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
            "sixteen seventeen eighteen nineteen"
        ).split(),
        range(20),
        strict=True,
    )
)
_EN_TENS = dict(
    zip(["twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"], range(20, 100, 10), strict=True)
) | {"fourty": 40}
_ES = dict(
    zip(
        (
            "cero uno dos tres cuatro cinco seis siete ocho nueve diez once doce trece catorce quince dieciséis "
            "diecisiete dieciocho diecinueve veinte veintiuno veintidós veintitrés veinticuatro veinticinco "
            "veintiséis veintisiete veintiocho veintinueve"
        ).split(),
        range(30),
        strict=True,
    )
) | {"dieciseis": 16, "veintidos": 22, "veintitres": 23, "veintiseis": 26, "veintiún": 21, "veintiun": 21}
_ES_TENS = dict(
    zip(
        ["treinta", "cuarenta", "cincuenta", "sesenta", "setenta", "ochenta", "noventa"],
        range(30, 100, 10),
        strict=True,
    )
)
_ES_HUNDREDS = {"cien": 100, "ciento": 100, "doscientos": 200, "trescientos": 300, "cuatrocientos": 400,
                "quinientos": 500, "seiscientos": 600, "setecientos": 700, "ochocientos": 800,
                "novecientos": 900}  # fmt: skip
_FR = dict(
    zip(
        ("zéro deux trois quatre cinq six sept huit neuf dix onze douze treize quatorze quinze seize").split(),
        (0, *range(2, 17)),
        strict=True,
    )
)
_FR_TENS = {"vingt": 20, "trente": 30, "quarante": 40, "cinquante": 50, "soixante": 60, "septante": 70, "huitante": 80,
            "nonante": 90}  # fmt: skip
_DE_ONES = dict(
    zip(["ein", "zwei", "drei", "vier", "fünf", "sechs", "sieben", "acht", "neun"], range(1, 10), strict=True)
)
_DE = {word: value for word, value in _DE_ONES.items() if value > 1} | {
    "fuenf": 5, "eins": 1, "zehn": 10, "elf": 11, "zwölf": 12, "zwoelf": 12, "dreizehn": 13, "vierzehn": 14,
    "fünfzehn": 15, "fuenfzehn": 15, "sechzehn": 16, "siebzehn": 17, "achtzehn": 18, "neunzehn": 19,
}  # fmt: skip
_DE_TENS = {"zwanzig": 20, "dreißig": 30, "dreissig": 30, "vierzig": 40, "fünfzig": 50, "fuenfzig": 50, "sechzig": 60,
            "siebzig": 70, "achtzig": 80, "neunzig": 90}  # fmt: skip

# Added to what stands before: below 100, and what may follow (a ten may be followed by a one).
_ADD: dict[str, int] = {}
for _words in (_EN, _EN_TENS, _ES, _ES_TENS, _ES_HUNDREDS, _FR, _FR_TENS, _DE, _DE_TENS):
    _ADD.update(_words)
for _tens, _ten in _EN_TENS.items():  # a hyphen lost at a line end: twentyfive
    _ADD.update({_tens + one: _ten + value for one, value in _EN.items() if 0 < value < 10})
for _tens, _ten in _DE_TENS.items():
    _ADD.update({f"{one}und{_tens}": value + _ten for one, value in (_DE_ONES | {"fuenf": 5}).items()})
_HUNDRED = {"hundred": 100, "hundert": 100, "einhundert": 100, "cent": 100, "cents": 100}
_SCALES = {
    "thousand": 10**3, "million": 10**6, "millions": 10**6, "billion": 10**9, "mil": 10**3, "mille": 10**3,
    "tausend": 10**3, "millón": 10**6, "millon": 10**6, "millones": 10**6, "millionen": 10**6, "mio": 10**6,
    "mill": 10**6, "miles": 10**3,
}  # fmt: skip
_PLURAL_ONLY_SCALES = frozenset({"millions", "miles"})
_BARE_SCALES = frozenset({"mil", "mille", "tausend", "einhundert", "hundert"})  # numbers without a "one" before them
# Words that are numbers in one language only: "per cent", "once", "Sept. 2021".
_CONFLICTS = {"once": "es", "cent": "fr", "cents": "fr", "sept": "fr", "mil": "es", "miles": "es", "seize": "fr",
              "mill": "de", "elf": "de", "mio": "de"}  # fmt: skip
_DENOMINATORS = {
    "half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4, "fourths": 4, "fifth": 5,
    "fifths": 5, "sixth": 6, "sixths": 6, "eighth": 8, "eighths": 8, "tenth": 10, "tenths": 10, "twelfth": 12,
    "twelfths": 12, "sixteenth": 16, "sixteenths": 16, "twentieth": 20, "twentieths": 20, "hundredth": 100,
    "hundredths": 100, "medio": 2, "media": 2, "cuarto": 4, "cuartos": 4, "octavo": 8, "quart": 4, "quarts": 4,
    "demi": 2, "demie": 2, "viertel": 4, "achtel": 8, "drittel": 3,
}  # fmt: skip
_DE_HALVES = {"anderthalb": Fraction(3, 2), "eineinhalb": Fraction(3, 2), "einhalb": Fraction(1, 2)} | {
    f"{one}einhalb": value + Fraction(1, 2) for one, value in _DE_ONES.items() if value > 1
}
_GLYPHS = {
    "¼": (1, 4), "½": (1, 2), "¾": (3, 4), "⅐": (1, 7), "⅑": (1, 9), "⅒": (1, 10), "⅓": (1, 3), "⅔": (2, 3),
    "⅕": (1, 5), "⅖": (2, 5), "⅗": (3, 5), "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8),
    "⅝": (5, 8), "⅞": (7, 8),
}  # fmt: skip
_GLYPH_PAIRS = frozenset(_GLYPHS.values())
_HYPHENS = frozenset("-‐‑–−")
_OPEN, _CLOSE = frozenset("(["), frozenset(")]")
_ARTICLES = frozenset({"a", "an", "one"})

_PLAIN = re.compile(r"\d+")
_GROUPED = re.compile(r"\d[\d.,'’]*\d")
_FRACTION = re.compile(r"(\d{1,3})/(\d{1,3})")
_SLASHED = re.compile(r"(\d+)⁄(\d+)")
_FILLED_SPACES = frozenset("\u00a0\u202f\u2009")


class _Reader:
    """Reads the numbers of one doc from left to right."""

    def __init__(self, doc: "Doc", style: NumberStyle) -> None:
        kept = [token for token in doc if not token.is_space or token.text in _FILLED_SPACES]
        self.places = [token.i for token in kept]
        self.texts = [token.text for token in kept]
        self.words = [token.lower_ for token in kept]
        self.gaps = [
            bool(token.whitespace_) or (token.i + 1 < len(doc) and doc[token.i + 1].is_space) for token in kept
        ]
        self.style = style
        self._doc = doc
        self._language: str | None = None if style.language == "en" else style.language

    @property
    def language(self) -> str:
        if self._language is None:
            self._language = language_of(self._doc.text)
        return self._language

    def word(self, i: int) -> str:
        """The lower-case token, or nothing past the end or where the word is a number only in another language."""
        if not 0 <= i < len(self.words):
            return ""
        word = self.words[i]
        if word in _CONFLICTS and _CONFLICTS[word] != self.language:
            french_before = word in {"cent", "cents"} and i > 0 and self.words[i - 1] in _FR and word != "cents"
            return word if french_before else ""
        return word

    def all(self) -> list[Number]:
        found = []
        i = 0
        while i < len(self.texts):
            number = self.read(i)
            if number is None:
                i += 1
            else:
                found.append(self.placed(number))
                i = number.end
        return found

    def placed(self, number: Number) -> Number:
        """With the places of the doc, where blank tokens count."""
        return replace(number, start=self.places[number.start], end=self.places[number.end - 1] + 1)

    def read(self, i: int) -> Number | None:
        if self.texts[i] in _OPEN:  # "(5) five years"
            inner = self.plain(i + 1)
            if inner and self.text(inner.end) in _CLOSE:
                outer = self.plain(inner.end + 1)
                if outer and outer.words != inner.words and outer.start == inner.end + 1:
                    return self.scaled(self.paired(outer, inner, i, outer.end))
            return None
        number = self.plain(i)
        if number is None:
            return None
        opening = number.end
        if self.text(opening) in _HYPHENS:  # "five-(5)-year"
            opening += 1
        if self.text(opening) in _OPEN:
            inner = self.plain(opening + 1)
            if inner is not None:
                closing = inner.end
                if self.text(closing) in _HYPHENS:  # "five (5-) year"
                    closing += 1
                pairs = inner.words != number.words or inner.value == number.value
                # a digit alone after a scaled number is a footnote: "1.5 million (2)"
                footnote = number.words and any(c.isdigit() for c in self.texts[i]) and inner.value < 10
                if self.text(closing) in _CLOSE and pairs and not (footnote and inner.value != number.value):
                    return self.scaled(self.paired(number, inner, i, closing + 1))
        return number

    def text(self, i: int) -> str:
        return self.texts[i] if 0 <= i < len(self.texts) else ""

    @staticmethod
    def paired(first: Number, second: Number, start: int, end: int) -> Number:
        """A number printed twice: the words win."""
        winner, loser = (second, first) if second.words and not first.words else (first, second)
        alternatives = tuple(v for v in (*winner.alternatives, *loser.alternatives) if v != winner.value)
        if loser.value == winner.value or (not loser.words and winner.value in loser.alternatives):
            return Number(start, end, winner.value, True)
        if loser.value in winner.alternatives:
            return Number(start, end, loser.value, True)
        return Number(start, end, winner.value, True, (_DIFFER,), (loser.value, *alternatives))

    def plain(self, i: int) -> Number | None:
        number = self.digits(i) or self.in_words(i)
        return None if number is None else self.continued(self.scaled(number))

    def continued(self, number: Number) -> Number:
        """Take the smaller rest of a great number in words: "un millón quinientos mil", "one million, five hundred
        thousand". After a comma it may be a list without units, which is said."""
        if not number.words or self.texts[number.start][:1].isdigit() or number.value % 1000:
            return number
        room = 10**6 if number.value % 10**6 == 0 else 1000
        i = number.end
        comma = self.text(i) == "," and self.language == "en"
        rest = self.cardinal(i + 1 if comma else i)
        if rest is None or not 100 <= rest.value < room:
            return number
        whole = replace(number, end=rest.end, value=number.value + rest.value)
        if comma:
            whole = replace(whole, notes=(*number.notes, _OTHER), alternatives=(*number.alternatives, number.value))
        return whole

    def scaled(self, number: Number) -> Number:
        """Take the scale words that follow: "1.5 million", "three-quarters of a million", "2,005 hundred"."""
        while True:
            i = number.end
            fraction = number.value.denominator > 1 and number.value < 1
            if self.word(i) in _HYPHENS:
                i += 1
            elif fraction:
                if self.word(i) in {"of", "de"}:
                    i += 1
                if self.word(i) in _ARTICLES | {"un"}:
                    i += 1
            scale = _SCALES.get(self.word(i)) or (_HUNDRED.get(self.word(i)) if number.end == i else None)
            if scale is None and self.word(i) == "dozen":
                scale = 12
            if scale is None or number.value <= 0:
                return self.with_rest(number)
            number = replace(
                number,
                end=i + 1,
                value=number.value * scale,
                words=True,
                alternatives=tuple(value * scale for value in number.alternatives),
            )

    def with_rest(self, number: Number) -> Number:
        """ "2 million 250 thousand": a smaller scaled number behind; a bare one is another column."""
        scale = _SCALES.get(self.word(number.end - 1), 0)
        if scale <= 1000:
            return number
        i = number.end + (self.word(number.end) == "and")
        rest = self.digits(i) if i < len(self.texts) else None
        factor = _SCALES.get(self.word(rest.end), 0) if rest else 0
        if rest is None or not 0 < factor < scale or rest.value * factor >= scale:
            return number
        return replace(number, end=rest.end + 1, value=number.value + rest.value * factor, alternatives=())

    # digits

    def digits(self, i: int) -> Number | None:
        text = self.text(i)
        if not text:
            return None
        if text in _GLYPHS:
            return Number(i, i + 1, Fraction(*_GLYPHS[text]))
        if match := _SLASHED.fullmatch(text):
            return self._fraction_slash(i, match.group(1), match.group(2))
        if match := _FRACTION.fullmatch(text):
            top, bottom = int(match.group(1)), int(match.group(2))
            return Number(i, i + 1, Fraction(top, bottom)) if 0 < top < bottom else None
        if text[0] == "." and _PLAIN.fullmatch(text[1:]):
            return Number(i, i + 1, Fraction("0" + text))
        if not text[0].isdigit() or (not text.isascii() and not _GROUPED.fullmatch(text)):
            return None
        if _PLAIN.fullmatch(text):
            return self._mixed(i) or self._blank_grouped(i) or Number(i, i + 1, Fraction(int(text)))
        if _GROUPED.fullmatch(text):
            return self._marked(i, text)
        return None

    @staticmethod
    def _fraction_slash(i: int, top: str, bottom: str) -> Number | None:
        """`11⁄2` is 1½ after NFKC: the numerator of a fraction glyph has one digit."""
        if len(top) > 1 and (int(top[-1]), int(bottom)) in _GLYPH_PAIRS:
            return Number(i, i + 1, int(top[:-1]) + Fraction(int(top[-1]), int(bottom)))
        return Number(i, i + 1, Fraction(int(top), int(bottom))) if int(bottom) and int(top) else None

    def _mixed(self, i: int) -> Number | None:
        """12-1/2, 4½, 1 3/4, 1 and 1/2, 1 and one-half."""
        if len(self.texts[i]) > 3:
            return None
        j = i + 1
        spelled = self.text(j) in {"and", "&"}
        if self.text(j) in _HYPHENS:
            if self.gaps[i] or self.gaps[j]:
                return None
            j += 1
        elif spelled:
            j += 1
        part = self.text(j)
        if part in _GLYPHS:
            return Number(i, j + 1, int(self.texts[i]) + Fraction(*_GLYPHS[part]))
        if (match := _SLASHED.fullmatch(part)) or (match := _FRACTION.fullmatch(part)):
            top, bottom = int(match.group(1)), int(match.group(2))
        elif spelled:
            whole = Number(i, i + 1, Fraction(int(self.texts[i])))
            mixed = self.with_fraction(whole)
            return mixed if mixed.end > whole.end and self.word(mixed.end) in _AFTER_MIXED else None
        else:
            return None
        if spelled and self.word(j + 1) not in _AFTER_MIXED:
            return None  # "2 and 1/4 gpm" are two flows
        if 0 < top < bottom and int(self.texts[i]):
            return Number(i, j + 1, int(self.texts[i]) + Fraction(top, bottom))
        return None

    def _blank_grouped(self, i: int) -> Number | None:
        """750 000 and 1 500 000; never a row of table cells."""
        head = self.texts[i]
        if len(head) > 3 or head[0] == "0":
            return None
        groups = [head]
        filled = False
        j = i + 1
        while j < len(self.texts):
            if self.text(j) in _FILLED_SPACES and re.fullmatch(r"\d{3}", self.text(j + 1)):
                filled = True
                groups.append(self.texts[j + 1])
                j += 2
            elif (self.gaps[j - 1] and re.fullmatch(r"\d{3}", self.texts[j])) or (
                self.gaps[j - 1] and re.fullmatch(r"\d{3}[.,]\d+", self.texts[j]) and self.style.thousands == " "
            ):
                groups.append(self.texts[j])
                j += 1
            else:
                break
        if len(groups) == 1:
            return None
        zeros = groups[-1].startswith("000")
        row = i > 0 and self.gaps[i - 1] and self.texts[i - 1][-1:].isdigit()
        said = self.style.thousands == " " or filled
        if row and not (said and zeros):
            return None
        if not (said or zeros or len(groups) > 2 or self._unit_follows(j)):
            return None
        whole = Fraction("".join(groups).replace(",", "."))
        return Number(i, j, whole)

    def _unit_follows(self, j: int) -> bool:
        return self.word(j) in _UNIT_STARTS

    def _marked(self, i: int, text: str) -> Number | None:
        marks = re.sub(r"\d", "", text).replace("’", "'")
        groups = re.split(r"[.,'’]", text)
        kinds = set(marks)
        well = len(groups[0]) <= 3 and all(len(group) == 3 for group in groups[1:])
        if len(kinds) == 2 and "'" not in kinds:
            last = marks[-1]
            if marks.count(last) != 1:
                return None
            inner = groups[:-1]
            if len(inner[0]) > 3 or any(len(group) != 3 for group in inner[1:]):
                return None
            return Number(i, i + 1, Fraction("".join(inner) + "." + groups[-1]))
        if len(kinds) > 1:
            if marks[-1] in ".," and set(marks[:-1]) == {"'"} and all(len(group) == 3 for group in groups[1:-1]):
                return Number(i, i + 1, Fraction("".join(groups[:-1]) + "." + groups[-1]))
            return None
        mark = marks[0]
        if mark == "'":
            return Number(i, i + 1, Fraction("".join(groups))) if well else None
        if len(groups) > 2:
            if well and groups[0].strip("0"):
                return Number(i, i + 1, Fraction("".join(groups)))
            if mark == "," and len(groups[-1]) in (4, 5) and all(len(group) == 3 for group in groups[1:-1]):
                # a footnote mark glued to the last group: 1,500,0001
                value = Fraction("".join(groups[:-1]) + groups[-1][:3])
                return Number(i, i + 1, value, notes=(_OTHER,), alternatives=(Fraction("".join(groups)),))
            return None
        as_decimal = Fraction(groups[0] + "." + groups[1])
        if not well or not groups[0].strip("0"):
            if mark == "," and len(groups[1]) in (4, 5) and len(groups[0]) <= 3 and self.style.decimal == ".":
                value = Fraction(groups[0] + groups[1][:3])
                return Number(i, i + 1, value, notes=(_OTHER,), alternatives=(as_decimal,))
            return Number(i, i + 1, as_decimal)
        as_whole = Fraction("".join(groups))
        if mark == self.style.decimal:
            if self.style.sure and self.style.thousands != mark:
                return Number(i, i + 1, as_decimal)
            return Number(i, i + 1, as_decimal, notes=(_DECIMAL,), alternatives=(as_whole,))
        if mark == self.style.thousands or mark == ",":
            return Number(i, i + 1, as_whole)
        # a dot before three digits where the comma is the decimal mark and blanks part the thousands
        return Number(i, i + 1, as_whole, notes=(_DECIMAL,), alternatives=(as_decimal,))

    # words

    def in_words(self, i: int) -> Number | None:
        word = self.word(i)
        if word in _DE_HALVES:
            return Number(i, i + 1, _DE_HALVES[word], True)
        if word in {"half", "medio", "media", "demi"}:
            return Number(i, i + 1, Fraction(1, 2), True) if self._half_of(i) else None
        if word == "quarter" and (
            self.word(i + 1) in {"of", "-", "gallon", "inch", "million"} or (i and self.word(i - 1) in {"a", "and"})
        ):
            return Number(i, i + 1, Fraction(1, 4), True)
        if word in {"a", "an"} and self.word(i + 1) in (_SCALES.keys() | {"hundred", "dozen"}) - _PLURAL_ONLY_SCALES:
            scale = _SCALES.get(self.word(i + 1)) or (12 if self.word(i + 1) == "dozen" else 100)
            after = i + 3 if self.word(i + 2) == "and" else i + 2
            rest = self.cardinal(after) if scale >= 100 else None
            if rest is not None and rest.value < scale and self.word(after) not in {"one", "a"}:
                return Number(i, rest.end, scale + rest.value, True)
            return self.with_fraction(Number(i, i + 2, Fraction(scale), True), scale)
        if word in {"un", "una", "une"} and self.word(i + 1) in {"millón", "millon", "million"}:
            return self.with_fraction(Number(i, i + 2, Fraction(10**6), True))
        if word in {"ein", "eine", "einer"} and self.word(i + 1) == "million":
            return Number(i, i + 2, Fraction(10**6), True)
        number = self.cardinal(i)
        if number is None:
            return None
        scale = _SCALES.get(self.word(number.end - 1), 1)
        return self.as_fraction(number) or self.with_fraction(number, scale)

    def _half_of(self, i: int) -> bool:
        """ "half a gallon", "a half inch", "medio galón"; not "the second half" nor "half-open"."""
        following = self.word(i + 1)
        if following in {"a", "an", "of", "-"}:
            later = self.word(i + 2)
            return following in {"a", "an"} or later in {"a", "an", "one"} or later in _UNIT_STARTS | _SCALES.keys()
        return following in _UNIT_STARTS | _SCALES.keys()

    def cardinal(self, i: int) -> Number | None:
        total = 0
        current = 0
        j = i
        last = 0  # the smallest thing added since the last scale: decides what may follow
        seen = False
        while True:
            word = self.word(j)
            k = j
            if seen and word in _HYPHENS and not self.gaps[j - 1]:
                k = j + 1
            elif seen and word in {"and", "y", "et", "und"}:
                k = j + 1
                if not self._joins(word, last, self.word(k)):
                    break
            word = self.word(k)
            if word not in _ADD and (compound := _german_compound(word)) is not None:
                if seen and (current or total % 10**6):
                    break
                thousands, current = divmod(compound, 1000)
                total, last = total + thousands * 1000, 1
            elif word in _ADD:
                value = _ADD[word]
                if seen and not self._may_add(last, value, current):
                    # quatre-vingt is four times twenty
                    if word == "vingt" and last == 4:
                        current, last = current - 4 + 80, 80
                        j = k + 1
                        continue
                    break
                current += value
                last = value
            elif word == "vingts" and last == 4:
                current, last = current - 4 + 80, 80
            elif word in {"un", "une"} and self._and_one(last, k > j):
                current, last = current + 1, 1
            elif word in _HUNDRED:
                if seen and 0 < current < 100 and last:
                    current, last = current * 100, 100
                elif not current and (word in _BARE_SCALES or word == "cent"):
                    current, last = 100, 100
                else:
                    break
            elif word in _SCALES and word not in _PLURAL_ONLY_SCALES:
                scale = _SCALES[word]
                if not current and not (word in _BARE_SCALES and not seen):
                    break
                if total and total % (scale * 10) == 0 and current >= scale:
                    break
                total += max(current, 1) * scale
                current, last = 0, scale
            else:
                break
            seen = True
            j = k + 1
        if not seen:
            return None
        read = Fraction(total + current)
        if self.word(j) == "point" and self.word(j + 1) in _ADD and _ADD[self.word(j + 1)] < 10:
            places = ""
            j += 1
            while self.word(j) in _ADD and _ADD[self.word(j)] < 10:
                places += str(_ADD[self.word(j)])
                j += 1
            read += Fraction("0." + places)
        return Number(i, j, read, True)

    def _and_one(self, last: int, joined: bool) -> bool:
        """French "vingt et un", "quatre-vingt-un"; "cent un", "mille un" without a joint."""
        return (joined and last in {20, 30, 40, 50, 60, 80}) or (self.language == "fr" and last in {100, 1000})

    @staticmethod
    def _joins(word: str, last: int, following: str) -> bool:
        if word == "and":
            return last >= 100 and following in _ADD and _ADD[following] < 100
        if word == "y":
            return 30 <= last < 100 and following in _ES and _ES[following] < 10
        if word == "et":
            return 20 <= last < 80 and following in {"un", "une", "onze"}
        return last >= 100 and following in _ADD

    @staticmethod
    def _may_add(last: int, value: int, current: int) -> bool:
        if value == 0:
            return False
        if last >= 1000:
            return value < 1000
        if last >= 100:
            return value < 100
        if 20 <= last < 100 and last % 10 == 0:
            return value < 10 or (last in {60, 80} and 10 <= value < 20)
        return last == 10 and 7 <= value < 10 and current % 100 in {10, 70, 90}  # dix-sept

    def as_fraction(self, number: Number) -> Number | None:
        """ "three-quarters", "one half", "five eighths"; but not "twenty-fifth"."""
        i = number.end
        if self.word(i) in _HYPHENS:
            i += 1
        word = self.word(i)
        bottom = _DENOMINATORS.get(word)
        if bottom is None or number.value <= 0 or number.value >= 100 or number.value.denominator != 1:
            return None
        ordinal = word in _ORDINALS
        if ordinal and (number.value != 1 or self.word(number.start - 1) in {"the", "year"}):
            return None
        if number.value >= bottom and bottom != 2:
            return None
        if word in {"quart", "quarts"} and self.language != "fr":
            return None
        return Number(number.start, i + 1, number.value / bottom, True)

    def with_fraction(self, number: Number, scale: int = 1) -> Number:
        """ "one and one-half", "four and three quarters", "deux et demi"; of the scale in "a million and a half"."""
        if self.word(number.start - 1) == "year":
            return number  # "for year nine and nine tenths for year ten" names a year, then a share
        i = number.end
        if self.word(i) in _HYPHENS and self.word(i + 1) in {"and"}:
            i += 1
        if self.word(i) not in {"and", "y", "et", "&"}:
            return number
        i += 1
        if self.word(i) in _HYPHENS:
            i += 1
        word = self.word(i)
        if word in {"a", "an", "un", "une"}:
            i += 1
            if self.word(i) in _HYPHENS:
                i += 1
            bottom = _DENOMINATORS.get(self.word(i))
            if bottom is None:
                return number
            return replace(number, end=i + 1, value=number.value + Fraction(scale, bottom))
        if word in {"half", "medio", "media", "demi", "demie"}:
            return replace(number, end=i + 1, value=number.value + Fraction(scale, 2))
        if (written := self.digits(i)) is not None and written.value < 1:
            return replace(number, end=written.end, value=number.value + scale * written.value)
        top = self.cardinal(i)
        part = None if top is None else self.as_fraction(top)
        if part is None or part.value >= 1:
            return number
        if self.text(number.start - 1) == "," and number.value.denominator == 1:
            return number  # "fifteen, two and one-quarter gpm" is a list
        return replace(number, end=part.end, value=number.value + scale * part.value)


def _german_compound(word: str) -> int | None:
    """A German number above a hundred, written as one word: einhundertzwanzig, zweihundertfünfzigtausend."""
    for name, scale in (("tausend", 1000), ("hundert", 100)):
        head, found, tail = word.partition(name)
        if not found or not (head or tail):
            continue
        count = 1 if head in {"", "ein"} else _german_part(head)
        rest = 0 if not tail else 1 if tail in {"eins", "undeins"} else _german_part(tail.removeprefix("und"))
        if count is None or rest is None or not 0 < count < 1000 or rest >= scale:
            return None
        return count * scale + rest
    return None


def _german_part(word: str) -> int | None:
    known = _ADD.get(word) if word in _DE or word in _DE_TENS or "und" in word else None
    return known if known is not None else _german_compound(word)


# What must follow "1 and 1/2" for it to be one number.
_AFTER_MIXED = frozenset("million thousand year years months percent per %".split())
# Words that make a blank-grouped number likely, or "half" a number. First words of units only.
_UNIT_STARTS = frozenset(
    (
        "gal gals gallon gallons kgal mgal mg us u.s. imperial imp usg galones galón galon cu cubic cf ccf "
        "hcf mcf ft3 m3 m³ cbm kl ml litre litres liter liters litros l acre acre-feet af metros m kubikmeter "
        "mètres metres gpm gph lph inch inches in year years yr yrs month months día días gallonen kwh "
        "thousand million"
    ).split()
)

_ORDINAL_ONES = dict(
    zip(
        (
            "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth "
            "fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth"
        ).split(),
        range(1, 20),
        strict=True,
    )
)
_ORDINAL_TENS = dict(
    zip(
        ["twentieth", "thirtieth", "fortieth", "fiftieth", "sixtieth", "seventieth", "eightieth", "ninetieth"],
        range(20, 100, 10),
        strict=True,
    )
)
_ORDINALS = (
    _ORDINAL_ONES
    | _ORDINAL_TENS
    | {"premier": 1, "première": 1, "deuxième": 2, "troisième": 3, "quatrième": 4, "cinquième": 5, "sixième": 6,
       "septième": 7, "huitième": 8, "neuvième": 9, "dixième": 10, "onzième": 11, "douzième": 12, "treizième": 13,
       "quatorzième": 14, "quinzième": 15, "seizième": 16, "dix-septième": 17, "dix-huitième": 18, "dix-neuvième": 19,
       "vingtième": 20, "primer": 1, "primero": 1, "primera": 1, "segundo": 2, "tercer": 3, "tercero": 3, "cuarto": 4,
       "quinto": 5, "sexto": 6, "séptimo": 7, "octavo": 8, "noveno": 9, "décimo": 10, "undécimo": 11, "duodécimo": 12,
       "decimoprimer": 11, "decimosegundo": 12, "decimotercer": 13, "decimotercero": 13, "decimocuarto": 14,
       "decimoquinto": 15, "decimosexto": 16, "decimoséptimo": 17, "decimoctavo": 18, "decimonoveno": 19,
       "vigésimo": 20, "ersten": 1, "zweiten": 2, "dritten": 3, "vierten": 4, "fünften": 5, "sechsten": 6,
       "siebten": 7, "achten": 8, "neunten": 9, "zehnten": 10, "elften": 11, "zwölften": 12, "dreizehnten": 13,
       "vierzehnten": 14, "fünfzehnten": 15, "sechzehnten": 16, "siebzehnten": 17, "achtzehnten": 18,
       "neunzehnten": 19, "zwanzigsten": 20}
)  # fmt: skip
_DIGIT_ORDINAL = re.compile(r"(\d+)(?:st|nd|rd|th|er|ère|ème|eme|e|º|ª|°)", re.IGNORECASE)


def ordinals(doc: "Doc") -> list[Number]:
    """11th, eleventh, twenty-fifth, one hundred and twentieth, 11e: places in a row, never quantities."""
    reader = _Reader(doc, ENGLISH)
    found = []
    i = 0
    while i < len(reader.words):
        word = reader.words[i]
        number: Number | None = None
        if match := _DIGIT_ORDINAL.fullmatch(word):
            number = Number(i, i + 1, Fraction(int(match.group(1))))
        elif word in _ORDINALS:
            number = Number(i, i + 1, Fraction(_ORDINALS[word]), True)
        elif (head := reader.cardinal(i)) is not None:
            j = head.end
            if reader.word(j) in _HYPHENS or (reader.word(j) == "and" and head.value >= 100):
                j += 1
            tail = _ORDINALS.get(reader.word(j))
            room = 10 if head.value % 100 else 100
            if tail is not None and tail < room and head.value % 10 == 0 and head.value >= 20:
                number = Number(i, j + 1, head.value + tail, True)
            elif head.end > i + 1:
                i = head.end - 1
        if number is None:
            i += 1
        else:
            found.append(reader.placed(number))
            i = number.end
    return found


def numbers(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Number]:
    """The numbers of a text, left to right, none overlapping. Signs belong to the caller."""
    return _Reader(doc, style).all()


def number_in(text: str, style: NumberStyle = ENGLISH) -> Number | None:
    """The number that is the whole of `text` (quote marks, stars and blanks apart), else None."""
    doc = parse(text.strip(" *†‡\t"))
    found = numbers(doc, style)
    if len(found) != 1 or found[0].start != 0 or found[0].end != len(doc):
        return None
    return found[0]


# ---- how a document writes numbers ---------------------------------------------------------------------------------

_SAYS_COMMA = (
    "comma is the decimal", "comma is used as the decimal", "comma as the decimal", "comma as decimal", "decimal comma",
    "decimal sign is a comma", "decimal mark is a comma", "decimal separator is a comma", "commas mark decimals",
    "comma marks the decimal", "comma denotes the decimal", "comma indicates the decimal", "coma decimal",
    "virgule décimale", "dezimalkomma", "comma is a decimal", "decimals are written with a comma", "comma for decimals",
    "comma before decimals", "decimal sign: comma", "decimal sign is the comma", "decimal separator: comma",
)  # fmt: skip
_SAYS_POINT = (
    "point is the decimal", "point as the decimal", "decimal point is used", "period is the decimal",
    "dot is the decimal",
    "full stop is the decimal", "decimal sign is a point", "decimal mark is a point", "punto decimal",
    "decimal sign is the point", "decimal separator: point",
)  # fmt: skip
_SAYS_BLANK = (
    "space separates thousands", "spaces separate thousands", "blank separates thousands", "separated by a space",
    "separated by spaces", "space as thousands", "space is the thousands", "thousands separator is a space",
    "blanks separate thousands", "space between thousands", "grouped by spaces", "space groups thousands",
    "espace sépare les milliers", "space marks thousands",
)  # fmt: skip


def number_style(texts: Iterable[str]) -> NumberStyle:
    """How these texts write numbers: by their own statement, else by what they show, else by their language."""
    whole = list(texts)
    joined = " ".join(" ".join(whole).lower().split())
    default = _BY_LANGUAGE[language_of(joined)]
    decimal: str | None = None
    thousands: str | None = None
    if any(phrase in joined for phrase in _SAYS_COMMA):
        decimal = ","
    elif any(phrase in joined for phrase in _SAYS_POINT):
        decimal = "."
    if any(phrase in joined for phrase in _SAYS_BLANK):
        thousands = " "
    shown_decimal: Counter[str] = Counter()
    shown_thousands: Counter[str] = Counter()
    for text in whole:
        doc = parse(text)
        for token in doc:
            following = doc[token.i + 1].lower_ if token.i + 1 < len(doc) else ""
            _count_evidence(token.text, following, shown_decimal, shown_thousands)
        for left, right in pairwise(doc):
            if left.whitespace_ and re.fullmatch(r"\d{1,3}", left.text) and right.text == "000":
                shown_thousands[" "] += 1
    if decimal is None and shown_decimal:
        decimal = shown_decimal.most_common(1)[0][0]
    if decimal is not None:
        shown_thousands.pop(decimal, None)
    if thousands is None and shown_thousands:
        thousands = shown_thousands.most_common(1)[0][0]
    if decimal is None and thousands in {",", "."}:
        decimal = "." if thousands == "," else ","
    sure = decimal is not None and thousands is not None
    if decimal is None:
        decimal = default.decimal
    if thousands is None:
        thousands = (
            default.thousands
            if default.decimal == decimal
            else (" " if default.language == "fr" else ".,"[decimal == "."])
        )
    return NumberStyle(decimal, thousands, sure, default.language)


_MEASURED = _UNIT_STARTS | frozenset('% percent per " ″ million gpm m3 to - – ± pct prozent por pour'.split())


def _count_evidence(text: str, following: str, decimal: Counter[str], thousands: Counter[str]) -> None:
    """What one token shows for sure. Dates and clause numbers ("3.1 Claims") show nothing."""
    if not text[:1].isdigit():
        return
    for mark, other in ((",", "."), (".", ",")):
        one, two = re.escape(mark), re.escape(other)
        if re.fullmatch(rf"\d{{1,3}}(?:{one}\d{{3}}){{2,}}(?:{two}\d+)?|\d{{1,3}}{one}\d{{3}}{two}\d+", text):
            thousands[mark] += 1
            decimal[other] += 1
        elif re.fullmatch(rf"0{one}\d+|\d{{4,}}{one}\d+", text) or (
            following in _MEASURED and re.fullmatch(rf"\d+{one}\d{{1,2}}", text)
        ):
            decimal[mark] += 1


def texts_of(doc: "Doc", found: Sequence[Number]) -> list[str]:
    """The printed words of numbers."""
    return [doc[number.start : number.end].text for number in found]
