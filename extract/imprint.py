"""Imprint: where furniture stands on the page, and the code, revision and effective date printed in it.

Furniture is told by place and label: the head of the first page, running heads and feet, a date beside its word. A
code, a mark or a date after "supersedes", "price list" or "until" belongs to something else.
"""

import re
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from firstcap.extract.language import language_of, parse
from firstcap.extract.page import Block, BlockKind, Layout, Run
from firstcap.extract.patterns import date as dates
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import read
from firstcap.schema.terms import ReadingWarning
from firstcap.schema.vocabulary import WarningKind


@dataclass(frozen=True, slots=True)
class Place:
    """Text that may hold furniture: `rank` 2 head of page one, 1 running head or foot, 0 body."""

    run: Run
    rank: int
    heading: bool = False


@dataclass(frozen=True, slots=True)
class Value:
    value: Any
    score: float
    run: Run
    start: int
    end: int
    pattern: str


def places_of(layout: Layout) -> list[Place]:
    places = []
    head = True
    seen = 0
    for block in layout.blocks:
        if block.kind is BlockKind.FURNITURE:
            places.append(Place(block.run, 1))
            continue
        if block.table is not None:
            head = False
            continue
        if head and (seen >= 8 or block.run.page > 1 or (block.number and seen >= 2)):
            head = False
        seen += 1
        rank = 2 if head else 1 if _imprint(block) else 0
        places.append(Place(block.run, rank, block.kind is BlockKind.HEADING))
    if not any(place.rank == 1 for place in places) and places:
        last = places[-1]
        places[-1] = Place(last.run, 1, last.heading)
    return places


def _imprint(block: Block) -> bool:
    """A short line away from the head that carries a code with its revision or date: an inner title page."""
    text = block.run.text
    kinds = {kind for kind, _, _ in labels_in(block.run)} if len(text) < 90 else set()
    return "code" in kinds and bool(kinds & {"revision", "effective", "issued", "revised"})


def labels_in(run: Run) -> list[tuple[str, int, int]]:
    """Labels in a text: (kind, start, end), the longest at each place."""
    doc = read(run.text)
    found: dict[tuple[str, int], int] = {}
    for label, first, last in document.LABELS.rows_at(doc):
        start, end = doc[first].idx, doc[last - 1].idx + len(doc[last - 1])
        found[(label.kind, start)] = max(found.get((label.kind, start), 0), end)
    spans = sorted((kind, start, end) for (kind, start), end in found.items())
    dated = [(start, end) for kind, start, end in spans if kind == "effective"]
    return [
        (kind, start, end)
        for kind, start, end in spans
        if kind != "other" or not any(low < start and end <= high for low, high in dated)
    ]


# Code and revision


def after_other(labels: Sequence[tuple[str, int, int]], start: int, text: str) -> bool:
    """Whether what starts here belongs to something else: a superseded edition, a price list, a standard."""
    for kind, _, high in labels:
        if (
            kind == "other"
            and high <= start
            and not re.search(r"(?<!Rev)(?<!No)(?<!Ed)[.;|·•)]\s|\s[—–|·•]\s", text[high:start])
            and start - high < 45
        ):
            return True
    return False


