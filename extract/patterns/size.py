"""Meter sizes: `5/8"`, "5/8 x 3/4 in.", "DN15 to DN40", "2 in. and smaller", as labels of the schema, smallest first.

A number is a size only where something says so: an inch mark or DN or mm beside it, a pair ("5/8 x 3/4"), or the words
"size" or "meter" next to it; and only where it is a standard size. Lengths are told apart by the words around them
(laying
length, a turn, from a wall, of pipe). In a cell under a header such as "Size" the mark may be missing: `size_in`.
"""

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import (
    HYPHENS,
    MAYBE_DASH,
    NUMBER,
    SIZE,
    Built,
    N,
    Table,
    lower_at,
    orth,
    payload,
    value_of,
    values,
    with_mentions,
    with_numbers,
    word,
)
from firstcap.schema.vocabulary import SIZES, WarningKind, sizes_between

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span, Token

Labels = tuple[str, ...]
_OTHER = WarningKind.OTHER.value
_INCH_LABEL = {
    Fraction(size.nominal_inch): size.label for size in SIZES if size.nominal_inch is not None and "x" not in size.label
}
_INCH_LABEL[Fraction(5, 8)] = "5/8"
_DN_LABEL = {size.nominal_mm: size.label for size in SIZES if size.nominal_inch is None}
_PAIRS = {(Fraction(5, 8), Fraction(3, 4)): "5/8x3/4", (Fraction(3, 4), Fraction(1)): "3/4x1"}
_ORDER = {size.label: rank for rank, size in enumerate(SIZES)}

INCH_MARKS = ('"', "″", "''", "′′", "”", "“", "in", "inch", "inches", "ins", "pulgada", "pulgadas", "plg", "pulg",
 "pouce",
              "pouces", "zoll", "po")  # fmt: skip
_INCH = word(*INCH_MARKS)
_MM = ("mm", "millimetre", "millimetres", "millimeter", "millimeters", "milímetros")
_BY = word("x", "×", "by", "*")
# A length, not a size: what stands just before, or just after.
_LENGTH_BEFORE = frozenset(
    "length long laying lay lays deep depth thick thickness wide width within distance clearance height every least "
    "spaced "
    "spacing gap dial hole holes letters diagram orifice probe buried protrude extend extends another margin "
    "lies lie stands taller shorter longer apart cable antenna lead".split()
)
_LENGTH_AFTER = frozenset(
    "long length laying deep of apart wide thick high tall from clearance turn turns hole holes bolt bolts lay "
    "wrench mercury "
    "hg water gallon gallons gpm gal thread threads spacing dial face above per diameters of letters antenna cable "
    "hose "
    "tubing conduit spool spools below between behind beyond test key nut nuts screw screws drop rain rod lead "
    "pipe pipes piping main mains line lines valve valves riser risers".split()
)


def in_order(labels: Sequence[str]) -> Labels:
    """Labels in schema order, each once."""
    return tuple(sorted(dict.fromkeys(labels), key=_ORDER.__getitem__))


def _is_length(span: "Span") -> bool:
    doc = span.doc
    before = {lower_at(doc, span.start - k) for k in range(1, 3)}
    after = lower_at(doc, span.end)
    after = lower_at(doc, span.end + 1) if after in {".", *HYPHENS} else after
    if after == "of" and lower_at(doc, span.end + 1) in {"meter", "meters", "size"}:
        return False
    if after in {"above", "below"} and lower_at(doc, span.end - 1) in {"and", "or"}:
        return False
    if after in {"by", "x", "×"} or lower_at(doc, span.start - 1) in {"by", "x", "×"}:
        return True  # a side of something
    if after in {"meter", "meters", "metre", "metres"}:
        before.discard("every")  # "every 5/8 inch meter"
    return bool(before & _LENGTH_BEFORE) or after in _LENGTH_AFTER


def _inch_label(value: Fraction) -> str | None:
    return _INCH_LABEL.get(value)


