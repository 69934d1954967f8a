"""What a weak accuracy promise may cost: water that may go unregistered within it, and what is not protected at all.

Formulas and a published example: docs/worth.md, "Exposure".
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

from firstcap.app.report import words
from firstcap.app.report.comparison import Offer, compare
from firstcap.app.report.paper import NOTHING, Cell, Column, Mark, Paper, Part, Section, Status, Table, columns
from firstcap.app.report.rows import BaselineRow, Views, load, size_label
from firstcap.app.worth import offers as shown
from firstcap.app.worth.first_cap import Unit
from firstcap.app.worth.tables import number, rows_of
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import AccuracyLevel, Certainty, FlowRole, Promise
from firstcap.worth.exposure import DemandBand, Exposure, PromisedLimit, exposure_of

# Shares of volume at the minimum, intermediate and maximum test flow.
RULE_OF_THUMB = {FlowRole.MINIMUM: 15, FlowRole.INTERMEDIATE: 70, FlowRole.MAXIMUM: 15}
_RULE_SOURCE = (
    "Demand: the rule of thumb 15/70/15 % at low, intermediate and high flow for small meters; common practice, no "
    "published source known. It says nothing of flows below the minimum test flow: give a measured profile with "
    "--profile."
)


@dataclass(frozen=True)
class Profile:
    """How demand spreads over flows, and where that is known from."""

    bands: tuple[DemandBand, ...]
    source: str


def profile_from(path: Path) -> Profile:
    """A profile from a CSV with columns from, to (US gallons a minute) and share (per cent); UsageError otherwise."""
    bands = []
    for line, row in rows_of(path, ("from", "to", "share")):
        low, high, share = (Fraction(number(path, line, name, row[name])) for name in ("from", "to", "share"))
        if high < low:
            raise UsageError(f"line {line}: the band runs from {row['from']} down to {row['to']}", file=str(path))
        bands.append(DemandBand(low, high, share / 100))
    total = sum((band.share for band in bands), Fraction(0)) * 100
    if abs(total - 100) > Fraction(1, 10):
        raise UsageError(f"the shares sum to {float(total):g} %, not to 100 %", file=str(path))
    return Profile(
        tuple(DemandBand(band.low, band.high, band.share * 100 / total) for band in bands),
        f"Demand: the profile in {path.name}, given by the user.",
    )


def rule_of_thumb(size: str, baselines: Sequence[BaselineRow]) -> Profile:
    """The default profile at the published test flows of displacement meters; UsageError for a size without them."""
    flows: dict[FlowRole, Decimal] = {}
    for row in baselines:
        role = row.flow_role
        fits = row.size_label == size and row.standard == "AWWA C700" and row.certainty != Certainty.FROM_MEMORY
        if fits and role in RULE_OF_THUMB and row.flow_from_usgpm is not None:
            flows.setdefault(FlowRole(role), row.flow_from_usgpm)
    if len(flows) < len(RULE_OF_THUMB):
        raise UsageError(f"there is no default demand profile for {size}; give your own with --profile FILE.csv")
    bands = [
        DemandBand(Fraction(flows[role]), Fraction(flows[role]), Fraction(share, 100))
        for role, share in RULE_OF_THUMB.items()
    ]
    return Profile(tuple(bands), _RULE_SOURCE)


def exposure(
    views: Views,
    size: str,
    *,
    use: Fraction,
    unit: Unit | None = None,
    profile: Profile | None = None,
    tariff: Fraction | None = None,
    currency: str = "$",
    meters: int = 1,
    registered: bool = False,
) -> Paper:
    """The report for one size. `use` is US gallons a year and meter; `tariff` is money per `unit`.

    `registered`: the use and the shares of the profile are of registered volume, not of true demand.
    """
    counted = unit or Unit("gal")
    stack = load(views, size)
    comparison = compare(stack)
    demand = profile or rule_of_thumb(size_label(size), stack.baselines)
    held = [offer for offer in comparison.offers if offer.term.promise == Promise.ACCURACY]
    reckoned = [(case, exposure_of(demand.bands, case.limits, registered=registered)) for case in cases_of(held)]
    silent = [offer for offer in held if not promised_limits(offer)]
    table = _Table(use, counted, tariff, currency, meters)
    statuses = [*shown.statuses([offer for offer in held if promised_limits(offer)], comparison)]
    if silent:
        names = "; ".join(
            dict.fromkeys(f"{offer.label}, {words.spaced(offer.term.accuracy_level or 'accuracy')}" for offer in silent)
        )
        statuses.append(Status(f"Cannot be reckoned, as no flow with a lower limit is held: {names}", open=True))
    parts: tuple[Part, ...] = (_READ, table.promises(reckoned))
    return Paper(
        kind="exposure",
        title=f"Exposure: {comparison.size_words} meters",
        lead="How much water a meter may fail to register and still be within its promise, a year, and how much runs "
        "at "
        "flows for which nothing is promised.",
        statuses=tuple(statuses),
        sections=(
            Section("What may go unregistered", parts),
            Section("What the better promise is worth", table.differences(reckoned)),
            Section("Demand reckoned with", (_demand(demand),)),
        ),
        assumptions=(
            f"{words.figure(counted.of(use))} {counted.sign} a year and meter, {words.counted(meters, 'meter')}; "
            "shares are of "
            f"{'registered volume' if registered else 'true demand'}.",
            "Between two promised flows either neighbour’s limit may hold: the range shows both.",
            "A meter is taken to stand at its lower limit; most stand better. This is what the promise allows, no "
            "forecast.",
            *(("Money is volume times one tariff, without steps or fees.",) if tariff is not None else ()),
        ),
        sources=(demand.source, "Formula: under-registration weighted by demand, as in AWWA M36 (see docs/worth.md)."),
    )


_READ = (
    "The low and the high end say what the promise leaves open between its test flows. Unprotected water runs below "
    "the "
    "lowest or above the highest promised flow: no promise limits what is lost of it."
)


def promised_limits(offer: Offer) -> tuple[PromisedLimit, ...]:
    """The lower limits with a flow, as fractions of true volume."""
    return tuple(
        PromisedLimit(Fraction(band.flow_from_usgpm), Fraction(band.flow_to_usgpm), Fraction(band.lower_pct) / 100)
        for band in (judged.band for judged in offer.judged)
        if band.flow_from_usgpm is not None and band.flow_to_usgpm is not None and band.lower_pct
    )


@dataclass(frozen=True)
class Case:
    """One accuracy promise, with the document's own low-flow promise beside it while both hold."""

    offer: Offer
    low: Offer | None = None

    @property
    def limits(self) -> tuple[PromisedLimit, ...]:
        return promised_limits(self.offer) + (promised_limits(self.low) if self.low else ())

    @property
    def level(self) -> str:
        """The kind of promise, the same word for all suppliers that make one of this kind."""
        return words.capital(words.spaced(self.offer.term.accuracy_level or "accuracy"))

    @property
    def told(self) -> str:
        return f"{self.offer.in_short}; at low flow {self.low.in_short}" if self.low else self.offer.in_short


