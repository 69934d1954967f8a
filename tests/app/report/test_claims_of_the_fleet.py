"""Bench tests of invented meters against the edition they were shipped under, and what is claimed of it."""

from dataclasses import replace
from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
import suppliers
from fleets import ListedMeter, put_fleet
from openpyxl import load_workbook
from pypdfium2 import PdfDocument
from suppliers import Recorder

from firstcap.app.report.writers import facts, markdown
from firstcap.app.worth.bench import BenchTest
from firstcap.app.worth.claims import Outcome, Settings, claims, record, write_files
from firstcap.app.worth.prices import prices_of
from firstcap.schema.claims import Call, ClaimAction
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import AccuracyLevel, FlowRole, MeterType
from firstcap.store.catalogue import Catalogue
from firstcap.store.claims import logged

SAGE = "Sage Hollow Flow Co."
ON = date(2027, 6, 20)
TESTED = date(2027, 6, 1)
METERS = [
    # Shipped under Rev. C: new-meter accuracy 5 years or 500,000 gal, repaired 15 years or 1,500,000 gal.
    ListedMeter("young", SAGE, "5/8", date(2024, 6, 3), 240_000, date(2027, 5, 20), 80_000),
    ListedMeter("busy", SAGE, "5/8", date(2024, 6, 3), 620_000, date(2027, 5, 20), 210_000),
    # Shipped under Rev. B: new-meter accuracy 3 years or 400,000 gal, nothing after.
    ListedMeter("old", SAGE, "5/8", date(2019, 6, 3), 390_000, date(2027, 5, 20), 50_000),
    ListedMeter("unread", SAGE, "5/8", date(2024, 6, 3), None, None, 190_000),
    ListedMeter("foreign", "Quartz Arroyo Meter Works", "5/8", date(2025, 6, 3), 90_000, date(2027, 5, 20), 50_000),
]


@pytest.fixture
def fleet(recorded: Recorder) -> Catalogue:
    held = [suppliers.sage_hollow(), suppliers.sage_hollow_earlier(), suppliers.quartz_arroyo()]
    return put_fleet(recorded(held, confirmed=["sage-hollow-w12.pdf", "sage-hollow-w12-old.pdf"]), METERS)


def run(
    meter: str, flow: str, percent: str, spread: str | None = "0.3", line: int = 2, gallons: int | None = None
) -> BenchTest:
    return BenchTest(
        line,
        meter,
        TESTED,
        Fraction(flow),
        Fraction(percent),
        None if spread is None else Fraction(spread),
        None if gallons is None else Fraction(gallons),
    )


def of(outcome: Outcome) -> dict[str, Call]:
    return {result.meter_id: result.call for result in outcome.results}


SETTINGS = Settings(ON, prices=prices_of(["5/8=150"]))


def test_each_meter_is_held_to_the_promise_in_force_at_its_age_and_registration(fleet: Catalogue) -> None:
    tests = [run(meter, "0.25", "93", gallons=None) for meter in ("young", "busy", "old", "unread")]
    outcome = claims(fleet, tests, SETTINGS)
    assert of(outcome) == {
        "young": Call.CLAIMABLE,  # new-meter limits: 95 to 101.5 %
        "busy": Call.NOT_CLAIMABLE,  # past 500,000 gallons: repaired-meter limits, 90 to 101.5 %
        "old": Call.COVER_ENDED,  # Rev. B, three years
        "unread": Call.CANNOT_TELL,  # 190,000 gallons a year: the cap may or may not have been met
    }
    told = markdown(outcome.paper)
    assert "93 % at 0.25 gpm lies 2 points below the promised 95 to 101.5 % (new-meter accuracy), more than its" in told
    assert "it is outside 95 to 101.5 % (new-meter accuracy), but that cover ended by volume about 2026-10-22" in told
    assert "that cover ended by time on 2022-06-03" in told
    assert "the register's reading at the test would tell" in told


def test_the_reading_at_the_test_settles_what_the_list_leaves_open(fleet: Catalogue) -> None:
    for gallons, call in ((480_000, Call.CLAIMABLE), (500_001, Call.NOT_CLAIMABLE)):
        outcome = claims(fleet, [run("unread", "0.25", "93", gallons=gallons)], SETTINGS)
        assert of(outcome) == {"unread": call}


def test_only_what_a_person_confirmed_is_claimed_on_unless_asked(fleet: Catalogue) -> None:
    test = run("foreign", "2", "95")
    plain = claims(fleet, [test], SETTINGS)
    assert of(plain) == {"foreign": Call.NO_PROMISE} and "waits for a person" in markdown(plain.paper)
    asked = claims(fleet, [test], replace(SETTINGS, include_proposed=True))
    assert of(asked) == {"foreign": Call.CLAIMABLE} and "unconfirmed" in asked.paper.statuses[1].text


