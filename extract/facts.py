"""Document furniture: who gives the warranty, title, code, revision, effective date, region; and whether it is a warranty.

Furniture is told by place and label: the head of the first page, running heads and feet, a date beside its word. A code, a
mark or a date after "supersedes", "price list" or "until" belongs to something else.
"""

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import language_of, sentences
from firstcap.extract.page import Block, BlockKind, Layout, Run
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import ClauseRow, fold, read
from firstcap.extract.patterns.document import Paper
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import DocumentFacts, ReadingWarning
from firstcap.schema.vocabulary import WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc


@dataclass(frozen=True, slots=True)
class Parties:
    """Who is who: `supplier` as printed in full; the single words that stand for either party in this document."""

    supplier: str | None
    suppliers: frozenset[str]
    customers: frozenset[str]


@dataclass(frozen=True, slots=True)
class _Place:
    """Text that may hold furniture: `rank` 2 head of page one, 1 running head or foot, 0 body."""

    run: Run
    rank: int
    heading: bool = False


@dataclass(frozen=True, slots=True)
class _Value:
    value: Any
    score: float
    run: Run
    start: int
    end: int
    pattern: str


def find_facts(layout: Layout, file_name: str) -> tuple[DocumentFacts, list[ReadingWarning]]:
    """Facts of the document, each with its evidence, and warnings about dates that read two ways."""
    places = _places(layout)
    supplier = _supplier(layout, places)
    title = _title(layout, supplier.value if supplier else None)
    code = _code(places)
    revision = _revision(places, code)
    effective, warnings = _effective(layout, places)
    region = _region(places, supplier.value if supplier else None)
    code_value, split_revision = _without_language(code.value, layout) if code else (None, None)
    revision_value = revision.value if revision else split_revision
    found = {
        "supplier": supplier,
        "title": title,
        "document_code": code,
        "revision": revision or (code if split_revision else None),
        "effective_from": effective,
        "region": region,
    }
    evidence = tuple(
        Evidence(
            field=name,
            boxes=value.run.boxes(value.start, value.end),
            quote=value.run.text[value.start : value.end],
            pattern=value.pattern,
        )
        for name, value in found.items()
        if value is not None
    )
    facts = DocumentFacts(
        supplier=supplier.value if supplier else None,
        title=title.value if title else None,
        document_code=code_value,
        revision=revision_value,
        effective_from=effective.value if effective else None,
        region=region.value if region else None,
        evidence=evidence,
    )
    return facts, warnings


# Where furniture stands


def _places(layout: Layout) -> list[_Place]:
    places = []
    head = True
    seen = 0
    for block in layout.blocks:
        if block.kind is BlockKind.FURNITURE:
            places.append(_Place(block.run, 1))
            continue
        if block.table is not None:
            head = False
            continue
        if head and (seen >= 8 or block.run.page > 1 or (block.number and seen >= 2)):
            head = False
        seen += 1
        rank = 2 if head else 1 if _imprint(block) else 0
        places.append(_Place(block.run, rank, block.kind is BlockKind.HEADING))
    if not any(place.rank == 1 for place in places) and places:
        last = places[-1]
        places[-1] = _Place(last.run, 1, last.heading)
    return places


def _imprint(block: Block) -> bool:
    """A short line away from the head that carries a code with its revision or date: the head of an inner title page."""
    text = block.run.text
    kinds = {kind for kind, _, _ in _labels(block.run)} if len(text) < 90 else set()
    return "code" in kinds and bool(kinds & {"revision", "effective", "issued", "revised"})


def _labels(run: Run) -> list[tuple[str, int, int]]:
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


# Supplier


_NAME = r"(?:[A-ZÀ-Þ][\w’'ß.&à-ÿ-]*|&|[A-Z]\.)"
_SEQUENCE = re.compile(_NAME + r"(?:,? (?:" + _NAME + r"|and(?= [A-Z])|of(?= [A-Z])|de(?= [A-Z])))*")


