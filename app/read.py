"""Reads a stack of files into the catalogue: over processes, recorded as they arrive, no file stopping the others."""

import hashlib
import multiprocessing
import os
import signal
import threading
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from types import FrameType
from typing import TYPE_CHECKING, Protocol

from firstcap.schema.errors import DocumentError, UsageError
from firstcap.schema.terms import FailedReading, Reading

if TYPE_CHECKING:
    from firstcap.extract.confidence import Calibration


class Status(StrEnum):
    """What became of one file of the stack."""

    READ = "read"
    KNOWN = "known"  # same bytes, same reader: nothing to do
    COPY = "copy"  # the same bytes under another name in this stack
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Outcome:
    """One file of the stack. `document_id` is None where the file could not even be opened."""

    path: Path
    status: Status
    document_id: str | None = None
    error: str | None = None
    message: str | None = None


@dataclass(frozen=True, slots=True)
class Options:
    """How a file is read. A file that takes longer than `max_seconds` is given up.

    `calibration` moves the confidence; the reader's name that a stack is read under then says which one it was.
    """

    max_pages: int = 200
    ocr: bool = True
    max_seconds: float = 600.0
    calibration: "Calibration | None" = None


class ReadFile(Protocol):
    """A function that reads one file; module-level, so that it can be sent to a process."""

    def __call__(self, path: Path, *, max_pages: int, ocr: bool) -> Reading: ...


class ReadingStore(Protocol):
    """What reading needs of the catalogue."""

    def prepare(self) -> None: ...
    def is_known(self, document_id: str, reader: str) -> bool: ...
    def record(
        self, reading: Reading | FailedReading, *, supplier: str | None = None, path: Path | None = None
    ) -> object: ...
    def saw_file(self, document_id: str, path: Path) -> None: ...


def read_file(path: Path, *, max_pages: int, ocr: bool) -> Reading:
    """The reader of this release, imported where it is needed."""
    from firstcap.extract.reading import read

    return read(path, max_pages=max_pages, ocr=ocr)


def reader_name() -> str:
    """The version of that reader, which decides what is known already."""
    from firstcap.extract.reading import READER

    return READER


def find_files(paths: Iterable[Path]) -> list[Path]:
    """Files as named, and every PDF below a folder, each once.

    Hidden files of a folder are left out. UsageError for a path that is not there or a folder without any PDF.
    """
    found: dict[Path, Path] = {}
    for path in paths:
        if path.is_dir():
            inside = sorted(_pdfs_below(path))
            if not inside:
                raise UsageError("no PDF in this folder or below it; name another folder or a file", file=str(path))
            for file in inside:
                found.setdefault(file.resolve(), file)
        elif path.is_file():
            found.setdefault(path.resolve(), path)
        else:
            raise UsageError("no such file or folder; check the spelling", file=str(path))
    return list(found.values())


def _pdfs_below(folder: Path) -> Iterator[Path]:
    for root, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in names:
            if name.lower().endswith(".pdf") and not name.startswith("."):
                yield Path(root) / name


