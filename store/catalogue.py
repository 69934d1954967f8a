"""The catalogue file: one short transaction per act, and a person's decision that no reading ever touches.

One DuckDB file holds everything. While one process has it open for writing no other process can open it at all, so
every method opens the file, does one transaction and closes it again.
"""

import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from enum import StrEnum
from pathlib import Path
from typing import NamedTuple

import duckdb

from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.quantities import Model
from firstcap.schema.terms import FailedReading, Reading, Term
from firstcap.schema.vocabulary import DocumentStatus, TermState, TextSource
from firstcap.store import migrate
from firstcap.store.acts import DECISIONS, Desk, Log
from firstcap.store.contents import Contents
from firstcap.store.file import opened
from firstcap.store.recording import record
from firstcap.store.rows import as_time, fetch, load_documents, load_terms
from firstcap.store.sequence import Numbers

__all__ = ["Catalogue", "Decision", "DocumentRow", "NewDecision", "Recorded", "StoredTerm"]


class Recorded(StrEnum):
    """What `record` did: a document seen for the first time, nothing, or a new run over a known document."""

    NEW = "new"
    UNCHANGED = "unchanged"
    REREAD = "reread"


class StoredTerm(Model):
    """A term as it stands: `term` holds the effective values, the latest decision over the latest proposal.

    `proposal` is what the latest reading proposes for it: None for a term a person entered, or one that the latest
    reading no longer finds. `version` grows with every change; hand it back as `NewDecision.expected_version`.
    """

    term_id: str
    document_id: str
    supplier: str | None = None
    state: TermState
    term: Term
    proposal: Term | None = None
    decided_by: str | None = None
    decided_at: datetime | None = None
    version: int


class DocumentRow(Model):
    """The contract's view `documents`, and the counts a person wants beside it.

    `terms` counts what is not struck, `to_confirm` what no person has decided. `error` and `message` say why the
    latest reading failed. `version` is the document's own, for `NewDecision.expected_version`.
    """

    document_id: str
    file_name: str
    supplier: str | None = None
    title: str | None = None
    document_code: str | None = None
    revision: str | None = None
    effective_from: date | None = None
    pages: int | None = None
    text_source: TextSource | None = None
    region: str | None = None
    status: DocumentStatus
    added_at: datetime
    terms: int = 0
    to_confirm: int = 0
    warnings: int = 0
    error: str | None = None
    message: str | None = None
    version: int = 0


class Pulse(NamedTuple):
    """How far a catalogue has grown: the numbers of its latest reading and of its latest change of what stands."""

    readings: int
    standings: int


