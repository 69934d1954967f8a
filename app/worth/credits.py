"""What the customer pays when a unit fails at an age, for all suppliers on one axis, and what the cover is worth.

Formulas and worked examples: docs/worth.md, "Prorated credits".
"""

from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path

from firstcap.app.report import words
from firstcap.app.report.comparison import Offer
from firstcap.app.report.paper import (
    NOTHING,
    SILENT,
    Cell,
    Column,
    Figure,
    Paper,
    Part,
    Section,
    Status,
    Table,
    columns,
)
from firstcap.app.report.plot import Curve, Plot, plot_svg, round_up
from firstcap.app.report.rows import Views
from firstcap.app.worth import offers as shown
from firstcap.app.worth.tables import number, rows_of
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import Ends
from firstcap.worth.credits import Step, customer_pays, schedule, worth_of
from firstcap.worth.failure import Exponential, FailureCurve, Weibull
from firstcap.worth.failure import Table as FailureTable

_MOST_CURVES = 10
_MOST_AGES = 12


def failures_from(path: Path) -> FailureTable:
    """A failure curve from a CSV with columns age (years) and failed (per cent of units by then)."""
    ages, shares = [], []
    for line, row in rows_of(path, ("age", "failed")):
        ages.append(float(number(path, line, "age", row["age"])))
        shares.append(float(number(path, line, "failed", row["failed"])) / 100)
    try:
        return FailureTable(tuple(ages), tuple(shares))
    except ValueError as problem:
        raise UsageError(str(problem), file=str(path)) from problem


def curve_of(weibull: tuple[float, float] | None, exponential: float | None, table: Path | None) -> FailureCurve | None:
    """The one curve that was asked for, if any; UsageError for several and for impossible ones."""
    given = [one for one in (weibull, exponential, table) if one is not None]
    if len(given) > 1:
        raise UsageError("give one failure curve: --weibull, --exponential or --failures")
    try:
        if weibull is not None:
            return Weibull(*weibull)
        if exponential is not None:
            return Exponential(exponential)
    except ValueError as problem:
        raise UsageError(str(problem)) from problem
    return failures_from(table) if table is not None else None


def prorated_credits(
    views: Views,
    *,
    size: str | None = None,
    promise: str | None = None,
    component: str | None = None,
    price: Fraction = Fraction(100),
    currency: str = "$",
    curve: FailureCurve | None = None,
    discount: float = 0.0,
    horizon_years: int = 25,
) -> Paper:
    """The report: kinds of promise of which at least one is prorated, or all of the component that is asked for.

    `price` is what a unit costs; `discount` a share a year; a promise for life is reckoned up to `horizon_years`.
    """
    comparison = shown.comparison_of(views, size)
    kept = {id(offer) for offer in shown.chosen(comparison.offers, promise, component)}
    sections: list[Section] = []
    all_shown: list[Offer] = []
    for group in comparison.promises:
        offers = [offer for offer in group.offers if id(offer) in kept]
        if not offers or (component is None and not any(offer.steps for offer in offers)):
            continue
        held = [(offer, steps) for offer in offers if (steps := schedule_of(offer, horizon_years))]
        if not held:
            continue
        all_shown += [offer for offer, _ in held]
        parts: list[Part] = [
            _figure(group.anchor, group.heading, held, horizon_years),
            _ages(group.anchor, held, price, currency),
        ]
        if curve is not None:
            parts.append(_worth(group.anchor, held, price, currency, curve, discount))
        sections.append(Section(group.heading, tuple(parts)))
    statuses = shown.statuses(all_shown, comparison)
    if not sections:
        statuses = (Status("No prorated promise is held; name a --component to see what is paid for it.", open=True),)
    return Paper(
        kind="credits",
        title=f"Prorated credits{f': {comparison.size_words} meters' if size else ''}",
        lead="What the customer pays for a unit that fails at an age, and what the supplier’s share is worth.",
        statuses=statuses,
        sections=tuple(sections),
        assumptions=(
            f"A unit costs {currency}{words.plain_number(price)} at every age; of which price a share is meant "
            "stands beside it.",
            "Year n runs from month 12(n−1) to 12n after the start.",
            "Only the first failure counts, and only the price of the unit: no labour, no freight.",
            *(
                (
                    f"Failure curve: {curve.told}. It is an assumption of whoever runs this, not a promise.",
                    f"Discounted at {100 * discount:g} % a year from the age of the failure.",
                )
                if curve
                else ("Without a failure curve nothing is said of how likely a failure is.",)
            ),
            f"A promise for life is reckoned up to {horizon_years} years.",
        ),
        sources=("Expected value by the definition of an expectation; see docs/worth.md.",),
    )


def schedule_of(offer: Offer, horizon_years: int) -> tuple[Step, ...]:
    """What is paid from the start to the end of one promise; empty where it has no end that can be told in months."""
    term = offer.term
    full = None if term.full_months is None else Fraction(term.full_months)
    if term.duration_months is not None and offer.cover.years is not None:
        end = offer.cover.years * 12
    elif term.ends == Ends.LIFE:
        end = full = Fraction(12 * horizon_years)
    else:
        return ()
    steps = [
        (Fraction(step.from_month), Fraction(step.to_month), Fraction(step.customer_pays_pct) / 100)
        for step in offer.credits
    ]
    if full is None and not steps:
        full = end
    return schedule(steps, full, end)


