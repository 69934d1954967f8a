"""Documents and terms as a person lists them: tables for the eye, the same facts as JSON."""

import json
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from typing import TextIO

from rich import box
from rich.console import Console
from rich.table import Table
from rich.text import Text

from firstcap.app.confirm.second import FieldAgreement, Judged
from firstcap.app.confirm.sentence import clean, describe
from firstcap.app.confirm.settling import name_of, sides
from firstcap.app.learn.records import PatternRecord
from firstcap.app.read import Outcome, Status
from firstcap.schema.vocabulary import DocumentStatus
from firstcap.store.catalogue import DocumentRow, StoredTerm

# Wide enough that nothing is cut where the output goes to a file or another program.
_PIPE_WIDTH = 1000


def console(stream: TextIO | None = None) -> Console:
    stream = stream or sys.stdout
    return Console(file=stream, width=None if stream.isatty() else _PIPE_WIDTH, highlight=False, emoji=False)


def _print(table: Table, stream: TextIO | None) -> None:
    """Without the blanks that fill a line up, which a program that reads on has no use for."""
    out = console(stream)
    if out.is_terminal:
        out.print(table)
        return
    with out.capture() as kept:
        out.print(table)
    for line in kept.get().splitlines():
        print(line.rstrip(), file=out.file)


def _table(columns: Sequence[tuple[str, bool]]) -> Table:
    table = Table(box=box.SIMPLE_HEAD, pad_edge=False, show_edge=False)
    for name, is_number in columns:
        table.add_column(name, justify="right" if is_number else "left", overflow="fold")
    return table


_COLUMNS = (
    ("file", False),
    ("supplier", False),
    ("code", False),
    ("terms", True),
    ("to confirm", True),
    ("warnings", True),
    ("status", False),
)


def _document_cells(row: DocumentRow) -> list[Text]:
    code = " ".join(part for part in (row.document_code, row.revision and f"rev. {row.revision}") if part)
    counts = [row.terms, row.to_confirm, row.warnings]
    return [
        Text(clean(row.file_name)),
        Text(clean(row.supplier or "–")),
        Text(clean(code or "–")),
        *(Text("–" if row.status is DocumentStatus.FAILED else str(count)) for count in counts),
    ]


def _status(row: DocumentRow) -> str:
    if row.status is DocumentStatus.FAILED:
        return f"failed: {clean(row.message or row.error or 'no reason kept')}"
    return row.status.replace("_", " ")


def print_documents(rows: Iterable[DocumentRow], stream: TextIO | None = None) -> None:
    table = _table(_COLUMNS)
    for row in rows:
        table.add_row(*_document_cells(row), Text(_status(row)))
    _print(table, stream)


def document_facts(row: DocumentRow) -> dict[str, object]:
    """A document as JSON; the keys are the catalogue's columns and the counts of `DocumentRow`."""
    return row.model_dump(mode="json", exclude={"version"})


def print_stack(outcomes: Sequence[Outcome], rows: Iterable[DocumentRow], stream: TextIO | None = None) -> None:
    """One line a file, in the order in which the files were named."""
    by_id = {row.document_id: row for row in rows}
    table = _table(_COLUMNS)
    for outcome in outcomes:
        row = by_id.get(outcome.document_id or "")
        name = Text(clean(outcome.path.name))
        if outcome.status is Status.FAILED or row is None:
            said = f"failed: {clean(outcome.message or outcome.error or '')}"
            table.add_row(name, *(Text("–") for _ in range(5)), Text(said))
            continue
        cells = _document_cells(row)
        if outcome.status is Status.COPY:
            table.add_row(name, *cells[1:3], *(Text("–") for _ in range(3)), Text(clean(outcome.message or "a copy")))
            continue
        known = "already read, " if outcome.status is Status.KNOWN else ""
        table.add_row(name, *cells[1:], Text(known + _status(row)))
    _print(table, stream)


