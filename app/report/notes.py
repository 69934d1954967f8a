"""What a reader of a CSV file must know and the file itself cannot say: a short text beside it.

A comment inside the file would be a row to most programs that read CSV.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

from firstcap.schema.errors import UsageError


def write_notes(out: Path, cautions: Sequence[str], meanings: Mapping[str, str] | None = None) -> Path:
    """Write `x.notes.txt` beside `x.csv`: the cautions, and what words in its cells mean. UsageError if it cannot."""
    notes = out.with_name(f"{out.stem}.notes.txt")
    lines = [f"To {out.name}, which is not to be passed on without this text.", "", *(f"- {one}" for one in cautions)]
    if meanings:
        lines += ["", "What words in its columns mean:", ""]
        lines += [f"{word}: {meaning}" for word, meaning in meanings.items()]
    try:
        notes.write_text("\n".join(lines) + "\n", encoding="utf-8")
    except OSError as error:
        raise UsageError(
            f"cannot be written ({error.strerror or error}); choose another place", file=str(notes)
        ) from error
    return notes
