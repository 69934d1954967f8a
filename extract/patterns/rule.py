"""Which of two limits ends the cover: "whichever comes first", "until either limit is met", "the later of".

The family says only which way a rule points. Whether it joins two limits or two starting events is read from what
stands
beside it: a rule inside a START mention belongs to the start.
"""

import re
from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import NUMBER, N, Table, lower_at, orth, with_numbers, word
from firstcap.extract.patterns.volume import is_rate, unit_at
from firstcap.schema.vocabulary import Ends

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span

FIRST_WORDS = (
    "first", "sooner", "soonest", "earlier", "earliest", "shorter", "shortest", "lesser", "less", "least", "smaller",
    "quicker", "before",
)  # fmt: skip
LAST_WORDS = (
    "later", "last", "latest", "longer", "longest", "greater", "greatest", "latter", "larger", "more",
)  # fmt: skip
FIRST_ELSEWHERE = ("primero", "primera", "primer", "antes", "premier", "première", "premiers", "zuerst", "früher",
 "frueher", "eher",
                   "frühere", "proche", "courte", "courte", "anterior", "menor")  # fmt: skip
LAST_ELSEWHERE = ("último", "ultimo", "última", "tarde", "después", "posterior", "mayor", "dernier", "dernière", "tard",
                  "tardive", "zuletzt", "später", "spaeter", "spätere", "longue")  # fmt: skip
_DECIDING = {
    **dict.fromkeys((*FIRST_WORDS, *FIRST_ELSEWHERE), Ends.FIRST_OF),
    **dict.fromkeys((*LAST_WORDS, *LAST_ELSEWHERE), Ends.LAST_OF),
}

_REACH = (
    "occur", "occurs", "occurring", "happen", "happens", "come", "comes", "reached", "reach", "met", "pass", "passed",
    "arise",
    "arrive", "arrives", "expire", "expires", "exceeded", "attained", "apply", "applying", "applies", "govern",
    "governs",
    "control", "controls", "prevail", "prevails", "governing", "controlling", "be", "hit", "elapse", "elapses", "end",
    "ends",
    "spent", "used", "exhausted", "achieved", "crossed", "fulfilled", "satisfied", "lapse", "lapses", "passes",
)  # fmt: skip


_STOPS = (".", ";", ":", "(", ")")
# Free words up to the one that closes a phrase: never past it, so that the first deciding word decides.
_ANY: dict[str, Any] = {"LOWER": {"NOT_IN": [*_STOPS, *_DECIDING]}, "OP": "*"}
_WORDS: dict[str, Any] = {"LOWER": {"NOT_IN": [*_STOPS, ",", "either", "both", "one", *_REACH]}, "OP": "*"}
_FEW: dict[str, Any] = {"LOWER": {"NOT_IN": [*_STOPS, ",", *_DECIDING, *_REACH]}, "OP": "*"}
_TAIL = ({"LOWER": {"NOT_IN": [*_STOPS, ","]}, "OP": "?"},) * 3
_LONGEST = 22  # tokens of one rule phrase


def decides(span: "Span", after: int = 0) -> Ends | None:
    """The way the first deciding word of a span points."""
    for token in span[after:]:
        if token.lower_ in _DECIDING:
            return _DECIDING[token.lower_]
    return None


def _points(ends: Ends) -> Callable[["Span"], Ends | None]:
    def build(span: "Span") -> Ends | None:
        return ends if len(span) <= _LONGEST and decides(span) is ends else None

    return build


def _fixed(ends: Ends) -> Callable[["Span"], Ends | None]:
    def build(span: "Span") -> Ends | None:
        return ends if len(span) <= _LONGEST else None

    return build


def _either(span: "Span") -> Ends | None:
    """ "Either limit be met"; not "will either be repaired", where "either" joins two remedies."""
    if len(span) > _LONGEST or (span[-1].lower_ in {"be", "is"} and span[-2].lower_ == "either"):
        return None
    return Ends.FIRST_OF


def _elsewhere(ends: Ends) -> Callable[["Span"], Ends | None]:
    def build(span: "Span") -> Ends | None:
        found = [_DECIDING[token.lower_] for token in span if token.lower_ in _DECIDING]
        return ends if found and found[0] is ends and len(span) <= _LONGEST else None

    return build


