"""Why we and general-purpose readers differ: a table in which every difference has exactly one row.

A row says what the words look like, what stands before and after them, which side finds something there, and who is
right and why. Patterns are matched without regard to case: `words` in full, `before` up to its end, `after` from its
start.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from typing import Any

Value = tuple[str, Decimal]


@dataclass(frozen=True)
class Difference:
    """A place in a text where two readers differ; `rewritten` is the text that a rewriting reader made of it."""

    reader: str
    source: str
    text: str
    start: int
    end: int
    ours: tuple[Value, ...]
    theirs: tuple[Value, ...]
    rewritten: str = ""

    @property
    def words(self) -> str:
        return self.text[self.start : self.end]

    @property
    def before(self) -> str:
        return self.text[: self.start]

    @property
    def after(self) -> str:
        return self.text[self.end :]

    @property
    def sides(self) -> str:
        return "both" if self.ours and self.theirs else "ours" if self.ours else "theirs"

    def __str__(self) -> str:
        told = (
            " ".join(f"{value.normalize():f} {kind}".strip() for kind, value in side) or "-"
            for side in (self.ours, self.theirs)
        )
        we, they = told
        return (
            f"{self.reader} | {self.source}: {self.before[-30:]}[{self.words}]{self.after[:30]} | we {we} | they {they}"
        )


@dataclass(frozen=True)
class Row:
    reader: str
    name: str
    sides: str  # "both", "ours" or "theirs": who finds something there
    right: str  # "we", "they", "both" or "neither"
    why: str
    words: str = ".*"
    before: str = ""
    after: str = ""
    when: Callable[[Difference], bool] = field(default=lambda difference: True, compare=False)

    @cached_property
    def _patterns(self) -> tuple[re.Pattern[str], re.Pattern[str], re.Pattern[str]]:
        flags = re.IGNORECASE | re.DOTALL
        return re.compile(self.words, flags), re.compile(f"(?:{self.before})$", flags), re.compile(self.after, flags)

    def explains(self, difference: Difference) -> bool:
        words, before, after = self._patterns
        return (
            difference.reader == self.reader
            and difference.sides == self.sides
            and words.fullmatch(difference.words) is not None
            and before.search(difference.before) is not None
            and after.match(difference.after) is not None
            and self.when(difference)
        )


_PAIR = r".*(\w\s?\(.*\w.*\)?.*|\(5\)\s?five)"
_FRACTION = r"(an? |un |one |two |three )?(half|thirds?|quarters?|fourths?|fifths?|tiers)"


def _each(difference: Difference) -> bool:
    """Both read the same words, once as one value, once as its parts."""
    return len(difference.ours) == 1 and len(difference.theirs) > 1


def _opposite(difference: Difference) -> bool:
    ours, theirs = difference.ours, difference.theirs
    return len(ours) == len(theirs) and all(a[1] == -b[1] for a, b in zip(ours, theirs, strict=True))


def _scaled(difference: Difference) -> bool:
    return len(difference.ours) == len(difference.theirs) == 1 and difference.theirs[0][1] in {
        difference.ours[0][1] * factor for factor in (1000, 10**6, 10**9)
    }


def _numbers(name: str, sides: str, right: str, why: str, **patterns: Any) -> Row:
    return Row("recognizers numbers", name, sides, right, why, **patterns)


def _times(name: str, sides: str, right: str, why: str, **patterns: Any) -> Row:
    return Row("recognizers times", name, sides, right, why, **patterns)


def _quantities(name: str, sides: str, right: str, why: str, **patterns: Any) -> Row:
    return Row("quantulum quantities", name, sides, right, why, **patterns)


def _rewriting(name: str, sides: str, right: str, why: str, **patterns: Any) -> Row:
    return Row("text2num rewriting", name, sides, right, why, **patterns)


_SHORT = r"(weeks?|hours?|minutes?|seconds?)"
_PAIRED = r"(?!.*\(\d+/\d+\))(?!.*(gal|m³|m3|mo|days?|full|ten full).*\)).*\(.*\).*"
_TAIL = (
    r".*(prorated|pro rata|declining|reducing|sliding|balance).*|\d+ ?\+ ?\d+( years)?|.*\(\d+/\d+\).*|"
    r"\d+ years plus \d+.*"
)
_ADJECTIVE = r"(?!.*(\(|\bto\b)).*\b(calendar|working|business|consecutive|full)\b (years?|months?|days)"
_UNITS = (
    r"[\d., ]+ ?(?:million )?(MG|Mgal|M gal|MM gal|K gal\.?|kgal|TGAL|USG|U\.S\. gallons|CF|CCF|HCF|MCF|m 3|cbm|ML|"
    r"ac-ft|cu\. ?(?:ft|m)\.|"
    r"(?:imperial|UK|registered) gallons|Imp\. gal\.|megalitres)|one CCF|500,000 gallons \(imperial\)"
)


def _says(pattern: str) -> Callable[[Difference], bool]:
    """Something in the whole sentence, for readers that show only that its numbers changed."""
    return lambda it: re.search(pattern, it.text, re.IGNORECASE) is not None


DIFFERENCES: tuple[Row, ...] = (
    # ---- numbers: recognizers-text ------------------------------------------------------------------------------
    _numbers(
        "words and digits",
        "both",
        "we",
        "words and digits are one number, printed twice; words win, with a warning where they differ",
        words=_PAIR,
        when=_each,
    ),
    _numbers(
        "range dash",
        "both",
        "we",
        "the dash parts two limits or a date's parts; it is no minus",
        words=r"-\s?\d[\d.,]*",
        before=r"[\d%]\s*|[a-z]",
        when=_opposite,
    ),
    _numbers(
        "sign",
        "both",
        "both",
        "a sign belongs to the band or temperature around the number, not to the number",
        words=r"(-\s?|minus ).*",
        before=r"^|[/(] ?|\bor |\bfrom ",
        when=_opposite,
    ),
    _numbers(
        "sign told twice",
        "both",
        "we",
        "plus or minus belongs to the band: the number is one, and stands once",
        words=r"minus \d+( pe)?",
        before=r"plus or ",
        when=lambda it: len(it.ours) < len(it.theirs),
    ),
    _numbers("sign before it", "ours", "we", "a number keeps its value behind a sign", words=r"\d+", before="minus "),
    _numbers(
        "month and year",
        "both",
        "we",
        "month and year, or a mark and a year: two numbers, no fraction",
        words=r"(\d+ )?\d{1,4}/\d{1,4}",
        when=lambda it: len(it.ours) > 1,
    ),
    _numbers(
        "fraction sign",
        "both",
        "we",
        "a fraction sign, a built-up fraction or a mixed number is one number",
        words=r"\d*[½¼¾⅛]( million)?|\d+⁄\d+|\d\d?-\d+/\d+|\d+ and one-half",
    ),
    _numbers(
        "glued fraction",
        "both",
        "we",
        "a fraction keeps its value where a unit or an x is glued to it",
        words=r"\d/\d|three-quarter",
        when=lambda it: len(it.ours) == len(it.theirs) == 1,
    ),
    _numbers(
        "negative fraction",
        "both",
        "we",
        "the 1 before the hyphen is damaged to an l; nothing negative is meant",
        words=r"-1/2",
        before="l",
    ),
    _numbers(
        "part of a million",
        "both",
        "we",
        "half a million is one number",
        words=r"(?!.*\().*\b(half|quarters?|1/2)\b.*\bmillion( and a half)?|a half million|two million.*thousand|"
        r"half a million|a million and a half",
    ),
    _numbers(
        "two scales",
        "both",
        "we",
        "millions and thousands in digits make one number",
        words=r"\d+ million \d+ thousand",
    ),
    _numbers(
        "million elsewhere", "both", "we", "a German number in a phrase table read as English", words=r"1,5 Millionen"
    ),
    _numbers(
        "letter of scale",
        "both",
        "both",
        "K and M scale a volume only beside its unit: the volume reader adds them",
        words=r"[\d.,]+ ?[KMG]",
        when=_scaled,
    ),
    _numbers(
        "other marks of thousands",
        "both",
        "we",
        "1.500.000 and 1'500'000 are grouped by what stands between",
        words=r"\d{1,3}(\.\d{3})+(,\d+)?|\d{1,3}('\d{3})+|\d{1,3}(\.\d{3}),\d+",
    ),
    _numbers(
        "decimal comma",
        "both",
        "we",
        "0,125 can only be a decimal comma",
        words=r"0,\d+",
        when=lambda it: it.ours[0][1] < 1,
    ),
    _numbers("leading point", "both", "we", "a decimal point needs no nought before it", words=r"\.\d+"),
    _numbers(
        "glued mark",
        "both",
        "we",
        "a footnote figure glued to the last group, read with a doubt",
        words=r"\d{1,3}(,\d{3})*,\d{4}",
    ),
    _numbers(
        "groups of a code",
        "both",
        "we",
        "blanks group thousands only before noughts or a unit: telephone and company numbers stay apart",
        words=r"0*\d{2,3}( \d{3})+",
        before=r"(^|[^/]\d*|[^\d] )(?<!5/8 )(?<!Years 1-)",
    ),
    _numbers(
        "blank in a row",
        "both",
        "we",
        "the cells of a row are numbers of their own",
        words=r"15 750|3 100",
        before=r"5/8 |Years 1-",
    ),
    _numbers(
        "figures of another language",
        "both",
        "we",
        "English figures in a bilingual paper: the document's own style decides",
        words=r"[1-9]\d{0,2}(,\d{3})+",
    ),
    _numbers(
        "hyphened hundreds", "both", "we", "hyphens through the whole number are allowed", words=r"\w+-hundred-\w+"
    ),
    _numbers(
        "print run",
        "both",
        "neither",
        "a printer's run and date on a foot line: no number of the warranty",
        words=r"500-\d/\d+",
    ),
    _numbers("counting of", "both", "we", '"priority 3 in five days" is no fraction', words=r"\d in \w+"),
    _numbers(
        "so many out of",
        "both",
        "both",
        "nine out of ten is a share of a crowd: two numbers for us",
        words=r"\w+ out of \w+",
    ),
    _numbers(
        "cell of grouped figures",
        "both",
        "they",
        "a cell of its own: the heading of its column tells us that the blank groups thousands",
        words=r"\d \d{3}",
        before="^",
        after="$",
    ),
    _numbers("part of a percent", "ours", "we", "a quarter of a percent is a number", words=r"0\.25", after=" percent"),
    _numbers(
        "named year",
        "both",
        "we",
        "a named year takes no fraction: what follows is the share of the next",
        words="nine and nine tenths",
    ),
    _numbers(
        "fine fraction",
        "both",
        "they",
        "thirteenths are finer than the trade's fractions: only the numerator is "
        "read, and a share is taken from the rule around it",
        words=r"\w+-thirteenths?|\w+ (twenty-fourths?|sixtieths?)|five fifths",
    ),
    _numbers(
        "number in a code",
        "theirs",
        "we",
        "a number inside a code is not read",
        words=r"-?\d+",
        before=r"[A-Z]{1,4}\d*[-]?|\d-|-\d+|-\d+/",
    ),
    _numbers(
        "dotted figures",
        "theirs",
        "we",
        "dates, clause and telephone numbers are not numbers",
        words=r"\d+",
        after=r"\.\d",
        before=r"(^|[^\w.-])",
    ),
    _numbers("dotted figures, later", "theirs", "we", "the same, after the first stop", words=r"\d+", before=r"\d\."),
    _numbers(
        "improper fraction",
        "theirs",
        "we",
        "full and prorated years, a page of pages, a size whose blank was lost: no fraction",
        words=r"\d+/\d+",
    ),
    _numbers("letter that scales a code", "theirs", "we", "2B ends a code", words=r"2B|-1B"),
    _numbers(
        "half alone",
        "theirs",
        "both",
        '"half" and "a third" alone are shares or ordinals: other families read them',
        words=_FRACTION,
    ),
    _numbers("a tenth", "theirs", "they", "a tenth of a lot is a share, and none we read", words="a tenth"),
    _numbers("article", "theirs", "we", "un and una are articles unless a unit follows", words=r"une?|una"),
    _numbers("size with its letters", "ours", "we", "DN15 is the size 15", before=r"DN|Q|OX", words=r"\d+"),
    _numbers(
        "glued unit",
        "ours",
        "we",
        "a number keeps its value where letters are glued to it",
        words=r"[\d.,]+",
        after=r"(yr|gpm|MG|m3|lb|oz|a\b|ZZ|XX)",
        before=r"(^|[^A-Z])",
    ),
    _numbers(
        "glued footnote",
        "ours",
        "we",
        "a mark behind a word; the layout parts what is raised",
        words=r"\d",
        before=r"years",
    ),
    _numbers(
        "broken digits",
        "ours",
        "neither",
        "letters stand for digits in a damaged layer: what is left of the number is too little, and no unit follows it",
        words=r"[\d,]+",
        after=r"[SO](?!Z|z)|l\d|ons",
        before=r"(^|[^a-z]|C|gal)",
    ),
    _numbers("fraction sign alone", "ours", "we", "a fraction sign is a number", words=r"[½¼¾⅛]"),
    _numbers("mixed million", "ours", "we", "1 3/4 million is one number", words=r"(\d )?\d/\d million"),
    _numbers(
        "date with a revision",
        "ours",
        "both",
        "a revision and a date run together: the date reader sorts it out",
        words=r"[\d.]+",
        before=r"Rev\. (\d\.\d/)?",
        after=r"[/-]\d",
    ),
    _numbers(
        "sizes in a cell",
        "ours",
        "we",
        "two sizes in a cell of a paper in English: two fractions, no product of them",
        words=r"\d/\d",
        before=r"(^|\d/\d )",
        after=r"( \d/\d|$)",
    ),
    _numbers(
        "bar between numbers",
        "ours",
        "we",
        "a bar between two numbers of a cell",
        words=r"[\d,]+",
        before=r"(^|15/)",
        after=r"/1,|$",
    ),
    _numbers(
        "in between", "ours", "we", '"1 in 20" is two numbers', words=r"\d+", before=r"(^|1 in )", after=r"( in 20|$)"
    ),
    _numbers(
        "another language",
        "ours",
        "we",
        "number words of other languages in the phrase tables",
        words=r"cinco|ciento veinte|quatre-vingt-dix|deux cent mille|twentyfive|two",
    ),
    _numbers(
        "one as a pronoun",
        "ours",
        "they",
        '"the one that" is no number; no unit follows, so nothing is read',
        words="one",
    ),
    _numbers(
        "number beside seconds",
        "ours",
        "we",
        "seconds are a unit here, no ordinal that swallows the numbers around it",
        words="fifteen",
        when=_says(r"every fifteen seconds"),
    ),
    _numbers(
        "shares by named years",
        "ours",
        "we",
        "shares told year by year beside French ordinals: each is a number of its own",
        words=r"six|\d\d",
        when=_says(r"la septième année, \d+ % la huitième"),
    ),
    _numbers("por ciento", "ours", "neither", "part of the words for per cent", words="ciento", before="por "),
    # ---- times: recognizers-text --------------------------------------------------------------------------------
    _times(
        "words and digits", "ours", "we", "words and digits are one number, and the unit belongs to it", words=_PAIRED
    ),
    _times(
        "abbreviated unit",
        "ours",
        "we",
        "yr., mo. and y are units of time in a warranty",
        words=r"\d+ ?[-–]?(yrs?\.?|mos?\.?|y)( \d+ mo\.)?",
    ),
    _times(
        "within days",
        "ours",
        "both",
        '"within 30 days" is a stretch of the calendar to it, and a duty\'s time to us',
        words=r"[\w-]+ days",
        before=r"\b(within|in|each of) ",
    ),
    _times("adjective before the unit", "ours", "we", "calendar, working and full days are days", words=_ADJECTIVE),
    _times("until a year of age", "ours", "we", "until year 15 is fifteen years", words=r"(until|through|to) .*"),
    _times(
        "unit left out",
        "ours",
        "we",
        "the unit stands with an earlier number and holds for this one",
        words=r"\w+",
        before=r"\bfor |\byears \w+ to ",
        after=r"\.| and | against ",
    ),
    _times("mixed number", "ours", "we", "a mixed number of years", words=r"\d+[ -]\d/\d years"),
    _times("decade and century", "ours", "we", "ten and a hundred years", words=r"(?!half).*(decades?|century)"),
    _times(
        "unit in the header", "ours", "we", "the header or label carries the unit", words=r"years: \d+|months\): \d+"
    ),
    _times("full and tail", "ours", "we", "a full and a prorated time in short", words=_TAIL),
    _times(
        "parts of one time",
        "both",
        "we",
        "years and months make one time",
        words=r".* years?( and|,| plus)? .* months",
        when=_each,
    ),
    _times(
        "one time in two units",
        "both",
        "we",
        "years and the same in months or days in brackets: one time, with a warning where they differ",
        words=r".*(years?|months?) \(\w+ (months|days)\)",
    ),
    _times(
        "fraction of a year", "both", "we", "the whole years belong to it too", words=r"(1½|\w+ and one-half) years"
    ),
    _times(
        "full and prorated",
        "both",
        "we",
        "one time with a prorated tail, of which the parts are told",
        words=_TAIL + "|.*full.*|.*no charge.*|.*free of charge.*",
    ),
    _times(
        "range of times",
        "both",
        "we",
        "two times: the shorter is taken, with the longer beside it and a warning",
        words=r"\w+ (to|or|through) \w+ years",
    ),
    _times("misread", "both", "we", '"complete in 24 months" is no single month', words=r"in \w+ (months|years)\."),
    _times(
        "weeks and shorter",
        "theirs",
        "both",
        "weeks, hours and shorter are no time of cover here",
        words=rf"(.*[^\w])?([\w-]+ )?{_SHORT}.*",
        when=lambda it: it.theirs[0][0] not in ("months", "days"),
    ),
    _times(
        "rate",
        "theirs",
        "both",
        '"a year" after an amount is a rate',
        words=r"(in )?an? (year|month|day)|(each|every)( full)? (year|month)|once a year|annual(ly)?|yearly|monthly|"
        r"daily",
    ),
    _times(
        "days of the week",
        "theirs",
        "both",
        "opening hours are no time of cover",
        words=r"monday.*|from [\d:]+ to [\d:]+",
    ),
    _times(
        "quarter of the year",
        "theirs",
        "we",
        "Q1 to Q4 are flows of a meter, and a quarter is none of ours",
        words=r"Q\d|following quarter",
    ),
    _times("letters of a product", "theirs", "we", "HR names a product, no hours", words=r"(\d|an) HR"),
    _times("some years", "theirs", "we", "some years are no count of years", words="some years"),
    _times(
        "age of a register",
        "theirs",
        "we",
        "so long a time is no cover: a register's turning over",
        words=r"1\d\d years",
    ),
    # ---- quantities: quantulum3 ---------------------------------------------------------------------------------
    _quantities(
        "words and digits", "both", "we", "words and digits are one number, and the unit belongs to it", words=_PAIRED
    ),
    _quantities(
        "abbreviated unit",
        "both",
        "we",
        "yr. and mo. are units of time in a warranty",
        words=r"\d+ ?(yrs?|mos?)\.?( \d+ mo\.)?",
    ),
    _quantities(
        "adjective before the unit", "both", "we", "calendar, working and full days are days", words=_ADJECTIVE
    ),
    _quantities("mixed number", "ours", "we", "a mixed number of years", words=r"\d+[ -]\d/\d years"),
    _quantities(
        "parts of one time",
        "both",
        "we",
        "years and months make one time",
        words=r"(?!.*half).* years?( and|,| plus)? .* months",
    ),
    _quantities(
        "year and a half",
        "both",
        "we",
        "a year and a half is one time, half a year six months",
        words=r".*\byear and a half|half a year|a quarter of a century",
    ),
    _quantities("century", "both", "we", "a hundred years, as we write every time in months", words="a century"),
    _quantities(
        "range of times",
        "both",
        "we",
        "two times: the shorter is taken, with the longer beside it and a warning; the middle is nobody's promise",
        words=r"\w+ (to|or|through) \w+ (working )?(years|days)",
    ),
    _quantities(
        "range of volumes",
        "both",
        "we",
        "the unit stands with the upper volume; the middle is printed nowhere",
        words=r"[\d,]+ to [\d,]+ gallons",
    ),
    _quantities(
        "unit in the header",
        "both",
        "we",
        "the header or label carries the unit",
        words=r"years: \d+|months\): \d+|gallons: [\d,]+",
    ),
    _quantities(
        "full and tail",
        "both",
        "we",
        "one time with a prorated tail, of which the parts are told",
        words=_TAIL + r"|.*\bfull\b(?! years).*|.*no charge.*|.*free of charge.*|\d+ years, the last .*",
    ),
    _quantities(
        "unit left out",
        "both",
        "we",
        "the unit stands with an earlier number and holds for this one",
        words=r"\w+( to \w+)?",
        when=lambda it: {kind for kind, _ in it.theirs} == {"dimensionless"},
    ),
    _quantities(
        "until a year of age",
        "both",
        "we",
        "until year 15 is fifteen years",
        words=r"(until|through) (the end of )?(the )?(year )?\w+( year)?",
    ),
    _quantities(
        "unit of the trade",
        "both",
        "we",
        "MG is a million gallons, CCF a hundred cubic feet, kgal a thousand gallons: no milligrams, farads or kelvins",
        words=_UNITS,
    ),
    _quantities(
        "scales of the trade",
        "both",
        "we",
        "thousands of gallons, tens of cubic feet",
        words=r"[\d,]+ (thousands|tens) of .*",
    ),
    _quantities(
        "both units",
        "both",
        "we",
        "one cap in two units: the first counts, and the second must agree or is warned of",
        words=r"(?!.*\b(years?|months?)\b).*(\(.*\)| / .*| or .*)",
        when=lambda it: _each(it) and re.search(r"gal.*m|m.*gal|CCF|cubic feet", it.words) is not None,
    ),
    _quantities(
        "one time in two units",
        "both",
        "we",
        "years and the same in days or months in brackets",
        words=r".*(years?|months?) \(\w+ (months|days)\)",
    ),
    _quantities(
        "part of a million",
        "both",
        "we",
        "half a million is one number, as is a mixed number",
        words=r"(?!.*\().*(half|quarters?|\d/\d|[½¼¾]).*(million|years).*|a million and a half gallons",
    ),
    _quantities(
        "thousands elsewhere",
        "both",
        "we",
        "a dot may part thousands: the size of a cap tells, with a warning",
        words=r"\d{1,3}\.\d{3} m3|\d{1,3}(\.\d{3})+ galones",
    ),
    _quantities(
        "another language",
        "both",
        "we",
        "units of other languages in the phrase tables",
        words=r".*(días|jours|Tage|Liter|metros|mètres|kubikmeter).*",
    ),
    _quantities("at", "both", "we", '"at" is no ampere-turn and "a" no year', words=r"[\w ]+ (at|a)"),
    _quantities("money for each", "both", "they", "forty dollars an item are no forty years", words=r"\$\d+ an"),
    _quantities("closing quote", "both", "we", "a closing quotation mark is no inch", words=r"[\w ]+”"),
    _quantities(
        "print run",
        "theirs",
        "we",
        "5M copies printed in March 2019: neither metres nor cubic metres",
        words="5M 3-19",
    ),
    _quantities(
        "volume by volume",
        "both",
        "they",
        "a factor of conversion is no volume; no sentence of a promise prints one",
        words=r"[\d.]+ gal/ft3",
    ),
    _quantities(
        "letter for a digit", "both", "we", "a damaged l is part of the word gallons", words=r"[\d,]+ gal", after="1ons"
    ),
    _quantities(
        "ordinal year",
        "ours",
        "we",
        "the end of the tenth year is ten years",
        words=r"(to|until|through) the .*(year|anniversary)",
    ),
    _quantities(
        "ordinal as a fraction",
        "both",
        "we",
        "the sixth anniversary is six years on, not a sixth",
        words=r"the \w+ anniversary",
    ),
    _quantities(
        "unread words",
        "ours",
        "we",
        "a calendar year, a French number, a time behind dot leaders",
        words=r"one (calendar|full) year|quatre-vingt-dix jours|10 years",
    ),
    _quantities(
        "rate",
        "theirs",
        "both",
        '"a year" after an amount is a rate, as is a day\'s use',
        words=r"an? (year|month|day|gallon)|[\d,]+ (gallons|gal|litres|m3)",
        after=r"( an? | the whole|\. per| than|;| late|,| \w|[.,]|$)",
        when=_says(
            r"\b(an?|each|per) (hour|day|month|year|min|lot)|a minute|[\w%]+ (a|an) (year|month|day)|in a year|"
            r"no case a day"
        ),
    ),
    _quantities(
        "letter a", "theirs", "we", '"5 a" and "2a" are no years, a damaged l no litre', words=r"(\d|\d/\d) ?a|20l1"
    ),
    _quantities(
        "ordinal year", "theirs", "we", "the fifth year is an age, no fifth of a year", words=r"(\w+ and )?\w+th years?"
    ),
    _quantities(
        "header",
        "theirs",
        "we",
        "a header names a unit and no amount",
        words=r"(million|thousand) (gallons|cubic feet|gal)",
    ),
    _quantities(
        "test and vessel",
        "theirs",
        "we",
        "the volume of a test, a drum or a dial's turn is no cap",
        words=r"\d+[ -]gallon|1/2",
    ),
    _quantities(
        "age of a register",
        "theirs",
        "we",
        "so long a time is no cover: a register's turning over",
        words=r"1\d\d years",
    ),
    _quantities(
        "broken digits",
        "theirs",
        "neither",
        "letters stand for digits in a damaged layer: what is left is no cap",
        words=r"000 gallons",
    ),
    # ---- number words written as digits: text2num -------------------------------------------------------------------
    _rewriting(
        "share of a lot",
        "theirs",
        "we",
        "so many of every hundred are a share of a lot, no amount",
        when=_says("of every hundred"),
    ),
    _rewriting(
        "scale apart",
        "both",
        "we",
        "it writes a million as a number of its own behind another",
        words=r".*\b(million|thousand|hundred)s?( and a half)?",
    ),
    _rewriting(
        "fraction apart",
        "both",
        "we",
        "it leaves the fraction's words behind and takes its parts for numbers",
        words=r"(?!.*million).*(half|quarters?|thirds?|fifths?|sixths?|eighths?|sixteenths|tenths|twentieths|12-1/2\)).*",
    ),
    _rewriting("fraction apart, later", "both", "we", "the same, seen in the numbers behind it", words=r"98\.5"),
    _rewriting(
        "fraction apart, before",
        "theirs",
        "we",
        "the same, seen in the numbers before it",
        words="",
        when=_says(r"between ninety-eight and one-half"),
    ),
    _rewriting(
        "fraction apart, number gone", "ours", "we", "the same: the bracketed digits stand alone", words=r"101\.5"
    ),
    _rewriting(
        "words beside digits",
        "theirs",
        "we",
        "once the words are digits, nothing tells that both are one number",
        words="",
        when=_says(r"\b(ten|fifteen|eighteen|thirty|twelve) \(\d+\)|\(5\) ?five|18 \(twelve\)"),
    ),
    _rewriting(
        "scale alone",
        "theirs",
        "we",
        "a scale in a header or a unit's name is no number",
        words="",
        when=_says(
            r"\b(thousands?|tens|million gallons\)|million gallons \(|million \(|million gallons$|in millions of)|"
            r"\(millions\)|hundreds of cubic|the millions of gallons|^million gal\.$"
        ),
    ),
    _rewriting("third parties", "theirs", "we", "third parties are not three", words="", when=_says(r"tercero|dritte")),
    _rewriting("nine or new", "theirs", "we", "neuf is new beside a meter", words="", when=_says("neufs")),
    _rewriting("tenths apart", "theirs", "we", "nine tenths are no nine and ten", words="", when=_says("nine tenths")),
    _rewriting("ordinal", "ours", "both", "an ordinal is no count", words="twenty", after="-(fifth|fourth )"),
    _rewriting(
        "ordinals of years",
        "theirs",
        "both",
        "ordinals are no count",
        words="",
        when=_says(r"neunten bis zum zwölften|sechsten bis zum achten"),
    ),
    _rewriting(
        "fine fraction",
        "both",
        "neither",
        "twenty-fourths are finer than the trade's fractions: the share is taken from the rule around it",
        words="twenty",
        after="-fourths",
    ),
    _rewriting(
        "hyphen and blank", "both", "we", "a hyphen at a line's end joins the number's words", words=r"\w+- \w+"
    ),
)
