"""Pages as an eye sees them: a part of a page drawn as an image, in the places that words and evidence are told in.

`extract/raster.py` draws pages for a reader of letters; this is for a person.
"""

from io import BytesIO
from pathlib import Path
from threading import Lock

import pypdfium2

from firstcap.schema.errors import DamagedError
from firstcap.schema.evidence import Box

_LARGEST = 30_000_000  # pixels of one image: a page of poster size is drawn smaller
_turn = Lock()  # PDFium is not made for several threads


class Paper:
    """One PDF, open for drawing; close it when done. Raises DamagedError where the file or a page cannot be drawn."""

    def __init__(self, path: Path) -> None:
        self._name = path.name
        with _turn:
            try:
                self._document = pypdfium2.PdfDocument(path)
            except (pypdfium2.PdfiumError, OSError) as error:
                raise DamagedError("its pages cannot be drawn; ask for a fresh copy", file=path.name) from error

    @property
    def pages(self) -> int:
        with _turn:
            return len(self._document)

    def size(self, number: int) -> tuple[float, float]:
        """Width and height of a page in points, as it is seen; pages count from 1."""
        with _turn:
            page = self._page(number)
            try:
                width, height = page.get_size()
            finally:
                page.close()
        return width, height

    def draw(self, part: Box, *, scale: float) -> bytes:
        """A part of a page as a PNG in grey, `scale` pixels to a point."""
        with _turn:
            page = self._page(part.page)
            try:
                width, height = page.get_size()
                x0, x1 = max(0.0, part.x0), min(width, part.x1)
                top, bottom = max(0.0, part.top), min(height, part.bottom)
                if x1 - x0 < 1 or bottom - top < 1:
                    raise DamagedError("this part does not lie on the page", file=self._name, page=part.page)
                scale = min(scale, (_LARGEST / ((x1 - x0) * (bottom - top))) ** 0.5)
                image = page.render(scale=scale, grayscale=True, crop=(x0, height - bottom, width - x1, top)).to_pil()
            except pypdfium2.PdfiumError as error:
                raise DamagedError("this page cannot be drawn", file=self._name, page=part.page) from error
            finally:
                page.close()
        stream = BytesIO()
        image.save(stream, "PNG", compress_level=1)
        return stream.getvalue()

    def close(self) -> None:
        with _turn:
            self._document.close()

    def _page(self, number: int) -> pypdfium2.PdfPage:
        if not 1 <= number <= len(self._document):
            raise DamagedError(f"there is no page {number}", file=self._name, page=number)
        try:
            return self._document[number - 1]
        except pypdfium2.PdfiumError as error:
            raise DamagedError("this page cannot be drawn", file=self._name, page=number) from error