def cases_of(offers: Sequence[Offer]) -> list[Case]:
    """Every promise with flows and lower limits; one that holds only below another's flows is joined to that one.

    A promise for low flow alone says nothing of the flows at which water mostly runs, and is never set against others.
    """
    stated = [offer for offer in offers if promised_limits(offer)]
    joined: set[int] = set()
    cases: list[Case] = []
    for offer in stated:
        cases.append(Case(offer))
        for other in stated:
            together = other.column is offer.column and other.term.product in (None, offer.term.product)
            if other is offer or not together or offer.term.accuracy_level == AccuracyLevel.REPAIRED_METER:
                continue
            lowest = min(limit.low for limit in promised_limits(offer))
            if all(limit.high < lowest for limit in promised_limits(other)):
                cases.append(Case(offer, other))
                joined.add(id(other))
    return [case for case in cases if case.low is not None or id(case.offer) not in joined]


class _Table:
    def __init__(self, use: Fraction, unit: Unit, tariff: Fraction | None, currency: str, meters: int) -> None:
        self.use = use
        self.unit = unit
        self.tariff = tariff
        self.currency = currency
        self.meters = meters

    def volume(self, share: Fraction) -> Cell:
        return self.unit.cell(share * self.use) if share else Cell("0", 0)

    def money(self, share: Fraction) -> Cell:
        if self.tariff is None:
            return NOTHING
        amount = round(self.unit.of(share * self.use) * self.tariff * self.meters, 2)
        return Cell(f"{self.currency}{float(amount):,.2f}", amount)

    def promises(self, reckoned: Sequence[tuple[Case, Exposure]]) -> Table:
        rows = []
        for case, found in reckoned:
            bare = found.unprotected_most
            refs = case.offer.bands_refs + (case.low.bands_refs if case.low else ())
            none = found.unprotected_least == 1
            row = [
                shown.who(case.offer),
                Cell(case.level, more="with its low-flow promise" if case.low else None, places=shown.places(refs)),
                _state(case),
                Cell(case.told),
                NOTHING if none else _percent(found.least),
                NOTHING if none else _percent(found.most),
                NOTHING if none else self.volume(found.least),
                NOTHING if none else self.volume(found.most),
                _percent(found.unprotected_least, Mark.BAD if found.unprotected_least else Mark.PLAIN),
                _percent(bare, Mark.BAD if bare else Mark.PLAIN),
            ]
            if self.tariff is not None:
                row += [NOTHING, NOTHING] if none else [self.money(found.least), self.money(found.most)]
            rows.append(tuple(row))
        sign = self.unit.sign
        return Table(
            "exposure",
            f"A year, {words.figure(self.unit.of(self.use))} {sign} a meter",
            (
                *columns(("supplier", "Supplier"), ("level", "Promise"), ("state", "State"), ("ends", "For")),
                Column("exposed_low", "Exposed, low", "% of volume"),
                Column("exposed_high", "Exposed, high", "% of volume"),
                Column("volume_low", "Exposed, low", f"{sign} a meter"),
                Column("volume_high", "Exposed, high", f"{sign} a meter"),
                Column("unprotected_low", "Unprotected, low", "% of volume"),
                Column("unprotected_high", "Unprotected, high", "% of volume"),
                *self._money_columns(),
            ),
            tuple(rows),
        )

    def _money_columns(self) -> tuple[Column, ...]:
        if self.tariff is None:
            return ()
        fleet = words.counted(self.meters, "meter")
        return (
            Column("money_low", f"Exposed, low, {fleet}", f"{self.currency} a year"),
            Column("money_high", f"Exposed, high, {fleet}", f"{self.currency} a year"),
        )

    def differences(self, reckoned: Sequence[tuple[Case, Exposure]]) -> tuple[Part, ...]:
        """Each promise against the one with the highest exposure of the same level."""
        by_level: dict[str, list[tuple[Case, Exposure]]] = {}
        for case, found in reckoned:
            if found.unprotected_least < 1:
                by_level.setdefault(case.level, []).append((case, found))
        rows = []
        for level, found_here in by_level.items():
            if len(found_here) < 2:
                continue
            worst = max(found_here, key=lambda one: one[1].at_risk)
            for case, found in found_here:
                saved = worst[1].at_risk - found.at_risk
                rows.append(
                    (
                        shown.who(case.offer),
                        Cell(level, more="with its low-flow promise" if case.low else None),
                        _state(case),
                        Cell(worst[0].offer.label) if case is not worst[0] else NOTHING,
                        self.volume(saved),
                        _percent(worst[1].unprotected_most - found.unprotected_most),
                        self.money(saved),
                    )
                )
        if not rows:
            return ("There are no two promises of one kind to set against each other.",)
        return (
            "At risk is the high end of what may go unregistered, water that nothing is promised for counted whole.",
            Table(
                "difference",
                "Against the promise that leaves most at risk",
                (
                    *columns(
                        ("supplier", "Supplier"), ("level", "Promise"), ("state", "State"), ("against", "Set against")
                    ),
                    Column("volume_saved", "Less at risk", f"{self.unit.sign} a meter and year"),
                    Column("unprotected_saved", "Less unprotected", "points of volume"),
                    Column("money_saved", "Worth", f"{self.currency} a year, {words.counted(self.meters, 'meter')}"),
                ),
                tuple(rows),
            ),
        )


def _state(case: Case) -> Cell:
    """Unconfirmed as long as one of the two promises is."""
    return shown.state(case.low if case.low and case.low.unconfirmed else case.offer)


def _percent(share: Fraction, mark: Mark = Mark.PLAIN) -> Cell:
    percent = share * 100
    return Cell(f"{words.about(percent)} %", percent, mark)


def _demand(profile: Profile) -> Table:
    rows = tuple(
        (
            Cell(words.flows(Decimal(float(band.low)), Decimal(float(band.high))), band.low),
            Cell(words.about(band.high), band.high),
            Cell(f"{words.about(band.share * 100)} %", band.share * 100),
        )
        for band in profile.bands
    )
    heads = (Column("from", "Flow, from", "gpm"), Column("to", "to", "gpm"), Column("share", "Share", "% of volume"))
    return Table("demand", "Shares of volume by flow", heads, rows, profile.source, compact=True)
