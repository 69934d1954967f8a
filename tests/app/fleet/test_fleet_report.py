"""The report on the fleet: counted right, told whole, in every form, and asked for names once."""

import csv
import json
import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import openpyxl
import pytest
from click.testing import Result
from typer.testing import CliRunner

from firstcap.app.cli import app
from firstcap.app.fleet import asking
from firstcap.app.fleet.dates import AmbiguousDatesError
from firstcap.app.fleet.importing import import_list
from firstcap.app.fleet.matching import Proposal, match_names, no_match, take_near, take_none
from firstcap.app.fleet.output import deliver
from firstcap.schema.errors import UsageError
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import DocumentFacts, Limit, Reading, Term
from firstcap.store.catalogue import Catalogue

DAY = date(2026, 7, 1)
LIST = """meter_id,supplier,product,size,shipped_on,installed_on,reading,reading_unit,reading_on,annual_use
M1,Juniper Flow Works LLC,,5/8,2022-01-01,2022-02-01,100,kgal,2026-06-01,20
M2,JUNIPER FLOW,,5/8,2022-01-01,2022-02-01,700,kgal,2026-06-01,160
M3,JUNIPER FLOW,,5/8,2019-01-01,2019-02-01,100,kgal,2026-06-01,14
M4,JUNIPER FLOW,,5/8,2022-01-01,,,,,
M5,Nobody at all,,5/8,2022-01-01,2022-02-01,,,,
M6,JUNIPER FLOW,,7/8,2022-01-01,2022-02-01,,,,
"""


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a catalogue of one promise, "5 years from shipment or 640,000 gallons", and a list of meters."""
    folder = tmp_path_factory.mktemp("home")
    seen = tuple(
        Evidence(
            field=field,
            boxes=(Box(page=1, x0=72, top=90, x1=300, bottom=101),),
            quote=quote,
            pattern="p",
            confidence=0.9,
        )
        for field, quote in (("duration_months", "five years"), ("volume_cap_usgal", "640,000 gallons"))
    )
    term = Term(
        component="whole_meter",
        promise="accuracy",
        accuracy_level="new_meter",
        size_label="5/8",
        ends="first_of",
        start_rule="single",
        start_event="shipment",
        duration_months=Decimal(60),
        volume_cap_usgal=Decimal(640_000),
        limits=(
            Limit(kind="time", months=Decimal(60), start_event="shipment"),
            Limit(kind="volume", usgal=Decimal(640_000)),
        ),
        evidence=seen,
    )
    Catalogue(folder / "c.duckdb").record(
        Reading(
            document_id="a" * 64,
            file_name="juniper.pdf",
            pages=1,
            text_source="text",
            facts=DocumentFacts(supplier="Juniper Flow Works"),
            terms=(term,),
            reader="1",
        )
    )
    (folder / "meters.csv").write_text(LIST)
    return folder


@pytest.fixture(scope="module")
def catalogue(home: Path) -> Catalogue:
    made = Catalogue(home / "c.duckdb")
    import_list(made, home / "meters.csv", day=DAY)
    match_names(made, "R. Quill", take_near)
    return made


def test_a_name_is_asked_for_once_and_the_answer_is_kept_with_who_gave_it(home: Path) -> None:
    store = Catalogue(home / "asked.duckdb")
    store.path.write_bytes((home / "c.duckdb").read_bytes())
    import_list(store, home / "meters.csv", day=DAY)
    asked: list[str] = []

    def answer(proposal: Proposal) -> object:
        asked.append(proposal.written)
        return proposal.choices[0] if proposal.choices else no_match(proposal)

    match_names(store, "R. Quill", answer)  # type: ignore[arg-type]
    assert asked == ["JUNIPER FLOW", "Nobody at all"], "the same spelling needs no answer"
    import_list(store, home / "meters.csv", day=DAY)
    assert match_names(store, "R. Quill", take_none) == () and len(asked) == 2
    with store.reading() as connection:
        said = connection.execute(
            "SELECT supplier_written, supplier, reviewer FROM base.meter_matches ORDER BY 1"
        ).fetchall()
    assert said == [
        ("JUNIPER FLOW", "Juniper Flow Works", "R. Quill"),
        ("Juniper Flow Works LLC", "Juniper Flow Works", "same spelling"),
        ("Nobody at all", None, "R. Quill"),
    ]


def test_at_a_terminal_a_person_is_asked_for_dates_and_names_once(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Dates that read both ways, and a name that is not the catalogue's, which is remembered."""
    store = Catalogue(home / "typed.duckdb")
    store.path.write_bytes((home / "c.duckdb").read_bytes())
    (home / "open.csv").write_text("meter,make,size,shipped\nM1,JUNIPER FLOW,5/8,03/04/2022\nM2,Wren,5/8,03/04/2022\n")
    command = ["fleet", str(home / "open.csv"), "--catalogue", str(store.path), "--on", "2026-07-01"]
    command += ["--include-proposed", "--reviewer", "R. Quill", "--out", str(home / "typed.csv")]

    def typed(answers: str) -> Result:
        return CliRunner().invoke(app, command, input=answers)

    refused = typed("")
    assert isinstance(refused.exception, AmbiguousDatesError) and not refused.stderr, "nobody is there to be asked"
    monkeypatch.setattr(asking, "at_terminal", lambda: True)
    stopped = typed("\n")
    assert isinstance(stopped.exception, AmbiguousDatesError) and "--dates day-first" in stopped.stderr
    told = typed("x\nd\n7\n1\n\n")
    assert told.exit_code == 0, told.stderr
    assert told.stderr.count("Is the day first or the month?") == 2, "an answer that is none is asked for again"
    assert "'JUNIPER FLOW', 1 meter," in told.stderr and "1  Juniper Flow Works  (likeness" in told.stderr
    rows = store.rows("SELECT meter_id, supplier, shipped_on FROM meters ORDER BY line_no")
    assert [tuple(row.values()) for row in rows] == [
        ("M1", "Juniper Flow Works", date(2022, 4, 3)),
        ("M2", None, date(2022, 4, 3)),
    ]
    again = typed("m\n\n")
    assert "'JUNIPER FLOW'" not in again.stderr and "'Wren'" in again.stderr, "what was left open is asked for again"
    assert store.rows("SELECT DISTINCT shipped_on FROM meters") == [{"shipped_on": date(2022, 3, 4)}]