def _names(text: str) -> Iterator[tuple[str, int, int]]:
    """Capitalised sequences of a text that may be the name of a firm: cut after the legal form."""
    for match in _SEQUENCE.finditer(text):
        words = list(re.finditer(r"[^\s]+", match.group()))
        start = 0
        while start < len(words) and fold(words[start].group().strip(",.")) in _LEADING:
            start += 1
        end = len(words)
        for index in range(start, len(words)):
            word = words[index].group()
            if _is_form(word) and not (index + 1 < len(words) and _is_form(words[index + 1].group())):
                if index + 1 < len(words) and words[index + 1].group() == "&":
                    continue
                end = index + 1
                break
            if word.endswith((".", ",")) and not _is_form(word) and len(word) > 3:
                following = words[index + 1].group() if index + 1 < len(words) else ""
                if word.endswith(",") and _is_form(following):
                    continue
                if index + 1 < len(words) and word.endswith("."):
                    start = index + 1  # a sentence ended here
                    while start < len(words) and fold(words[start].group().strip(",.")) in _LEADING:
                        start += 1
                    continue
                end = index + 1
                break
        if end - start < 2:
            continue
        low = match.start() + words[start].start()
        high = match.start() + words[end - 1].end()
        name = text[low:high].rstrip(",")
        if not _is_form(name.split()[-1]) or not name.endswith("."):
            name = name.rstrip(".")
        yield name, low, low + len(name)


_LEADING = frozenset(
    "the this these die der das el la los les le from by in to of at as if our your form for and".split()
)


_DOTTED = re.compile(r"(?:[A-Za-z]\.){2,}[A-Za-z]?\.?,?")  # S.A.C.


def _is_form(word: str) -> bool:
    if _DOTTED.fullmatch(word) and not word.startswith(("U.S", "P.O", "N.", "S.W", "S.E", "F.O")):
        return True
    return word.lower().strip(".,()") in document.LEGAL_FORMS or word.lower().strip(",") in document.LEGAL_FORMS


def _firm_weight(name: str) -> float:
    words = [word.strip(".,").lower() for word in name.split()]
    if any(word in document.PUBLIC_WORDS for word in words):
        return -6
    if _is_form(name.split()[-1]):
        return 3
    return 1.5 if words[-1] in document.TRADE_WORDS else 0


def _supplier(layout: Layout, places: Sequence[_Place]) -> _Value | None:
    kind = _paper(layout)
    heard: defaultdict[str, list[float]] = defaultdict(list)
    best: dict[str, tuple[float, str, Run, int, int, str]] = {}
    for order, place in enumerate(places):
        text = place.run.text
        for name, start, end in _names(text):
            weight = _firm_weight(name)
            after = text[end : end + 60]
            pattern = "supplier.name"
            warrants = _warrants(text[end : end + 200])
            defined = bool(
                re.match(
                    r",?\s*\((?:the |el |la |le |der |die |hereinafter |im Folgenden |ci-après |en adelante,? )*[“\"«„']",
                    after,
                )
            )
            if warrants:
                weight += 4
                pattern = "supplier.warrants"
            if defined:
                weight += 3
                pattern = "supplier.defined"
            if weight <= 0 and not (place.rank == 2 and order == 0):
                continue
            if place.rank == 2:
                weight += 2 if order <= 1 else 0.5
            elif place.rank == 1:
                weight += 1
            key = _key(name)
            heard[key].append(weight)
            mixed = 0.0 if name.isupper() else 5.0
            rank = mixed + weight + (2 if _is_form(name.split()[-1]) else 0)
            if key not in best or rank > best[key][0]:
                best[key] = (rank, name, place.run, start, end, pattern)
    if not heard:
        return None
    scores = {
        key: sum(sorted(weights, reverse=True)[:4]) for key, weights in heard.items()
    }  # a product named often is no firm
    merged = {
        key: sum(score for other, score in scores.items() if set(other.split()) <= set(key.split())) for key in scores
    }
    key = max(merged, key=lambda each: (merged[each], len(each)))
    for other in heard:  # a name that ran into the words before it, against the same name standing alone
        if other != key and key.endswith(" " + other) and len(heard[key]) <= len(heard[other]) and max(heard[other]) >= 3:
            key, merged[other] = other, merged[key]
    warranted = best[key][5] != "supplier.name"
    if merged[key] < 3 or (kind is Paper.BID and not warranted):
        return None
    _, name, run, start, end, pattern = best[key]
    return _Value(_cased(name) if name.isupper() else name, merged[key], run, start, end, pattern)


