"""Which of two editions governs which meter, by the day it was shipped or by the document's own rule."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from firstcap.app.report import words
from firstcap.app.report.comparison import Column as Document
from firstcap.app.report.paper import SILENT, Cell, Mark, Part, Table, columns
from firstcap.app.report.paper import Column as Head
from firstcap.app.report.rows import Views
from firstcap.app.worth.tables import rows_of
from firstcap.schema.errors import UsageError


def shipments_from(path: Path) -> list[tuple[str, date]]:
    """Meters from a CSV with columns meter and shipped (YYYY-MM-DD); UsageError with the line of a fault."""
    found = []
    for line, row in rows_of(path, ("meter", "shipped")):
        try:
            found.append((row["meter"], date.fromisoformat(row["shipped"])))
        except ValueError:
            raise UsageError(f"line {line}: shipped is {row['shipped']!r}; write YYYY-MM-DD", file=str(path)) from None
    return found


def editions_parts(views: Views, old: Document, new: Document, shipped: Sequence[tuple[str, date]]) -> tuple[Part, ...]:
    ids = (old.document.document_id, new.document.document_id)
    quotes = views.rows("SELECT quote FROM conditions WHERE kind = 'edition_rule' AND document_id IN (?, ?)", list(ids))
    first, second = old.document.effective_from, new.document.effective_from
    parts: list[Part] = [
        *(f"The document says which edition governs: “{row['quote']}”" for row in quotes if row["quote"]),
        "Where no document says otherwise, a meter is taken to fall under the edition in force on the day it was "
        "shipped.",
    ]
    if second is None:
        parts.append("The new edition has no date, so it cannot be told which meters fall under which.")
        return tuple(parts)
    rows = (
        (Cell(old.label), Cell(words.day(first)), Cell(words.day(second)), Cell(old.edition)),
        (Cell(new.label), Cell(words.day(second)), SILENT, Cell(new.edition)),
    )
    heads = columns(("edition", "Edition"), ("from", "Shipped from"), ("until", "Shipped before"), ("form", "Form"))
    parts.append(Table("editions", "By day of shipment", heads, rows, compact=True))
    if shipped:
        parts.append(_meters(shipped, old, new, first, second))
    return tuple(parts)


def _meters(
    shipped: Sequence[tuple[str, date]], old: Document, new: Document, first: date | None, second: date
) -> Table:
    rows = []
    for meter, day in shipped:
        governing = new.label if day >= second else old.label
        early = first is not None and day < first
        cell = Cell("an edition before the old one", mark=Mark.FLAG) if early else Cell(governing)
        rows.append((Cell(meter), Cell(day.isoformat()), cell))
    heads = (Head("meter", "Meter"), Head("shipped", "Shipped"), Head("edition", "Falls under"))
    return Table("meters", "Meters by edition", heads, tuple(rows))
