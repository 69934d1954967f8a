"""How much of the time in a cell is free, where words beside it say so without a share: "20 years, the second ten prorated"."""

import re
from decimal import Decimal

from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle, number_in, numbers

_COUNT = r"(?P<count>\d{1,3}|[a-zäöüéèñ-]{3,20})"
_UNIT = r"(?:\s*(?P<unit>years?|yrs?\.?|months?|mos?\.?|jahre?n?|monate?n?|ans?|années|mois|años|meses))?"
_DECLINING = (
    r"(?:pro[- ]?rat\w*|declining|reduced|decreasing|sliding|graduated|discounted|shared|depreciat\w*|at a share|"
    r"anteilig|gestaffelt|dégressi\w*|au prorata|prorrat\w*|a prorrata|escalonad\w*)"
)
_LINK = r"(?:\s*(?:of (?:them|these|which)|are|is|being|at|on a|with|=|:|,|mit|en|al))*\s*"
# "The last ten prorated", "(second 10 years pro-rata)", "prorated for the final ten".
_LAST = re.compile(
    rf"\b(?:last|final|second|remaining|latter|further|next|following|other|letzten|zweiten|übrigen|derni\w+|second\w*|últim\w+|segund\w+)\s+{_COUNT}{_UNIT}{_LINK}{_DECLINING}"
    rf"|{_DECLINING}\s*(?:for|in|over|during|pendant|durante|in den)?\s*(?:the|les|los|den)?\s*(?:last|final|second|remaining|latter|letzten|derni\w+|últim\w+)\s+"
    rf"(?P<count2>\d{{1,3}}|[a-zäöüéèñ-]{{3,20}})",
    re.IGNORECASE,
)
# "10 of them free", "first ten full, then declining", "(10 full)", "12 years free of charge".
_FIRST = re.compile(
    rf"\b(?:(?:the|die|les|los)?\s*(?:first|initial|ersten|premi\w+|primer\w+)\s+)?{_COUNT}{_UNIT}{_LINK}"
    r"(?:full|free|unconditional|non-?prorated|without charge|no charge|kostenlos|kostenfrei|voll|gratuit\w*|pleins?|gratis|sin cargo)\b",
    re.IGNORECASE,
)
# "Prorated after ten years", "declining from year 11", "from the 9th year at a share".
_BEGINNING = (
    r"(?:(?P<from>from|beginning (?:in|with)|starting (?:in|with)|ab|dès|à partir de|desde|a partir de)\s+(?:the|dem|la|el|l['’])?\s*(?:year|jahr|año|année)?\s*"
    r"|(?:after|beyond|past|nach|après|tras|después de)\s+(?:the|den|dem|los|les)?\s*(?:year|first|ersten|primeros|premières?)?\s*)"
)
_ORDINAL = r"(?:st|nd|rd|th|\.|º|ª|e|er|ère|ème)?"
_AFTER = (
    re.compile(rf"{_DECLINING}\s*,?\s*{_BEGINNING}{_COUNT}{_ORDINAL}{_UNIT}", re.IGNORECASE),
    re.compile(rf"\b{_BEGINNING}{_COUNT}{_ORDINAL}{_UNIT}\s*(?:onwards?|on|an)?{_LINK}{_DECLINING}", re.IGNORECASE),
)
_HALF = re.compile(
    rf"\b(?:second|last|other) half{_LINK}{_DECLINING}|\bhalf{_LINK}{_DECLINING}|\bfirst half\s+(?:full|free)\b",
    re.IGNORECASE,
)


def free_months(text: str, total: Decimal, style: NumberStyle) -> tuple[Decimal, int, int] | None:
    """The months free of charge in a cell that promises `total` months, and where the words stand; None where all or none is said."""
    for pattern, count in ((_LAST, _from_last), *((one, _from_after) for one in _AFTER), (_FIRST, _from_first)):
        for match in pattern.finditer(text):
            free = count(match, total, style)
            if free is not None and 0 < free < total:
                return free, match.start(), match.end()
    half = _HALF.search(text)
    return (total / 2, half.start(), half.end()) if half else None


def _months(match: re.Match[str], style: NumberStyle, *, group: str = "count") -> Decimal | None:
    number = number_in(match.group(group), style)
    if number is None:
        found = list(numbers(parse(match.group(group)), style))
        number = found[0] if len(found) == 1 else None
    if number is None:
        return None
    unit = (match.groupdict().get("unit") or "years").lower()
    value = Decimal(number.value.numerator) / Decimal(number.value.denominator)
    return value * (1 if unit[:2] in ("mo", "me") else 12)


def _from_last(match: re.Match[str], total: Decimal, style: NumberStyle) -> Decimal | None:
    tail = _months(match, style, group="count" if match.group("count") else "count2")
    return total - tail if tail is not None else None


def _from_after(match: re.Match[str], total: Decimal, style: NumberStyle) -> Decimal | None:
    months = _months(match, style)
    return months - 12 if months is not None and match.group("from") else months


def _from_first(match: re.Match[str], total: Decimal, style: NumberStyle) -> Decimal | None:
    return _months(match, style)
