"""The promises that the report on the fleet reckons with, each with its limits and where they stand."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from firstcap.app.fleet.charts import kind_of, kind_words
from firstcap.app.fleet.list_paper import count_cell
from firstcap.app.report import words
from firstcap.app.report.paper import Cell, Place, Table, columns, state_cell
from firstcap.app.report.rows import StartRow, Views

MOST_TERMS = 80


_QUOTES = """
SELECT t.term_id, d.file_name, d.revision, d.effective_from, t.duration_text, t.duration_months, t.duration_days,
  t.volume_cap_usgal, t.ends, t.start_rule, t.start_event, e.field, e.page, e.quote
FROM terms AS t JOIN documents AS d USING (document_id)
LEFT JOIN evidence AS e ON e.item_id = t.term_id AND e.field IN ('duration_months', 'duration_days', 'volume_cap_usgal')
WHERE t.term_id IN (SELECT unnest(?::VARCHAR[]))
ORDER BY t.term_id, e.page, e.field
"""
_STARTS = """
SELECT term_id, start_no, event, plus_months FROM starts
WHERE term_id IN (SELECT unnest(?::VARCHAR[])) ORDER BY term_id, start_no
"""


class _Counted(NamedTuple):
    start_rule: str | None
    start_event: str | None


def promises_table(views: Views, terms: Sequence[Mapping[str, Any]]) -> Table:
    told: dict[str, list[Mapping[str, Any]]] = {}
    for row in views.rows(_QUOTES, [[term["term_id"] for term in terms]]):
        told.setdefault(str(row["term_id"]), []).append(row)
    starts: dict[str, list[StartRow]] = {}
    for row in views.rows(_STARTS, [[term["term_id"] for term in terms]]):
        months = Decimal(str(row["plus_months"]))
        start = StartRow(str(row["term_id"]), int(str(row["start_no"])), str(row["event"]), months)
        starts.setdefault(start.term_id, []).append(start)
    rows = []
    for term in terms:
        held = told.get(term["term_id"], [])
        if not held:
            continue
        first = held[0]
        places = tuple(
            dict.fromkeys(
                Place(str(row["file_name"]), int(str(row["page"])), row["quote"], term["term_id"], str(row["field"]))
                for row in held
                if row["page"] is not None
            )
        )
        edition = " ".join(str(part) for part in (first["revision"], first["effective_from"]) if part)
        rows.append(
            (
                Cell(str(term["supplier"]), more=edition or None),
                Cell(str(term["size_label"])),
                Cell(kind_words(kind_of(term))),
                _limits(first, places),
                Cell(words.start(_Counted(first["start_rule"], first["start_event"]), starts.get(term["term_id"], ()))),
                state_cell(str(term["state"])),
                count_cell(term["meters"]),
            )
        )
    return Table(
        "promises",
        "The promises reckoned with, those of most meters first",
        columns(
            ("supplier", "Supplier and edition"),
            ("size", "Size"),
            ("promise", "Promise"),
            ("limits", "Limits"),
            ("start", "Counted from"),
            ("state", "State"),
            ("meters", "Meters"),
        ),
        tuple(rows),
        f"At most {MOST_TERMS} are listed." if len(terms) == MOST_TERMS else None,
    )


def _limits(row: Mapping[str, Any], places: tuple[Place, ...]) -> Cell:
    parts = []
    if row["duration_months"] is not None:
        parts.append(words.counted(Fraction(row["duration_months"]), "month"))
    elif row["duration_days"] is not None:
        parts.append(words.counted(int(row["duration_days"]), "day"))
    if row["volume_cap_usgal"] is not None:
        parts.append(f"{words.figure(Fraction(row['volume_cap_usgal']))} gal")
    rule = f", {words.spaced(str(row['ends']))}" if len(parts) == 2 else ""
    return Cell(" or ".join(parts) + rule if parts else words.spaced(str(row["ends"])), places=places)