def stack_facts(outcomes: Sequence[Outcome], rows: Iterable[DocumentRow], catalogue: str) -> dict[str, object]:
    """The same facts for machines: `outcome` is what this run did (`read`, `known`, `copy`, `failed`)."""
    by_id = {row.document_id: row for row in rows}
    documents = []
    for outcome in outcomes:
        row = by_id.get(outcome.document_id or "")
        facts: dict[str, object] = {"path": str(outcome.path), "outcome": outcome.status.value}
        facts |= document_facts(row) if row else {"document_id": outcome.document_id, "file_name": outcome.path.name}
        if outcome.status is Status.FAILED:
            facts |= {"status": DocumentStatus.FAILED.value, "error": outcome.error, "message": outcome.message}
        documents.append(facts)
    counts = {status.value: sum(outcome.status is status for outcome in outcomes) for status in Status}
    return {"catalogue": catalogue, "counts": counts, "documents": documents}


def print_terms(terms: Iterable[StoredTerm], rows: Iterable[DocumentRow], stream: TextIO | None = None) -> None:
    """Each term as its sentences, under its document."""
    names = {row.document_id: row for row in rows}
    out = console(stream)
    last = None
    for stored in terms:
        if stored.document_id != last:
            last = stored.document_id
            row = names[last]
            supplier = f"  ({clean(row.supplier)})" if row.supplier else ""
            out.print(Text(f"{clean(row.file_name)}{supplier}", style="bold"))
        out.print(Text(f"  [{stored.state}] {describe(stored.term)}"))


def print_patterns(records: Iterable[PatternRecord], stream: TextIO | None = None) -> None:
    """One line a pattern: what it proposed and what became of it."""
    columns = ("proposed", "confirmed", "corrected", "struck")
    table = _table((("pattern", False), *((name, True) for name in columns), ("confirmed, 95 %", False)))
    for one in records:
        interval = "–" if one.low is None or one.high is None else f"{one.low:.0%} to {one.high:.0%}"
        table.add_row(one.pattern, *(str(getattr(one, name)) for name in columns), interval)
    _print(table, stream)


def pattern_facts(record: PatternRecord) -> dict[str, object]:
    """A pattern's record as JSON; `low` and `high` are shares, null where nothing is decided."""
    return asdict(record)


def print_agreement(
    fields: Sequence[FieldAgreement],
    differing: Sequence[Judged],
    names: Mapping[str, str],
    stream: TextIO | None = None,
) -> None:
    """How far two looks agree, field by field, then every difference that is not settled."""
    table = _table((("field", False), ("items", True), ("agreed", True), ("share", True), ("kappa", True)))
    for one in fields:
        kappa = "–" if one.kappa is None else f"{one.kappa:.2f}"
        table.add_row(name_of(one.field), str(one.items), str(one.agreed), f"{one.share:.0%}", kappa)
    _print(table, stream)
    out = console(stream)
    for difference in differing:
        first, second = sides(difference)
        where = clean(names[difference.pair.document_id])
        out.print(Text(f"{where} · {name_of(difference.field)}: {first} | {second}"))


def agreement_facts(fields: Sequence[FieldAgreement], differing: Sequence[Judged]) -> dict[str, object]:
    """The same as JSON; `kappa` is null where it is not defined, values are JSON text as in the log."""
    return {
        "fields": [
            {"field": one.field, "items": one.items, "agreed": one.agreed, "kappa": one.kappa} for one in fields
        ],
        "differences": [
            {
                "document_id": one.pair.document_id,
                "item_id": one.pair.item_id,
                "field": one.field,
                "first": {"reviewer": one.pair.first.reviewer, "value": one.first},
                "second": {"reviewer": one.pair.second.reviewer, "value": one.second},
            }
            for one in differing
        ],
    }


def print_json(value: object, stream: TextIO | None = None) -> None:
    json.dump(value, stream or sys.stdout, ensure_ascii=False, indent=2)
    (stream or sys.stdout).write("\n")
