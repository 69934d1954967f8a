"""Which cap ends first: break-even use of every promise, cover at given uses, and what becomes of all accounts.

Formulas and a worked example: docs/worth.md, "Which cap ends first".
"""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from firstcap.app.report import words
from firstcap.app.report.comparison import Offer
from firstcap.app.report.page import END_MARKS, END_WORDS
from firstcap.app.report.paper import NOTHING, Cell, Column, Figure, Mark, Paper, Part, Section, Table, columns
from firstcap.app.report.plot import Curve, Plot, Spot, plot_svg, round_up
from firstcap.app.report.rows import Views, size_label
from firstcap.app.worth import offers as shown
from firstcap.app.worth.tables import number, rows_of
from firstcap.schema.errors import UsageError
from firstcap.schema.units import VOLUME_UNITS, gallons_per
from firstcap.schema.vocabulary import Ends
from firstcap.worth.cover import DAYS_PER_YEAR, end_of
from firstcap.worth.demand import PERIODS, Fate, fate_of, gallons_a_year, quantile

UNIT_SIGNS = {"m3": "m³", "ft3": "ft³", "acre_ft": "acre-ft", "imp_gal": "imp gal", "imp_kgal": "imp kgal"}
PERCENTILES = (5, 25, 50, 75, 95)
_MOST_SPOTS = 10
_MOST_CURVES = 12


@dataclass(frozen=True)
class Unit:
    """The unit the user's bills count in."""

    name: str = "gal"

    @property
    def sign(self) -> str:
        return UNIT_SIGNS.get(self.name, self.name)

    def of(self, usgal: Fraction) -> Fraction:
        return usgal / gallons_per(self.name)

    def cell(self, usgal: Fraction | None) -> Cell:
        if usgal is None:
            return NOTHING
        value = self.of(usgal)
        return Cell(words.figure(value), value)


def unit_named(name: str) -> Unit:
    """A unit of volume by its name, whatever its case; UsageError with the names there are."""
    for known in VOLUME_UNITS:
        if known.casefold() == name.strip().replace("³", "3").casefold():
            return Unit(known)
    raise UsageError(f"no unit of volume {name!r}; there are {', '.join(VOLUME_UNITS)}")


def period_named(name: str) -> str:
    """A billing period; UsageError with those there are."""
    if name.casefold() not in PERIODS:
        raise UsageError(f"no period {name!r}; there are {', '.join(PERIODS)}")
    return name.casefold()


def accounts_from(path: Path, unit: Unit, per: str, size: str | None = None) -> list[Fraction]:
    """The yearly uses, in US gallons, of a CSV with a column `use`; of one meter size where it has a column `size`."""
    uses = []
    for line, row in rows_of(path, ("use",), ("account", "size")):
        if size is not None and row.get("size") and size_label(row["size"]) != size_label(size):
            continue
        uses.append(gallons_a_year(Fraction(number(path, line, "use", row["use"])), unit.name, per))
    if not uses:
        raise UsageError(f"holds no account of size {size}", file=str(path))
    return uses


