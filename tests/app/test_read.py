"""A stack is read over processes: one bad file never stops it, and what was read is recorded as it arrives."""

import multiprocessing
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from accident_reader import READER, read_words

from firstcap.app.read import Options, Outcome, Status, file_id, find_files, read_stack
from firstcap.schema.errors import UsageError
from firstcap.schema.terms import FailedReading, Reading
from firstcap.schema.vocabulary import DocumentStatus
from firstcap.store.catalogue import Catalogue


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    made = tmp_path / "stack"
    made.mkdir()
    return made


def write(folder: Path, **words: str) -> list[Path]:
    paths = []
    for name, text in words.items():
        path = folder / f"{name}.pdf"
        path.write_text(f"{text} {name}", encoding="utf-8")
        paths.append(path)
    return paths


def outcomes(files: list[Path], catalogue: Catalogue, jobs: int = 1, **more: object) -> dict[str, Outcome]:
    found = read_stack(files, catalogue, reader=READER, jobs=jobs, read=read_words, **more)  # type: ignore[arg-type]
    return {outcome.path.stem: outcome for outcome in found}


@pytest.fixture
def empty(tmp_path: Path) -> Catalogue:
    return Catalogue(tmp_path / "new.duckdb")


@pytest.mark.parametrize("jobs", [1, 2])
def test_one_bad_file_never_stops_the_stack(folder: Path, empty: Catalogue, jobs: int) -> None:
    files = write(folder, a="good", b="damaged", c="bug", d="good")
    found = outcomes(files, empty, jobs)
    assert {name: outcome.status for name, outcome in found.items()} == {
        "a": Status.READ,
        "b": Status.FAILED,
        "c": Status.FAILED,
        "d": Status.READ,
    }
    rows = {row.file_name: row for row in empty.documents()}
    assert (rows["b.pdf"].status, rows["b.pdf"].error) == (DocumentStatus.FAILED, "damaged")
    assert rows["b.pdf"].message == "the file ends early; ask for a new copy"
    assert rows["a.pdf"].status is DocumentStatus.TO_CONFIRM


def test_an_error_inside_the_reader_names_its_class_and_says_what_to_do(folder: Path, empty: Catalogue) -> None:
    said = outcomes(write(folder, c="bug"), empty)["c"]
    assert said.error == "reader_error"
    assert "error inside the reader (ZeroDivisionError: division by zero)" in (said.message or "")
    assert "report the error" in (said.message or "")


def test_a_worker_that_is_killed_fails_its_own_file_only(folder: Path, empty: Catalogue) -> None:
    files = write(folder, a="slow", b="kill", c="good")
    found = outcomes(files, empty, jobs=2)
    assert [name for name, outcome in found.items() if outcome.status is Status.FAILED] == ["b"]
    assert "its process died" in (found["b"].message or "")
    assert len(found) == 3 and len(empty.documents()) == 3


@pytest.mark.parametrize("jobs", [1, 2])
def test_a_file_that_takes_too_long_is_given_up(folder: Path, empty: Catalogue, jobs: int) -> None:
    files = write(folder, a="endless", b="good")
    found = outcomes(files, empty, jobs, options=Options(max_seconds=0.5))
    assert (found["a"].error, found["b"].status) == ("too_long", Status.READ)
    assert "longer than 0.5 seconds" in (found["a"].message or "")


def test_workers_end_with_a_stack_that_is_given_up(folder: Path, empty: Catalogue) -> None:
    stack = read_stack(write(folder, a="good", b="endless"), empty, reader=READER, jobs=2, read=read_words)
    next(stack)
    stack.close()  # type: ignore[attr-defined]
    assert eventually(lambda: not multiprocessing.active_children())


def test_workers_end_with_a_parent_that_was_killed(folder: Path, tmp_path: Path) -> None:
    a, b = write(folder, a="endless", b="endless")
    program = (
        "import sys; from pathlib import Path\n"
        "from accident_reader import READER, read_words\n"
        "from firstcap.app.read import find_files, read_stack\n"
        "from firstcap.store.catalogue import Catalogue\n"
        "if __name__ == '__main__':\n"
        "    files = find_files([Path(sys.argv[1])])\n"
        "    list(read_stack(files, Catalogue(Path(sys.argv[2])), reader=READER, jobs=2, read=read_words))\n"
    )
    script = tmp_path / "parent.py"
    script.write_text(program, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parent)}
    with subprocess.Popen(
        [sys.executable, str(script), str(folder), str(tmp_path / "new.duckdb")], env=environment
    ) as parent:
        notes = [path.with_suffix(".worker") for path in (a, b)]
        assert eventually(lambda: all(note.exists() and note.read_text() for note in notes))
        parent.kill()
    workers = [int(note.read_text()) for note in notes]
    assert eventually(lambda: not any(is_running(worker) for worker in workers))


