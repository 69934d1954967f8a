"""A person's acts: checked, logged, and what then stands. An act is never changed; taking one back is an act too."""

import json
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, NamedTuple

import duckdb

from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.errors import ConflictError, ValueRefusedError
from firstcap.schema.terms import Term, term_ids
from firstcap.schema.vocabulary import DecisionAction, TermState
from firstcap.store.amend import term_value
from firstcap.store.contents import Contents, clause_place, clauses_at, fact_value, parse_clause
from firstcap.store.problems import term_problems
from firstcap.store.replay import Act, replay_document, replay_term
from firstcap.store.rows import Batch, as_time, fetch, load_documents, load_terms
from firstcap.store.sequence import Numbers
from firstcap.store.values import from_json, parse_model, to_json

_MICROSECOND = timedelta(microseconds=1)


class Log(NamedTuple):
    """The tables of a log of acts, and the name by which its rows are counted."""

    acts: str
    taken_back: str
    counter: str


DECISIONS = Log("base.decisions", "base.taken_back", "decisions")
SECOND_LOOK = Log("base.second_acts", "base.second_taken_back", "second_acts")
_STANDING_ACTS = """
SELECT d.* REPLACE (epoch_us(decided_at) AS decided_at) FROM {acts} AS d
WHERE action <> 'reopen' AND decision_no NOT IN (SELECT decision_no FROM {taken_back})
  AND (document_id = ? OR item_id IN (SELECT unnest(from_json(?, '["VARCHAR"]'))))
ORDER BY decision_no
"""


def acts_on(
    connection: duckdb.DuckDBPyConnection,
    *,
    document_id: str | None = None,
    items: Iterable[str] = (),
    log: Log = DECISIONS,
) -> dict[str, list[Act]]:
    """item_id -> the acts that still hold, oldest first; of one document, or of the items named."""
    sql = _STANDING_ACTS.format(acts=log.acts, taken_back=log.taken_back)
    found: dict[str, list[Act]] = defaultdict(list)
    for row in fetch(connection, sql, [document_id, json.dumps(list(items))]):
        found[row["item_id"]].append(act_of(row))
    return dict(found)


def act_of(row: dict[str, Any]) -> Act:
    """An act out of a row of a log; `decided_at` as `epoch_us`."""
    told = {name: row[name] for name in Decision.model_fields}
    decision = Decision.model_validate({**told, "decided_at": as_time(row["decided_at"])})
    return Act(row["decision_no"], row["base_version"], decision)


@dataclass
class Item:
    """A term or a document while decisions about it are being made.

    `found_version` is its version before the batch began. `latest` is the newest proposal of the machine, which shows
    (`proposed`) only while the latest reading makes it.
    """

    item_id: str
    document_id: str
    place: int
    found_version: int | None
    acts: list[Act]
    latest: int | None
    proposed: bool
    shown: bool
    value: Term | Contents | None
    state: TermState | None
    changed: bool = False
    found: tuple[int, Term | Contents] | None = None  # the version that showed, and its value

    @property
    def is_document(self) -> bool:
        return self.item_id == self.document_id

    @property
    def base_version(self) -> int | None:
        """The proposal under the acts: the one the first deciding act was made over, else the newest."""
        for act in self.acts:
            if act.confirms_the_document if self.is_document else act.decides_the_term:
                return act.base_version
        return self.latest


