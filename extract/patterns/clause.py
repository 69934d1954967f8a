"""Rows and matcher for clauses: wordings that must meet in one sentence, over words folded to their plain form.

A clause is worded in many ways but from few words. So a row lists the phrases that must all stand in the same part of a
sentence (`&`), and those that must not (`!`). Phrases are written as in `phrase.tokens`, with two additions:
- `...,`  up to six words, commas among them ("improper handling, storage or installation")
- `@code` a document code such as WX-4070; `@ref` any mark of capitals or figures with a hyphen or bar
- `{name}` one of a named list of words (see each family's WORDS)
- `a ~ b` phrases within eight words of each other, whichever comes first, no semicolon or colon between

Words are compared in folded form (`fold`): lower case, no accents, American spelling, and the parties named by their part in
the contract: `customer` for buyer, owner, you, acheteur …; `supplier` for we, seller, manufacturer, the firm's own name …
"""

import re
import unicodedata
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.patterns.phrase import tokens

if TYPE_CHECKING:
    from spacy.matcher import Matcher
    from spacy.tokens import Doc, Token

LANGUAGES = ("en", "es", "fr", "de")
CUSTOMER_WORDS = frozenset(
    (
        "customer customers sender senders claimant claimants member members remitente expediteur absender einsender buyer buyers purchaser purchasers owner owners you your yours client clients importer "
        "importers licensee consumer consumers utility utilities township city municipality municipalities town district county waterworks comprador compradora compradores cliente clientes propietario "
        "adquirente acheteur acheteurs client clients acquereur besteller bestellers kaufer kaufers kunde kunden "
        "auftraggeber auftraggebers erwerber vous votre vos usted ustedes"
    ).split()
)
SUPPLIER_WORDS = frozenset(
    (
        "we us our ours seller sellers manufacturer manufacturers supplier suppliers maker makers vendor warrantor "
        "factory proveedor fabricante vendedor suministrador fabricant fournisseur vendeur nous hersteller "
        "herstellers lieferant lieferer lieferers verkaufer lieferanten wir uns unser unsere unserem unseren unserer unseres notre nos nosotros nuestro nuestra "
        "nuestros nuestras"
    ).split()
)
# Words that end in -ise in American spelling too.
_KEEP_S = frozenset(
    (
        "raise raised raises raising exercise exercised exercises exercising advise advised advises advising "
        "promise promised promises promising premise premises otherwise likewise expertise revise revised revises "
        "revising supervise supervised supervises supervising arise arises arising comprise comprised comprises "
        "comprising merchandise merchandised enterprise enterprises franchise compromise compromised devise devised "
        "precise wise disguise noise noised rise rising surprise"
    ).split()
)
_IRREGULAR = {
    "metre": "meter",
    "metres": "meters",
    "centre": "center",
    "fulfil": "fulfill",
    "wilful": "willful",
    "defence": "defense",
    "licence": "license",
    "cheque": "check",
    "n't": "not",
    "can't": "cannot",
    "isn't": "not",
    "won't": "not",
    "don't": "not",
    "doesn't": "not",
    "aren't": "not",
    "shan't": "not",
    "percent": "percent",
    "%": "percent",
}
_LETTERS_FOR_DIGITS = str.maketrans("015", "ols")


@cache
def fold(word: str) -> str:
    """The plain form of one word: lower case, accents and typographic quotes gone, American spelling, digits read as letters.

    >>> fold("Unauthorised"), fold("labour"), fold("Garantía"), fold("gal1ons"), fold("C700")
    ('unauthorized', 'labor', 'garantia', 'gallons', 'c700')
    """
    plain = "".join(c for c in unicodedata.normalize("NFKD", word.replace("ß", "ss")) if not unicodedata.combining(c))
    plain = plain.lower().replace("’", "'").replace("­", "")
    if plain in _IRREGULAR:
        return _IRREGULAR[plain]
    if re.fullmatch(r"[a-z]+[015]+[a-z]{2,}[a-z015]*|[a-z]{3,}[015]+[a-z]+", plain):
        plain = plain.translate(_LETTERS_FOR_DIGITS)
    if match := re.fullmatch(r"(lab|hon|behavi|col|neighb)our(.*)", plain):
        plain = f"{match[1]}or{match[2]}"
    if plain not in _KEEP_S and (match := re.fullmatch(r"(.*[a-z]{3})is(e|ed|es|ing|ation|ations)", plain)):
        plain = f"{match[1]}iz{match[2]}"
    return plain


