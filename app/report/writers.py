"""A `Paper` in the form its file name ends in: HTML, PDF, a spreadsheet, Markdown or JSON."""

import json
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

from firstcap.app.report.paper import Cell, Figure, Mark, Number, Paper, Place, Table, evidence_lines
from firstcap.schema.errors import UsageError


def markdown(paper: Paper, *, evidence: bool = False) -> str:
    """The report as Markdown: padded tables that read in a terminal too; with `evidence` pages and quotes as well."""
    from firstcap.app.report.markdown import plain, table

    lines = [f"# {plain(paper.title)}", "", plain(paper.lead), ""]
    for status in paper.statuses:
        lines += [f"**{plain(status.text)}**", ""]
    for section in paper.sections:
        lines += [f"## {plain(section.heading)}", ""]
        for part in section.parts:
            if isinstance(part, str):
                lines += [plain(part), ""]
            elif isinstance(part, Figure):
                lines += [f"*{plain(part.says)}*", ""]
            else:
                lines += [f"**{plain(part.title)}**", ""] if part.title else []
                rows = [[_markdown_cell(cell) for cell in row] for row in part.rows]
                lines += [*table([plain(column.header) for column in part.columns], rows), ""]
                lines += [plain(part.note), ""] if part.note else []
    for heading, texts in (
        ("Assumptions", paper.assumptions),
        ("Sources", paper.sources),
        ("Cautions", paper.cautions),
    ):
        if texts:
            lines += [f"## {heading}", "", *(f"- {plain(text)}" for text in texts), ""]
    if evidence and paper.places:
        rows = [[plain(text) for text in line] for line in evidence_lines(paper.places)]
        lines += ["## Pages and quotes", "", *table(["File", "Page", "Of", "Words on the page"], rows), ""]
    return "\n".join(lines)


def _markdown_cell(cell: Cell) -> str:
    from firstcap.app.report.markdown import plain

    text = cell.signed + (f"; {cell.more}" if cell.more else "")
    return plain(text) + "".join(f" (p. {place.page})" for place in _one_a_page(cell.places))


def _one_a_page(places: tuple[Place, ...]) -> tuple[Place, ...]:
    first: dict[tuple[str, int], Place] = {}
    for place in places:
        first.setdefault((place.file_name, place.page), place)
    return tuple(first.values())


def html(paper: Paper, strips: dict[Place, str] | None = None) -> str:
    """One self-contained page: no script, no request to anywhere. `strips` are page images as data addresses."""
    from firstcap.app.report.strips import shown_once
    from firstcap.app.report.templates import render, style

    places = paper.places
    images, same = shown_once({place: strips[place] for place in places if place in strips} if strips else {})
    return render(
        "paper.html",
        p=paper,
        tokens=style("tokens.css"),
        css=style("page.css"),
        numbers={place: number for number, place in enumerate(places, 1)},
        one_a_page=_one_a_page,
        strips=images,
        same=same,
        kind_of=lambda part: type(part).__name__,
        signs=Mark,
    )


def facts(paper: Paper) -> dict[str, Any]:
    """The report as plain data: numbers as numbers in the unit of their column, words as words, null for silence.

    Beside the rows of a table stand, row for row, the notes to its cells and the places of its values as positions in
    the list of evidence.
    """
    numbers = {place: number for number, place in enumerate(paper.places)}
    return {
        "report": paper.kind,
        "title": paper.title,
        "statuses": [status.text for status in paper.statuses],
        "tables": [_table_facts(table, numbers) for table in paper.tables],
        "assumptions": list(paper.assumptions),
        "sources": list(paper.sources),
        "evidence": [
            {
                "file_name": p.file_name,
                "page": p.page,
                "quote": p.quote,
                "item_id": p.item or None,
                "field": p.field or None,
            }
            for p in paper.places
        ],
        "cautions": list(paper.cautions),
    }


def _table_facts(table: Table, numbers: dict[Place, int]) -> dict[str, Any]:
    places = [column.key for column in table.columns]

    def beside(found: Callable[[Cell], object]) -> list[dict[str, object]]:
        return [
            {key: told for key, cell in zip(places, row, strict=True) if (told := found(cell))} for row in table.rows
        ]

    return {
        "table": table.key,
        "title": table.title,
        "columns": [{"key": c.key, "title": c.title, "unit": c.unit} for c in table.columns],
        "rows": [dict(zip(places, map(_fact, row), strict=True)) for row in table.rows],
        "notes": beside(lambda cell: cell.more),
        "evidence": beside(lambda cell: [numbers[place] for place in cell.places]),
        "note": table.note,
    }


def _fact(cell: Cell) -> object:
    if cell.number is not None:
        return as_json(cell.number)
    return None if cell.mark is Mark.SILENT else cell.text


def as_json(number: Number) -> int | float:
    """An integer where it is whole; else the nearest double."""
    exact = Fraction(number) if isinstance(number, Decimal | int) else number
    return exact.numerator if exact.denominator == 1 else float(exact)


def _write_html(paper: Paper, out: Path, strips: dict[Place, str]) -> None:
    out.write_text(html(paper, strips), encoding="utf-8")


def _write_markdown(paper: Paper, out: Path, strips: dict[Place, str]) -> None:
    out.write_text(markdown(paper, evidence=True), encoding="utf-8")


def _write_json(paper: Paper, out: Path, strips: dict[Place, str]) -> None:
    out.write_text(json.dumps(facts(paper), ensure_ascii=False, indent=2) + "\n", encoding="utf-8")


def _write_xlsx(paper: Paper, out: Path, strips: dict[Place, str]) -> None:
    from firstcap.app.report.workbook import write_workbook

    write_workbook(paper, out)


def _write_pdf(paper: Paper, out: Path, strips: dict[Place, str]) -> None:
    from firstcap.app.report.typeset import write_pdf

    write_pdf(paper, out)


WRITERS: dict[str, Callable[[Paper, Path, dict[Place, str]], None]] = {
    ".html": _write_html,
    ".pdf": _write_pdf,
    ".xlsx": _write_xlsx,
    ".md": _write_markdown,
    ".json": _write_json,
}


def deliver(paper: Paper, out: Path | None, strips: dict[Place, str] | None = None) -> str:
    """The text to print: the report as Markdown without `out`; else the file is written, whole or not at all.

    UsageError for another ending and for a place that cannot be written.
    """
    if out is None:
        return markdown(paper)
    write_whole(out, writer_for(out), paper, strips or {})
    told = "; ".join(status.text for status in paper.statuses)
    return f"{paper.title}. {told} Written to {out}"


def writer_for(out: Path) -> Callable[[Paper, Path, dict[Place, str]], None]:
    try:
        return WRITERS[out.suffix.lower()]
    except KeyError:
        raise UsageError(
            f"no such format of report; end the name in one of {', '.join(WRITERS)}", file=str(out)
        ) from None


def write_whole(
    out: Path, writer: Callable[[Paper, Path, dict[Place, str]], None], paper: Paper, strips: dict[Place, str]
) -> None:
    # The ending stays last: the writer of spreadsheets looks at it.
    unfinished = out.with_name(f".{out.stem}.part{out.suffix}")
    try:
        writer(paper, unfinished, strips)
        unfinished.replace(out)
    except OSError as error:
        raise UsageError(
            f"cannot be written ({error.strerror or error}); choose another place", file=str(out)
        ) from error
    finally:
        unfinished.unlink(missing_ok=True)
