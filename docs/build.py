"""Writes the reference pages from the code, so that they cannot say anything else: `python docs/build.py`.

catalogue.md   the public views, from store/contract.py and the database itself
standards.md   what the published standards ask, from schema/baselines.toml
commands.md    the command line, from its own help
patterns.md    every wording the reader knows, from the tables in extract/patterns/
"""

import importlib
import inspect
import pkgutil
import runpy
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass
from enum import StrEnum
from itertools import groupby
from pathlib import Path
from types import ModuleType
from typing import Any

DOCS = Path(__file__).parent
NOTICE = "<!-- Written by docs/build.py. Change the code, then run it again. -->"

CATALOGUE_INTRODUCTION = """\
These views are the public interface of a catalogue file: their names, columns, units and value lists are stable, and a
change to one is a breaking change. Everything else in the file is firstcap's own.

- A column's unit is the end of its name: `_months`, `_usgal` (US gallons), `_usgpm` (US gallons per minute), `_pct`
  (per cent of true volume registered), `_pt` (PDF points from the page's top left).
- `*_text` holds the words of the document; the unit column beside it holds the value.
- NULL means that the document does not say. It never means zero.
- A thing that fits no value of a list is `other`, never dropped.
- Years are 12 months, months are calendar months, and days are never turned into months.

The same words stand in the file itself, as comments: `SELECT * FROM duckdb_columns()` shows them.
"""
STANDARDS_INTRODUCTION = """\
Limits are per cent of true volume registered, flows US gallons per minute. `published` means read in the source named
beside the row; `common_practice` means that the trade does so and no source is known; `from_memory` means believed and
not checked: never use such a row to pass or fail a meter. The bodies of the AWWA standards were not opened: what is
published here is published in a public rule that restates them. A rule and a standard can both be right and differ; the
adopted standard, its edition, and local codes decide.

Where a document names no edition or class, the edition marked *default* answers; where none is marked, only what all of
them share.
"""
PATTERNS_INTRODUCTION = """\
What a document may say, and what is read from it: the tables of `extract/patterns/`, one section a file. A wording is
one row. Its example gives the value beside it; in its counter-example the row finds nothing. The tests run both for
every row. Values are written as in the phrase tables of `tests/extract/phrases/`: `mo` months, `d` days, `!` a doubt
that is told, `~` the reading not taken. Tables that say what a sentence must hold have a grammar of their own, which
`extract/patterns/phrase.py` and `extract/patterns/clause.py` explain.
"""


def _cell(value: object) -> str:
    return "" if value is None else str(value).replace("|", "\\|")


def _table(head: list[str], rows: list[list[object]]) -> Iterator[str]:
    yield f"| {' | '.join(head)} |"
    yield f"| {' | '.join('---' for _ in head)} |"
    for row in rows:
        yield f"| {' | '.join(_cell(value) for value in row)} |"


def catalogue() -> str:
    """Every view and column with its type and meaning, then every list of values."""
    from firstcap.schema.vocabulary import SIZES, Word
    from firstcap.store.catalogue import Catalogue
    from firstcap.store.contract import VIEWS
    from firstcap.store.macros import MACROS

    with tempfile.TemporaryDirectory() as folder:
        store = Catalogue(Path(folder) / "empty.duckdb")
        store.prepare()
        with store.reading() as connection:
            types = {
                view: {name: kind for name, kind, *_ in connection.execute(f"DESCRIBE {view}").fetchall()}
                for view in VIEWS
            }
    lists: dict[str, type[StrEnum]] = {}
    lines = [
        "# The catalogue",
        NOTICE,
        "",
        CATALOGUE_INTRODUCTION,
        f"Views: {', '.join(f'[{view}](#{view})' for view in VIEWS)}.",
    ]
    for view, (meaning, columns) in VIEWS.items():
        rows: list[list[object]] = []
        for column, told in columns.items():
            text = told if isinstance(told, str) else told[0]
            if not isinstance(told, str):
                name = told[1].__name__
                lists[name] = told[1]
                text = f"{text}: [{name}](#{name.lower()})"
            rows.append([f"`{column}`", types[view][column], text])
        lines += ["", f"## {view}", "", f"{meaning}.", "", *_table(["column", "type", "meaning"], rows)]
    lines += ["", "# Table macros", "", "Asked as `SELECT * FROM cover_at(109500, stored_months := 6)`."]
    for macro, (meaning, arguments) in MACROS.items():
        told = _table(["argument", "meaning"], [[f"`{name}`", text] for name, text in arguments.items()])
        lines += ["", f"## {macro}", "", f"{meaning}.", "", *told]
    lines += ["", "# Lists of values"]
    for name, values in lists.items():
        told_values: list[list[object]] = [
            [f"`{word.value}`", word.meaning] for word in values if isinstance(word, Word)
        ]
        lines += ["", f"## {name}", "", *_table(["value", "meaning"], told_values)]
    sizes: list[list[object]] = [[f"`{size.label}`", size.nominal_inch, size.nominal_mm] for size in SIZES]
    lines += ["", "## Sizes", "", *_table(["size_label", "nominal_inch", "nominal_mm"], sizes)]
    return "\n".join(lines) + "\n"


