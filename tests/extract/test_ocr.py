"""Scans: what stands on the image is read, to the last figure; what cannot be read says so and says what to do.

The words of each scanned fixture as they were before rasterising stand beside it (`NAME.words.txt`).
"""

import socket
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from math import hypot
from pathlib import Path
from typing import NoReturn

import cv2
import numpy as np
import pytest
from drawn import Paper

from firstcap.extract import ocr, raster, reading
from firstcap.extract.ocr import ScannedPage, Tilt, read_pages, wants_ocr
from firstcap.extract.page import Origin, Word
from firstcap.extract.pdf import Panel, RawPage, Rule, open_document, ruled_grids
from firstcap.extract.reading import read
from firstcap.extract.scanned import separators_doubted
from firstcap.schema.errors import NoTextError
from firstcap.schema.evidence import Box
from firstcap.schema.vocabulary import TextSource, WarningKind

DOCUMENTS = Path(__file__).parents[2] / "fixtures" / "documents"
SCANS = {"fallowdeep_scan": 1, "gorsebank_scan": 1, "rushmere_fax": 1, "tollerdown_wrong_layer": 1}


def _unreachable(*_: object, **__: object) -> NoReturn:
    raise AssertionError("reading a scan reached for a network")


@pytest.fixture(scope="module")
def scanned() -> Callable[[str], ScannedPage]:
    """The page that a fixture's image shows, read once and with every network out of reach."""
    known: dict[str, ScannedPage] = {}

    def page(name: str) -> ScannedPage:
        if name not in known:
            with pytest.MonkeyPatch.context() as patch:
                patch.setattr(socket.socket, "connect", _unreachable)
                patch.setattr(socket, "getaddrinfo", _unreachable)
                number = SCANS[name]
                known[name] = read_pages(DOCUMENTS / f"{name}.pdf", [number])[number]
        return known[name]

    return page


def _numbers(texts: list[str]) -> Counter[str]:
    plain = (text.translate(str.maketrans("“”’–", '""\'-')).strip(".,;:()\"'") for text in texts)
    return Counter(text for text in plain if any(char.isdigit() for char in text))


@pytest.mark.parametrize("name", SCANS)
def test_every_number_of_a_scan_is_read_and_none_is_made_up(name: str, scanned: Callable[[str], ScannedPage]) -> None:
    printed = (DOCUMENTS / f"{name}.words.txt").read_text(encoding="utf-8").split()
    truth, found = _numbers(printed), _numbers([word.text for word in scanned(name).words])
    assert truth.total() >= 10
    assert found == truth


@pytest.mark.parametrize("name", SCANS)
def test_words_of_a_scan_say_that_they_are_and_how_sure(name: str, scanned: Callable[[str], ScannedPage]) -> None:
    words = scanned(name).words
    assert {word.origin for word in words} == {Origin.OCR}
    assert all(0 < word.confidence <= 1 for word in words)
    printed = Counter((DOCUMENTS / f"{name}.words.txt").read_text(encoding="utf-8").split())
    found = Counter(word.text for word in words)
    assert (printed & found).total() >= 0.97 * printed.total()


def test_the_plus_or_minus_sign_survives_a_fax(scanned: Callable[[str], ScannedPage]) -> None:
    texts = [word.text for word in scanned("rushmere_fax").words]
    assert sum("±" in text for text in texts) == 2


def test_no_mark_is_seen_where_none_is_printed(scanned: Callable[[str], ScannedPage]) -> None:
    assert [word.text for name in SCANS for word in scanned(name).words if word.mark] == []


def test_the_ruled_table_of_a_scan_is_a_grid(scanned: Callable[[str], ScannedPage]) -> None:
    (grid,) = ruled_grids(scanned("gorsebank_scan").rules, ())
    assert len(grid) == 22, "ten years and a header, two columns"


def test_bold_is_seen_by_its_strokes(scanned: Callable[[str], ScannedPage]) -> None:
    words = scanned("gorsebank_scan").words
    bold = {word.text for word in words if word.bold}
    assert {"Year", "Customer", "pays"} <= bold
    assert sum(word.bold for word in words) < 0.2 * len(words)


