"""Several processes, several threads, and one that is killed in the middle."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import duckdb
import pytest
from pinyon_readings import accuracy_term, reading

from firstcap.schema.decisions import NewDecision
from firstcap.schema.errors import CatalogueBusyError, ConflictError, ExitCode
from firstcap.store.catalogue import Catalogue, StoredTerm
from firstcap.store.query import run_query

HERE = Path(__file__).parent
HOLD = """
import sys, time
from pathlib import Path
from firstcap.store.file import opened
with opened(Path(sys.argv[1]), read_only=sys.argv[2] == "read", wait_seconds=5) as connection:
    if sys.argv[2] == "write":
        connection.execute("BEGIN; INSERT INTO base.taken_back VALUES (1, 1)")
    print("held", flush=True)
    time.sleep(float(sys.argv[3]))
"""


def child_environment(first: str | None = None) -> dict[str, str]:
    """Ours, with the readings of these tests importable, and packages in `first` before all others."""
    folders = (first, os.environ.get("PYTHONPATH"), str(HERE))
    return {**os.environ, "PYTHONPATH": os.pathsep.join(folder for folder in folders if folder)}


@contextmanager
def another_process(code: str, *arguments: object) -> Iterator[subprocess.Popen[str]]:
    """A second Python that has printed its first line, ended afterwards whatever happens."""
    command = [sys.executable, "-c", code, *map(str, arguments)]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, text=True, env=child_environment())
    assert process.stdout is not None
    try:
        assert process.stdout.readline().strip() == "held"
        yield process
    finally:
        process.kill()
        process.wait()
        process.stdout.close()


def confirm(term: StoredTerm, reviewer: str = "Ana", **more: object) -> NewDecision:
    given = {"reviewer": reviewer, "item_id": term.term_id, "action": "confirm"}
    return NewDecision.model_validate(given | more)


def test_a_file_that_another_process_writes_is_busy_and_the_message_says_which(filled: Catalogue) -> None:
    with another_process(HOLD, filled.path, "write", 60) as holder:
        for use in (filled.documents, lambda: filled.record(reading("b.pdf")), lambda: filled.undo("Ana")):
            with pytest.raises(CatalogueBusyError, match=f"process {holder.pid} .*try again") as busy:
                use()
            assert busy.value.exit_code is ExitCode.BUSY
        with pytest.raises(CatalogueBusyError):
            run_query(filled.path, "SELECT 1", wait_seconds=0.1)
    assert len(filled.terms()) == 2  # the other one ended without committing


def test_a_file_is_waited_for_while_another_process_is_at_it(filled: Catalogue) -> None:
    with another_process(HOLD, filled.path, "write", 0.5):
        patient = Catalogue(filled.path, wait_seconds=20)
        assert len(patient.terms()) == 2


def test_readers_share_the_file(filled: Catalogue) -> None:
    with another_process(HOLD, filled.path, "read", 60):
        assert len(filled.terms()) == 2
        with pytest.raises(CatalogueBusyError):
            filled.record(reading("b.pdf"))


KILLED = """
import sys, time
from pathlib import Path
import pinyon_readings
from firstcap.store import recording
from firstcap.store.catalogue import Catalogue
catalogue = Catalogue(Path(sys.argv[1]))
catalogue.record(pinyon_readings.reading("committed.pdf"))
def hang(batch, connection):
    for table, rows in batch._rows.items():
        recording_insert(connection, table, rows)
    print("held", flush=True)
    time.sleep(60)
from firstcap.store.rows import Batch, insert as recording_insert
Batch.write = hang
catalogue.record(pinyon_readings.reading("open.pdf"))
"""


def test_what_was_committed_outlives_a_process_killed_in_an_open_transaction(filled: Catalogue) -> None:
    with another_process(KILLED, filled.path) as writer:
        os.kill(writer.pid, signal.SIGKILL)
        writer.wait()
        again = Catalogue(filled.path, wait_seconds=5)
        assert [row.file_name for row in again.documents()] == ["juniper.pdf", "committed.pdf"]
        assert len(again.terms()) == 4
        again.record(reading("open.pdf"))
        assert len(again.terms()) == 6


WRITER = """
import sys
from pathlib import Path
import pinyon_readings
from firstcap.store.catalogue import Catalogue
print("held", flush=True)
catalogue = Catalogue(Path(sys.argv[1]), wait_seconds=60)
for number in range(4):
    catalogue.record(pinyon_readings.reading(f"{sys.argv[2]}-{number}.pdf"))
