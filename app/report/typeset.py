"""A `Paper` or a letter as PDF, typeset by typst: its wheel brings everything, nothing of the system is used.

The words of documents reach the typesetter as data and are never taken for its markup.
"""

import datetime
import json
import math
import re
import tempfile
from base64 import b64decode
from collections.abc import Callable, Mapping
from importlib.resources import files
from pathlib import Path
from typing import Any

from firstcap.app.report.letter import Letter, Quote
from firstcap.app.report.paper import Cell, Figure, Mark, Paper, Part, Place, Table, evidence_lines
from firstcap.app.report.strips import SCALE
from firstcap.schema.errors import UsageError

_MOST_CHARACTERS = 60  # of a cell, when the widths of columns are weighed
_LEAST_WIDTH = 8
_LETTER = 0.52  # the mean width of a letter, in ems
_SMALL, _INSET = 7.0, 9.0  # points: small print, and what stands beside the words of a cell
_POINTS_PER_MM = 72 / 25.4
_BREAK = "\N{ZERO WIDTH SPACE}"  # a line may be broken here


def write_pdf(paper: Paper, out: Path) -> None:
    """Typeset the report. UsageError where the typesetter is not installed."""
    _typeset("paper", lambda folder: _data(paper, folder), out)


def write_letter(letter: Letter, out: Path, strips: Mapping[Place, str]) -> None:
    """Typeset a letter with its enclosure; `strips` are page images as data addresses. UsageError as for a report."""
    _typeset("letter", lambda folder: _letter(letter, folder, strips), out)


def _typeset(name: str, data: Callable[[Path], dict[str, Any]], out: Path) -> None:
    try:
        import typst
    except ImportError:
        raise UsageError(
            "PDF needs the typesetter: pip install 'firstcap[pdf]'; HTML prints well too", file=str(out)
        ) from None
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder)
        for template in (f"{name}.typ", "tables.typ"):
            text = files("firstcap.app.report").joinpath(template).read_text(encoding="utf-8")
            (made / template).write_text(text, encoding="utf-8")
        (made / f"{name}.json").write_text(json.dumps(data(made), ensure_ascii=False), encoding="utf-8")
        document = typst.compile(
            str(made / f"{name}.typ"),
            root=folder,
            format="pdf",
            ignore_system_fonts=True,
            timestamp=datetime.datetime.now(tz=datetime.UTC).replace(microsecond=0),
        )
    assert isinstance(document, bytes)
    out.write_bytes(document)


def _letter(letter: Letter, folder: Path, strips: Mapping[Place, str]) -> dict[str, Any]:
    drawn: dict[str, str] = {}

    def image(place: Place | None) -> str:
        """The file of a place's strip; each image is written once."""
        address = strips.get(place) if place is not None else None
        if address is None:
            return ""
        if address not in drawn:
            drawn[address] = f"strip{len(drawn) + 1}.png"
            (folder / drawn[address]).write_bytes(b64decode(address.partition(",")[2]))
        return drawn[address]

    def paragraph(one: str | Quote) -> dict[str, Any]:
        if isinstance(one, str):
            return {"kind": "text", "text": one}
        where = f"{one.place.file_name}, page {one.place.page}" if one.place else ""
        file = image(one.place)
        told = {"kind": "quote", "text": one.words, "where": where, "before": one.before, "file": file}
        return {**told, "width": _width_pt(folder, file)}

    shown: dict[str, dict[str, Any]] = {}
    for place in letter.enclosure.places:
        if name := image(place):
            where = f"{place.file_name}, page {place.page}: {place.label}"
            told = {"file": name, "width": _width_pt(folder, name), "where": where, "words": place.quote or ""}
            shown.setdefault(name, told)
    return {
        "sender": list(letter.sender),
        "to": list(letter.to),
        "subject": letter.subject,
        "paragraphs": [paragraph(one) for one in letter.paragraphs],
        "open": letter.open,
        "doubts": list(letter.doubts),
        "sign": list(letter.sign),
        "strips": list(shown.values()),
        "enclosure": _data(letter.enclosure, folder),
    }


def _width_pt(folder: Path, name: str) -> float:
    """How wide a strip is on its page: from the head of the PNG, at the scale strips are drawn with."""
    return int.from_bytes((folder / name).read_bytes()[16:20]) / SCALE if name else 0.0