def test_every_meter_is_counted_once_and_every_doubt_told(catalogue: Catalogue, home: Path) -> None:
    deliver(catalogue, DAY, [home / "f.json"], include_proposed=True)
    told = json.loads((home / "f.json").read_text())
    tables = {table["table"]: table["rows"] for table in told["tables"]}
    [row] = tables["cover"]
    counts = {key: row[key] for key in ("meters", "covered", "ended_by_time", "ended_by_volume", "cannot_tell")}
    assert counts == {"meters": 4, "covered": 1, "ended_by_time": 1, "ended_by_volume": 1, "cannot_tell": 1}
    assert row["state"] == "◇ unconfirmed" and row["share"] == 20
    assert {(row["reason"], row["count"]) for row in tables["doubts"]} == {
        ("A volume cap, and neither a reading nor a yearly use", 1),
        ("Nobody has said yet which supplier the name stands for", 1),
    }
    [line] = tables["problem_lines"]
    assert (line["line"], line["written"], line["used"]) == (7, "7/8", "left out")
    assert "5 of 6 lines of meters.csv are used" in told["statuses"][0]
    assert any("a person decides and signs" in caution for caution in told["cautions"])


def test_all_forms_say_the_same(catalogue: Catalogue, home: Path) -> None:
    deliver(catalogue, DAY, [home / f"f.{end}" for end in ("html", "xlsx", "csv", "md")], include_proposed=True)
    with (home / "f.csv").open() as file:
        rows = list(csv.DictReader(file))
    assert [(row["meter_id"], row["covered"]) for row in rows] == [
        ("M1", "true"), ("M2", "false"), ("M3", "false"), ("M4", ""), ("M5", ""),
    ]  # fmt: skip
    assert "7,,false,unknown_size,size,7/8" in (home / "f.not-used.csv").read_text().replace("7,M6,", "7,,")
    page = (home / "f.html").read_text()
    assert page.count('class="meter"') == 3, "three meters have a reading, and stand on the chart"
    assert "f.csv" in page and "dashed, ◇" in page and not re.search(r'(src|href)="https?:', page)
    sheet = openpyxl.load_workbook(home / "f.xlsx")["Every meter and promise"]
    assert sheet.max_row == 2 + 5
    assert "a person decides and signs" in (home / "f.md").read_text()


def test_a_form_that_there_is_not_is_refused_before_the_work(catalogue: Catalogue) -> None:
    from firstcap.app.fleet.output import checked

    with pytest.raises(UsageError, match=r"end the name in one of \.csv, \.html"):
        checked([Path("fleet.docx")])
