"""Duties of a claim: what whoever claims must do, with the days in which, and what the supplier does with it."""

from collections.abc import Collection, Iterator, Sequence

from firstcap.extract.freight import freight_in
from firstcap.extract.numbers import numbers
from firstcap.extract.patterns import duty
from firstcap.extract.patterns.clause import ClauseHit
from firstcap.extract.stated import Found, Sentence
from firstcap.schema.vocabulary import DutyKind


def duties_in(sentence: Sentence, languages: Collection[str]) -> Iterator[Found]:
    span, doc = sentence.span, sentence.doc
    window = [(span.start, span.end)]
    strange = {hit.row.kind for hit in duty.STRANGERS.find(doc, languages, window)}
    for hit in duty.DUTIES.find(doc, languages, window):
        kind = hit.row.kind
        if kind is DutyKind.WRITTEN_NOTICE:
            if kind in strange:
                continue
            days = _days(sentence)
            yield Found(kind, hit.row.name, sentence, hit.start, days, weight=_notice_weight(hit, days))
        elif kind in (DutyKind.TEST_BY_STANDARD, DutyKind.TEST_BY_SUPPLIER):
            if DutyKind.TEST_BY_SUPPLIER not in strange:
                yield Found(kind, hit.row.name, sentence, hit.start)
        else:
            yield Found(kind, hit.row.name, sentence, hit.start)
    for kind, pattern in freight_in(sentence, languages):
        yield Found(kind, pattern, sentence, span.start_char)


_DAYS = frozenset("day days dia dias jour jours tag tage tagen".split())
_WEEKS = frozenset("week weeks semana semanas semaine semaines woche wochen".split())
_DISCOVERY = (
    "discover", "notice", "find", "found", "detect", "learn", "appear", "occur", "fail", "defect", "fault",
    "know", "known", "aware", "light",
    "removal", "descub", "hallaz", "decouv", "constat", "entdeck", "kenntnis", "date",
)  # fmt: skip


_NOTICE = frozenset("notification notice receipt written".split())


def _notified(ahead: Sequence[str]) -> bool:
    """Whether a period runs from the notice itself; "of coming to notice" is discovery."""
    return any(word in _NOTICE and ahead[index - 1 : index] != ["to"] for index, word in enumerate(ahead))


def _days(sentence: Sentence) -> int | None:
    """Days in which notice must be given: of several, the one that words of discovery follow; a week is seven."""
    span, doc = sentence.span, sentence.doc
    best: tuple[int, int] | None = None
    if any(token.norm_ == "fortnight" for token in span):
        best = (1, 14)
    for number in numbers(doc):
        if not (span.start <= number.start and number.end <= span.end) or number.value.denominator != 1:
            continue
        after = [
            token.norm_ for token in doc[number.end : min(number.end + 4, span.end)] if token.text not in (")", "-")
        ]
        unit = next((word for word in after[:3] if word in _DAYS or word in _WEEKS), None)
        if unit is None:
            continue
        ahead = [token.norm_ for token in doc[number.end : min(number.end + 7, span.end)]]
        if _notified(ahead) and "customer" not in ahead:
            continue  # "within ten days of notification" is the supplier's time
        later = [token.norm_ for token in doc[number.end : min(number.end + 14, span.end)]]
        near = sum(any(word.startswith(stem) for stem in _DISCOVERY) for word in later)
        value = int(number.value) * (7 if unit in _WEEKS else 1)
        if best is None or (near > 0) > (best[0] > 0):
            best = (near, value)
    return best[1] if best else None


def _notice_weight(hit: ClauseHit, days: int | None) -> int:
    return (2 if days is not None else 0) + (1 if hit.row.name != "notice.days" else 0)