# Letters that readers of page images take for one another; each way round.
_CONFUSED = (
    ("rn", "m"),
    ("cl", "d"),
    ("l", "i"),
    ("c", "e"),
    ("li", "h"),
    ("ii", "n"),
    ("vv", "w"),
    ("f", "t"),
    ("o", "e"),
)


def mended(word: str, known: Collection[str]) -> str:
    """The one known word that `word` becomes when one confusion of letters is undone; `word` itself where none or two are.

    >>> mended("aecuracy", {"accuracy"}), mended("terrn", {"term"}), mended("sand", {"send"})
    ('accuracy', 'term', 'sand')
    """
    found = set()
    for pair in _CONFUSED:
        for seen, meant in (pair, pair[::-1]):
            for match in re.finditer(seen, word):
                found.add(word[: match.start()] + meant + word[match.end() :])
    candidates = found & set(known)
    return candidates.pop() if len(candidates) == 1 else word


def read(
    text: str,
    supplier_names: Collection[str] = (),
    customer_names: Collection[str] = (),
    vocabulary: Collection[str] = (),
) -> "Doc":
    """The text's tokens with `norm_` set to their folded form, parties by their part. Names are single words, any case.

    `vocabulary`, given where a page image was read, holds the words that patterns know: a word of five letters or more
    that is none of them and becomes one when a confusion of letters is undone is taken for it.
    """
    doc = parse(text)
    suppliers = SUPPLIER_WORDS | {fold(name) for name in supplier_names}
    customers = (CUSTOMER_WORDS | {fold(name) for name in customer_names}) - {fold(name) for name in supplier_names}
    for token in doc:
        token.norm_ = _party(token, suppliers, customers)
        if vocabulary and len(token.text) >= 5 and token.is_alpha and token.norm_ not in vocabulary:
            token.norm_ = mended(token.norm_, vocabulary)
    return doc


def _party(token: "Token", suppliers: Collection[str], customers: Collection[str]) -> str:
    folded = fold(token.text)
    if folded in customers or (token.text in _POLITE and token.i + 1 < len(token.doc) and _polite(token)):
        return "customer"
    if folded == "empresa" and not (token.i + 1 < len(token.doc) and token.nbor().lower_ in ("de", "que")):
        return "supplier"  # "la empresa" is the firm, "la empresa de agua" its customer
    if folded in suppliers and token.text != "US":
        return "supplier"
    return folded


_POLITE = frozenset(("Sie", "Ihnen", "Ihre", "Ihren", "Ihrer", "Ihr", "Usted", "usted", "ustedes", "Ustedes"))


def _polite(token: "Token") -> bool:
    """German "Sie tragen" is the customer; "Sie gilt" is the warranty."""
    return (
        token.text != "Sie"
        or token.doc[token.i + 1].text.endswith("en")
        or (token.i > 0 and token.doc[token.i - 1].text[-1:] not in ".;:")
    )


def phrase_tokens(phrase: str, words: Mapping[str, str]) -> list[dict[str, Any]]:
    """The spaCy Matcher pattern of one phrase, over folded words."""
    for name, listed in words.items():
        phrase = phrase.replace("{" + name + "}", listed)
    out: list[dict[str, Any]] = []
    for index, part in enumerate(re.split(r"(?<!\S)\.{3},(?!\S)", phrase)):
        if index:
            out.extend({"TEXT": {"NOT_IN": [";", ":", "(", ")"]}, "OP": "?"} for _ in range(6))
        for token in tokens(part):
            if "LOWER" in token:
                token["NORM"] = _folded(token.pop("LOWER"))
            out.append(_MARKS.get(str(token.get("NORM")), token))
    return out


_MARKS: dict[str, dict[str, Any]] = {
    "@code": {"TEXT": {"REGEX": r"^(?=.*\d)(?=.{5,})[A-Z]{1,6}[-/][A-Z0-9/-]+$"}},
    "@ref": {"TEXT": {"REGEX": r"^(?=.*[A-Z\d]{2})(?=.*[A-Z])[A-Z0-9]+(?:[-/][A-Z0-9]+)+$|^\d+-\d+$"}},
}