_ASIDE = re.compile(r"\s*(?:\([^)]{0,90}\)|,[^.;]{0,110},(?=\s+(?:\([^)]*\)\s+)?[a-zü]))")


def _warrants(after: str) -> bool:
    """Whether a verb of warranting follows a name at once, or after a definition or an address set off from it."""
    rest = after
    for _ in range(3):
        if match := _ASIDE.match(rest):
            rest = rest[match.end() :]
    doc = read(rest[:120])
    return any(first <= 2 and doc[first].is_lower for _, first, _ in document.WARRANTS.rows_at(doc))


def _key(name: str) -> str:
    words = [fold(word.strip(".,")) for word in name.split()]
    return " ".join(word for word in words if word not in ("inc", "llc", "ltd", "limited", "incorporated", "&", "and"))


def _cased(name: str) -> str:
    keep = {"LLC", "AG", "KG", "SA", "SAS", "BV", "NV", "AB", "AS"}
    return " ".join(
        word.lower()
        if word in ("AND", "OF", "THE", "DE", "FOR")
        else word
        if word.strip(".,") in keep or re.fullmatch(r"(?:[A-Z]\.)+,?", word)
        else word.capitalize()
        if word != "GMBH"
        else "GmbH"
        for word in name.split()
    )


_GENERIC = (
    document.TRADE_WORDS
    | document.LEGAL_FORMS
    | {"the", "and", "of", "&", "standard", "large", "general", "american", "national"}
)
_QUOTED = re.compile(r"[“\"«„]\s*(?:the |der |die |el |la |le )?([^”\"»“]{1,40}?)\s*[”\"»“]", re.IGNORECASE)


def find_parties(layout: Layout) -> Parties:
    """The supplier's full and short names, and the names the customer goes by, from definitions in the text."""
    places = _places(layout)
    supplier = _supplier(layout, places)
    suppliers: set[str] = set()
    customers: set[str] = set()
    full = supplier.value if supplier else None
    words = [word.strip(".,") for word in full.split()] if full else []
    if words and words[0].lower() not in _GENERIC:
        suppliers.add(words[0])
    for place in places:
        text = place.run.text
        if full and full.lower() in text.lower():
            after = text.lower().index(full.lower()) + len(full)
            for match in _QUOTED.finditer(text, after, min(len(text), after + 160)):
                if "(" in text[after : match.start()]:
                    suppliers.update(_short(match[1]))
                    break
            for match in _QUOTED.finditer(text, 0, text.lower().index(full.lower())):
                if (
                    re.match(r"\s*(?:is|means|,)", text[match.end() :])
                    and len(text[match.end() : text.lower().index(full.lower())]) < 12
                ):
                    suppliers.update(_short(match[1]))
        for name, _, end in _names(text):
            if _firm_weight(name) < 0 and (match := _QUOTED.match(text, end + 2)):
                customers.update(_short(match[1]))
    return Parties(full, frozenset(suppliers), frozenset(customers))


def _short(name: str) -> set[str]:
    words = [word.strip(".,") for word in name.split()]
    return {words[0]} if words and words[0].lower() not in {"warranty", "meter", "product", "customer"} else set()


# Title


def _title(layout: Layout, supplier: str | None) -> _Value | None:
    heads = [
        block
        for block in layout.blocks
        if block.kind is BlockKind.HEADING and block.number is None and block.run.page <= 2
    ]
    if not heads:
        return None
    supplier_key = _key(supplier) if supplier else ""
    best: _Value | None = None
    for order, block in enumerate(heads[:12]):
        text = block.run.text
        if _key(text) == supplier_key or (supplier_key and set(_key(text).split()) <= set(supplier_key.split())):
            continue
        papers = {row.kind for row, _, _ in document.PAPERS.rows_at(read(text))}
        score = (5 if papers else 0) - order * 0.8 - block.level + (1 if len(text.split()) > 1 else 0)
        if best is None or score > best.score:
            best = _Value(text, score, block.run, 0, len(text), "title.heading")
    return best


# Code and revision


def _after_other(labels: Sequence[tuple[str, int, int]], start: int, text: str) -> bool:
    """Whether what starts here belongs to something else: a superseded edition, a price list, a standard, a telephone."""
    for kind, low, high in labels:
        if (
            kind == "other"
            and high <= start
            and not re.search(r"[.;|·•)]\s|\s[—–|·•]\s", text[high:start])
            and start - high < 45
        ):
            return True
    return False