def first_cap(
    views: Views,
    *,
    size: str | None = None,
    promise: str | None = None,
    component: str | None = None,
    uses: Sequence[Fraction] = (),
    accounts: Sequence[Fraction] = (),
    unit: Unit | None = None,
    stored_months: Fraction = Fraction(0),
) -> Paper:
    """The report. `uses` and `accounts` are US gallons a year; `unit` is the one shown.

    `stored_months` pass between shipment, manufacture, delivery or purchase and the first use; installation,
    commissioning and acceptance are at the first use. Promises without any limit that ends them are left out.
    """
    counted = unit or Unit("m3" if size and size.upper().startswith("DN") else "gal")
    comparison = shown.comparison_of(views, size)
    held = [
        offer
        for offer in shown.chosen(comparison.offers, promise, component)
        if offer.cover.years is not None or offer.cover.usgal is not None
    ]
    capped = [offer for offer in held if offer.cover.usgal is not None]
    view = _View(counted, Fraction(stored_months) / 12)
    sections = [Section("Break-even use", (_RULE, view.break_evens(capped)))]
    if uses:
        sections.append(Section("Cover at a given use", (view.at_uses(held, uses),)))
    if accounts:
        sections.append(Section("All accounts", tuple(view.accounts(capped or held, accounts))))
    what = f"{comparison.size_words} meters" if size else "every size"
    return Paper(
        kind="first_cap",
        title=f"Which cap ends first: {what}",
        lead="A promise that ends at the first of so many years and so much registered water ends by volume for those "
        "who use much, by time for those who use little. This says where the line runs.",
        statuses=shown.statuses(capped if not uses else held, comparison),
        sections=tuple(sections),
        assumptions=(
            "An account uses water steadily, the same every year.",
            "A year has 12 months and 365.25 days.",
            f"Between shipment, manufacture, delivery or purchase and the first use lie "
            f"{words.counted(Fraction(stored_months), 'month')}; installation, commissioning and acceptance are at the "
            "first use. A cover is counted from the first of its clocks to start.",
            "Of several time limits, each counted from its own event, the one that ends first ends the cover, or the "
            "one that ends last where the document says so.",
            "Where a document gives two limits and no rule between them, the earlier one is taken to end the cover; "
            "where a condition decides what starts the time, the earliest start is taken.",
        ),
        sources=("Arithmetic from the document's own limits; units by NIST SP 811 and NIST Handbook 44, Appendix C.",),
    )


_RULE = (
    "Break-even use = volume cap ÷ years in use. An account that uses more meets the volume cap first; one that uses "
    "less meets the years first. The lower the figure, the fewer accounts get the years that are printed."
)


