"""From bytes to words: what is printed is read once, as it is meant; what cannot be read says why."""

from pathlib import Path

import pytest
from drawn import HEIGHT, Paper, read, tables, texts
from reportlab.lib import pdfencrypt

from firstcap.extract.page import BlockKind, Origin
from firstcap.extract.pdf import RawPage, open_document
from firstcap.schema.errors import (
    DamagedError,
    DocumentError,
    EncryptedError,
    NoPagesError,
    NotAPdfError,
    TooManyPagesError,
)


def _words(page: RawPage) -> list[str]:
    return [word.text for word in page.words if not word.mark]


def _first_page(path: Path) -> RawPage:
    return open_document(path).pages[0]


# --- words ------------------------------------------------------------------------------------------------------------


def test_a_raised_figure_after_a_number_is_a_mark_and_no_digit_of_it(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "raised.pdf")
    end = paper.text(72, 100, "1,500,000")
    paper.text(end, 96.5, "1", points=6.5)
    end = paper.text(72, 130, "10 years")
    paper.text(end, 126.5, "2", points=6.5)
    page = _first_page(paper.done())
    assert _words(page) == ["1,500,000", "10", "years"]
    assert [word.text for word in page.words if word.mark] == ["1", "2"]


def test_text_rise_marks_too(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "rise.pdf")
    line = paper.canvas.beginText(72, HEIGHT - 100)
    line.textOut("750,000")
    line.setRise(4)
    line.setFont("Times-Roman", 6)
    line.textOut("3")
    paper.canvas.drawText(line)
    page = _first_page(paper.done())
    assert {(word.text, word.mark) for word in page.words} == {("750,000", False), ("3", True)}


@pytest.mark.parametrize(
    ("printed", "words", "marks"),
    [
        ("20*", ["20"], ["*"]),
        ("10(2)", ["10"], ["2"]),
        ("98.5%†", ["98.5%"], ["†"]),
        ("5,000**", ["5,000"], ["**"]),
        ("(5)", ["(5)"], []),  # digits beside their word: "five (5)"
        ("years(5)", ["years(5)"], []),
    ],
)
def test_signs_glued_to_a_value_part_from_it(tmp_path: Path, printed: str, words: list[str], marks: list[str]) -> None:
    paper = Paper(tmp_path / "glued.pdf").font("Helvetica", 10)
    paper.text(72, 100, printed.encode("cp1252", "ignore").decode("cp1252"))
    page = _first_page(paper.done())
    assert _words(page) == words
    assert [word.text for word in page.words if word.mark] == marks


def test_raised_glyphs_of_full_size_are_marks_too(tmp_path: Path) -> None:
    import typst

    source = tmp_path / "glyphs.typ"
    source.write_text(
        '#set text(font: "Libertinus Serif", size: 10pt)\n'
        "Ten years#super[1] or 2,250,000#super[2] gallons, 15 or 12 or 11 years, 21 months, 110 days, between "
        "Q#sub[1] and Q#sub[2], 4 m#super[3]/h.\n"
    )
    path = tmp_path / "glyphs.pdf"
    typst.compile(str(source), output=str(path))
    page = _first_page(path)
    assert [word.text for word in page.words if word.mark] == ["1", "2"]
    assert {"years", "2,250,000", "11", "110", "Q1", "Q2,", "m3/h."} <= set(_words(page))


def test_cubic_metres_keep_their_power_and_what_follows(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "power.pdf")
    end = paper.text(72, 100, "2.5 m")
    end = paper.text(end, 96.5, "3", points=6.5)
    paper.text(end, 100, "/h and 30 m\u00b3 in all")
    assert _words(_first_page(paper.done())) == ["2.5", "m3/h", "and", "30", "m3", "in", "all"]


def test_a_vulgar_fraction_stands_apart_from_the_whole_number(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "fraction.pdf")
    paper.text(72, 100, "1\u00bd years, \u00bc gpm, \u00be-inch")
    assert _words(_first_page(paper.done())) == ["1", "1/2", "years,", "1/4", "gpm,", "3/4-inch"]


def test_a_built_up_fraction_is_no_footnote(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "built.pdf")
    end = paper.text(72, 100, "4 ")
    end = paper.text(end, 96.5, "1", points=6.5)
    end = paper.text(end, 100, "/")
    end = paper.text(end, 101.5, "2", points=6.5)
    paper.text(end + 3, 100, "years")
    assert _words(_first_page(paper.done())) == ["4", "1/2", "years"]


def test_ordinals_keep_their_raised_letters(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "ordinal.pdf")
    end = paper.text(72, 100, "the 11")
    end = paper.text(end, 96.5, "th", points=6.5)
    paper.text(end + 2.5, 100, "year")
    assert _words(_first_page(paper.done())) == ["the", "11th", "year"]


