"""Prorated credits as a report over a catalogue, and the same shares in SQL."""

from fractions import Fraction
from pathlib import Path

import pytest

from firstcap.app.report.writers import facts
from firstcap.app.worth.credits import curve_of, prorated_credits
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue
from firstcap.worth.failure import Weibull


def test_what_is_paid_in_the_report_is_what_sql_says(pinyon: Catalogue) -> None:
    paper = prorated_credits(pinyon, price=Fraction(100), curve=Weibull(2.0, 18.0))
    tables = [table for table in facts(paper)["tables"] if table["table"].startswith("pays-")]
    assert tables, "the stack holds a prorated promise"
    tried = 0
    for table in tables:
        for column in (c["key"] for c in table["columns"] if c["key"].startswith("month_")):
            month = float(Fraction(column.removeprefix("month_")))
            held = pinyon.rows("SELECT DISTINCT customer_pays_pct AS pays FROM customer_pays_at(?)", [month])
            paid = {row["pays"] for row in held}
            for row in table["rows"]:
                assert row[column] in paid
                tried += 1
    assert tried >= 4


def test_discounting_never_makes_a_credit_worth_more(pinyon: Catalogue) -> None:
    paper = prorated_credits(pinyon, curve=Weibull(2.0, 18.0), discount=0.05)
    rows = [row for table in facts(paper)["tables"] if table["table"].startswith("worth-") for row in table["rows"]]
    assert rows and all(row["credit_now_high"] <= row["credit_high"] for row in rows)


def test_one_failure_curve_at_a_time_and_a_possible_one(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="one failure curve"):
        curve_of((2.0, 18.0), 15.0, None)
    with pytest.raises(UsageError, match="above zero"):
        curve_of((0.0, 18.0), None, None)
    table = tmp_path / "failures.csv"
    table.write_text("age,failed\n5,10\n10,4\n", encoding="utf-8")
    with pytest.raises(UsageError, match="never fall"):
        curve_of(None, None, table)
