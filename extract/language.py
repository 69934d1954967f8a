"""The only builder of the spaCy pipeline: blank English with a tokeniser of our own, and a vote on the language.

spaCy's English rules glue `98.5%-101.5%`, `20GPM` or `10-yr/1,500,000-gallon` into one token. Warranties are read by
their numbers, so every printed chunk is cut by one ordered table of pieces instead; offsets are those of the input.
"""

import re
from collections.abc import Iterator
from functools import cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from spacy.language import Language
    from spacy.tokens import Doc, Span

_LETTER = r"[^\W\d_]"
_GLYPHS = "¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"
# One token each, tried in this order at every place of a chunk; what no piece takes is a token of one character.
_PIECES = (
    r"https?://\S+|www\.\S+|[\w.+-]+@[\w-]+\.[\w.-]*\w",
    r"(?:[A-Za-z]\.){2,}[A-Za-z]?(?![A-Za-z])",  # U.S., F.O.B., G.P.M., e.g.
    r"[A-Za-z]\.[A-Za-z](?![A-Za-z.])",  # U.S
    r"\d+(?i:st|nd|rd|th)(?![A-Za-z])|\d+(?:er|ère|ème|eme|e|º|ª|°)(?![\w])",  # 11th, 11e
    r"\d+⁄\d+",  # NFKC of ½ writes a fraction slash: 1½ becomes 11⁄2
    r"(?<![\d/.,])\d{1,3}/\d{1,2}(?![.,]?\d|/\d)",  # 5/8, but neither 05/06/2021 nor 15/1,500,000
    r"\d+(?:[.,]\d+|['’]\d{3}(?!\d))*",
    r"(?<![\w.,)%\"″′'”])\.\d+(?![.,]?\d)",  # .25 gpm
    r"\+\s?/\s?[-–−]|\.{2,}|…|''|′′|[<>]=|--+",
    r"(?<=[\d\"″′'”“.¼½¾⅐⅑⅒⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])[xX×](?=\d|[" + _GLYPHS + "])",  # 5/8x3/4
    r"[xX×](?=\d{1,2}/\d)",
    r"DN(?=\d)|[QR]\d+[A-Z]?(?!\w)",
    # document codes and standards: W-410, C700-15, WTY-0417-EN-06
    r"(?!DN\d)(?=[A-Z-]*\d)[A-Z][A-Z0-9]*(?:-(?!DN\d)[A-Z0-9]+)+(?![\w/]|[.,]\d)",
    r"(?i:m3|ft3|cm3|dm3|in3|m2|ft2)(?![A-Za-z0-9])",
    _LETTER + r"{4,}(?=\d{1,2}(?!\w))",  # a footnote mark glued to a word: years1
    r"[A-Za-z]{1,5}\d+[A-Za-z]?(?!\w)",  # Q3, R160, C700, T30
    r"(?i:[cdjlmnst]|qu)['’](?=" + _LETTER + ")",  # l'installation
    r"['’](?i:s)(?!\w)",
    _LETTER + r"+(?:['’](?!s(?!\w))" + _LETTER + "+)?",
)
_PIECE = re.compile("|".join(f"(?:{piece})" for piece in _PIECES) + r"|\S", re.UNICODE)


class _Cut:
    """An empty infix: spaCy cuts here and keeps every character."""

    __slots__ = ("_at",)

    def __init__(self, at: int) -> None:
        self._at = at

    def start(self) -> int:
        return self._at

    def end(self) -> int:
        return self._at


def _cuts(chunk: str) -> Iterator[_Cut]:
    end = 0
    for piece in _PIECE.finditer(chunk):
        if piece.start() > end > 0:
            yield _Cut(end)
        if piece.start() > 0:
            yield _Cut(piece.start())
        end = piece.end()
    if 0 < end < len(chunk):
        yield _Cut(end)


