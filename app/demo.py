"""Owns the demo: from an empty folder to a read, partly confirmed and compared stack of invented Pinyon Ridge papers.

It does what a person would do with `read`, `confirm`, `compare`, `fleet`, `test-first` and `claims`, through the same
functions. The confirmations are
recorded (`decisions.json` in the stack): each act names the file and the promise, and the values its reviewer saw. An
act that does not fit what was read is not applied, and the report says so.
"""

import json
import os
import shlex
import shutil
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from firstcap.app.demo_fleet import FleetOutputs, commands, look_at_fleet
from firstcap.app.read import ReadFile, read_file, read_stack, reader_name
from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import DecisionAction, DocumentStatus, TermState

if TYPE_CHECKING:
    from firstcap.store.catalogue import Catalogue, DocumentRow, StoredTerm

STACK = "firstcap.app.demo_stack"
DEFAULT_FOLDER = Path("pinyon-ridge")
MARKER = ".firstcap-demo"
SIZE = "5/8"

Narrate = Callable[[str], None]


@dataclass(frozen=True)
class DemoReport:
    """What the demo did. `unmatched` are recorded acts that do not fit what was read, in words."""

    folder: Path
    catalogue: Path
    comparison: Path
    fleet: FleetOutputs
    documents: tuple["DocumentRow", ...]
    applied: Mapping[str, int]
    unmatched: tuple[str, ...]

    def lines(self) -> list[str]:
        """The report for a person: what was found, what was confirmed, what to try next (exact commands)."""
        rows = self.documents
        failed = [row for row in rows if row.status is DocumentStatus.FAILED]
        empty = [row for row in rows if row not in failed and not row.terms]
        terms, waiting = sum(row.terms for row in rows), sum(row.to_confirm for row in rows)
        acts = ", ".join(f"{count} {_DONE[DecisionAction(action)]}" for action, count in self.applied.items()) or "none"
        name = shlex.quote(str(self.catalogue))
        lines = [
            f"{len(rows)} invented documents in {self.folder}: {terms} terms found, {waiting} still to confirm.",
            *(f"  {row.file_name}: could not be read. {row.message or ''}".rstrip() for row in failed),
            *(f"  {row.file_name}: no warranty terms found." for row in empty),
            f"Recorded confirmations applied: {acts}.",
            *(f"  Not applied: {what}" for what in self.unmatched),
            f"Comparison for {SIZE} inch meters: {self.comparison}",
            *self.fleet.lines(),
            "",
            "Try next:",
            f"  firstcap confirm --catalogue {name}",
            f"  firstcap query --catalogue {name} \\",
            '    "select supplier, size_label, duration_months, volume_cap_usgal, state from terms"',
            f"  firstcap compare --size 3/4 --catalogue {name} --out {shlex.quote(str(self.folder / 'compare.xlsx'))}",
            *(f"  {line}" for line in commands(self.folder, name)),
            f"  firstcap read --catalogue {name} YOUR-FOLDER",
            "",
            "Every supplier, place and number in this stack is invented. Nothing here is legal advice: the supplier's",
            "signed document governs, and local codes, adopted standards and licensed or legal practice decide.",
        ]
        return lines


_DONE = {
    DecisionAction.CONFIRM: "confirmed",
    DecisionAction.CORRECT: "corrected",
    DecisionAction.ADD: "added",
    DecisionAction.STRIKE: "struck",
}


def run_demo(
    folder: Path | None = None,
    *,
    narrate: Narrate = lambda line: None,
    read: ReadFile = read_file,
    reader: str | None = None,
    jobs: int | None = None,
) -> DemoReport:
    """Copy the bundled stack into `folder` (default `./pinyon-ridge`), read it, apply the recorded acts, compare.

    `narrate` hears each step in a line; `jobs` processes read (default: one a core); `read` and
    its name `reader` stand in for the reader of this release. Run again over its own folder it
    adds nothing twice and keeps what a person decided in between. UsageError for a folder that holds other things.
    """
    from firstcap.store.catalogue import Catalogue

    folder = DEFAULT_FOLDER if folder is None else folder
    papers = _copy_stack(folder)
    narrate(f"{len(papers)} papers copied to {folder}")
    catalogue = Catalogue(folder / "firstcap.duckdb")
    jobs = jobs or os.cpu_count() or 1
    for outcome in read_stack(papers, catalogue, reader=reader or reader_name(), jobs=jobs, read=read):
        narrate(f"{outcome.path.name}: {outcome.status}" + (f", {outcome.message}" if outcome.message else ""))
    record = json.loads(files(STACK).joinpath("decisions.json").read_text(encoding="utf-8"))
    applied, unmatched = apply_recorded(catalogue, record)
    narrate(f"{sum(applied.values())} recorded confirmations applied")
    from firstcap.app.report.compare import write_comparison

    comparison = folder / "comparison.html"
    write_comparison(catalogue, SIZE, comparison)
    narrate(f"comparison written to {comparison}")
    fleet = look_at_fleet(catalogue, folder, record["reviewer"])
    narrate(f"fleet, tests and claims written to {folder}")
    return DemoReport(folder, catalogue.path, comparison, fleet, tuple(catalogue.documents()), applied, unmatched)


