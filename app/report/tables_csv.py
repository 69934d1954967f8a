"""One table of a report as CSV: the columns' keys as header, numbers as numbers in the unit of their column."""

import csv
from pathlib import Path

from firstcap.app.report.notes import write_notes
from firstcap.app.report.paper import Mark, Paper
from firstcap.app.report.writers import as_json
from firstcap.schema.errors import UsageError


def write_table(paper: Paper, key: str, out: Path) -> str:
    """Write the table `key`, UTF-8, silence as an empty cell. UsageError for a place that cannot be written."""
    table = next(table for table in paper.tables if table.key == key)
    unfinished = out.with_name(f".{out.name}.part")
    try:
        with unfinished.open("w", encoding="utf-8", newline="") as file:
            writer = csv.writer(file)
            writer.writerow(column.key for column in table.columns)
            for row in table.rows:
                writer.writerow(
                    as_json(cell.number) if cell.number is not None else "" if cell.mark is Mark.SILENT else cell.text
                    for cell in row
                )
        unfinished.replace(out)
    except OSError as error:
        raise UsageError(
            f"cannot be written ({error.strerror or error}); choose another place", file=str(out)
        ) from error
    finally:
        unfinished.unlink(missing_ok=True)
    notes = write_notes(out, paper.cautions)
    told = "; ".join(status.text for status in paper.statuses)
    return f"{paper.title}. {told} {len(table.rows):,} rows written to {out}, its cautions to {notes}"