def _data(paper: Paper, folder: Path) -> dict[str, Any]:
    number = 0

    def part_data(part: Part) -> dict[str, Any]:
        nonlocal number
        if isinstance(part, str):
            return {"kind": "text", "text": part}
        if isinstance(part, Table):
            return _table(part)
        number += 1
        name = f"figure{number}.svg"
        (folder / name).write_text(plain_svg(part), encoding="utf-8")
        return {"kind": "figure", "file": name, "says": part.says, "height": _height(part)}

    return {
        "title": paper.title,
        "lead": paper.lead,
        "statuses": [{"text": one.text, "open": one.open} for one in paper.statuses],
        "sections": [{"heading": s.heading, "parts": [part_data(part) for part in s.parts]} for s in paper.sections],
        "places": evidence_lines(paper.places),
        "lists": [
            ["How it was reckoned", list(paper.assumptions)],
            ["Sources", list(paper.sources)],
            ["Cautions", list(paper.cautions)],
        ],
    }


_LINE_MM, _HIGHEST_MM = 262.0, 150.0  # the width of the text, and what of a page a drawing may take
_SIZE = re.compile(r'viewBox="[\d.]+ [\d.]+ ([\d.]+) ([\d.]+)"')


def _height(figure: Figure) -> float:
    """The height of a drawing in mm: the full width of the text where that leaves room on the page."""
    found = _SIZE.search(str(figure.svg))
    return min(_HIGHEST_MM, _LINE_MM * float(found[2]) / float(found[1])) if found else _HIGHEST_MM


def _table(table: Table) -> dict[str, Any]:
    size = 7.0 if len(table.columns) > 9 else 8.0
    return {
        "kind": "table",
        "title": table.title,
        "note": table.note,
        "columns": [{"title": _broken(c.title), "unit": c.unit} for c in table.columns],
        "size": size,
        "widths": _widths(table, size),
        "numeric": [
            bool(table.rows)
            and all(row[place].number is not None or not row[place].text.strip("—") for row in table.rows)
            for place in range(len(table.columns))
        ],
        "rows": [[_cell(cell) for cell in row] for row in table.rows],
    }


def _widths(table: Table, size: float) -> list[float]:
    """The columns' shares of the line: room for the longest word of each, the rest by cells, long prose counting less.

    A word that does not fit would be printed over its neighbour.
    """
    least, wishes = [], []
    for place, column in enumerate(table.columns):
        cells = [_cell(row[place]) for row in table.rows]
        words = [word for text in [_broken(column.title), *(cell["text"] for cell in cells)] for word in _words(text)]
        small = [word for text in [column.unit or "", *(cell["more"] or "" for cell in cells)] for word in _words(text)]
        longest = max([*map(len, words), *(len(word) * _SMALL / size for word in small)], default=1)
        least.append(longest * size * _LETTER + _INSET)
        longest_cell = max((min(_MOST_CHARACTERS, len(cell["text"])) for cell in cells), default=0)
        wishes.append(math.pow(max(_LEAST_WIDTH, len(column.title), longest_cell), 0.75))
    room = max(0.0, _LINE_MM * _POINTS_PER_MM - sum(least))
    return [width + room * wish / sum(wishes) for width, wish in zip(least, wishes, strict=True)]


def _words(text: str) -> list[str]:
    """The pieces between which a line may be broken."""
    return re.split(f"[ {_BREAK}]", text)


def _broken(text: str) -> str:
    """The text with places to break a long name: after the joints of file names and the like."""
    return re.sub(r"(?<=\w)([_/.])(?=[^\W\d])", rf"\1{_BREAK}", text)


def _cell(cell: Cell) -> dict[str, Any]:
    pages = sorted({place.page for place in cell.places})
    return {
        "text": cell.signed.replace(" ", "\N{NO-BREAK SPACE}") if cell.mark is Mark.FLAG else _broken(cell.signed),
        "mark": cell.mark.value,
        "more": None if cell.more is None else _broken(cell.more),
        "pages": f"p. {', '.join(map(str, pages))}" if pages else "",
    }


_STYLE = re.compile(r"<style>(.*?)</style>", re.DOTALL)
_ROOT = re.compile(r":root\s*\{(.*?)\}", re.DOTALL)
_VARIABLE = re.compile(r"--([\w-]+):\s*([^;]+);")
_USE = re.compile(r"var\(--([\w-]+)\)")
_MEDIA = re.compile(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}", re.DOTALL)


def plain_svg(figure: Figure) -> str:
    """The drawing with its colours written out, light on white, for renderers that know no CSS variables."""
    svg = str(figure.svg)
    found = _STYLE.search(svg)
    if found is None:
        return svg
    css = _MEDIA.sub("", found[1])
    root = _ROOT.search(css)
    values = dict(_VARIABLE.findall(root[1])) if root else {}
    values["sans"] = '"Libertinus Serif"'
    css = _USE.sub(lambda use: values.get(use[1], "#000"), _ROOT.sub("", css))
    return svg[: found.start()] + f"<style>{css.replace('&quot;', chr(34))}</style>" + svg[found.end() :]
