"""The report on the fleet: what is covered on a day, by whom, which size and year, until when, and what is in doubt."""

from collections.abc import Mapping, Sequence
from datetime import date
from fractions import Fraction
from typing import Any

from firstcap.app.fleet.charts import kind_of, kind_words, losing, standing, words_of
from firstcap.app.fleet.list_paper import count_cell, list_parts, names_table
from firstcap.app.fleet.promises_paper import MOST_TERMS, promises_table
from firstcap.app.report import words
from firstcap.app.report.page import END_MARKS, END_WORDS
from firstcap.app.report.paper import (
    CAUTIONS,
    NOTHING,
    Cell,
    Column,
    Mark,
    Paper,
    Part,
    Section,
    Status,
    Table,
    columns,
    state_cell,
)
from firstcap.schema.fleet import Assumption, CoverDoubt
from firstcap.store.cover import CoverSums
from firstcap.store.names import Written

MOST_DETAILS = 25_000  # rows of meters and promises that a spreadsheet gets
_MOST_PICTURES = 3
_WITHIN = (12, 60)  # months

FLEET_CAUTIONS = (
    "A claim is a legal act: this report prepares, a person decides and signs.",
    "A forecast by use is no reading: read a meter before relying on the day its volume cap is met.",
)


def fleet_paper(
    sums: CoverSums,
    names: Sequence[Written],
    *,
    include_proposed: bool,
    more: Mapping[str, str],
    details: bool = False,
) -> Paper:
    """The report. `more` says where all rows are (`cover`, `problems`), `details` puts them into a table too."""
    fleet, kinds, losses = sums.fleet(), sums.kinds(), sums.losses()
    meters = int(fleet["meters"])
    terms = sums.terms(MOST_TERMS)
    sections = [
        Section("Covered, and until when", tuple(_covered(sums, kinds, losses, meters))),
    ]
    pictures = [standing(sums, row["size_label"]) for row in sums.sizes()[:_MOST_PICTURES]]
    if drawn := [one for one in pictures if one is not None]:
        sections.append(Section("Where the meters stand", (_STANDING, *drawn)))
    sections.append(Section("Totals", tuple(_by(sums, dimension, title) for dimension, title in _DIMENSIONS)))
    sections.append(Section("What cannot be told", (_doubts(sums),)))
    sections.append(Section("The list of meters", tuple(list_parts(sums, fleet, more))))
    sections.append(Section("Names", (names_table(names),)))
    sections.append(Section("The promises", (promises_table(sums, terms),)))
    if details:
        rows = sums.details(MOST_DETAILS, include_proposed)
        sections.append(Section("Every meter", (_TOO_MANY if rows is None else _details(rows),)))
    return Paper(
        kind="fleet",
        title=f"The fleet on {words_of(sums.day)}",
        lead="Every promise of every meter, by the edition in force when the meter was shipped: covered or not, ended "
        "by time or by volume, and when the rest will end by what each meter uses.",
        statuses=_statuses(fleet, kinds, sums, include_proposed, more),
        sections=tuple(sections),
        cautions=(*FLEET_CAUTIONS, *CAUTIONS),
        assumptions=(*_ASSUMED, *_assumptions(sums)),
        sources=(
            "Arithmetic from the documents' own limits and the list's dates and readings; formulas: docs/fleet.md.",
            "The last day of a period that ends on a day its month does not have is the last of the month, and is "
            "covered: Regulation (EEC, Euratom) No 1182/71, article 3 (from memory).",
        ),
    )


_DIMENSIONS = (("supplier", "By supplier"), ("size_label", "By size"), ("shipped_year", "By year of shipment"))
_STANDING = (
    "Each dot is one meter or several of the same age and registration, the larger the more. Right of a supplier’s box "
    "its years are over; above it, its volume."
)
_TOO_MANY = (
    f"More than {MOST_DETAILS:,} rows of meters and promises: a sheet of this program holds no more. A file .csv holds "
    "all of them (--out cover.csv), as does SQL: meter_cover_on."
)
_ASSUMED = (
    "A meter's register counts from zero and was never exchanged or passed its highest figure.",
    "A meter goes on as it is stated to use water in a year, or as it has done on average since it was set. The range "
    "lies between the two; a reading of less than a year alone is widened by the part of the year it did not see.",
    "The last day of a period of months is the day of the month on which it began, or the last day of a shorter month; "
    "that day is still covered.",
    "A meter is covered, or is not, only where its data leave no other answer; all else is “cannot be told”.",
)
_COUNTS = (
    ("meters", "Meters"),
    ("covered", "Covered"),
    ("ended_by_time", "Ended by time"),
    ("ended_by_volume", "Ended by volume"),
    ("not_begun", "Not begun"),
    ("cannot_tell", "Cannot be told"),
)