def _figure(anchor: str, heading: str, held: Sequence[tuple[Offer, tuple[Step, ...]]], horizon: int) -> Figure:
    longest = max(float(steps[-1].high) / 12 for _, steps in held)
    x_high = round_up(longest * 1.08)
    alike: dict[tuple[Step, ...], list[Offer]] = {}
    for offer, steps in held:
        alike.setdefault(steps, []).append(offer)
    curves = []
    for steps, offers in list(alike.items())[:_MOST_CURVES]:
        points: list[tuple[float, float]] = []
        for step in steps:
            if step.share is None:
                continue
            paid = 100 * float(step.share)
            points += [(float(step.low) / 12, paid), (float(step.high) / 12, paid)]
        points += [(float(steps[-1].high) / 12, 100.0), (x_high, 100.0)]
        open_ones = any(offer.unconfirmed for offer in offers)
        names = list(dict.fromkeys(offer.label for offer in offers))
        more = f" +{len(names) - 1}" if len(names) > 1 else ""
        sign = "◇ " if open_ones else ""
        curves.append(Curve(f"{sign}{names[0]}{more}", tuple(points), open_ones, steps=True))
    says = f"{heading}: the customer's share of the price by age, a line a supplier."
    plot = Plot(
        id=f"pays-{anchor}",
        title=f"What the customer pays: {heading[:1].lower()}{heading[1:]}",
        how="0 % is a free replacement, 100 % is no cover any more.",
        says=says,
        x_name="years after the start of the warranty",
        y_name="customer pays, % of the price",
        curves=tuple(curves),
        x_high=x_high,
        y_high=100,
        y_percent=True,
    )
    return Figure(plot_svg(plot), says)


_HEAD = columns(("supplier", "Supplier"), ("size", "Size"), ("state", "State"))


def _head(offer: Offer) -> tuple[Cell, ...]:
    return shown.who(offer), shown.size(offer), shown.state(offer)


def _ages(anchor: str, held: Sequence[tuple[Offer, tuple[Step, ...]]], price: Fraction, currency: str) -> Table:
    """What is paid in the years in which somebody's share changes."""
    changes = sorted({step.low for _, steps in held for step in steps} | {steps[-1].high for _, steps in held})
    ages = changes if len(changes) <= _MOST_AGES else changes[:: -(-len(changes) // _MOST_AGES)]
    rows = []
    for offer, steps in held:
        cells = []
        for month in ages:
            paid = customer_pays(steps, month)
            amount = None if paid is None else paid * price
            cells.append(SILENT if amount is None else Cell(f"{currency}{float(amount):,.2f}", amount))
        basis = Cell(offer.price_basis) if offer.price_basis else NOTHING
        rows.append(
            (
                *_head(offer),
                Cell(offer.time.text, places=shown.places(offer.steps_refs or offer.time.refs)),
                basis,
                *cells,
            )
        )
    return Table(
        f"pays-{anchor}",
        f"The customer pays for a unit of {currency}{words.plain_number(price)} that fails at the start of",
        (
            *_HEAD,
            Column("cover", "Cover"),
            Column("price_basis", "Share"),
            *(Column(f"month_{month}", _age(month), f"{currency}") for month in ages),
        ),
        tuple(rows),
    )


def _age(month: Fraction) -> str:
    return f"year {words.plain_number(month / 12 + 1)}" if month % 12 == 0 else f"month {words.plain_number(month + 1)}"


def _worth(
    anchor: str,
    held: Sequence[tuple[Offer, tuple[Step, ...]]],
    price: Fraction,
    currency: str,
    curve: FailureCurve,
    discount: float,
) -> Table:
    rows = []
    for offer, steps in held:
        plain, now = worth_of(steps, curve), worth_of(steps, curve, discount)
        row = [*_head(offer), _percent(plain.failed_in_cover)]
        for share in (plain.least, plain.most, now.least, now.most):
            amount = Fraction(round(share * float(price), 2)).limit_denominator(100)
            row.append(Cell(f"{currency}{float(amount):,.2f}", amount))
        rows.append(tuple(row))
    return Table(
        f"worth-{anchor}",
        "Expected value of the supplier’s share, for one unit",
        (
            *_HEAD,
            Column("failed", "Fail within the cover", "% of units"),
            Column("credit_low", "Expected credit, low", currency),
            Column("credit_high", "Expected credit, high", currency),
            Column("credit_now_low", "Discounted, low", currency),
            Column("credit_now_high", "Discounted, high", currency),
        ),
        tuple(rows),
        "Low and high differ where a document says that the free period ends and not what is paid afterwards.",
    )


def _percent(share: float) -> Cell:
    return Cell(f"{100 * share:.1f} %", Fraction(share * 100).limit_denominator(10**6))
