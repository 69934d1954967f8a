"""Strips of the pages that values were read from, as images to stand inside a page that works without a network."""

import hashlib
from base64 import b64encode
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Protocol, TypeVar

from firstcap.app.report.rows import Views
from firstcap.schema.errors import FirstcapError
from firstcap.schema.evidence import Box

_ABOVE, _BESIDE = 9.0, 40.0  # points of paper around the words
_HIGHEST = 140.0  # points: a strip shows a place, not a page
_HEAD_REACH = 100.0  # points: how far above a row its head is looked for
SCALE = 1.6  # pixels to a point


class Located(Protocol):
    """A place of evidence: what `app.report.paper.Place` and `app.report.comparison.Ref` have in common."""

    @property
    def item(self) -> str: ...
    @property
    def field(self) -> str: ...
    @property
    def page(self) -> int: ...
    @property
    def quote(self) -> str | None: ...


class WithFiles(Views, Protocol):
    """A catalogue that remembers where its files lie."""

    def files(self, document_id: str) -> list[Path]: ...


_Place = TypeVar("_Place", bound=Located)
_BOXES = f"""
WITH boxes AS (
  SELECT e.item_id, e.field, e.page, e.quote, coalesce(t.document_id, e.item_id) AS document_id,
    min(e.x0_pt) AS x0, min(e.top_pt) AS top, max(e.x1_pt) AS x1, max(e.bottom_pt) AS bottom
  FROM evidence AS e LEFT JOIN terms AS t ON t.term_id = e.item_id
  GROUP BY ALL
)
SELECT b.*, min(coalesce(h.top, b.top)) AS head
FROM boxes AS b LEFT JOIN boxes AS h
  ON h.item_id = b.item_id AND h.page = b.page AND h.top < b.top AND h.bottom > h.top
  AND b.bottom - h.top <= {_HEAD_REACH} AND h.x0 < b.x1 AND h.x1 > b.x0
GROUP BY ALL
"""


def strips_of(catalogue: WithFiles, places: Iterable[_Place], *, with_heads: bool = False) -> dict[_Place, str]:
    """Data addresses of the strips, as far as the very files lie where they were read and can be drawn.

    `with_heads`: the strip of a whole sentence or row reaches up to what else the promise was read from close above it,
    as the head of its table, so that it can be understood alone.
    A file whose content is not that of the document any more is left alone. Empty without the program that draws pages.
    """
    try:
        from firstcap.extract.paper import Paper
    except ImportError:
        return {}
    wanted: dict[tuple[str, str, int, str | None], list[_Place]] = defaultdict(list)
    for place in places:
        wanted[place.item, place.field, place.page, place.quote].append(place)
    by_document: dict[str, list[tuple[Box, Sequence[_Place]]]] = defaultdict(list)
    for row in catalogue.rows(_BOXES):
        key = (str(row["item_id"]), str(row["field"]), int(str(row["page"])), row["quote"])
        found = wanted.get(key)  # type: ignore[arg-type]
        if found:
            top = float(str(row["head" if with_heads and row["field"] == "quote" else "top"]))
            by_document[str(row["document_id"])].append((_strip(row, top), found))
    drawn: dict[_Place, str] = {}
    for document_id, boxes in by_document.items():
        path = next((path for path in catalogue.files(document_id) if _is(path, document_id)), None)
        if path is None:
            continue
        made: dict[Box, str] = {}
        try:
            paper = Paper(path)
        except FirstcapError:
            continue
        try:
            for box, held in boxes:
                if box not in made:
                    made[box] = f"data:image/png;base64,{b64encode(paper.draw(box, scale=SCALE)).decode('ascii')}"
                drawn.update(dict.fromkeys(held, made[box]))
        except FirstcapError:
            pass  # what was drawn so far is kept; a page that cannot be drawn is no reason to go without a report
        finally:
            paper.close()
    return drawn


def _strip(row: dict[str, object], top: float) -> Box:
    x0, x1, bottom = (float(str(row[name])) for name in ("x0", "x1", "bottom"))
    low = min(bottom, top + _HIGHEST)
    return Box(
        page=int(str(row["page"])),
        x0=max(0.0, round(x0 - _BESIDE)),
        top=max(0.0, round(top - _ABOVE)),
        x1=round(x1 + _BESIDE),
        bottom=round(low + _ABOVE),
    )


def _is(path: Path, document_id: str) -> bool:
    try:
        return hashlib.sha256(path.read_bytes()).hexdigest() == document_id
    except OSError:
        return False


def shown_once(strips: Mapping[_Place, str]) -> tuple[dict[_Place, str], dict[_Place, _Place]]:
    """Each image at the first place that has it; the other places with the one where theirs is shown."""
    first: dict[str, _Place] = {}
    for place, image in strips.items():
        first.setdefault(image, place)
    images = {place: image for image, place in first.items()}
    return images, {place: first[image] for place, image in strips.items() if place not in images}
