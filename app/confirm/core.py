"""What every confirming front shares: which item is next, what a person does to it, and taking that back.

An item is a document's facts, one term, or the document's clauses of one family. Acts go to the catalogue at once, each
as one transaction.
"""

from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass
from datetime import timedelta
from typing import Protocol

from firstcap.app.confirm.clauses import ClauseFamily, ClauseLine, clause_lines
from firstcap.app.understanding import Change
from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.errors import UsageError, ValueRefusedError
from firstcap.schema.evidence import Alternative
from firstcap.schema.terms import DocumentFacts, Term
from firstcap.schema.vocabulary import Component, DecisionAction, DocumentStatus, Ends, Promise, TermState
from firstcap.store.amend import amend_term, to_json
from firstcap.store.catalogue import DocumentRow, StoredTerm
from firstcap.store.contents import Clause, Contents


class Desk(Protocol):
    """What confirming needs of the catalogue."""

    def at_once(self) -> AbstractContextManager[None]: ...
    def documents(self) -> list[DocumentRow]: ...
    def terms(self, document_id: str | None = None) -> list[StoredTerm]: ...
    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]: ...
    def decisions(self, item_id: str | None = None) -> list[Decision]: ...
    def undo(self, reviewer: str, *, acts: int = 1) -> Decision | None: ...
    def contents(self, document_ids: Sequence[str] | None = None) -> dict[str, Contents]: ...
    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]: ...


@dataclass(frozen=True, slots=True)
class Quote:
    """The words a value was read from, and on which page (None where it stands on none)."""

    field: str
    page: int | None
    quote: str


@dataclass(frozen=True, slots=True)
class Note:
    """A warning of the reading."""

    kind: str
    page: int | None
    message: str


@dataclass(frozen=True, slots=True)
class Item:
    """What a person looks at: a term (`stored`), the clauses of a `family`, or else the facts of the document."""

    document: DocumentRow
    stored: StoredTerm | None = None
    family: ClauseFamily | None = None
    lines: tuple[ClauseLine, ...] = ()
    quotes: tuple[Quote, ...] = ()
    warnings: tuple[Note, ...] = ()

    @property
    def item_id(self) -> str:
        """What a decision is about: the term or the document."""
        return self.stored.term_id if self.stored else self.document.document_id

    @property
    def key(self) -> str:
        """What no other item has."""
        return f"{self.item_id}/{self.family}" if self.family else self.item_id

    @property
    def version(self) -> int:
        return self.stored.version if self.stored else self.document.version

    @property
    def alternatives(self) -> tuple[Alternative, ...]:
        """Candidates the machine did not take."""
        return self.stored.term.alternatives if self.stored else ()

    @property
    def open_lines(self) -> tuple[ClauseLine, ...]:
        return tuple(line for line in self.lines if line.decided is None)


@dataclass(frozen=True, slots=True)
class Progress:
    """Terms, documents' facts and their clauses by family: how many a person has decided, of how many."""

    decided: int
    total: int


def documents_named(rows: Sequence[DocumentRow], name: str | None) -> list[DocumentRow]:
    """Documents whose file name or id begins with `name` (capitals do not matter); UsageError where there is none."""
    if name is None:
        return list(rows)
    wanted = name.casefold()
    found = [row for row in rows if row.file_name.casefold() == wanted] or [
        row
        for row in rows
        if row.file_name.casefold().startswith(wanted) or row.document_id.casefold().startswith(wanted)
    ]
    if not found:
        raise UsageError(f"no document whose file name or id begins with {name!r}; `firstcap documents` lists them")
    return found