def test_a_lowered_figure_belongs_to_its_letter(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "lowered.pdf")
    end = paper.text(72, 100, "between Q")
    end = paper.text(end, 102, "2", points=6.5)
    paper.text(end + 2.5, 100, "and")
    assert _words(_first_page(paper.done())) == ["between", "Q2", "and"]


def test_fake_bold_is_read_once(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "bold.pdf")
    for shift in (0, 0.35):
        paper.text(72 + shift, 100, "All bells ring 1,100 gallons")
    assert _words(_first_page(paper.done())) == ["All", "bells", "ring", "1,100", "gallons"]


def test_letter_spaced_words_are_words(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "spaced.pdf").font("Helvetica", 12)
    x = 72.0
    for word in ("COPPERLINE", "METERS"):
        for letter in word:
            x = paper.text(x, 100, letter) + 6
        x += 14
    assert _words(_first_page(paper.done())) == ["COPPERLINE", "METERS"]


def test_what_no_eye_sees_is_not_read(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "hidden.pdf")
    paper.text(72, 100, "seen")
    paper.canvas.setFillGray(1)
    paper.text(72, 120, "white on white")
    paper.canvas.setFillGray(0)
    paper.text(72, 140, "too small", points=0.4)
    line = paper.canvas.beginText(72, HEIGHT - 160)
    line.setTextRenderMode(3)
    line.textOut("never painted")
    paper.canvas.drawText(line)
    assert _words(_first_page(paper.done())) == ["seen"]


def test_white_words_on_a_dark_field_are_read(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "banner.pdf")
    paper.canvas.setFillGray(0.2)
    paper.canvas.rect(0, HEIGHT - 90, 612, 50, stroke=0, fill=1)
    paper.canvas.setFillGray(1)
    paper.text(72, 70, "COPPERLINE")
    assert _words(_first_page(paper.done())) == ["COPPERLINE"]


def test_a_turned_sheet_is_read_upright(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "turned.pdf")
    paper.text(72, 492, "ten years from shipment")
    paper.canvas.setPageRotation(90)  # reportlab swaps the sheet's sides with it
    page = _first_page(paper.done())
    assert page.rotated == 90
    assert (page.width, page.height) == (612, 792)
    assert [word.turned for word in page.words] == [270] * 4
    _, layout = read(paper.path)
    assert texts(layout) == ["ten years from shipment"]


def test_a_landscape_table_set_sideways_on_an_upright_sheet_is_read_in_order(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "sideways.pdf")
    paper.canvas.translate(WIDTH_OF_SHEET, 0)
    paper.canvas.rotate(90)
    for index, line in enumerate(
        ("The register of a Copperline meter is warranted against defects", "for ten years from the date of shipment.")
    ):
        paper.canvas.drawString(80, 500 - 12 * index, line)
    raw, layout = read(paper.done())
    wanted = "The register of a Copperline meter is warranted against defects for ten years from the date of shipment."
    assert texts(layout) == [wanted]
    box = layout.blocks[0].run.boxes()[0]
    assert box.bottom - box.top > box.x1 - box.x0, "the evidence stands where it is printed: along the sheet"
    assert raw.pages[0].words[0].box.model_dump() in [word.box.model_dump() for word in layout.blocks[0].run.words]


WIDTH_OF_SHEET = 612.0


def test_a_text_layer_under_a_page_image_is_known_as_such(tmp_path: Path) -> None:
    from PIL import Image

    paper = Paper(tmp_path / "scan.pdf")
    paper.text(72, 100, "five years or 5OO,OOO gallons")
    paper.canvas.drawInlineImage(Image.new("L", (60, 80), 230), 0, 0, 612, 792)
    page = _first_page(paper.done())
    assert page.image_area > 0.99
    assert page.unseen == 1.0
    assert {word.origin for word in page.words} == {Origin.OCR}


def test_boxes_are_points_from_the_top_left(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "box.pdf")
    paper.text(72, 100, "gallons")
    (word,) = _first_page(paper.done()).words
    assert (word.x0, word.size) == (72, 10)
    assert word.top < 100 - 6 and 100 < word.bottom < 104


# --- what cannot be read ----------------------------------------------------------------------------------------------


def _good(path: Path, pages: int = 1) -> Path:
    paper = Paper(path)
    for number in range(pages):
        if number:
            paper.page()
        paper.text(72, 100, f"page {number + 1} of a leaflet")
    return paper.done()


