"""The words of all documents: a ranked search over them, and a book of terms opened by a glossary.

`find` looks through promises, exclusions, duties and conditions; the book lists every kind of them with each supplier's
wording side by side.
"""

import tomllib
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from firstcap.app.report import words
from firstcap.app.report.paper import (
    SILENT,
    Cell,
    Paper,
    Part,
    Place,
    Section,
    Table,
    columns,
    confirmation,
    state_cell,
)
from firstcap.app.report.rows import Views
from firstcap.schema.errors import UsageError
from firstcap.schema.quantities import Model
from firstcap.schema.vocabulary import Certainty, ConditionKind
from firstcap.worth.search import ranked


class Entry(Model):
    """One word of the trade in our own words."""

    term: str
    meaning: str
    source: str
    certainty: Certainty


@cache
def glossary() -> tuple[Entry, ...]:
    """The trade's words in alphabetical order."""
    text = files("firstcap.app.worth").joinpath("glossary.toml").read_text(encoding="utf-8")
    entries = (Entry.model_validate(row) for row in tomllib.loads(text)["entry"])
    return tuple(sorted(entries, key=lambda entry: entry.term.casefold()))


@dataclass(frozen=True)
class Passage:
    """One piece of one document: what it is, in our words and the document's, and where it stands."""

    family: str
    kind: str
    supplier: str
    file_name: str
    document_id: str
    text: str
    state: str
    page: int | None
    item: str
    field: str

    @property
    def name(self) -> str:
        """ "exclusion: freezing, frost, ice"."""
        told = {"exclusion": words.exclusion, "duty": words.duty, "condition": _condition}.get(self.family)
        return f"{self.family}: {told(self.kind) if told else words.spaced(self.kind)}"

    @property
    def places(self) -> tuple[Place, ...]:
        if self.page is None:
            return ()
        return (
            Place(
                self.file_name,
                self.page,
                self.text,
                self.item,
                self.field,
                f"{words.capital(self.name)}, {self.supplier}",
            ),
        )


def _condition(kind: str) -> str:
    return ConditionKind(kind).meaning if kind in set(ConditionKind) else words.spaced(kind)


def passages(views: Views) -> list[Passage]:
    """All passages of the catalogue, in the order of files and pages.

    Where one passage holds several promises, as for several sizes, it stands once, unconfirmed while one of them is.
    """
    rows = views.rows("SELECT * FROM passages ORDER BY file_name, page NULLS LAST, family, kind, text")
    found: dict[tuple[str, str, str, str], Passage] = {}
    for row in rows:
        one = Passage(
            family=str(row["family"]),
            kind=str(row["kind"]),
            supplier=str(row["supplier"] or "supplier not named"),
            file_name=str(row["file_name"]),
            document_id=str(row["document_id"]),
            text=" ".join(str(row["text"]).split()),
            state=str(row["state"]),
            page=None if row["page"] is None else int(str(row["page"])),
            item=str(row["item_id"]),
            field=str(row["field"] or ""),
        )
        key = (one.document_id, one.family, one.kind, one.text)
        if key not in found or one.state == "proposed":
            found[key] = one
    return list(found.values())


def find(views: Views, query: str, *, most: int = 20) -> Paper:
    """The passages that answer a query best. Our own name of a kind counts as words of the passage, too.

    UsageError for a query without words.
    """
    if not query.strip():
        raise UsageError('there is nothing to look for; for example: firstcap find "fogging register"')
    held = passages(views)
    best = ranked(query, [f"{one.name} {one.text}" for one in held])[:most]
    rows = []
    for rank, (place, score) in enumerate(best, 1):
        one = held[place]
        rows.append(
            (
                Cell(str(rank), rank),
                Cell(one.supplier, more=one.file_name),
                Cell(words.capital(one.name)),
                state_cell(one.state),
                Cell(f"“{one.text}”", places=one.places),
                Cell(f"{score:.2f}", round(score * 100)),
            )
        )
    shown = [held[place] for place, _ in best]
    table = Table(
        "found",
        f"Best {len(rows)} of {len(held)} passages",
        columns(
            ("rank", "Rank"),
            ("supplier", "Supplier"),
            ("kind", "What it is"),
            ("state", "State"),
            ("words", "Words of the document"),
            ("score", "Score"),
        ),
        tuple(rows),
    )
    return Paper(
        kind="find",
        title=f"Found for “{query}”",
        lead="Promises, exclusions, duties and conditions of all documents, the best answer first.",
        statuses=(confirmation(sum(one.state == "proposed" for one in shown), len(shown), "passage"),),
        sections=(Section("Passages", (table,)),),
        assumptions=(
            "Ranked by BM25 over English word stems; a passage is found by its words and by our name of its kind.",
        ),
    )


# Families in the order of the book, each with its heading.
_FAMILIES = (
    ("promise", "Promises"),
    ("exclusion", "What is excluded"),
    ("duty", "What the customer must do"),
    ("condition", "Other clauses"),
)


def book(views: Views) -> Paper:
    """Every kind of promise, exclusion, duty and condition with each supplier's wording, after the glossary."""
    held = passages(views)
    suppliers = {one.document_id: f"{one.supplier} ({one.file_name})" for one in held}
    sections = [Section("The trade’s words", (_READ, _glossary_table()))]
    for family, heading in _FAMILIES:
        kinds: dict[str, list[Passage]] = defaultdict(list)
        for one in held:
            if one.family == family:
                kinds[one.kind].append(one)
        tables: list[Part] = [_wordings(name, kinds[name], suppliers) for name in sorted(kinds)]
        if tables:
            sections.append(Section(heading, tuple(tables)))
    return Paper(
        kind="book",
        title="The book of terms",
        lead="What these documents promise, exclude and ask, kind by kind, in every supplier’s own words.",
        statuses=(confirmation(sum(one.state == "proposed" for one in held), len(held), "passage"),),
        sections=tuple(sections),
        sources=tuple(dict.fromkeys(f"{entry.source} ({words.spaced(entry.certainty)})" for entry in glossary())),
    )


_READ = (
    "A buyer who does not know a repaired from a rebuilt meter cannot read any of these documents. The meanings are "
    "in our "
    "own words, each with its source and how certain it is; the document’s own definitions come first."
)


def _glossary_table() -> Table:
    rows = tuple(
        (Cell(entry.term), Cell(entry.meaning), Cell(entry.source, more=words.spaced(entry.certainty)))
        for entry in glossary()
    )
    return Table("glossary", "Glossary", columns(("term", "Word"), ("meaning", "Meaning"), ("source", "Source")), rows)


def _wordings(kind: str, held: Sequence[Passage], suppliers: dict[str, str]) -> Table:
    seen: set[tuple[str, str]] = set()
    rows = []
    for one in held:
        if (one.document_id, one.text) in seen:
            continue
        seen.add((one.document_id, one.text))
        rows.append(
            (Cell(one.supplier, more=one.file_name), state_cell(one.state), Cell(f"“{one.text}”", places=one.places))
        )
    silent = [name for document_id, name in suppliers.items() if document_id not in {one.document_id for one in held}]
    return Table(
        f"{held[0].family}-{kind}",
        words.capital(held[0].name.partition(": ")[2]),
        columns(("supplier", "Supplier"), ("state", "State"), ("words", "Words of the document")),
        tuple(rows) or ((SILENT, SILENT, SILENT),),
        f"Not found in: {'; '.join(silent)}" if silent else None,
    )
