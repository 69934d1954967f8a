"""The second look: what another person decides over the same proposals, without seeing what the first one did.

Its acts stand in a log of their own and change nothing in the catalogue. Where both have decided, `pairs` gives the two
outcomes side by side; a difference is settled by a decision whose note begins with SETTLED.
"""

import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

import duckdb

from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.quantities import Model
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DecisionAction, DocumentStatus, TermState
from firstcap.store.acts import SECOND_LOOK, Desk, Item, act_of, acts_on
from firstcap.store.catalogue import Catalogue, DocumentRow, Pulse, StoredTerm, next_moment
from firstcap.store.contents import FACT_FIELDS, Contents
from firstcap.store.replay import Act, replay_document, replay_term
from firstcap.store.rows import as_time, fetch

SETTLED = "settled: "


class _SecondDesk(Desk):
    """Decides over the proposals that the first person decided over; nothing it writes shows in the catalogue."""

    def __init__(self, connection: duckdb.DuckDBPyConnection) -> None:
        super().__init__(connection, _moment(connection), SECOND_LOOK)

    def load(self, item_ids: Sequence[str]) -> None:
        wanted = list(dict.fromkeys(item_ids))
        first = Desk(self._connection, self._moment)
        first.load(wanted)
        acts = acts_on(self._connection, items=wanted, log=SECOND_LOOK)
        self.terms |= first.terms
        self.documents |= first.documents
        for seen in first.items.values():
            base = _base(seen)
            self._take(replace(seen, acts=acts.pop(seen.item_id, []), latest=base, proposed=base is not None))
        homes = {row["item_id"]: row["document_id"] for row in fetch(self._connection, _HOMES, [json.dumps(wanted)])}
        for item_id, own in acts.items():  # added by a second person alone
            self._take(Item(item_id, homes[item_id], _LAST, None, own, None, False, True, None, None))

    def _take(self, item: Item) -> None:
        item.found_version = item.acts[-1].number if item.acts else 0
        item.shown = True
        self.restate(item)
        item.changed = False
        self.items[item.item_id] = item

    def everything(self) -> dict[str, Item]:
        """Every item of the catalogue as a second person sees it."""
        self.load([row["item_id"] for row in fetch(self._connection, _EVERY_ITEM)])
        return {key: item for key, item in self.items.items() if item.shown}

    def write_item(self, item: Item) -> None:
        """What stands in the catalogue is the first person's."""


_LAST = 1_000_000  # the place of terms that only a second person added


def _base(seen: Item) -> int | None:
    """The proposal that the first person's acts were made over; the latest one where there are none."""
    if seen.acts and seen.base_version is not None:
        return seen.base_version
    return seen.latest if seen.proposed or seen.is_document else None


@dataclass(frozen=True)
class _View:
    documents: dict[str, Item]
    terms: dict[str, list[Item]]
    own: frozenset[str]  # documents that the reviewer has decided about first


