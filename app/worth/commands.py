"""The commands that say what the terms are worth. Each calls one library function; heavy imports stay inside."""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firstcap.app.options import DEFAULT_CATALOGUE, CatalogueOption, OutOption, SortOption, open_catalogue

if TYPE_CHECKING:
    from firstcap.app.report.paper import Paper

SizeOption = Annotated[
    str | None,
    typer.Option(help="One meter size: 5/8, 5/8x3/4, 1-1/2, DN20, …; every size unless given.", show_default=False),
]
PromiseOption = Annotated[
    str | None, typer.Option(help="Only accuracy, materials_workmanship or function.", show_default=False)
]
ComponentOption = Annotated[
    str | None, typer.Option(help="Only one component: register, battery, maincase, ….", show_default=False)
]
UnitOption = Annotated[str, typer.Option(help="Unit of volume of your figures: gal, kgal, CCF, m3, ….")]
PerOption = Annotated[str, typer.Option(help="What your figures are per: day, month, bimonth, quarter, year.")]


def add_to(app: typer.Typer) -> None:
    """Register the commands of this part, in the order of the help."""
    for command, short in _COMMANDS:
        app.command(command.__name__.strip("_").replace("_", "-"), short_help=short)(command)


def _deliver(paper: "Paper", catalogue: Path, out: Path | None, sort: str | None) -> None:
    import sys

    from firstcap.app.report.paper import sorted_by
    from firstcap.app.report.strips import strips_of
    from firstcap.app.report.writers import deliver

    ordered = sorted_by(paper, sort) if sort else paper
    drawn = strips_of(open_catalogue(catalogue), ordered.places) if out and out.suffix.lower() == ".html" else None
    told = deliver(ordered, out, drawn)
    print(told, file=sys.stderr if out else sys.stdout)


