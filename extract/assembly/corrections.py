"""Notes that set a printed number right: "Misprint. The figure that holds is 5", "read 15 for 12", "not 8 but 5"."""

import re
from collections.abc import Callable
from dataclasses import replace

from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle, numbers
from firstcap.extract.patterns.base import Mention
from firstcap.schema.quantities import Duration, Volume

_READ = re.compile(
    r"\b(?:should read|read|lire|léase|lies|correct(?:ed|ion)?(?: (?:figure|value))?(?: (?:is|to))?|misprint(?: for)?|"
    r"instead of|in place of|replaced? by|(?:changed|reduced|raised|lowered|increased|amended|revised|shortened|extended|cut)(?: to)?|"
    r"takes the place|(?:should|ought to|must|has to) (?:be|have been|say)|is (?:really|rightly|correctly|meant to be)|"
    r"(?:the )?right (?:figure|number|value) is|now)\b[:;]?",
    re.IGNORECASE,
)
_WRONG = re.compile(
    r"\b(?:wrong(?:ly)?|errors?|erroneous(?:ly)?|mistaken?(?:ly)?|misprint(?:ed|s)?|misstated|incorrect(?:ly)?|typo\w*|printer['’]s (?:error|slip)|"
    r"slip|errat(?:um|a)|corrigend(?:um|a)|correct(?:ed|ion|ly)?|supersed\w+|druckfehler|falsch|berichtigt|fehler(?:haft)?|erreur|erroné\w*|"
    r"corrigé\w*|coquille|errata|errónea?|erróneo|corregid\w+|error de imprenta)\b",
    re.IGNORECASE,
)
# "The figure that holds is 5", "15 is the number that counts": which of two numbers is in force.
_HOLDS = re.compile(
    r"\b(?:figure|number|value|entry|term|period|zahl|wert|chiffre|valeur|cifra|valor)\b.{0,30}?\b(?:holds?|counts?|appl(?:y|ies)|is (?:valid|right|in force|meant|true)|stands|prevails|"
    r"governs|gilt|vaut|vale|rige)\b|\b(?:true|right|valid|proper|actual|intended|richtige|bonne?|correcta?)\b.{0,12}?\b(?:figure|number|value|entry|zahl|wert|chiffre|valeur|cifra|valor)\b"
    r"|\bnot \S+(?: \w+)?,? but\b|\brather than\b|\bis meant\b",
    re.IGNORECASE,
)
_OTHER_NUMBER = re.compile(
    r"(?:\b(?:tables?|sections?|clauses?|notes?|pages?|forms?|rev(?:ision)?|issues?|editions?|columns?|rows?|lines?|no|awwa|iso|nsf|part|"
    r"january|february|march|april|may|june|july|august|september|october|november|december)\.?\s*|[A-Z]{1,4}[-‐]?)$",
    re.IGNORECASE,
)
_OLD = re.compile(
    r"\b(?:for|from|not|of|was|were|than|formerly|previously|earlier|once|printed(?: as)?|reads?|says?|statt|anstatt|au lieu de|en lugar de|de)\W{1,2}(?:the )?$",
    re.IGNORECASE,
)
_OLD_BEHIND = re.compile(
    r"^\W*(?:years?|months?|gal(?:lon)?s?)?\W*(?:(?:was|were|is|as)\W+)?(?:printed|stated|formerly|previously|earlier|before|until|till|up to|"
    r"(?:in|by|on) (?:the |an |our )?(?:first|earlier|former|previous|prior|older?|last|rev\w*|issue|edition|version|printing|catalog\w*))\b",
    re.IGNORECASE,
)
# "Raised to 800,000 for meters shipped after June": the number holds for some only.
_FOR_SOME = re.compile(
    r"\b(?:if|where|when|while|unless|except|provided|only|for (?:meters?|parts?|registers?|sizes?|models?|orders?|those|all|any|units?|shipments?|serial)|"
    r"(?:from|after|since|before|until|as of|effective) (?:[A-Z]\w+ \d|\d{4}|\d{1,2}[ /.]|january|february|march|april|may|june|july|august|september|october|november|december))\b",
    re.IGNORECASE,
)
_FARTHEST = 25  # a correction by more than this factor is none