def standards() -> str:
    """The standards table, a section a standard, sizes together where they share everything but the flow."""
    from firstcap.schema.baselines import BASELINES, SOURCES, STANDARDS

    lines = [
        "# What the published standards ask",
        NOTICE,
        "",
        STANDARDS_INTRODUCTION,
        "## Sources",
        "",
        *_table(
            ["source", "document", "address", "certainty"],
            [[key, source.document, source.address, source.certainty] for key, source in SOURCES.items()],
        ),
    ]
    for name, standard in STANDARDS.items():
        rows = [row for row in BASELINES if row.standard == name]
        types = ", ".join(standard.meter_types) or "any type of meter"
        lines += ["", f"## {name}", "", f"{standard.title[0].upper()}{standard.title[1:]}. Written for: {types}."]
        for (edition, meter_type, condition), group in groupby(
            rows, key=lambda row: (row.edition, row.meter_type, row.condition)
        ):
            default = " (*default*)" if edition is not None and edition == standard.default_edition else ""
            heading = ", ".join(filter(None, [f"{edition}{default}" if edition else None, meter_type, condition]))
            lines += [
                "",
                f"**{heading}**",
                "",
                *_table(
                    ["size", "flow", "from gpm", "to gpm", "lower %", "upper %", "certainty", "source"],
                    [
                        [
                            row.size_label,
                            row.flow_role,
                            *row.flows,
                            *row.limits,
                            row.certainty,
                            ", ".join(key for key, source in SOURCES.items() if str(source) in row.source),
                        ]
                        for row in group
                    ],
                ),
            ]
    return "\n".join(lines) + "\n"


def commands() -> str:
    """The help of every command, as the terminal shows it at 100 columns."""
    import typer

    from firstcap.app.cli import app

    group = typer.main.get_command(app)
    width: dict[str, Any] = {"terminal_width": 100, "max_content_width": 100}
    root = typer.Context(group, info_name="firstcap", **group.context_settings, **width)
    lines = ["# The command line", NOTICE, "", "```text", group.get_help(root), "```"]
    for name in group.list_commands(root):  # type: ignore[attr-defined]
        command = group.get_command(root, name)  # type: ignore[attr-defined]
        context = typer.Context(command, info_name=name, parent=root, **width)
        lines += ["", f"## firstcap {name}", "", "```text", command.get_help(context), "```"]
    return "\n".join(lines) + "\n"


def patterns() -> str:
    """The rows of every table of wordings, a section a file, with what the example gives."""
    import firstcap.extract.patterns as families

    # The tests' notation: a page and a phrase table write a value alike.
    value: Callable[[Any], str] = runpy.run_path(str(DOCS.parent / "tests" / "extract" / "notation.py"))["value"]
    sections: list[str] = []
    contents: list[str] = []
    total = 0
    for found in pkgutil.iter_modules(families.__path__):
        module = importlib.import_module(f"{families.__name__}.{found.name}")
        tables = list(_wordings(module, value))
        if not tables:
            continue
        count = sum(len(rows) for _, rows in tables)
        total += count
        contents.append(f"[{found.name}](#{found.name}) ({count})")
        sections += ["", f"## {found.name}", "", (inspect.getdoc(module) or "").strip()]
        for title, rows in tables:
            head = ["name", "why", "example", "value", "counter-example"]
            sections += ["", *([f"**{title}**", ""] if title else []), *_table(head, rows)]
    lines = [
        "# What is read",
        NOTICE,
        "",
        PATTERNS_INTRODUCTION,
        f"{total} wordings: {', '.join(contents)}.",
        *sections,
    ]
    return "\n".join(lines) + "\n"


def _wordings(module: ModuleType, value: Callable[[Any], str]) -> Iterator[tuple[str, list[list[object]]]]:
    """(title, rows) of each table of a module: token patterns, fixed phrases, clauses."""
    from firstcap.extract.patterns.base import Pattern
    from firstcap.extract.patterns.clause import ClauseTable
    from firstcap.extract.patterns.credit import ShapeTable
    from firstcap.extract.patterns.matching import Built
    from firstcap.extract.patterns.phrase import PhraseTable

    def row(one: Any, meaning: Any) -> list[object]:
        built = meaning if isinstance(meaning, Built) else Built(meaning)
        told = [
            value(built.value),
            *(f"!{note}" for note in built.notes),
            *(f"~ {value(o)}" for o in built.alternatives),
        ]
        name = f"`{one.name}`" + ("" if one.language == "en" else f" ({one.language})")
        why = one.why or _meaning(built.value)
        return [name, why, one.example, f"`{' '.join(told)}`", one.counter_example]

    listed: set[str] = set()
    for name, table in vars(module).items():
        # A name taken from another module is that module's own to show.
        if isinstance(table, tuple) and table and all(isinstance(one, Pattern) for one in table):
            rows = [row(one, one.expect) for one in table if one.name not in listed]
            listed |= {one.name for one in table}
        elif isinstance(table, PhraseTable | ShapeTable) and table.wordings[0].name not in listed:
            rows = [row(one, one.value) for one in table.wordings]
        elif isinstance(table, ClauseTable):
            rows = [row(one, one.kind) for one in table.rows]
        else:
            continue
        if rows:
            yield ("" if name == "PATTERNS" else name.strip("_").replace("_", " ").lower()), rows


def _meaning(value: Any) -> str:
    """What the lists of values say of it: a row that needs no other reason stands for its value."""
    from firstcap.schema.vocabulary import Word

    parts = [getattr(value, part.name) for part in fields(value)] if is_dataclass(value) else [value]
    return "; ".join(part.meaning for part in parts if isinstance(part, Word))


PAGES = {"patterns.md": patterns, "catalogue.md": catalogue, "standards.md": standards, "commands.md": commands}


def main() -> None:
    for name, page in PAGES.items():
        (DOCS / name).write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