def _inch(span: "Span") -> Labels | None:
    label = _inch_label(values(span)[0])
    if label is None or _is_length(span):
        return None
    unit = next((token.lower_ for token in span if token.lower_ in INCH_MARKS), "")
    after = lower_at(span.doc, span.end)
    if (
        unit == "in"
        and span[-1].text != "."
        and (
            after == NUMBER
            or after
            in {
                "the",
                "a",
                "writing",
                "this",
                "which",
                "any",
                "all",
                "our",
                "case",
                "service",
                "use",
                "each",
                "total",
                "one",
                "no",
                "addition",
                "accordance",
                "full",
            }
        )
    ):
        return None  # "10 in the table"
    if unit == "po" and after not in {"", ".", ",", ")"}:
        return None
    if lower_at(span.doc, span.start - 1) in {
        "year",
        "years",
        "section",
        "table",
        "figure",
        "page",
        "psi",
        "$",
        "clause",
    }:
        return None
    return (label,)


def _pair(span: "Span") -> Labels | Built | None:
    small, large = values(span)[:2]
    if (small, large) in _PAIRS:
        return (_PAIRS[small, large],)
    label = _inch_label(small)
    if label is None or _inch_label(large) is None or max(small, large) > 2 or _is_length(span):
        return None
    if small == large:
        return (label,)
    if (large, small) in _PAIRS:
        return Built((_PAIRS[large, small],), (_OTHER,))
    return Built((label,), (_OTHER,))  # a connection of another thread: "5/8 x 1/2"


def _dn(span: "Span") -> Labels | None:
    value = values(span)[0]
    label = _DN_LABEL.get(int(value)) if value.denominator == 1 else None
    return None if label is None else (label,)


def _mm(span: "Span") -> Labels | None:
    if _is_length(span) or lower_at(span.doc, span.end) in {"/", "x", "×", "long"}:
        return None
    return _dn(span)


def _named(span: "Span") -> Labels | None:
    """ "size 5/8", "5/8 meter": no mark, but the word."""
    label = _inch_label(values(span)[0])
    if label is None:
        return None
    after, then = lower_at(span.doc, span.end), lower_at(span.doc, span.end + 1)
    if after in {*_MM, "%", "/", "x", "gpm", "years", "months"} or then in {"gpm", "%", "°"}:
        return None
    if after in INCH_MARKS and span[-1].text == NUMBER:
        return None  # "sizes 3 inch through 6 inch": the marked number is the size, and may begin a range
    if values(span)[0].denominator == 1 and span[-1].text != NUMBER:
        return None  # "2 meters" counts meters
    return (label,)


_GLUED = re.compile(r"(\d)(\d)/(\d)")


def _glued(span: "Span") -> Built | None:
    """ "11/2 in.": the blank of 1 1/2 was lost."""
    match = _GLUED.fullmatch(span[0].text)
    if match is None:
        return None
    whole, top, bottom = (int(part) for part in match.groups())
    label = _inch_label(whole + Fraction(top, bottom)) if 0 < top < bottom else None
    return None if label is None or _is_length(span) else Built((label,), (_OTHER,))