_SAID = "footnote.override"  # the words of the note lead to the number
_LEFT = "footnote.other_number"  # the only number of the note that is not the printed one


def speaks_of_error(text: str) -> bool:
    """Whether a note may say that a printed number is not the one that holds."""
    changed = _READ.search(text) is not None and re.search(r"\d", text) is not None
    return changed or _WRONG.search(text) is not None or _HOLDS.search(text) is not None


def is_certain(note: str, new: Mention) -> bool:
    """Whether a note leaves no doubt that its number holds: it says so of this number, and for all that is marked."""
    said = new.pattern == _SAID or _HOLDS.search(note) is not None
    return said and _FOR_SOME.search(note) is None


def corrected(note: str, printed: Mention, read: Callable[[str], Mention | None], style: NumberStyle) -> Mention | None:
    """The value that a note puts in the place of the printed one, placed in the note; None where that is not certain.

    `read` understands a number as the cell's column does.
    """
    return _after_words(note, printed, read) or _only_other(note, printed, read, style)


def _after_words(note: str, printed: Mention, read: Callable[[str], Mention | None]) -> Mention | None:
    """What follows "should read", "raised to", "correct:" before the words that repeat the old value."""
    said = _READ.search(note)
    if said is None:
        return None
    tail = note[said.end() :]
    piece = re.split(r"\b(?:in place of|instead of|not|for the|rather than)\b", tail)[0]
    if not piece.strip():
        return None
    whole = piece.strip(" .,;:")
    mention = _first_read(whole, read)
    if mention is None or not _near(mention, printed) or _OLD_BEHIND.match(whole[mention.end :]):
        return None
    return _moved(mention, said.end() + piece.index(whole), _SAID)


def _only_other(
    note: str, printed: Mention, read: Callable[[str], Mention | None], style: NumberStyle
) -> Mention | None:
    """The one number of a note that is not the printed one, where the note says that one of the two is wrong."""
    if _WRONG.search(note) is None and _HOLDS.search(note) is None:
        return None
    doc = parse(note)
    found: dict[object, Mention] = {}
    for number in numbers(doc, style):
        span = doc[number.start : number.end]
        before = note[: span.start_char]
        if _OLD_BEHIND.match(note[span.end_char :]):
            continue
        if _OTHER_NUMBER.search(before) or _OLD.search(before) or re.match(r"\s?%|\s?percent", note[span.end_char :]):
            continue
        behind = re.match(r"\s*[a-zäöüéñ³]+", note[span.end_char :], re.IGNORECASE)
        text = note[span.start_char : span.end_char + (behind.end() if behind else 0)]
        mention = read(text) or read(span.text)
        if mention is None or not _near(mention, printed):
            continue
        if _amount(mention) != _amount(printed):
            found.setdefault(_amount(mention), _moved(mention, span.start_char, _LEFT))
    return next(iter(found.values())) if len(found) == 1 else None


def _first_read(whole: str, read: Callable[[str], Mention | None]) -> Mention | None:
    """The value that a correction names: all of its words, or those up to the end of its first figure ("4,800 with …")."""
    figure = re.match(r"[^\d]{0,30}?\d[\d.,/ ]*\d|[^\d]{0,30}?\d", whole)
    return read(whole) or (read(figure.group().strip()) if figure else None)


def _amount(mention: Mention) -> object:
    value = mention.value
    if isinstance(value, Duration):
        return value.months if value.months is not None else value.days
    return value.usgal if isinstance(value, Volume) else value


def _near(mention: Mention, printed: Mention) -> bool:
    new, old = _amount(mention), _amount(printed)
    try:
        ratio = float(new) / float(old)  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError):
        return True
    return 1 / _FARTHEST < ratio < _FARTHEST


def _moved(mention: Mention, offset: int, pattern: str) -> Mention:
    return replace(mention, start=mention.start + offset, end=mention.end + offset, pattern=pattern)
