"""The command line: parse, call, exit. Whatever is heavy is imported inside the command that needs it.

`main` is the one place where an error becomes a message on stderr and an exit code.
"""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from firstcap.app.fleet import claim_commands
from firstcap.app.fleet import commands as fleet_commands
from firstcap.app.learn import commands as learn_commands
from firstcap.app.options import DEFAULT_CATALOGUE, CatalogueOption, OutOption, SortOption, login_name
from firstcap.app.options import open_catalogue as _open
from firstcap.app.worth import commands as worth_commands
from firstcap.schema.errors import ExitCode, FirstcapError, UsageError

if TYPE_CHECKING:
    from firstcap.store.catalogue import DocumentRow

_INTERRUPTED = 130  # what a shell reports for Ctrl-C

app = typer.Typer(
    name="firstcap",
    help="Read water-meter warranty PDFs into a catalogue that a person confirms, and see which cap ends the cover "
    "first. The machine proposes, a person decides; no legal advice: the supplier's signed document governs.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and exit."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        app(arguments, prog_name="firstcap")
    except FirstcapError as problem:
        print(f"firstcap: {problem}", file=sys.stderr)
        sys.exit(problem.exit_code)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        print(f"firstcap {version('firstcap')}")
        raise typer.Exit


@app.callback()
def _options(
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and exit.")
    ] = False,
) -> None:
    pass


