"""What a weak accuracy promise may cost: water that may go unregistered within it, and what is not protected at all.

Formulas and a published example: docs/worth.md, "Exposure".
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
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
from firstcap.worth.exposure import (
    DemandBand,
    Exposure,
    PromisedLimit,
    exposure_of,
    exposures_of,
    least_over,
    most_over,
)

# Shares of volume at the minimum, intermediate and maximum test flow.
RULE_OF_THUMB = {FlowRole.MINIMUM: 15, FlowRole.INTERMEDIATE: 70, FlowRole.MAXIMUM: 15}
_RULE_SPREAD = 5
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
    """A profile from a CSV with columns from, to (US gallons a minute) and share (per cent); UsageError otherwise.

    A column spread says within how many points either way a share is known.
    """
    bands = []
    for line, row in rows_of(path, ("from", "to", "share"), ("spread",)):
        low, high, share = (Fraction(number(path, line, name, row[name])) for name in ("from", "to", "share"))
        spread = Fraction(number(path, line, "spread", row["spread"])) if row.get("spread") else Fraction(0)
        if high < low:
            raise UsageError(f"line {line}: the band runs from {row['from']} down to {row['to']}", file=str(path))
        bands.append(DemandBand(low, high, share / 100, spread / 100))
    total = sum((band.share for band in bands), Fraction(0)) * 100
    if abs(total - 100) > Fraction(1, 10):
        raise UsageError(f"the shares sum to {float(total):g} %, not to 100 %", file=str(path))
    return Profile(
        tuple(replace(band, share=band.share * 100 / total) for band in bands),
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
        DemandBand(Fraction(flows[role]), Fraction(flows[role]), Fraction(share, 100), Fraction(_RULE_SPREAD, 100))
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
    reckoned = [
        _Reckoned(
            case,
            exposure_of(demand.bands, case.limits, registered=registered),
            exposures_of(demand.bands, case.limits, registered=registered),
        )
        for case in cases_of(held)
    ]
    silent = [offer for offer in held if not promised_limits(offer)]
    table = _Table(demand, use, counted, tariff, currency, meters)
    statuses = [*shown.statuses([offer for offer in held if promised_limits(offer)], comparison)]
    if silent:
        names = "; ".join(
            dict.fromkeys(f"{offer.label}, {words.spaced(offer.term.accuracy_level or 'accuracy')}" for offer in silent)
        )
        statuses.append(Status(f"Cannot be reckoned, as no flow with a lower limit is held: {names}", open=True))
    parts: tuple[Part, ...] = (_READ, table.shares(reckoned), table.amounts(reckoned))
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
            *(
                (
                    "Each share of demand may be so many points higher or lower as stands beside it; how many is "
                    "an assumption.",
                )
                if any(band.spread for band in demand.bands)
                else ("The shares of demand are taken as they stand, without a spread.",)
            ),
            "Between two promised flows either neighbour’s limit may hold: the range shows both.",
            "A meter is taken to stand at its lower limit; most stand better. This is what the promise allows, no "
            "forecast.",
            *(("Money is volume times one tariff, without steps or fees.",) if tariff is not None else ()),
        ),
        sources=(demand.source, "Formula: under-registration weighted by demand, as in AWWA M36 (see docs/worth.md)."),
    )


_READ = (
    "The low and the high end say what the promise leaves open between its test flows, and what the shares of demand "
    "leave open. Unprotected water runs below "
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


@dataclass(frozen=True)
class _Reckoned:
    """A case with its exposure: over all water, and of each band if all water ran there."""

    case: Case
    found: Exposure
    each: tuple[Exposure, ...]

    @property
    def bare(self) -> bool:
        """Nothing is promised at any flow of the demand."""
        return self.found.unprotected_least == 1


class _Table:
    def __init__(
        self, demand: Profile, use: Fraction, unit: Unit, tariff: Fraction | None, currency: str, meters: int
    ) -> None:
        self.demand = demand
        self.use = use
        self.unit = unit
        self.tariff = tariff
        self.currency = currency
        self.meters = meters

    def volume(self, share: Fraction, meters: int = 1) -> Cell:
        return self.unit.cell(share * self.use * meters) if share else Cell("0", 0)

    def money(self, share: Fraction, meters: int) -> Cell:
        if self.tariff is None:
            return NOTHING
        amount = round(self.unit.of(share * self.use) * self.tariff * meters, 2)
        return Cell(f"{self.currency}{float(amount):,.2f}", amount)

    def head(self, one: _Reckoned) -> tuple[Cell, ...]:
        case = one.case
        refs = case.offer.bands_refs + (case.low.bands_refs if case.low else ())
        level = Cell(case.level, more="with its low-flow promise" if case.low else None, places=shown.places(refs))
        return shown.who(case.offer), level, _state(case)

    def shares(self, reckoned: Sequence[_Reckoned]) -> Table:
        rows = []
        for one in reckoned:
            found = one.found
            rows.append(
                (
                    *self.head(one),
                    Cell(one.case.told),
                    NOTHING if one.bare else _percent(found.least),
                    NOTHING if one.bare else _percent(found.most),
                    *(
                        _percent(share, Mark.BAD if share else Mark.PLAIN)
                        for share in (found.unprotected_least, found.unprotected_most)
                    ),
                )
            )
        return Table(
            "exposure",
            "What may go unregistered of all water",
            (
                *_HEAD,
                Column("ends", "For"),
                Column("exposed_low", "Exposed, low", "% of volume"),
                Column("exposed_high", "Exposed, high", "% of volume"),
                Column("unprotected_low", "Unprotected, low", "% of volume"),
                Column("unprotected_high", "Unprotected, high", "% of volume"),
            ),
            tuple(rows),
        )

    def amounts(self, reckoned: Sequence[_Reckoned]) -> Table:
        """Volume and money, for one meter and for all of them."""
        rows = []
        for one in reckoned:
            for meters in dict.fromkeys((1, self.meters)):
                found = one.found
                shares = (found.least, found.most) if not one.bare else (None, None)
                row = [*self.head(one), Cell(words.figure(Fraction(meters)), meters)]
                row += [NOTHING if share is None else self.volume(share, meters) for share in shares]
                row.append(self.volume(found.unprotected_most, meters))
                if self.tariff is not None:
                    row += [NOTHING if share is None else self.money(share, meters) for share in shares]
                    row.append(self.money(found.unprotected_most, meters))
                rows.append(tuple(row))
        sign = self.unit.sign
        heads = [
            *_HEAD,
            Column("meters", "Meters"),
            Column("volume_low", "Exposed, low", f"{sign} a year"),
            Column("volume_high", "Exposed, high", f"{sign} a year"),
            Column("unprotected_volume", "Unprotected, at most", f"{sign} a year"),
        ]
        if self.tariff is not None:
            heads += [
                Column("money_low", "Exposed, low", f"{self.currency} a year"),
                Column("money_high", "Exposed, high", f"{self.currency} a year"),
                Column("unprotected_money", "Unprotected, at most", f"{self.currency} a year"),
            ]
        used = f"{words.figure(self.unit.of(self.use))} {sign}"
        return Table("amounts", f"In volume and money, at {used} a meter and year", tuple(heads), tuple(rows))

    def differences(self, reckoned: Sequence[_Reckoned]) -> tuple[Part, ...]:
        """Each promise against the one of the same level that leaves most at risk, with the same water."""
        by_level: dict[str, list[_Reckoned]] = {}
        for one in reckoned:
            if not one.bare:
                by_level.setdefault(one.case.level, []).append(one)
        rows = []
        for held in by_level.values():
            if len(held) < 2:
                continue
            worst = max(held, key=lambda one: one.found.at_risk)
            for one in held:
                saved = [other.at_risk - mine.at_risk for other, mine in zip(worst.each, one.each, strict=True)]
                bands = self.demand.bands
                low, high = least_over(bands, saved), most_over(bands, saved)
                bare = worst.found.unprotected_most - one.found.unprotected_most
                against = NOTHING if one is worst else Cell(worst.case.offer.label)
                row = [*self.head(one), against, self.volume(low), self.volume(high), _percent(bare)]
                if self.tariff is not None:
                    row += [self.money(low, self.meters), self.money(high, self.meters)]
                rows.append(tuple(row))
        if not rows:
            return ("There are no two promises of one kind to set against each other.",)
        sign, fleet = self.unit.sign, words.counted(self.meters, "meter")
        heads = [
            *_HEAD,
            Column("against", "Set against"),
            Column("volume_saved_low", "Less at risk, low", f"{sign} a meter and year"),
            Column("volume_saved_high", "Less at risk, high", f"{sign} a meter and year"),
            Column("unprotected_saved", "Less unprotected", "points of volume"),
        ]
        if self.tariff is not None:
            heads += [
                Column("money_saved_low", "Worth, low", f"{self.currency} a year, {fleet}"),
                Column("money_saved_high", "Worth, high", f"{self.currency} a year, {fleet}"),
            ]
        return (
            "At risk is the high end of what may go unregistered, water that nothing is promised for counted whole. "
            "Both promises are reckoned with the same water; the range is that of the shares of demand.",
            Table("difference", "Against the promise that leaves most at risk", tuple(heads), tuple(rows)),
        )


_HEAD = columns(("supplier", "Supplier"), ("level", "Promise"), ("state", "State"))


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
            Cell(f"± {words.about(band.spread * 100)}", band.spread * 100) if band.spread else NOTHING,
        )
        for band in profile.bands
    )
    heads = (
        Column("from", "Flow, from", "gpm"),
        Column("to", "to", "gpm"),
        Column("share", "Share", "% of volume"),
        Column("spread", "Spread", "points either way"),
    )
    return Table("demand", "Shares of volume by flow", heads, rows, profile.source, compact=True)