class Catalogue:
    """Each method opens the file for one short transaction and closes it again.

    While another process holds the file it is tried again for `wait_seconds`, then CatalogueBusyError says who holds
    it and what to do. A file that is missing (for reading) or is no catalogue raises CatalogueError, one written by a
    newer release CatalogueVersionError. An older file is migrated on first use.
    """

    def __init__(self, path: Path, *, wait_seconds: float = 5.0) -> None:
        self.path = Path(path)
        self.wait_seconds = wait_seconds
        self._shared = threading.local()

    @contextmanager
    def writing(self) -> Iterator[duckdb.DuckDBPyConnection]:
        """One transaction on a file that is created or migrated first where need be."""
        with opened(self.path, read_only=False, wait_seconds=self.wait_seconds) as connection:
            migrate.bring_up_to_date(connection, self.path)
            with migrate.transaction(connection):
                yield connection

    @contextmanager
    def reading(self, config: Mapping[str, str] | None = None) -> Iterator[duckdb.DuckDBPyConnection]:
        """A read-only connection to an up-to-date file; `config` holds DuckDB settings for this connection."""
        shared = getattr(self._shared, "connection", None)
        if shared is not None and config is None:
            yield shared
            return
        for attempt in (1, 2):
            with opened(self.path, read_only=True, wait_seconds=self.wait_seconds, config=config) as connection:
                if attempt == 2 or migrate.is_current(connection, self.path):
                    yield connection
                    return
            self.prepare()

    @contextmanager
    def at_once(self) -> Iterator[None]:
        """What this thread reads inside comes from one state of the file, opened once. Nothing can be written there."""
        with self.reading() as connection:
            before, self._shared.connection = getattr(self._shared, "connection", None), connection
            try:
                yield
            finally:
                self._shared.connection = before

    def prepare(self) -> None:
        """Create the file, or migrate an older one, now rather than at the first reading."""
        with self.writing():
            pass

    def is_known(self, document_id: str, reader: str) -> bool:
        """Were these bytes already read by this version of the reader, with success? Then there is nothing to do.

        A failed reading is not known: it may succeed another time (OCR installed since), and says again why it failed.
        """
        if not self.path.exists():
            return False
        sql = "SELECT 1 FROM base.readings WHERE document_id = ? AND reader = ? AND error IS NULL LIMIT 1"
        with self.reading() as connection:
            return connection.execute(sql, [document_id, reader]).fetchone() is not None

    def record(
        self, reading: Reading | FailedReading, *, supplier: str | None = None, path: Path | None = None
    ) -> Recorded:
        """Add one document in one transaction; creates the file when there is none. `path` is where its file lies.

        `supplier` is the name a person gave for the document; it stands over the one read, in later readings too. The
        same reading by the same reader adds nothing. A later reading is a new run: what a person decided stays as it
        was left, what nobody decided follows the new run.
        """
        with self.writing() as connection:
            seen_before = record(connection, reading, (supplier or "").strip() or None)
            if path is not None:
                self._note_file(connection, reading.document_id, path)
        if seen_before is None:
            return Recorded.UNCHANGED
        return Recorded.REREAD if seen_before else Recorded.NEW

    def changes(self, since: Pulse | None = None) -> tuple[Pulse, frozenset[str]]:
        """How far the file has grown, and the documents that were read or decided about since then (all, for None)."""
        before = since or Pulse(0, 0)
        with self.reading() as connection:
            rows = fetch(connection, _CHANGES, [before.readings, before.standings])
        pulse = Pulse(
            *(max((row[name] for row in rows), default=old) for name, old in zip(Pulse._fields, before, strict=True))
        )
        return pulse, frozenset(row["document_id"] for row in rows)

    def saw_file(self, document_id: str, path: Path) -> None:
        """Remember where the file of a document lies; nothing is written where that is known already."""
        with self.reading() as connection:
            known = fetch(connection, _FILES, [document_id])
        if not known or known[0]["path"] != self._from_here(path):
            with self.writing() as connection:
                self._note_file(connection, document_id, path)

    def files(self, document_id: str) -> list[Path]:
        """Where the file of a document was seen, the latest place first; it need not be there any more."""
        with self.reading() as connection:
            rows = fetch(connection, _FILES, [document_id])
        return [self.path.resolve().parent / row["path"] for row in rows]

    def _note_file(self, connection: duckdb.DuckDBPyConnection, document_id: str, path: Path) -> None:
        known, place = fetch(connection, _FILES, [document_id]), self._from_here(path)
        if not known or known[0]["path"] != place:
            number = Numbers(connection).next("files")
            connection.execute(
                "INSERT INTO base.files VALUES (?, ?, ?, ?)", [number, document_id, place, datetime.now(UTC)]
            )

    def _from_here(self, path: Path) -> str:
        whole, home = path.resolve(), self.path.resolve().parent
        return (whole.relative_to(home) if whole.is_relative_to(home) else whole).as_posix()

    def documents(self) -> list[DocumentRow]:
        """All documents in the order in which they were added."""
        with self.reading() as connection:
            rows = fetch(connection, _DOCUMENTS)
        return [DocumentRow.model_validate({**row, "added_at": as_time(row["added_at"])}) for row in rows]

    def terms(self, document_id: str | None = None) -> list[StoredTerm]:
        """Terms in document order, struck ones included."""
        with self.reading() as connection:
            rows = fetch(connection, _TERMS, [document_id, document_id])
            proposals = [row["proposal_no"] for row in rows if row["proposal_no"] is not None]
            terms = load_terms(connection, [*(row["version_no"] for row in rows), *proposals])
        return [
            StoredTerm(
                term_id=row["term_id"],
                document_id=row["document_id"],
                supplier=row["supplier"],
                state=row["state"],
                term=terms[row["version_no"]],
                proposal=terms.get(row["proposal_no"]),
                decided_by=row["decided_by"],
                decided_at=as_time(row["decided_at"]),
                version=row["standing_no"],
            )
            for row in rows
        ]

    def contents(self, document_ids: Sequence[str] | None = None) -> dict[str, Contents]:
        """document_id -> facts and clauses as they stand, of these documents or of all."""
        with self.reading() as connection:
            rows = fetch(connection, "SELECT document_id, version_no FROM base.current_documents")
            wanted = {
                row["document_id"]: row["version_no"]
                for row in rows
                if document_ids is None or row["document_id"] in document_ids
            }
            loaded = load_documents(connection, wanted.values())
        return {document_id: loaded[version] for document_id, version in wanted.items()}

    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]:
        """Check the decisions, append them and the values that follow from them, all in one transaction.

        ValueRefusedError for a value or an act that makes no sense; ConflictError where `expected_version` or
        `old_value` no longer holds. In both cases nothing is written.
        """
        if not decisions:
            return ()
        self._must_exist()
        with self.writing() as connection:
            desk = Desk(connection, next_moment(connection))
            return desk.decide(decisions)

    def decisions(self, item_id: str | None = None) -> list[Decision]:
        """The log, oldest first."""
        with self.reading() as connection:
            rows = fetch(connection, _LOG, [item_id, item_id])
        return [Decision.model_validate({**row, "decided_at": as_time(row["decided_at"])}) for row in rows]

    def undo(self, reviewer: str, *, acts: int = 1) -> Decision | None:
        """Take back this reviewer's latest acts that still hold, by appending `reopen` for each, in one transaction.

        Gives the last one appended; None when there is none to take back. Acts of other people on the same item stay.
        """
        self._must_exist()
        taken: Decision | None = None
        with self.writing() as connection:
            for _ in range(acts):
                taken = Desk(connection, next_moment(connection)).undo(reviewer) or taken
        return taken

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]:
        """Read-only rows for reports, from the public views. For a person's own SQL see `store.query`.

        Times come in UTC.
        """
        with self.reading() as connection:
            return report_rows(connection, sql, parameters)

    def _must_exist(self) -> None:
        """A decision about nothing makes no file."""
        if not self.path.exists():
            with opened(self.path, read_only=True, wait_seconds=0):
                pass


