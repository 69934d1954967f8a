"""Meters to test before their cover ends: which, how many of each lot, and what is at stake (invented meters)."""

from datetime import date
from fractions import Fraction

import pytest
import suppliers
from fleets import ListedMeter, put_fleet
from suppliers import Recorder

from firstcap.app.report.writers import facts
from firstcap.app.worth.prices import prices_of
from firstcap.app.worth.test_first import Plan, PlanKind, Worth, candidates, planned
from firstcap.app.worth.test_first import test_first as report
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue
from firstcap.worth.sampling import draw

SAGE = "Sage Hollow Flow Co."
ON = date(2028, 7, 1)
# New-meter accuracy of Rev. C: 5 years or 500,000 gallons, whichever comes first.
QUIET = [
    ListedMeter(f"quiet-{n:03}", SAGE, "5/8", date(2024, 6, 1 + n % 28), 160_000, date(2028, 6, 1), 40_000)
    for n in range(200)
]
BUSY = [
    ListedMeter(f"busy-{n}", SAGE, "5/8", date(2026, 6, 1), 430_000, date(2028, 6, 1), 210_000 + n) for n in range(3)
]
YOUNG = [ListedMeter("young", SAGE, "5/8", date(2027, 6, 1), 20_000, date(2028, 6, 1), 20_000)]
WORTH = Worth(prices_of(["150"]), Fraction(7, 1000))


@pytest.fixture(scope="module")
def fleet(recorded: Recorder) -> Catalogue:
    return put_fleet(recorded([suppliers.sage_hollow()], confirmed=["sage-hollow-w12.pdf"]), QUIET + BUSY + YOUNG)


def test_meters_are_found_whose_cover_ends_by_time_or_by_volume(fleet: Catalogue) -> None:
    found = {one.meter_id: one for one in candidates(fleet, ON, 12, WORTH)}
    assert len(found) == 203 and "young" not in found
    assert found["quiet-000"].ends_on == date(2029, 6, 1) and found["quiet-000"].by == "time"
    assert found["busy-0"].by == "volume" and date(2028, 9, 1) < found["busy-0"].ends_on < date(2028, 11, 1)
    assert {one.meter_id for one in candidates(fleet, ON, 6, WORTH)} == {"busy-0", "busy-1", "busy-2"}


def test_what_is_most_at_stake_comes_first(fleet: Catalogue) -> None:
    found = candidates(fleet, ON, 12, WORTH)
    assert [one.meter_id for one in found[:3]] == ["busy-2", "busy-1", "busy-0"]
    # 40,000 gallons registered at 98.5 % leave 609.14 unregistered: 4.26 of money, and the price of 150 owed in full.
    quiet = found[3].stake
    assert quiet.usgal == Fraction(40_000) * (1 / Fraction(985, 1000) - 1)
    assert round(float(quiet.usgal), 2) == 609.14
    assert quiet.credit == 150 and quiet.money is not None and round(float(quiet.money), 2) == 154.26


def test_each_lot_has_its_plan_and_a_sample_that_can_be_repeated(fleet: Catalogue) -> None:
    large, small = planned(candidates(fleet, ON, 12, WORTH), Plan(), "2028-07-01")
    assert (large.lot.year, len(large.candidates), large.sample) == (2024, 200, 51)  # 10 of 200 failing, 95 %
    assert large.chance is not None and round(float(large.chance), 5) == 0.04862
    assert (small.lot.year, small.sample) == (2026, 3)
    meters = [meter.meter_id for meter in reversed(QUIET)]
    assert large.drawn == draw(meters, 51, seed="2028-07-01", lot=f"{SAGE}/5/8/2024")


def test_the_published_table_plans_only_lots_it_was_seen_printed_for(fleet: Catalogue) -> None:
    large, small = planned(candidates(fleet, ON, 12, WORTH), Plan(kind=PlanKind.LETTERS), "s")
    assert (large.letter, large.sample) == ("G", 32) and (small.letter, small.sample, small.drawn) == (None, None, ())


def test_sql_gives_the_same_meters_and_lots(fleet: Catalogue) -> None:
    rows = fleet.rows("SELECT meter_id FROM test_first_on(DATE '2028-07-01', 12)")
    assert {row["meter_id"] for row in rows} == {one.meter_id for one in candidates(fleet, ON, 12, WORTH)}
    lots = fleet.rows("SELECT lot_year, meters FROM test_lots_on(DATE '2028-07-01', 12) ORDER BY lot_year")
    assert [(row["lot_year"], row["meters"]) for row in lots] == [(2024, 200), (2026, 3)]


def test_the_report_says_seed_plan_and_what_it_leaves_out(fleet: Catalogue) -> None:
    paper = report(fleet, ON, 12, worth=WORTH, most=10)
    tables = {table["table"]: table for table in facts(paper)["tables"]}
    assert [row["sample"] for row in tables["lots"]["rows"]] == [51, 3]
    assert len(tables["drawn"]["rows"]) == 54 and len(tables["meters"]["rows"]) == 10
    assert "193 more" in tables["meters"]["note"] and "“2028-07-01”" in paper.assumptions[0]
    assert paper.statuses[1].text == "All 1 promise shown were checked by a person."


def test_impossible_plans_are_refused() -> None:
    for wrong in (Fraction(0), Fraction(2)):
        with pytest.raises(UsageError, match="failing share"):
            Plan(share=wrong)
    with pytest.raises(UsageError, match="no price"):
        prices_of(["5/8=cheap"])
    with pytest.raises(UsageError, match="no meter size"):
        prices_of(["7/8=10"])
    assert prices_of(['5/8"=1,148.50', "3"]) == {"5/8": Fraction("1148.5"), "": 3}
