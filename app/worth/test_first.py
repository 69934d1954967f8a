"""Which meters to test before their accuracy cover ends: what is at stake, a plan by lot, and the sample drawn.

Formulas and worked examples: docs/claims.md, "Test first".
"""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.paper import (
    NOTHING,
    SILENT,
    Cell,
    Column,
    Paper,
    Section,
    Status,
    Table,
    columns,
    confirmation,
    state_cell,
)
from firstcap.app.worth.bench import customer_share_at, doubt_words, exact
from firstcap.app.worth.claim_words import LEVELS, number, per_cent
from firstcap.app.worth.prices import money, price_for
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import AccuracyLevel
from firstcap.store.catalogue import Catalogue, StoredTerm
from firstcap.worth.calendar import whole_months
from firstcap.worth.sampling import LETTER_SOURCE, chance_of_passing, draw, failing_in, letter_plan, sample_size
from firstcap.worth.stakes import Stake, stake_of

MOST_SHOWN = 500


class PlanKind(StrEnum):
    """How the size of a sample is found."""

    EXACT = "exact"
    LETTERS = "letters"


@dataclass(frozen=True)
class Plan:
    """`share` of failing meters that a sample must not miss, with this `confidence`; both from 0 to 1."""

    share: Fraction = Fraction(5, 100)
    confidence: Fraction = Fraction(95, 100)
    accepted: int = 0
    kind: PlanKind = PlanKind.EXACT

    def __post_init__(self) -> None:
        if not (0 < self.share <= 1 and 0 < self.confidence < 1 and self.accepted >= 0):
            raise UsageError(
                "a failing share lies above 0 up to 100 %, a confidence between 0 and 100 %, and the number of failing "
                "meters accepted is 0 or more"
            )


@dataclass(frozen=True)
class Worth:
    """What money is reckoned with: prices by size, the tariff for a US gallon, how many years a fault goes unfound."""

    prices: Mapping[str, Fraction]
    tariff_per_usgal: Fraction | None = None
    currency: str = "$"
    years: Fraction = Fraction(1)


@dataclass(frozen=True)
class Candidate:
    """A meter whose accuracy cover ends soon, by the promise that ends first."""

    meter_id: str
    lot: "Lot"
    term_id: str
    level: str | None
    state: str
    ends_on: date
    by: str | None
    usgal_a_year: Fraction | None
    lower_pct: Fraction | None
    stake: Stake
    pays: Fraction | None


@dataclass(frozen=True, order=True)
class Lot:
    """Meters taken for alike: one supplier, model, size and year of shipment."""

    supplier: str
    product: str
    size: str
    year: int

    @property
    def name(self) -> str:
        """What the draw is made under; part of what repeats it."""
        return "/".join(filter(None, (self.supplier, self.product, self.size, str(self.year) if self.year else "")))


@dataclass(frozen=True)
class LotPlan:
    """`sample` None: no sample of this plan can tell; `letter` of the published table, where that is the plan."""

    lot: Lot
    candidates: tuple[Candidate, ...]
    sample: int | None
    letter: str | None
    drawn: tuple[str, ...]
    chance: Fraction | None

    @property
    def money(self) -> Fraction | None:
        known = [c.stake.money for c in self.candidates if c.stake.money is not None]
        return sum(known, Fraction(0)) if known else None

    @property
    def usgal(self) -> Fraction | None:
        known = [c.stake.usgal for c in self.candidates if c.stake.usgal is not None]
        return sum(known, Fraction(0)) if known else None


_ROWS = "SELECT * FROM test_first_on(?::DATE, ?::INTEGER, include_proposed := ?::BOOLEAN) ORDER BY line_no"
_UNTOLD = """
SELECT coalesce(doubt, 'use_unknown') AS doubt, count(DISTINCT line_no) AS meters
FROM meter_cover_on(?::DATE, include_proposed := ?::BOOLEAN)
WHERE covered IS NULL AND (promise = 'accuracy' OR term_id IS NULL) GROUP BY ALL ORDER BY meters DESC, doubt
"""