def code_of(places: Sequence[Place]) -> Value | None:
    found: dict[str, Value] = {}
    votes: defaultdict[str, float] = defaultdict(float)

    def vote(text: str, weight: float, place: Place, start: int, end: int, pattern: str) -> None:
        code = text.strip(" .,-–")
        key = re.sub(r"[\W_]+", "", code).lower()
        votes[key] += weight
        if key not in found or weight > found[key].score:
            found[key] = Value(code, weight, place.run, start, start + len(code), pattern)

    for place in places:
        if place.rank == 0 and not _is_amendment(place.run.text):
            continue
        text = place.run.text
        labels = labels_in(place.run)
        for kind, start, end in labels:
            if kind != "code" or after_other(labels, start, text):
                continue
            rest = re.match(r"[\s:.#]*", text[end:])
            at = end + (rest.end() if rest else 0)
            match = document.CODE.match(text, at)
            if (
                match
                and len(match.group()) >= 2
                and not _dateish(text, at)
                and not document.NOT_CODES.match(match.group())
            ):
                weight = (
                    4.0
                    + (1 if place.rank == 2 else 0)
                    - (3.0 if place.heading and _names_product(text, at) else 0.0)
                    - (2.0 if text[start:end].lower().startswith(("no", "part")) else 0)
                )
                code = _whole_code(text, at)
                vote(code, weight, place, at, at + len(code), "code.label")
        if place.rank == 0:
            continue
        for match in document.BARE_CODE.finditer(text, 0, 100 if place.rank == 2 else len(text)):
            code = match.group()
            if (
                document.NOT_CODES.match(code)
                or _dateish(text, match.start())
                or after_other(labels, match.start(), text)
            ):
                continue
            if (
                re.search(r"(?:No\.?|Tel\.?|\()\s*$", text[: match.start()])
                and code[0].isdigit()
                and "-" in code
                and not re.search("[A-Z]", code)
            ):
                continue
            weight = 1.5 if place.rank == 1 else 0.5 if place.heading and _names_product(text, match.start()) else 1.0
            if re.match(
                r"[,.]?\s*[·|–-]?\s*(?:rev|revision|issue|edition|ed|version|v)\b", text[match.end() :], re.IGNORECASE
            ):
                weight += 2
            if match.start() == 0:
                weight += 0.5
            vote(code, weight, place, match.start(), match.end(), "code.furniture")
    if not votes:
        return None
    for key in list(votes):
        for other in votes:
            if key != other and other.startswith(key):
                votes[key] += votes[other] * 0.5
    key = max(votes, key=lambda each: (votes[each], len(each)))
    strong = re.fullmatch(r"(?=.*[A-Z])(?=.*\d)[A-Z0-9]+(?:[-/][A-Z0-9]+)+", found[key].value)
    return found[key] if votes[key] >= (1 if strong else 2) else None


def _names_product(text: str, at: int) -> bool:
    """Whether what follows the code in a heading says that it is a product: "Data Sheet: LH-40 ultrasonic meter"."""
    return bool(re.match(r"\S+ [a-z]", text[at:]))


def _is_amendment(text: str) -> bool:
    return bool(re.match(r"\s*(?:this (?:letter|paper) is )?amendment \w+ to\b", text, re.IGNORECASE))


def _whole_code(text: str, at: int) -> str:
    match = document.BARE_CODE.match(text, at) or document.CODE.match(text, at)
    assert match is not None  # the caller has matched CODE here
    longer = document.CODE.match(text, at)
    code = match.group()
    if longer and len(longer.group()) > len(code):
        code = longer.group()
    return code


def _dateish(text: str, at: int) -> bool:
    """Whether a date, a telephone number or a print run starts here."""
    if re.match(r"\(?\d{3}\)?[-. ]\d{3}[-. ]\d{3,4}|\d+ ?M \d", text[at : at + 24]):
        return True
    return any(mention.start == at for mention in dates.find(parse(text), day_first=False))


def without_language(code: str, layout: Layout) -> tuple[str, str | None]:
    """The code without its language suffix where that carries a version, or where the bare code stands elsewhere."""
    match = document.LANGUAGE_SUFFIX.match(code)
    if not match:
        return code, None
    if match[3]:
        return match[1], match[3]
    bare = re.compile(re.escape(match[1]) + r"(?![\w/–-])")
    return (match[1], None) if any(bare.search(block.run.text) for block in layout.blocks) else (code, None)