def file_id(path: Path) -> str:
    """SHA-256 of the bytes, hex. OSError where the file cannot be opened."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


@dataclass(frozen=True, slots=True)
class _Task:
    path: Path
    document_id: str
    reader: str
    options: Options
    read: ReadFile


def read_stack(
    files: Sequence[Path],
    catalogue: ReadingStore,
    *,
    reader: str,
    jobs: int = 1,
    supplier: str | None = None,
    options: Options | None = None,
    read: ReadFile = read_file,
    again: Callable[[str], bool] = lambda document_id: False,
) -> Iterator[Outcome]:
    """Outcomes as they arrive; each reading is in the catalogue before its outcome is given out.

    `reader` names the version of the reader: what it has read already is not read again unless `again(document_id)`.
    CatalogueBusyError and its kin go through: without a catalogue there is nothing to record into.
    """
    catalogue.prepare()
    tasks: list[_Task] = []
    seen: dict[str, Path] = {}
    for path in files:
        try:
            document_id = file_id(path)
        except OSError as problem:
            advice = f"cannot be opened ({problem.strerror or problem}); check that you may read it"
            yield Outcome(path, Status.FAILED, error="unreadable", message=advice)
            continue
        if document_id in seen:
            yield Outcome(path, Status.COPY, document_id, message=f"the same file as {seen[document_id].name}")
            continue
        seen[document_id] = path
        if catalogue.is_known(document_id, reader) and not again(document_id):
            catalogue.saw_file(document_id, path)
            yield Outcome(path, Status.KNOWN, document_id)
            continue
        tasks.append(_Task(path, document_id, reader, options or Options(), read))

    jobs = min(jobs, len(tasks))
    results = _over_processes(tasks, jobs) if jobs > 1 else ((task, _read_one(task)) for task in tasks)
    for task, result in results:
        catalogue.record(result, supplier=supplier, path=task.path)
        if isinstance(result, FailedReading):
            yield Outcome(task.path, Status.FAILED, task.document_id, result.error, result.message)
        else:
            yield Outcome(task.path, Status.READ, task.document_id)


class _TooLongError(BaseException):
    """Raised inside the reader when its time is up; no `except Exception` of the reader may swallow it."""


@contextmanager
def _time_limit(seconds: float) -> Iterator[None]:
    """Stops what runs inside after so many seconds, where the system has such a clock (all but Windows)."""
    if not hasattr(signal, "setitimer") or threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(number: int, frame: FrameType | None) -> None:
        raise _TooLongError

    before = signal.signal(signal.SIGALRM, stop)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _read_one(task: _Task) -> Reading | FailedReading:
    options = task.options
    try:
        with _time_limit(options.max_seconds):
            reading = task.read(task.path, max_pages=options.max_pages, ocr=options.ocr)
            return options.calibration.applied(reading) if options.calibration else reading
    except _TooLongError:
        return _failed(
            task,
            "too_long",
            f"reading it took longer than {options.max_seconds:g} seconds and was given up; the other files are not "
            "affected: give it more with --max-seconds, or report it",
        )
    except DocumentError as problem:
        return _failed(task, problem.code, problem.message, problem.page)
    except Exception as problem:
        said = f"{type(problem).__name__}: {problem}" if str(problem) else type(problem).__name__
        return _failed(
            task,
            "reader_error",
            f"error inside the reader ({said[:300]}); the other files are not affected: "
            "report the error, and read this document by eye meanwhile",
        )


def _failed(task: _Task, error: str, message: str, page: int | None = None) -> FailedReading:
    return FailedReading(
        document_id=task.document_id,
        file_name=task.path.name,
        error=error,
        message=message,
        page=page,
        reader=task.reader,
    )


def _over_processes(tasks: Iterable[_Task], jobs: int) -> Iterator[tuple[_Task, Reading | FailedReading]]:
    """A worker that dies breaks its whole pool: those in flight are read again one by one, to know which one did it."""
    waiting = deque(tasks)
    while waiting:
        suspects: list[_Task] = []
        flying: dict[Future[Reading | FailedReading], _Task] = {}
        with _pool(jobs) as pool:
            while (waiting or flying) and not suspects:
                while waiting and len(flying) < jobs:
                    task = waiting.popleft()
                    try:
                        flying[pool.submit(_read_one, task)] = task
                    except BrokenProcessPool:
                        suspects.append(task)
                        break
                for future in wait(flying, return_when=FIRST_COMPLETED).done:
                    task = flying.pop(future)
                    try:
                        result = future.result()
                    except BrokenProcessPool:
                        suspects.append(task)
                    else:
                        yield task, result
            suspects.extend(flying.values())
        for task in suspects:
            yield task, _read_alone(task)


def _read_alone(task: _Task) -> Reading | FailedReading:
    with _pool(1) as pool:
        try:
            return pool.submit(_read_one, task).result()
        except BrokenProcessPool:
            return _failed(
                task,
                "reader_killed",
                "error inside the reader (BrokenProcessPool: its process died, as when memory runs out); the other "
                "files are not affected: try it with --no-ocr or on a machine with more memory",
            )


@contextmanager
def _pool(jobs: int) -> Iterator[ProcessPoolExecutor]:
    """A pool whose processes end with it, at once where the stack is given up."""
    context = multiprocessing.get_context("spawn")  # the parent may hold threads and a lock that a fork would copy
    before = set(multiprocessing.active_children())
    pool = ProcessPoolExecutor(jobs, mp_context=context, initializer=_begin_worker)
    try:
        yield pool
    except BaseException:
        for child in set(multiprocessing.active_children()) - before:
            child.terminate()
        raise
    finally:
        pool.shutdown(wait=False, cancel_futures=True)


def _begin_worker() -> None:
    """Ctrl-C reaches the whole process group, and only the parent has something to say about it."""
    signal.signal(signal.SIGINT, lambda *_: os._exit(130))
    threading.Thread(target=_end_with_the_parent, daemon=True).start()


def _end_with_the_parent() -> None:
    """A worker whose parent was killed would read on for nobody."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)
