"""What the report on the fleet says of the list itself: its columns, what could not be used, what names stand for."""

from collections.abc import Mapping, Sequence
from typing import Any

from firstcap.app.report import words
from firstcap.app.report.paper import NOTHING, Cell, Mark, Part, Table, columns
from firstcap.schema.fleet import CoverDoubt, LineProblem, MeterColumn
from firstcap.store.cover import CoverSums
from firstcap.store.names import Written

MOST_LINES = 200  # of the list that are told one by one in a report


def count_cell(value: object, mark: Mark = Mark.PLAIN) -> Cell:
    number = int(str(value))
    return Cell(f"{number:,}", number, mark=mark)


def _columns(settings: Mapping[str, Any]) -> Table:
    used = settings.get("columns", {})
    rows = [
        (Cell(column.value), Cell(used[column.value]) if column.value in used else NOTHING, Cell(column.meaning))
        for column in MeterColumn
    ]
    unused = ", ".join(settings.get("unused", ()))
    return Table(
        "columns",
        "How its columns were read",
        columns(("column", "Column"), ("header", "In the list"), ("meaning", "What it is")),
        tuple(rows),
        f"Not used: {unused}." if unused else None,
    )


def list_parts(sums: CoverSums, fleet: Mapping[str, Any], more: Mapping[str, str]) -> list[Part]:
    read = _columns(fleet["settings"])
    kinds = sums.problems()
    total = sum(int(row["lines"]) for row in kinds)
    by_kind = Table(
        "problems",
        "What could not be used",
        columns(("kind", "What"), ("used", "The meter"), ("lines", "Lines")),
        tuple(
            (
                Cell(words.capital(LineProblem(row["kind"]).meaning)),
                Cell("is used without it" if row["meter_used"] else "is left out"),
                count_cell(row["lines"], Mark.PLAIN if row["meter_used"] else Mark.FLAG),
            )
            for row in kinds
        ),
        None if kinds else "Every value of every line was used.",
    )
    if not total:
        return [read, by_kind]
    note = None
    if total > MOST_LINES:
        note = (
            f"The first {MOST_LINES} of {total:,}; all are in " + more.get("problems", "the view meter_problems") + "."
        )
    lines = Table(
        "problem_lines",
        "Line by line",
        columns(
            ("line", "Line"),
            ("meter", "Meter"),
            ("used", "The meter"),
            ("column", "Column"),
            ("written", "It says"),
            ("reason", "Reason"),
        ),
        tuple(
            (
                count_cell(row["line_no"]),
                Cell(str(row["meter_id"])) if row["meter_id"] else NOTHING,
                Cell("used without it" if row["meter_used"] else "left out"),
                Cell(str(row["column_name"])) if row["column_name"] else NOTHING,
                Cell(str(row["written"])) if row["written"] is not None else NOTHING,
                Cell(words.capital(LineProblem(row["kind"]).meaning)),
            )
            for row in sums.problem_lines(MOST_LINES)
        ),
        note,
    )
    return [read, by_kind, lines]


def names_table(names: Sequence[Written]) -> Table:
    rows = []
    for name in names[:MOST_LINES]:
        if name.why_not:
            said = Cell(words.capital(CoverDoubt(name.why_not).meaning), mark=Mark.FLAG)
        else:
            said = Cell(name.supplier or "")
        rows.append(
            (
                Cell(name.supplier_written),
                Cell(name.product_written) if name.product_written else NOTHING,
                count_cell(name.meters),
                said,
            )
        )
    return Table(
        "names",
        "What the names in the list stand for",
        columns(
            ("supplier_written", "Supplier in the list"),
            ("product_written", "Product in the list"),
            ("meters", "Meters"),
            ("supplier", "In the catalogue"),
        ),
        tuple(rows),
        f"The first {MOST_LINES} of {len(names):,}." if len(names) > MOST_LINES else None,
    )
