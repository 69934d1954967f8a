"""Our numbers, times and volumes beside those of general-purpose libraries, in every sentence of a folder's documents.

usage: python bench/second_opinions.py [FOLDER or CSV …] [--all] [--keep]

The readers: recognizers-text (numbers in English, Spanish and French; durations in English), quantulum3 (durations and
volumes in English) and text2num (number words as digits, in four languages: our numbers must stay the same). None of
them knows the trade. Every difference must fall under exactly one row of DIFFERENCES, which says who is right and why;
those under none, or under two, are printed and make it leave with 1. `tests/outside/` run the same on the fixtures and
the phrase tables, with the answers that the libraries gave before (`--keep` writes them to tests/outside/answers.json):
asking them anew takes a minute.
"""

import argparse
import hashlib
import json
import re
import sys
import warnings
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from difflib import SequenceMatcher
from fractions import Fraction
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import Any

from differences import DIFFERENCES, Difference, Row, Value
from readings import find_files

from firstcap.extract.language import language_of, parse, sentences
from firstcap.extract.layout import build_layout
from firstcap.extract.numbers import ENGLISH, NumberStyle, number_style, numbers
from firstcap.extract.patterns import duration, volume
from firstcap.extract.patterns.values import FullAndTail
from firstcap.extract.pdf import open_document
from firstcap.schema.errors import DocumentError
from firstcap.schema.quantities import Duration
from firstcap.schema.units import gallons_per

ROOT = Path(__file__).resolve().parent.parent
PLACES = [ROOT / "fixtures", ROOT / "tests" / "extract" / "phrases"]
MONTHS = {"year": 12, "month": 1, "decade": 120}
GALLONS = {"gallon": "gal", "cubic foot": "ft3", "cubic metre": "m3", "litre": "L", "acre foot": "acre_ft"}
_CLOSE = Decimal("1e-8")


@dataclass(frozen=True, slots=True)
class Sentence:
    """A sentence or a table cell, with the language and the number style of its document."""

    source: str
    text: str
    style: NumberStyle = ENGLISH


@dataclass(frozen=True, slots=True)
class Found:
    """What one reader finds at text[start:end]."""

    start: int
    end: int
    value: Value


Reader = Callable[[Sentence], list[Found]]


# ---- the sentences --------------------------------------------------------------------------------------------------


def sentences_of(path: Path) -> Iterator[Sentence]:
    """The sentences and cells of a PDF that carries text, or the texts of a phrase table."""
    if path.suffix == ".csv":
        for line in path.read_text(encoding="utf-8").splitlines()[1:]:
            yield Sentence(path.stem, line.partition("|")[0])
        return
    try:
        layout = build_layout(open_document(path))
    except DocumentError:
        return
    texts = []
    for block in layout.blocks:
        texts += [block.run.text] if block.table is None else [cell.text for cell in block.table.cells]
    style = number_style(texts)
    for text in texts:
        for sentence in sentences(parse(text)):
            yield Sentence(path.stem, sentence.text.strip(), style)


def every_sentence(places: Iterable[Path]) -> list[Sentence]:
    """Each text once, in the order of the files' names."""
    files = [path for place in places for path in ([place] if place.is_file() else sorted(place.glob("*.csv")))]
    files += find_files([place for place in places if place.is_dir()])
    kept: dict[tuple[str, NumberStyle], Sentence] = {}
    for path in files:
        for sentence in sentences_of(path):
            kept.setdefault((sentence.text, sentence.style), sentence)
    return list(kept.values())


# ---- the readers ----------------------------------------------------------------------------------------------------


def our_numbers(sentence: Sentence) -> list[Found]:
    doc = parse(sentence.text)
    return [
        Found(doc[one.start].idx, doc[one.end - 1].idx + len(doc[one.end - 1]), ("", Decimal(0) + _decimal(one.value)))
        for one in numbers(doc, sentence.style)
    ]


def our_times(sentence: Sentence) -> list[Found]:
    return [Found(one.start, one.end, _time(one.value)) for one in duration.find(parse(sentence.text), sentence.style)]


