"""The command that lists what the decisions say of the patterns, and fits the confidence to them."""

import sys
from pathlib import Path
from typing import Annotated

import typer

from firstcap.app.options import DEFAULT_CATALOGUE, CatalogueOption, open_catalogue


def add_to(app: typer.Typer) -> None:
    """Register the command."""
    app.command(short_help="Show each pattern's record; fit the confidence to the decisions.")(patterns)


def patterns(
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    recalibrate: Annotated[
        bool, typer.Option("--recalibrate", help="Fit the confidence to the decisions and write it to a file.")
    ] = False,
    confidence: Annotated[
        Path | None,
        typer.Option(
            help="With --recalibrate: write here; x.confidence.toml beside x.duckdb unless given, where `read` looks.",
            dir_okay=False,
            show_default=False,
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the same facts as JSON.")] = False,
) -> None:
    """Show how each pattern of the reader has fared: proposed, confirmed, corrected, struck, and Wilson's 95 % interval
    of the share confirmed. With --recalibrate, fit the confidence of terms to these decisions for later readings.
    """
    from firstcap.app import listing
    from firstcap.app.learn.recalibrate import beside, examples, fit, to_toml
    from firstcap.app.learn.records import pattern_records

    store = open_catalogue(catalogue)
    if recalibrate:
        fitted = fit(examples(store))
        path = confidence or beside(catalogue)
        path.write_text(to_toml(fitted), encoding="utf-8")
        print(
            f"{path}: fitted to {fitted.decided} decided terms, {fitted.right} of them right. Brier score on these "
            f"very terms: {fitted.before:.4f} before, {fitted.after:.4f} after.\n"
            "Next: firstcap read, which reads again with it what was read without it",
            file=sys.stderr,
        )
        return
    records = pattern_records(store)
    if as_json:
        listing.print_json([listing.pattern_facts(one) for one in records])
    else:
        listing.print_patterns(records)
