"""Parties: who gives the warranty, and the names by which supplier and customer go in the document."""

import re
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from firstcap.extract.imprint import Place, Value, places_of
from firstcap.extract.kind import paper_of
from firstcap.extract.page import Layout, Run
from firstcap.extract.patterns import document
from firstcap.extract.patterns.clause import CUSTOMER_WORDS, SUPPLIER_WORDS, fold, read
from firstcap.extract.patterns.document import Paper


@dataclass(frozen=True, slots=True)
class Parties:
    """Who is who: `supplier` as printed in full; the single words that stand for either party in this document."""

    supplier: str | None
    suppliers: frozenset[str]
    customers: frozenset[str]


_NAME = r"(?:[A-ZÀ-Þ][\w’'ß.&à-ÿ-]*|&|[A-Z]\.)"
_SEQUENCE = re.compile(_NAME + r"(?:,? (?:" + _NAME + r"|and(?= [A-Z])|of(?= [A-Z])|de(?= [A-Z])))*")


def names_in(text: str) -> Iterator[tuple[str, int, int]]:
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


_MAKERS_OF = frozenset(("compteurs", "medidores", "contadores", "wasserzähler"))  # "Compteurs Hautebrise"


def firm_weight(name: str) -> float:
    words = [word.strip(".,").lower() for word in name.split()]
    if any(word in document.PUBLIC_WORDS for word in words):
        return -6
    if _is_form(name.split()[-1]):
        return 3
    return 1.5 if words[-1] in document.TRADE_WORDS or words[0] in _MAKERS_OF else 0


def supplier_of(layout: Layout, places: Sequence[Place]) -> Value | None:
    kind = paper_of(layout)
    heard: defaultdict[str, list[float]] = defaultdict(list)
    best: dict[str, tuple[float, str, Run, int, int, str]] = {}
    for order, place in enumerate(places):
        text = place.run.text
        if text.startswith(("To:", "To ", "An ", "A:")):
            continue  # an addressee
        for match in _SINGLE.finditer(text):
            if match[1].lower() not in _GENERIC and fold(match[1]) not in SUPPLIER_WORDS | CUSTOMER_WORDS:
                key = name_key(match[1])
                heard[key].append(3.0)
                best.setdefault(key, (3.0, match[1], place.run, match.start(1), match.end(1), "supplier.warrants"))
        for name, start, end in names_in(text):
            weight = firm_weight(name)
            after = text[end : end + 60]
            pattern = "supplier.name"
            warrants = _warrants(text[end : end + 200])
            defined = bool(
                re.match(
                    r",?\s*\((?:the |el |la |le |der |die |hereinafter |im Folgenden |ci-après |en adelante,? )*"
                    r"[“\"«„']",
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
            key = name_key(name)
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
    text = " ".join(place.run.text for place in places)
    for key in scores:  # the first word of a firm's name is what its own paper calls it
        first = best[key][1].split()[0].strip(".,")
        if (
            first.lower() not in _GENERIC
            and len(re.findall(rf"\b{re.escape(first)}\b(?! {re.escape(best[key][1][len(first) + 1 :])})", text)) >= 3
        ):
            scores[key] += 2
    merged = {
        key: sum(score for other, score in scores.items() if set(other.split()) <= set(key.split())) for key in scores
    }
    key = max(merged, key=lambda each: (merged[each], len(each)))
    for other in heard:  # a name that ran into the words before it, against the same name standing alone
        if (
            other != key
            and key.endswith(" " + other)
            and len(heard[key]) <= len(heard[other])
            and max(heard[other]) >= 3
        ):
            key, merged[other] = other, merged[key]
    warranted = best[key][5] != "supplier.name"
    asked_by_public = any(
        firm_weight(name) < 0
        for place in places[:2]
        if not place.run.text.startswith("To")
        for name, _, _ in names_in(place.run.text)
    )
    if merged[key] < 3 or (kind is Paper.BID and asked_by_public and not warranted):
        return None
    _, name, run, start, end, pattern = best[key]
    return Value(_cased(name) if name.isupper() else name, merged[key], run, start, end, pattern)


_SINGLE = re.compile(
    r"(?:^|(?<=[.!?] )|(?<=\d ))([A-ZÀ-Þ][\wà-ÿ-]{3,}) "
    r"(?:further |also |hereby )?(?:warrants|guarantees|undertakes|garantiza|garantit|garantiert)\b"
)
_ASIDE = re.compile(r"\s*(?:\([^)]{0,90}\)|,[^.;]{0,110},(?=\s+(?:\([^)]*\)\s+)?[a-zü]))")


def _warrants(after: str) -> bool:
    """Whether a verb of warranting follows a name at once, or after a definition or an address set off from it."""
    rest = after
    for _ in range(3):
        if match := _ASIDE.match(rest):
            rest = rest[match.end() :]
    doc = read(rest[:120])
    return any(first <= 2 and doc[first].is_lower for _, first, _ in document.WARRANTS.rows_at(doc))


def name_key(name: str) -> str:
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
_FORMS_ONLY = document.LEGAL_FORMS - {"company", "corporation"}
_WARES = frozenset("meter meters metering water product products register registers valve pump pumps".split())
_QUOTED = re.compile(r"[“\"«„]\s*(?:the |der |die |el |la |le )?([^”\"»“]{1,40}?)\s*[”\"»“]", re.IGNORECASE)


def find_parties(layout: Layout) -> Parties:
    """The supplier's full and short names, and the names the customer goes by, from definitions in the text."""
    places = places_of(layout)
    supplier = supplier_of(layout, places)
    suppliers: set[str] = set()
    customers: set[str] = set()
    full = supplier.value if supplier else None
    words = [word.strip(".,") for word in full.split()] if full else []
    own = next((word for word in words if word.lower() not in _GENERIC), None)
    if own:
        suppliers.add(own)
    if len(words) > 1:  # "the Foundry", "the Company", where the text calls the firm so
        kind = next((word for word in reversed(words) if word.lower() not in _FORMS_ONLY), "")
        calls = sum(place.run.text.count(f"the {kind} ") + place.run.text.count(f"the {kind}'") for place in places)
        if kind and kind.lower() not in _WARES and calls >= 2:
            suppliers.add(kind)
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
        for name, _, end in names_in(text):
            if firm_weight(name) < 0 and (quoted := _QUOTED.match(text, end + 2)):
                customers.update(_short(quoted[1]))
    if paper_of(layout) is Paper.BID:
        suppliers |= _BIDDERS
        customers |= _ASKERS
    return Parties(full, frozenset(suppliers), frozenset(customers))


_BIDDERS = frozenset("bidder bidders contractor contractors tenderer tenderers proposer proposers offeror".split())
_ASKERS = frozenset("authority district agency board commission department council".split())


def _short(name: str) -> set[str]:
    words = [word.strip(".,") for word in name.split()]
    return {words[0]} if words and words[0].lower() not in {"warranty", "meter", "product", "customer"} else set()
