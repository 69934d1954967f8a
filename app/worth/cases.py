"""Claims by supplier: what is claimable and not yet claimed, what the documents ask of a claim, what is owed."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from firstcap.app.report.page import field_name
from firstcap.app.report.paper import Place
from firstcap.app.report.rows import DocumentRow
from firstcap.app.worth.bench import BenchResult
from firstcap.app.worth.prices import price_for
from firstcap.schema.claims import Call, ClaimAction
from firstcap.schema.fleet import COUNTED_FROM
from firstcap.schema.vocabulary import DutyKind, TermState
from firstcap.store.catalogue import Catalogue, StoredTerm
from firstcap.store.claims import ClaimAct, LoggedAct

SETTLED = frozenset({ClaimAction.SENT, ClaimAction.PAID, ClaimAction.REFUSED})


@dataclass(frozen=True)
class Clause:
    """A duty or an exclusion of one document in its own words; `days` of a notice."""

    document_id: str
    family: str
    kind: str
    quote: str | None
    days: int | None
    state: str
    places: tuple[Place, ...]


@dataclass(frozen=True)
class Claim:
    """A meter that can be claimed. `credit` is in money; `before` the last act of the log on it, if any."""

    result: BenchResult
    term: StoredTerm
    price: Fraction | None
    notice_days: int | None
    before: LoggedAct | None = None

    @property
    def pays(self) -> Fraction | None:
        return self.result.pays

    @property
    def credit(self) -> Fraction | None:
        return None if self.price is None or self.pays is None else self.price * (1 - self.pays)

    @property
    def notice_by(self) -> date | None:
        """The last day for notice, counted from the test, which is when the failure was found."""
        return None if self.notice_days is None else self.result.tested_on + timedelta(days=self.notice_days)

    @property
    def claimed_before(self) -> bool:
        return self.before is not None and self.before.action in SETTLED

    @property
    def unconfirmed(self) -> bool:
        return self.term.state is TermState.PROPOSED

    @property
    def may_have_begun_earlier(self) -> bool:
        """Counted from manufacture or purchase, for which the list has no date of its own."""
        term = self.term.term
        events = [term.start_event, *(one.event for one in term.starts), *(one.start_event for one in term.limits)]
        return any(event is not None and COUNTED_FROM[event].may_be_earlier for event in events)

    def act(self, action: ClaimAction, note: str | None = None) -> ClaimAct:
        """What the log keeps of an act on this claim."""
        test, finding = self.result.worst
        assert self.result.meter is not None
        return ClaimAct(
            action=action,
            supplier=self.result.meter.supplier,
            meter_id=self.result.meter_id,
            term_id=self.term.term_id,
            document_id=self.term.document_id,
            tested_on=self.result.tested_on,
            flow_usgpm=float(test.flow),
            registered_pct=float(finding.run.registration),
            credit_pct=None if self.pays is None else float(100 * (1 - self.pays)),
            note=note,
        )


@dataclass(frozen=True)
class Case:
    """All that concerns one supplier: claims to make, those claimed before and left out, results too close to call."""

    supplier: str
    documents: tuple[DocumentRow, ...]
    claims: tuple[Claim, ...]
    left_out: tuple[Claim, ...]
    close: tuple[BenchResult, ...]
    duties: tuple[Clause, ...]
    exclusions: tuple[Clause, ...]
    places: Mapping[str, tuple[Place, ...]]

    @property
    def credit(self) -> Fraction | None:
        """Of the claims whose price and share are known; None where none is."""
        known = [claim.credit for claim in self.claims if claim.credit is not None]
        return sum(known, Fraction(0)) if known else None

    @property
    def notice_by(self) -> date | None:
        return min((claim.notice_by for claim in self.claims if claim.notice_by), default=None)

    @property
    def terms(self) -> tuple[StoredTerm, ...]:
        """The promises claimed on, each once."""
        return tuple({claim.term.term_id: claim.term for claim in self.claims}.values())


def cases_of(
    catalogue: Catalogue,
    results: Sequence[BenchResult],
    log: Iterable[LoggedAct],
    prices: Mapping[str, Fraction],
    *,
    again: bool = False,
) -> list[Case]:
    """One case a supplier that has a claim or a result too close to call; by supplier's name.

    A meter tested on several days is claimed once on a promise, by its first test that shows it. `again`: also what was
    claimed before.
    """
    last = {(act.meter_id, act.term_id): act for act in log}
    documents = _documents(catalogue)
    clauses = _clauses(catalogue, documents)
    claims: dict[str, dict[tuple[str, str], Claim]] = defaultdict(dict)
    close: dict[str, list[BenchResult]] = defaultdict(list)
    for result in sorted(results, key=lambda one: (one.tested_on, one.meter_id)):
        if result.meter is None:
            continue
        if result.call is Call.TOO_CLOSE:
            close[result.meter.supplier].append(result)
        term = result.term
        if result.call is not Call.CLAIMABLE or term is None:
            continue
        days = [c.days for c in clauses if c.document_id == term.document_id and c.kind == DutyKind.WRITTEN_NOTICE]
        key = (result.meter_id, term.term_id)
        claim = Claim(
            result,
            term,
            price_for(prices, result.meter.size),
            min((one for one in days if one is not None), default=None),
            last.get(key),
        )
        claims[result.meter.supplier].setdefault(key, claim)
    found = []
    for supplier in sorted({*claims, *close}, key=str.casefold):
        held = list(claims[supplier].values())
        made = [claim for claim in held if again or not claim.claimed_before]
        ids = list(dict.fromkeys(claim.term.document_id for claim in made or held))
        found.append(
            Case(
                supplier,
                tuple(documents[one] for one in ids),
                tuple(made),
                tuple(claim for claim in held if claim.claimed_before and not again),
                tuple(close[supplier]),
                tuple(one for one in clauses if one.document_id in ids and one.family == "duty"),
                tuple(one for one in clauses if one.document_id in ids and one.family == "exclusion"),
                _places(catalogue, made, documents),
            )
        )
    return found


def _documents(catalogue: Catalogue) -> dict[str, DocumentRow]:
    names = "document_id, file_name, supplier, title, document_code, revision, effective_from, pages, region, status"
    rows = catalogue.rows(f"SELECT {names} FROM documents")
    return {str(row["document_id"]): DocumentRow(**row) for row in rows}  # type: ignore[arg-type]


_CLAUSES = """
SELECT c.family, c.document_id, c.kind, c.days, c.quote, c.state, e.page FROM clauses AS c
LEFT JOIN (SELECT item_id, field, min(page) AS page FROM evidence GROUP BY ALL) AS e
  ON e.item_id = c.document_id AND e.field = c.family || '.' || c.kind