def _folded(asked: Any) -> Any:
    if isinstance(asked, str):
        return fold(asked)
    return {"IN": sorted({fold(word) for word in asked["IN"]})} if "IN" in asked else asked


@dataclass(frozen=True, slots=True)
class ClauseRow:
    """One row: `wordings` (any of them) mean `kind`.

    A wording is one phrase, or several joined by ` & `; those with a leading `!` must be absent. `example` is found by this
    row, in `counter_example` this row finds nothing. `why` says what the row is there for.
    """

    name: str
    kind: Any
    wordings: tuple[str, ...]
    example: str
    counter_example: str
    why: str
    language: str = "en"


@dataclass(frozen=True, slots=True)
class ClauseHit:
    """A row that holds in a part of a text: the place of its first phrase (characters)."""

    row: ClauseRow
    start: int
    end: int


def row(
    name: str, kind: Any, wordings: str, example: str, counter_example: str, why: str, language: str = "en"
) -> ClauseRow:
    """A row whose wordings are written on lines of their own."""
    listed = tuple(line.strip() for line in wordings.strip().splitlines() if line.strip())
    return ClauseRow(name, kind, listed, example, counter_example, why, language)


class _Phrase:
    """One phrase and what a text must hold for it: a Matcher runs only where every word the phrase cannot do without is."""

    __slots__ = ("_matcher", "_stems", "_tokens", "_words", "text")

    def __init__(self, text: str, words: Mapping[str, str]) -> None:
        self.text = text
        self._tokens = phrase_tokens(text, words)
        needed = [token["NORM"] for token in self._tokens if "NORM" in token and "OP" not in token]
        self._words = [
            frozenset((norm,) if isinstance(norm, str) else norm["IN"])
            for norm in needed
            if isinstance(norm, str) or "IN" in norm
        ]
        self._stems = [norm["REGEX"] for norm in needed if not isinstance(norm, str) and "REGEX" in norm]
        self._matcher: Matcher | None = None

    @property
    def words(self) -> frozenset[str]:
        """The whole words it asks for."""
        return frozenset().union(*self._words)

    def find(self, doc: "Doc", norms: Collection[str], stems: dict[str, bool]) -> list[tuple[str, int, int]]:
        """Its matches: (phrase, first token, last token + 1). `stems` remembers which stems this text holds."""
        if any(listed.isdisjoint(norms) for listed in self._words):
            return []
        for stem in self._stems:
            if stem not in stems:
                shape = re.compile(stem)
                stems[stem] = any(shape.search(norm) for norm in norms)
            if not stems[stem]:
                return []
        if self._matcher is None:
            from spacy.matcher import Matcher

            self._matcher = Matcher(doc.vocab)
            self._matcher.add(self.text, [self._tokens])
        return [(self.text, first, last) for _, first, last in self._matcher(doc)]


_NEAR = 8  # words between two phrases that are taken to belong together


def _together(
    doc: "Doc", asked: Mapping[str, Sequence[str]], found: Sequence[tuple[str, int, int]]
) -> Iterable[tuple[str, int, int]]:
    """The places where phrases stand near each other: (all of them joined by ` ~ `, first token, last token + 1)."""
    places: dict[str, list[tuple[int, int]]] = {}
    for phrase, first, last in found:
        places.setdefault(phrase, []).append((first, last))
    for name, phrases in asked.items():
        if all(phrase in places for phrase in phrases):
            spans = places[phrases[0]]
            for phrase in phrases[1:]:
                spans = [joined for span in spans for joined in _joined(doc, span, places[phrase])]
            yield from ((name, first, last) for first, last in dict.fromkeys(spans))


def _joined(doc: "Doc", span: tuple[int, int], others: Sequence[tuple[int, int]]) -> Iterable[tuple[int, int]]:
    """A span with each of the others that stands beside it, not over it, within reach."""
    for first, last in others:
        low, high = (span[1], first) if first >= span[1] else (last, span[0])
        if low <= high and high - low <= _NEAR and not any(token.text in (";", ":") for token in doc[low:high]):
            yield min(first, span[0]), max(last, span[1])