def candidates(
    catalogue: Catalogue, on: date, within: int, worth: Worth, *, include_proposed: bool = False
) -> list[Candidate]:
    """The meters of the fleet whose accuracy cover ends within so many months of a day, what is most at stake first."""
    rows = catalogue.rows(_ROWS, [on, within, include_proposed])
    documents = sorted({str(row["document_id"]) for row in rows})
    stored: dict[str, StoredTerm] = {t.term_id: t for one in documents for t in catalogue.terms(one)}
    shares: dict[tuple[str, int | None], Fraction | None] = {}
    found = []
    for row in rows:
        term_id, began, ends = str(row["term_id"]), row["starts_on"], row["ends_on"]
        assert isinstance(ends, date)
        age = whole_months(began, on) if isinstance(began, date) else None
        if (term_id, age) not in shares:
            shares[term_id, age] = customer_share_at(stored[term_id].term, age)
        size = str(row["size_label"] or "")
        year = row["lot_year"]
        use, lower = exact(row["year_usgal"]), exact(row["lower_pct"])
        pays = shares[term_id, age]
        found.append(
            Candidate(
                str(row["meter_id"]),
                Lot(
                    str(row["supplier"]),
                    str(row["product"] or row["product_written"] or ""),
                    size,
                    int(str(year)) if year is not None else 0,
                ),
                term_id,
                None if row["accuracy_level"] is None else str(row["accuracy_level"]),
                str(row["state"]),
                ends,
                None if row["ending_cap"] is None else str(row["ending_cap"]),
                use,
                lower,
                stake_of(
                    use,
                    lower,
                    customer_pays=pays,
                    price=price_for(worth.prices, size),
                    tariff_per_usgal=worth.tariff_per_usgal,
                    years=worth.years,
                ),
                pays,
            )
        )
    return sorted(found, key=_most_at_stake)


def _most_at_stake(one: Candidate) -> tuple[Fraction, Fraction, date, str]:
    """Most money first, then most water, then the cover that ends first; what is not known comes last."""
    nothing = Fraction(-1)
    money_, usgal = one.stake.money, one.stake.usgal
    return -(nothing if money_ is None else money_), -(nothing if usgal is None else usgal), one.ends_on, one.meter_id


def _lot_most_at_stake(one: LotPlan) -> tuple[Fraction, Fraction, Lot]:
    nothing = Fraction(-1)
    money_, usgal = one.money, one.usgal
    return -(nothing if money_ is None else money_), -(nothing if usgal is None else usgal), one.lot


def planned(found: Sequence[Candidate], plan: Plan, seed: str) -> list[LotPlan]:
    """A sample for each lot; lots in the order of what is at stake in them."""
    lots: dict[Lot, list[Candidate]] = defaultdict(list)
    for one in found:
        lots[one.lot].append(one)
    plans = []
    for lot, held in lots.items():
        count = len(held)
        letter = None
        if plan.kind is PlanKind.LETTERS:
            row = letter_plan(count)
            sample, letter = (None, None) if row is None else (min(row.sample, count), row.letter)
        else:
            sample = sample_size(count, plan.share, plan.confidence, plan.accepted)
        failing = failing_in(count, plan.share)
        chance = None if sample is None else chance_of_passing(count, failing, sample, plan.accepted)
        tested = count if sample is None and plan.kind is PlanKind.EXACT else sample or 0
        drawn = draw([one.meter_id for one in held], tested, seed=seed, lot=lot.name)
        plans.append(LotPlan(lot, tuple(held), sample, letter, drawn, chance))
    return sorted(plans, key=_lot_most_at_stake)