def _code(places: Sequence[_Place]) -> _Value | None:
    found: dict[str, _Value] = {}
    votes: Counter[str] = Counter()

    def vote(text: str, weight: float, place: _Place, start: int, end: int, pattern: str) -> None:
        code = text.strip(" .,-–")
        key = re.sub(r"[\W_]+", "", code).lower()
        votes[key] += weight
        if key not in found or weight > found[key].score:
            found[key] = _Value(code, weight, place.run, start, start + len(code), pattern)

    for place in places:
        if place.rank == 0 and not _is_amendment(place.run.text):
            continue
        text = place.run.text
        labels = _labels(place.run)
        for kind, start, end in labels:
            if kind != "code" or _after_other(labels, start, text):
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
                or _after_other(labels, match.start(), text)
            ):
                continue
            if (
                re.search(r"(?:No\.?|Tel\.?|\()\s*$", text[: match.start()])
                and code[0].isdigit()
                and "-" in code
                and not re.search("[A-Z]", code)
            ):
                continue
            weight = 1.5 if place.rank == 1 else 1.0
            if re.match(r"[,.]?\s*(?:rev|revision|issue|edition|ed|version|v)\b", text[match.end() :], re.IGNORECASE):
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
    return found[key] if votes[key] >= 2 else None


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
    window = text[at : at + 24]
    return any(pattern.match(window) for pattern in document.DATES) or bool(
        re.match(r"\(?\d{3}\)?[-. ]\d{3}[-. ]\d{3,4}|\d+ ?M \d", window)
    )


def _without_language(code: str, layout: Layout) -> tuple[str, str | None]:
    """The code without its language suffix where the suffix carries a version, or where the bare code stands elsewhere too."""
    match = document.LANGUAGE_SUFFIX.match(code)
    if not match:
        return code, None
    if match[3]:
        return match[1], match[3]
    bare = re.compile(re.escape(match[1]) + r"(?![\w/–-])")
    return (match[1], None) if any(bare.search(block.run.text) for block in layout.blocks) else (code, None)


def _revision(places: Sequence[_Place], code: _Value | None) -> _Value | None:
    found: dict[str, _Value] = {}
    votes: Counter[str] = Counter()
    for place in places:
        text = place.run.text
        labels = _labels(place.run)
        for glued in document.GLUED_VERSION.finditer(text) if place.rank else ():
            if not _after_other(labels, glued.start(), text):
                votes[glued[1]] += 1.5
                found.setdefault(
                    glued[1], _Value(glued[1], 1.5, place.run, glued.start(), glued.end(), "revision.version")
                )
        for kind, start, end in labels:
            if kind not in ("revision", "amendment") or _after_other(labels, start, text):
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
                found[value] = _Value(value, weight, place.run, start, match.end(), f"revision.{kind}")
    if not votes:
        return None
    value = max(votes, key=lambda each: votes[each])
    return found[value]


def _dated(text: str, at: int, match: re.Match[str]) -> bool:
    """Whether what follows the label is a whole date and no mark."""
    return any(pattern.match(text, at) and pattern.match(text, at).end() > match.end() for pattern in document.DATES)  # type: ignore[union-attr]


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


def _dates(text: str, day_first: bool) -> list[_Date]:
    found: list[_Date] = []
    for pattern in document.DATES:
        for match in pattern.finditer(text):
            if any(match.start() < other.end and match.end() > other.start for other in found):
                continue
            if read_date := _read_date(match, day_first):
                found.append(read_date)
    return sorted(found, key=lambda each: each.start)


def _read_date(match: re.Match[str], day_first: bool) -> _Date | None:
    parts = match.groupdict()
    year = int(parts["year"])
    try:
        if parts.get("a"):
            a, b = int(parts["a"]), int(parts["b"])
            if a > 12 or b > 12:
                value = date(year, b, a) if a > 12 else date(year, a, b)
                return _Date(value, match.start(), match.end())
            readings = (date(year, b, a), date(year, a, b)) if day_first else (date(year, a, b), date(year, b, a))
            return _Date(readings[0], match.start(), match.end(), readings[1] if a != b else None)
        month = document.MONTHS[parts["month"].lower()] if parts.get("month") else int(parts["m"])
        day = parts.get("d")
        return _Date(date(year, month, int(day or 1)), match.start(), match.end(), precise=day is not None)
    except ValueError:
        return None


