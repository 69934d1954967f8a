"""A utility's list of meters: read as billing systems write it, doubted where it is doubtful, nothing dropped."""

from datetime import date
from pathlib import Path

import pytest

from firstcap.app.fleet.dates import AmbiguousDatesError, DayOrder, days_in
from firstcap.app.fleet.importing import DecimalSign, ListOptions, import_list
from firstcap.app.fleet.matching import likeness, plain
from firstcap.app.fleet.sizes import sizes_in
from firstcap.app.fleet.units import gallons_in
from firstcap.schema.errors import UsageError
from firstcap.schema.units import gallons_per
from firstcap.store.catalogue import Catalogue

DAY = date(2026, 7, 1)


@pytest.fixture(scope="module")
def catalogue(tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """An empty catalogue; a list replaces the one before it."""
    made = Catalogue(tmp_path_factory.mktemp("fleet") / "catalogue.duckdb")
    made.prepare()
    return made


def listed(catalogue: Catalogue, path: Path, text: str | bytes, **options: object) -> list[dict[str, object]]:
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    import_list(catalogue, path, ListOptions(**options), day=DAY)  # type: ignore[arg-type]
    return catalogue.rows("SELECT * FROM meters ORDER BY line_no")


def problems(catalogue: Catalogue) -> list[tuple[object, ...]]:
    rows = catalogue.rows("SELECT line_no, kind, meter_used, written FROM meter_problems ORDER BY line_no, kind")
    return [tuple(row.values()) for row in rows]


@pytest.mark.parametrize(
    ("written", "day"),
    [
        ("2019-04-03", date(2019, 4, 3)),
        ("2019/4/3", date(2019, 4, 3)),
        ("20190403", date(2019, 4, 3)),
        ("3-Apr-2019", date(2019, 4, 3)),
        ("April 3, 2019", date(2019, 4, 3)),
        ("3rd Sept 2019", date(2019, 9, 3)),
        ("13/04/19", date(2019, 4, 13)),
        ("4/13/1998", date(1998, 4, 13)),
        ("43558", date(2019, 4, 3)),  # a spreadsheet's count of days since 1899-12-30
        ("2019-02-29", None),
        ("April 2019", None),
        ("1900-01-01", None),  # stands for nothing in exports: common practice
        ("n/a", None),
    ],
)
def test_a_day_is_read_in_the_forms_people_use_and_never_completed(written: str, day: date | None) -> None:
    assert days_in([written], "shipped").get(written) == day


def test_a_column_that_reads_both_ways_is_asked_for() -> None:
    assert days_in(["03/04/2019", "03/13/2019"], "shipped")["03/04/2019"] == date(2019, 3, 4)
    assert days_in(["03/04/2019", "13.04.2019"], "shipped")["03/04/2019"] == date(2019, 4, 3)
    assert days_in(["04/04/2019"], "shipped") == {"04/04/2019": date(2019, 4, 4)}
    with pytest.raises(AmbiguousDatesError, match=r"03/04/2019 may be day-first or month-first.*--dates"):
        days_in(["03/04/2019", "2019-05-05"], "shipped")
    with pytest.raises(AmbiguousDatesError, match=r"13/04/2019 can only be day-first and 04/13/2019 only month-first"):
        days_in(["13/04/2019", "04/13/2019"], "shipped")
    forced = days_in(["13/04/2019", "03/04/2019"], "shipped", DayOrder.MONTH_FIRST)
    assert forced == {"03/04/2019": date(2019, 3, 4)}


@pytest.mark.parametrize(
    ("column", "labels"),
    [
        (['5/8" x 3/4"', "5/8", "0.625", "1½", "1.5 in"], ["5/8x3/4", "5/8", "5/8", "1-1/2", "1-1/2"]),
        (["0.63", "0.75", "3/4 inch", "2"], ["5/8", "3/4", "3/4", "2"]),
        (["20 mm", "DN 25", "dn015"], ["DN20", "DN25", "DN15"]),
        (["15", "20", "40"], ["DN15", "DN20", "DN40"]),  # no inch sizes are 15 and 40
        (["20", "3/4"], ["20", "3/4"]),
        (["large", "7/8"], [None, None]),
    ],
)
def test_sizes_are_read_as_lists_write_them(column: list[str], labels: list[str | None]) -> None:
    found = sizes_in(column)
    assert [found.get(text) for text in column] == labels


@pytest.mark.parametrize(
    ("written", "unit", "times"),
    [
        ("CCF", "CCF", 1), ("HCF", "ft3", 100), ("cu. ft.", "ft3", 1), ("10 ft³", "ft3", 10), ("x1000 gal", "kgal", 1),
        ("Kgal", "kgal", 1), ("MG", "Mgal", 1), ("m³", "m3", 1), ("Imperial gallons", "imp_gal", 1),
    ],
)  # fmt: skip
def test_readings_come_in_any_billing_unit(written: str, unit: str, times: int) -> None:
    assert gallons_in(written) == gallons_per(unit) * times
    assert gallons_in("buckets") is None


def test_every_line_is_a_meter_or_is_told_with_its_number_and_reason(catalogue: Catalogue, tmp_path: Path) -> None:
    text = '''Meter ID,Manufacturer,Model,Size,Ship Date,Install Date,Last Reading (CCF),Read Date
A1,Juniper,JF-1,"5/8"" x 3/4""",2020-03-01,2020-05-01,"1,234",2025-03-01 00:00
A2,Juniper,,0.625,3/13/2020,,12.5,2025-03-01

A3,Juniper,,20 mm,2020-02-30,2020-06-01,-5,2025-03-01
A1,Juniper,,5/8,2020-02-03,2020-06-01,5,2025-03-01
A4,Juniper,,5/8,2020-02-03
,Juniper,,5/8,2020-02-03,2020-06-01,5,2025-03-01
A5,Juniper,,5/8,2020-02-03,2019-06-01,x,2027-03-01
A6,Juniper,,5/8,,,5,2025-03-01
A7,Juniper,,huge,2020-02-03,,5,2019-03-01
'''
    rows = listed(catalogue, tmp_path / "meters.csv", text)
    assert [row["meter_id"] for row in rows] == ["A1", "A2", "A3", "A5"]
    assert [row["line_no"] for row in rows] == [2, 3, 5, 9]
    assert rows[0]["size_label"] == "5/8x3/4" and rows[0]["product_written"] == "JF-1"
    assert rows[0]["reading_usgal"] == pytest.approx(float(1234 * gallons_per("CCF")))
    assert rows[2]["shipped_on"] is None and rows[2]["reading_usgal"] is None
    assert problems(catalogue) == [
        (5, "unreadable_date", True, "2020-02-30"),
        (5, "unreadable_number", True, "-5"),
        (6, "repeated_meter_id", False, "A1"),
        (7, "broken_line", False, "A4,Juniper,,5/8,2020-02-03"),
        (8, "no_meter_id", False, None),
        (9, "after_the_day", True, "2027-03-01"),
        (9, "installed_before_shipped", True, "2019-06-01"),
        (9, "unreadable_number", True, "x"),
        (10, "no_date", False, None),
        (11, "read_before_use", False, "2019-03-01"),
        (11, "unknown_size", False, "huge"),
    ]


def test_units_stand_in_a_column_in_the_header_or_in_an_option(catalogue: Catalogue, tmp_path: Path) -> None:
    path, head = tmp_path / "meters.csv", "meter,make,size,shipped,reading,read date"
    row = "M1,Juniper,1,2020-01-01,10,2021-01-01"
    with pytest.raises(UsageError, match=r"in which unit reading is; name it with --unit"):
        listed(catalogue, path, f"{head}\n{row}\n")
    [meter] = listed(catalogue, path, f"{head}\n{row}\n", unit="kgal")
    assert meter["reading_usgal"] == 10_000
    [meter] = listed(catalogue, path, f"{head},unit,annual_use_kgal\n{row},m3,5\n")
    assert meter["reading_usgal"] == pytest.approx(2641.72, abs=0.01) and meter["year_usgal"] == pytest.approx(5000)


def test_spreadsheets_of_any_country_are_read(catalogue: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "meters.csv"
    head = "sep=;\nSerial No;Maker;Diameter;Date shipped;Index (m3);Read date\n"
    text = f"{head}Z1;Wehr ’s;20 mm;03.05.2019;1.234,5;31.12.2020\n"
    for encoding in ("utf-8-sig", "utf-16", "cp1252"):
        told = encoding if encoding == "cp1252" else None
        [meter] = listed(catalogue, path, text.encode(encoding), encoding=told, dates=DayOrder.DAY_FIRST)
        assert (meter["shipped_on"], meter["supplier_written"]) == (date(2019, 5, 3), "Wehr ’s")
        assert meter["reading_usgal"] == pytest.approx(1234.5 * float(gallons_per("m3")))
    with pytest.raises(UsageError, match="--encoding"):
        listed(catalogue, path, text.encode("cp1252"), dates=DayOrder.DAY_FIRST)


def test_a_number_that_may_be_thousands_or_decimals_is_asked_for(catalogue: Catalogue, tmp_path: Path) -> None:
    path = tmp_path / "m.csv"
    text = "meter;make;size;shipped;reading (gal);read date\nM1;J;1;2020-01-01;1.234;2021-01-01\n"
    with pytest.raises(UsageError, match=r"1\.234 may be thousands or decimals; say --decimals"):
        listed(catalogue, path, text)
    for sign, gallons in ((DecimalSign.COMMA, 1234), (DecimalSign.POINT, 1.234)):
        [meter] = listed(catalogue, path, text, decimals=sign)
        assert meter["reading_usgal"] == pytest.approx(gallons)


def test_a_small_file_says_which_column_is_which(catalogue: Catalogue, tmp_path: Path) -> None:
    path, told = tmp_path / "m.csv", tmp_path / "columns.toml"
    text = "No,Who,Caliber,Out\nM1,Juniper,058,03/04/2019\n"
    with pytest.raises(UsageError, match=r"no column for meter_id, supplier, size, shipped_on or installed_on"):
        listed(catalogue, path, text)
    told.write_text(
        'dates = "day-first"\n[columns]\nmeter_id = "No"\nsupplier = "Who"\nsize = "Caliber"\nshipped_on = "Out"\n'
        '[sizes]\n"058" = "5/8"\n'
    )
    [meter] = listed(catalogue, path, text, columns=told)
    assert (meter["size_label"], meter["shipped_on"]) == ("5/8", date(2019, 4, 3))
    told.write_text('[columns]\nowner = "Who"\n')
    with pytest.raises(UsageError, match=r"columns\.owner is none"):
        listed(catalogue, path, text, columns=told)


def test_only_the_same_spelling_is_the_same_name() -> None:
    assert plain("Larkfathom Flow Apparatus, Inc.") == plain("LARKFATHOM FLOW APPARATUS")
    assert likeness("Juniper Flow Works LLC", "juniper flow works") == 100
    assert 55 < likeness("Juniper", "Juniper Flow Works") < 100
    assert likeness("Juniper", "Cobblemere Instrument Co.") < 55
