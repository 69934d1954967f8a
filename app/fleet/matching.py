"""Names of suppliers and products in a list of meters, matched to the catalogue by likeness; a person says yes once.

The same spelling but for case, marks and the form of the company is taken as the same name. Anything else is proposed
with its score, shown, and remembered with who said so and when. Scores are RapidFuzz's: 100 is the same.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum

from rapidfuzz import fuzz, process, utils

from firstcap.store.catalogue import Catalogue
from firstcap.store.names import (
    PRODUCT,
    SUPPLIER,
    Line,
    NameMatch,
    Written,
    catalogue_lines,
    remember,
    written_names,
)

SAME_SPELLING = "same spelling"
LEAST = 55.0  # below this nothing is proposed
NEAR, LEAD = 85.0, 5.0  # `near` takes what scores at least so much and leads by so much
_MOST = 5
# The forms of companies: common practice of business names, no list of anybody's.
_FORMS = "inc incorporated llc ltd limited co company corp corporation plc gmbh ag sa srl lp pty the".split()


class Names(StrEnum):
    ASK = "ask"
    NEAR = "near"
    SAME = "same"


@dataclass(frozen=True)
class Proposal:
    """A name that is open, and what it may stand for, the likeliest first; `meters` have it."""

    kind: str
    supplier_written: str
    product_written: str | None
    meters: int
    choices: tuple[NameMatch, ...]

    @property
    def written(self) -> str:
        return self.product_written if self.product_written is not None else self.supplier_written

    @property
    def clear(self) -> NameMatch | None:
        """The first choice, where it is near and leads."""
        if not self.choices or (self.choices[0].score or 0) < NEAR:
            return None
        lead = (self.choices[0].score or 0) - (self.choices[1].score or 0) if len(self.choices) > 1 else LEAD
        return self.choices[0] if lead >= LEAD else None


# Says what an open name stands for; None leaves it open.
Answer = Callable[[Proposal], NameMatch | None]


def match_names(catalogue: Catalogue, reviewer: str, answer: Answer) -> tuple[Proposal, ...]:
    """Match what is open: same spellings by themselves, the rest as `answer` says. Returns what stays open."""
    lines = catalogue_lines(catalogue)
    left: list[Proposal] = []
    for propose in (_suppliers, _products):  # a product is looked for among its supplier's, so suppliers come first
        proposals = propose(written_names(catalogue), lines)
        same = [one.choices[0] for one in proposals if one.choices and one.choices[0].score == _SAME]
        remember(catalogue, SAME_SPELLING, same)
        said: list[NameMatch] = []
        for proposal in proposals:
            if proposal.choices and proposal.choices[0].score == _SAME:
                continue
            match = answer(proposal)
            if match is None:
                left.append(proposal)
            else:
                said.append(match)
        remember(catalogue, reviewer, said)
    return tuple(left)


_SAME = 100.0
_ALMOST = 99.0  # the most that a likeness scores which is not the same spelling


def take_near(proposal: Proposal) -> NameMatch | None:
    return proposal.clear


def take_none(proposal: Proposal) -> NameMatch | None:
    return None


def no_match(proposal: Proposal) -> NameMatch:
    """Nothing in the catalogue is meant; remembered too, so that nobody is asked again."""
    supplier = None if proposal.kind == SUPPLIER else next((one.supplier for one in proposal.choices), None)
    return NameMatch(proposal.kind, proposal.supplier_written, proposal.product_written, supplier)


def shown(match: NameMatch) -> str:
    """What a match names, for a person."""
    if match.kind == SUPPLIER:
        return match.supplier or "nothing in the catalogue"
    return match.told or match.form or "nothing in the catalogue"


def plain(name: str) -> str:
    """A name without case, marks and the form of the company.

    >>> plain("Larkfathom Flow Apparatus, Inc.")
    'larkfathom flow apparatus'
    """
    words = utils.default_process(name.replace("'", "").replace("’", "")).split()
    return " ".join(word for word in words if word not in _FORMS) or " ".join(words)


def likeness(one: str, other: str) -> float:
    """0 to 100; 100 only for the same spelling but for case, marks and the form of the company."""
    left, right = plain(one), plain(other)
    if left == right and left:
        return _SAME
    score = max(fuzz.WRatio(left, right), fuzz.ratio(left.replace(" ", ""), right.replace(" ", "")))
    return round(min(score, _ALMOST), 1)


def _suppliers(written: Sequence[Written], lines: Sequence[Line]) -> list[Proposal]:
    known = list(dict.fromkeys(line.supplier for line in lines))
    counts: dict[str, int] = {}
    shown: dict[str, str] = {}
    for name in written:
        if name.why_not == "supplier_not_matched":
            key = name.supplier_written.lower()
            shown.setdefault(key, name.supplier_written)
            counts[key] = counts.get(key, 0) + name.meters
    proposals = []
    for key, meters in counts.items():
        found = process.extract(shown[key], known, scorer=_scored, limit=_MOST, score_cutoff=LEAST)
        choices = tuple(NameMatch(SUPPLIER, shown[key], None, name, score=score) for name, score, _ in found)
        proposals.append(Proposal(SUPPLIER, shown[key], None, meters, choices))
    return proposals


def _scored(one: str, other: str, *, score_cutoff: float | None = None, **_: object) -> float:
    return likeness(one, other)


def _products(written: Sequence[Written], lines: Sequence[Line]) -> list[Proposal]:
    """Products of suppliers that have several lines. Where a supplier has one line there is nothing to choose."""
    proposals = []
    seen: set[tuple[str, str]] = set()
    for name in written:
        own = [line for line in lines if line.supplier == name.supplier]
        key = (name.supplier_written.lower(), (name.product_written or "").lower())
        if name.supplier is None or name.product_written is None or len(own) < 2 or key in seen or name.product_said:
            continue
        seen.add(key)
        choices = tuple(_choices(name, own))
        proposals.append(Proposal(PRODUCT, name.supplier_written, name.product_written, name.meters, choices))
    return proposals


def _choices(name: Written, own: Iterable[Line]) -> list[NameMatch]:
    assert name.product_written is not None
    scored = []
    for line in own:
        score = max((likeness(name.product_written, word) for word in line.words), default=0.0)
        scored.append((score, line))
    scored.sort(key=lambda one: (-one[0], one[1].form, one[1].product or ""))
    return [
        NameMatch(
            PRODUCT,
            name.supplier_written,
            name.product_written,
            line.supplier,
            line.form,
            line.product,
            score,
            " · ".join(line.words[:3]),
        )
        for score, line in scored[:_MOST]
        if score >= LEAST or len(scored) <= _MOST
    ]