_SCORES = {"effective": 100.0, "issued": 80.0, "revised": 70.0}


def _effective(layout: Layout, places: Sequence[_Place]) -> tuple[_Value | None, list[ReadingWarning]]:
    day_first = _day_first(layout)
    best: _Value | None = None
    chosen: _Date | None = None
    for place in places:
        text = place.run.text
        labels = _labels(place.run)
        for found in _dates(text, day_first):
            if _after_other(labels, found.start, text):
                continue
            score, pattern = _date_score(place, labels, found, text)
            if score <= 0:
                continue
            score += place.rank * 2 + (3 if found.precise else 0)
            if best is None or score > best.score:
                best = _Value(found.value, score, place.run, found.start, found.end, pattern)
                chosen = found
    if best is None or best.score < 40:
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
                f"taken as {chosen.value.isoformat()}, {'day' if day_first else 'month'} first, as its place of origin suggests",
            )
        )
    return best, warnings


def _date_score(place: _Place, labels: Sequence[tuple[str, int, int]], found: _Date, text: str) -> tuple[float, str]:
    """How surely this is the effective date, and by which label. A body sentence counts only if it speaks of this paper."""
    nearest = ""
    distance = 60
    for kind, _, end in labels:
        gap = found.start - end
        if kind in _SCORES and 0 <= gap < distance and not re.search(r"[.;|·]\s", text[end : found.start]):
            if gap <= distance and (not nearest or _SCORES[kind] >= _SCORES[nearest] or gap < 4):
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


def _marked_month(places: Sequence[_Place], best: _Value | None) -> _Value | None:
    """Print marks: `5M 3-19`, `(01/20)`, `printed 1-06`, `V. 031522`, `© 2020`: used where nothing better is printed."""
    for place in places:
        if place.rank == 0:
            continue
        text = place.run.text
        labels = _labels(place.run)
        for pattern, weight in ((document.SIX_DIGITS, 30.0), (document.SHORT_MONTH, 25.0), (document.YEAR, 10.0)):
            for match in pattern.finditer(text):
                if best is not None and best.score >= weight:
                    continue
                if _after_other(labels, match.start(), text) or (
                    pattern is not document.YEAR
                    and re.search(r"\d{3}[-. ]$|\($", text[: match.start()])
                    and not text[: match.start()].endswith("(")
                ):
                    continue
                parts = match.groupdict()
                year = int(parts["year"]) if parts.get("year") else _century(int(parts["yy"]))
                try:
                    value = date(year, int(parts.get("m") or 1), int(parts.get("d") or 1))
                except ValueError:
                    continue
                best = _Value(value, weight, place.run, match.start(), match.end(), "date.print_mark")
    return best


def _century(two: int) -> int:
    return 2000 + two if two < 70 else 1900 + two


_MONTH_FIRST = re.compile(
    r"\b(?:Inc|LLC|Corp|Corporation|U\.S\.|USA|United States|gallons?|gpm|inch(?:es)?)\b|\b[A-Z][a-z]+,? [A-Z][a-z]+ \d{5}\b",
    re.MULTILINE,
)
_DAY_FIRST = re.compile(
    r"\b(?:Ltd|Limited|GmbH|Lda|Pty|S\.A\.|S\.L\.|S\.r\.l|United Kingdom|Australia|India|Europe|European|DN ?\d+|m3|litres?|metres?|Q3|despatch\w*|MID|ISO 4064)\b"
)


def _day_first(layout: Layout) -> bool:
    """Whether 05/06/2021 is the fifth of June: by other dates in the document, its language, its words and units."""
    text = "\n".join(block.run.text for block in layout.blocks)
    for match in document.DATES[4].finditer(text):
        a, b = int(match["a"]), int(match["b"])
        if a > 12 >= b:
            return True
        if b > 12 >= a:
            return False
    if language_of(text) != "en":
        return True
    return len(_DAY_FIRST.findall(text)) > len(_MONTH_FIRST.findall(text))


# Region


