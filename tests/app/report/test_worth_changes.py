"""Two editions of one form, promise by promise, as a buyer sees them."""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from test_worth_first_cap import rows_of

from firstcap.app.report.comparison import compare
from firstcap.app.report.rows import CreditRow, load_all
from firstcap.app.worth.changes import Turn, changes, named, paired, proration, together
from firstcap.app.worth.editions import shipments_from
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue


def ids(pinyon: Catalogue) -> tuple[str, str]:
    [row] = pinyon.rows("SELECT document_id, next_document_id FROM editions WHERE next_document_id IS NOT NULL")
    return str(row["document_id"]), str(row["next_document_id"])


def test_the_sql_view_of_editions_names_the_next_one_and_its_day(pinyon: Catalogue) -> None:
    rows = pinyon.rows("SELECT * FROM editions WHERE document_id IN (?, ?) ORDER BY effective_from", list(ids(pinyon)))
    assert rows[0]["superseded_on"] == rows[1]["effective_from"] and rows[1]["superseded_on"] is None


def test_turned_round_every_better_becomes_worse_and_every_new_gone(pinyon: Catalogue) -> None:
    old, new = ids(pinyon)
    there, back = rows_of(changes(pinyon, old, new), "promises"), rows_of(changes(pinyon, new, old), "promises")
    opposite = {"better": "worse", "worse": "better", "new": "gone", "gone": "new"}
    forward = sorted((str(r["promise"]), str(r["size"]), opposite.get(str(r["turn"]), str(r["turn"]))) for r in there)
    assert forward == sorted((str(r["promise"]), str(r["size"]), str(r["turn"])) for r in back)
    assert {row["turn"] for row in there} & {"better", "worse", "new", "gone", "better and worse", "changed"}


def test_each_change_says_whether_it_was_checked_and_leads_to_both_pages(demo_papers: Catalogue) -> None:
    paper = changes(demo_papers, named(demo_papers, "saltgrove_disc_rev5"), named(demo_papers, "saltgrove_disc_rev6"))
    [table] = [table for table in paper.tables if table.key == "values"]
    keys = [column.key for column in table.columns]
    times = [row for row in table.rows if row[keys.index("value")].text == "time"]
    assert times
    for row in times:
        assert "unconfirmed" in row[keys.index("state")].text
        old, new = row[keys.index("old")].places, row[keys.index("new")].places
        assert {place.file_name for place in old} == {"saltgrove_disc_rev5.pdf"}
        assert {place.file_name for place in new} == {"saltgrove_disc_rev6.pdf"}


def test_a_document_is_unchanged_against_its_own_values(pinyon: Catalogue) -> None:
    comparison = compare(load_all(pinyon))
    for column in comparison.columns:
        assert {pair.turn for pair in paired(comparison, column, column)} <= {Turn.SAME}


def test_a_smaller_share_to_pay_in_one_year_and_a_larger_in_another_is_better_and_worse(pinyon: Catalogue) -> None:
    stack = load_all(pinyon)
    comparison = compare(stack)
    offer = next(one for one in comparison.offers if one.steps)
    first, *rest = [step for step in offer.credits if step.customer_pays_pct > 0] or offer.credits
    cheaper = replace(first, customer_pays_pct=first.customer_pays_pct - Decimal(1))
    dearer = [replace(step, customer_pays_pct=step.customer_pays_pct + Decimal(1)) for step in rest]

    def turn(steps: list[CreditRow]) -> str:
        others = [step for step in offer.credits if step.from_month not in {one.from_month for one in steps}]
        changed = replace(offer, credits=(*others, *steps))
        return proration(offer, changed).turn.value

    assert turn([cheaper]) == "better"
    assert not dearer or turn([cheaper, *dearer]) == "better and worse"


def test_several_changes_together() -> None:
    assert together([]) is Turn.SAME and together([Turn.SAME, Turn.REWORDED]) is Turn.REWORDED
    assert together([Turn.OTHER, Turn.WORSE]) is Turn.WORSE and together([Turn.BETTER, Turn.WORSE]) is Turn.MIXED


def test_meters_fall_under_the_edition_in_force_on_the_day_they_were_shipped(pinyon: Catalogue) -> None:
    old, new = ids(pinyon)
    [row] = pinyon.rows("SELECT superseded_on FROM editions WHERE document_id = ?", [old])
    turn = row["superseded_on"]
    assert isinstance(turn, date)
    meters = [("A1", turn.replace(year=turn.year - 1)), ("A2", turn), ("A3", date(1950, 1, 1))]
    found = [str(row["edition"]) for row in rows_of(changes(pinyon, old, new, meters), "meters")]
    assert len(set(found)) == 3 and found[2] == "an edition before the old one"


def test_a_name_must_mean_one_document_and_a_day_must_be_one(pinyon: Catalogue, tmp_path: Path) -> None:
    with pytest.raises(UsageError):
        named(pinyon, "")
    table = tmp_path / "meters.csv"
    table.write_text("meter,shipped\nA1,03/05/2021\n", encoding="utf-8")
    with pytest.raises(UsageError, match="line 2"):
        shipments_from(table)
