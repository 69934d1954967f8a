"""The report of which cap ends first, in every form, and the same figures in SQL."""

import json
from fractions import Fraction
from pathlib import Path

import pytest
from openpyxl import load_workbook
from pypdfium2 import PdfDocument

from firstcap.app.report.paper import Paper, sorted_by
from firstcap.app.report.writers import deliver, facts
from firstcap.app.worth.first_cap import accounts_from, first_cap, unit_named
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue

ACCOUNTS = [Fraction(40_000 + 4_000 * step) for step in range(40)]


@pytest.fixture(scope="module")
def paper(pinyon: Catalogue) -> Paper:
    return first_cap(pinyon, size="5/8", promise="accuracy", uses=[Fraction(109_575)], accounts=ACCOUNTS)


def rows_of(paper: Paper, key: str) -> list[dict[str, object]]:
    [table] = [table for table in facts(paper)["tables"] if table["table"] == key]
    return list(table["rows"])


def test_the_break_even_stands_beside_years_and_cap_with_their_pages(paper: Paper) -> None:
    row = next(row for row in rows_of(paper, "break_even") if row["cap"] and row["months"])
    assert row["break_even_year"] == pytest.approx(row["cap"] / row["months"] * 12)  # type: ignore[operator]
    assert any(place.quote for place in paper.places)


def test_sql_and_the_report_give_the_same_break_evens_and_covers(paper: Paper, pinyon: Catalogue) -> None:
    sql = pinyon.rows("SELECT year_usgal FROM break_evens WHERE promise = 'accuracy' AND size_label = '5/8'")
    assert sorted(float(str(row["year_usgal"])) for row in sql) == pytest.approx(
        sorted(float(str(row["break_even_year"])) for row in rows_of(paper, "break_even") if row["size"] == "5/8")
    )
    covers = pinyon.rows(
        "SELECT cover_months, ended_by FROM cover_at(109575) WHERE promise = 'accuracy' AND size_label = '5/8' "
        "AND cover_months IS NOT NULL"
    )
    shown = [row for row in rows_of(paper, "cover_at_use") if row["size"] == "5/8"]
    assert sorted(float(str(row["cover_months"])) for row in covers) == pytest.approx(
        sorted(float(str(row["cover"])) for row in shown)
    )
    volume_first = sum("volume" in str(row["ended_by"]) for row in shown)
    assert volume_first == sum(row["ended_by"] == "volume" for row in covers) > 0


@pytest.mark.parametrize("stored", [0, 3, 9])
def test_sql_and_the_report_agree_on_clocks_that_start_on_different_days(demo_papers: Catalogue, stored: int) -> None:
    paper = first_cap(demo_papers, uses=[Fraction(109_575)], stored_months=Fraction(stored))
    shown = sorted(float(str(row["cover"])) for row in rows_of(paper, "cover_at_use") if row["cover"] is not None)
    sql = demo_papers.rows(
        f"SELECT cover_months FROM cover_at(109575, stored_months := {stored}) WHERE cover_months IS NOT NULL"
    )
    assert shown == pytest.approx(sorted(float(str(row["cover_months"])) for row in sql))
    rows = demo_papers.rows("SELECT term_id FROM limits WHERE kind = 'time' GROUP BY ALL HAVING count(*) > 1")
    assert rows, "the stack holds a promise with two clocks"
    [row] = [row for row in rows_of(paper, "cover_at_use") if "from installation" in str(row["ends"])]
    # 18 months from shipment or 12 from installation, whichever is sooner
    assert (row["cover"], row["in_use"]) == {0: (12, 12), 3: (15, 12), 9: (18, 9)}[stored]


