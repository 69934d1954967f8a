"""The commands `test-first` and `claims`: what to test in time, and what to claim; heavy imports stay inside."""

import sys
from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Annotated

import typer

from firstcap.app.options import DEFAULT_CATALOGUE, CatalogueOption, SortOption, chosen, login_name, open_catalogue
from firstcap.schema.errors import UsageError

OnOption = Annotated[
    datetime | None,
    typer.Option("--on", formats=["%Y-%m-%d"], help="The day to reckon for; today unless given.", show_default=False),
]
ProposedOption = Annotated[
    bool, typer.Option("--include-proposed", help="Reckon with promises that nobody has confirmed yet, too.")
]
PriceOption = Annotated[
    list[str] | None,
    typer.Option(help="What a meter costs, or of one size: 148.50 or 5/8=148.50. Several times.", show_default=False),
]
CurrencyOption = Annotated[str, typer.Option(help="The sign of your money.")]
UnitOption = Annotated[
    str | None,
    typer.Option(help="Unit of readings where the list names none: gal, kgal, CCF, m3, ….", show_default=False),
]
DatesOption = Annotated[
    str | None, typer.Option(help="day-first or month-first, for dates such as 03/04/2019.", show_default=False)
]

ColumnsOption = Annotated[
    Path | None,
    typer.Option(
        help="A TOML file that says which column is which: see docs/fleet.md and docs/claims.md.", dir_okay=False
    ),
]


def add_to(app: typer.Typer) -> None:
    app.command("test-first", short_help="Say which meters to test before their cover ends.")(test_first)
    app.command(short_help="Turn bench tests into claims for a person to sign.")(claims)


def _exact(number: float) -> Fraction:
    return Fraction(Decimal(repr(number)))


def test_first(
    within: Annotated[int, typer.Option(min=0, help="Accuracy covers that end within so many months.")],
    meters: Annotated[
        Path | None,
        typer.Argument(
            metavar="[METERS.csv]", help="Your list of meters; the one held unless given.", show_default=False
        ),
    ] = None,
    on: OnOption = None,
    confidence: Annotated[float, typer.Option(help="How sure a sample makes, per cent.")] = 95,
    failing_share: Annotated[float, typer.Option(help="The share of failing meters not to be missed, per cent.")] = 5,
    accept: Annotated[int, typer.Option(min=0, help="Failing meters of a sample that are accepted.")] = 0,
    plan: Annotated[
        str, typer.Option(help="exact (sizes by the hypergeometric distribution) or letters (the published table).")
    ] = "exact",
    seed: Annotated[
        str | None, typer.Option(help="What repeats the draw; the day reckoned for unless given.", show_default=False)
    ] = None,
    price: PriceOption = None,
    tariff: Annotated[
        float | None, typer.Option(min=0, help="Money per --tariff-unit of water.", show_default=False)
    ] = None,
    tariff_unit: Annotated[
        str, typer.Option(help="The unit of water the tariff is for: gal, kgal, CCF, m3, ….")
    ] = "kgal",
    unit: UnitOption = None,
    dates: DatesOption = None,
    columns: ColumnsOption = None,
    years: Annotated[float, typer.Option(min=0, help="How long a failing meter would stay unfound.")] = 1,
    currency: CurrencyOption = "$",
    include_proposed: ProposedOption = False,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: Annotated[
        Path | None,
        typer.Option(help="Write to x.csv (every meter), x.html, x.pdf, x.xlsx, x.md or x.json.", dir_okay=False),
    ] = None,
) -> None:
    """Say which meters to test before their accuracy cover ends, how many of each lot, and draw the sample.

    What is most at stake comes first. The draw can be repeated by anyone from the list and the seed.
    """
    from firstcap.app.fleet.asking import answer_to, with_order
    from firstcap.app.fleet.dates import DayOrder
    from firstcap.app.fleet.importing import ListOptions, import_list
    from firstcap.app.fleet.matching import match_names
    from firstcap.app.fleet.units import gallons_in
    from firstcap.app.report.paper import sorted_by
    from firstcap.app.report.tables_csv import write_table
    from firstcap.app.report.writers import deliver
    from firstcap.app.worth.prices import prices_of
    from firstcap.app.worth.test_first import MOST_SHOWN, Plan, PlanKind, Worth
    from firstcap.app.worth.test_first import test_first as report

    day = on.date() if on else date.today()
    factor = gallons_in(tariff_unit)
    if factor is None:
        raise UsageError(f"no unit of volume {tariff_unit!r}; for example gal, kgal, CCF, ft3, m3")
    wanted = Plan(_exact(failing_share) / 100, _exact(confidence) / 100, accept, chosen(PlanKind, plan, "--plan"))
    worth = Worth(prices_of(price or ()), None if tariff is None else _exact(tariff) / factor, currency, _exact(years))
    store = open_catalogue(catalogue)
    if meters is not None:
        options = ListOptions(columns, unit, chosen(DayOrder, dates, "--dates") if dates else None)
        with_order(lambda order: import_list(store, meters, replace(options, dates=order), day=day), options.dates)
        match_names(store, login_name(), answer_to(None))
    whole = out is not None and out.suffix.lower() in (".csv", ".xlsx", ".json")
    paper = report(
        store,
        day,
        within,
        plan=wanted,
        worth=worth,
        seed=seed,
        include_proposed=include_proposed,
        most=None if whole else MOST_SHOWN,
    )
    paper = sorted_by(paper, sort) if sort else paper
    if out is not None and out.suffix.lower() == ".csv":
        told = write_table(paper, "meters", out)
    else:
        told = deliver(paper, out)
    print(told, file=sys.stderr if out else sys.stdout)