_CHANGES = """
SELECT document_id, max(readings)::BIGINT AS readings, max(standings)::BIGINT AS standings FROM (
  SELECT document_id, reading_no AS readings, 0 AS standings FROM base.readings WHERE reading_no > ?
  UNION ALL
  SELECT document_id, 0, standing_no FROM base.standing WHERE standing_no > ?
) GROUP BY document_id
"""
_FILES = "SELECT path FROM base.files WHERE document_id = ? ORDER BY file_no DESC"
_WITH_ZONE = "TIMESTAMP WITH TIME ZONE"
_DOCUMENTS = """
SELECT d.* REPLACE (epoch_us(d.added_at) AS added_at),
  coalesce(c.terms, 0) AS terms, coalesce(c.to_confirm, 0) AS to_confirm, coalesce(w.warnings, 0) AS warnings,
  n.error, n.message, coalesce(i.standing_no, 0) AS version
FROM documents AS d
JOIN base.newest_readings AS n USING (document_id)
LEFT JOIN base.document_counts AS c USING (document_id)
LEFT JOIN (SELECT document_id, count(*) AS warnings FROM warnings GROUP BY ALL) AS w USING (document_id)
LEFT JOIN base.current_documents AS i USING (document_id)
ORDER BY (SELECT min(reading_no) FROM base.readings AS r WHERE r.document_id = d.document_id)
"""
_TERMS = """
SELECT t.term_id, t.document_id, d.supplier, t.state, t.version_no, t.standing_no, p.version_no AS proposal_no,
  s.reviewer AS decided_by, epoch_us(s.decided_at) AS decided_at
FROM base.current_terms AS t
LEFT JOIN base.current_documents AS d USING (document_id)
LEFT JOIN base.latest_readings AS r ON r.document_id = t.document_id
LEFT JOIN base.term_versions AS p ON p.term_id = t.term_id AND p.reading_no = r.reading_no
LEFT JOIN base.decisions AS s ON s.decision_no = t.standing_decision_no
WHERE ?::VARCHAR IS NULL OR t.document_id = ?
ORDER BY (SELECT min(reading_no) FROM base.readings AS f WHERE f.document_id = t.document_id), t.place, t.term_id
"""
_LOG = """
SELECT epoch_us(decided_at) AS decided_at, reviewer, item_id, field, action, old_value, new_value, note
FROM base.decisions WHERE ?::VARCHAR IS NULL OR item_id = ? ORDER BY decision_no
"""


def report_rows(
    connection: duckdb.DuckDBPyConnection, sql: str, parameters: Sequence[object] = ()
) -> list[dict[str, object]]:
    """Rows for reports over a connection that is open already; times come in UTC."""
    connection.execute("SET TimeZone = 'UTC'")
    relation = connection.sql(sql, params=list(parameters))
    if relation is None:
        return []
    times = [name for name, kind in zip(relation.columns, relation.types, strict=True) if str(kind) == _WITH_ZONE]
    if times:  # DuckDB 1.5 cannot hand these out without another package
        columns = ", ".join(f"epoch_us({quoted(name)}) AS {quoted(name)}" for name in times)
        relation = relation.project(f"* REPLACE ({columns})")
    found = [dict(zip(relation.columns, row, strict=True)) for row in relation.fetchall()]
    for row in found:
        row.update({name: as_time(row[name]) for name in times})
    return found


def quoted(name: str) -> str:
    """A name as SQL writes it whatever is in it."""
    return '"' + name.replace('"', '""') + '"'


def next_moment(connection: duckdb.DuckDBPyConnection, log: Log = DECISIONS) -> datetime:
    """Now, but after every act in the log: a clock set back never reorders what people did.

    Acts made together are one microsecond apart, so those of the next batch begin later than that.
    """
    row = connection.execute(f"SELECT epoch_us(max(decided_at)) FROM {log.acts}").fetchone()
    last = as_time(row[0]) if row else None
    now = datetime.now(UTC)
    return now if last is None else max(now, last + timedelta(microseconds=2))
