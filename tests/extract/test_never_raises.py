"""Whatever stands on a page and however a file is damaged: a reading, or an error with advice; nothing else."""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from drawn import Paper
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firstcap.extract.reading import read
from firstcap.schema.errors import DocumentError
from firstcap.schema.terms import Reading

FIXTURES = Path(__file__).parents[2] / "fixtures"
# One small paper of each producer: each writes its cross references, streams and fonts in its own way.
PAPERS = {
    "typst": "documents/bellwright_units.pdf",
    "reportlab": "documents/saltgrove_amendment.pdf",
    "libreoffice": "documents/norrbeck_service_life.pdf",
    "chromium": "documents/greywether_datasheet.pdf",
}


@cache
def paper(producer: str) -> bytes:
    return (FIXTURES / PAPERS[producer]).read_bytes()


def reads_or_advises(path: Path) -> Reading | None:
    """The reading, or None for an error with advice in it."""
    try:
        return read(path, ocr=False)
    except DocumentError as error:
        assert error.code and len(str(error)) > 20
        return None


def cut(content: bytes, data: st.DataObject) -> bytes:
    """A transfer that ended early."""
    return content[: data.draw(st.integers(0, len(content)))]


def flipped(content: bytes, data: st.DataObject) -> bytes:
    """Bits turned over in a few places."""
    damaged = bytearray(content)
    for place in data.draw(st.lists(st.integers(0, len(content) * 8 - 1), min_size=1, max_size=30)):
        damaged[place // 8] ^= 1 << place % 8
    return bytes(damaged)


def wrong_references(content: bytes, data: st.DataObject) -> bytes:
    """A cross reference that points elsewhere, as after an edit with the wrong tool."""
    tail = re.search(rb"startxref\s+(\d+)", content)
    assert tail is not None
    if data.draw(st.booleans()):
        elsewhere = data.draw(st.integers(0, 2 * len(content)))
        return content[: tail.start(1)] + str(elsewhere).encode() + content[tail.end(1) :]
    entries = list(re.finditer(rb"\b\d{10}(?= \d{5} n)", content))
    if not entries:  # the table is a packed stream: leave its bytes out
        return content[: int(tail[1])] + content[tail.start() :]
    entry = data.draw(st.sampled_from(entries))
    return content[: entry.start()] + b"%010d" % data.draw(st.integers(0, len(content))) + content[entry.end() :]


def spliced(content: bytes, data: st.DataObject) -> bytes:
    """A block of the file lost, doubled or overwritten with noughts."""
    first, last = sorted(data.draw(st.tuples(*[st.integers(0, len(content))] * 2)))
    middle = {"lost": b"", "doubled": content[first:last] * 2, "noughts": bytes(last - first)}
    return content[:first] + middle[data.draw(st.sampled_from(sorted(middle)))] + content[last:]


@pytest.mark.parametrize("damage", [cut, flipped, wrong_references, spliced], ids=lambda damage: damage.__name__)
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(producer=st.sampled_from(sorted(PAPERS)), data=st.data())
def test_a_damaged_file_is_read_or_refused_with_advice(
    producer: str, damage: Callable[[bytes, st.DataObject], bytes], data: st.DataObject, tmp_path: Path
) -> None:
    path = tmp_path / "damaged.pdf"
    path.write_bytes(damage(paper(producer), data))
    reads_or_advises(path)


WORDS = (
    'Warranty Register Battery 5/8" 1-1/2 inch meters Accuracy Table 1 Years Gallons x 1000 10 20 (10/10) 500,000 1.5 '
    "MG for from shipment installation the first whichever comes is warranted to be free defects in materials and "
    "workmanship until it has registered not less than 98.5 % nor more 101.5 within gpm 1/4 to prorated thereafter 50% "
    "list price void if tampered frozen excluded notice writing 30 days * † (1) – — : ; . , ... .... $ ± ½ § © é ü ñ "
    "means Period Section 3.1 no later six months after a an of or"
).split()
LINE = st.one_of(
    st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join),
    st.text(st.characters(min_codepoint=32, max_codepoint=255, exclude_categories=["Cc"]), max_size=60),
)


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    lines=st.lists(
        st.tuples(LINE, st.sampled_from([54, 72, 200, 330, 450]), st.sampled_from([7, 10, 10, 16])), max_size=24
    ),
    ruled=st.booleans(),
)
def test_any_words_anywhere_on_a_page_are_read(lines: list[tuple[str, int, int]], ruled: bool, tmp_path: Path) -> None:
    drawing = Paper(tmp_path / "any.pdf")
    for number, (words, x, points) in enumerate(lines):
        drawing.text(x, 72 + 14 * (number // 2 if x > 100 else number), words, points=points)
        if ruled:
            drawing.rule(54, 76 + 14 * number, 558)
            drawing.rule(54 + 60 * (number % 9), 62, 54 + 60 * (number % 9), 400)
    reading = reads_or_advises(drawing.done())
    if reading is not None:
        assert all(0 <= term.confidence <= 1 for term in reading.terms)
        assert all(evidence.boxes and evidence.quote for term in reading.terms for evidence in term.evidence)