def _capped(span: "Span") -> Ends | None:
    """ "10 years, limited to 500,000 gallons": where the number is a volume or a time."""
    doc = span.doc
    unit = unit_at(doc, span.end) or unit_at(doc, span.end + 1)
    if unit is not None and not is_rate(doc, unit.end):
        return Ends.FIRST_OF
    following = lower_at(doc, span.end + (lower_at(doc, span.end) in {"-", "–"}))
    return (
        Ends.FIRST_OF if following in {"months", "years", "meses", "monate", "mois", "años", "jahre", "ans"} else None
    )


def _pair(
    name: str,
    why: str,
    tokens: Callable[[tuple[str, ...]], list[list[dict[str, Any]]]],
    examples: tuple[str, str, str, str],
) -> tuple[Pattern, Pattern]:
    """A wording and its mirror: first and later."""
    first, not_first, last, not_last = examples
    return (
        Pattern(f"{name}_first", why, tokens(FIRST_WORDS), _points(Ends.FIRST_OF), first, Ends.FIRST_OF, not_first),
        Pattern(f"{name}_later", why, tokens(LAST_WORDS), _points(Ends.LAST_OF), last, Ends.LAST_OF, not_last),
    )


_WHICHEVER = word("whichever", "whatever")
PATTERNS: tuple[Pattern, ...] = (
    *_pair(
        "whichever", "whichever (limit, event …) comes, occurs, is reached … first",
        lambda words: [[_WHICHEVER, _ANY, word(*words), word("to", op="?"), word(*_REACH, op="?")],
                       [word("which"), word("ever"), _ANY, word(*words)]],
        ("whichever of the two limits is reached first", "whichever comes later",
         "whichever is later", "whichever comes first"),
    ),
    *_pair(
        "of_the_two", "the earlier of, the sooner of, the lesser of; the later of, the longer of",
        lambda words: [[word(*(one for one in words if one not in {"first", "last", "more", "less", "least",
         "before"})),
                        word("of"), word("the", "these", "those", NUMBER, "either", "such", op="*")]],
        ("the sooner of ten years and one million gallons", "later of the two",
         "the longer of the two periods", "earlier of the two"),
    ),
    *_pair(
        "to_occur", "first to occur, the first to be reached, first reached, last to occur",
        lambda words: [[word(*(one for one in words if one not in {"more", "before"})), word("to"), word("be", op="?"),
                        word(*_REACH)],
                       [orth(",", "(", "the"), word(*(one for one in words if one != "more")),
                        word("limit", "one", "event", op="?"),
                        word("reached", "met", "occurring", "attained", "hit", "exceeded", "passed", "applying",
                         "applies",
                             "governs", "governing", "controls", "controlling", "prevails", "prevailing", "happening",
                             "arriving", "counts")],
                       [word("the"), word(*(one for one in words if one not in {"more", "less", "least", "before"})),
                        word("one", NUMBER), word("reached", "met", "passed", "attained", "reaching")],
                       [word("one", "limit", "that", NUMBER), word("that", "which", op="?"),
                        word("runs", "ends", "comes", "falls", "lapses", "expires", "wears"), word("out", "due", op="?"),
                        word(*(one for one in words if one in {"first", "sooner", "earlier", "last", "later"}))],
                       [word(*(one for one in words if one not in {"first", "last", "more", "less", "least",
                        "before"})),
                        word("limit", "event", "date"), word(*_REACH, "counts", "decides", "rules", "wins")]],
        ("five years or 500,000 gallons, first to occur", "the last to occur",
         "the last to occur", "the first to occur"),
    ),
    *_pair(
        "comes", "what comes first, as comes first, if reached first",
        lambda words: [[word("what", "which", "as", "if", "one", "that", "limit", "event", "until"), _FEW,
                        word("comes", "occurs", "happens", "arrives", "occur", "come", "reached", "met", "expires",
                         "arises",
                             "elapses", "attained"),
                        word(*(one for one in words if one in {"first", "sooner", "earlier", "later", "last", "soonest",
                                                               "earliest", "latest"}))],
                       [orth(",", "("), word("reached", "occurring", "met", "coming", "happening"),
                        word("first" if "first" in words else "last", "sooner" if "first" in words else "later")]],
        ("ten years or one million gallons, as comes first", "what comes last", "what comes last", "what comes first"),
    ),
    Pattern(
        "comma_earlier", "a bare word after the two limits: 18 months from supply or 12 from start-up, earlier;",
        [[orth(",", "("), word("the", op="?"), word("earlier", "sooner", "earliest", "soonest"), word("date", op="?"),
          orth(";", ".", ")", ",")],
         [orth("("), word("first"), orth(")")],
         [word("first", "sooner", "earlier"), word("reached", "met", "attained", "occurring", "exceeded", "hit")]],
        _fixed(Ends.FIRST_OF), "18 months from supply or 12 from start-up, earlier; freight is ours", Ends.FIRST_OF,
        "an earlier leaflet",
    ),
    Pattern(
        "earlier_date", "earlier date, the earlier date governs",
        [[orth(",", "at", "on", "("), word("the", op="?"), word("earlier", "sooner"), word("date", "event", "limit",
         "one")]],
        _fixed(Ends.FIRST_OF), "36 months or 42 months from despatch, earlier date", Ends.FIRST_OF,
         "an earlier date code",
    ),
    Pattern(
        "ends_earlier", "a time that ends earlier when a volume is reached, sooner if, or until",
        [[word("end", "ends", "expire", "expires", "stop", "stops", "lapse", "lapses", "terminate", "terminates",
         "ending",
               "cease", "ceases", "closes"), word("earlier", "sooner"), word("when", "if", "once", "should", "on",
               "upon", "at")],
         [orth(",", "("), word("if", "or", "but"), word("that", "this", "it", "either", op="?"),
          word("is", "be", "comes", "happens", "occurs", "ends", "falls", "expires", "runs", op="?"), word("out", op="?"), word("sooner", "earlier", "first"),
          orth(",", ".", ";", ")", "if", "when", "once", "should")],
         [word("or", "and"), word("sooner", "earlier"), word("if", "when", "once", "should")],
         [word("if", "should"), word("that", "this", "it"), word("is", "be", "happens", "occurs", "comes"),
          word("earlier", "sooner", "first")]],
        _fixed(Ends.FIRST_OF), "six years, but ends earlier when the meter has registered the volume", Ends.FIRST_OF,
        "ends earlier than before",
    ),
    Pattern(
        "at_the_earlier", "cover stops at the earlier, at the sooner of them",
        [[word("at", "on", "by", "with"), word("the"), word("earlier", "sooner", "earliest", "soonest")]],
        lambda span: Ends.FIRST_OF if lower_at(span.doc, span.end) in {"", ".", ";", ",", ")"} else None,
        "cover stops at the earlier", Ends.FIRST_OF, "at the earlier address",
    ),
    Pattern(
        "later_date", "later date, the later one",
        [[orth(",", "at", "on", "("), word("the", op="?"), word("later"), word("date", "event", "limit", "one")],
         [orth(",", "("), word("the", op="?"), word("later", "longer"), orth(";", ".", ")")]],
        _fixed(Ends.LAST_OF), "36 months or 42 months from despatch, the later date", Ends.LAST_OF, "a later edition",
    ),
    Pattern(
        "first_of_these", "the first of these (limits) to be reached",
        [[word("first"), word("of"), word("these", "those", "either", "them", "which"),
          word(NUMBER, "limits", "events", "following", op="*")],
         [word("first"), word("of"), word("the"), word("following"), word(NUMBER, op="?"), word("limits", "events", "dates", "two", op="?")],
         [word("first"), word("of"), N, word("limits", "events", "dates", "to")],
         [word("first"), word("of"), word("the"), N, word("limits", "events", "dates", "to", "is", "comes")],
         [word("first"), word("of"), _WORDS, word("to"), word("be", op="?"), word(*_REACH)]],
        _fixed(Ends.FIRST_OF), "until the first of these limits is reached", Ends.FIRST_OF, "the first of the month",
    ),
    Pattern(
        "either_limit", "until either limit is met, as soon as either is exceeded, when one of the two is used up",
        [[word("until", "till", "when", "once", "upon", "as", "if", "after", "soon"), _WORDS, word("either"), _WORDS,
          word(*_REACH, "runs", "out", "exceed", "is", "reaches", "passes", "occurs")],
         [word("until", "till", "when", "once", "after", "if"), _WORDS, word(*_REACH, "reaches", "passes", "exceeds"),
          word("either"), word("limit", "one", "figure", "mark", "of", "ceiling", "value", "number")],
         [word("either"), word("limit", "event", "figure", "one", "mark", "ceiling"), orth(",", op="?"), _FEW,
          word("ends", "end", "closes", "stops", "terminates", "reached", "met", "first", "exceeded")],
         [word("reaching", "reaches", "exceeding", "exceeds", "passing"), word("either"), word("limit", "one", "of",
          "figure",
                                                                                              op="?")],
         [word("until", "when", "once"), word("one"), word("of"), word("the", "these", "them", "those", op="?"),
          word("limits", NUMBER, op="?"), _FEW, word(*_REACH)]],
        _either, "until either limit is met", Ends.FIRST_OF, "after shipment will either be repaired or replaced",
    ),
    Pattern(
        "and_before", "within a time and before a volume has passed: both must hold, so the first ends it",
        [[word("and", "or"), word("before"), word("the", "it", "its", "a", "passage", "of", "meter", "registering",
          "has", "registered", "more", "than", op="*"), N, {"ORTH": {"NOT_IN": [".", ";", ",", "%", NUMBER]}, "OP": "?"},
          word("gallons", "gallon", "gal", "litres", "liters", "m3", "m³", "feet", "ft3", "ccf", "kl", "metres",
               "meters", "kgal", "mg")],
         [word("provided", "so", "as"), word("long", op="?"), word("that", "as"), word("no", "not", "fewer", "less"),
          word("more", op="?"), word("than"), N]],
        _fixed(Ends.FIRST_OF), "within ten years and before 2,500,000 gallons have passed", Ends.FIRST_OF,
        "and before the gallons are read",
    ),
    Pattern(
        "ends_before_that", "it ends before that once the other limit is reached; according to which is reached first",
        [[word("end", "ends", "close", "closes", "over", "ceases", "lapses", "expires", "terminates", "stops"), word("before"),
          word("that", "then"), orth(",", op="?"), word("if", "once", "when", "as", "where", "should")],
         [word("ends", "ceases", "lapses", "expires", "terminates", "stops", "lapse", "cease", "end"), word("early", "prematurely", "sooner"),
          orth(",", op="?"), word("as", "where", "upon")],
         [word("cesa", "termina", "vence", "finaliza", "caduca", "fin", "cesse", "expire", "endet", "erlischt"),
          word("plus", "auch", "también", op="?"), word("antes", "avant", "tôt", "vorzeitig", "früher"), orth(",", op="?"),
          word("si", "cuando", "al", "sobald", "wenn", "mit", "dès", "lorsque", "quand")],
         [word("according", "depending"), word("to", "on"), word("which", "what"), _FEW, word(*_REACH), word("first", "sooner", "earlier")]],
        _fixed(Ends.FIRST_OF), "it comes to an end before that as soon as the volume is counted", Ends.FIRST_OF,
        "the year ends before that of the meter",
    ),
    Pattern(
        "both_limits", "until both limits have been passed",
        [[word("until", "till", "when", "once", "unless", "after"), _WORDS, word("both"), _WORDS, word(*_REACH)]],
        _fixed(Ends.LAST_OF), "until both limits have been passed", Ends.LAST_OF, "both parties have agreed",
    ),
    Pattern(
        "capped_at", "one limit capped by another: not to exceed, limited to so many gallons or months",
        [[word("limited", "capped"), word("to", "at"), word("a", "maximum", "of", "the", "first", "total", op="*"), N],
         [word("not"), word("to", op="?"), word("exceed", "exceeding"), word("a", "total", "of", "maximum", op="*"), N],
         [word("but"), word("in", op="?"), word("no", "not"), word("case", "event", op="?"),
          word("more", "longer", "beyond", "over"), word("than", op="?"), N],
         [word("in"), word("any", "every", "no", "all"), word("case", "event", "cases"), word("not", op="?"),
          word("beyond", "later", "longer", "more", "past"), word("than", op="?"), N],
         [word("but", "and", "though", "yet"), word("never", "not"), word("beyond", "past", "later", "longer"),
          word("than", op="?"), N],
         [word("without", "sin"), word("exceeding", "exceder", "superar", "passing"), word("de", "of", op="?"), N],
         [word("up"), word("to"), word("a"), word("maximum", "limit", "cap", "ceiling"), word("of"), N],
         [word("subject"), word("to"), word("a"), word("maximum", "limit", "cap", "ceiling"), word("of"), N],
         [word("höchstens", "hoechstens", "längstens", "maximal", "spätestens"), word("jedoch", op="?"), N],
         [word("dans", "sans"), word("la", op="?"), word("limite", "dépasser", "excéder"), word("de", op="?"), N]],
        _capped, "ten years, limited to 500,000 gallons", Ends.FIRST_OF, "limited to 100 % of the price",
    ),
    Pattern(
        "es_primero", "lo que ocurra primero, lo primero que suceda",
        [[word("lo", "el", "la", "cualquiera"), word("que", "cual"), _WORDS,
          word("primero", "primera", "primer", "antes", "anterior", "menor")],
         [word("lo", "el"), word("primero"), word("que"), *_TAIL],
         [word("según", "segun"), _FEW, word("primero", "antes")],
         [word("lo", "el", "la"), word("primero", "primera"), word("de"), word("ambos", "ambas", "los", "las")],
         [word("el", "la", "al"), word("primer", "primero"), word("límite", "limite", "evento", "plazo"), *_TAIL]],
        _elsewhere(Ends.FIRST_OF), "lo que ocurra primero", Ends.FIRST_OF, "lo que ocurra más tarde", "es",
    ),
    Pattern(
        "es_ultimo", "lo que ocurra último, lo que suceda más tarde",
        [[word("lo", "el", "la", "cualquiera"), word("que", "cual"), _WORDS,
          word("último", "ultimo", "tarde", "después", "posterior", "mayor")],
         [word("lo", "el"), word("último", "ultimo"), word("que"), *_TAIL]],
        _elsewhere(Ends.LAST_OF), "lo que ocurra más tarde", Ends.LAST_OF, "lo que ocurra primero", "es",
    ),
    Pattern(
        "fr_premier", "au premier terme atteint, le premier des deux, selon la première échéance",
        [[word("au", "le", "la", "selon", "à", "dès"), word("le", "la", "l'", op="?"), word("premier", "première"),
          word("des", "de", "d'"), word(NUMBER, "ces", "entre", "ses", "termes", "échéances", "limites", "seuils"),
           *_TAIL],
         [word("au", "le", "la", "selon", "à", "dès", "du"), word("le", "la", "l'", op="?"), word("premier",
          "première"),
          word("terme", "échéance", "événement", "évènement", "seuil", "limite", "échu", "survenant", "atteint",
           "atteinte",
               "éventualité", "date"), *_TAIL],
         [word("ce", "qui"), _FEW, word("arrive", "survient", "intervient", "arrivera"), word("en", "le", "la"),
          word("premier", "première")],
         [word("premier", "première"), word("atteint", "atteinte", "échu", "échue", "survenu", "arrivé")],
         [word("la", "le"), word("plus"), word("proche", "courte", "tôt")]],
        _fixed(Ends.FIRST_OF), "au premier terme atteint", Ends.FIRST_OF, "au dernier terme atteint", "fr",
    ),
    Pattern(
        "fr_dernier", "au dernier terme échu, la date la plus tardive",
        [[word("au", "le", "la", "selon"), word("dernier", "dernière"),
          word("des", "terme", "échéance", "événement", "échu", "atteint", "seuil"), *_TAIL],
         [word("la", "le"), word("plus"), word("tardive", "tard", "longue", "éloignée", "tardif")]],
        _fixed(Ends.LAST_OF), "au dernier terme échu", Ends.LAST_OF, "au premier terme échu", "fr",
    ),
    Pattern(
        "de_zuerst", "je nachdem, was zuerst eintritt; maßgebend ist der frühere Zeitpunkt",
        [[word("was", "welches", "welcher", "welche", "wer", "je", "das", "der", "die"), _ANY,
          word("zuerst", "früher", "frueher", "eher"),
          word("eintritt", "erreicht", "eintretende", "eintreten", "abläuft", op="?")],
         [word("je"), word("nachdem"), orth(",", op="?"), _WORDS, word("zuerst", "früher", "eher"),
          word("eintritt", "erreicht", "abläuft", op="?")],
         [word("der", "dem", "das", "die", "zum"), word("frühere", "früheren", "frühere", "kürzere"),
          word("zeitpunkt", "termin", "ereignis", "der", "frist")]],
        _fixed(Ends.FIRST_OF), "je nachdem, was zuerst eintritt", Ends.FIRST_OF, "was später eintritt", "de",
    ),
    Pattern(
        "de_spaeter", "was später eintritt, der spätere Zeitpunkt",
        [[word("was", "welches", "welcher", "welche", "je"), _ANY,
          word("später", "spaeter", "zuletzt"), word("eintritt", "erreicht", op="?")],
         [word("der", "dem", "das", "die"), word("spätere", "späteren", "längere"),
          word("zeitpunkt", "termin", "ereignis", "der", "frist")]],
        _fixed(Ends.LAST_OF), "was später eintritt", Ends.LAST_OF, "was zuerst eintritt", "de",
    ),
)  # fmt: skip
_TABLE = Table(Family.RULE, PATTERNS)