WHERE c.state <> 'struck' AND c.family IN ('duty', 'exclusion')
ORDER BY c.document_id, c.family, c.kind, c.clause_no
"""


def _clauses(catalogue: Catalogue, documents: Mapping[str, DocumentRow]) -> list[Clause]:
    found = []
    for row in catalogue.rows(_CLAUSES):
        document_id, family, kind = str(row["document_id"]), str(row["family"]), str(row["kind"])
        quote = None if row["quote"] is None else str(row["quote"])
        days = None if row["days"] is None else int(str(row["days"]))
        places: tuple[Place, ...] = ()
        if row["page"] is not None and document_id in documents:
            page, name = int(str(row["page"])), documents[document_id].file_name
            places = (Place(name, page, quote, document_id, f"{family}.{kind}", family),)
        found.append(Clause(document_id, family, kind, quote, days, str(row["state"]), places))
    return found


_EVIDENCE = """
SELECT item_id, field, page, quote FROM evidence
WHERE item_id IN (SELECT unnest(?::VARCHAR[])) AND quote IS NOT NULL AND page IS NOT NULL
  AND field NOT IN ('component', 'size_label', 'meter_type', 'product', 'variant', 'promise')
ORDER BY item_id, field <> 'quote', field, page, top_pt, x0_pt
"""


def _places(
    catalogue: Catalogue, claims: Sequence[Claim], documents: Mapping[str, DocumentRow]
) -> dict[str, tuple[Place, ...]]:
    """Where each promise claimed on stands: its whole sentence or row first, then its values."""
    home = {claim.term.term_id: claim.term.document_id for claim in claims}
    found: dict[str, dict[Place, None]] = defaultdict(dict)
    for row in catalogue.rows(_EVIDENCE, [sorted(home)]):
        term = str(row["item_id"])
        field = str(row["field"])
        place = Place(
            documents[home[term]].file_name, int(str(row["page"])), str(row["quote"]), term, field, field_name(field)
        )
        found[term][place] = None
    return {term: _telling(places) for term, places in found.items()}


_NUMBERS = ("duration", "full_months", "volume_cap", "limit.")


def _telling(places: Iterable[Place]) -> tuple[Place, ...]:
    """Without the single numbers, where the whole sentence or row that holds them is there."""
    held = tuple(places)
    if not any(place.field == "quote" for place in held):
        return held
    return tuple(place for place in held if not place.field.startswith(_NUMBERS))