@pytest.mark.parametrize(
    ("printed", "doubted"),
    [
        (["640,000", "1,200,000", "540.000"], ["540.000"]),
        (["6.500", "10.500", "16,000"], ["16,000"]),
        (["640,000", "1.200,000"], ["1.200,000"]),  # one number that mixes both
        (["640,000", "540.000"], ["640,000", "540.000"]),  # nobody can tell which is worn
        (["640,000", "98.5", "1.25", "0.125"], []),
    ],
)
def test_a_worn_separator_of_thousands_is_doubted(printed: list[str], doubted: list[str]) -> None:
    words = [Word(text, 1, 0, 10 * row, 40, 10 * row + 8, origin=Origin.OCR) for row, text in enumerate(printed)]
    assert [word.text for word in separators_doubted(words) if word.confidence < 0.8] == doubted


# --- the whole reading ------------------------------------------------------------------------------------------------


@pytest.fixture
def without_reading_again(monkeypatch: pytest.MonkeyPatch, scanned: Callable[[str], ScannedPage]) -> None:
    """`read` uses the pages that this module has read already."""

    def known(path: Path, pages: list[int]) -> dict[int, ScannedPage]:
        assert pages == [SCANS[path.stem]]
        return {SCANS[path.stem]: scanned(path.stem)}

    monkeypatch.setattr(ocr, "read_pages", known)


@pytest.mark.usefixtures("without_reading_again")
def test_a_wrong_hidden_layer_gives_way_to_the_image() -> None:
    path = DOCUMENTS / "tollerdown_wrong_layer.pdf"
    said = read(path)
    assert said.text_source is TextSource.OCR
    assert [(warning.kind, warning.page) for warning in said.warnings if warning.kind is WarningKind.OCR] == [
        (WarningKind.OCR, 1)
    ]
    caps = {limit.usgal for term in said.terms for limit in term.limits if limit.usgal is not None}
    assert caps == {540_000, 1_620_000, 790_000, 2_370_000}
    layer = {word.text for word in open_document(path).pages[0].words}
    assert "540,000" not in layer, "the layer is wrong, or this test shows nothing"


def test_text_and_scan_in_one_document_are_read_together() -> None:
    said = read(DOCUMENTS / "inkpen_mixed.pdf")
    assert said.text_source is TextSource.MIXED
    assert [warning.page for warning in said.warnings if warning.kind is WarningKind.OCR] == [2]
    caps = {limit.usgal for term in said.terms for limit in term.limits if limit.usgal is not None}
    assert {610_000, 1_480_000, 1_120_000, 2_960_000, 1_930_000, 4_870_000} <= caps


@pytest.mark.usefixtures("without_reading_again")
def test_evidence_of_a_leaning_scan_lies_on_the_page_as_scanned() -> None:
    said = read(DOCUMENTS / "gorsebank_scan.pdf")
    boxes = [box for term in said.terms for evidence in term.evidence for box in evidence.boxes]
    assert boxes
    _, gray, scale = next(raster.drawn(DOCUMENTS / "gorsebank_scan.pdf", [1]))
    for box in boxes:
        inside = gray[round(box.top * scale) : round(box.bottom * scale), round(box.x0 * scale) : round(box.x1 * scale)]
        assert inside.min() < 110, f"no ink in {box}"


def test_a_scan_with_no_reader_of_images_says_how_to_get_one(monkeypatch: pytest.MonkeyPatch) -> None:
    for module in (ocr, reading):
        monkeypatch.setattr(module, "is_available" if module is ocr else "ocr_is_available", lambda: False)
    with pytest.raises(NoTextError, match=r"firstcap\[ocr\]"):
        read(DOCUMENTS / "rushmere_fax.pdf")


def test_a_scan_is_left_alone_where_reading_images_is_switched_off() -> None:
    with pytest.raises(NoTextError, match="switched off"):
        read(DOCUMENTS / "rushmere_fax.pdf", ocr=False)
    said = read(DOCUMENTS / "inkpen_mixed.pdf", ocr=False)
    assert said.text_source is TextSource.TEXT
    little = [(w.kind, w.page) for w in said.warnings if w.kind is WarningKind.LITTLE_TEXT]
    assert little == [(WarningKind.LITTLE_TEXT, 2)]