def test_limits_of_a_standard_known_only_from_memory_judge_no_meter(recorded: Recorder) -> None:
    # AWWA C708, multi-jet: its limits were read nowhere, so no row of it may pass or fail a meter.
    flows = ((FlowRole.MINIMUM, None, None, None, None),)
    term = suppliers.accuracy(
        AccuracyLevel.NEW_METER, 5, "500000", bands=flows, basis="AWWA C708", meter_type=MeterType.MULTI_JET
    )
    held = suppliers.reading("Thistle Bench Meters", [term], file_name="thistle.pdf", effective=date(2020, 1, 1))
    meters = [ListedMeter("m", "Thistle Bench Meters", "5/8", date(2025, 6, 3), 90_000, date(2027, 5, 20), 50_000)]
    fleet = put_fleet(recorded([held], confirmed=["thistle.pdf"]), meters)
    outcome = claims(fleet, [run("m", "0.25", "60")], SETTINGS)
    assert of(outcome) == {"m": Call.NO_PROMISE}
    assert "no limit at 0.25 gpm is known from a published source; the promise names AWWA C708" in markdown(
        outcome.paper
    )


def test_a_meter_that_is_not_in_the_list_of_meters_is_said_to_be_missing(fleet: Catalogue) -> None:
    outcome = claims(fleet, [run("stray", "2", "95")], SETTINGS)
    assert "the list of meters has no meter of this number" in markdown(outcome.paper)


def test_notice_runs_from_the_test_and_the_credit_from_the_price(fleet: Catalogue) -> None:
    outcome = claims(fleet, [run("young", "0.25", "93")], SETTINGS)
    (claim,) = outcome.claims
    assert claim.notice_by == date(2027, 7, 1) and claim.credit == 150  # 30 days from 1 June; the full price
    table = next(t for t in facts(outcome.paper)["tables"] if t["table"] == "claims-suppliers")
    assert table["rows"][0]["credit"] == 150 and table["rows"][0]["notice_by"] == "2027-07-01"
    late = claims(fleet, [run("young", "0.25", "93")], replace(SETTINGS, on=date(2027, 7, 4)))
    assert "passed 3 days ago" in markdown(late.paper)
    free = claims(fleet, [run("young", "0.25", "93")], Settings(ON))
    assert "price not given" in markdown(free.paper)


def test_what_was_sent_is_logged_and_left_out_the_next_time(fleet: Catalogue) -> None:
    tests = [run("young", "0.25", "93")]
    outcome = claims(fleet, tests, SETTINGS)
    assert logged(fleet) == []  # looking claims nothing
    assert record(fleet, outcome, ClaimAction.SENT, "R. Ortega", note="letter of 20 June") == 1
    (act,) = logged(fleet)
    assert (act.meter_id, act.reviewer, act.credit_pct) == ("young", "R. Ortega", 100)
    again = claims(fleet, tests, SETTINGS)
    assert again.claims == () and "1 left out: claimed before" in markdown(again.paper)
    assert "sent, " in markdown(again.paper) and "letter of 20 June" in markdown(again.paper)
    assert len(claims(fleet, tests, replace(SETTINGS, again=True)).claims) == 1
    assert record(fleet, again, ClaimAction.SENT, "R. Ortega") == 0  # no act twice
    assert record(fleet, again, ClaimAction.WITHDRAWN, "R. Ortega", meters=["young"]) == 1
    assert len(claims(fleet, tests, SETTINGS).claims) == 1 and len(logged(fleet)) == 2
    with pytest.raises(UsageError, match="no claim on meter busy"):
        record(fleet, again, ClaimAction.SENT, "R. Ortega", meters=["busy"])


def test_the_findings_in_sql_are_those_of_the_report(fleet: Catalogue) -> None:
    tests = [run("young", "0.25", "93", line=2), run("busy", "2", "98.4", line=3), run("old", "8", "97", line=4)]
    outcome = claims(fleet, tests, SETTINGS)
    rows = fleet.rows("SELECT * FROM bench_findings ORDER BY line_no")
    assert [row["call"] for row in rows] == ["claimable", "too_close", "no_promise"]
    assert [row["limit_pct"] for row in rows] == [95, 98.5, None]
    table = next(t for t in facts(outcome.paper)["tables"] if t["table"] == "claims-runs")
    assert [row["outside"] for row in table["rows"]] == [
        pytest.approx(row["outside_pct"], abs=0.05) for row in rows[:2]
    ] + [None]


def test_the_claim_file_holds_letter_meters_clause_and_duties(fleet: Catalogue, tmp_path: Path) -> None:
    outcome = claims(fleet, [run("young", "0.25", "93"), run("young", "2", "98.4")], SETTINGS)
    written = write_files(fleet, outcome, tmp_path / "claims", SETTINGS)
    assert {path.name for path in written} == {
        "claim_sage_hollow_flow_co.pdf",
        "claim_sage_hollow_flow_co.xlsx",
        "claim_sage_hollow_flow_co.html",
        "claims.html",
    }
    pages = PdfDocument(tmp_path / "claims" / "claim_sage_hollow_flow_co.pdf")
    letter = pages[0].get_textpage().get_text_range()
    for words in (
        "Warranty claim for 1 water meter",
        "Sage Hollow Flow Co.",
        "SH-12 Rev. C",
        "Signature",
        "Draft prepared",
    ):
        assert words in letter, letter
    assert len(pages) >= 2
    book = load_workbook(tmp_path / "claims" / "claim_sage_hollow_flow_co.xlsx")
    row = [cell.value for cell in book["Each meter with the run that li"][3]]
    assert row[0] == "young" and 93 in row and 150 in row and 240_000 in row
    assert logged(fleet) == []
