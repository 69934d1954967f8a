"""The comparison as PDF and JSON, of several sizes, ordered by a column, with the lines of the pages in it."""

import json
import re
import shutil
from base64 import b64decode
from io import BytesIO
from pathlib import Path

import pytest
from PIL import Image
from pypdfium2 import PdfDocument

from firstcap.app.read import Options, read_stack, reader_name
from firstcap.app.report.compare import write_comparison
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue

STACK = Path(__file__).parents[3] / "fixtures" / "pinyon_ridge"


@pytest.fixture(scope="module")
def read_here(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """A catalogue of one invented document that lies where it was read."""
    folder = tmp_path_factory.mktemp("stack")
    file = Path(shutil.copy(STACK / "saltgrove_disc_rev6.pdf", folder))
    catalogue = Catalogue(folder / "firstcap.duckdb")
    options = Options(max_pages=20, ocr=False, max_seconds=60)
    list(read_stack([file], catalogue, reader=reader_name(), jobs=1, supplier=None, options=options))
    return catalogue


def test_json_holds_numbers_in_the_unit_of_their_column(pinyon: Catalogue, tmp_path: Path) -> None:
    write_comparison(pinyon, "5/8", tmp_path / "x.json", sort="-cap")
    facts = json.loads((tmp_path / "x.json").read_text(encoding="utf-8"))
    rows = [row for table in facts["tables"] for row in table["rows"] if row.get("break_even_year") is not None]
    assert rows and all(row["break_even_year"] == pytest.approx(row["cap"] * 12 / row["months"]) for row in rows)
    caps = [row["cap"] for row in facts["tables"][1]["rows"] if row["cap"] is not None]
    assert caps == sorted(caps, reverse=True)
    assert any("signed document governs" in caution for caution in facts["cautions"])


def test_a_board_gets_no_more_than_a_dozen_pages_for_one_size_and_each_limit_once(
    demo_papers: Catalogue, tmp_path: Path
) -> None:
    write_comparison(demo_papers, "5/8", tmp_path / "x.pdf")
    document = PdfDocument(tmp_path / "x.pdf")
    count, width, height = len(document), *document[0].get_size()
    document.close()
    assert count <= 12 and width > height
    write_comparison(demo_papers, "5/8", tmp_path / "x.json")
    facts = json.loads((tmp_path / "x.json").read_text(encoding="utf-8"))
    [limits] = [one for one in facts["tables"] if one["table"] == "accuracy-new-meter-whole-meter-limits"]
    said = [(row["flow"], row["promised"], row["standard"], row["verdict"]) for row in limits["rows"]]
    assert len(said) == len(set(said))


def test_several_sizes_stand_in_one_pdf(pinyon: Catalogue, tmp_path: Path) -> None:
    told = write_comparison(pinyon, ["5/8", "3/4"], tmp_path / "x.pdf")
    assert "5/8 inch" in told and "3/4 inch" in told
    document = PdfDocument(tmp_path / "x.pdf")
    text = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    document.close()
    assert "5/8 inch and 3/4 inch" in text and "unconfirmed" in text and "not legal advice" in text


def test_a_value_stands_beside_the_line_of_the_page_it_was_read_from(read_here: Catalogue, tmp_path: Path) -> None:
    write_comparison(read_here, "5/8", tmp_path / "x.html")
    page = (tmp_path / "x.html").read_text(encoding="utf-8")
    strips = re.findall(r'src="data:image/png;base64,([^"]+)"', page)
    assert strips, "the file lies where it was read"
    image = Image.open(BytesIO(b64decode(strips[0])))
    assert image.width > 50 and image.height > 10 and image.convert("L").getextrema()[0] < 100, "there are words in it"
    assert "<script" not in page and "https://" not in page.split("</header>")[0]


def test_a_file_that_is_not_the_one_that_was_read_gives_no_strip(read_here: Catalogue, tmp_path: Path) -> None:
    [document] = read_here.rows("SELECT document_id FROM documents")
    [path] = read_here.files(str(document["document_id"]))
    kept = path.read_bytes()
    try:
        path.write_bytes((STACK / "saltgrove_disc_rev5.pdf").read_bytes())
        write_comparison(read_here, "5/8", tmp_path / "x.html")
    finally:
        path.write_bytes(kept)
    assert "data:image/png" not in (tmp_path / "x.html").read_text(encoding="utf-8")


def test_an_unknown_column_is_refused_with_those_there_are(pinyon: Catalogue) -> None:
    with pytest.raises(UsageError, match="break_even_year"):
        write_comparison(pinyon, "5/8", sort="price")