"""


def test_two_processes_that_read_stacks_at_once_lose_nothing(filled: Catalogue) -> None:
    with another_process(WRITER, filled.path, "a") as one, another_process(WRITER, filled.path, "b") as two:
        assert (one.wait(120), two.wait(120)) == (0, 0)
    assert len(filled.documents()) == 9 and len(filled.terms()) == 18
    standing = filled.rows("SELECT count(*) AS n, count(DISTINCT standing_no) AS distinct_n FROM base.standing")
    assert standing == [{"n": 27, "distinct_n": 27}]


def test_threads_of_one_process_take_turns(filled: Catalogue) -> None:
    terms = [accuracy_term(product=f"JF-{number}") for number in range(8)]
    filled.record(reading("threads.pdf", *terms))
    patient = Catalogue(filled.path, wait_seconds=60)
    targets = [term for term in patient.terms() if term.term.product]
    errors: list[Exception] = []

    def work(term: StoredTerm, reviewer: str) -> None:
        try:
            patient.decide([confirm(term, reviewer)])
            assert any(item.term_id == term.term_id for item in patient.terms(term.document_id))
        except Exception as error:
            errors.append(error)

    threads = [threading.Thread(target=work, args=(term, f"R{at}")) for at, term in enumerate(targets)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert errors == []
    assert len(patient.decisions()) == 8
    assert {term.decided_by for term in patient.terms() if term.term.product} == {f"R{at}" for at in range(8)}


def test_of_two_people_who_decide_about_one_version_one_is_told(filled: Catalogue) -> None:
    patient = Catalogue(filled.path, wait_seconds=60)
    seen = patient.terms()[0]
    outcomes: list[str] = []

    def work(reviewer: str) -> None:
        try:
            patient.decide([confirm(seen, reviewer, expected_version=seen.version)])
            outcomes.append("written")
        except ConflictError:
            outcomes.append("told")

    threads = [threading.Thread(target=work, args=(name,)) for name in ("Ana", "Ben")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(outcomes) == ["told", "written"] and len(patient.decisions()) == 1


def test_waiting_ends_at_the_time_asked_for(filled: Catalogue) -> None:
    with another_process(HOLD, filled.path, "write", 60):
        began = time.monotonic()
        with pytest.raises(CatalogueBusyError):
            Catalogue(filled.path, wait_seconds=0.3).documents()
        assert 0.3 <= time.monotonic() - began < 5


OTHER = os.environ.get("FIRSTCAP_OTHER_DUCKDB")
HAND_OVER = """
import sys
from pathlib import Path
import duckdb, pinyon_readings
from firstcap.store.catalogue import Catalogue
catalogue = Catalogue(Path(sys.argv[1]))
assert len(catalogue.terms()) == 2
catalogue.record(pinyon_readings.reading("other.pdf"))
print(duckdb.__version__)
"""


@pytest.mark.skipif(OTHER is None, reason="FIRSTCAP_OTHER_DUCKDB names no folder with the other DuckDB")
def test_a_file_goes_back_and_forth_between_the_two_supported_duckdb_releases(filled: Catalogue) -> None:
    command = [sys.executable, "-c", HAND_OVER, str(filled.path)]
    environment = child_environment(first=OTHER)
    other = subprocess.run(command, env=environment, capture_output=True, text=True, check=False)
    assert other.returncode == 0, other.stderr
    assert other.stdout.strip() != duckdb.__version__
    assert len(filled.terms()) == 4
    filled.decide([confirm(term) for term in filled.terms()])
    assert {row.status for row in filled.documents()} == {"confirmed"}
