"""Bench tests of one's own meters, judged by the promises that each meter was shipped under.

The promises of a meter come from view `meter_cover`; whether one was in force on the day of the test is reckoned anew
from the register's reading then.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from math import floor

from firstcap.schema.claims import Call
from firstcap.schema.fleet import CoverDoubt
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import AccuracyLevel, Ends, LimitKind
from firstcap.store.catalogue import Catalogue, StoredTerm
from firstcap.worth.calendar import FOREVER, LONG_AGO, MeterCover, MeterFacts, cover_of_meter, whole_months
from firstcap.worth.claims import FLOW_TOLERANCE, Band, Cover, Finding, Promise, Run, judge, together
from firstcap.worth.credits import customer_pays, schedule

# Strictest first: a result is claimed on the first promise in force that it fails.
_ORDER = (
    AccuracyLevel.NEW_METER,
    AccuracyLevel.EXTENDED_LOW_FLOW,
    AccuracyLevel.STATED,
    None,
    AccuracyLevel.REPAIRED_METER,
)


@dataclass(frozen=True)
class BenchTest:
    """A run as the list of tests tells it: gal/min, per cent, points of per cent, US gallons on the register."""

    line: int
    meter_id: str
    tested_on: date
    flow: Fraction
    registration: Fraction
    uncertainty: Fraction | None = None
    reading_usgal: Fraction | None = None


@dataclass(frozen=True)
class Meter:
    """A meter of the fleet with its accuracy promises; `doubt` says why it has none.

    `silent` names what promises rest on that cannot judge: standards held from memory, limits without a flow.
    """

    meter_id: str
    supplier: str
    product: str | None
    size: str | None
    facts: MeterFacts
    terms: tuple[StoredTerm, ...] = ()
    doubt: str | None = None
    silent: tuple[str, ...] = ()


@dataclass(frozen=True)
class BenchResult:
    """What is said of one meter on one day of tests; `meter` None where the fleet has no such meter."""

    meter_id: str
    tested_on: date
    meter: Meter | None
    runs: tuple[tuple[BenchTest, Finding], ...]
    covers: Mapping[str, MeterCover] = field(default_factory=dict)

    @property
    def call(self) -> Call:
        return together([finding for _, finding in self.runs])

    @property
    def worst(self) -> tuple[BenchTest, Finding]:
        """The run that decides; of several the one that lies furthest beyond its limit."""
        held = [one for one in self.runs if one[1].call is self.call] or list(self.runs)
        return max(held, key=lambda one: beyond_by(one[1]))

    @property
    def term(self) -> StoredTerm | None:
        """The promise that decides, where one does."""
        by = self.worst[1].by
        if by is None or self.meter is None:
            return None
        return next((term for term in self.meter.terms if term.term_id == by.promise.term_id), None)

    @property
    def pays(self) -> Fraction | None:
        """The customer's share of the price on the day of the test, 0 to 1; None where the document is silent."""
        stored = self.term
        return None if stored is None else customer_share(stored.term, self.covers[stored.term_id], self.tested_on)


def beyond_by(finding: Finding) -> Fraction:
    """How many points of registration a run lies outside the limit it is held against; below zero inside."""
    if finding.by is None:
        return Fraction(-1000)
    band, found = finding.by.band, finding.run.registration
    gaps = [band.lower - found] if band.lower is not None else []
    gaps += [found - band.upper] if band.upper is not None else []
    return max(gaps, default=Fraction(-1000))


def customer_share(term: Term, cover: MeterCover, day: date) -> Fraction | None:
    """The share of the price that the customer pays for a meter that failed on that day."""
    if cover.start.low != cover.start.high or cover.start.low in (LONG_AGO, FOREVER):
        return customer_share_at(term, None)
    return customer_share_at(term, whole_months(cover.start.low, day))


def customer_share_at(term: Term, months: int | None) -> Fraction | None:
    """The same at an age in whole months; None for an age that is not known, or where the document is silent."""
    if months is None:
        return None if term.credits else Fraction(0)
    steps = [(Fraction(s.from_month), Fraction(s.to_month), Fraction(s.customer_pays_pct) / 100) for s in term.credits]
    age = Fraction(max(0, months))
    full = None if term.full_months is None else Fraction(term.full_months)
    end = Fraction(term.duration_months) if term.duration_months is not None else age + 1
    if full is None and not steps:
        full = end
    if age >= end:  # a cover that outlasts its months, by the later of two limits
        return None if steps else Fraction(0)
    return customer_pays(schedule(steps, full, end), age)