def find(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Mention]:
    """The which-comes-first and which-comes-later phrases of a text: value Ends.FIRST_OF or Ends.LAST_OF."""
    return [_bare(mention) for mention in longest(_TABLE.all(with_numbers(doc, style)))]


def _bare(mention: Mention) -> Mention:
    """Without the comma or bracket that stands before or after the phrase."""
    lead = len(mention.text) - len(mention.text.lstrip(",( "))
    text = mention.text.strip(",();. ")
    return replace(mention, start=mention.start + lead, end=mention.start + lead + len(text), text=text)


# What a sentence about two limits says in words of its own: "The limit you meet first, time or gallons, ends the promise".
_TIME = r"(?:years?|months?|time|age|period|term|calendar|clock|date)"
_VOLUME = (
    r"(?:gallons?|volume|registration|throughput|usage|quantity|cubic|water|kilolit\w+|consumption|odometer|totals?)"
)
_LIMIT = rf"(?:{_TIME}|{_VOLUME}|limits?|figures?|marks?|counts?|ceilings?|caps?|bounds?|one|other|two|of (?:them|these|those|the two))"
_BOTH_KINDS = re.compile(
    rf"(?=.*\b{_TIME}\b)(?=.*\b{_VOLUME}\b)|\b(?:two|either|both)\b.{{0,30}}\b(?:limits?|figures?)\b", re.I | re.S
)
_OVER = re.compile(
    r"\b(?:ends?|ended|ending|over|clos(?:es|ed)|stops?|expires?|lapses?|finish\w*|done|terminat\w+|ceases?|used up|spent|reach\w*|met|meets?|"
    r"passed|pass(?:es)?|runs? out|run out|exhausted|governs?|controls?|decid\w+|settles?|prevails?|hit|hits)\b",
    re.I,
)
_FIRST_LIMIT = re.compile(
    r"\b(?:earlier|earliest|sooner|soonest)\b(?! (?:than|edition|version|revision|warrant|paper|form|document))"
    r"|\bfirst\b(?! (?:\w+ )?(?:years?|months?|purchaser|owner|buyer|user|use|cost|\d))|\bahead of the other\b|\b(?:reached|met|passed|attained|happens|occurs|comes|arrives)(?: about| to pass)? (?:before|sooner)\b(?! (?:the (?:end|sale|ship)|it))|\bbefore the other\b"
    rf"|\beither (?:the |of the |one |of these |of them |of those )?{_LIMIT}\b|\bone (?:or|of) the (?:other|two)\b",
    re.I,
)
_LAST_LIMIT = re.compile(
    rf"\b(?:last|latest|longest)\b(?! (?:\w+ )?(?:years?|months?|\d|test|reading))|\b(?:takes?|lasts?|runs?|comes?|is) (?:the )?(?:longer|later|last)\b"
    rf"|\bboth (?:the |of the |of these |of them )?{_LIMIT}\b",
    re.I,
)


_POINTS_BACK = re.compile(
    r"^\W*(?:the (?:one|first|last|earlier|later|sooner)|whichever|that|it|either|one of them|both)\b", re.I
)


def loosely(text: str, before: str = "") -> Mention | None:
    """The rule of a sentence that speaks of a time and a volume, of one of them coming first or last, and of an end.

    For sentences in which no wording of the table is found; None where it points both ways. `before` is the sentence
    before it, which may name the two limits ("Two limits go with each line, an age and a total. The one that the meter
    gets to earlier closes the guarantee").
    """
    both = _BOTH_KINDS.search(text) or (_POINTS_BACK.match(text) and _BOTH_KINDS.search(before))
    if not both or not _OVER.search(text):
        return None
    first, last = _FIRST_LIMIT.search(text), _LAST_LIMIT.search(text)
    found = first or last
    if found is None or (first and last):
        return None
    ends = Ends.FIRST_OF if first else Ends.LAST_OF
    return Mention(Family.RULE, found.start(), found.end(), ends, "rule.own_words", found.group())