def _region(places: Sequence[_Place], supplier: str | None) -> _Value | None:
    best: _Value | None = None
    for place in places:
        text = place.run.text
        for match in document.REGION.finditer(text):
            before = text[: match.start()]
            score = 0.0
            if re.search(
                r"(?:for|in|within|throughout|to|dans|in der|en|für|Ámbito:|region:|territory:)\s*(?:the\s*)?$",
                before,
                re.IGNORECASE,
            ):
                score += 1
            if re.search(
                r"\b(?:appl(?:y|ies)|valid|sales|sold|shipped|for|deliver\w*|supplied|installed|given|importers|Lieferungen|livraisons|Ámbito|service)\b[^.;]{0,60}$",
                before,
                re.IGNORECASE,
            ):
                score += 2
            alone = re.fullmatch(r"\W*", re.split(r"[.|·—–•]", before)[-1]) and re.match(
                r"\s*(?:[.|·—–•]|$)", text[match.end() :]
            )
            if alone:
                score += 2.5
            if re.search(
                r"\b(?:made|printed|laws?|courts?|statute|patents?|states of|registered)\b[^.;]{0,25}$",
                before,
                re.IGNORECASE,
            ):
                score -= 4
            if re.search(r"\b(?:law|laws|courts|GmbH)\b", text[match.end() : match.end() + 12]):
                score -= 4
            if place.rank == 0:
                score -= 1.5
            if place.rank == 1:
                score -= 1
            if score > 1 and (best is None or score > best.score):
                value = text[match.start() : match.end()].strip().rstrip(",")
                value = re.sub(r"^the (?=[A-Z])", "", value)
                best = _Value(value, score, place.run, match.start(), match.end(), "region.named")
    return best


# Kind of paper


def _paper(layout: Layout) -> Paper:
    """What the document says it is, by its title and first heads: a warranty before anything else."""
    heads = [b for b in layout.blocks if b.kind is BlockKind.HEADING and b.run.page == 1 and b.number is None][:3]
    top = [*heads, *(b for b in layout.blocks if b.kind is not BlockKind.HEADING and b.table is None)][: len(heads) + 2]
    for group in (heads, top):
        kinds = [row.kind for block in group for row, _, _ in document.PAPERS.rows_at(read(block.run.text[:160]))]
        for kind in (Paper.WARRANTY, Paper.TERMS, Paper.LICENCE, Paper.BID, Paper.MANUAL, Paper.PRICES, Paper.DATA):
            if kind in kinds:
                return kind
    return Paper.OTHER


def warranty_paper(layout: Layout) -> bool:
    """Whether the whole paper is about a warranty, so that every duty in it is a duty of a claim."""
    return _paper(layout) not in (Paper.TERMS, Paper.LICENCE, Paper.BID, Paper.MANUAL, Paper.PRICES)


def is_warranty(layout: Layout) -> tuple[bool, str]:
    """Whether the document promises anything about its products, and if not, why: what paper it is and what it lacks.

    A data sheet or terms of sale with a real warranty clause are a warranty for that clause.
    """
    kind = _paper(layout)
    timed = False
    sections: dict[tuple[int, ...], set[str]] = {}
    for block in layout.blocks:
        if block.kind is BlockKind.FURNITURE:
            continue
        doc = read(block.run.text)
        rows = list(document.PROMISES.rows_at(doc))
        timed = timed or (block.kind is not BlockKind.HEADING and any(row.kind == "time" for row, _, _ in rows))
        section = sections.setdefault(block.headings, set())
        for kinds in _sentence_kinds(doc, rows):
            if "denied" not in kinds and ({"promise", "time"} <= kinds or ("clock" in kinds and kind is Paper.OTHER)):
                return True, ""
            if "denied" not in kinds:
                section |= kinds
        if block.kind is not BlockKind.HEADING and {"verb", "time"} <= section and kind in (Paper.WARRANTY, Paper.OTHER):
            return True, ""
    if kind is Paper.WARRANTY and timed:
        return True, ""
    return False, f"no promise with a period or a volume was found; the document reads as {kind.value}"


def _sentence_kinds(doc: "Doc", rows: Sequence[tuple[ClauseRow, int, int]]) -> Iterator[set[str]]:
    """For each sentence, which of promise, verb of promise, time and denial it holds."""
    for span in sentences(doc):
        yield {row.kind for row, first, last in rows if span.start <= first and last <= span.end}
