"""Accuracy against the standards and exposure, as reports over a catalogue."""

from fractions import Fraction
from pathlib import Path

import pytest
from test_worth_first_cap import rows_of

from firstcap.app.report.writers import markdown
from firstcap.app.worth.accuracy import accuracy
from firstcap.app.worth.exposure import exposure, profile_from
from firstcap.app.worth.first_cap import unit_named
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue


def test_margins_in_the_report_are_those_of_the_sql_view(pinyon: Catalogue) -> None:
    rows = rows_of(accuracy(pinyon, size="5/8"), "margins")
    shown = {float(str(row["margin_new"])) for row in rows if row["size"] == "5/8" and row["margin_new"] is not None}
    held = pinyon.rows(
        "SELECT DISTINCT lower_margin_pct AS margin FROM accuracy_margins "
        "WHERE size_label = '5/8' AND condition = 'new' AND lower_margin_pct IS NOT NULL"
    )
    assert shown and shown <= {float(str(row["margin"])) for row in held}


def test_an_unknown_edition_is_refused_with_the_known_ones(pinyon: Catalogue) -> None:
    with pytest.raises(UsageError, match="older print"):
        accuracy(pinyon, edition="1932")


def test_documents_with_less_than_the_standard_are_named_at_the_head(pinyon: Catalogue) -> None:
    paper = accuracy(pinyon, size="5/8")
    lacking = [row for row in rows_of(paper, "margins") if row["verdict"] == "less than the standard"]
    told = [status for status in paper.statuses if "less than the standard" in status.text]
    assert len(told) == 1 and told[0].open == bool(lacking)


def test_exposure_counts_volume_and_money_from_the_same_share(pinyon: Catalogue) -> None:
    paper = exposure(pinyon, "5/8", use=Fraction(80_000), unit=unit_named("kgal"), tariff=Fraction("6.5"), meters=1000)
    for row in rows_of(paper, "exposure"):
        if row["exposed_high"] is not None:
            share = float(str(row["exposed_high"])) / 100
            assert row["volume_high"] == pytest.approx(80 * share)
            assert row["money_high"] == pytest.approx(80 * share * 6.5 * 1000, abs=0.01)
            assert float(str(row["exposed_low"])) <= float(str(row["exposed_high"]))
    assert "common practice" in markdown(paper) and "no published source" in markdown(paper)


def test_a_profile_of_ones_own_is_checked(tmp_path: Path) -> None:
    table = tmp_path / "profile.csv"
    table.write_text("from,to,share\n0,0.25,5\n0.25,20,95\n", encoding="utf-8")
    assert [band.share for band in profile_from(table).bands] == [Fraction(1, 20), Fraction(19, 20)]
    table.write_text("from,to,share\n0,0.25,5\n0.25,20,80\n", encoding="utf-8")
    with pytest.raises(UsageError, match="sum to 85 %"):
        profile_from(table)
    table.write_text("from,to,share\n2,1,100\n", encoding="utf-8")
    with pytest.raises(UsageError, match="line 2"):
        profile_from(table)