def test_first(
    catalogue: Catalogue,
    on: date,
    within: int,
    *,
    plan: Plan | None = None,
    worth: Worth | None = None,
    seed: str | None = None,
    include_proposed: bool = False,
    most: int | None = MOST_SHOWN,
) -> Paper:
    """The report. `seed` is the day unless given; `most` rows of single meters are shown, all of them for None."""
    plan, worth, seed = plan or Plan(), worth or Worth({}), seed or on.isoformat()
    found = candidates(catalogue, on, within, worth, include_proposed=include_proposed)
    lots = planned(found, plan, seed)
    untold = catalogue.rows(_UNTOLD, [on, include_proposed])
    places = {(lot.lot, meter): place for lot in lots for place, meter in enumerate(lot.drawn, 1)}
    sections = [
        Section("Plan by lot", (_lots(lots, plan, worth), _reading(plan))),
        Section("Meters to test", (_drawn(lots),)),
        Section("All meters whose cover ends", (_meters(found, places, worth, most),)),
    ]
    if untold:
        sections.append(Section("Cannot be told", (_untold(untold),)))
    held = {one.term_id for one in found}
    proposed = {one.term_id for one in found if one.state == "proposed"}
    count = sum(int(str(row["meters"])) for row in untold)
    return Paper(
        kind="test-first",
        title="Test first",
        lead=f"Meters whose accuracy cover ends within {words.counted(within, 'month')} of {on}, by the promise that "
        "ends first, and which of them to test.",
        statuses=(
            Status(
                f"{words.counted(len(found), 'meter')} in {words.counted(len(lots), 'lot')}; "
                f"{words.counted(sum(len(lot.drawn) for lot in lots), 'meter')} drawn to be tested."
            ),
            confirmation(len(proposed), len(held)),
            *((Status(f"Of {words.counted(count, 'meter')} it cannot be told.", open=True),) if count else ()),
        ),
        sections=tuple(sections),
        assumptions=_assumptions(plan, worth, seed),
        sources=(
            "Hypergeometric distribution: by its definition, in exact fractions.",
            *((LETTER_SOURCE + ".",) if plan.kind is PlanKind.LETTERS else ()),
        ),
    )


def _assumptions(plan: Plan, worth: Worth, seed: str) -> tuple[str, ...]:
    return (
        f"Drawn with the seed “{seed}”: of each lot the meters whose SHA-256 of “seed|lot|meter” comes first. The same "
        "list and seed give the same sample anywhere.",
        "A lot is the meters of this list alone, of one supplier, model, size and year of shipment (of installation "
        "where no shipment is known). What a sample shows holds for these meters, not for others.",
        "At stake: the share of the price that the supplier would owe today, and the water that a meter at its "
        f"promised lower limit leaves unregistered in {words.years_about(worth.years)}"
        + (", at the tariff given." if worth.tariff_per_usgal is not None else "; no tariff was given, so in gallons."),
        "The end of a cover by volume is a forecast from the meter's own use.",
        "Every meter is taken to be as likely to fail as any other.",
    )


def _reading(plan: Plan) -> str:
    share, sure = per_cent(100 * plan.share), per_cent(100 * plan.confidence)
    most = "no meter fails" if not plan.accepted else f"at most {words.counted(plan.accepted, 'meter')} fail"
    if plan.kind is PlanKind.EXACT:
        return (
            f"If {most} in a sample, fewer than {share} of the lot fail, with a confidence of {sure}. If more fail, "
            "test the whole lot before its cover ends. Of a lot too small for this plan all are to be tested."
        )
    return (
        "The sample sizes are those of the published table; its acceptance numbers were not at hand and are not used. "
        f"With {words.counted(plan.accepted, 'failing meter')} accepted, the chance beside each lot says how often one "
        f"with {share} failing would pass. Lots of fewer than 151 meters are outside the rows that were seen printed."
    )


def _money(amount: Fraction | None, currency: str) -> Cell:
    return SILENT if amount is None else Cell(money(amount, currency), amount)


def _gallons(amount: Fraction | None) -> Cell:
    return SILENT if amount is None else Cell(words.about(amount), amount)


def _lot_cells(lot: Lot) -> tuple[Cell, ...]:
    year = Cell(str(lot.year), lot.year) if lot.year else SILENT
    return Cell(lot.supplier), Cell(lot.product) if lot.product else NOTHING, Cell(lot.size or "—"), year


_LOT = columns(("supplier", "Supplier"), ("product", "Model"), ("size", "Size"), ("lot_year", "Shipped in"))