class SecondLook:
    """A catalogue as a second person works on it: the machine's proposals and their own acts, none of the first's.

    It offers what confirming needs of a Catalogue. Documents about which this reviewer has decided first are left out.
    """

    def __init__(self, catalogue: Catalogue, reviewer: str) -> None:
        self._catalogue = catalogue
        self._reviewer = reviewer.strip()
        self._seen: tuple[object, _View] | None = None

    def _view(self) -> _View:
        with self._catalogue.reading() as connection:
            pulse = tuple(fetch(connection, _PULSE)[0].values())
            if self._seen is None or self._seen[0] != pulse:
                items = _SecondDesk(connection).everything()
                terms: dict[str, list[Item]] = defaultdict(list)
                for item in sorted(items.values(), key=lambda one: (one.place, one.item_id)):
                    if not item.is_document:
                        terms[item.document_id].append(item)
                own = fetch(connection, _OWN, [self._reviewer])
                documents = {key: item for key, item in items.items() if item.is_document}
                self._seen = pulse, _View(documents, terms, frozenset(row["document_id"] for row in own))
            return self._seen[1]

    def at_once(self) -> AbstractContextManager[None]:
        """As `Catalogue.at_once`."""
        return self._catalogue.at_once()

    def changes(self, since: Pulse | None = None) -> tuple[Pulse, frozenset[str]]:
        """How far this look has grown, and the documents that were read or that it has decided about since then.

        What the first person does is no change of it.
        """
        before = since or Pulse(0, 0)
        with self._catalogue.reading() as connection:
            rows = fetch(connection, _CHANGES, [before.readings, before.standings])
        pulse = Pulse(
            max((row["readings"] for row in rows), default=before.readings) or before.readings,
            max((row["acts"] for row in rows), default=before.standings) or before.standings,
        )
        return pulse, frozenset(row["document_id"] for row in rows)

    def documents(self) -> list[DocumentRow]:
        """Documents with facts and counts as this look has them; those that could not be read are left out."""
        view = self._view()
        rows = []
        for row in self._catalogue.documents():
            item = view.documents.get(row.document_id)
            if row.document_id in view.own or item is None or row.status is DocumentStatus.FAILED:
                continue
            assert isinstance(item.value, Contents)
            states = [term.state for term in view.terms[row.document_id]]
            left = states.count(TermState.PROPOSED)
            told = {name: getattr(item.value.facts, name) for name in FACT_FIELDS if name in DocumentRow.model_fields}
            counts = {"terms": len(states) - states.count(TermState.STRUCK), "to_confirm": left}
            done = item.state is TermState.CONFIRMED and not left
            status = DocumentStatus.CONFIRMED if done else DocumentStatus.TO_CONFIRM
            rows.append(row.model_copy(update={**told, **counts, "status": status, "version": item.found_version or 0}))
        return rows

    def terms(self, document_id: str | None = None) -> list[StoredTerm]:
        """Terms in document order as this look has them."""
        view = self._view()
        return [
            self._stored(item, view.documents[key])
            for key in view.documents
            if key not in view.own and document_id in (None, key)
            for item in view.terms[key]
        ]

    def _stored(self, item: Item, document: Item) -> StoredTerm:
        assert isinstance(item.value, Term) and isinstance(document.value, Contents) and item.state is not None
        last = item.acts[-1].decision if item.acts else None
        return StoredTerm(
            term_id=item.item_id,
            document_id=item.document_id,
            supplier=document.value.facts.supplier,
            state=item.state,
            term=item.value,
            decided_by=last.reviewer if last else None,
            decided_at=last.decided_at if last else None,
            version=item.found_version or 0,
        )

    def contents(self, document_ids: Sequence[str] | None = None) -> dict[str, Contents]:
        """document_id -> facts and clauses as this look has them."""
        return {
            key: item.value
            for key, item in self._view().documents.items()
            if isinstance(item.value, Contents) and (document_ids is None or key in document_ids)
        }

    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]:
        """Append to the log of the second look; refusals as those of `Catalogue.decide`."""
        with self._catalogue.writing() as connection:
            return _SecondDesk(connection).decide(decisions)

    def decisions(self, item_id: str | None = None) -> list[Decision]:
        """The log of the second look, oldest first."""
        with self._catalogue.reading() as connection:
            rows = fetch(connection, _SECOND_LOG, [item_id, item_id])
        return [Decision.model_validate({**row, "decided_at": as_time(row["decided_at"])}) for row in rows]

    def undo(self, reviewer: str, *, acts: int = 1) -> Decision | None:
        """Take back this reviewer's latest acts of the second look, as `Catalogue.undo` does for the first."""
        taken: Decision | None = None
        with self._catalogue.writing() as connection:
            for _ in range(acts):
                taken = _SecondDesk(connection).undo(reviewer) or taken
        return taken

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]:
        """Rows of the public views, as `Catalogue.rows`; ask only for what no decision changes."""
        return self._catalogue.rows(sql, parameters)


# --- both looks side by side ---


class Outcome(Model):
    """What one person's acts made of an item; `term` is None where they struck it or never had it."""

    reviewer: str
    acts: tuple[Decision, ...]
    term: Term | None = None
    contents: Contents | None = None


class Pair(Model):
    """An item that both have decided, apart from what was settled later.

    `settled` holds the acts that settled differences after both had looked. `proposal` is None where a person added it.
    """

    document_id: str
    item_id: str
    proposal: Term | None = None
    first: Outcome
    second: Outcome
    settled: tuple[Decision, ...] = ()

    @property
    def is_document(self) -> bool:
        return self.item_id == self.document_id


def pairs(catalogue: Catalogue) -> list[Pair]:
    """Every item that both looks have decided, by document and place.

    A term that only one of the two added counts once both are through with the whole document.
    """
    with catalogue.reading() as connection:
        logs: dict[str, list[dict[str, Any]]] = defaultdict(list)
        for row in fetch(connection, _FIRST_LOG):
            logs[row["item_id"]].append(row)
        second = _SecondDesk(connection).everything()
        order = [row["document_id"] for row in fetch(connection, _ORDER)]
        desk = Desk(connection, _moment(connection))
        desk.load([*second, *logs])
        keys = [*second, *(key for key in desk.items if key not in second and logs[key])]
        found = [pair for key in keys if (pair := _pair(desk, key, second.get(key), logs[key])) is not None]
    places = {key: item.place for key, item in {**desk.items, **second}.items()}
    through = _through(second, desk)
    kept = [pair for pair in found if (pair.first.acts and pair.second.acts) or pair.document_id in through]
    return sorted(kept, key=lambda pair: (order.index(pair.document_id), not pair.is_document, places[pair.item_id]))