class ClauseTable:
    """The rows of one family. A text is matched once, whatever is asked of it afterwards."""

    def __init__(self, rows: Sequence[ClauseRow], words: Mapping[str, str] | None = None) -> None:
        names = [each.name for each in rows]
        if len(set(names)) != len(names):
            raise ValueError(f"two rows share a name: {sorted(name for name in names if names.count(name) > 1)}")
        self.rows = tuple(rows)
        self._words = dict(words or {})
        self._phrases: dict[str, _Phrase] = {}
        self._languages: dict[str, set[str]] = {}
        self._of_phrase: dict[str, list[ClauseRow]] = {}
        self._near: dict[str, list[str]] = {}
        self._plans: list[tuple[ClauseRow, list[tuple[list[str], list[str]]]]] = []

    def _build(self) -> None:
        for each in self.rows:
            plan = []
            for wording in each.wordings:
                self._of_phrase.setdefault(wording, []).append(each)
                parts = [part.strip() for part in wording.split(" & ")]
                asked = [part for part in parts if not part.startswith("!")]
                barred = [part[1:].strip() for part in parts if part.startswith("!")]
                for phrase in asked + barred:
                    if " ~ " in phrase:
                        self._near[phrase] = phrase.split(" ~ ")
                    for single in phrase.split(" ~ "):
                        if single not in self._phrases:
                            self._phrases[single] = _Phrase(single, self._words)
                        self._languages.setdefault(single, set()).add(each.language)
                plan.append((asked, barred))
            self._plans.append((each, plan))

    def matches(self, doc: "Doc", languages: Collection[str] = LANGUAGES) -> list[tuple[str, int, int]]:
        """Every phrase found: (phrase, first token, last token + 1), in order."""
        if not self._plans:
            self._build()
        key = f"clauses {id(self)} {sorted(languages)}"
        if key not in doc.user_data:
            norms = {token.norm_ for token in doc}
            stems: dict[str, bool] = {}
            found = [
                match
                for name, phrase in self._phrases.items()
                if not self._languages[name].isdisjoint(languages)
                for match in phrase.find(doc, norms, stems)
            ]
            found.extend(_together(doc, self._near, found))
            doc.user_data[key] = sorted(found, key=lambda match: (match[1], match[2]))
        matches: list[tuple[str, int, int]] = doc.user_data[key]
        return matches

    @property
    def vocabulary(self) -> frozenset[str]:
        """The whole words that the phrases ask for."""
        if not self._plans:
            self._build()
        return frozenset().union(*(phrase.words for phrase in self._phrases.values()))

    def rows_at(self, doc: "Doc", languages: Collection[str] = LANGUAGES) -> list[tuple[ClauseRow, int, int]]:
        """Every match of a wording that is one phrase: (row, first token, last token + 1)."""
        found = self.matches(doc, languages)
        return [
            (each, first, last)
            for phrase, first, last in found
            for each in self._of_phrase.get(phrase, ())
            if each.language in languages
        ]

    def find(
        self,
        doc: "Doc",
        languages: Collection[str] = LANGUAGES,
        spans: Iterable[tuple[int, int]] | None = None,
    ) -> list[ClauseHit]:
        """Rows that hold, part by part; a part is a token range of the doc, the whole of it where none are given."""
        found = self.matches(doc, languages)
        hits = []
        for low, high in spans if spans is not None else [(0, len(doc))]:
            inside: dict[str, tuple[int, int]] = {}
            for phrase, first, last in found:
                if low <= first and last <= high and (phrase not in inside or first < inside[phrase][0]):
                    inside[phrase] = (first, last)
            if inside:
                hits.extend(self._holding(doc, inside, languages))
        return hits

    def _holding(self, doc: "Doc", inside: dict[str, tuple[int, int]], languages: Collection[str]) -> list[ClauseHit]:
        hits = []
        for each, plan in self._plans:
            if each.language not in languages:
                continue
            for asked, barred in plan:
                if all(phrase in inside for phrase in asked) and not any(phrase in inside for phrase in barred):
                    first, last = inside[asked[0]]
                    hits.append(ClauseHit(each, doc[first].idx, doc[last - 1].idx + len(doc[last - 1])))
                    break
        return hits