def _statuses(
    fleet: Mapping[str, Any],
    kinds: Sequence[Mapping[str, Any]],
    sums: CoverSums,
    include_proposed: bool,
    more: Mapping[str, str],
) -> tuple[Status, ...]:
    lines, meters, bare = int(fleet["lines"]), int(fleet["meters"]), int(fleet["bare"])
    shown = [
        Status(
            f"{meters:,} of {lines:,} lines of {fleet['file_name']} are used"
            + ("." if meters == lines else f"; {lines - meters:,} could not be, each told with its reason."),
            open=meters != lines,
        )
    ]
    unconfirmed, total = (sum(int(row[key]) for row in kinds) for key in ("unconfirmed", "meters"))
    if unconfirmed:
        shown.append(
            Status(
                f"{words.UNCONFIRMED_SIGN} {unconfirmed:,} of {total:,} covers are by promises nobody has checked yet.",
                open=True,
            )
        )
    elif total:
        shown.append(Status(f"All {total:,} covers shown are by promises that a person has checked."))
    if bare:
        shown.append(
            Status(f"{bare:,} meters have no promise that can be reckoned with; see What cannot be told.", open=True)
        )
    if not include_proposed:
        shown.append(Status("Promises still to be confirmed are left out; --include-proposed reckons with them too."))
    if "cover" in more:
        shown.append(Status(f"Every meter and promise is in {more['cover']}."))
    return tuple(shown)


def _counts(row: Mapping[str, Any]) -> tuple[Cell, ...]:
    flagged = Mark.FLAG if row["cannot_tell"] else Mark.PLAIN
    return tuple(count_cell(row[key], flagged if key == "cannot_tell" else Mark.PLAIN) for key, _ in _COUNTS)


def _state(row: Mapping[str, Any]) -> Cell:
    return state_cell("proposed") if row["unconfirmed"] else Cell("confirmed")


def _covered(sums: CoverSums, kinds: Sequence[Mapping[str, Any]], losses: Sequence[Any], meters: int) -> list[Part]:
    rows = []
    now = sums.day.year * 12 + sums.day.month
    for row in kinds:
        soon = []
        for within in _WITHIN:
            for by in ("time", "volume"):
                soon.append(
                    sum(
                        loss.meters
                        for loss in losses
                        if (loss.component, loss.promise, loss.accuracy_level) == kind_of(row)
                        and loss.month - now < within
                        and (loss.cap == "volume") == (by == "volume")
                    )
                )
        share = Fraction(int(row["covered"]), meters) if meters else Fraction(0)
        rows.append(
            (
                Cell(kind_words(kind_of(row))),
                _state(row),
                *_counts(row),
                Cell(f"{float(share * 100):.1f} %", share * 100),
                *map(count_cell, soon),
            )
        )
    table = Table(
        "cover",
        "Meters by promise",
        (
            Column("promise", "Promise"),
            Column("state", "State"),
            *(Column(key, title) for key, title in _COUNTS),
            Column("share", "Covered", "% of the fleet"),
            *(
                Column(f"ends_{within}_{by}", f"Ends within {within} months by {by}")
                for within in _WITHIN
                for by in ("time", "volume")
            ),
        ),
        tuple(rows),
        "A meter counts once in each line. Ends are forecasts where the volume decides.",
    )
    figure = losing(kinds, losses, meters, sums.day)
    return [table] if figure is None else [table, figure]


def _by(sums: CoverSums, dimension: str, title: str) -> Table:
    rows = []
    for row in sums.by(dimension):
        value = row[dimension]
        shown = Cell("no date given", mark=Mark.SILENT) if value is None else Cell(str(value))
        rows.append((shown, Cell(kind_words(kind_of(row))), _state(row), *_counts(row)))
    head = {"supplier": "Supplier", "size_label": "Size", "shipped_year": "Shipped in"}[dimension]
    return Table(
        f"by_{dimension}",
        title,
        (
            Column(dimension, head),
            Column("promise", "Promise"),
            Column("state", "State"),
            *(Column(key, name) for key, name in _COUNTS),
        ),
        tuple(rows),
        compact=True,
    )