class _View:
    """The tables and drawings, in one unit and with one time in store."""

    def __init__(self, unit: Unit, stored_years: Fraction) -> None:
        self.unit = unit
        self.stored_years = stored_years

    def head(self, offer: Offer) -> tuple[Cell, ...]:
        return shown.who(offer), shown.size(offer), shown.promised(offer), shown.state(offer)

    def break_evens(self, offers: Sequence[Offer]) -> Table:
        rows = []
        for offer in offers:
            span = offer.span(self.stored_years)
            cover, yearly = span.cover, span.break_even_per_year
            limit = offer.time_limits
            time = Cell(limit.text, None if cover.years is None else cover.years * 12, places=shown.places(limit.refs))
            rows.append(
                (
                    *self.head(offer),
                    time,
                    replace(self.unit.cell(cover.usgal), more=offer.cap.text, places=shown.places(offer.cap.refs)),
                    Cell(offer.rule.text, places=shown.places(offer.rule.refs)),
                    self.unit.cell(yearly),
                    self.unit.cell(None if yearly is None else yearly / 12),
                    self.about(None if yearly is None else yearly / DAYS_PER_YEAR),
                )
            )
        sign = self.unit.sign
        return Table(
            "break_even",
            "Above this use, the volume ends the cover first",
            (
                *HEAD,
                Column("months", "Time limit", "months"),
                Column("cap", "Volume cap", sign),
                Column("ends", "Which ends first"),
                Column("break_even_year", "Break-even use", f"{sign} a year"),
                Column("break_even_month", "Break-even use", f"{sign} a month"),
                Column("break_even_day", "Break-even use", f"{sign} a day"),
            ),
            tuple(rows),
            "Promises without a volume cap end by time whatever is used, and are not listed.",
        )

    def about(self, usgal: Fraction | None) -> Cell:
        if usgal is None:
            return NOTHING
        value = self.unit.of(usgal)
        return Cell(words.about(value), value)

    def at_uses(self, offers: Sequence[Offer], uses: Sequence[Fraction]) -> Table:
        rows = []
        for offer in offers:
            for use in uses:
                span = offer.span(self.stored_years)
                end = end_of(span.cover, use, span.idle_years)
                months = NOTHING if end.years is None else _months(end.years * 12)
                used = NOTHING if end.years is None else _months(max(Fraction(0), end.years - span.idle_years) * 12)
                refs = (*offer.time_limits.refs, *offer.cap.refs)
                rows.append(
                    (
                        *self.head(offer),
                        Cell(offer.in_short, places=shown.places(refs)),
                        Cell(f"{words.figure(self.unit.of(use))} {self.unit.sign}", self.unit.of(use)),
                        months,
                        used,
                        Cell(f"{END_MARKS[end.by]} {END_WORDS[end.by]}".strip()),
                        self.unit.cell(end.usgal),
                    )
                )
        sign = self.unit.sign
        return Table(
            "cover_at_use",
            "How long the cover lasts",
            (
                *HEAD,
                Column("ends", "For"),
                Column("use", "Use", f"{sign} a year"),
                Column("cover", "Cover", "months"),
                Column("in_use", "Of which in use", "months"),
                Column("ended_by", "Ended by"),
                Column("registered", "Registered by then", sign),
            ),
            tuple(rows),
        )

    def accounts(self, offers: Sequence[Offer], uses: Sequence[Fraction]) -> list[Part]:
        ordered = sorted(uses)
        spans = [(offer, offer.span(self.stored_years)) for offer in offers]
        fates = [(offer, fate_of(span.cover, uses, span.idle_years)) for offer, span in spans]
        return [
            f"{len(uses):,} accounts. Half of them use {self.amount(quantile(ordered, Fraction(1, 2)))} or less; one "
            f"in twenty uses more than {self.amount(quantile(ordered, Fraction(19, 20)))}.",
            self.uses_figure(offers, ordered),
            self.fates_table(fates),
            self.covers_figure(fates),
        ]

    def amount(self, usgal: Fraction) -> str:
        return f"{words.figure(self.unit.of(usgal))} {self.unit.sign} a year"

    def fates_table(self, fates: Sequence[tuple[Offer, Fate]]) -> Table:
        rows = []
        for offer, fate in fates:
            middle = [
                _months(quantile(fate.months, Fraction(percent, 100))) if fate.months else NOTHING
                for percent in PERCENTILES
            ]
            rows.append(
                (
                    *self.head(offer),
                    percent_cell(fate.volume_first, Mark.BAD if fate.volume_first > Fraction(1, 2) else Mark.PLAIN),
                    percent_cell(fate.time_first),
                    *middle,
                )
            )
        return Table(
            "accounts",
            "Accounts for which the volume ends first, and how long their cover lasts",
            (
                *HEAD,
                Column("volume_first", "Volume ends first", "% of accounts"),
                Column("time_first", "Time ends first", "% of accounts"),
                *(Column(f"months_p{p}", _percentile_name(p), "months") for p in PERCENTILES),
            ),
            tuple(rows),
            "A cover “for 5 % of accounts” is the one that at least 5 % of accounts do not outlast.",
        )

    def uses_figure(self, offers: Sequence[Offer], ordered: Sequence[Fraction]) -> Figure:
        """The accounts by what they use, and where each promise's break-even falls among them."""
        total = len(ordered)
        top = quantile(ordered, Fraction(99, 100))
        evens: dict[Fraction, list[Offer]] = {}
        for offer in offers:
            even = offer.span(self.stored_years).break_even_per_year
            if even is not None and offer.cover.ends != Ends.LAST_OF:
                evens.setdefault(even, []).append(offer)
        kept = dict(sorted(evens.items())[:_MOST_SPOTS])
        high = max([top, *(even for even in kept if even <= top * 3)], default=Fraction(1))
        x_high = round_up(float(self.unit.of(high)) * 1.05)
        points = [(0.0, 0.0)]
        for place in range(201):
            use = quantile(ordered, Fraction(max(place, 1), 200))
            x = float(self.unit.of(use))
            if x <= x_high:
                points.append((x, 100 * bisect_right(ordered, use) / total))
        spots = [
            Spot(
                _names(held, level=False),
                f"{_level(held[0])}{100 - 100 * bisect_right(ordered, even) / total:.0f} % use over "
                f"{words.figure(self.unit.of(even))} {self.unit.sign}",
                float(self.unit.of(even)),
                100 * bisect_right(ordered, even) / total,
                number_,
                any(offer.unconfirmed for offer in held),
            )
            for number_, (even, held) in enumerate(kept.items(), 1)
            if float(self.unit.of(even)) <= x_high
        ]
        return Figure(
            plot_svg(
                Plot(
                    id="accounts-by-use",
                    title="Accounts by yearly use, and each promise’s break-even",
                    how="Right of a mark lie the accounts whose volume runs out before the years do.",
                    says="The share of accounts that use no more than so much a year, with the break-even use of every "
                    "promise marked on it.",
                    x_name=f"{self.unit.sign} a year",
                    y_name="% of accounts that use no more",
                    curves=(Curve("", (*points, (x_high, points[-1][1])), steps=False),),
                    x_high=x_high,
                    y_high=100,
                    y_percent=True,
                    spots=tuple(spots),
                )
            ),
            "The share of accounts that use no more than so much a year, with every promise's break-even marked.",
        )

    def covers_figure(self, fates: Sequence[tuple[Offer, Fate]]) -> Figure:
        """How many accounts are still covered after so many years."""
        drawn = fates[:_MOST_CURVES]
        longest = max((fate.months[-1] for _, fate in drawn if fate.months), default=Fraction(12))
        x_high = round_up(float(longest) / 12 * 1.05)
        curves = []
        for offer, fate in drawn:
            points = [(0.0, 100.0)]
            for months in sorted(set(fate.months)):
                points.append((float(months) / 12, 100 * float(fate.covered(months))))
            points.append((x_high, points[-1][1]))
            curves.append(Curve(_names([offer]), tuple(points), offer.unconfirmed, steps=True))
        return Figure(
            plot_svg(
                Plot(
                    id="accounts-covered",
                    title="Accounts still covered",
                    how="Each line falls where accounts meet the first of their two limits.",
                    says="The share of accounts still covered, by years after the start, a line a promise.",
                    x_name="years after the start of the warranty",
                    y_name="% of accounts",
                    curves=tuple(curves),
                    x_high=x_high,
                    y_high=100,
                    y_percent=True,
                )
            ),
            "The share of accounts still covered, by years after the start of the warranty.",
        )