def _copy_stack(folder: Path) -> list[Path]:
    if folder.exists() and not folder.is_dir():
        raise UsageError("this is a file; name a folder for the demo, or none for ./pinyon-ridge", file=str(folder))
    if folder.exists() and any(folder.iterdir()) and not (folder / MARKER).exists():
        raise UsageError(
            "this folder is not empty and was not made by the demo, so nothing was written; name a new or empty folder",
            file=str(folder),
        )
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARKER).write_text("This folder was made by firstcap demo.\n", encoding="utf-8")
    papers = []
    for entry in sorted(files(STACK).iterdir(), key=lambda one: one.name):
        if entry.name.endswith((".pdf", ".csv")):
            target = folder / entry.name
            with entry.open("rb") as source, target.open("wb") as copy:
                shutil.copyfileobj(source, copy)
            if target.suffix == ".pdf":
                papers.append(target)
    return papers


def apply_recorded(catalogue: "Catalogue", record: Mapping[str, Any]) -> tuple[dict[str, int], tuple[str, ...]]:
    """Apply recorded acts that fit what was read and that this reviewer has not done before.

    `record` holds `reviewer` and `acts`; an act holds `document` (file name), `action`, and either `term` (fields that
    name one promise) with `seen` (its values as the reviewer saw them), or `new_term` for an addition; `correct` also
    has `field` and `new_value`. Returns how many acts were applied, by action, and in words those that fit nothing.
    """
    reviewer = record["reviewer"]
    rows = {row.file_name: row for row in catalogue.documents() if row.status is not DocumentStatus.FAILED}
    done = [decision for decision in catalogue.decisions() if decision.reviewer == reviewer]
    acts: list[NewDecision] = []
    unmatched: list[str] = []
    for act in record["acts"]:
        row = rows.get(act["document"])
        fitted: NewDecision | str | None
        if row is None:
            fitted = "this document was not read"
        elif act["action"] == DecisionAction.ADD:
            fitted = _addition(act, reviewer, row.document_id, catalogue.terms(row.document_id), done)
        else:
            fitted = _decision(act, reviewer, catalogue.terms(row.document_id), done)
        if isinstance(fitted, NewDecision):
            acts.append(fitted)
        elif fitted is not None:
            named = ", ".join(str(value) for value in act.get("term", act.get("new_term", {})).values())
            unmatched.append(f"{act['action']} in {act['document']} ({named}): {fitted}")
    if acts:
        catalogue.decide(acts)
    return dict(Counter(str(act.action) for act in acts)), tuple(unmatched)


def _addition(
    act: Mapping[str, Any],
    reviewer: str,
    document_id: str,
    terms: Sequence["StoredTerm"],
    done: Sequence[Decision],
) -> NewDecision | None:
    """The addition; a confirmation where the reading has the very term; None when the reviewer has done either."""
    if any(decision.action is DecisionAction.ADD and decision.note == act["note"] for decision in done):
        return None
    scalars = {key: value for key, value in act["new_term"].items() if not isinstance(value, list | dict)}
    told = {key: value for key, value in scalars.items() if not key.endswith("_text")}
    found = next((stored for stored in terms if not _differing(stored, told)), None)
    if found is not None:
        known = any(decision.item_id == found.term_id for decision in done)
        order = NewDecision(reviewer=reviewer, item_id=found.term_id, action=DecisionAction.CONFIRM)
        return None if known or found.state is not TermState.PROPOSED else order
    return NewDecision(
        reviewer=reviewer,
        item_id=document_id,
        action=DecisionAction.ADD,
        new_value=json.dumps(act["new_term"], ensure_ascii=False),
        note=act["note"],
    )


def _decision(
    act: Mapping[str, Any], reviewer: str, terms: Sequence["StoredTerm"], done: Sequence[Decision]
) -> NewDecision | str | None:
    """The act on the one term it names; None when it is done already; in words why it fits nothing."""
    found = [stored for stored in terms if not _differing(stored, act["term"])]
    if len(found) != 1:
        return f"{len(found)} terms of the reading have this name" if found else "no term of the reading has this name"
    (stored,) = found
    action, field = DecisionAction(act["action"]), act.get("field")
    if any((one.item_id, one.action, one.field) == (stored.term_id, action, field) for one in done):
        return None
    if stored.state is TermState.STRUCK:
        return f"{stored.decided_by} struck this term"
    if differing := _differing(stored, act["seen"]):
        return "; ".join(f"{key} was {seen} when recorded and reads {read} now" for key, seen, read in differing)
    return NewDecision(
        reviewer=reviewer,
        item_id=stored.term_id,
        action=action,
        field=field,
        new_value=json.dumps(act["new_value"]) if "new_value" in act else None,
        note=act.get("note"),
        expected_version=stored.version,
    )


def _differing(stored: "StoredTerm", wanted: Mapping[str, Any]) -> list[tuple[str, Any, Any]]:
    """(field, wanted, as it stands) of the fields in which the term differs."""
    values = stored.term.model_dump(mode="json")
    return [(key, value, values[key]) for key, value in wanted.items() if not _same(value, values[key])]


def _same(one: Any, other: Any) -> bool:
    if one is None or other is None:
        return one is other
    try:
        return Decimal(str(one)) == Decimal(str(other))
    except ArithmeticError:
        return str(one) == str(other)
