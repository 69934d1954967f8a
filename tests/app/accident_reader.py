"""A reader of files that hold words instead of pages; a module of its own, light for the processes that import it."""

import hashlib
import os
import time
from pathlib import Path

from firstcap.schema.errors import DamagedError
from firstcap.schema.terms import DocumentFacts, Reading
from firstcap.schema.vocabulary import TextSource

READER = "reader for tests 1"


def read_words(path: Path, *, max_pages: int, ocr: bool) -> Reading:
    """Reads a file by what is written in it: a reading, or the accident it asks for."""
    words = path.read_text(encoding="utf-8")
    if "damaged" in words:
        raise DamagedError("the file ends early; ask for a new copy", file=path.name, page=2)
    if "bug" in words:
        raise ZeroDivisionError("division by zero")
    if "kill" in words:
        os._exit(9)
    if "slow" in words:
        time.sleep(0.3)
    if "endless" in words:
        path.with_suffix(".worker").write_text(str(os.getpid()), encoding="utf-8")
        while True:
            try:
                time.sleep(0.01)
            except Exception:
                continue
    if "options" in words:
        raise DamagedError(f"max_pages={max_pages} ocr={ocr}")
    return Reading(
        document_id=hashlib.sha256(path.read_bytes()).hexdigest(),
        file_name=path.name,
        pages=1,
        text_source=TextSource.TEXT,
        facts=DocumentFacts(supplier="Quailbrush Meters"),
        reader=READER,
    )