_WHAT_TO_DO = {
    CoverDoubt.READING_NEEDED: "Read these meters; the CSV names them.",
    CoverDoubt.USE_UNKNOWN: "Give a reading with its date, or a yearly use.",
    CoverDoubt.INSTALLED_ON_MISSING: "Give the installation date.",
    CoverDoubt.SHIPPED_ON_MISSING: "Give the shipment date.",
    CoverDoubt.START_CONDITIONAL: "Read the clause and decide which date counts.",
    CoverDoubt.START_UNKNOWN: "Read the clause: the list has no date for its event.",
    CoverDoubt.NO_LIMIT: "Read the document, and correct the promise with `firstcap confirm`.",
    CoverDoubt.SUPPLIER_NOT_MATCHED: "Run it in a terminal and say which supplier is meant, or use --names near.",
    CoverDoubt.SUPPLIER_NOT_IN_CATALOGUE: "Read the supplier's documents with `firstcap read`.",
    CoverDoubt.PRODUCT_NOT_MATCHED: "Run it in a terminal and say which document is meant, or use --names near.",
    CoverDoubt.PRODUCT_NOT_IN_CATALOGUE: "Read the product's document with `firstcap read`.",
    CoverDoubt.NO_PROMISE_FOR_SIZE: "Check the size, and whether a document for it is missing.",
    CoverDoubt.NOT_CONFIRMED: "Confirm the promises with `firstcap confirm`, or add --include-proposed.",
    CoverDoubt.NO_EDITION_THEN: "Look for the edition of that time and read it with `firstcap read`.",
    CoverDoubt.PART_OF_A_MONTH: "Read the clause and decide which day it means.",
}


def _doubts(sums: CoverSums) -> Table:
    rows = []
    for row in sums.doubts():
        doubt = CoverDoubt(row["doubt"])
        rows.append(
            (
                Cell(words.capital(doubt.meaning)),
                Cell("meters without any promise" if row["bare"] else "promises of meters"),
                count_cell(row["meters"], Mark.FLAG),
                Cell(_WHAT_TO_DO[doubt]),
            )
        )
    return Table(
        "doubts",
        "Why it cannot be told",
        columns(("reason", "Reason"), ("of", "Counted are"), ("count", "How many"), ("next", "What to do")),
        tuple(rows),
        None if rows else "Nothing: every promise of every meter can be told.",
    )


def _assumptions(sums: CoverSums) -> tuple[str, ...]:
    return tuple(
        f"{words.capital(Assumption(row['assumption']).meaning)} ({int(row['meters']):,} covers)."
        for row in sums.assumptions()
    )


_DETAIL_COLUMNS = (
    ("line_no", "Line"),
    ("meter_id", "Meter"),
    ("supplier", "Supplier"),
    ("size_label", "Size"),
    ("shipped_on", "Shipped on"),
    ("promise", "Promise"),
    ("state", "State"),
    ("covered", "Covered"),
    ("ending_cap", "Ending cap"),
    ("ends_by_time", "Ends by time"),
    ("ends_by_volume", "Ends by volume"),
    ("ends_on", "Ends on"),
    ("ends_on_earliest", "Earliest"),
    ("ends_on_latest", "Latest"),
    ("left_months", "Months left"),
    ("left_usgal", "Volume left (gal)"),
    ("doubt", "Doubt"),
    ("assumed", "Assumed"),
)


def _details(rows: Sequence[Mapping[str, Any]]) -> Table:
    def cell(key: str, row: Mapping[str, Any]) -> Cell:
        value = row[key]
        if key == "promise":
            return Cell(kind_words(kind_of(row))) if row["term_id"] else NOTHING
        if key == "covered" and row["term_id"]:
            return Cell({True: "yes", False: "no"}.get(value, "cannot be told"))
        if value is None:
            return NOTHING
        if key == "state":
            return state_cell(str(value))
        if key == "ending_cap":
            return Cell(f"{END_MARKS[value]} {END_WORDS[value]}".strip())
        if key == "doubt":
            return Cell(CoverDoubt(value).meaning)
        if key == "assumed":
            return Cell("; ".join(Assumption(one).meaning for one in str(value).split(", ")))
        if key == "left_usgal":
            return Cell(f"{value:,.0f}", round(value))
        if isinstance(value, int):
            return Cell(f"{value:,}", value)
        return Cell(value.isoformat() if isinstance(value, date) else str(value))

    return Table(
        "meters",
        "Every meter and promise",
        columns(*_DETAIL_COLUMNS),
        tuple(tuple(cell(key, row) for key, _ in _DETAIL_COLUMNS) for row in rows),
    )