def judged(
    catalogue: Catalogue,
    tests: Sequence[BenchTest],
    *,
    include_proposed: bool = False,
    uncertainty: Fraction | None = None,
    tolerance: Fraction = FLOW_TOLERANCE,
) -> list[BenchResult]:
    """One result a meter and day, in the order of the list. `uncertainty` stands in where a test gives none."""
    if not tests:
        return []
    last = max(test.tested_on for test in tests)
    meters = meters_of(catalogue, {test.meter_id for test in tests}, last, include_proposed)
    bands = _bands(catalogue, {term.term_id for meter in meters.values() for term in meter.terms})
    grouped: dict[tuple[str, date], list[BenchTest]] = defaultdict(list)
    for test in tests:
        grouped[test.meter_id, test.tested_on].append(test)
    results = []
    for (meter_id, day), held in grouped.items():
        meter = meters.get(meter_id)
        if meter is not None:
            rest = (basis for one in meter.terms for basis in bands.get(one.term_id, _Bands()).silent)
            meter = replace(meter, silent=tuple(dict.fromkeys(rest)))
        facts = None if meter is None else _facts_then(meter.facts, held, day)
        terms = () if meter is None else meter.terms
        covers = {} if facts is None else {one.term_id: cover_of_meter(one.term, facts, day) for one in terms}
        promises = [
            Promise(
                one.term_id,
                one.term.accuracy_level,
                bands.get(one.term_id, _Bands()).judging,
                _cover(one.term, facts, covers[one.term_id], day),
            )
            for one in terms
            if facts is not None
        ]
        runs = []
        for test in held:
            run = Run(test.flow, test.registration, uncertainty if test.uncertainty is None else test.uncertainty)
            runs.append((test, judge(run, promises, tolerance)))
        results.append(BenchResult(meter_id, day, meter, tuple(runs), covers))
    return results


def _facts_then(facts: MeterFacts, tests: Iterable[BenchTest], day: date) -> MeterFacts:
    """The register as it stood at the test, where the test tells; readings of one day may differ by the test water."""
    readings = [test.reading_usgal for test in tests if test.reading_usgal is not None]
    if not readings:
        return facts
    return MeterFacts(facts.shipped_on, facts.installed_on, min(readings), day, facts.year_usgal)


def _cover(term: Term, facts: MeterFacts, cover: MeterCover, day: date) -> Cover:
    """The cover on the day of the test, with what ended it. A reading meets a cap, never a forecast."""
    ended: list[tuple[str, date | None]] = []
    if cover.time is not None and day > cover.time.high:
        ended.append(("time", cover.time.high))
    passed = _passed_on(term, facts)
    if cover.volume is not None and day > cover.volume.high and passed is not None:
        ended.append(("volume", passed))
    if day < cover.start.low:
        return Cover(False, "not begun", cover.start.low)
    limits = (cover.time is not None) + (cover.volume is not None)
    if ended and (term.ends is not Ends.LAST_OF or len(ended) == limits):
        choose = max if term.ends is Ends.LAST_OF else min
        return Cover(False, *choose(ended, key=lambda one: one[1] or FOREVER))
    if cover.covered and (cover.volume is None or facts.reading_usgal is not None):
        return Cover(True)
    by_time = cover.time is None or (cover.start.high <= day <= cover.time.low)
    return Cover(None, why=_READ_IT if by_time else "a date of the meter is missing")


_READ_IT = "the volume cap may or may not have been met; the register's reading at the test would tell"


def _passed_on(term: Term, facts: MeterFacts) -> date | None:
    """About when the cap was passed, at the average use up to the reading."""
    volumes = [limit.usgal for limit in term.limits if limit.kind is LimitKind.VOLUME]
    caps = [Fraction(usgal) for usgal in volumes if usgal is not None]
    if not caps or facts.reading_usgal is None or facts.served_days <= 0:
        return None
    cap = max(caps) if term.ends is Ends.LAST_OF else min(caps)
    if facts.reading_usgal <= cap:
        return None
    return date.fromordinal(facts.used_from.toordinal() + floor(facts.served_days * cap / facts.reading_usgal))