def test_another_kind_of_file_is_named_as_such(tmp_path: Path) -> None:
    path = tmp_path / "letter.pdf"
    path.write_bytes(b"PK\x03\x04 a word processor's file")
    with pytest.raises(NotAPdfError, match=r"letter\.pdf: .*not a PDF"):
        open_document(path)


def test_an_empty_file_is_not_a_pdf(tmp_path: Path) -> None:
    path = tmp_path / "empty.pdf"
    path.write_bytes(b"")
    with pytest.raises(NotAPdfError):
        open_document(path)


def test_a_password_is_asked_for_in_words(tmp_path: Path) -> None:
    path = tmp_path / "locked.pdf"
    paper = Paper(path, encrypt=pdfencrypt.StandardEncryption("secret", canPrint=0))
    paper.text(72, 100, "not for you")
    paper.done()
    with pytest.raises(EncryptedError, match="password"):
        open_document(path)


def test_a_lock_on_printing_only_does_not_keep_the_reader_out(tmp_path: Path) -> None:
    path = tmp_path / "open.pdf"
    paper = Paper(path, encrypt=pdfencrypt.StandardEncryption("", ownerPassword="owner", canPrint=0))
    paper.text(72, 100, "ten years")
    paper.done()
    assert _words(_first_page(path)) == ["ten", "years"]


@pytest.mark.parametrize("share", [0.05, 0.3, 0.6, 0.9])
def test_a_file_cut_short_never_raises_anything_else(tmp_path: Path, share: float) -> None:
    content = _good(tmp_path / "whole.pdf", pages=3).read_bytes()
    path = tmp_path / "cut.pdf"
    path.write_bytes(content[: int(len(content) * share)])
    with pytest.raises(DocumentError):
        open_document(path)


def test_a_page_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    content = _good(tmp_path / "whole.pdf", pages=2).read_bytes()
    path = tmp_path / "broken_page.pdf"
    second = content.rindex(b"/MediaBox [ 0 0 612 792 ]")
    path.write_bytes(content[:second] + b"/MediaBox [ 0 0 /A null ]" + content[second + 25 :])
    with pytest.raises(DamagedError):
        open_document(path)


def test_no_pages_is_said(tmp_path: Path) -> None:
    path = tmp_path / "hollow.pdf"
    path.write_bytes(
        b"%PDF-1.4\n1 0 obj\n<< /Type /Catalog /Pages 2 0 R >>\nendobj\n"
        b"2 0 obj\n<< /Type /Pages /Kids [] /Count 0 >>\nendobj\n"
        b"xref\n0 3\n0000000000 65535 f \n0000000009 00000 n \n0000000058 00000 n \n"
        b"trailer\n<< /Size 3 /Root 1 0 R >>\nstartxref\n110\n%%EOF\n"
    )
    with pytest.raises(NoPagesError):
        open_document(path)


def test_too_many_pages_are_refused_with_the_limit(tmp_path: Path) -> None:
    path = _good(tmp_path / "long.pdf", pages=4)
    with pytest.raises(TooManyPagesError, match="has 4 pages, more than the limit of 3"):
        open_document(path, max_pages=3)
    assert len(open_document(path, max_pages=4).pages) == 4


def test_bytes_changed_at_random_give_words_or_a_document_error(tmp_path: Path) -> None:
    content = bytearray(_good(tmp_path / "whole.pdf", pages=2).read_bytes())
    for seed in range(40):
        damaged = bytearray(content)
        for step in range(12):
            damaged[(seed * 7919 + step * 104729) % len(damaged)] = (seed * 31 + step * 17) % 256
        path = tmp_path / "damaged.pdf"
        path.write_bytes(bytes(damaged))
        try:
            raw = open_document(path)
        except DocumentError:
            continue
        assert all(isinstance(page, RawPage) for page in raw.pages)


def test_the_same_bytes_have_the_same_identity(tmp_path: Path) -> None:
    one, two = _good(tmp_path / "one.pdf"), _good(tmp_path / "two.pdf")
    assert open_document(one).sha256 == open_document(two).sha256
    assert len(open_document(one).sha256) == 64


def test_a_ruled_table_comes_with_its_cells(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "ruled.pdf")
    for y in (100, 120, 140):
        paper.rule(72, y, 272)
    for x in (72, 172, 272):
        paper.rule(x, 100, x, 140)
    for x, y, text in ((80, 114, "Size"), (180, 114, "Years"), (80, 134, "5/8 in."), (180, 134, "5")):
        paper.text(x, y, text)
    raw, layout = read(paper.done())
    assert [len(cells) for cells in raw.pages[0].grids] == [4]
    (table,) = tables(layout)
    assert table.ruled and table.header_rows == 1
    assert texts(layout, BlockKind.PARAGRAPH) == []
