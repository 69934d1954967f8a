"""Accuracy against the standards and exposure, as reports over a catalogue."""

from fractions import Fraction
from pathlib import Path

import numpy as np
import polars as pl
import pytest
from test_worth_first_cap import rows_of

from firstcap.app.report.writers import markdown
from firstcap.app.worth.accuracy import accuracy
from firstcap.app.worth.exposure import Profile, exposure, profile_from
from firstcap.app.worth.first_cap import unit_named
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue
from firstcap.worth.exposure import DemandBand


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
    shares, amounts = rows_of(paper, "exposure"), rows_of(paper, "amounts")
    assert [row["meters"] for row in amounts] == [1, 1000] * len(shares)
    for row, single, fleet in zip(shares, amounts[::2], amounts[1::2], strict=True):
        if row["exposed_high"] is not None:
            share = float(str(row["exposed_high"])) / 100
            assert single["volume_high"] == pytest.approx(80 * share)
            assert fleet["volume_high"] == pytest.approx(80 * share * 1000)
            assert fleet["money_high"] == pytest.approx(80 * share * 6.5 * 1000, abs=0.01)
            assert float(str(row["exposed_low"])) <= float(str(row["exposed_high"]))
    ranged = [row for row in shares if row["exposed_low"] != row["exposed_high"]]
    assert ranged, "the shares of the rule of thumb are a range, never a false point"
    assert "common practice" in markdown(paper) and "no published source" in markdown(paper)


DEMANDS: list[tuple[list[tuple[float, float, int]] | None, int, bool]] = [
    (None, 5, False),
    ([(0, 0.25, 8), (0.25, 1, 12), (1, 10, 65), (10, 20, 15)], 0, True),
    ([(0, 0.2, 8), (0.2, 40, 92)], 3, False),
]


@pytest.mark.parametrize(("demand", "spread", "registered"), DEMANDS)
def test_sql_and_the_report_give_the_same_exposure(
    demo_papers: Catalogue, demand: list[tuple[float, float, int]] | None, spread: int, registered: bool
) -> None:
    bands = [
        DemandBand(Fraction(str(low)), Fraction(str(high)), Fraction(share, 100), Fraction(spread, 100))
        for low, high, share in demand or ()
    ]
    profile = Profile(tuple(bands), "a test") if demand else None
    paper = exposure(demo_papers, "5/8", use=Fraction(1000), profile=profile, registered=registered)
    names = ("exposed_low", "exposed_high", "unprotected_low", "unprotected_high")
    shown = sorted([float(str(row[name] or 0)) for name in names] for row in rows_of(paper, "exposure"))
    listed = ", ".join(f"{{'low': {low}, 'high': {high}, 'share': {share}}}" for low, high, share in demand or ())
    rows = demo_papers.rows(
        f"SELECT * FROM exposure_at('5/8', demand := {f'[{listed}]' if demand else 'NULL'}, spread := {spread}, "
        f"registered := {registered})"
    )
    found = sorted([float(str(row[f"{name}_pct"])) for name in names] for row in rows)
    assert len(found) > 4 and np.allclose(found, shown)
    assert any(row["low_flow_term_id"] for row in rows)


def test_exposure_of_each_promise_is_what_another_library_sums_up(demo_papers: Catalogue) -> None:
    bands = pl.DataFrame(
        demo_papers.rows(
            "SELECT term_id, flow_role, flow_from_usgpm AS flow, lower_pct AS lower FROM accuracy_bands "
            "JOIN terms USING (term_id) WHERE size_label = '5/8' AND accuracy_level = 'repaired_meter'"
        ),
    )
    shares = pl.DataFrame({"flow_role": ["minimum", "intermediate", "maximum"], "share": [15.0, 70.0, 15.0]})
    summed = (
        bands.join(shares, on="flow_role")
        .group_by("term_id")
        .agg(((1 - pl.col("lower") / 100) * pl.col("share")).sum().alias("pct"), pl.len().alias("flows"))
        .filter(pl.col("flows") == 3)
    )
    sql = {row["term_id"]: row["exposed_high_pct"] for row in demo_papers.rows("SELECT * FROM exposure_at('5/8')")}
    assert len(summed) > 0
    for term_id, pct, _ in summed.rows():
        assert sql[term_id] == pytest.approx(pct)


def test_a_profile_of_ones_own_is_checked(tmp_path: Path) -> None:
    table = tmp_path / "profile.csv"
    table.write_text("from,to,share\n0,0.25,5\n0.25,20,95\n", encoding="utf-8")
    assert [band.share for band in profile_from(table).bands] == [Fraction(1, 20), Fraction(19, 20)]
    table.write_text("from,to,share,spread\n0,0.25,5,2\n0.25,20,95,\n", encoding="utf-8")
    assert [band.spread for band in profile_from(table).bands] == [Fraction(1, 50), 0]
    table.write_text("from,to,share\n0,0.25,5\n0.25,20,80\n", encoding="utf-8")
    with pytest.raises(UsageError, match="sum to 85 %"):
        profile_from(table)
    table.write_text("from,to,share\n2,1,100\n", encoding="utf-8")
    with pytest.raises(UsageError, match="line 2"):
        profile_from(table)