@cache
def pipeline() -> "Language":
    """Blank English with our tokeniser; `pipeline()(text).text == text` for every text."""
    import spacy
    from spacy.tokenizer import Tokenizer  # type: ignore[import-not-found]

    nlp = spacy.blank("en")
    nlp.max_length = 10_000_000
    nlp.tokenizer = Tokenizer(nlp.vocab, infix_finditer=_cuts)
    return nlp


def parse(text: str) -> "Doc":
    """Tokens of `text`; offsets are those of `text`."""
    return pipeline().make_doc(text)


# Abbreviations of the trade after which a full stop ends no sentence unless a capital follows a number-less unit.
_ABBREVIATIONS = frozenset(
    (
        "yr yrs mo mos mth mths gal gals cu ft sq in no nos approx max min imp fig rev ed incl excl co inc "
        "ltd corp st art núm num bzw ca ggf z b d h usw etc vs viz cf sec para par cl ref qty ea temp dept mr "
        "mrs dr"
    ).split()
)


# German writes a place in a row as a number with a full stop: "bis zum 12. Jahr", "am 1. März".
_COUNTED = re.compile(
    r"(?:(?:Betriebs|Garantie|Nutzungs|Kalender)?(?:jahr|monat|tag|quartal)(?:e?s|e|en)?|Januar|Jänner|Februar|März|April|Mai|Juni"
    r"|Juli|August|September|Oktober|November|Dezember)",
    re.IGNORECASE,
)


def sentences(doc: "Doc") -> "list[Span]":
    """The sentences of a text. A full stop after `cu`, `gal` or `No` ends one only before a capitalised word."""
    found = []
    start = 0
    for token in doc:
        if token.text not in {".", "!", "?", "…"} or token.i + 1 >= len(doc):
            continue
        following = doc[token.i + 1]
        if not (token.whitespace_ or following.is_space):
            continue
        before = doc[token.i - 1] if token.i else None
        opens = following.text[:1].isupper() or following.text[:1] in '¿¡"“«(['
        abbreviated = before is not None and (
            before.lower_ in _ABBREVIATIONS or (len(before.text) == 1 and before.text.isalpha())
        )
        if before is not None and before.text.isdigit() and _COUNTED.fullmatch(following.text):
            continue
        if abbreviated and not (opens and before is not None and before.lower_ in {"gal", "gals", "yr", "yrs", "ft"}):
            continue
        if not opens and not following.text[:1].isdigit():
            continue
        found.append(doc[start : token.i + 1])
        start = token.i + 1
    if start < len(doc):
        found.append(doc[start:])
    return found


_STOP_WORDS = {
    "en": "the of and or from by is are shall will be to in for with which whichever years year months this that any "
    "not first warranty meter meters its our under on as at has have",
    "es": "el la los las de del y o por para con que lo un una años año anios meses garantía garantia desde sin se al "
    "es su sus medidor medidores contador ocurra primero no entre cada hasta este esta",
    "fr": "le la les des du de et ou par pour avec que un une ans an mois garantie depuis sans est sont à au aux son "
    "sa ses compteur compteurs sur dans ne pas terme ce cette compter échéance",
    "de": "der die das und oder von vom für mit ein eine einer einem jahre jahr monate monaten garantie ab bis nicht "
    "ist sind auf im am zum zur den dem des zähler wasserzähler sowie nach bei gewährleistung zuerst eintritt",
}


@cache
def _stop_words() -> dict[str, frozenset[str]]:
    return {language: frozenset(words.split()) for language, words in _STOP_WORDS.items()}


def language_of(text: str) -> str:
    """`en`, `es`, `fr` or `de` by a vote of common words; English where nothing speaks for another."""
    votes = dict.fromkeys(_STOP_WORDS, 0)
    for token in parse(text):
        for language, words in _stop_words().items():
            if token.lower_ in words:
                votes[language] += 1
    best = max(votes, key=lambda language: (votes[language], language == "en"))
    return best if votes[best] > votes["en"] else "en"
