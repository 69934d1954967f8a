"""A report as a model: title, sections of text, tables and figures, places on pages, cautions.

Every capability fills one of these; `app/report/writers.py` turns it into HTML, PDF, a spreadsheet, Markdown or JSON.
So each form says the same, marks the same values as unconfirmed and carries the same cautions.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from markupsafe import Markup

from firstcap.app.report import words
from firstcap.schema.errors import UsageError

CAUTIONS = (
    "This report is not legal advice.",
    "The supplier's signed document governs; read it before relying on any value here.",
    "Local codes, adopted standards and licensed or legal practice decide what applies to a meter and to a claim.",
    f"Values marked {words.UNCONFIRMED} were read by the machine and have not been checked by a person.",
    "“Not stated” means that the document does not say; it never means zero.",
    "Figures marked ≈ are rounded or converted.",
)

Number = int | Decimal | Fraction


class Mark(StrEnum):
    """How a cell is meant, told by a sign and by words as well as by colour."""

    PLAIN = "plain"
    SILENT = "silent"
    FLAG = "flag"
    GOOD = "good"
    BAD = "bad"


SIGNS = {Mark.GOOD: "✓ ", Mark.BAD: "✗ ", Mark.FLAG: "", Mark.PLAIN: "", Mark.SILENT: ""}


@dataclass(frozen=True)
class Place:
    """Where a value stands: a page of a file and the words there; `item` and `field` are keys of view `evidence`."""

    file_name: str
    page: int
    quote: str | None = None
    item: str = ""
    field: str = ""
    label: str = ""


@dataclass(frozen=True)
class Cell:
    """`number` is what a spreadsheet and a program get, in the unit of its column; `text` what a reader sees."""

    text: str
    number: Number | None = None
    mark: Mark = Mark.PLAIN
    more: str | None = None
    places: tuple[Place, ...] = ()

    @property
    def signed(self) -> str:
        return SIGNS[self.mark] + self.text


SILENT = Cell("not stated", mark=Mark.SILENT)
NOTHING = Cell("—", mark=Mark.SILENT)


@dataclass(frozen=True)
class Column:
    """`key` is the column's name in JSON and for sorting; `unit` stands in the header, never in a cell's number."""

    key: str
    title: str
    unit: str | None = None

    @property
    def header(self) -> str:
        return f"{self.title} ({self.unit})" if self.unit else self.title


@dataclass(frozen=True)
class Table:
    """`key` names the table in JSON and the sheet of a workbook; rows are as long as `columns`."""

    key: str
    title: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    note: str | None = None
    compact: bool = False

    def __post_init__(self) -> None:
        for row in self.rows:
            if len(row) != len(self.columns):
                raise ValueError(f"{self.key}: a row of {len(row)} cells under {len(self.columns)} columns")


@dataclass(frozen=True)
class Figure:
    """A drawing, and what it shows in one sentence for those who cannot see it."""

    svg: Markup
    says: str


Part = str | Table | Figure


@dataclass(frozen=True)
class Section:
    heading: str
    parts: tuple[Part, ...]

    @property
    def anchor(self) -> str:
        return "-".join("".join(c if c.isalnum() else " " for c in self.heading.casefold()).split())


@dataclass(frozen=True)
class Status:
    """One line at the head: how far values are confirmed, what is left out. `open` asks for attention."""

    text: str
    open: bool = False


@dataclass(frozen=True)
class Paper:
    kind: str
    title: str
    lead: str
    statuses: tuple[Status, ...]
    sections: tuple[Section, ...]
    cautions: tuple[str, ...] = CAUTIONS
    sources: tuple[str, ...] = ()
    assumptions: tuple[str, ...] = field(default=())

    @property
    def tables(self) -> tuple[Table, ...]:
        return tuple(part for section in self.sections for part in section.parts if isinstance(part, Table))

    @property
    def places(self) -> tuple[Place, ...]:
        """Every place once, in the order of the report."""
        found: dict[Place, None] = {}
        for table in self.tables:
            for row in table.rows:
                for cell in row:
                    found.update(dict.fromkeys(cell.places))
        return tuple(found)


def evidence_lines(places: Sequence[Place]) -> list[list[str]]:
    """One line for all that was read from one page for one promise or clause: file, page, of what, words by value."""
    lines: dict[tuple[str, int, str, str], dict[str, list[str]]] = {}
    for place in places:
        of, _, rest = place.label.partition(": ")
        value, _, whose = rest.rpartition(", ") if ", " in rest else (rest, "", "")
        name = f"{of}, {whose}" if whose else of
        told = lines.setdefault((place.file_name, place.page, name or "—", place.item), {})
        told.setdefault(place.quote or "—", []).append(value)
    return [
        [file, f"p. {page}", of, "; ".join(f"{_listed(values)}“{quote}”" for quote, values in told.items())]
        for (file, page, of, _), told in lines.items()
    ]


def _listed(values: Sequence[str]) -> str:
    named = ", ".join(dict.fromkeys(value for value in values if value))
    return f"{named}: " if named else ""


def confirmation(unconfirmed: int, total: int, what: str = "promise") -> Status:
    """How far the values were checked, in one sentence."""
    if not total:
        return Status(f"No {what} is shown.", open=True)
    if not unconfirmed:
        return Status(f"All {words.counted(total, what)} shown were checked by a person.")
    return Status(
        f"{words.UNCONFIRMED_SIGN} {unconfirmed} of {words.counted(total, what)} unconfirmed: read by the machine, "
        "not yet checked by a person.",
        open=True,
    )


def state_cell(state: str) -> Cell:
    return Cell(words.state(state), mark=Mark.FLAG if state == "proposed" else Mark.PLAIN)


def sorted_by(paper: Paper, order: str) -> Paper:
    """The tables that have the column `order` in its order, a leading minus meaning largest first; silence last.

    UsageError where no table has such a column, with those there are.
    """
    key, down = order.lstrip("-"), order.startswith("-")
    if not any(column.key == key for table in paper.tables for column in table.columns):
        keys = dict.fromkeys(column.key for table in paper.tables for column in table.columns)
        raise UsageError(f"no column {key!r} to order by; there are {', '.join(keys)}")

    def ordered(part: Part) -> Part:
        if not isinstance(part, Table):
            return part
        found = [place for place, column in enumerate(part.columns) if column.key == key]
        return replace(part, rows=tuple(in_order(part.rows, found[0], down))) if found else part

    sections = tuple(replace(one, parts=tuple(map(ordered, one.parts))) for one in paper.sections)
    return replace(paper, sections=sections)


def in_order(rows: Iterable[tuple[Cell, ...]], place: int, down: bool) -> list[tuple[Cell, ...]]:
    """Numbers before words, words before silence, whichever way numbers and words run."""

    def rank(row: tuple[Cell, ...]) -> int:
        cell = row[place]
        return 2 if cell.mark is Mark.SILENT else 0 if cell.number is not None else 1

    def value(row: tuple[Cell, ...]) -> Fraction:
        return Fraction(row[place].number or 0)

    held = list(rows)
    numbers = sorted((row for row in held if rank(row) == 0), key=value, reverse=down)
    texts = sorted((row for row in held if rank(row) == 1), key=lambda row: row[place].text.casefold(), reverse=down)
    return [*numbers, *texts, *(row for row in held if rank(row) == 2)]


def columns(*described: str | tuple[str, str] | tuple[str, str, str]) -> tuple[Column, ...]:
    """Columns from (key, title, unit); a bare title is its own key."""
    made = []
    for one in described:
        if isinstance(one, str):
            made.append(Column(one.casefold().replace(" ", "_"), one))
        else:
            made.append(Column(*one))
    return tuple(made)


def text_cells(row: Sequence[str]) -> tuple[Cell, ...]:
    return tuple(Cell(text) if text else NOTHING for text in row)