class Session:
    """One person's sitting. What is skipped comes again in the next sitting.

    With `again`, what is decided already comes too, once, so that it can be looked at and corrected.
    """

    def __init__(self, catalogue: Desk, *, reviewer: str, document: str | None = None, again: bool = False) -> None:
        self._catalogue = catalogue
        self.reviewer = reviewer
        self._document = document
        self._again = again
        self._passed: set[str] = set()  # items that this sitting is through with
        self._skipped: set[str] = set()
        self._stay: tuple[str, str] | None = None  # document and item that come next whatever their state
        self._seen: _Seen | None = None
        if document is not None:
            documents_named(catalogue.documents(), document)

    def _now(self) -> "_Seen":
        """The catalogue as of the latest act."""
        if self._seen is None:
            with self._catalogue.at_once():
                rows = documents_named(self._catalogue.documents(), self._document)
                readable = [row for row in rows if row.status is not DocumentStatus.FAILED]
                log = self._catalogue.decisions()
                contents = self._catalogue.contents([row.document_id for row in readable])
            facts = {document_id: one.facts for document_id, one in contents.items()}
            self._seen = _Seen(readable, confirmed_as_a_whole(log), clause_items(readable, contents, log), facts)
        return self._seen

    def documents(self) -> list[DocumentRow]:
        """The readable documents of this sitting."""
        return self._now().rows

    def next(self) -> Item | None:
        """The item that was just corrected or reopened, else the first one still open in this sitting."""
        self._seen = None
        with self._catalogue.at_once():
            return self._next()

    def _next(self) -> Item | None:
        now = self._now()
        if self._stay is not None:
            document_id, key = self._stay
            for row in now.rows:
                if row.document_id == document_id:
                    for stored in (None, *self._catalogue.terms(document_id)):
                        if key == (stored.term_id if stored else document_id):
                            return self._item(row, stored)
                    for item in now.clauses[document_id]:
                        if item.key == key:
                            return item
            self._stay = None
        for row in now.rows:
            if (self._again or row.document_id not in now.gone_through) and row.document_id not in self._passed:
                return self._item(row, None)
            if self._again or row.to_confirm:
                for stored in self._catalogue.terms(row.document_id):
                    wanted = stored.state is TermState.PROPOSED or (
                        self._again and stored.state is not TermState.STRUCK
                    )
                    if wanted and stored.term_id not in self._passed:
                        return self._item(row, stored)
            for item in now.clauses[row.document_id]:
                if (self._again or item.open_lines) and item.key not in self._passed:
                    return item
        return None

    def progress(self) -> Progress:
        now = self._now()
        clauses = [item for items in now.clauses.values() for item in items]
        left = sum(row.to_confirm + (row.document_id not in now.gone_through) for row in now.rows)
        left += sum(bool(item.open_lines) for item in clauses)
        total = sum(row.terms + 1 for row in now.rows) + len(clauses)
        return Progress(total - left, total)

    @property
    def skipped(self) -> int:
        return len(self._skipped)

    def _item(self, row: DocumentRow, stored: StoredTerm | None) -> Item:
        item_id = stored.term_id if stored else row.document_id
        evidence = stored.term.evidence if stored else self._now().facts[row.document_id].evidence
        found = self._catalogue.rows(_WARNINGS, [item_id])
        quotes = tuple(
            Quote(one.field, min((box.page for box in one.boxes), default=None), one.quote) for one in evidence
        )
        warnings = tuple(Note(str(one["kind"]), _page(one["page"]), str(one["message"])) for one in found)
        return Item(row, stored, quotes=quotes, warnings=warnings)

    # ---- acts ----

    def confirm(self, *items: Item) -> tuple[Decision, ...]:
        """Right as they stand, in one act: terms that stand in one table are confirmed together."""
        orders: list[NewDecision] = []
        for item in items:
            if item.family is None:
                orders.append(self._order(item, DecisionAction.CONFIRM))
            orders.extend(
                self._order(item, DecisionAction.CONFIRM, field=line.field, old_value=to_json((line.clause,)))
                for line in item.open_lines
            )
        written = self._decide(orders)
        for item in items:
            self._leave(item)
        return written

    def preview(self, item: Item, changes: Sequence[Change]) -> Term:
        """The term as it would stand after these changes; ValueRefusedError where it cannot be."""
        if item.stored is None:
            raise TypeError("a document's facts are not a term")
        term = item.stored.term
        for change in changes:
            term = amend_term(term, change.field, to_json(change.value))
        return term

    def correct(self, item: Item, changes: Sequence[Change], written: str) -> None:
        """Save the values a person typed as `written`. The item comes again, for its other values to be confirmed."""
        self.correct_all([(item, changes)], written)

    def correct_all(self, corrections: Sequence[tuple[Item, Sequence[Change]]], written: str) -> None:
        """The same for a value that several items share, in one act."""
        orders = [
            self._order(
                item,
                DecisionAction.CORRECT,
                field=change.field,
                new_value=to_json(change.value),
                note=f"as written: {written.strip()}",
            )
            for item, changes in corrections
            for change in changes
        ]
        self._decide(orders)
        last = corrections[-1][0]
        self._stay = (last.document.document_id, last.key)

    def correct_clause(self, item: Item, line: ClauseLine, clause: Clause, written: str) -> None:
        """Another kind, number of days or quote for a clause. One of another kind is struck and added anew."""
        note = f"as written: {written.strip()}"
        seen = to_json((line.clause,))
        if clause.kind == line.clause.kind:
            orders = [
                self._order(
                    item, DecisionAction.CORRECT, field=line.field, old_value=seen, new_value=to_json(clause), note=note
                )
            ]
        else:
            field = f"{item.family}.{clause.kind}"
            orders = [
                self._order(item, DecisionAction.STRIKE, field=line.field, old_value=seen, note=note),
                self._order(item, DecisionAction.ADD, field=field, new_value=to_json(clause), note=note),
            ]
        self._decide(orders)
        self._stay = (item.document.document_id, item.key)

    def strike(self, *items: Item, reason: str) -> None:
        """These are no promises of the document; ValueRefusedError without a reason."""
        self._decide([self._order(item, DecisionAction.STRIKE, note=_reason(reason)) for item in items])
        for item in items:
            self._leave(item)

    def strike_clause(self, item: Item, line: ClauseLine, reason: str) -> None:
        """The document has no such clause. The item comes again while others of it are open."""
        seen = to_json((line.clause,))
        self._decide([self._order(item, DecisionAction.STRIKE, field=line.field, old_value=seen, note=_reason(reason))])
        self._stay = (item.document.document_id, item.key) if len(item.open_lines) > 1 else None

    def add_clause(self, document: DocumentRow, family: ClauseFamily, clause: Clause, note: str = "") -> None:
        """A clause that the reading missed."""
        item = Item(document, family=family)
        field = f"{family}.{clause.kind}"
        self._decide([self._order(item, DecisionAction.ADD, field=field, new_value=to_json(clause), note=note.strip())])

    def add(self, document_id: str, terms: Sequence[Term], note: str = "") -> tuple[str, ...]:
        """Terms the reading missed; their ids."""
        orders = [
            NewDecision(
                reviewer=self.reviewer,
                item_id=document_id,
                document_id=document_id,
                action=DecisionAction.ADD,
                new_value=to_json(term),
                note=note.strip() or None,
            )
            for term in terms
        ]
        return tuple(decision.item_id for decision in self._decide(orders))

    def skip(self, item: Item) -> None:
        self._leave(item)
        self._skipped.add(item.key)

    def undo(self) -> Decision | None:
        """Take back this reviewer's latest act, of this sitting or an earlier one; None where there is none.

        A correction that set several fields is one act. The item it was about is shown next.
        """
        acts = [decision for decision in holding(self._catalogue.decisions()) if decision.reviewer == self.reviewer]
        if not acts:
            return None
        together = _last_act(acts)
        self._catalogue.undo(self.reviewer, acts=len(together))
        self._seen = None
        undone = together[-1]
        key = key_of(undone)
        self._skipped.discard(key)
        self._passed -= {act.item_id for act in together} | {key}
        self._stay = next(
            (
                (row.document_id, key)
                for row in self.documents()
                if undone.item_id == row.document_id
                or any(stored.term_id == undone.item_id for stored in self._catalogue.terms(row.document_id))
            ),
            None,
        )
        return together[0]

    def _decide(self, orders: Sequence[NewDecision]) -> tuple[Decision, ...]:
        self._seen = None
        return self._catalogue.decide(orders)

    def _leave(self, item: Item) -> None:
        self._stay = None
        self._passed.add(item.key)
        self._skipped.discard(item.key)

    def _order(
        self,
        item: Item,
        action: DecisionAction,
        *,
        field: str | None = None,
        old_value: str | None = None,
        new_value: str | None = None,
        note: str | None = None,
    ) -> NewDecision:
        """Checked against what was looked at: a clause by its own words, all else by the item's version."""
        return NewDecision(
            reviewer=self.reviewer,
            item_id=item.item_id,
            action=action,
            field=field,
            old_value=old_value,
            new_value=new_value,
            note=note or None,
            expected_version=None if item.family else item.version,
        )

    def similar(self, document_id: str) -> Term | None:
        """The last term of a document, whose values are sensible defaults for one more."""
        there = [stored for stored in self._catalogue.terms(document_id) if stored.state is not TermState.STRUCK]
        return there[-1].term if there else None


