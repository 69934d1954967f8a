"""The written forms: HTML, spreadsheet, Markdown. Words of documents are shown as words, whatever they are."""

import re
from datetime import datetime
from html.parser import HTMLParser
from pathlib import Path

import openpyxl
import pytest
import suppliers
from markdown_it import MarkdownIt
from suppliers import Recorder

from firstcap.app.report.compare import write_comparison
from firstcap.app.report.comparison import CAUTIONS
from firstcap.schema.vocabulary import AccuracyLevel
from firstcap.store.catalogue import Catalogue

HOSTILE = '<script>alert("x")</script>"><img src=x onerror=1> =HYPERLINK("http://x") | `a` [b](c) {{ 7*7 }}'


class Page(HTMLParser):
    """Tags, attributes and text of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).replace("\N{NO-BREAK SPACE}", " ").split())


@pytest.fixture(scope="module")
def page(pinyon: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> Page:
    out = tmp_path_factory.mktemp("page") / "comparison.html"
    told = write_comparison(pinyon, "5/8", out)
    assert told == f"5/8 inch: 4 documents, 14 promises, 9 unconfirmed: {out}"
    return Page(out.read_text(encoding="utf-8"))


def test_the_page_asks_nothing_of_any_other_place(page: Page) -> None:
    names = {tag for tag, _ in page.tags}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "base", "form"}
    for tag, attributes in page.tags:
        assert not any(name.startswith("on") for name in attributes), tag
        assert not any(name in attributes for name in ("src", "srcset", "action", "xlink:href")), tag
        assert (attributes.get("href") or "#").startswith("#"), attributes
    assert "url(http" not in page.text and "@import" not in page.text


def test_every_link_of_the_page_leads_somewhere(page: Page) -> None:
    ids = [attributes["id"] for _, attributes in page.tags if attributes.get("id")]
    assert len(ids) == len(set(ids))
    targets = {(attributes.get("href") or "")[1:] for tag, attributes in page.tags if tag == "a"}
    assert targets <= set(ids)
    named = {name for _, attributes in page.tags for name in (attributes.get("aria-labelledby") or "").split()}
    assert named <= set(ids) and named


def test_every_table_has_headers_that_say_what_they_head(page: Page) -> None:
    heads = [attributes for tag, attributes in page.tags if tag == "th"]
    assert heads and all(attributes.get("scope") in ("col", "row", "rowgroup") for attributes in heads)


def test_the_page_tells_the_main_facts_with_their_pages_and_doubts(page: Page) -> None:
    for words in (
        "◇ 9 of 14 promises unconfirmed",
        "5 years or 500,000 gal, whichever comes first",
        "above 100,000 gal/yr (≈ 274 gal/day)",
        "≈ 1,893 m³",
        "measured by AWWA C700, newer print (published, common practice)",
        "+3.5",
        "below the standard's minimum test flow: the standard asks nothing here",
        "earlier edition",
        "“ten (12) years”: the words were taken",
        "it names other sizes: 4",
        *CAUTIONS,
    ):
        assert words in page.text, words
    quotes = [attributes.get("title") or "" for tag, attributes in page.tags if attributes.get("class") == "ref"]
    assert "sage-hollow-w12.pdf, page 2: “in writing within thirty days”" in quotes


@pytest.fixture(scope="module")
def hostile(recorded: Recorder) -> Catalogue:
    paper = suppliers.reading(
        HOSTILE,
        [
            suppliers.accuracy(AccuracyLevel.NEW_METER, 5, "500000", product=HOSTILE, bands=suppliers.STANDARD_FLOWS),
            suppliers.accuracy(AccuracyLevel.REPAIRED_METER, 15, "1500000", text=HOSTILE),
        ],
        file_name='"><script>x.pdf',
        code=HOSTILE,
    )
    return recorded([paper, suppliers.sage_hollow()])


def test_a_hostile_supplier_name_is_shown_and_never_obeyed_in_html(hostile: Catalogue, tmp_path: Path) -> None:
    out = tmp_path / "comparison.html"
    write_comparison(hostile, "5/8", out)
    text = out.read_text(encoding="utf-8")
    assert "<script" not in text and "<img" not in text
    assert "&lt;script&gt;alert(" in text
    assert "{{ 7*7 }}" in text and "49" not in re.findall(r"= (\d+) \|", text)
    shown = Page(text)
    assert '<script>alert("x")</script>' in shown.text
    assert not any(name.startswith("on") for _, attributes in shown.tags for name in attributes)


def test_a_hostile_supplier_name_stays_inside_its_cell_in_markdown(hostile: Catalogue) -> None:
    rendered = Page(MarkdownIt("commonmark", {"html": True}).enable("table").render(write_comparison(hostile, "5/8")))
    assert not {tag for tag, _ in rendered.tags} & {"script", "img", "a", "code"}
    assert '<script>alert("x")</script>' in rendered.text


def test_markdown_tables_render_and_hold_every_supplier(pinyon: Catalogue, tmp_path: Path) -> None:
    out = tmp_path / "comparison.md"
    write_comparison(pinyon, "5/8", out)
    text = out.read_text(encoding="utf-8")
    assert text == write_comparison(pinyon, "5/8")
    rendered = Page(MarkdownIt("commonmark").enable("table").render(text))
    assert sum(tag == "table" for tag, _ in rendered.tags) >= 12
    assert "|" not in rendered.text
    for words in ("Quartz Arroyo Meter Works", "5 years (p. 1)", "500,000 gal", "≈ 4.6 years ●", *CAUTIONS):
        assert words in rendered.text, words


@pytest.fixture(scope="module")
def book(pinyon: Catalogue, tmp_path_factory: pytest.TempPathFactory) -> openpyxl.Workbook:
    out = tmp_path_factory.mktemp("book") / "comparison.xlsx"
    write_comparison(pinyon, "5/8", out)
    return openpyxl.load_workbook(out)


def records(book: openpyxl.Workbook, name: str, head: int = 1) -> list[dict[str, object]]:
    first, *rows = list(book[name].iter_rows(min_row=head, values_only=True))
    return [dict(zip(map(str, first), row, strict=True)) for row in rows]


def test_the_spreadsheet_holds_numbers_with_units_in_their_headers(book: openpyxl.Workbook) -> None:
    rows = records(book, "Comparison", head=2)
    assert len(rows) == 14
    row = next(
        row
        for row in rows
        if row["File"] == "sage-hollow-w12.pdf" and row["Promise"] == "New-meter accuracy, whole meter"
    )
    assert (row["Time limit (years)"], row["Time limit (months)"], row["Volume cap (US gal)"]) == (5, 60, 500_000)
    assert row["Volume cap (m³)"] == pytest.approx(1892.705892)  # 500,000 x 3.785411784 L, NIST HB 44 appendix C
    assert row["Break-even use, both caps met on one day (US gal a year)"] == 100_000
    assert row["State"] == "confirmed"
    days = next(row for row in rows if row["Time limit (days)"] is not None)
    assert days["Time limit (days)"] == 90 and days["Time limit (months)"] is None
    assert sum(row["State"] == "◇ unconfirmed" for row in rows) == 9


def test_the_spreadsheet_gives_margins_proration_and_ends_as_numbers(book: openpyxl.Workbook) -> None:
    margins = {
        (row["Supplier"], row["Promise"], row["Flow"]): row["Lower margin (percentage points)"]
        for row in records(book, "Accuracy")
    }
    quartz = ("Quartz Arroyo Meter Works", "New-meter accuracy, whole meter")
    assert margins[*quartz, "minimum"] == 3.5
    assert margins[*quartz, "normal range"] == 0
    shares = [(row["From month (included)"], row["Customer pays (%)"]) for row in records(book, "Proration")]
    assert shares == [(0, 0), (120, 40), (180, 75)]
    ends = [
        (row["Cover ends after (years)"], row["What ends it"])
        for row in records(book, "Which cap first")
        if row["Supplier"] == "Sage Hollow Flow Co., Rev. C (2024)"
        and row["Promise"] == "New-meter accuracy, whole meter"
    ]
    assert ends[:2] == [(5, "years first"), (5, "years first")]
    assert ends[2] == (pytest.approx(4.566210046), "volume first")


def test_the_spreadsheet_carries_evidence_documents_and_cautions(book: openpyxl.Workbook) -> None:
    evidence = records(book, "Evidence")
    assert {
        "File": "sage-hollow-w12.pdf",
        "Page": 2,
        "Words on the page": "damage from frost is not covered",
    }.items() <= next(row for row in evidence if row["Words on the page"] == "damage from frost is not covered").items()
    documents = {row["File"]: row for row in records(book, "Documents")}
    assert documents["drywash.pdf"]["Compared"] == "no: it names other sizes: 4"
    assert documents["sage-hollow-w12.pdf"]["Effective from"] == datetime(2024, 3, 1)
    assert [row["Caution"] for row in records(book, "Cautions")] == list(CAUTIONS)


def test_headers_stay_in_sight_and_no_cell_is_a_formula(
    book: openpyxl.Workbook, hostile: Catalogue, tmp_path: Path
) -> None:
    for sheet in book.worksheets:
        assert sheet.freeze_panes is not None, sheet.title
    out = tmp_path / "hostile.xlsx"
    write_comparison(hostile, "5/8", out)
    cells = [cell for sheet in openpyxl.load_workbook(out).worksheets for row in sheet.iter_rows() for cell in row]
    assert not [cell.coordinate for cell in cells if cell.data_type == "f" or cell.hyperlink]
    assert any(isinstance(cell.value, str) and cell.value.startswith("<script>") for cell in cells)