def eventually(holds: Callable[[], bool], seconds: float = 30) -> bool:
    deadline = time.monotonic() + seconds
    while not holds():
        if time.monotonic() > deadline:
            return False
        time.sleep(0.05)
    return True


def is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    status = Path(f"/proc/{process}/stat")
    return not status.exists() or ") Z " not in status.read_text()


def test_what_was_read_before_is_not_read_again(folder: Path, empty: Catalogue) -> None:
    files = write(folder, a="good", b="damaged")
    outcomes(files, empty)
    again = outcomes(files, empty)
    assert again["a"].status is Status.KNOWN
    assert again["b"].status is Status.FAILED  # a failed reading is tried again, and says again why it failed
    assert len(empty.documents()) == 2


def test_a_newer_reader_reads_everything_again(folder: Path, empty: Catalogue) -> None:
    files = write(folder, a="good")
    outcomes(files, empty)
    [newer] = read_stack(files, empty, reader="reader for tests 2", read=read_words)
    assert newer.status is Status.READ


def test_two_copies_of_one_file_count_once(folder: Path, empty: Catalogue) -> None:
    [first] = write(folder, a="good")
    copy = folder / "b.pdf"
    copy.write_bytes(first.read_bytes())
    found = outcomes([first, copy], empty)
    assert (found["b"].status, found["b"].message) == (Status.COPY, "the same file as a.pdf")
    assert len(empty.documents()) == 1


def test_a_named_supplier_stands_over_the_one_read(folder: Path, empty: Catalogue) -> None:
    outcomes(write(folder, a="good"), empty, supplier="Saltbush Instruments")
    assert empty.documents()[0].supplier == "Saltbush Instruments"


def test_options_reach_the_reader(folder: Path, empty: Catalogue) -> None:
    found = outcomes(write(folder, a="options"), empty, options=Options(max_pages=7, ocr=False))
    assert found["a"].message == "max_pages=7 ocr=False"


def test_results_are_recorded_as_they_arrive(folder: Path, empty: Catalogue) -> None:
    stack = read_stack(write(folder, a="good", b="good"), empty, reader=READER, read=read_words)
    next(stack)
    assert [row.file_name for row in empty.documents()] == ["a.pdf"]
    stack.close()  # type: ignore[attr-defined]
    assert [row.file_name for row in empty.documents()] == ["a.pdf"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_file_that_may_not_be_read_says_so(folder: Path, empty: Catalogue) -> None:
    [path] = write(folder, a="good")
    path.chmod(0)
    said = outcomes([path], empty)["a"]
    assert (said.status, said.error) == (Status.FAILED, "unreadable")


def test_a_file_that_vanishes_says_so(folder: Path, empty: Catalogue) -> None:
    said = outcomes([folder / "gone.pdf", *write(folder, a="good")], empty)
    assert (said["gone"].error, said["gone"].document_id) == ("unreadable", None)
    assert said["a"].status is Status.READ


def test_folders_are_searched_for_pdfs_whatever_the_capitals(folder: Path) -> None:
    (folder / "deep" / "er").mkdir(parents=True)
    (folder / ".hidden").mkdir()
    for name in ("b.PDF", "a.pdf", "notes.txt", "deep/er/c.Pdf", ".hidden/d.pdf", "._a.pdf"):
        (folder / name).write_text("x", encoding="utf-8")
    found = find_files([folder, folder / "a.pdf", folder / "notes.txt"])
    assert [str(path.relative_to(folder)) for path in found] == ["a.pdf", "b.PDF", "deep/er/c.Pdf", "notes.txt"]


def test_a_path_that_is_not_there_is_wrong_usage(folder: Path) -> None:
    with pytest.raises(UsageError, match="no such file or folder"):
        find_files([folder / "nothing"])
    with pytest.raises(UsageError, match="no PDF in this folder"):
        find_files([folder])


def test_a_file_is_known_by_the_digest_of_its_bytes(folder: Path) -> None:
    path = folder / "abc"
    path.write_bytes(b"abc")
    # NIST FIPS 180-4 example: SHA-256 of "abc".
    assert file_id(path) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


class FullDisk:
    """A catalogue that cannot be written to any more."""

    def prepare(self) -> None: ...

    def is_known(self, document_id: str, reader: str) -> bool:
        return False

    def saw_file(self, document_id: str, path: Path) -> None: ...

    def record(
        self, reading: Reading | FailedReading, *, supplier: str | None = None, path: Path | None = None
    ) -> object:
        raise OSError("no space left")


def test_a_catalogue_that_cannot_be_written_stops_the_stack(folder: Path) -> None:
    with pytest.raises(OSError, match="no space left"):
        list(read_stack(write(folder, a="good"), FullDisk(), reader=READER, read=read_words))