def test_nothing_heavy_is_loaded_before_a_page_has_to_be_read() -> None:
    script = (
        "import sys; import firstcap.extract.reading; "
        "sys.exit(str({'rapidocr', 'onnxruntime', 'cv2'} & set(sys.modules)) if "
        "{'rapidocr', 'onnxruntime', 'cv2'} & set(sys.modules) else 0)"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0


# --- which pages ------------------------------------------------------------------------------------------------------


def _page(words: int, image_area: float, *, hidden: bool = False) -> RawPage:
    origin = Origin.OCR if hidden else Origin.TEXT
    said = tuple(Word("word", 1, 10, 10 * index, 40, 10 * index + 8, origin=origin) for index in range(words))
    return RawPage(1, 612, 792, said, image_area=image_area, unseen=1.0 if hidden else 0.0)


@pytest.mark.parametrize(
    ("page", "wanted", "why"),
    [
        (_page(0, 1.0), True, "an image and not one word"),
        (_page(3, 0.95), True, "a page number laid over a scan"),
        (_page(300, 1.0, hidden=True), True, "a hidden layer: the image is what people see"),
        (_page(300, 1.0), False, "text over a tinted background image"),
        (_page(40, 0.2), False, "text and a picture"),
        (_page(3, 0.2), False, "a sheet with little text and a logo"),
        (_page(0, 0.0), False, "an empty page"),
    ],
)
def test_pages_are_read_from_their_image_where_their_words_are_not_what_is_seen(
    page: RawPage, wanted: bool, why: str
) -> None:
    assert wants_ocr(page) is wanted, why


# --- the image --------------------------------------------------------------------------------------------------------


def _sheet_of(path: Path, degrees: float = 0.0) -> raster.Sheet:
    _, gray, scale = next(raster.drawn(path, [1]))
    height, width = gray.shape
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    turned = cv2.warpAffine(gray, turn, (width, height), flags=cv2.INTER_CUBIC, borderValue=(255.0,))
    return raster.sheet(np.asarray(turned, dtype=np.uint8), scale)


@pytest.fixture(scope="module")
def ruled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Prose in close-set small capitals above a table of two rows and two columns."""
    paper = Paper(tmp_path_factory.mktemp("scan") / "ruled.pdf")
    top = paper.wrapped(72, 100, 460, "MINIMUM MAXIMUM REGISTRATION IN UNINTERRUPTED USE " * 8, leading=12)
    for y in (top + 20, top + 40, top + 60):
        paper.rule(100, y, 400, y)
    for x in (100, 250, 400):
        paper.rule(x, top + 20, x, top + 60)
    paper.text(110, top + 34, "5/8 inch")
    paper.text(260, top + 54, "500,000")
    return paper.done()


@pytest.mark.parametrize("degrees", [-4.0, -0.5, 0.0, 0.3, 2.2])
def test_a_leaning_page_is_set_upright(ruled: Path, degrees: float) -> None:
    sheet = _sheet_of(ruled, degrees)
    assert sheet.degrees == pytest.approx(-degrees, abs=0.06)


@pytest.mark.parametrize("degrees", [0.0, 1.3])
def test_ruling_lines_are_told_from_the_feet_of_letters(ruled: Path, degrees: float) -> None:
    sheet = _sheet_of(ruled, degrees)
    assert [rule.horizontal for rule in sheet.rules].count(True) == 3
    assert [rule.horizontal for rule in sheet.rules].count(False) == 3
    (grid,) = ruled_grids(sheet.rules, ())
    assert len(grid) == 4


def test_dust_goes_and_stops_stay() -> None:
    gray = np.full((400, 600), 255, np.uint8)
    cv2.putText(gray, "98", (100, 200), cv2.FONT_HERSHEY_SIMPLEX, 1.0, (0,), 2)
    foot = max(np.flatnonzero((gray < 128).any(axis=1))) + 1
    right = max(np.flatnonzero((gray < 128).any(axis=0))) + 1
    gray[foot - 2 : foot, right + 3 : right + 5] = 0  # a decimal point of two by two pixels
    gray[60:62, 300:302] = 0  # dust of the same size, away from any letter
    ink = raster.sheet(gray, 200 / 72).ink
    assert ink[foot - 2 : foot, right + 3 : right + 5].any()
    assert not ink[50:70, 290:310].any()


def test_a_box_turned_back_holds_the_corner_it_came_from() -> None:
    tilt = Tilt(degrees=2.0, x=306, y=396)
    box = tilt.on_page(Box(page=1, x0=500, top=100, x1=540, bottom=110))
    for x, y in ((box.x0, box.top), (box.x1, box.bottom)):
        assert hypot(x - 306, y - 396) == pytest.approx(hypot(520 - 306, 105 - 396), rel=0.08)
    assert box.x1 - box.x0 >= 39
    assert box.page == 1


def test_a_panel_is_no_part_of_a_scans_grid() -> None:
    assert ruled_grids((Rule(0, 0, 100, 0),), (Panel(0, 0, 10, 10, framed=False, filled=True),)) == ()