def first_cap(
    size: SizeOption = None,
    promise: PromiseOption = None,
    component: ComponentOption = None,
    use: Annotated[
        list[float] | None, typer.Option(min=0, help="A use to reckon with; may be given several times.")
    ] = None,
    accounts: Annotated[
        Path | None, typer.Option(help="A CSV of accounts: a column use, one row an account.", dir_okay=False)
    ] = None,
    unit: UnitOption = "gal",
    per: PerOption = "year",
    stored: Annotated[float, typer.Option(min=0, help="Months between shipment and first use.")] = 0,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Say which cap ends first: break-even use of every promise, cover at a given use, and over all accounts."""
    from firstcap.app.worth import first_cap as report
    from firstcap.worth.demand import gallons_a_year

    counted, period = report.unit_named(unit), report.period_named(per)
    paper = report.first_cap(
        open_catalogue(catalogue),
        size=size,
        promise=promise,
        component=component,
        uses=[gallons_a_year(_exact(one), counted.name, period) for one in use or ()],
        accounts=report.accounts_from(accounts, counted, period, size) if accounts else (),
        unit=counted,
        stored_months=_exact(stored),
    )
    _deliver(paper, catalogue, out, sort)


def _exact(number: float) -> Fraction:
    """What was typed, without the dust of a double."""
    return Fraction(Decimal(repr(number)))


def accuracy(
    size: SizeOption = None,
    edition: Annotated[
        str | None, typer.Option(help="The edition or class of the standard to measure by.", show_default=False)
    ] = None,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Measure promised accuracy by the standards, in percentage points, for new, rebuilt and repaired meters."""
    from firstcap.app.worth.accuracy import accuracy as report

    _deliver(report(open_catalogue(catalogue), size=size, edition=edition), catalogue, out, sort)


def exposure(
    size: Annotated[str, typer.Option(help="The meter size: 5/8, 3/4, DN20, ….", show_default=False)],
    use: Annotated[float, typer.Option(min=0, help="Use of one meter, in --unit per --per.", show_default=False)],
    unit: UnitOption = "gal",
    per: PerOption = "year",
    profile: Annotated[
        Path | None,
        typer.Option(help="A CSV of demand: columns from, to (gpm) and share (%). Else 15/70/15.", dir_okay=False),
    ] = None,
    tariff: Annotated[float | None, typer.Option(min=0, help="Money per --unit of water.", show_default=False)] = None,
    currency: Annotated[str, typer.Option(help="The sign of your money.")] = "$",
    meters: Annotated[int, typer.Option(min=1, help="Meters of the fleet.")] = 1,
    registered: Annotated[
        bool, typer.Option("--registered", help="Use and shares are as registered, not true.")
    ] = False,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Say how much water meters may fail to register within their promise, in volume and money, as a range."""
    from firstcap.app.worth import exposure as report
    from firstcap.app.worth.first_cap import period_named, unit_named
    from firstcap.worth.demand import gallons_a_year

    counted = unit_named(unit)
    paper = report.exposure(
        open_catalogue(catalogue),
        size,
        use=gallons_a_year(_exact(use), counted.name, period_named(per)),
        unit=counted,
        profile=report.profile_from(profile) if profile else None,
        tariff=None if tariff is None else _exact(tariff),
        currency=currency,
        meters=meters,
        registered=registered,
    )
    _deliver(paper, catalogue, out, sort)


def credits_(
    size: SizeOption = None,
    promise: PromiseOption = None,
    component: ComponentOption = None,
    price: Annotated[float, typer.Option(min=0, help="What one unit costs.")] = 100,
    currency: Annotated[str, typer.Option(help="The sign of your money.")] = "$",
    weibull: Annotated[
        tuple[float, float] | None,
        typer.Option(
            metavar="SHAPE SCALE", help="Failure curve: shape and scale in years, as 2.2 18.", show_default=False
        ),
    ] = None,
    exponential: Annotated[
        float | None, typer.Option(help="Failure curve: mean life in years.", show_default=False)
    ] = None,
    failures: Annotated[
        Path | None, typer.Option(help="Failure curve: a CSV with columns age (years) and failed (%).", dir_okay=False)
    ] = None,
    discount: Annotated[float, typer.Option(min=-50, help="Discount, per cent a year.")] = 0,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Show what the customer pays for a unit that fails at an age, and what the supplier's share is worth."""
    from firstcap.app.worth import credits as report

    paper = report.prorated_credits(
        open_catalogue(catalogue),
        size=size,
        promise=promise,
        component=component,
        price=_exact(price),
        currency=currency,
        curve=report.curve_of(weibull, exponential, failures),
        discount=discount / 100,
    )
    _deliver(paper, catalogue, out, sort)


def tender(
    asks: Annotated[Path, typer.Argument(help="The file of asks, TOML: see docs/worth.md.", show_default=False)],
    tightest: Annotated[
        int | None,
        typer.Option(min=1, help="Also find the tightest asks that so many suppliers meet.", show_default=False),
    ] = None,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Check every document against the asks of a tender: met, met with conditions, not stated or not met."""
    from firstcap.app.worth.asks import tender_from
    from firstcap.app.worth.tender import compliance

    _deliver(compliance(tender_from(asks), open_catalogue(catalogue), at_least=tightest), catalogue, out, sort)


def changes(
    old: Annotated[str, typer.Argument(help="The older document: how its file name or id begins.", show_default=False)],
    new: Annotated[str, typer.Argument(help="The newer document, named so too.", show_default=False)],
    meters: Annotated[
        Path | None, typer.Option(help="A CSV of meters: columns meter and shipped (YYYY-MM-DD).", dir_okay=False)
    ] = None,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Compare two editions of a document, promise by promise, and say which meters fall under which edition."""
    from firstcap.app.worth import changes as report
    from firstcap.app.worth.editions import shipments_from

    store = open_catalogue(catalogue)
    shipped = shipments_from(meters) if meters else ()
    _deliver(report.changes(store, report.named(store, old), report.named(store, new), shipped), catalogue, out, sort)


def find(
    query: Annotated[
        str, typer.Argument(metavar="WORDS", help='What to look for: "fogging register".', show_default=False)
    ],
    most: Annotated[int, typer.Option(min=1, help="Show at most so many passages.")] = 20,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: OutOption = None,
) -> None:
    """Find passages of the documents by their words: promises, exclusions, duties, conditions, with their pages."""
    from firstcap.app.worth.library import find as report

    _deliver(report(open_catalogue(catalogue), query, most=most), catalogue, out, sort)


def book(catalogue: CatalogueOption = DEFAULT_CATALOGUE, sort: SortOption = None, out: OutOption = None) -> None:
    """Write the book of terms: a glossary of the trade, then every kind of clause in every supplier's words."""
    from firstcap.app.worth.library import book as report

    _deliver(report(open_catalogue(catalogue)), catalogue, out, sort)


# Each command with its line in the list of commands.
_COMMANDS: tuple[tuple[Callable[..., None], str], ...] = (
    (first_cap, "Say which cap ends the cover first, and for whom."),
    (accuracy, "Measure promised accuracy by the standards."),
    (exposure, "Say how much water a promise lets go unregistered."),
    (credits_, "Show what the customer pays when a unit fails."),
    (tender, "Check the documents against the asks of a tender."),
    (changes, "Compare two editions of a document."),
    (find, "Find passages of the documents by their words."),
    (book, "Write the book of terms, opened by a glossary."),
)