_METERS = """
SELECT
  meter_id, coalesce(supplier, supplier_written) AS supplier, coalesce(product, product_written) AS product, size_label,
  shipped_on, installed_on, reading_usgal, reading_on, year_usgal
FROM meters WHERE meter_id IN (SELECT unnest(?::VARCHAR[]))
"""
_PROMISES = """
SELECT meter_id, term_id, document_id, doubt FROM meter_cover_on(?::DATE, include_proposed := ?::BOOLEAN)
WHERE meter_id IN (SELECT unnest(?::VARCHAR[])) AND (promise = 'accuracy' OR term_id IS NULL)
"""
_BANDS = """
SELECT term_id, flow_from_usgpm, flow_to_usgpm, lower_pct, upper_pct, basis, judges FROM base.judging_bands
WHERE term_id IN (SELECT unnest(?::VARCHAR[])) ORDER BY term_id, flow_from_usgpm
"""


def exact(value: object) -> Fraction | None:
    """A number of DuckDB by its shortest decimal form."""
    return None if value is None else Fraction(Decimal(repr(value)))


def meters_of(catalogue: Catalogue, wanted: Iterable[str], day: date, include_proposed: bool) -> dict[str, Meter]:
    """The meters of the fleet by id, each with the accuracy promises of the edition it was shipped under."""
    ids = sorted(set(wanted))
    promised: dict[str, list[str]] = defaultdict(list)
    doubts: dict[str, str] = {}
    documents: set[str] = set()
    for row in catalogue.rows(_PROMISES, [day, include_proposed, ids]):
        if row["term_id"] is None:
            doubts[str(row["meter_id"])] = str(row["doubt"])
        else:
            promised[str(row["meter_id"])].append(str(row["term_id"]))
            documents.add(str(row["document_id"]))
    stored = {term.term_id: term for document in sorted(documents) for term in catalogue.terms(document)}
    found = {}
    for row in catalogue.rows(_METERS, [ids]):
        meter_id = str(row["meter_id"])
        terms = sorted((stored[term] for term in promised[meter_id]), key=_place)
        found[meter_id] = Meter(
            meter_id,
            str(row["supplier"]),
            None if row["product"] is None else str(row["product"]),
            None if row["size_label"] is None else str(row["size_label"]),
            _meter_facts(row),
            tuple(terms),
            doubts.get(meter_id),
        )
    return found


def _place(stored: StoredTerm) -> tuple[int, str]:
    return _ORDER.index(stored.term.accuracy_level), stored.term_id


def _meter_facts(row: Mapping[str, object]) -> MeterFacts:
    def day(name: str) -> date | None:
        value = row[name]
        return value if isinstance(value, date) else None

    return MeterFacts(
        day("shipped_on"), day("installed_on"), exact(row["reading_usgal"]), day("reading_on"), exact(row["year_usgal"])
    )


@dataclass(frozen=True)
class _Bands:
    """The bands of a promise that can judge a run, and on what those rest that cannot."""

    judging: tuple[Band, ...] = ()
    silent: tuple[str, ...] = ()


def _bands(catalogue: Catalogue, terms: Iterable[str]) -> dict[str, _Bands]:
    judging: dict[str, list[Band]] = defaultdict(list)
    silent: dict[str, dict[str, None]] = defaultdict(dict)
    for row in catalogue.rows(_BANDS, [sorted(terms)]):
        term, low, high = str(row["term_id"]), exact(row["flow_from_usgpm"]), exact(row["flow_to_usgpm"])
        if row["judges"] and low is not None and high is not None:
            judging[term].append(Band(low, high, exact(row["lower_pct"]), exact(row["upper_pct"])))
        else:
            silent[term][str(row["basis"])] = None
    return {term: _Bands(tuple(judging[term]), tuple(silent[term])) for term in {*judging, *silent}}


def doubt_words(doubt: str | None) -> str:
    return CoverDoubt(doubt).meaning if doubt in set(CoverDoubt) else "no promise of accuracy is held for it"