class Desk:
    """Decides within one transaction: items are loaded once, everything is written at the end."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, moment: datetime, log: Log = DECISIONS) -> None:
        self._connection = connection
        self._tables = log
        self._moment = moment
        self._numbers = Numbers(connection)
        self._batch = Batch()
        self.items: dict[str, Item] = {}
        self.terms: dict[int, Term] = {}
        self.documents: dict[int, Contents] = {}

    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]:
        self.load([decision.item_id for decision in decisions])
        written = tuple(self._decide(decision) for decision in decisions)
        self._write()
        return written

    def undo(self, reviewer: str) -> Decision | None:
        rows = fetch(
            self._connection,
            f"SELECT decision_no, item_id FROM {self._tables.acts} WHERE reviewer = ? AND action <> 'reopen' "
            f"AND decision_no NOT IN (SELECT decision_no FROM {self._tables.taken_back}) "
            "ORDER BY decision_no DESC LIMIT 1",
            [reviewer],
        )
        if not rows:
            return None
        self.load([rows[0]["item_id"]])
        item = self.items[rows[0]["item_id"]]
        [act] = [act for act in item.acts if act.number == rows[0]["decision_no"]]
        what = act.decision.action if act.decision.field is None else f"{act.decision.action} {act.decision.field}"
        order = NewDecision(
            reviewer=reviewer,
            item_id=item.item_id,
            action=DecisionAction.REOPEN,
            field=act.decision.field,
            note=f"undo: {what}",
        )
        decision = self._take_back(item, order, [act])
        self._write()
        return decision

    # --- loading ---

    def load(self, item_ids: Sequence[str]) -> None:
        wanted = list(dict.fromkeys(item_ids))
        rows = fetch(self._connection, _ITEMS, [json.dumps(wanted)])
        acts = acts_on(self._connection, items=wanted)
        self.terms |= load_terms(self._connection, _versions(rows, acts, documents=False))
        self.documents |= load_documents(self._connection, _versions(rows, acts, documents=True))
        for row in rows:
            version = row["version_no"]
            item = Item(
                item_id=row["item_id"],
                document_id=row["document_id"],
                place=row["place"] or 0,
                found_version=row["standing_no"],
                acts=acts.get(row["item_id"], []),
                latest=row["latest"],
                proposed=row["proposed"],
                shown=version is not None,
                value=None,
                state=row["state"] and TermState(row["state"]),
            )
            if version is not None:
                item.value = self.documents[version] if item.is_document else self.terms[version]
                item.found = version, item.value
            if item.acts and not item.is_document and item.base_version == item.latest:
                item.latest = self._base_that_holds(item)
            self.items[item.item_id] = item

    def _base_that_holds(self, item: Item) -> int | None:
        """The newest proposal, or the one under the first act where what was confirmed does not go with the newest."""
        try:
            replay_term(None if item.latest is None else self.term(item.latest), item.acts)
        except ValueRefusedError:
            return item.acts[0].base_version
        return item.latest

    def _item(self, item_id: str) -> Item:
        item = self.items.get(item_id)
        if item is None or not item.shown:
            failed = self._connection.execute(
                "SELECT message FROM base.newest_readings WHERE document_id = ?", [item_id]
            ).fetchone()
            if failed is not None:
                raise ValueRefusedError(f"this document could not be read ({failed[0]}); there is nothing to decide")
            raise ValueRefusedError(
                f"the catalogue has no term or document {item_id!r}; look it up in the views terms and documents"
            )
        return item

    # --- deciding ---

    def _decide(self, order: NewDecision) -> Decision:
        if not order.reviewer.strip():
            raise ValueRefusedError("a decision needs the name of the person who makes it; give --reviewer")
        if order.action is DecisionAction.ADD and order.field is None:
            return self._add_term(order)
        item = self._item(order.item_id)
        self._check_unchanged(item, order)
        if order.action is DecisionAction.REOPEN:
            return self._take_back(item, order, self._acts_to_reopen(item, order))
        agrees = order.action is DecisionAction.CONFIRM and order.field is None  # with the strike
        if item.state is TermState.STRUCK and not agrees:
            raise ValueRefusedError("the term is struck; reopen it before deciding anything else about it")
        old, new = self._document_values(item, order) if item.is_document else self._term_values(item, order)
        decision, act = self._log(item, order, old, new)
        item.acts.append(act)
        self.restate(item)
        if order.action is DecisionAction.CORRECT and clause_place(order.field or "") is None:
            decision, item.acts[-1] = self._as_understood(item, decision, act)
        self._append(item, decision, act)
        return decision

    def _check_unchanged(self, item: Item, order: NewDecision) -> None:
        if order.expected_version is not None and order.expected_version != item.found_version:
            raise ConflictError(self._what_changed(item))
        if order.old_value is None or order.field is None:
            return
        now = self._value(item, order.field)
        if from_json(order.old_value, order.field) != from_json(now, order.field):
            raise ConflictError(f"{order.field} is {now} by now, not {order.old_value}. {self._what_changed(item)}")

    def _what_changed(self, item: Item) -> str:
        if item.acts:
            last = item.acts[-1].decision
            what = f"{last.reviewer} has decided about it meanwhile ({last.action}{' ' + (last.field or '')})".rstrip()
        else:
            what = "it has changed meanwhile (read again, or an act was taken back)"
        return f"{what}; nothing was written. Look at it as it now stands and decide again"

    def _value(self, item: Item, field: str) -> str:
        if isinstance(item.value, Term):
            return to_json(term_value(item.value, field))
        assert isinstance(item.value, Contents)
        return to_json(fact_value(item.value, field))

    def _term_values(self, item: Item, order: NewDecision) -> tuple[str | None, str | None]:
        """Old and new value for the log; the new one of a correction as it was typed, understood later."""
        if order.action is DecisionAction.STRIKE:
            if order.field is not None:
                raise ValueRefusedError(f"a term is struck as a whole; to empty {order.field}, correct it to null")
            if not (order.note or "").strip():
                raise ValueRefusedError("striking a term needs a reason; give it in the note")
            return None, None
        if order.action is DecisionAction.ADD:
            raise ValueRefusedError("only a whole term can be added; to fill a field, correct it")
        if order.field is None:
            if order.action is DecisionAction.CORRECT:
                raise ValueRefusedError("say which field is corrected")
            return None, None
        now = self._value(item, order.field)
        if order.action is DecisionAction.CONFIRM:
            return now, now
        return now, order.new_value

    def _document_values(self, item: Item, order: NewDecision) -> tuple[str | None, str | None]:
        assert isinstance(item.value, Contents)
        if order.field is None:
            if order.action is not DecisionAction.CONFIRM:
                raise ValueRefusedError(f"a document has no act {order.action} as a whole; name a fact or a clause")
            return None, None
        now = self._value(item, order.field)
        place = clause_place(order.field)
        if place is None:
            if order.action is DecisionAction.CONFIRM:
                return now, now
            if order.action is DecisionAction.CORRECT:
                return now, order.new_value
            raise ValueRefusedError(f"a fact is confirmed or corrected; to empty {order.field}, correct it to null")
        there = clauses_at(item.value, order.field)
        if order.action is DecisionAction.ADD:
            clause = parse_clause(order.field, order.new_value)
            if there and place[1] != "other" and place[0] != "condition":
                raise ValueRefusedError(f"{order.field} is there already; correct it, or strike it first")
            return None, to_json(clause)
        if not there:
            raise ValueRefusedError(f"the document has no {order.field}; add it")
        if order.action is DecisionAction.CONFIRM:
            return now, now
        if order.action is DecisionAction.STRIKE:
            return now, None
        clause = parse_clause(order.field, order.new_value)
        if not clause.evidence:
            clause = clause.model_copy(update={"evidence": there[0].evidence})
        return now, to_json((clause,))

    def _as_understood(self, item: Item, decision: Decision, act: Act) -> tuple[Decision, Act]:
        """The log says the value that was understood, in one spelling, whatever was typed."""
        assert decision.field is not None
        decision = decision.model_copy(update={"new_value": self._value(item, decision.field)})
        return decision, Act(act.number, act.base_version, decision)

    def _add_term(self, order: NewDecision) -> Decision:
        term: Term = parse_model(Term, "term", order.new_value)
        problems = sorted(term_problems(term))
        if problems:
            raise ValueRefusedError(f"the term contradicts itself: {problems[0]}")
        document_id = order.document_id or order.item_id
        if not self._connection.execute(
            "SELECT 1 FROM base.latest_readings WHERE document_id = ?", [document_id]
        ).fetchone():
            raise ValueRefusedError(f"the catalogue has no readable document {document_id!r} to add a term to")
        term_id = self._new_term_id(document_id, term) if order.item_id == document_id else order.item_id
        known = self.items.get(term_id)
        if known is not None and known.shown:
            raise ValueRefusedError(f"there is a term {term_id} already; correct that one")
        item = Item(
            item_id=term_id,
            document_id=document_id,
            place=known.place if known else self._next_place(document_id),
            found_version=known.found_version if known else None,
            acts=[],
            latest=known.latest if known else None,
            proposed=known.proposed if known else False,
            shown=True,
            value=None,
            state=None,
        )
        self.items[term_id] = item
        decision, act = self._log(item, order.model_copy(update={"item_id": term_id}), None, to_json(term))
        item.acts.append(act)
        self.restate(item)
        self._append(item, decision, act)
        return decision

    def _next_place(self, document_id: str) -> int:
        row = self._connection.execute(
            "SELECT coalesce(max(place), -1) FROM base.term_versions WHERE document_id = ?", [document_id]
        ).fetchone()
        here = [item.place for item in self.items.values() if item.document_id == document_id]
        return max([*here, int(row[0]) if row else -1]) + 1

    def _new_term_id(self, document_id: str, term: Term) -> str:
        """The id the reader would give it: should a later reading find the term, it is the same one."""
        turn = 0
        while True:
            term_id = term_ids(document_id, [term] * (turn + 1))[-1]
            if term_id not in self.items:
                self.load([term_id])
            known = self.items.get(term_id)
            if known is None or not known.shown:
                return term_id
            turn += 1

    # --- taking back ---

    def _acts_to_reopen(self, item: Item, order: NewDecision) -> list[Act]:
        acts = item.acts
        if order.field is not None:
            acts = [act for act in acts if act.decision.field == order.field]
        elif item.state is TermState.STRUCK:
            acts = [act for act in acts if act.decision.action is DecisionAction.STRIKE]
        elif item.state is TermState.ADDED:
            acts = [act for act in acts if act.decision.action is not DecisionAction.ADD]
        if not acts:
            advice = "; a term that a person added is taken out by striking it" if item.state is TermState.ADDED else ""
            what = f" about {order.field}" if order.field else ""
            raise ValueRefusedError(f"nobody has decided anything{what} here that could be taken back{advice}")
        return acts

    def _take_back(self, item: Item, order: NewDecision, acts: list[Act]) -> Decision:
        old = self._value(item, order.field) if order.field and item.value is not None else None
        item.acts = [act for act in item.acts if act not in acts]
        try:
            self.restate(item)
        except ValueRefusedError as error:
            raise ConflictError(
                f"a later act on this item rests on this one ({error.message}); reopen the item as a whole instead"
            ) from None
        new = self._value(item, order.field) if order.field and item.value is not None else None
        decision, taken = self._log(item, order, old, new)
        for act in acts:
            self._batch.add(self._tables.taken_back, (act.number, taken.number))
        self._append(item, decision, taken)
        return decision

    # --- what stands, and writing it ---

    def restate(self, item: Item) -> None:
        """Value and state of the item out of its acts; out of sight where neither acts nor the reading hold it."""
        item.changed = True
        base = item.base_version
        if item.is_document:
            confirmed = self.document(base).facts
            contents = self.document(item.latest).model_copy(update={"facts": confirmed})
            item.value, item.state = replay_document(contents, item.acts)
        elif item.acts or item.proposed:
            proposal = None if base is None else self.term(base)
            item.value, item.state = replay_term(proposal, item.acts)
        else:
            item.value, item.state, item.shown = None, None, False

    def term(self, version: int) -> Term:
        if version not in self.terms:
            self.terms |= load_terms(self._connection, [version])
        return self.terms[version]

    def document(self, version: int | None) -> Contents:
        assert version is not None
        if version not in self.documents:
            self.documents |= load_documents(self._connection, [version])
        return self.documents[version]

    def _log(self, item: Item, order: NewDecision, old: str | None, new: str | None) -> tuple[Decision, Act]:
        decision = Decision(
            decided_at=self._moment,
            reviewer=order.reviewer.strip(),
            item_id=item.item_id,
            field=order.field,
            action=order.action,
            old_value=old,
            new_value=new,
            note=order.note,
        )
        self._moment += _MICROSECOND
        return decision, Act(self._numbers.next(self._tables.counter), item.base_version, decision)

    def _append(self, item: Item, decision: Decision, act: Act) -> None:
        told = [getattr(decision, name) for name in ("field", "action", "old_value", "new_value", "note")]
        head = (act.number, decision.decided_at, decision.reviewer, item.item_id, item.document_id)
        self._batch.add(self._tables.acts, (*head, *told, act.base_version))

    def _write(self) -> None:
        for item in self.items.values():
            if item.changed:
                self.write_item(item)
        self._batch.write(self._connection)

    def write_item(self, item: Item) -> None:
        last = item.acts[-1].number if item.acts else None
        version: int | None = None
        if item.value is not None and not item.acts:
            version = item.latest  # back to what the machine proposes
        elif item.found is not None and item.found[1] == item.value:
            version = item.found[0]  # confirmed as it stood
        elif isinstance(item.value, Contents):
            version = self._numbers.next("versions")
            self._batch.add_document(version, item.document_id, item.value, decision=last)
        elif item.value is not None:
            version = self._numbers.next("versions")
            self._batch.add_term(version, item.item_id, item.document_id, item.value, place=item.place, decision=last)
        standing = (self._numbers.next("standing"), item.item_id, item.document_id, version, item.state, None, last)
        self._batch.add("base.standing", standing)


def _versions(rows: list[dict[str, Any]], acts: dict[str, list[Act]], *, documents: bool) -> list[int]:
    """Every version that may be shown or replayed over."""
    found = set()
    for row in rows:
        if (row["item_id"] == row["document_id"]) is documents:
            pinned = [act.base_version for act in acts.get(row["item_id"], [])]
            found |= {row["version_no"], row["latest"], *pinned}
    return [version for version in found if version is not None]


# `latest` is the newest version that came from a reading; `proposed` says that it came from the latest one.
_ITEMS = """
WITH proposals AS (
  SELECT document_id AS item_id, version_no, reading_no, NULL::INTEGER AS place FROM base.document_versions
  WHERE reading_no IS NOT NULL
  UNION ALL
  SELECT term_id, version_no, reading_no, place FROM base.term_versions WHERE reading_no IS NOT NULL
)
SELECT s.item_id, s.document_id, s.version_no, s.standing_no, s.state,
  p.version_no AS latest, coalesce(p.reading_no = r.reading_no, FALSE) AS proposed,
  coalesce(t.place, p.place) AS place
FROM (
  SELECT * FROM base.standing WHERE item_id IN (SELECT unnest(from_json(?, '["VARCHAR"]')))
  QUALIFY row_number() OVER (PARTITION BY item_id ORDER BY standing_no DESC) = 1
) AS s
LEFT JOIN (
  SELECT * FROM proposals QUALIFY row_number() OVER (PARTITION BY item_id ORDER BY version_no DESC) = 1
) AS p USING (item_id)
LEFT JOIN base.term_versions AS t ON t.version_no = s.version_no
LEFT JOIN base.latest_readings AS r ON r.document_id = s.document_id
"""