def claims(
    tests: Annotated[Path, typer.Argument(metavar="TESTS.csv", help="Your list of bench tests.", show_default=False)],
    on: OnOption = None,
    uncertainty: Annotated[
        float | None,
        typer.Option(
            min=0, help="Expanded uncertainty (k = 2), points of per cent, of tests that name none.", show_default=False
        ),
    ] = None,
    flow_within: Annotated[
        float, typer.Option(min=0, max=20, help="How near a test flow must be met, per cent of it.")
    ] = 2,
    flow_unit: Annotated[
        str | None, typer.Option(help="Unit of flow where the list names none: gpm, L/h, m3/h.", show_default=False)
    ] = None,
    unit: UnitOption = None,
    dates: DatesOption = None,
    encoding: Annotated[
        str | None, typer.Option(help="Encoding of the list where it is not UTF-8: cp1252, ….", show_default=False)
    ] = None,
    columns: ColumnsOption = None,
    price: PriceOption = None,
    currency: CurrencyOption = "$",
    include_proposed: ProposedOption = False,
    again: Annotated[bool, typer.Option("--again", help="Claim what was claimed before, too.")] = False,
    sender: Annotated[
        str | None,
        typer.Option(help="Who claims, for the head of the letters; a blank unless given.", show_default=False),
    ] = None,
    log: Annotated[
        str | None,
        typer.Option(
            help="Only log what a person has done about these claims: sent, paid, refused or withdrawn.",
            show_default=False,
        ),
    ] = None,
    meter: Annotated[
        list[str] | None, typer.Option(help="With --log: only this meter. Several times.", show_default=False)
    ] = None,
    note: Annotated[str | None, typer.Option(help="With --log: why, in your words.", show_default=False)] = None,
    reviewer: Annotated[
        str | None, typer.Option(help="Who acts; your login name unless given.", show_default=False)
    ] = None,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    out: Annotated[
        Path | None,
        typer.Option(
            help="A folder for a claim file a supplier (letter, tables, clauses), or one report: x.html, x.pdf, "
            "x.xlsx, x.csv, x.md, x.json."
        ),
    ] = None,
) -> None:
    """Hold bench tests against what each meter was promised at that flow on that day, and prepare claims.

    The meters are those of the list given to `fleet` last. A claim is a legal act: this prepares the letter, the tables
    and the checklist; a person reads the signed document, decides and signs. What was sent is logged with --log sent,
    and left out the next time.
    """
    from firstcap.app.fleet.asking import with_order
    from firstcap.app.fleet.bench_list import bench_list
    from firstcap.app.fleet.dates import DayOrder
    from firstcap.app.report.paper import sorted_by
    from firstcap.app.report.tables_csv import write_table
    from firstcap.app.report.writers import deliver
    from firstcap.app.worth import claims as library
    from firstcap.app.worth.prices import prices_of
    from firstcap.schema.claims import ClaimAction

    day = on.date() if on else date.today()
    order = chosen(DayOrder, dates, "--dates") if dates else None
    held = with_order(
        lambda order: bench_list(
            tests, day=day, flow_unit=flow_unit, unit=unit, dates=order, encoding=encoding, columns=columns
        ),
        order,
    )
    settings = library.Settings(
        day,
        None if uncertainty is None else _exact(uncertainty),
        _exact(flow_within) / 100,
        include_proposed,
        again,
        prices_of(price or ()),
        currency,
        sender,
    )
    store = open_catalogue(catalogue)
    outcome = library.claims(store, held.tests, settings, held.table)
    if log is not None:
        action = chosen(ClaimAction, log, "--log")
        count = library.record(store, outcome, action, reviewer or login_name(), meters=meter or (), note=note)
        print(f"{count} logged as {action}", file=sys.stderr)
        return
    paper = sorted_by(outcome.paper, sort) if sort else outcome.paper
    if out is None or out.suffix:
        csv = out is not None and out.suffix.lower() == ".csv"
        told = write_table(paper, "claims-meters", out) if csv and out else deliver(paper, out)
    else:
        written = library.write_files(store, outcome, out, settings)
        library.record_prepared(store, outcome, reviewer or login_name())
        told = "\n".join([*(status.text for status in paper.statuses), *(f"Written: {path}" for path in written)])
    print(told, file=sys.stderr if out else sys.stdout)
