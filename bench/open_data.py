"""Our numbers, ordinals, percentages, durations and quantities against two open sets of labelled sentences.

    python bench/open_data.py FOLDER [--all]

FOLDER holds `recognizers-text/` (the English specification files of github.com/microsoft/Recognizers-Text, MIT) and
`quantulum3/` (the test sentences of github.com/nielstron/quantulum3, MIT). Both label everything people write; we read
what warranties print. Every difference falls under a reason; those under none are listed for a person to look at.
"""

import argparse
import json
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle, numbers, ordinals
from firstcap.extract.patterns import duration, size, volume
from firstcap.extract.patterns.accuracy import with_percents
from firstcap.extract.patterns.matching import NUMBER, PERCENT, value_of, with_numbers
from firstcap.extract.patterns.values import FullAndTail
from firstcap.schema.quantities import Duration
from firstcap.schema.units import gallons_per

PLAIN = NumberStyle(sure=True)
Values = tuple[Fraction, ...]

_DIGIT = "(?:zero|one|two|three|four|five|six|seven|eight|nine)"
# A pattern over the sentence, and why it makes a difference that is right. The first that matches names it.
REASONS: tuple[tuple[str, str], ...] = (
    (r"(?i)\d+(\.\d+)?\s?[eE×x]\s?\^?-?\d|10\^|\^|\*10|\dx10", "powers of ten are not printed in warranties"),
    (r"(?i)\b\d+(\.\d+)?\s?[kmbgt]\b", "a letter for thousands counts only before a unit of volume"),
    (r"(?i)\b(negative|minus)\b|(^|\s)[-−]\s?[\d.]", "a sign belongs to the caller: warranty quantities have none"),
    (r"(?i)\bdozens?\b|\bscore\b|\bcouple\b|\bpair\b|\bfew\b|\bseveral\b",
     "a vague or counting word is no number here"),
    (r"(?i)\bover\b|\d/\d|\bout of\b",
     "\"over\" and improper fractions are no fractions: \"20-yr (10/10)\""),
    (r"(?i)\b(twentieth|thirtieth|hundredths?|thousandths?|millionths?|trillionths?|billionths?|fifths?|thirds?|sevenths?|"
     r"ninths?|hundred and [a-z]+ths?)\b",
      "fractions finer than the trade's (halves to hundredths) are not read as fractions"),
    (r"(?i)\b(last|next|previous|penultimate|following|former|latter|this|one before)\b",
     "a relative place is no ordinal here"),
    (r"(?i)\b(trillion|billion|lakh|crore|zillion|quadrillion)s?\b", "scales beyond registers"),
    (rf"(?i){_DIGIT}( (oh|{_DIGIT})){{2}}",
     "digits said one by one"),
    (r"[$€£¥₩]|(?i:\bus\$|dollars?|pounds?|yen|cents?\b)", "money"),
    (r"\d{1,2}:\d{2}|\d{4}-\d{2}|\d+[/.-]\d+[/.-]\d+|(?i:\b\d\d?(am|pm)\b)", "a time or date"),
    (r"(?i)\b(week|weeks|hour|hours|minute|minutes|second|seconds|min|mins|hrs?|night|fortnight|quarter|weekend|decade|"
     r"business day|working)\b", "weeks, hours and shorter are no warranty time"),
    (r"(?i)\b(whole|all|every|each|rest of|half|more|other|entire|long|past|old|ago|later)\b",
     "\"a whole day\" and its kin name no "
     "counted time"),
    (r"(?i)[a-z]\d|\d[a-z]|#|\d\.\d+\.\d", "a number inside a word, code or clause number"),
    (r"(?i)\bsq|square|per |/", "a rate, an area or a compound unit"),
    (r"\d[  ]\d", "blanks group digits only before noughts or a unit"),
    (r"\d,\d", "groups that are not of three"),
    (r"(?i)\bnought|\bnaught|nineth", "spellings that warranties do not use"),
    (r"(?i)\b(full|another)\b", "\"full month\" and \"another month\" without a number name no counted time"),
    (r"(?i)\b(dzs?|dozs?|bln|tln)\b", "abbreviations of counting words and of large scales"),
    (r"(?i)first(s)\b|\bhundred and \d|thousand \d hundred|\w-\d", "mixed digits and words, and codes"),
    (r" - ", "a hyphen between blanks joins no words"),
    (r"(?i)\ba\b|\ban\b|\bone\b", "an article or \"one\" as a pronoun"),
)  # fmt: skip


def reason(text: str) -> str | None:
    return next((why for pattern, why in REASONS if re.search(pattern, text)), None)


def _sorted(values: Iterator[Fraction]) -> Values:
    return tuple(sorted(values))


def our_numbers(text: str) -> Values:
    return _sorted(number.value for number in numbers(parse(text), PLAIN))


def our_ordinals(text: str) -> Values:
    return _sorted(number.value for number in ordinals(parse(text)))


def our_percents(text: str) -> Values:
    reduced = with_percents(parse(text), PLAIN)
    return _sorted(
        value_of(token) for token in reduced[:-1] if token.text == NUMBER and reduced[token.i + 1].text == PERCENT
    )


def our_durations(text: str) -> Values:
    """Months, and days as negative numbers, so that neither is taken for the other."""
    found = []
    for mention in duration.find(parse(text), PLAIN):
        value = mention.value.total if isinstance(mention.value, FullAndTail) else mention.value
        assert isinstance(value, Duration)
        found.append(Fraction(-value.days) if value.days is not None else Fraction(value.months or 0))
    return tuple(sorted(found))


def our_volumes(text: str) -> Values:
    return _sorted(
        Fraction(mention.value.value) * gallons_per(mention.value.unit) for mention in volume.find(parse(text), PLAIN)
    )


