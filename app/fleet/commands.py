"""The command `fleet`: a list of meters in, their cover out; heavy imports stay inside."""

import sys
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path
from typing import Annotated

import typer

from firstcap.app.options import DEFAULT_CATALOGUE, CatalogueOption, chosen, login_name, open_catalogue


def add_to(app: typer.Typer) -> None:
    app.command(short_help="Say which of your meters are still covered.")(fleet)


def fleet(
    meters: Annotated[Path, typer.Argument(metavar="METERS.csv", help="Your list of meters.", show_default=False)],
    on: Annotated[
        datetime | None,
        typer.Option(
            "--on", formats=["%Y-%m-%d"], help="The day to reckon for; today unless given.", show_default=False
        ),
    ] = None,
    out: Annotated[
        list[Path] | None,
        typer.Option(
            help="Write to x.csv (every meter and promise), x.html, x.pdf, x.xlsx, x.md or x.json; may be given "
            "several times.",
            dir_okay=False,
        ),
    ] = None,
    include_proposed: Annotated[
        bool, typer.Option("--include-proposed", help="Reckon with promises that nobody has confirmed yet, too.")
    ] = False,
    columns: Annotated[
        Path | None,
        typer.Option(help="A TOML file that says which column is which: see docs/fleet.md.", dir_okay=False),
    ] = None,
    unit: Annotated[
        str | None,
        typer.Option(help="Unit of readings and use where the list names none: gal, kgal, CCF, m3, …."),
    ] = None,
    dates: Annotated[
        str | None, typer.Option(help="day-first or month-first, for dates such as 03/04/2019.", show_default=False)
    ] = None,
    decimals: Annotated[
        str | None, typer.Option(help="point or comma: the decimal sign of the list.", show_default=False)
    ] = None,
    encoding: Annotated[
        str | None, typer.Option(help="Encoding of the list where it is not UTF-8: cp1252, ….", show_default=False)
    ] = None,
    names: Annotated[
        str | None,
        typer.Option(
            help="Names of suppliers and products that differ from the catalogue's: ask (in a terminal), near (take "
            "the clearly nearest), same (take none).",
            show_default=False,
        ),
    ] = None,
    reviewer: Annotated[
        str | None,
        typer.Option(help="Who says what names stand for; your login name unless given.", show_default=False),
    ] = None,
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
) -> None:
    """Say which of your meters are still covered, until when, and which cap ends the cover.

    Reads the list, matches its names to the catalogue, and reckons every promise of every meter by the edition in force
    when the meter was shipped. A claim is a legal act: this prepares, a person decides and signs.
    """
    from firstcap.app.fleet.asking import answer_to, with_order
    from firstcap.app.fleet.dates import DayOrder
    from firstcap.app.fleet.importing import DecimalSign, ListOptions, import_list
    from firstcap.app.fleet.matching import Names, match_names
    from firstcap.app.fleet.output import checked, deliver

    day = on.date() if on else date.today()
    checked(out or ())
    store = open_catalogue(catalogue)
    options = ListOptions(
        columns=columns,
        unit=unit,
        dates=chosen(DayOrder, dates, "--dates") if dates else None,
        decimals=chosen(DecimalSign, decimals, "--decimals") if decimals else None,
        encoding=encoding,
    )
    imported = with_order(
        lambda order: import_list(store, meters, replace(options, dates=order), day=day), options.dates
    )
    print(f"{imported.meters:,} of {imported.lines:,} lines of {meters.name} used", file=sys.stderr)
    if imported.unused:
        print(f"columns not used: {', '.join(imported.unused)}", file=sys.stderr)
    match_names(store, reviewer or login_name(), answer_to(chosen(Names, names, "--names") if names else None))
    told = deliver(store, day, out or (), include_proposed=include_proposed)
    print(told, file=sys.stderr if out else sys.stdout)