_SIDE: dict[str, Any] = {"ORTH": {"IN": ["(", "/", "["]}}
ELEMENTS: tuple[Pattern, ...] = (
    Pattern(
        "inch", 'a number with an inch mark: 5/8", 1-1/2 in., five-eighths inch, ½″',
        [[N, MAYBE_DASH, _INCH], [N, MAYBE_DASH, word("in", "ins"), orth(".")],
         [N, MAYBE_DASH, _INCH, orth("."), orth("("), N, word(*_MM), orth(")")],
         [N, MAYBE_DASH, _INCH, orth("("), N, word(*_MM), orth(")")],
         [N, MAYBE_DASH, _INCH, orth(".", op="?"), orth("("), word("dn"), N, orth(")")]],
        _inch, '5/8"', ("5/8",), "3/4 inch clearance",
    ),
    Pattern(
        "pair", 'a body size and a connection: 5/8" x 3/4", 5/8 x 3/4 in., 3/4 by 1 inch',
        [[N, _BY, N], [N, _INCH, _BY, N], [N, _INCH, _BY, N, _INCH], [N, _BY, N, MAYBE_DASH, _INCH],
         [N, _INCH, orth(".", op="?"), _BY, N, _INCH, orth(".", op="?")], [N, _BY, N, _INCH, orth(".")]],
        _pair, '5/8" x 3/4"', ("5/8x3/4",), "10 x 20 inch lid",
    ),
    Pattern(
        "dn", "a metric size by its number: DN15, DN 40",
        [[word("dn"), orth(".", "-", op="?"), N], [word("dn"), N, word("mm")]],
        _dn, "DN 15", ("DN15",), "DN 17",
    ),
    Pattern("mm", "a metric size in millimetres: 15 mm", [[N, MAYBE_DASH, word(*_MM)]], _mm, "15 mm meters", ("DN15",),
            "laying length 200 mm"),
    Pattern(
        "glued_fraction", "a mixed fraction whose blank was lost, flagged: 11/2 in.",
        [[{"TEXT": {"REGEX": r"^\d\d/\d$"}}, MAYBE_DASH, _INCH]],
        _glued, "11/2 in.", Built(("1-1/2",), (_OTHER,)), "11/12 in.",
    ),
    Pattern(
        "named_size", "a bare number beside the word: size 5/8, 3/4 meters, 5/8 and 3/4 sizes",
        [[word("size", "sizes"), orth(":", op="?"), N], [word("size", "sizes"), orth(":", op="?"), N, _INCH], [N,
         word("meter", "meters", "size", "sizes", "short", "s")]],
        _named, "size 5/8", ("5/8",), "2 meters",
    ),
)  # fmt: skip
_ELEMENT_TABLE = Table(Family.SIZE, ELEMENTS)


# ---- lists and ranges -----------------------------------------------------------------------------------------------


def _labels_of(span: "Span") -> list[Labels] | None:
    """The labels of each element; a bare number takes the kind of the marked ones; None where one is no size."""
    marked = [payload(token).value for token in span if token.text == SIZE]
    if not marked:
        return None
    metric = marked[0][0].startswith("DN")
    if any(labels[0].startswith("DN") != metric for labels in marked):
        return None
    found: list[Labels] = []
    for token in span:
        if token.text == SIZE:
            found.append(payload(token).value)
        elif token.text == NUMBER:
            label = _bare(token, metric)
            if label is None:
                return None
            found.append((label,))
    return found


def _bare(token: "Token", metric: bool) -> str | None:
    value = value_of(token)
    if not metric:
        return _inch_label(value)
    return _DN_LABEL.get(int(value)) if value.denominator == 1 else None


def _list(span: "Span") -> Labels | None:
    """Sizes one after the other, ascending: a number that breaks the order is no size."""
    found = _labels_of(span)
    if found is None:
        return None
    ranks = [_ORDER[labels[0]] for labels in found]
    if any(left >= right for left, right in pairwise(ranks)):
        return None
    if lower_at(span.doc, span.start - 1) in {"/", *HYPHENS}:
        return None
    gaps: list[list[str]] = [[]]
    for token in span:
        if token.text in {SIZE, NUMBER}:
            gaps.append([])
        else:
            gaps[-1].append(token.text)
    if any(set(gap) <= set(HYPHENS) for gap in gaps[1:-1]):
        return None  # a range
    return in_order([label for labels in found for label in labels])


def _range(span: "Span") -> Labels | None:
    found = _labels_of(span)
    if found is None or len(found) != 2:
        return None
    low, high = found[0][0], found[1][-1]
    if _ORDER[low] >= _ORDER[high]:
        return None
    return sizes_between(low, high)