def _exact(text: str) -> Fraction:
    return Fraction(text.replace(",", "").rstrip("%"))


def theirs(rows: Any) -> Iterator[tuple[str, Values]]:
    """Sentences of a specification file whose values are numbers."""
    for row in rows:
        values = []
        for result in row.get("Results", []):
            try:
                values.append(_exact(str(result["Resolution"]["value"])))
            except (KeyError, TypeError, ValueError):
                break
        else:
            yield row["Input"], tuple(sorted(values))


def their_durations(rows: Any) -> Iterator[tuple[str, Values]]:
    for row in rows:
        values = []
        for result in row.get("Results", []):
            match = re.fullmatch(r"P(\d+(?:\.\d+)?)([YMDW])", str((result.get("Value") or {}).get("Timex", "")))
            if match is None:
                break
            count = Fraction(match.group(1))
            unit = match.group(2)
            values.append({"Y": count * 12, "M": count, "D": -count, "W": -count * 7}[unit])
        else:
            yield row["Input"], tuple(sorted(values))


_THEIR_VOLUMES = {"Gallon": "gal", "Cubic meter": "m3", "Cubic foot": "ft3", "Liter": "L", "Kiloliter": "kL"}


def their_volumes(rows: Any) -> Iterator[tuple[str, Values]]:
    for row in rows:
        values = []
        for result in row.get("Results", []):
            resolution = result["Resolution"]
            if resolution.get("unit") in _THEIR_VOLUMES and resolution.get("value"):
                values.append(_exact(resolution["value"]) * gallons_per(_THEIR_VOLUMES[resolution["unit"]]))
        yield row["Input"], tuple(sorted(values))


_QUANTULUM = {"year": 12, "month": 1}
_QUANTULUM_VOLUMES = {"gallon": "gal", "cubic metre": "m3", "cubic foot": "ft3", "litre": "L"}


def quantulum(rows: Any, kind: str) -> Iterator[tuple[str, Values]]:
    """Durations, volumes or percentages of the other set; a range is given there as its middle and is left out."""
    for row in rows:
        values = []
        skip = False
        for result in row["res"]:
            unit, value = result["unit"], Fraction(str(result["value"]))
            skip |= bool(result.get("uncertainty"))
            if kind == "durations" and unit in _QUANTULUM:
                values.append(value * _QUANTULUM[unit])
            elif kind == "durations" and unit == "day":
                values.append(-value)
            elif kind == "volumes" and unit in _QUANTULUM_VOLUMES:
                values.append(value * gallons_per(_QUANTULUM_VOLUMES[unit]))
            elif kind == "percentages" and unit == "percentage":
                values.append(value)
        if not skip:
            yield row["req"], tuple(sorted(values))


def compare(
    name: str,
    rows: Iterator[tuple[str, Values]],
    ours: Callable[[str], Values],
    show_all: bool,
    tolerance: float = 1e-4,
) -> int:
    """Print agreement and differences by reason; the number of differences under no reason."""
    agree = 0
    reasons: Counter[str] = Counter()
    unexplained: list[str] = []
    samples: dict[str, list[str]] = defaultdict(list)
    for text, expected in rows:
        read = ours(text)
        same = len(read) == len(expected) and all(
            abs(one - two) <= tolerance * max(1, abs(two)) for one, two in zip(read, expected, strict=True)
        )
        if same:
            agree += 1
            continue
        line = f"{text!r}: ours {[str(one) for one in read]}, theirs {[str(one) for one in expected]}"
        why = reason(text)
        if why is None:
            unexplained.append(line)
        else:
            reasons[why] += 1
            samples[why].append(line)
    total = agree + sum(reasons.values()) + len(unexplained)
    print(f"{name}: {agree} of {total} sentences agree")
    for why, count in reasons.most_common():
        print(f"  {count:3}  {why}")
        for line in samples[why][: None if show_all else 1]:
            print(f"         {line[:200]}")
    for line in unexplained:
        print(f"    ?  {line[:240]}")
    return len(unexplained)


def never_raises(folder: Path) -> None:
    """The sentences that once crashed the other library: ours reads or leaves them."""
    for text in json.loads((folder / "errors.json").read_text(encoding="utf-8")):
        doc = parse(text)
        with_numbers(doc)
        for find in (duration.find, volume.find, size.find):
            find(doc)


def main() -> int:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--all", action="store_true", help="every sentence that differs, not one a reason")
    options = parser.parse_args()

    def load(path: str) -> Any:
        return json.loads((options.folder / path).read_text(encoding="utf-8-sig"))

    spec = "recognizers-text/"
    other = load("quantulum3/quantities.json") + load("quantulum3/quantities.ambiguity.json")
    left = 0
    for name, rows, ours in (
        ("numbers", theirs(load(spec + "Number_English_NumberModel.json")), our_numbers),
        ("ordinals", theirs(load(spec + "Number_English_OrdinalModel.json")), our_ordinals),
        ("percentages", theirs(load(spec + "Number_English_PercentModel.json")), our_percents),
        ("durations", their_durations(load(spec + "DateTime_English_DurationParser.json")), our_durations),
        ("volumes", their_volumes(load(spec + "NumberWithUnit_English_DimensionModel.json")), our_volumes),
        ("durations, second set", quantulum(other, "durations"), our_durations),
        ("volumes, second set", quantulum(other, "volumes"), our_volumes),
        ("percentages, second set", quantulum(other, "percentages"), our_percents),
    ):
        left += compare(name, rows, ours, options.all)
    never_raises(options.folder / "quantulum3")
    print(f"differences under no reason: {left}", file=sys.stderr)
    return 0


if __name__ == "__main__":
    sys.exit(main())
