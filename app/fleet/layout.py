"""How a CSV file is laid out: its encoding, its delimiter, the cells of its header."""

import csv
from pathlib import Path

from firstcap.schema.errors import UsageError
from firstcap.store.fleet import Sheet

_HEAD = 1 << 16
_DELIMITERS = ",;\t|"
_MARKS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"))


def sheet_of(path: Path, encoding: str | None = None) -> Sheet:
    """The layout of a list. UsageError where it cannot be read or has no header.

    The encoding is told by a byte-order mark and is UTF-8 otherwise; a spreadsheet's line `sep=;` names the delimiter,
    else it is the one that the header has most of.
    """
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD)
    except OSError as error:
        raise UsageError(f"cannot be read ({error.strerror or error})", file=str(path)) from error
    known = encoding or next((name for mark, name in _MARKS if head.startswith(mark)), "utf-8")
    try:
        text = head.decode(known, errors="ignore").removeprefix("\ufeff")
    except LookupError:
        raise UsageError(f"no encoding {known!r}; for example utf-8, utf-16, cp1252", file=str(path)) from None
    if "\0" in text:
        raise UsageError("is no CSV file; save the sheet as CSV first", file=str(path))
    lines = text.splitlines()
    skipped, told = 0, None
    if lines and lines[0].casefold().startswith("sep=") and len(lines[0].strip()) == 5:
        skipped, told = 1, lines[0].strip()[-1]
    while skipped < len(lines) and not lines[skipped].strip():
        skipped += 1
    if skipped >= len(lines):
        raise UsageError("is empty; its first line must name the columns", file=str(path))
    header = lines[skipped]
    delimiter = told or max(_DELIMITERS, key=header.count)
    names = tuple(name.strip() for name in next(csv.reader([header], delimiter=delimiter)))
    if known.casefold().replace("_", "-") in ("utf8", "utf-8-sig"):
        known = "utf-8"
    return Sheet(path, names, delimiter, known, skipped)
