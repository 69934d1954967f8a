"""The catalogue file: one short transaction per act, and a person's decision that no reading ever touches.

One DuckDB file holds everything. While one process has it open for writing no other process can open it at all, so
every method opens the file, does one transaction and closes it again.
"""

from collections.abc import Sequence
from datetime import date, datetime
from enum import StrEnum
from pathlib import Path

from firstcap.schema.decisions import Decision, NewDecision
from firstcap.schema.quantities import Model
from firstcap.schema.terms import FailedReading, Reading, Term
from firstcap.schema.vocabulary import DocumentStatus, TermState, TextSource

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


class Catalogue:
    """Each method opens the file for one short transaction and closes it again.

    While another process holds the file it is tried again for `wait_seconds`, then CatalogueBusyError says who holds
    it and what to do. A file that is missing (for reading) or is no catalogue raises CatalogueError, one written by a
    newer release CatalogueVersionError. An older file is migrated on first use.
    """

    def __init__(self, path: Path, *, wait_seconds: float = 5.0) -> None:
        self.path = path
        self.wait_seconds = wait_seconds

    def prepare(self) -> None:
        """Create the file, or migrate an older one, now rather than at the first reading."""
        raise NotImplementedError

    def is_known(self, document_id: str, reader: str) -> bool:
        """Were these bytes already read by this version of the reader, with success? Then there is nothing to do.

        A failed reading is not known: it may succeed another time (OCR installed since), and says again why it failed.
        """
        raise NotImplementedError

    def record(self, reading: Reading | FailedReading, *, supplier: str | None = None) -> Recorded:
        """Add one document in one transaction; creates the file when there is none.

        `supplier` is the name a person gave for the document; it stands over the one read. The same reading by the
        same reader adds nothing. A later reading is a new run: what a person decided stays as it was left.
        """
        raise NotImplementedError

    def documents(self) -> list[DocumentRow]:
        """All documents in the order in which they were added."""
        raise NotImplementedError

    def terms(self, document_id: str | None = None) -> list[StoredTerm]:
        """Terms in document order, struck ones included."""
        raise NotImplementedError

    def decide(self, decisions: Sequence[NewDecision]) -> tuple[Decision, ...]:
        """Check the decisions, append them and the values that follow from them, all in one transaction.

        ValueRefusedError for a value or an act that makes no sense; ConflictError where `expected_version` or
        `old_value` no longer holds. In both cases nothing is written.
        """
        raise NotImplementedError

    def decisions(self, item_id: str | None = None) -> list[Decision]:
        """The log, oldest first."""
        raise NotImplementedError

    def undo(self, reviewer: str) -> Decision | None:
        """Take back this reviewer's latest act that still holds, by appending `reopen`; None when there is none.

        Called again it takes back the one before.
        """
        raise NotImplementedError

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]:
        """Read-only rows for reports, from the public views. For a person's own SQL see `store.query`."""
        raise NotImplementedError