@app.command(short_help="Read warranty PDFs into the catalogue.")
def read(
    paths: Annotated[
        list[Path],
        typer.Argument(metavar="PATH...", help="PDF files, or folders to look for PDFs in.", show_default=False),
    ],
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    jobs: Annotated[
        int | None,
        typer.Option(
            "--jobs", "-j", min=1, help="Processes to read with; one for each core unless given.", show_default=False
        ),
    ] = None,
    supplier: Annotated[str | None, typer.Option(help="Who gives these warranties, whatever the pages say.")] = None,
    max_pages: Annotated[int, typer.Option(min=1, help="Refuse documents with more pages.")] = 200,
    ocr: Annotated[
        bool, typer.Option("--ocr/--no-ocr", help="Read pages without usable text from their image.")
    ] = True,
    max_seconds: Annotated[float, typer.Option(min=1, help="Give a file up that takes longer.")] = 600.0,
    confidence: Annotated[
        Path | None,
        typer.Option(
            help="A confidence fitted to decisions (see patterns); the one beside the catalogue unless given.",
            dir_okay=False,
            show_default=False,
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the same facts as JSON.")] = False,
) -> None:
    """Read warranty PDFs into the catalogue. Exit code 0: all read; 1: some failed; 2: wrong usage."""
    from firstcap.app import listing
    from firstcap.app.learn.recalibrate import beside, load
    from firstcap.app.progress import Progress
    from firstcap.app.read import Options, Status, find_files, read_stack, reader_name
    from firstcap.store.catalogue import Catalogue

    files = find_files(paths)
    store = Catalogue(catalogue)
    calibration = None
    if confidence is not None or beside(catalogue).exists():
        calibration = load(confidence or beside(catalogue))
    suppliers = {row.document_id: row.supplier for row in store.documents()} if supplier and catalogue.exists() else {}
    outcomes = {}
    stopped = False
    with Progress(len(files)) as progress:
        try:
            for outcome in read_stack(
                files,
                store,
                reader=calibration.reader(reader_name()) if calibration else reader_name(),
                jobs=jobs or os.cpu_count() or 1,
                supplier=supplier,
                options=Options(max_pages, ocr, max_seconds, calibration),
                again=lambda document_id: supplier is not None and suppliers.get(document_id) != supplier,
            ):
                outcomes[outcome.path] = outcome
                progress.step(outcome.path.name)
        except KeyboardInterrupt:
            stopped = True
    in_order = [outcomes[file] for file in files if file in outcomes]
    rows = store.documents() if in_order else []
    if as_json:
        listing.print_json(listing.stack_facts(in_order, rows, str(catalogue)))
    elif in_order:
        listing.print_stack(in_order, rows)
    _narrate_stack([row for row in rows if row.document_id in {done.document_id for done in in_order}], catalogue)
    if stopped:
        left = len(files) - len(in_order)
        print(
            f"firstcap: stopped; {left} of {len(files)} files not read. What was read is kept: "
            "run the same command again to go on.",
            file=sys.stderr,
        )
        raise typer.Exit(_INTERRUPTED)
    if any(outcome.status is Status.FAILED for outcome in in_order):
        raise typer.Exit(ExitCode.SOME_FAILED)


def _narrate_stack(rows: "list[DocumentRow]", catalogue: Path) -> None:
    terms, to_confirm = sum(row.terms for row in rows), sum(row.to_confirm for row in rows)
    print(f"{catalogue}: {terms} terms in these documents, {to_confirm} to confirm.", file=sys.stderr)
    if to_confirm:
        print("Next: firstcap confirm", file=sys.stderr)


@app.command(short_help="List the documents of the catalogue.")
def documents(
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    as_json: Annotated[bool, typer.Option("--json", help="Print the same facts as JSON.")] = False,
) -> None:
    """List the documents of the catalogue: terms, what is left to confirm, warnings, why one failed."""
    from firstcap.app import listing

    rows = _open(catalogue).documents()
    if as_json:
        listing.print_json([listing.document_facts(row) for row in rows])
    else:
        listing.print_documents(rows)


@app.command(short_help="Show the terms as English sentences.")
def terms(
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    document: Annotated[str | None, typer.Option(help="Only documents whose file name or id begins so.")] = None,
    supplier: Annotated[str | None, typer.Option(help="Only suppliers whose name contains this.")] = None,
) -> None:
    """Show the terms of the catalogue as English sentences, each with its state."""
    from firstcap.app import listing
    from firstcap.app.confirm.core import documents_named

    store = _open(catalogue)
    rows = documents_named(store.documents(), document)
    if supplier is not None:
        rows = [row for row in rows if supplier.casefold() in (row.supplier or "").casefold()]
        if not rows:
            raise UsageError(f"no document of a supplier like {supplier!r}; `firstcap documents` lists them")
    wanted = {row.document_id for row in rows}
    listing.print_terms([stored for stored in store.terms() if stored.document_id in wanted], rows)


@app.command(short_help="Confirm, correct or strike what was read.")
def confirm(
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    reviewer: Annotated[
        str | None, typer.Option(help="The name that decisions are signed with; your login name unless given.")
    ] = None,
    document: Annotated[str | None, typer.Option(help="Only the document whose file name or id begins so.")] = None,
    port: Annotated[
        int | None,
        typer.Option(min=0, max=65535, help="Serve here; 8640, or any free one, unless given.", show_default=False),
    ] = None,
    browser: Annotated[bool, typer.Option("--browser/--no-browser", help="Open the page in the browser.")] = True,
    host: Annotated[
        str, typer.Option(help="Serve at this address. Beyond this machine everyone needs the token in the address.")
    ] = "127.0.0.1",
    terminal: Annotated[bool, typer.Option("--terminal", help="Ask on this terminal instead.")] = False,
    again: Annotated[
        bool, typer.Option("--again", help="On the terminal: go through what is decided already, too.")
    ] = False,
    second_look: Annotated[
        bool,
        typer.Option("--second-look", help="Judge the proposals blind, without seeing what another person decided."),
    ] = False,
) -> None:
    """Confirm, correct or strike what was read, in the browser: each promise as a sentence above the strip of the page
    that it was read from. Serves a page of this machine until Ctrl-C. Every act is saved at once and can be undone.
    """
    name = " ".join((reviewer or login_name()).split())
    if not name:
        raise UsageError("decisions are signed; give a name with --reviewer NAME")
    from firstcap.app.confirm.core import Session, documents_named

    store = _open(catalogue)
    found = documents_named(store.documents(), document)
    if second_look:
        from firstcap.store.second import SecondLook

        look = SecondLook(store, name)
        if not look.documents():
            raise UsageError(
                f"{name} has decided about every document here; a second look is another person's: give --reviewer NAME"
            )
        print("Second look: what others decided is not shown.", file=sys.stderr)
    if terminal:
        from firstcap.app.confirm.terminal import Terminal

        if second_look:
            session = Session(look, reviewer=name, document=document, again=again)
            Terminal(session, sys.stdin, sys.stdout, then="firstcap agreement").run()
        else:
            Terminal(Session(store, reviewer=name, document=document, again=again), sys.stdin, sys.stdout).run()
        return
    from firstcap.app.web.server import serve

    serve(
        store,
        reviewer=name,
        document=found[0].document_id if document else None,
        host=host,
        port=port,
        browser=browser,
        second_look=second_look,
        say=lambda address: print(address, flush=True),
    )


@app.command(short_help="Compare the two looks of two people; settle where they differ.")
def agreement(
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    settle: Annotated[bool, typer.Option("--settle", help="Go through the differences and settle them.")] = False,
    reviewer: Annotated[
        str | None, typer.Option(help="The name that settling is signed with; your login name unless given.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the same facts as JSON.")] = False,
) -> None:
    """Say how far the first and the second look agree on each field (share and Cohen's kappa) and list where they
    differ. With --settle, ask for each difference which of the two is to stand; the answer is an act in the log.
    """
    from firstcap.app import listing
    from firstcap.app.confirm.second import agreement as agreement_of
    from firstcap.app.confirm.second import differences
    from firstcap.store.second import pairs

    store = _open(catalogue)
    names = {row.document_id: row.file_name for row in store.documents()}
    if settle:
        from firstcap.app.confirm.settling import Settling

        name = (reviewer or login_name()).strip()
        Settling(store, lambda: differences(pairs(store)), names, sys.stdin, sys.stdout, reviewer=name).run()
        return
    both = pairs(store)
    fields, differing = agreement_of(both), differences(both)
    if as_json:
        listing.print_json(listing.agreement_facts(fields, differing))
        return
    listing.print_agreement(fields, differing, names)
    if not both:
        print("No item was decided in both looks yet: firstcap confirm --second-look", file=sys.stderr)
    elif differing:
        print("Next: firstcap agreement --settle", file=sys.stderr)


@app.command(short_help="Run SQL over the catalogue, read-only.")
def query(
    sql: Annotated[
        str, typer.Argument(help="One SELECT over the views: documents, terms, limits, ….", show_default=False)
    ],
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    output_format: Annotated[
        str | None, typer.Option("--format", help="table, csv, json or parquet; from --out's name unless given.")
    ] = None,
    out: Annotated[Path | None, typer.Option(help="Write to this file.", dir_okay=False)] = None,
) -> None:
    """Run SQL over the catalogue, read-only: no writes, no files, no network, bounded in memory and time."""
    from firstcap.store.query import Format, run_query, write_result

    ending = out.suffix.lstrip(".").lower() if out else ""
    wanted = output_format or (ending if ending in set(Format) else Format.TABLE)
    if wanted not in set(Format):
        raise UsageError(f"no format {wanted!r}; there are {', '.join(Format)}")
    chosen = Format(wanted)
    if chosen is Format.PARQUET and out is None and sys.stdout.isatty():
        raise UsageError("parquet is no text; give a file with --out x.parquet")
    result = run_query(_open(catalogue).path, sql)
    sys.stdout.flush()
    write_result(result, chosen, out or sys.stdout.buffer)
    if out:
        print(f"{len(result.rows)} rows written to {out}", file=sys.stderr)


@app.command(short_help="Put suppliers side by side for one size.")
def compare(
    size: Annotated[
        list[str],
        typer.Option(
            help="The meter size to compare: 5/8, 5/8x3/4, 1-1/2, DN20, …; may be given several times.",
            show_default=False,
        ),
    ],
    catalogue: CatalogueOption = DEFAULT_CATALOGUE,
    sort: SortOption = None,
    strips: Annotated[bool, typer.Option("--strips/--no-strips", help="Put lines of the pages into HTML.")] = True,
    out: OutOption = None,
) -> None:
    """Put suppliers side by side for a meter size: years, caps, which ends first, accuracy against the standard."""
    store = _open(catalogue)
    from firstcap.app.report.compare import write_comparison

    text = write_comparison(store, size, out, sort=sort, strips=strips)
    print(text, file=sys.stderr if out else sys.stdout)


learn_commands.add_to(app)
worth_commands.add_to(app)
fleet_commands.add_to(app)
claim_commands.add_to(app)


@app.command(short_help="Print the JSON Schema of a reading.")
def schema(
    out: Annotated[Path | None, typer.Option(help="Write to this file.", dir_okay=False)] = None,
) -> None:
    """Print the JSON Schema of what one document says (Reading) and of a promise (Term)."""
    import json

    from pydantic.json_schema import models_json_schema

    from firstcap.schema.decisions import Decision
    from firstcap.schema.terms import FailedReading, Reading, Term

    models = [(model, "serialization") for model in (Reading, FailedReading, Term, Decision)]
    _, definitions = models_json_schema(models, title="firstcap")  # type: ignore[arg-type]
    described = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$ref": "#/$defs/Reading", **definitions}
    text = json.dumps(described, ensure_ascii=False, indent=2) + "\n"
    if out:
        out.write_text(text, encoding="utf-8")
        print(f"written to {out}", file=sys.stderr)
    else:
        sys.stdout.write(text)


@app.command(short_help="Show the whole way on an invented stack.")
def demo(
    folder: Annotated[
        Path | None, typer.Argument(help="A new or empty folder; ./pinyon-ridge unless given.", show_default=False)
    ] = None,
) -> None:
    """Show the whole way on an invented stack: read it, apply recorded confirmations, compare, say what to try next."""
    from firstcap.app.demo import run_demo

    report = run_demo(folder, narrate=lambda line: print(line, file=sys.stderr))
    print("\n".join(report.lines()))