@dataclass(frozen=True, slots=True)
class _Seen:
    """The readable documents of a sitting, those whose facts are confirmed, their clauses and facts by document."""

    rows: list[DocumentRow]
    gone_through: set[str]
    clauses: dict[str, tuple[Item, ...]]
    facts: dict[str, DocumentFacts]


def clause_items(
    rows: Sequence[DocumentRow], contents: Mapping[str, Contents], log: Sequence[Decision]
) -> dict[str, tuple[Item, ...]]:
    """document_id -> an item for each family of clauses that the document has."""
    held: dict[str, list[Decision]] = {row.document_id: [] for row in rows}
    for act in holding(log):
        if act.item_id in held:
            held[act.item_id].append(act)
    found: dict[str, tuple[Item, ...]] = {}
    for row in rows:
        items = (
            Item(row, family=family, lines=clause_lines(contents[row.document_id], held[row.document_id], family))
            for family in ClauseFamily
        )
        found[row.document_id] = tuple(item for item in items if item.lines)
    return found


def key_of(decision: Decision) -> str:
    """The key of the item that a decision is about."""
    family = next((family for family in ClauseFamily if (decision.field or "").startswith(f"{family}.")), None)
    return f"{decision.item_id}/{family}" if family else decision.item_id


def _reason(text: str) -> str:
    if not text.strip():
        raise ValueRefusedError("a reason is needed to strike; say what it is instead")
    return text.strip()


