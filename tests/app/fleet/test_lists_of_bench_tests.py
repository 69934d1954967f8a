"""Lists of bench tests as sheets of a bench write them (invented meters): what is read, what is told and left out."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest

from firstcap.app.fleet.bench_list import BenchList, bench_list, number_in
from firstcap.app.fleet.dates import DayOrder
from firstcap.schema.errors import UsageError

DAY = date(2026, 7, 1)


@pytest.fixture
def read(tmp_path: Path):  # type: ignore[no-untyped-def]
    def from_text(text: str, **options: object) -> BenchList:
        path = tmp_path / "tests.csv"
        path.write_text(text, encoding="utf-8")
        return bench_list(path, day=DAY, **options)  # type: ignore[arg-type]

    return from_text


def test_registration_is_read_as_per_cent_as_error_or_from_two_volumes(read) -> None:  # type: ignore[no-untyped-def]
    rows = [
        ("Meter No,Test date,Flow (gpm),Accuracy\nPR-1,2026-06-01,1/4,93.0 %\n", 93),
        ("meter_id,tested_on,flow_gpm,error_pct\nPR-1,1 June 2026,0.25,-7\n", 93),
        ("Serial;Date;Flow;Registered volume;Reference volume\nPR-1;20260601;0.25 gpm;9.30;10\n", 93),
        ("meter,tested,flow,flow unit,registration\nPR-1,2026-06-01,56.78,L/h,93\n", 93),
    ]
    for text, percent in rows:
        (test,) = read(text).tests
        assert (test.line, test.meter_id, test.tested_on) == (2, "PR-1", date(2026, 6, 1)), text
        assert test.registration == percent and abs(test.flow - Fraction(1, 4)) < Fraction(1, 1000), text


def test_readings_are_taken_in_any_unit_of_volume_and_uncertainty_as_points(read) -> None:  # type: ignore[no-untyped-def]
    head = "meter_id,tested_on,flow_gpm,registration_pct,uncertainty_pct,reading,reading_unit\n"
    (test,) = read(head + 'PR-1,2026-06-01,2,99.1,±0.3,"1,234",CCF\n').tests
    assert test.uncertainty == Fraction(3, 10)
    assert test.reading_usgal is not None and round(float(test.reading_usgal)) == 923_096  # 1,234 × 748.052
    (test,) = read("meter_id,tested_on,flow_gpm,registration,reading (kgal)\nPR-1,2026-06-01,2,99,61\n").tests
    assert test.reading_usgal == 61_000


@pytest.mark.parametrize(
    ("line", "column", "reason"),
    [
        (",2026-06-01,2,99,", "meter_id", "no number of a meter"),
        ("PR-1,31 June 2026,2,99,", "tested_on", "no day of the calendar"),
        ("PR-1,2026-08-01,2,99,", "tested_on", "later than 2026-07-01"),
        ("PR-1,2026-06-01,0,99,", "flow", "no flow above zero"),
        ("PR-1,2026-06-01,2,,", "registration_pct", "neither a registration nor both volumes"),
        ("PR-1,2026-06-01,2,0.985,", "registration_pct", "a share of one"),
        ("PR-1,2026-06-01,2,985,", "registration_pct", "no registration between"),
        ('PR-1,2026-06-01,2,"98,5",', "registration_pct", "decimal point"),
        ("PR-1,2026-06-01,2,99,-0.3", "uncertainty_pct", "below zero"),
    ],
)
def test_a_line_that_cannot_be_used_is_told_with_its_number_and_reason(read, line, column, reason) -> None:  # type: ignore[no-untyped-def]
    held = read(f"meter_id,tested_on,flow_gpm,registration,uncertainty\nPR-9,2026-06-02,2,100,0.2\n{line}\n")
    assert [test.meter_id for test in held.tests] == ["PR-9"]
    (fault,) = held.faults
    assert (fault.line, fault.column) == (3, column) and reason in fault.reason


def test_a_stated_registration_and_volumes_that_differ_are_not_chosen_between(read) -> None:  # type: ignore[no-untyped-def]
    head = "meter,date,flow (gpm),registration,registered volume,reference volume\n"
    held = read(head + "PR-1,2026-06-01,2,99.0,9.3,10\nPR-2,2026-06-01,2,93.0,9.3,10\n")
    assert [test.meter_id for test in held.tests] == ["PR-2"] and "does not agree" in held.faults[0].reason


def test_what_cannot_be_told_of_the_whole_list_is_asked_for(read) -> None:  # type: ignore[no-untyped-def]
    bare = "meter_id,tested_on,flow,registration\nPR-1,03/04/2026,2,99\n"
    with pytest.raises(UsageError, match="day-first"):
        read(bare)
    held = read(bare, dates=DayOrder.DAY_FIRST)
    assert held.tests == () and "--flow-unit" in held.faults[0].reason
    assert read(bare, dates=DayOrder.DAY_FIRST, flow_unit="gpm").tests[0].tested_on == date(2026, 4, 3)
    with pytest.raises(UsageError, match="registration_pct"):
        read("meter_id,tested_on,flow\nPR-1,2026-06-01,2\n")
    with pytest.raises(UsageError, match="could each be"):
        read("meter,serial,date,flow,registration\nPR-1,1,2026-06-01,2,99\n")


def test_a_file_says_which_column_is_which_and_what_the_cells_mean(read, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    said = tmp_path / "columns.toml"
    said.write_text(
        'flow_unit = "L/h"\nunit = "m3"\ndates = "day-first"\n[columns]\nmeter_id = "Tag"\nreading = "Dial"\n'
    )
    text = "Tag,Meter,Date,Flow,Accuracy,Dial\nPR-1,other,03/04/2026,56.78,99,10\n"
    (test,) = read(text, columns=said).tests
    assert (test.meter_id, test.tested_on) == ("PR-1", date(2026, 4, 3)) and test.reading_usgal is not None
    assert abs(test.flow - Fraction(1, 4)) < Fraction(1, 1000) and round(float(test.reading_usgal)) == 2642
    for content, message in (
        ('[columns]\nserial = "Tag"\n', "columns.serial is none; write meter_id"),
        ('[columns]\nmeter_id = "Nowhere"\n', "has no column 'Nowhere'"),
        ('decimals = "comma"\n', "has no use for decimals; it may hold columns, unit, flow_unit"),
        ('columns = "Tag"\n', "columns must be a table"),
    ):
        said.write_text(content)
        with pytest.raises(UsageError, match=message):
            read(text, columns=said, dates=DayOrder.DAY_FIRST)


def test_numbers_are_read_as_a_bench_prints_them() -> None:
    cases = {"0.25": "1/4", "1/4": "1/4", "1 1/2": "3/2", "1,234.5": "2469/2", ".5": "1/2", "−1.5 %": "-3/2"}
    assert {text: str(number_in(text)) for text in cases} == cases
    assert [number_in(text) for text in ("98,5", "1,23", "", "n/a", "1/0")] == [None] * 5