def _and_below(span: "Span") -> Labels:
    label = payload(next(token for token in span if token.text == SIZE)).value[-1]
    if any(token.lower_ in {"under", "below", "smaller", "less"} for token in span) and span[-1].text == SIZE:
        return tuple(one for one in sizes_between(None, label) if _nominal(one) < _nominal(label))
    return sizes_between(None, label)


def _and_above(span: "Span") -> Labels:
    label = payload(next(token for token in span if token.text == SIZE)).value[-1]
    if any(token.lower_ in {"over", "above", "larger", "greater", "bigger", "exceeding"} for token in span) and (
        span[-1].text == SIZE
    ):
        return tuple(one for one in sizes_between(label, None) if _nominal(one) > _nominal(label))
    return sizes_between(label, None)


_NOMINALS = {size.label: Decimal(size.nominal_mm) if size.nominal_inch is None else size.nominal_inch for size in SIZES}


def _nominal(label: str) -> Decimal:
    return _NOMINALS[label]


_S: dict[str, Any] = {"ORTH": SIZE}
_SN: dict[str, Any] = {"ORTH": {"IN": [SIZE, NUMBER]}}
_SEP = word(",", "and", "or", "&", "/", ";", "y", "et", "und", "o", "ou", "oder", "+", *HYPHENS, op="+")
_TO = word("to", "through", "thru", "till", "a", "à", "bis", "hasta", "jusqu'à", "up", *HYPHENS)
_LESS = word("below", "smaller", "under", "less", "down", "menores", "menor", "inferiores", "moins", "kleiner", "lower")
_MORE = word("larger", "above", "over", "up", "greater", "bigger", "more", "mayores", "mayor", "plus", "größer",
 "larger", "upward",
             "upwards", "superiores", "higher")  # fmt: skip
_AND = word("and", "or", "&", "y", "et", "und", "o", "ou")
JOINED: tuple[Pattern, ...] = (
    Pattern(
        "size_list", 'sizes in a row, the mark perhaps only at the end: 5/8", 3/4" and 1"; 1-1/2 and 2 inches',
        [[_SN, *(part for _ in range(count) for part in (_SEP, _SN))] for count in range(1, 9)],
        _list, "5/8, 3/4 and 1 inch", ("5/8", "3/4", "1"), "1 and 5/8 inch",
    ),
    Pattern(
        "size_range", 'from one size to another: 5/8 through 1 inch, 5/8" to 2", DN15 to DN40',
        [[word("from", "between", "de", "von", "entre", op="?"), _SN, _TO, word("to", "including", op="*"), _SN],
         [word("from", "between", "entre"), _SN, word("and", "y", "et"), _SN]],
        _range, "5/8 through 1 inch", ("5/8", "5/8x3/4", "3/4", "3/4x1", "1"), "2 in. to 1 in.",
    ),
    Pattern(
        "and_smaller", '2" and below, up to 2 in., under 3 inch',
        [[_S, word("meters", "size", op="?"), _AND, _LESS], [word("up"), word("to", "through"), word("and",
         "including", op="*"), _S],
         [word("under", "below"), _S], [word("smaller", "less"), word("than"), _S], [_S, word("max", "maximum")],
         [word("hasta", "jusqu'à", "bis"), _S]],
        _and_below, "3/4 in. and smaller", ("1/2", "5/8", "5/8x3/4", "3/4"), "2 in. and gaskets",
    ),
    Pattern(
        "and_larger", "3 in. and larger, over 2 inch",
        [[_S, word("meters", "size", op="?"), _AND, _MORE], [word("over", "above", "exceeding"), _S],
         [word("larger", "greater", "bigger"), word("than"), _S], [_S, orth("+")], [word("from"), _S, word("up",
          "upwards")]],
        _and_above, "12 in. and larger", ("12", "16", "20"), "3 in. and gaskets",
    ),
)  # fmt: skip
_JOINED_TABLE = Table(Family.SIZE, JOINED)
PATTERNS: tuple[Pattern, ...] = (*ELEMENTS, *JOINED)