HEAD = columns(("supplier", "Supplier"), ("size", "Size"), ("promise", "Promise"), ("state", "State"))


def _percentile_name(percent: int) -> str:
    return "Cover: half the accounts" if percent == 50 else f"Cover: {percent} % of accounts"


def _names(offers: Sequence[Offer], *, level: bool = True) -> str:
    """The first of these promises by name, and how many more there are; unconfirmed ones carry their sign."""
    names = list(
        dict.fromkeys(
            f"{words.UNCONFIRMED_SIGN + ' ' if offer.unconfirmed else ''}{offer.column.label}"
            f"{', ' + _level(offer).removesuffix(': ') if level else ''}"
            for offer in offers
        )
    )
    return names[0] if len(names) == 1 else f"{names[0]} +{len(names) - 1}"


def _level(offer: Offer) -> str:
    level = offer.term.accuracy_level
    named = words.spaced(level).replace(" meter", "") if level else words.component_words(offer.term.component)
    return f"{named}: "


def _months(months: Fraction) -> Cell:
    return Cell(words.about(months, 4), months)


def percent_cell(share: Fraction, mark: Mark = Mark.PLAIN) -> Cell:
    """A share of one as per cent to a tenth."""
    percent = share * 100
    return Cell(f"{float(percent):.1f} %", percent, mark)
