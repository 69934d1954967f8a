"""Readings of files by the code of any revision, kept per code and file in bench/.cache (ignored by git).

Two revisions with the same code under extract/ and schema/ and the same locked libraries share their readings.
"""

import hashlib
import io
import json
import os
import subprocess
import sys
import tarfile
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from scoring import as_gold, failed

ROOT = Path(__file__).resolve().parent.parent
CACHE = ROOT / "bench" / ".cache"
CODE = ("extract", "schema")
WORKING = "working tree"


def last_release() -> str:
    """The newest release tag (`v1.2.3`) behind the working tree."""
    tag = _git("describe", "--tags", "--abbrev=0", "--match", "v[0-9]*", check=False)
    if not tag:
        raise SystemExit("no release is tagged here (v1.2.3); fetch the tags, or name a revision with --against")
    return tag


def readings(files: Sequence[Path], revision: str | None = None, *, jobs: int = 2) -> dict[Path, dict[str, Any]]:
    """What the code of `revision` (None: the working tree) reads of each file, as JSON; `failed` names a failure."""
    with _tree(revision) as tree:
        folder = CACHE / _code_id(tree)
        folder.mkdir(parents=True, exist_ok=True)
        kept = {path: folder / f"{hashlib.sha256(path.read_bytes()).hexdigest()}.json" for path in files}
        wanted = [path for path in files if not kept[path].exists()]
        _read(tree, folder, wanted, jobs)
    return {path: json.loads(target.read_text()) for path, target in kept.items()}


def told(reading: dict[str, Any]) -> dict[str, Any]:
    """A reading in the form of a gold file."""
    return failed() if "failed" in reading else as_gold(reading)


def find_files(places: Sequence[Path]) -> list[Path]:
    """PDFs as named and below folders, each once, by name."""
    found = {
        path.resolve(): path for place in places for path in ([place] if place.is_file() else place.rglob("*.pdf"))
    }
    return sorted(found.values(), key=lambda path: path.name)


def gold_of(path: Path) -> dict[str, Any] | None:
    beside = path.with_suffix(".gold.json")
    return json.loads(beside.read_text(encoding="utf-8")) if beside.exists() else None


def _read(tree: Path, folder: Path, files: list[Path], jobs: int) -> None:
    """In processes of their own, so that each runs the tree's code and no other."""
    environment = {**os.environ, "PYTHONPATH": str(tree / ".typing")}
    shares = [files[start::jobs] for start in range(jobs) if files[start::jobs]]
    command = [sys.executable, str(Path(__file__).with_name("dump.py")), str(folder)]
    running = [subprocess.Popen([*command, *map(str, share)], env=environment) for share in shares]
    ended = [process.wait() for process in running]
    if any(ended):
        raise SystemExit("reading stopped with an error; see above")


@contextmanager
def _tree(revision: str | None) -> Iterator[Path]:
    """The code of a revision in a temporary folder; the working tree itself for None."""
    if revision is None:
        yield ROOT
        return
    packed = subprocess.run(
        ["git", "archive", revision, *CODE, ".typing"], cwd=ROOT, check=True, stdout=subprocess.PIPE
    ).stdout
    with tempfile.TemporaryDirectory() as folder:
        with tarfile.open(fileobj=io.BytesIO(packed)) as archive:
            archive.extractall(folder, filter="tar")
        yield Path(folder)


def _code_id(tree: Path) -> str:
    digest = hashlib.sha256((ROOT / "requirements.lock").read_bytes())
    for room in CODE:
        for path in sorted((tree / room).rglob("*")):
            if path.is_file() and "__pycache__" not in path.parts:
                digest.update(str(path.relative_to(tree)).encode())
                digest.update(path.read_bytes())
    return digest.hexdigest()[:16]


def _git(*arguments: str, check: bool = True) -> str:
    done = subprocess.run(["git", *arguments], cwd=ROOT, check=check, capture_output=True, text=True)
    return done.stdout.strip()