def _lots(lots: Sequence[LotPlan], plan: Plan, worth: Worth) -> Table:
    rows = []
    for lot in lots:
        first = min(one.ends_on for one in lot.candidates)
        if lot.sample is None:
            sample = Cell("test all" if plan.kind is PlanKind.EXACT else "no row in the table")
        else:
            every = "all of them" if lot.sample == len(lot.candidates) else None
            letter = f"code letter {lot.letter}" if lot.letter else None
            sample = Cell(str(lot.sample), lot.sample, more=letter or every)
        rows.append(
            (
                *_lot_cells(lot.lot),
                Cell(str(len(lot.candidates)), len(lot.candidates)),
                Cell(first.isoformat()),
                _money(lot.money, worth.currency),
                _gallons(lot.usgal),
                sample,
                NOTHING if lot.chance is None else Cell(per_cent(100 * _rounded(lot.chance)), 100 * lot.chance),
            )
        )
    head = (
        *_LOT,
        *columns(("meters", "Cover ends", "meters"), ("first_ends_on", "First on")),
        Column("stake", "At stake", worth.currency),
        *columns(
            ("stake_usgal", "Water at stake", "gal"),
            ("sample", "To test", "meters"),
            ("chance", f"Chance to pass with {per_cent(100 * plan.share)} failing", "%"),
        ),
    )
    return Table("lots", "Lots, what is most at stake first", head, tuple(rows))


def _rounded(chance: Fraction) -> Fraction:
    return Fraction(round(chance * 10**4), 10**4)


def _drawn(lots: Sequence[LotPlan]) -> Table:
    rows = []
    for lot in lots:
        held = {one.meter_id: one for one in lot.candidates}
        for place, meter in enumerate(lot.drawn, 1):
            rows.append(
                (Cell(meter), *_lot_cells(lot.lot), Cell(str(place), place), Cell(held[meter].ends_on.isoformat()))
            )
    head = (
        *columns(("meter_id", "Meter")),
        *_LOT,
        *columns(("place", "Place in the draw"), ("ends_on", "Cover ends on")),
    )
    return Table("drawn", "The sample of each lot, in the order drawn", head, tuple(rows))


def _meters(found: Sequence[Candidate], places: Mapping[tuple[Lot, str], int], worth: Worth, most: int | None) -> Table:
    rows = []
    for one in found[:most]:
        place = places.get((one.lot, one.meter_id))
        level = LEVELS[AccuracyLevel(one.level)] if one.level else LEVELS[None]
        rows.append(
            (
                Cell(one.meter_id),
                *_lot_cells(one.lot),
                Cell(level),
                state_cell(one.state),
                Cell(one.ends_on.isoformat(), more=f"by {one.by}" if one.by else None),
                SILENT if one.usgal_a_year is None else Cell(words.about(one.usgal_a_year), one.usgal_a_year),
                SILENT if one.lower_pct is None else Cell(number(one.lower_pct), one.lower_pct),
                SILENT if one.pays is None else Cell(per_cent(100 * one.pays), 100 * one.pays),
                _gallons(one.stake.usgal),
                _money(one.stake.water, worth.currency),
                _money(one.stake.credit, worth.currency),
                _money(one.stake.money, worth.currency),
                NOTHING if place is None else Cell(str(place), place),
            )
        )
    head = (
        *columns(("meter_id", "Meter")),
        *_LOT,
        *columns(
            ("promise", "Promise"),
            ("state", "State"),
            ("ends_on", "Cover ends on"),
            ("year_usgal", "Use", "gal a year"),
            ("lower_pct", "Lower limit", "%"),
            ("customer_pays", "Customer pays", "%"),
            ("stake_usgal", "Water at stake", "gal"),
        ),
        Column("stake_water", "Water", worth.currency),
        Column("stake_credit", "Credit", worth.currency),
        Column("stake", "At stake", worth.currency),
        Column("drawn", "Place in the draw"),
    )
    left = len(found) - len(rows)
    note = f"{left:,} more meters are not shown here; a file .csv or .xlsx holds all of them." if left > 0 else None
    return Table("meters", "What is most at stake first", head, tuple(rows), note, compact=True)


def _untold(rows: Sequence[Mapping[str, object]]) -> Table:
    told = tuple(
        (Cell(words.capital(doubt_words(str(row["doubt"])))), Cell(f"{row['meters']:,}", int(str(row["meters"]))))
        for row in rows
    )
    head = columns(("why", "Why"), ("meters", "Meters"))
    return Table("untold", "Meters of which it cannot be told whether accuracy is covered", head, told)
