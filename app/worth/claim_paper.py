"""What was made of the bench tests, as a report over all suppliers and as the enclosure of one supplier's claim."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence
from datetime import date
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.paper import (
    CAUTIONS,
    NOTHING,
    SILENT,
    Cell,
    Column,
    Mark,
    Paper,
    Part,
    Section,
    Status,
    Table,
    columns,
    confirmation,
    state_cell,
)
from firstcap.app.report.rows import DocumentRow
from firstcap.app.worth import claim_words as told
from firstcap.app.worth.bench import BenchResult, BenchTest, beyond_by
from firstcap.app.worth.cases import Case, Claim, Clause
from firstcap.app.worth.prices import money
from firstcap.schema.claims import Call
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DutyKind, Ends, TermState
from firstcap.worth.claims import Finding

CLAIM_CAUTIONS = (
    "A claim is a legal act. This program prepares it; a person reads the signed document, decides and signs.",
    *CAUTIONS,
)
ASSUMPTIONS = (
    "The promise that counts is that of the edition in force when the meter was shipped, as far as it was in force on "
    "the day of the test at the registration then.",
    "Limits belong to the band: a result on a limit passes (common practice).",
    "A result counts as outside only where it lies beyond the limit by more than its expanded uncertainty (coverage "
    "factor 2); where a limit lies within the uncertainty it is too close to call.",
    "One flow that fails makes a claim; runs of one day at one flow that differ are too close to call.",
    "Discovery, from which days of notice are counted, is the day of the test.",
)
SOURCES = (
    "Guard bands with a statement that is not only pass or fail: ILAC-G8:09/2019, 4.2; conformance probability: JCGM "
    "106:2012, 7 (text from memory, see docs/claims.md).",
)
_MARKS = {
    Call.CLAIMABLE: Mark.GOOD,
    Call.NOT_CLAIMABLE: Mark.PLAIN,
    Call.TOO_CLOSE: Mark.FLAG,
    Call.CANNOT_TELL: Mark.FLAG,
}


def claims_paper(
    results: Sequence[BenchResult],
    cases: Sequence[Case],
    problems: Table | None,
    *,
    on: date,
    currency: str,
    assumed_uncertainty: Fraction | None,
    include_proposed: bool,
) -> Paper:
    """The report over all tests; `problems` are the lines of the list that could not be used."""
    sections = [Section("By supplier", (_by_supplier(cases, on, currency),)), _meters(results, cases, currency)]
    sections.append(Section("Runs", (_runs([(r, t, f) for r in results for t, f in r.runs]),)))
    for case in cases:
        if case.claims:
            sections.append(Section(f"What a claim on {case.supplier} must carry", (checklist(case, on),)))
    if problems is not None and problems.rows:
        sections.append(Section("Lines that could not be used", (problems,)))
    made = sum(len(case.claims) for case in cases)
    left = sum(len(case.left_out) for case in cases)
    statuses = [
        Status(f"{words.counted(made, 'meter')} claimable of {len(results)} tested; {_calls(results)}."),
        _confirmed(results, include_proposed),
    ]
    if left:
        statuses.append(Status(f"{left} left out: claimed before, see the log (--again shows them too).", open=True))
    statuses += _uncertainty(results, assumed_uncertainty)
    if problems is not None and problems.rows:
        count = words.counted(len(problems.rows), "fault")
        statuses.append(Status(f"{count} in the list of tests, shown with their lines below.", open=True))
    return Paper(
        kind="claims",
        title="Bench tests and claims",
        lead=f"What each meter registered against what was promised at that flow on the day of the test. As of {on}.",
        statuses=tuple(statuses),
        sections=tuple(sections),
        cautions=CLAIM_CAUTIONS,
        sources=SOURCES,
        assumptions=ASSUMPTIONS,
    )


def _calls(results: Sequence[BenchResult]) -> str:
    order = list(Call)
    other = sorted((r for r in results if r.call is not Call.CLAIMABLE), key=lambda result: order.index(result.call))
    counts = Counter(map(told.call_words, other))
    return "; ".join(f"{count} {name}" for name, count in counts.items()) or "nothing else"


def _confirmed(results: Sequence[BenchResult], include_proposed: bool) -> Status:
    terms = {term.term_id: term.state for r in results if r.meter for term in r.meter.terms}
    if not terms and not include_proposed:
        return Status("No confirmed promise is held for these meters (--include-proposed takes others too).", open=True)
    return confirmation(sum(state is TermState.PROPOSED for state in terms.values()), len(terms))


def _uncertainty(results: Sequence[BenchResult], assumed: Fraction | None) -> list[Status]:
    runs = [(test, finding) for result in results for test, finding in result.runs]
    bare = sum(finding.run.uncertainty is None for _, finding in runs)
    if bare:
        text = "without an uncertainty, judged as if exact: a result near a limit may be disputed (--uncertainty)."
        return [Status(f"{words.counted(bare, 'run')} {text}", open=True)]
    taken = sum(test.uncertainty is None for test, _ in runs)
    if taken and assumed is not None:
        return [Status(f"An uncertainty of ±{told.number(assumed)} points is taken for {words.counted(taken, 'run')}.")]
    return []


def _unknown(amount: Fraction | None, currency: str) -> Cell:
    return Cell("price not given", mark=Mark.SILENT) if amount is None else Cell(money(amount, currency), amount)


def _day(day: date | None) -> Cell:
    return NOTHING if day is None else Cell(day.isoformat())


def _notice(day: date | None, on: date) -> Cell:
    if day is None:
        return SILENT
    if day < on:
        return Cell(day.isoformat(), mark=Mark.BAD, more=f"passed {words.counted((on - day).days, 'day')} ago")
    return Cell(day.isoformat(), more=f"{words.counted((day - on).days, 'day')} left")


def _by_supplier(cases: Sequence[Case], on: date, currency: str) -> Table:
    rows = []
    for case in cases:
        rows.append(
            (
                Cell(case.supplier),
                Cell(str(len(case.claims)), len(case.claims)),
                Cell(str(len(case.close)), len(case.close)),
                _unknown(case.credit, currency),
                _notice(case.notice_by, on),
                Cell(str(len(case.left_out)), len(case.left_out)),
                Cell(", ".join(edition(document) for document in case.documents) or "—"),
            )
        )
    head = columns(
        ("supplier", "Supplier"),
        ("claimable", "Claimable", "meters"),
        ("too_close", "Too close to call", "meters"),
        ("credit", "Credit due", currency),
        ("notice_by", "First notice by"),
        ("claimed_before", "Claimed before", "meters"),
        ("edition", "Edition"),
    )
    return Table("claims-suppliers", "What there is to claim", head, tuple(rows))


def edition(document: DocumentRow) -> str:
    """ "W-410 Rev. C"."""
    parts = (document.document_code, f"Rev. {document.revision}" if document.revision else None)
    return " ".join(filter(None, parts)) or "without a code"


def _spread(uncertainty: Fraction | None) -> Cell:
    return SILENT if uncertainty is None else Cell(f"±{told.number(uncertainty)}", uncertainty)


def _meters(results: Sequence[BenchResult], cases: Sequence[Case], currency: str) -> Section:
    claims = {(c.result.meter_id, c.result.tested_on): c for case in cases for c in (*case.claims, *case.left_out)}
    order = list(Call)
    rows = []
    for result in sorted(results, key=lambda one: (order.index(one.call), one.meter_id, one.tested_on)):
        claim = claims.get((result.meter_id, result.tested_on))
        meter, term = result.meter, result.term
        rows.append(
            (
                Cell(result.meter_id),
                Cell(meter.supplier, more=meter.product) if meter else NOTHING,
                Cell(meter.size) if meter and meter.size else NOTHING,
                _day(result.tested_on),
                Cell(told.call_words(result), mark=_MARKS.get(result.call, Mark.PLAIN)),
                Cell(told.reason_of(result)),
                state_cell(term.state) if term else NOTHING,
                _share(claim.pays) if claim else NOTHING,
                _unknown(claim.credit, currency) if claim else NOTHING,
                _day(claim.notice_by) if claim else NOTHING,
                _before(claim) if claim else NOTHING,
            )
        )
    head = columns(
        ("meter_id", "Meter"),
        ("supplier", "Supplier"),
        ("size", "Size"),
        ("tested_on", "Tested on"),
        ("call", "Result"),
        ("why", "Why"),
        ("state", "State of the promise"),
        ("customer_pays", "Customer pays", "%"),
        ("credit", "Credit due", currency),
        ("notice_by", "Notice by"),
        ("before", "Log"),
    )
    return Section("Meters", (Table("claims-meters", "Each meter tested", head, tuple(rows)),))


def _share(share: Fraction | None) -> Cell:
    return SILENT if share is None else Cell(told.per_cent(100 * share), 100 * share)


def _before(claim: Claim) -> Cell:
    act = claim.before
    return NOTHING if act is None else Cell(f"{act.action}, {act.acted_at:%Y-%m-%d}, {act.reviewer}", more=act.note)


def _runs(runs: Sequence[tuple[BenchResult, BenchTest, Finding]]) -> Table:
    rows = []
    for result, test, finding in runs:
        by, run = finding.by, finding.run
        rows.append(
            (
                Cell(result.meter_id),
                _day(result.tested_on),
                Cell(told.flow(run.flow).removesuffix(" gpm"), run.flow),
                Cell(told.number(run.registration), run.registration),
                _spread(run.uncertainty),
                Cell(told.band(by.band), more=told.level(by)) if by else NOTHING,
                Cell(told.CALLS[finding.call], mark=_MARKS.get(finding.call, Mark.PLAIN)),
                _chance(by.chance_outside) if by else NOTHING,
                Cell(str(test.line), test.line),
            )
        )
    head = columns(
        ("meter_id", "Meter"),
        ("tested_on", "Tested on"),
        ("flow", "Flow", "gpm"),
        ("registered", "Registered", "%"),
        ("uncertainty", "Uncertainty", "points"),
        ("promised", "Promised"),
        ("call", "Result"),
        ("outside", "Chance that it is outside", "%"),
        ("line", "Line of the list"),
    )
    return Table("claims-runs", "Each run on the bench", head, tuple(rows), compact=True)


def _chance(chance: float) -> Cell:
    percent = round(100 * chance, 1)
    return Cell(f"{percent:g} %", Fraction(str(percent)))


def checklist(case: Case, on: date) -> Table:
    """What the documents ask of a claim, with the day by which, and what stands there; the same words once."""
    rows = []
    for held in _together(case.duties, lambda clause: (clause.kind, clause.quote)):
        kind = DutyKind(held[0].kind)
        rows.append(
            (
                Cell("☐"),
                Cell(words.capital(words.duty(kind)), places=tuple(place for one in held for place in one.places)),
                Cell(told.TO_DO[kind]),
                _notice_of(case, held, on) if kind is DutyKind.WRITTEN_NOTICE else NOTHING,
                _state(held),
                Cell(f"“{held[0].quote}”") if held[0].quote else SILENT,
            )
        )
    asked = {clause.kind for clause in case.duties}
    silent = [words.duty(kind) for kind in DutyKind if kind not in asked and kind is not DutyKind.OTHER]
    note = f"The documents do not speak of: {'; '.join(silent)}." if silent else None
    head = columns(
        ("done", "Done"),
        ("duty", "Duty"),
        ("to_do", "What to do"),
        ("by", "By"),
        ("state", "State"),
        ("words", "In the document’s words"),
    )
    return Table(f"duties-{case.supplier}", "Duties of a claim", head, tuple(rows), note)


def _together(clauses: Iterable[Clause], key: Callable[[Clause], Hashable]) -> list[list[Clause]]:
    found: dict[Hashable, list[Clause]] = {}
    for clause in clauses:
        found.setdefault(key(clause), []).append(clause)
    return list(found.values())


def _state(clauses: Sequence[Clause]) -> Cell:
    """The state of all, or that one of them is still unconfirmed."""
    states = [clause.state for clause in clauses]
    return state_cell(TermState.PROPOSED if TermState.PROPOSED in states else states[0])


def _notice_of(case: Case, clauses: Sequence[Clause], on: date) -> Cell:
    days = [clause.days for clause in clauses if clause.days is not None]
    documents = {clause.document_id for clause in clauses}
    last = [c.notice_by for c in case.claims if c.notice_by is not None and c.term.document_id in documents]
    if not days or not last:
        return SILENT
    cell = _notice(min(last), on)
    counted = f"{words.counted(min(days), 'day')} after the test"
    return Cell(cell.text, mark=cell.mark, more="; ".join(filter(None, [counted, cell.more])))


def _sent(case: Case, currency: str) -> tuple[Section, ...]:
    runs = [(c.result, t, f) for c in case.claims for t, f in c.result.runs]
    return (
        Section("Meters claimed", (meters_claimed(case.claims, currency),)),
        Section("What was promised", (clauses_claimed(case),)),
        Section("Bench results", (_runs(runs),)),
    )


def enclosure_paper(case: Case, *, on: date, currency: str) -> Paper:
    """What goes to the supplier with the letter: the meters, the clauses with their places, the runs."""
    return Paper(
        kind="claim",
        title=f"Warranty claim: {case.supplier}",
        lead="The meters, what was promised for them, and what they registered.",
        statuses=(Status(f"{words.counted(len(case.claims), 'meter')}; prepared on {on}."),),
        sections=_sent(case, currency),
        cautions=CLAIM_CAUTIONS,
        sources=SOURCES,
        assumptions=ASSUMPTIONS,
    )


def case_paper(case: Case, *, on: date, currency: str) -> Paper:
    """One supplier's claim for one's own file: the enclosure, and the checklist, exclusions to check, and the log."""
    claims = case.claims
    parts: list[Section] = [
        *_sent(case, currency),
        Section("Before it is sent", (checklist(case, on), *_excluded(case.exclusions))),
    ]
    if case.close:
        rows = tuple((Cell(r.meter_id), _day(r.tested_on), Cell(told.reason_of(r))) for r in case.close)
        head = columns(("meter_id", "Meter"), ("tested_on", "Tested on"), ("why", "Why"))
        parts.append(
            Section("Not claimed: too close to call", (Table("claims-close", "Test these again", head, rows),))
        )
    if case.left_out:
        logged = tuple((Cell(c.result.meter_id), _before(c)) for c in case.left_out)
        head = columns(("meter_id", "Meter"), ("log", "Log"))
        parts.append(Section("Claimed before", (Table("claims-before", "Left out", head, logged),)))
    unconfirmed = sum(claim.unconfirmed for claim in claims)
    earlier = sum(claim.may_have_begun_earlier for claim in claims)
    statuses = (
        Status(f"{words.counted(len(claims), 'meter')}; prepared on {on}, not signed, not sent."),
        confirmation(len({c.term.term_id for c in claims if c.unconfirmed}), len(case.terms)),
        *((Status("Unconfirmed promises are claimed on: confirm them first.", open=True),) if unconfirmed else ()),
        *((Status(f"{words.counted(earlier, 'meter')} {told.BEGUN_EARLIER}", open=True),) if earlier else ()),
    )
    return Paper(
        kind="claim",
        title=f"Warranty claim: {case.supplier}",
        lead="For your own file: the meters, what was promised for them, what they registered, what the document asks "
        "of a claim, and what is to be checked before it is sent. The letter and its enclosure are the PDF.",
        statuses=statuses,
        sections=tuple(parts),
        cautions=CLAIM_CAUTIONS,
        sources=SOURCES,
        assumptions=ASSUMPTIONS,
    )


def meters_claimed(claims: Sequence[Claim], currency: str) -> Table:
    rows = []
    for claim in claims:
        result = claim.result
        test, finding = result.worst
        meter, by = result.meter, finding.by
        assert meter is not None and by is not None
        reading = test.reading_usgal if test.reading_usgal is not None else meter.facts.reading_usgal
        rows.append(
            (
                Cell(result.meter_id),
                Cell(meter.product or "—"),
                Cell(meter.size or "—"),
                _day(meter.facts.shipped_on),
                _day(meter.facts.installed_on),
                _day(result.tested_on),
                SILENT if reading is None else Cell(words.figure(reading), reading),
                Cell(told.flow(finding.run.flow).removesuffix(" gpm"), finding.run.flow),
                Cell(told.number(finding.run.registration), finding.run.registration),
                Cell(told.band(by.band)),
                Cell(told.number(beyond_by(finding)), beyond_by(finding)),
                SILENT
                if finding.run.uncertainty is None
                else Cell(f"±{told.number(finding.run.uncertainty)}", finding.run.uncertainty),
                _share(claim.pays),
                _unknown(claim.credit, currency),
            )
        )
    head = (
        *columns(
            ("meter_id", "Meter"),
            ("product", "Model"),
            ("size", "Size"),
            ("shipped_on", "Shipped"),
            ("installed_on", "Installed"),
            ("tested_on", "Tested"),
            ("reading", "Register", "gal"),
            ("flow", "Flow", "gpm"),
            ("registered", "Registered", "%"),
            ("promised", "Promised"),
            ("beyond", "Outside by", "points"),
            ("uncertainty", "Uncertainty", "points"),
            ("customer_pays", "Customer pays", "%"),
        ),
        Column("credit", "Credit", currency),
    )
    return Table("claims-meters", "Each meter with the run that lies furthest outside", head, tuple(rows))


def clauses_claimed(case: Case) -> Table:
    """The promises claimed on, each with the words it stands in."""
    by_document = {document.document_id: document for document in case.documents}
    rows = []
    for stored in case.terms:
        term, document = stored.term, by_document[stored.document_id]
        held = [claim for claim in case.claims if claim.term is stored or claim.term.term_id == stored.term_id]
        places = case.places.get(stored.term_id, ())
        rows.append(
            (
                Cell(edition(document), more=document.title),
                Cell(words.capital(told.LEVELS[term.accuracy_level]), more=term.size_label or "every size"),
                Cell(lasting(term), places=places),
                Cell(words.remedy(term.remedy)),
                state_cell(stored.state),
                Cell(str(len(held)), len(held)),
                Cell(f"“{quote_of(case, stored.term_id)}”"),
            )
        )
    head = columns(
        ("edition", "Edition"),
        ("promise", "Promise"),
        ("limits", "Lasts"),
        ("remedy", "Remedy"),
        ("state", "State"),
        ("meters", "Claimed", "meters"),
        ("words", "In the document’s words"),
    )
    return Table("claims-clauses", "The promises claimed on", head, tuple(rows))


def quote_of(case: Case, term_id: str) -> str:
    """The sentence or row a promise stands in: the longest words kept of it."""
    quotes = [place.quote for place in case.places.get(term_id, ()) if place.quote]
    whole = [place.quote for place in case.places.get(term_id, ()) if place.field == "quote" and place.quote]
    return max(whole or quotes, key=len, default="no words kept")


def lasting(term: Term) -> str:
    """ "5 years or 500,000 gal from shipment, whichever comes first"."""
    if several := words.limits_in_words(term, term.limits):
        return several
    parts = []
    if term.duration_months is not None or term.duration_days is not None:
        parts.append(words.period(term.duration_months, term.duration_days))
    if term.volume_cap_usgal is not None:
        parts.append(words.volume(term.volume_cap_usgal))
    rule = {Ends.FIRST_OF: ", whichever comes first", Ends.LAST_OF: ", whichever comes later"}.get(term.ends, "")
    since = f" from {words.start(term, term.starts)}" if term.start_event or term.starts else ""
    return (" or ".join(parts) or words.NOT_STATED) + since + rule


def _excluded(clauses: Sequence[Clause]) -> Sequence[Part]:
    if not clauses:
        return ()
    rows = tuple(
        (
            Cell("☐"),
            Cell(
                words.capital("; ".join(dict.fromkeys(words.exclusion(clause.kind) for clause in held))),
                places=tuple(dict.fromkeys(place for clause in held for place in clause.places[:1])),
            ),
            _state(held),
            Cell(f"“{held[0].quote}”") if held[0].quote else SILENT,
        )
        for held in _together(clauses, lambda clause: clause.quote or clause.kind)
    )
    head = columns(
        ("checked", "Checked"), ("exclusion", "Not covered"), ("state", "State"), ("words", "In the document’s words")
    )
    return (Table("claims-exclusions", "Check that none of these applies", head, rows),)
