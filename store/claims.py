"""Bench tests with what was made of them, and the log of what was claimed, in the catalogue.

The tests are those of the list gone through last; the log is only ever added to.
"""

from collections.abc import Iterable, Sequence
from datetime import UTC, date, datetime
from typing import Any

from firstcap.schema.claims import ClaimAction
from firstcap.schema.quantities import Model
from firstcap.store.catalogue import Catalogue
from firstcap.store.rows import Batch, as_time, fetch


class ClaimAct(Model):
    """One act of a person about one claim: a meter, the promise it is claimed on, the test that shows it."""

    action: ClaimAction
    supplier: str
    meter_id: str
    term_id: str
    document_id: str
    tested_on: date
    flow_usgpm: float
    registered_pct: float
    credit_pct: float | None = None
    note: str | None = None


class LoggedAct(ClaimAct):
    """An act as it stands in the log: `claim_no` counts from 1."""

    claim_no: int
    acted_at: datetime
    reviewer: str


_TESTS = ("line_no", "meter_id", "tested_on", "flow_usgpm", "registered_pct", "uncertainty_pct", "reading_usgal")
_FINDINGS = ("line_no", "call", "term_id", "limit_pct", "outside_share", "ended_by", "ended_on", "why")


def put_tests(catalogue: Catalogue, tests: Iterable[Sequence[object]], findings: Iterable[Sequence[object]]) -> None:
    """Put a list of bench tests and its findings in the place of the last one; rows as the tables' columns."""
    with catalogue.writing() as connection:
        for table, rows in (("base.bench_tests", tests), ("base.bench_findings", findings)):
            connection.execute(f"DELETE FROM {table}")
            batch = Batch()
            for row in rows:
                batch.add(table, tuple(row))
            batch.write(connection)


def log(catalogue: Catalogue, acts: Sequence[ClaimAct], reviewer: str) -> None:
    """Append acts to the log, all in one transaction."""
    if not acts:
        return
    with catalogue.writing() as connection:
        last = fetch(connection, "SELECT coalesce(max(claim_no), 0) AS last FROM base.claims")[0]["last"]
        moment, batch = datetime.now(UTC), Batch()
        for number, act in enumerate(acts, last + 1):
            values: dict[str, Any] = act.model_dump()
            batch.add("base.claims", (number, moment, reviewer, *(values[name] for name in _LOGGED)))
        batch.write(connection)


_LOGGED = (
    "action", "supplier", "meter_id", "term_id", "document_id", "tested_on", "flow_usgpm", "registered_pct",
    "credit_pct", "note",
)  # fmt: skip


def logged(catalogue: Catalogue) -> list[LoggedAct]:
    """The whole log, oldest first."""
    with catalogue.reading() as connection:
        rows = fetch(connection, "SELECT * REPLACE (epoch_us(acted_at) AS acted_at) FROM base.claims ORDER BY claim_no")
    return [LoggedAct.model_validate({**row, "acted_at": as_time(row["acted_at"])}) for row in rows]