def revision_of(places: Sequence[Place], code: Value | None) -> Value | None:
    found: dict[str, Value] = {}
    votes: defaultdict[str, float] = defaultdict(float)
    for place in places:
        text = place.run.text
        labels = labels_in(place.run)
        for glued in document.GLUED_VERSION.finditer(text) if place.rank else ():
            if not after_other(labels, glued.start(), text):
                votes[glued[1]] += 1.5
                found.setdefault(
                    glued[1], Value(glued[1], 1.5, place.run, glued.start(), glued.end(), "revision.version")
                )
        for kind, start, end in labels:
            if kind not in ("revision", "amendment") or after_other(labels, start, text):
                continue
            rest = re.match(r"[\s:.]*", text[end:])
            at = end + (rest.end() if rest else 0)
            match = document.MARK.match(text, at)
            if not match or _dated(text, at, match):
                continue
            if kind == "revision" and (place.rank == 0 or not _mark_like(text, start, end, match)):
                continue
            value = match.group()
            weight = 2.0 if place.rank == 2 else 1.5
            if kind == "amendment":
                if (place.rank == 0 and not _is_amendment(text)) or re.match(r"\s*incorporated", text[match.end() :]):
                    continue
                value, weight = f"Amendment {value}", 6.0
                start = start if text[start:end].lower().startswith("amend") else at
            elif code and code.value in text[max(0, start - len(code.value) - 4) : start]:
                weight += 1.5
            votes[value] += weight
            if value not in found or weight > found[value].score:
                found[value] = Value(value, weight, place.run, start, match.end(), f"revision.{kind}")
    if not votes:
        return None
    value = max(votes, key=lambda each: votes[each])
    return found[value]


def _dated(text: str, at: int, match: re.Match[str]) -> bool:
    """Whether what follows the label is a whole date and no mark."""
    return any(
        mention.start <= at < mention.end and mention.end > match.end() and mention.pattern != "revision_month"
        for mention in dates.find(parse(text), day_first=False)
    )


def _mark_like(text: str, start: int, end: int, match: re.Match[str]) -> bool:
    label = text[start:end].lower()
    if label.rstrip(".") in ("v", "ed", "ind", "iss"):
        return match.group()[0].isdigit() or label.rstrip(".") in ("ind", "ed")
    return not (
        match.group().isalpha()
        and match.group() in ("A", "I", "IN", "OF", "ON", "IS", "TO")
        and text[match.end() :].startswith(" ")
    )


# Effective date


@dataclass(frozen=True, slots=True)
class _Date:
    value: date
    start: int
    end: int
    other: date | None = None  # the second reading of 05/06/2021
    precise: bool = True
    shape: str = ""


def _dates(text: str, day_first: bool) -> list[_Date]:
    """Printed dates; figures that could be read either way keep the other reading."""
    doc = parse(text)
    readings = [dates.find(doc, day_first=first) for first in (day_first, not day_first)]
    others = {(mention.start, mention.end): mention.value.date for mention in readings[1]}
    found = []
    for mention in readings[0]:
        start = mention.start
        if mention.value.precision == "year":  # the pattern takes the word before the year with it
            start += re.search(r"\d", mention.text).start()  # type: ignore[union-attr]
        other = others.get((mention.start, mention.end), mention.value.date)
        found.append(
            _Date(
                mention.value.date,
                start,
                mention.end,
                other if other != mention.value.date else None,
                mention.value.precision == "day",
                mention.pattern,
            )
        )
    return found


# A date as precise as it is printed, by the shape that carries it: a copyright year or run-together figures say little.
_SHAPES = {"year_alone": 30.0, "six_figures": 35.0, "revision_month": 45.0}
_SCORES = {"effective": 100.0, "issued": 80.0, "revised": 70.0}


def effective_from(layout: Layout, places: Sequence[Place]) -> tuple[Value | None, list[ReadingWarning]]:
    day_first = _day_first(layout)
    best: Value | None = None
    chosen: _Date | None = None
    for place in places:
        text = place.run.text
        labels = labels_in(place.run)
        for found in _dates(text, day_first):
            if after_other(labels, found.start, text):
                continue
            score, pattern = _date_score(place, labels, found, text)
            if score <= 0:
                continue
            if found.shape in _SHAPES and (score < 80 or found.shape != "year_alone"):
                score = _SHAPES[found.shape] - (15 if "©" in text[: found.start] else 0)
            score += place.rank * 2 + (3 if found.precise else 0)
            if best is None or score > best.score:
                best = Value(found.value, score, place.run, found.start, found.end, pattern)
                chosen = found
    if best is None or best.score < 28:
        best = _marked_month(places, best)
        chosen = chosen if best and chosen and best.value == chosen.value else None
    warnings = []
    if best is not None and chosen is not None and chosen.other is not None:
        words = best.run.text[best.start : best.end]
        warnings.append(
            ReadingWarning(
                kind=WarningKind.AMBIGUOUS_DATE,
                page=best.run.page,
                message=f"{words} reads as {chosen.value.isoformat()} or {chosen.other.isoformat()}; "
                f"taken as {chosen.value.isoformat()}, {'day' if day_first else 'month'} first, as its origin suggests",
            )
        )
    return best, warnings


