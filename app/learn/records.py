"""How each pattern of the reader has fared: what it proposed, and what people made of that."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from firstcap.app.confirm.clauses import ClauseFamily, clause_lines
from firstcap.app.confirm.core import confirmed_as_a_whole, holding
from firstcap.app.confirm.second import INSTALL, TERM_FIELDS, value_of
from firstcap.schema.decisions import Decision
from firstcap.schema.errors import UsageError
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DecisionAction, TermState
from firstcap.store.catalogue import Catalogue, StoredTerm
from firstcap.store.contents import Contents

LEVEL = 0.95  # of the interval
_LISTS = {"limit": "limits", "start": "starts", "band": "bands", "credit": "credits"}


class Fate(StrEnum):
    """What became of something a pattern proposed. The order is that of weight: one wrong value makes it corrected."""

    STRUCK = "struck"
    CORRECTED = "corrected"
    CONFIRMED = "confirmed"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class PatternRecord:
    """One pattern. `proposed` counts items (terms, documents' facts, clauses) it had a part in, decided or not.

    `low` to `high` is Wilson's interval, at 95 %, of the share of decided ones that were confirmed; None where none is.
    Sizes of one table are read with the same patterns and are right or wrong together, so the interval is too narrow
    where a few tables make up the record.
    """

    pattern: str
    proposed: int
    confirmed: int
    corrected: int
    struck: int
    low: float | None = None
    high: float | None = None

    @property
    def decided(self) -> int:
        return self.confirmed + self.corrected + self.struck


def pattern_records(catalogue: Catalogue) -> list[PatternRecord]:
    """The record of every pattern of the latest readings, most decided first. Needs the extra `statistics` (SciPy).

    UsageError says how to install it.
    """
    found: dict[str, Counter[Fate]] = defaultdict(Counter)
    for pattern, fate in _fates(catalogue):
        found[pattern][fate] += 1
    records = []
    for pattern, fates in found.items():
        confirmed, corrected, struck = fates[Fate.CONFIRMED], fates[Fate.CORRECTED], fates[Fate.STRUCK]
        low, high = wilson(confirmed, confirmed + corrected + struck)
        records.append(PatternRecord(pattern, fates.total(), confirmed, corrected, struck, low, high))
    return sorted(records, key=lambda one: (-one.decided, -one.proposed, one.pattern))


def wilson(right: int, decided: int) -> tuple[float | None, float | None]:
    """Wilson's score interval of a share at LEVEL (Wilson 1927), from SciPy; None where nothing is decided."""
    if not decided:
        return None, None
    try:
        from scipy.stats import binomtest
    except ImportError as problem:
        raise UsageError(f"intervals are counted by SciPy; {INSTALL}") from problem
    interval = binomtest(right, decided).proportion_ci(confidence_level=LEVEL, method="wilson")
    return float(interval.low), float(interval.high)


def _fates(catalogue: Catalogue) -> Iterator[tuple[str, Fate]]:
    """Each pattern once for each item it had a part in."""
    log = catalogue.decisions()
    held, whole = holding(log), confirmed_as_a_whole(log)
    by_item: dict[str, list[Decision]] = defaultdict(list)
    for act in held:
        by_item[act.item_id].append(act)
    for stored in catalogue.terms():
        if stored.proposal is not None:
            yield from _worst(term_fates(stored, stored.term_id in whole, by_item[stored.term_id]))
    for document_id, contents in catalogue.contents().items():
        yield from _fact_fates(contents, document_id in whole, by_item[document_id])
        yield from _clause_fates(contents, by_item[document_id])


def _worst(fates: Iterable[tuple[str, Fate]]) -> Iterator[tuple[str, Fate]]:
    order = list(Fate)
    worst: dict[str, Fate] = {}
    for pattern, fate in fates:
        worst[pattern] = min(fate, worst.get(pattern, fate), key=order.index)
    yield from worst.items()


def term_fates(stored: StoredTerm, whole: bool, acts: Sequence[Decision]) -> Iterator[tuple[str, Fate]]:
    """Pattern and fate for every value of a term's latest proposal."""
    proposal = stored.proposal
    assert proposal is not None
    confirmed = {act.field for act in acts if act.action is DecisionAction.CONFIRM}
    for one in proposal.evidence:
        if not one.pattern:
            continue
        if stored.state is TermState.STRUCK:
            yield one.pattern, Fate.STRUCK
        elif stored.state is not TermState.PROPOSED and _differs(proposal, stored.term, one.field):
            yield one.pattern, Fate.CORRECTED
        else:
            looked_at = whole or one.field in confirmed
            yield one.pattern, Fate.CONFIRMED if looked_at else Fate.OPEN


def _differs(proposal: Term, standing: Term, field: str) -> bool:
    """Was the value that a field of the evidence is about changed? The evidence of the whole is about all of them."""
    if field in TERM_FIELDS:
        return value_of(proposal, field) != value_of(standing, field)
    name, _, turn = field.partition(".")
    if name in _LISTS and turn.split(".")[0].isdecimal():
        place = int(turn.split(".")[0]) - 1
        before, after = (_members(term, _LISTS[name]) for term in (proposal, standing))
        return before[place : place + 1] != after[place : place + 1]
    if field.endswith("_text"):
        return False
    return any(value_of(proposal, one) != value_of(standing, one) for one in TERM_FIELDS)


def _members(term: Term, field: str) -> list[str]:
    return [value_of(term.model_copy(update={field: (one,)}), field) for one in getattr(term, field)]


def _fact_fates(contents: Contents, whole: bool, acts: Sequence[Decision]) -> Iterator[tuple[str, Fate]]:
    corrected = {act.field for act in acts if act.action is DecisionAction.CORRECT}
    confirmed = {act.field for act in acts if act.action is DecisionAction.CONFIRM}
    for one in contents.facts.evidence:
        if one.pattern:
            seen = Fate.CONFIRMED if whole or one.field in confirmed else Fate.OPEN
            yield one.pattern, Fate.CORRECTED if one.field in corrected else seen


def _clause_fates(contents: Contents, acts: Sequence[Decision]) -> Iterator[tuple[str, Fate]]:
    fates = {
        DecisionAction.CONFIRM: Fate.CONFIRMED,
        DecisionAction.CORRECT: Fate.CORRECTED,
        DecisionAction.STRIKE: Fate.STRUCK,
    }
    for family in ClauseFamily:
        for line in clause_lines(contents, acts, family):
            if line.decided is not None and line.decided.action is DecisionAction.ADD:
                continue
            fate = fates[line.decided.action] if line.decided is not None else Fate.OPEN
            yield from ((pattern, fate) for pattern in {one.pattern for one in line.clause.evidence if one.pattern})
