"""A `Paper` as a spreadsheet: a sheet a table, real numbers under headers with units, evidence last."""

import re
from pathlib import Path

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError

from firstcap.app.report.paper import Cell, Mark, Paper, Place, Table
from firstcap.app.report.xlsx import OPTIONS, Link, Sheets, Value

_EVIDENCE = "Evidence"
_LONGEST_NAME = 31
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\']")


def write_workbook(paper: Paper, out: Path) -> None:
    """Write the workbook; OSError where it cannot be written."""
    try:
        with xlsxwriter.Workbook(str(out), OPTIONS) as book:
            book.set_properties({"title": paper.title, "comments": " ".join(paper.cautions[:3])})
            sheets = Sheets(book)
            note = " ".join(status.text for status in paper.statuses)
            names: set[str] = {_EVIDENCE.casefold()}
            # The header of the sheet of evidence is its first row.
            lines = {place: number for number, place in enumerate(paper.places, 2)}
            for table in paper.tables:
                header, rows = _with_pages(table, lines)
                sheets.add(_sheet_name(table.title or table.key, names), header, rows, note)
            sheets.add(
                _EVIDENCE,
                ("File", "Page", "Of", "Words on the page"),
                [(p.file_name, p.page, p.label or p.field or None, p.quote) for p in paper.places],
            )
            said = [("Assumption", text) for text in paper.assumptions] + [("Source", text) for text in paper.sources]
            sheets.add(
                _sheet_name("Cautions", names),
                ("Kind", "Text"),
                [*(("Caution", text) for text in paper.cautions), *said],
            )
    except FileCreateError as error:
        raise error.args[0] if error.args and isinstance(error.args[0], OSError) else OSError(str(error)) from error


def _sheet_name(title: str, taken: set[str]) -> str:
    plain = _NOT_IN_NAMES.sub(" ", title)[:_LONGEST_NAME].strip() or "Table"
    name, number = plain, 2
    while name.casefold() in taken:
        name, number = f"{plain[: _LONGEST_NAME - 3]} {number}", number + 1
    taken.add(name.casefold())
    return name


def _with_pages(table: Table, lines: dict[Place, int]) -> tuple[list[str], list[list[Value]]]:
    """Second lines of cells and the pages of a row stand in columns of their own, where a table has any."""
    header: list[str] = []
    noted = [_has_more(table, place) for place in range(len(table.columns))]
    for place, column in enumerate(table.columns):
        header.append(column.header)
        if noted[place]:
            header.append(f"{column.title}: note")
    cited = any(cell.places for row in table.rows for cell in row)
    if cited:
        header += ["Files", "Pages", "Rows of the sheet Evidence"]
    rows = []
    for row in table.rows:
        values: list[Value] = []
        for place, cell in enumerate(row):
            values.append(_value(cell))
            if noted[place]:
                values.append(cell.more)
        if cited:
            found = sorted({(p.file_name, p.page) for cell in row for p in cell.places})
            values.append("; ".join(sorted({name for name, _ in found})) or None)
            values.append(", ".join(str(page) for _, page in found) or None)
            held = sorted({lines[place] for cell in row for place in cell.places})
            values.append(Link(", ".join(map(str, held)), _EVIDENCE, held[0]) if held else None)
        rows.append(values)
    return header, rows


def _has_more(table: Table, place: int) -> bool:
    return any(row[place].more for row in table.rows)


def _value(cell: Cell) -> Value:
    if cell.number is not None:
        return cell.number
    return None if cell.mark is Mark.SILENT and cell.text == "—" else cell.text