def _date_score(place: Place, labels: Sequence[tuple[str, int, int]], found: _Date, text: str) -> tuple[float, str]:
    """How surely this is the effective date, by which label. A body sentence counts only if it speaks of this paper."""
    nearest = ""
    distance = 60
    for kind, _, end in labels:
        gap = found.start - end
        near = kind in _SCORES and 0 <= gap < distance and not re.search(r"[.;|·]\s", text[end : found.start])
        if near and (not nearest or _SCORES[kind] >= _SCORES[nearest] or gap < 4):
            nearest, distance = kind, gap
    if place.rank == 0:
        if nearest != "effective" or not re.search(
            r"\b(?:this|it|these|present|edition|form|amendment|letter|warranty|esta|este|diese|cette)\b",
            text[: found.start],
            re.IGNORECASE,
        ):
            return 0.0, ""
        return 45.0, "date.effective.body"
    if nearest:
        return _SCORES[nearest], f"date.{nearest}"
    alone = len(text) - (found.end - found.start) < 4
    if alone:
        return 55.0, "date.alone"
    if any(kind in ("code", "revision") and abs(found.start - end) < 60 for kind, _, end in labels):
        return 60.0, "date.beside_code"
    return (50.0, "date.head") if place.rank == 1 or len(text) < 160 else (0.0, "")


def _marked_month(places: Sequence[Place], best: Value | None) -> Value | None:
    """Print marks: `4M 6-18`, `(02/21)`, `printed 1-06`: used where nothing better is printed."""
    for place in places:
        if place.rank == 0:
            continue
        text = place.run.text
        labels = labels_in(place.run)
        for match in document.SHORT_MONTH.finditer(text):
            before = text[: match.start()]
            if (best is not None and best.score >= 25) or after_other(labels, match.start(), text):
                continue
            if re.search(r"\d{3}[-. ]$", before):
                continue
            value = date(_century(match["yy"]), int(match["m"]), 1)
            best = Value(value, 25.0, place.run, match.start(), match.end(), "date.print_mark")
    return best


def _century(year: str) -> int:
    if len(year) == 4:
        return int(year)
    return (2000 if int(year) < 70 else 1900) + int(year)


_MONTH_FIRST = re.compile(
    r"\b(?:Inc|LLC|Corp|Corporation|U\.S\.|USA|United States|gallons?|gpm|inch(?:es)?)\b"
    r"|\b[A-Z][a-z]+,? [A-Z][a-z]+ \d{5}\b",
    re.MULTILINE,
)
_DAY_FIRST = re.compile(
    r"\b(?:Ltd|Limited|GmbH|Lda|Pty|S\.A\.|S\.L\.|S\.r\.l|United Kingdom|Australia|India|"
    r"Europe|European|DN ?\d+|m3|litres?"
    r"|metres?|Q3|despatch\w*|MID|ISO 4064)\b"
)


def _day_first(layout: Layout) -> bool:
    """Whether 05/06/2021 is the fifth of June: by other dates in the document, its language, its words and units."""
    text = "\n".join(block.run.text for block in layout.blocks)
    for match in document.FIGURES.finditer(text):
        a, b = int(match["a"]), int(match["b"])
        if a > 12 >= b:
            return True
        if b > 12 >= a:
            return False
    if language_of(text) != "en":
        return True
    return len(_DAY_FIRST.findall(text)) > len(_MONTH_FIRST.findall(text))