def test_every_form_marks_what_is_unconfirmed_and_carries_the_cautions(paper: Paper, tmp_path: Path) -> None:
    for ending in ("html", "md", "json", "xlsx", "pdf"):
        deliver(paper, tmp_path / f"x.{ending}")
    for ending in ("html", "md", "json"):
        text = (tmp_path / f"x.{ending}").read_text(encoding="utf-8")
        assert "signed document governs" in text and "unconfirmed" in text and "not legal advice" in text
    assert "Pages and quotes" in (tmp_path / "x.md").read_text(encoding="utf-8")
    book = load_workbook(tmp_path / "x.xlsx")
    cells = [str(cell.value) for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert any("signed document governs" in text for text in cells) and any("unconfirmed" in text for text in cells)
    document = PdfDocument(tmp_path / "x.pdf")
    pdf = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    assert "signed document governs" in pdf and "unconfirmed" in pdf and "Pages and quotes" in pdf
    document.close()


def test_the_spreadsheet_holds_numbers_under_headers_with_units(paper: Paper, tmp_path: Path) -> None:
    deliver(paper, tmp_path / "x.xlsx")
    sheet = load_workbook(tmp_path / "x.xlsx").worksheets[0]
    header = [cell.value for cell in sheet[2]]
    assert "Break-even use (gal a year)" in header and sheet.freeze_panes == "B3"
    place = header.index("Break-even use (gal a year)")
    written = [row[place].value for row in sheet.iter_rows(min_row=3)]
    assert written == pytest.approx([row["break_even_year"] for row in rows_of(paper, "break_even")])


def test_each_value_leads_to_its_places_in_json_and_in_the_spreadsheet(paper: Paper, tmp_path: Path) -> None:
    told = facts(paper)
    [table] = [table for table in told["tables"] if table["table"] == "break_even"]
    for row, places, notes in zip(table["rows"], table["evidence"], table["notes"], strict=True):
        assert all(told["evidence"][place]["page"] >= 1 for place in places["cap"]) and places["cap"]
        assert any(told["evidence"][place]["file_name"] in notes["supplier"] for place in places["cap"])
        assert row["cap"] > 0
    deliver(paper, tmp_path / "x.xlsx")
    book = load_workbook(tmp_path / "x.xlsx")
    column = [cell.value for cell in book.worksheets[0][2]].index("Rows of the sheet Evidence")
    cell = book.worksheets[0][3][column]
    first = int(str(cell.value).split(",")[0])
    assert cell.hyperlink.location == f"'Evidence'!A{first}"
    assert book["Evidence"].cell(first, 2).value in [place.page for place in paper.places]


def test_tables_are_ordered_by_any_column_and_silence_comes_last(paper: Paper) -> None:
    ordered = rows_of(sorted_by(paper, "-break_even_year"), "break_even")
    values = [row["break_even_year"] for row in ordered if row["break_even_year"] is not None]
    assert values == sorted(values, reverse=True)  # type: ignore[type-var]
    with pytest.raises(UsageError, match="break_even_year"):
        sorted_by(paper, "price")


def test_accounts_come_in_the_unit_of_the_bills_and_faults_are_told_with_their_line(tmp_path: Path) -> None:
    table = tmp_path / "accounts.csv"
    table.write_text('account,size,use\nA,5/8,"1,000"\nB,1,9\nC,,20\n', encoding="utf-8")
    assert accounts_from(table, unit_named("M3"), "month", "5/8") == [
        1000 * 12 * Fraction(10**12, 3785411784),
        20 * 12 * Fraction(10**12, 3785411784),
    ]
    table.write_text("use\n12\n-3\n", encoding="utf-8")
    with pytest.raises(UsageError, match="line 3"):
        accounts_from(table, unit_named("gal"), "year")
    table.write_text("consumption\n12\n", encoding="utf-8")
    with pytest.raises(UsageError, match="no column use"):
        accounts_from(table, unit_named("gal"), "year")
    with pytest.raises(UsageError, match="no unit of volume"):
        unit_named("barrel")


def test_the_words_of_documents_never_become_code_in_a_page(paper: Paper, tmp_path: Path) -> None:
    deliver(paper, tmp_path / "x.html")
    text = (tmp_path / "x.html").read_text(encoding="utf-8")
    assert "<script" not in text and "http://" not in text.replace("http://www.w3.org/2000/svg", "")
    assert json.loads(json.dumps(facts(paper)))["report"] == "first_cap"