def our_quantities(sentence: Sentence) -> list[Found]:
    found = volume.find(parse(sentence.text), sentence.style)
    both = [*our_times(sentence), *(Found(one.start, one.end, ("gallons", one.value.usgal)) for one in found)]
    return sorted(both, key=lambda one: one.start)


def _time(value: Any) -> Value:
    time: Duration = value.total if isinstance(value, FullAndTail) else value
    return ("months", time.months) if time.months is not None else ("days", Decimal(time.days or 0))


def _decimal(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


@cache
def _number_model(language: str) -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # their own import warnings are not ours to mend
        from recognizers_number import Culture, NumberRecognizer

        culture = {"en": Culture.English, "es": Culture.Spanish, "fr": Culture.French}[language]
        return NumberRecognizer(culture).get_number_model()


@cache
def _time_model() -> Any:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from recognizers_date_time import Culture, DateTimeRecognizer

        return DateTimeRecognizer(Culture.English).get_datetime_model()


@cache
def _quantity_parser() -> Callable[[str], list[Any]]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from quantulum3 import parser

        parse_quantities: Callable[[str], list[Any]] = parser.parse
        return parse_quantities


def recognizers_numbers(sentence: Sentence) -> list[Found]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = _number_model(sentence.style.language).parse(sentence.text)
    return [
        Found(one.start, one.end + 1, ("", Decimal(one.resolution["value"].replace(",", "."))))
        for one in found
        if one.resolution and one.resolution.get("value")
    ]


def recognizers_times(sentence: Sentence) -> list[Found]:
    """Durations, and the lengths of the spans of days that "within 30 days" is to it; weeks and shorter by name."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = _time_model().parse(sentence.text)
    times = []
    for one in found:
        timexes = [value.get("timex", "") for value in (one.resolution or {}).get("values", [])]
        length = next((match for timex in timexes if (match := re.search(r"P([\dT.]+[A-Z])+", timex))), None)
        if length is not None:
            times.append(Found(one.start, one.end + 1, _timex(length[0])))
    return times


def _timex(text: str) -> Value:
    match = re.fullmatch(r"P(?:([\d.]+)Y)?(?:([\d.]+)M)?(?:([\d.]+)D)?", text)
    if match is None:
        return (text.lstrip("P0123456789."), Decimal(0))
    years, months, days = (Decimal(part or 0) for part in match.groups())
    return ("days", days) if days else ("months", years * 12 + months)


def quantulum_quantities(sentence: Sentence) -> list[Found]:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        found = _quantity_parser()(sentence.text)
    quantities = []
    for one in found:
        value, unit = Decimal(repr(one.value)), one.unit.name
        if unit in MONTHS:
            kind, value = "months", value * MONTHS[unit]
        elif unit in GALLONS:
            factor = gallons_per(GALLONS[unit])
            kind, value = "gallons", value * factor.numerator / factor.denominator
        else:
            kind = "days" if unit == "day" else unit
        quantities.append(Found(one.span[0], one.span[1], (kind, value)))
    return quantities


# ---- answers given before -------------------------------------------------------------------------------------------

ANSWERS = ROOT / "tests" / "outside" / "answers.json"
LIBRARIES = {
    "recognizers numbers": "recognizers-text-number",
    "recognizers times": "recognizers-text-date-time",
    "quantulum quantities": "quantulum3",
}


class Kept:
    """What a library said of a sentence before, while its version is the same; else it is asked."""

    def __init__(self, name: str, ask: Reader, known: dict[str, Any]) -> None:
        self.name = name
        self.ask = ask
        self.version = version(LIBRARIES[name])
        same = known.get("version") == self.version
        self.before: dict[str, list[Any]] = known.get("answers", {}) if same else {}
        self.used: dict[str, list[Any]] = {}

    def __call__(self, sentence: Sentence) -> list[Found]:
        key = hashlib.sha256(f"{sentence.style.language} {sentence.text}".encode()).hexdigest()[:10]
        if key not in self.before:
            told = [[one.start, one.end, one.value[0], str(one.value[1])] for one in self.ask(sentence)]
            self.before[key] = told
        self.used[key] = self.before[key]
        return [Found(start, end, (kind, Decimal(value))) for start, end, kind, value in self.before[key]]


def with_kept_answers(file: Path = ANSWERS) -> "list[Comparison]":
    """The comparisons, whose libraries are asked only what they were not asked before."""
    known = json.loads(file.read_text()) if file.exists() else {}
    return [replace(one, theirs=Kept(one.name, one.theirs, known.get(one.name, {}))) for one in COMPARISONS]


def keep(comparisons: "Sequence[Comparison]", file: Path = ANSWERS) -> None:
    """Writes the answers that were used, one sentence a line, so that a change shows."""
    kept = [one.theirs for one in comparisons if isinstance(one.theirs, Kept)]
    parts = []
    for one in kept:
        rows = ",\n".join(
            f'"{key}":{json.dumps(told, separators=(",", ":"))}' for key, told in sorted(one.used.items())
        )
        parts.append(f'"{one.name}":{{"version":"{one.version}","answers":{{\n{rows}\n}}}}')
    file.write_text("{" + ",\n".join(parts) + "}\n")


# ---- the comparison -------------------------------------------------------------------------------------------------

_NUMBER = re.compile(
    r"(?i)\d|[½¼¾⅛⅓⅔⅜⅝⅞]|\b(one|two|three|four|five|six|seven|eight|nine|ten|eleven|twel|thir|four|fif|twen|for|eigh|nine|"
    r"hundred|thousand|million|half|third|quarter|dozen|un[oae]?\b|d(os|eux|iez|ix)|tr(es|ois|ece|eize)|cu|qu|cin|s[eio]|o[cn]|n[ue]|vei|"
    r"vin|cien|cent|mil)"
)
_TIME = re.compile(r"(?i)year|yr|month|\bmo|day|decade|centur|week|hour|minute|\d\s?y\b|\d\s?\+\s?\d")


@dataclass(frozen=True, slots=True)
class Comparison:
    """One of our readers beside one of theirs, over the sentences it makes sense for."""

    name: str
    ours: Reader
    theirs: Reader
    languages: tuple[str, ...]
    hint: re.Pattern[str]
    kinds: tuple[str, ...] = ()  # where not empty, a thing of another kind that we do not find is no difference

    def of(self, sentence: Sentence) -> tuple[int, list[Difference]]:
        """(places where both agree, differences)."""
        style = sentence.style
        if style.language not in self.languages or not self.hint.search(sentence.text):
            return 0, []
        if language_of(sentence.text) not in ("en", style.language):
            return 0, []  # a sentence in a third language
        agreed, differences = 0, []
        for ours, theirs in _places(self.ours(sentence), self.theirs(sentence)):
            if self.kinds and not ours and all(one.value[0] not in self.kinds for one in theirs):
                continue
            if _alike(ours, theirs):
                agreed += 1
                continue
            start, end = min(one.start for one in (*ours, *theirs)), max(one.end for one in (*ours, *theirs))
            values = (tuple(one.value for one in side) for side in (ours, theirs))
            differences.append(Difference(self.name, sentence.source, sentence.text, start, end, *values))
        return agreed, differences


COMPARISONS = (
    Comparison("recognizers numbers", our_numbers, recognizers_numbers, ("en", "es", "fr"), _NUMBER),
    Comparison("recognizers times", our_times, recognizers_times, ("en",), _TIME),
    Comparison(
        "quantulum quantities", our_quantities, quantulum_quantities, ("en",), _NUMBER, ("months", "days", "gallons")
    ),
)


def _places(ours: Sequence[Found], theirs: Sequence[Found]) -> Iterator[tuple[list[Found], list[Found]]]:
    """What both find at one place: findings whose words overlap, directly or through another."""
    waiting = sorted(((one, side) for side, found in enumerate((ours, theirs)) for one in found), key=_start)
    here: tuple[list[Found], list[Found]] = ([], [])
    end = 0
    for one, side in waiting:
        if any(here) and one.start >= end:
            yield here
            here = ([], [])
        here[side].append(one)
        end = max(end, one.end)
    if any(here):
        yield here


def _start(found: tuple[Found, int]) -> tuple[int, int, int]:
    return found[0].start, found[0].end, found[1]


def _alike(ours: Sequence[Found], theirs: Sequence[Found]) -> bool:
    return len(ours) == len(theirs) and all(
        one.value[0] == other.value[0] and abs(one.value[1] - other.value[1]) <= _CLOSE * abs(other.value[1])
        for one, other in zip(ours, theirs, strict=True)
    )


def digits_for_words(sentence: Sentence) -> tuple[int, list[Difference]]:
    """text2num writes number words as digits: the numbers we read must stay the same, in their order."""
    from text_to_num import alpha2digit

    name = "text2num rewriting"
    if not _WORDS.search(sentence.text):
        return 0, []
    rewritten = str(alpha2digit(sentence.text, sentence.style.language))
    if rewritten == sentence.text:
        return 0, []
    before, after = our_numbers(sentence), our_numbers(Sentence(sentence.source, rewritten, sentence.style))
    left, right = [one.value for one in before], [one.value for one in after]
    differences, agreed = [], 0
    for tag, i, j, k, m in SequenceMatcher(None, left, right, autojunk=False).get_opcodes():
        if tag == "equal":
            agreed += j - i
            continue
        first = before[i].start if i < len(before) else len(sentence.text)
        last = before[j - 1].end if j > i else first
        differences.append(
            Difference(
                name, sentence.source, sentence.text, first, last, tuple(left[i:j]), tuple(right[k:m]), rewritten
            )
        )
    return agreed, differences


_WORDS = re.compile(r"[^\W\d_]{2}")


@dataclass(slots=True)
class Outcome:
    """What came out for all sentences: counts of agreement, differences by row, and those under none or two."""

    agreed: Counter[str]
    explained: dict[Row, list[Difference]]
    unexplained: list[Difference]
    doubly: list[tuple[Difference, list[Row]]]


def compare_all(sentences: Iterable[Sentence], comparisons: Sequence[Comparison] = COMPARISONS) -> Outcome:
    outcome = Outcome(Counter(), {row: [] for row in DIFFERENCES}, [], [])
    for sentence in sentences:
        results = [(one.name, one.of(sentence)) for one in comparisons]
        results.append(("text2num rewriting", digits_for_words(sentence)))
        for name, (agreed, differences) in results:
            outcome.agreed[name] += agreed
            for difference in differences:
                rows = [row for row in DIFFERENCES if row.explains(difference)]
                if len(rows) == 1:
                    outcome.explained[rows[0]].append(difference)
                elif rows:
                    outcome.doubly.append((difference, rows))
                else:
                    outcome.unexplained.append(difference)
    return outcome


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("places", nargs="*", type=Path, default=PLACES)
    parser.add_argument("--all", action="store_true", help="print every difference below its row")
    parser.add_argument("--keep", action="store_true", help="write the answers for the tests (of fixtures and phrases)")
    options = parser.parse_args()
    found = every_sentence(options.places)
    comparisons = with_kept_answers()
    outcome = compare_all(found, comparisons)
    if options.keep:
        keep(comparisons)
    print(f"{len(found)} sentences and cells; both alike: ", end="")
    print(", ".join(f"{name} {count}" for name, count in outcome.agreed.items()))
    for row, differences in outcome.explained.items():
        if differences:
            print(f"{len(differences):5} {row.reader:21} {row.name}: {row.right}: {row.why}")
            shown = differences if options.all else differences[:1]
            print("\n".join(f"        {difference}" for difference in shown))
    for difference in outcome.unexplained:
        print(f"UNEXPLAINED {difference}")
    for difference, rows in outcome.doubly:
        print(f"TWO ROWS ({', '.join(row.name for row in rows)}) {difference}")
    return int(bool(outcome.unexplained or outcome.doubly))


if __name__ == "__main__":
    sys.exit(main())