def _join(reduced: "Doc", singles: list[Mention]) -> list[Mention]:
    joined = _JOINED_TABLE.all(with_mentions(reduced, singles, SIZE))
    return longest([*joined, *singles])


def find(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Mention]:
    """The meter sizes of a text: value a tuple of labels in schema order; a range gives every label within it."""
    reduced = with_numbers(doc, style)
    if not any(token.text == NUMBER or "/" in token.text for token in reduced):
        return []
    return _join(reduced, _ELEMENT_TABLE.find(reduced))


_SIZE_HEADS = frozenset(
    "size sizes diameter diam dia nominal calibre caliber diámetro diametro nennweite taille tamaño tamano größe dn "
    "bore calibres "
    "meter".split()
)


def size_in(text: str, header: str = "", style: NumberStyle = ENGLISH) -> Mention | None:
    """The sizes of a cell or heading, where the mark may stand in the header: "Size, in.", "DN", "Diameter (mm)".

    Bare numbers are read only where the header, or the words of the cell itself, speak of sizes.
    """
    doc = parse(text)
    reduced = with_numbers(doc, style)
    singles = _ELEMENT_TABLE.find(reduced)
    heads = [token.lower_ for token in parse(header)]
    if set(heads) & (_SIZE_HEADS | set(INCH_MARKS) | set(_MM)) - {"meter", "in"} or heads[:1] in (["meter"], ["in"]):
        metric = bool(set(heads) & {"dn", *_MM}) and not set(heads) & set(INCH_MARKS)
        taken = [(mention.start, mention.end) for mention in singles]
        singles = sorted([*singles, *_bare_sizes(reduced, metric, taken)], key=lambda mention: mention.start)
    found = _join(reduced, singles)
    if not found:
        return None
    labels = in_order([label for mention in found for label in mention.value])
    if len({label.startswith("DN") for label in labels}) > 1:
        return found[0]
    start, end = found[0].start, found[-1].end
    notes = tuple(dict.fromkeys(note for mention in found for note in mention.notes))
    return Mention(Family.SIZE, start, end, labels, found[0].pattern, text[start:end], notes)


def _bare_sizes(reduced: "Doc", metric: bool, taken: list[tuple[int, int]]) -> list[Mention]:
    """Numbers without a mark, and fractions that lost their blank, as sizes."""
    found = []
    for token in reduced:
        span = reduced[token.i : token.i + 1]
        after = lower_at(reduced, token.i + 1)
        if token.text == NUMBER:
            if after in {"years", "year", "yr", "yrs", "gpm", "%", "gal", "gallons", "months"}:
                continue
            made = _CELL.mention(_CELL.patterns["bare_metric" if metric else "bare_inch"], span)
        elif _GLUED.fullmatch(token.text):
            made = _CELL.mention(_CELL.patterns["bare_glued"], span)
        else:
            made = None
        if made is not None and all(made.end <= start or made.start >= end for start, end in taken):
            found.append(made)
    return found


def _bare_label(metric: bool) -> Any:
    def build(span: "Span") -> Labels | None:
        label = _bare(span[0], metric)
        return None if label is None else (label,)

    return build


_CELL = Table(
    Family.SIZE,
    (
        Pattern("bare_inch", "a bare number under a header of sizes", [[N]], _bare_label(False), "5/8", ("5/8",), "7"),
        Pattern(
            "bare_metric", "a bare number under a header of DN or mm", [[N]], _bare_label(True), "15", ("DN15",), "7"
        ),
        Pattern("bare_glued", "11/2 in a cell", [[N]], _glued, "11/2", ("1-1/2",), "7"),
    ),
)

__all__ = ["PATTERNS", "find", "in_order", "size_in"]