def _through(second: Mapping[str, Item], desk: Desk) -> set[str]:
    """Documents of which both looks have decided every item."""
    left = {
        item.document_id
        for looked in (second, desk.items)
        for item in looked.values()
        if item.shown and item.state is TermState.PROPOSED
    }
    return {item.document_id for item in second.values()} - left


def _pair(desk: Desk, item_id: str, other: Item | None, log: Sequence[dict[str, Any]]) -> Pair | None:
    """The two outcomes for one item; None where one of them is still open or neither says anything."""
    seen = desk.items.get(item_id)
    some = other or seen
    assert some is not None
    acts, settled = _before_settling(log)
    base = _base(seen) if seen else None
    first = Outcome(reviewer=_by(acts), acts=_told(acts))
    theirs = other.acts if other else []
    second = Outcome(reviewer=_by(theirs), acts=_told(theirs))
    if some.is_document:
        if seen is None or other is None or not isinstance(other.value, Contents):
            return None
        facts = desk.document(base).facts
        contents, state = replay_document(desk.document(seen.latest).model_copy(update={"facts": facts}), acts)
        if not state == other.state == TermState.CONFIRMED:
            return None
        first = first.model_copy(update={"contents": contents})
        second = second.model_copy(update={"contents": other.value})
    else:
        proposal = None if base is None else desk.term(base)
        mine, state = replay_term(proposal, acts) if acts or proposal else (None, TermState.STRUCK)
        struck = other is None or other.state is TermState.STRUCK or not isinstance(other.value, Term)
        open_still = proposal is not None and (
            state is TermState.PROPOSED or other is None or other.state is TermState.PROPOSED
        )
        if open_still or (mine is None and struck):
            return None
        first = first.model_copy(update={"term": None if state is TermState.STRUCK else mine})
        second = second.model_copy(update={"term": None if struck or other is None else other.value})
        return Pair(
            document_id=some.document_id,
            item_id=item_id,
            proposal=proposal,
            first=first,
            second=second,
            settled=settled,
        )
    return Pair(document_id=some.document_id, item_id=item_id, first=first, second=second, settled=settled)


def _before_settling(log: Sequence[dict[str, Any]]) -> tuple[list[Act], tuple[Decision, ...]]:
    """A person's acts as they held before the first settling one that still holds, and the settling ones."""
    settling = [row for row in log if (row["note"] or "").startswith(SETTLED)]
    holds = [row for row in settling if row["by_decision_no"] is None and row["action"] != DecisionAction.REOPEN]
    end = min((row["decision_no"] for row in settling), default=None) if holds else None
    acts = [
        act_of(row)
        for row in log
        if row["action"] != DecisionAction.REOPEN
        and row not in settling
        and (end is None or row["decision_no"] < end)
        and (row["by_decision_no"] is None or (end is not None and row["by_decision_no"] >= end))
    ]
    return acts, tuple(act_of(row).decision for row in holds)


def _by(acts: Sequence[Act]) -> str:
    return acts[-1].decision.reviewer if acts else ""


def _told(acts: Sequence[Act]) -> tuple[Decision, ...]:
    return tuple(act.decision for act in acts)


def _moment(connection: duckdb.DuckDBPyConnection) -> datetime:
    return next_moment(connection, SECOND_LOOK)


_PULSE = """
SELECT (SELECT max(standing_no) FROM base.standing) AS standing,
  (SELECT max(decision_no) FROM base.second_acts) AS acts, (SELECT max(reading_no) FROM base.readings) AS readings
"""
_CHANGES = """
SELECT document_id, max(readings)::BIGINT AS readings, max(acts)::BIGINT AS acts FROM (
  SELECT document_id, reading_no AS readings, 0 AS acts FROM base.readings WHERE reading_no > ?
  UNION ALL
  SELECT document_id, 0, decision_no FROM base.second_acts WHERE decision_no > ?
) GROUP BY document_id
"""
_HOMES = """
SELECT DISTINCT item_id, document_id FROM base.second_acts
WHERE item_id IN (SELECT unnest(from_json(?, '["VARCHAR"]')))
"""
_EVERY_ITEM = "SELECT DISTINCT item_id FROM base.standing UNION SELECT DISTINCT item_id FROM base.second_acts"
_OWN = "SELECT DISTINCT document_id FROM base.decisions WHERE reviewer = ?"
_ORDER = "SELECT document_id FROM base.readings GROUP BY document_id ORDER BY min(reading_no)"
_SECOND_LOG = """
SELECT epoch_us(decided_at) AS decided_at, reviewer, item_id, field, action, old_value, new_value, note
FROM base.second_acts WHERE ?::VARCHAR IS NULL OR item_id = ? ORDER BY decision_no
"""
_FIRST_LOG = """
SELECT d.* REPLACE (epoch_us(d.decided_at) AS decided_at), t.by_decision_no
FROM base.decisions AS d LEFT JOIN base.taken_back AS t USING (decision_no) ORDER BY d.decision_no
"""