_WARNINGS = "SELECT kind, page, message FROM warnings WHERE item_id = ? ORDER BY page, kind"


def blank_term() -> Term:
    """What a term is filled into field by field when a person adds one."""
    return Term(component=Component.WHOLE_METER, promise=Promise.MATERIALS_WORKMANSHIP, ends=Ends.TIME_ONLY)


def _page(value: object) -> int | None:
    return value if isinstance(value, int) else None


def holding(log: Sequence[Decision]) -> list[Decision]:
    """The acts of a log that nobody has taken back, oldest first.

    A `reopen` that undoes takes the same person's latest act on the item and field; any other one takes all of them.
    """
    held: list[Decision] = []
    for decision in log:
        if decision.action is not DecisionAction.REOPEN:
            held.append(decision)
            continue
        same = [
            act
            for act in held
            if act.item_id == decision.item_id and (decision.field is None or act.field == decision.field)
        ]
        if (decision.note or "").startswith("undo: "):
            own = [act for act in held if act.item_id == decision.item_id and act.field == decision.field]
            same = [act for act in own if act.reviewer == decision.reviewer][-1:]
        gone = {id(act) for act in same}
        held = [act for act in held if id(act) not in gone]
    return held


def confirmed_as_a_whole(log: Sequence[Decision]) -> set[str]:
    """Items confirmed as a whole; for documents, that a person has been through their facts."""
    return {act.item_id for act in holding(log) if act.action is DecisionAction.CONFIRM and act.field is None}


def _last_act(acts: Sequence[Decision]) -> list[Decision]:
    """The latest decisions that were made together: one batch is written with times one microsecond apart."""
    together = [acts[-1]]
    for act in reversed(acts[:-1]):
        if together[0].decided_at - act.decided_at > timedelta(microseconds=1):
            break
        together.insert(0, act)
    return together
