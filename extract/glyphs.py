"""What printed characters mean as text: ligatures, fractions, raised figures, hyphens, bullets.

Every text of the house goes through `plain`, so a figure is spelled one way whatever font printed it:
vulgar fractions become "1/2" (set apart by a blank from a whole number before them: "1 1/2"), m³ becomes "m3",
ligatures are spelled out, hyphens of every kind become "-"; en and em dashes stay, because a range is not a hyphen.
"""

import re
import unicodedata

SOFT_HYPHEN = "\u00ad"
BULLET = "•"

# The signs that fonts keep in the private area for bullets.
_PRIVATE_BULLETS = {"\uf0b7", "\uf0a7", "\uf0d8", "\uf076", "\uf0fc", "\uf02d", "\uf06e", "\uf071", "\uf0a8"}
# Ligatures that a widely used free serif face keeps in the private area, as its glyph names say.
_PRIVATE_LIGATURES = {"\ue049": "Th", "\ue03c": "tt", "\ue039": "ft"}
_HYPHENS = {"\u2010": "-", "\u2011": "-", "\u2043": "-", "\ufe63": "-", "\uff0d": "-"}
_SLASHES = {"\u2044": "/", "\u2215": "/"}
_KEPT = {"º": "º", "ª": "ª", "™": "™", "´": "'", "¨": '"', "″": '"', "′": "'", "…": "…"}
_RAISED = {**dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻⁽⁾ⁿⁱ", "0123456789+-()ni", strict=True))}
_INVISIBLE = frozenset("\u200b\u200c\u200d\u2060\ufeff\u200e\u200f\x00")
MARK_SIGNS = "*†‡§¶#"
SIGN = re.compile(r"[(\[]?([*†‡]{1,4})[)\]]?")  # a footnote sign that is a word of its own

_UNITS_WITH_POWER = re.compile(r"(?:^|[^a-z])(?:m|cm|dm|mm|km|ft|in|yd|pi|po|pie|M|FT|CM|cu\.?)\.?$", re.IGNORECASE)
_ORDINALS = frozenset(("st", "nd", "rd", "th", "er", "re", "e", "o", "ème", "eme", "ª", "º"))
_TRADE_SIGNS = frozenset(("®", "™", "tm", "TM", "©", "℠", "SM"))


def raised_digit(char: str) -> str | None:
    """The plain character of a raised Unicode figure, or None for any other character."""
    return _RAISED.get(char)


def plain(char: str) -> str:
    """One printed character as text ("" for an invisible one). Fractions come as "1/2" without a leading blank."""
    if len(char) == 1 and " " < char < "\x7f":
        return char
    if char in _INVISIBLE:
        return ""
    if char == SOFT_HYPHEN:
        return char  # printed, so a hyphen; at a line's end always the typesetter's
    if char in _PRIVATE_BULLETS:
        return BULLET
    for table in (_HYPHENS, _SLASHES, _KEPT):
        if char in table:
            return table[char]
    if char.startswith("(cid:"):
        return "\ufffd"
    if char in _PRIVATE_LIGATURES:
        return _PRIVATE_LIGATURES[char]
    return unicodedata.normalize("NFKC", char).replace("\u2044", "/").replace("\u2010", "-")


def is_fraction(char: str) -> bool:
    """A vulgar fraction in one glyph, such as ½."""
    return len(char) == 1 and char > "\x7f" and unicodedata.decomposition(char).startswith("<fraction>")


def takes_power(before: str) -> bool:
    """A raised 2 or 3 after this text is a power ("m³", "ft²"), not a footnote mark."""
    return _UNITS_WITH_POWER.search(before) is not None


def is_ordinal(before: str, raised: str) -> bool:
    """Raised letters that belong to the figure before them ("11th", "1er", "n°")."""
    if raised in _TRADE_SIGNS:
        return True
    if raised.lower() not in _ORDINALS:
        return False
    return (before.isdigit() and len(before) <= 2) or (raised.lower() in ("o", "º") and before[-1:] in ("n", "N", "."))


_MARK = re.compile(
    rf"[\[(]?(?:\d{{1,2}}|[a-z]|[ivx]{{1,4}}|[{re.escape(MARK_SIGNS)}]{{1,4}})[\])]?[.,:]?(?:,?\w)?", re.I
)


def looks_like_mark(text: str) -> bool:
    """Text that may serve as a footnote mark: "1", "a", "*", "(2)", "1,2"."""
    return _MARK.fullmatch(text) is not None


def bare_mark(text: str) -> str:
    """A mark without its brackets and stops: "(2)" is "2"."""
    return text.strip("[]().,: ")
