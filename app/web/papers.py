"""Images of pages, drawn from the PDFs where they lie now; strips that come next are drawn ahead.

A file is shown only while its bytes are those that were read: a strip of another edition beside our sentence would be
worse than none.
"""

import hashlib
from collections import OrderedDict
from pathlib import Path
from threading import Lock

from firstcap.extract.paper import Paper
from firstcap.schema.errors import DocumentError
from firstcap.schema.evidence import Box
from firstcap.store.catalogue import Catalogue

SCALE = 2.5  # pixels to a point
_KEPT_BYTES = 64_000_000
_OPEN_FILES = 8


class MissingPaperError(DocumentError):
    """The file of a document is not where it was, or is not the same any more."""

    code = "missing_paper"


class Papers:
    """Draws parts of pages and keeps the images it drew. Safe to use from several threads."""

    def __init__(self, catalogue: Catalogue) -> None:
        self._catalogue = catalogue
        self._lock = Lock()
        self._open: OrderedDict[str, Paper] = OrderedDict()
        self._images: OrderedDict[tuple[str, Box], bytes] = OrderedDict()
        self._bytes = 0
        self._sizes: dict[tuple[str, int], tuple[float, float]] = {}

    def image(self, document_id: str, part: Box) -> bytes:
        """A part of a page as a PNG. Raises MissingPaperError, or DamagedError where it cannot be drawn."""
        with self._lock:
            kept = self._images.get((document_id, part))
            if kept is not None:
                self._images.move_to_end((document_id, part))
                return kept
            drawn = self._paper(document_id).draw(part, scale=SCALE)
            self._images[document_id, part] = drawn
            self._bytes += len(drawn)
            while self._bytes > _KEPT_BYTES:
                self._bytes -= len(self._images.popitem(last=False)[1])
            return drawn

    def page_size(self, document_id: str, number: int) -> tuple[float, float]:
        """Width and height in points. Raises as `image` does."""
        with self._lock:
            known = self._sizes.get((document_id, number))
            if known is None or document_id not in self._open:
                known = self._sizes[document_id, number] = self._paper(document_id).size(number)
            return known

    def path(self, document_id: str) -> Path:
        """Where the file lies. Raises MissingPaperError where it cannot be found with the bytes that were read."""
        for path in self._catalogue.files(document_id):
            try:
                with path.open("rb") as stream:
                    if hashlib.file_digest(stream, "sha256").hexdigest() == document_id:
                        return path
            except OSError:
                continue
        raise MissingPaperError(
            "the PDF is not where it was read, or it has changed since; put it back, or run `firstcap read` on the "
            "folder where it lies now"
        )

    def close(self) -> None:
        with self._lock:
            while self._open:
                self._open.popitem()[1].close()

    def _paper(self, document_id: str) -> Paper:
        paper = self._open.get(document_id)
        if paper is None:
            paper = self._open[document_id] = Paper(self.path(document_id))
            if len(self._open) > _OPEN_FILES:
                self._open.popitem(last=False)[1].close()
        self._open.move_to_end(document_id)
        return paper
