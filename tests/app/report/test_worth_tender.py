"""A tender's asks against the documents of a catalogue, and the tightest asks that enough suppliers meet."""

from fractions import Fraction
from itertools import combinations
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import load_workbook
from test_worth_first_cap import rows_of

from firstcap.app.report.writers import deliver
from firstcap.app.worth.asks import Answer, Ask, Point, Tender, Verdict, answers_of, tender_from
from firstcap.app.worth.tender import compliance
from firstcap.app.worth.tightest import tightest_sets
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue


def asked(**values: Any) -> Tender:
    given: dict[str, Any] = {
        "name": "x",
        "component": "whole_meter",
        "promise": "accuracy",
        "level": "new_meter",
        "sizes": ["5/8"],
    }
    return Tender.model_validate({"ask": [given | values]})


def promised(pinyon: Catalogue) -> dict[str, tuple[float | None, float | None]]:
    rows = pinyon.rows(
        "SELECT file_name, duration_months, volume_cap_usgal FROM terms JOIN documents USING (document_id) "
        "WHERE promise = 'accuracy' AND accuracy_level = 'new_meter' AND size_label = '5/8'"
    )
    return {str(row["file_name"]): (row["duration_months"], row["volume_cap_usgal"]) for row in rows}  # type: ignore[misc]


# The same asks as the file of a tender has them, and as arguments of the table macro.
IN_SQL: list[tuple[dict[str, Any], str]] = [
    (
        {
            "months": 60,
            "usgal": 500_000,
            "starts": ["shipment", "installation"],
            "accurate": [{"usgpm": "0.25", "lower_pct": 95, "upper_pct": "101.5"}],
        },
        "'whole_meter', 'accuracy', of_level := 'new_meter', of_size := '5/8', months_asked := 60, "
        "usgal_asked := 500000, starts_asked := ['shipment', 'installation'], usgpm_asked := 0.25, lower_asked := 95, "
        "upper_asked := 101.5",
    ),
    (
        {"level": None, "accurate": [{"usgpm": "0.5", "lower_pct": 93}]},
        "'whole_meter', 'accuracy', of_size := '5/8', usgpm_asked := 0.5, lower_asked := 93",
    ),
    (
        {
            "component": "register",
            "promise": "materials_workmanship",
            "level": None,
            "sizes": [],
            "months": 120,
            "pays": [{"months": 132, "pct": 50}],
        },
        "'register', 'materials_workmanship', months_asked := 120, age_asked := 132, pays_asked := 50",
    ),
    (
        {"component": "register", "promise": "materials_workmanship", "level": None, "sizes": [], "months": 15},
        "'register', 'materials_workmanship', months_asked := 15",
    ),
]


@pytest.mark.parametrize(("values", "arguments"), IN_SQL)
def test_sql_gives_the_verdict_of_the_report(demo_papers: Catalogue, values: dict[str, Any], arguments: str) -> None:
    shown = {
        answer.document.document.document_id: answer.verdict
        for answer in answers_of(asked(**values), demo_papers)
        if answer.offer is not None
    }
    best: dict[str, Verdict] = {}
    ranks = list(Verdict)[::-1]
    for row in demo_papers.rows(f"SELECT document_id, verdict FROM asked({arguments})"):
        found = Verdict(str(row["verdict"]))
        held = best.get(str(row["document_id"]), ranks[0])
        best[str(row["document_id"])] = max(held, found, key=ranks.index)
    assert best == shown and len(set(shown.values())) > 1


@pytest.mark.parametrize("months", [12, 60, 61, 240])
def test_months_are_met_by_exactly_the_documents_that_promise_so_many(pinyon: Catalogue, months: int) -> None:
    held = promised(pinyon)
    assert held
    for answer in answers_of(asked(months=months), pinyon):
        name = answer.document.document.file_name
        if name in held and held[name][0] is not None:
            assert (answer.verdict in (Verdict.MET, Verdict.CONDITIONAL)) == (float(held[name][0] or 0) >= months)
            assert answer.points[0].margin == Fraction(held[name][0] or 0) - months
        elif name not in held:
            assert answer.verdict is Verdict.NOT_STATED or answer.offer is not None


def test_what_a_document_does_not_say_is_not_stated_and_never_a_no(pinyon: Catalogue) -> None:
    answers = answers_of(asked(component="software", promise="function", level=None, sizes=[], months=12), pinyon)
    assert answers and {answer.verdict for answer in answers} == {Verdict.NOT_STATED}


def test_a_flow_below_any_promised_one_is_not_stated(pinyon: Catalogue) -> None:
    want = [{"usgpm": 0.001, "lower_pct": 90}]
    assert {answer.verdict for answer in answers_of(asked(accurate=want), pinyon)} == {Verdict.NOT_STATED}


def test_the_matrix_has_a_column_a_document_and_reads_back_from_the_spreadsheet(
    pinyon: Catalogue, tmp_path: Path
) -> None:
    paper = compliance(asked(months=60, usgal=400_000), pinyon, at_least=1)
    deliver(paper, tmp_path / "matrix.xlsx")
    book = load_workbook(tmp_path / "matrix.xlsx")
    assert book.sheetnames[0] == "Compliance" and book["Compliance"].freeze_panes == "B3"
    details = book["Each value asked for"]
    header = [cell.value for cell in details[2]]
    margins = [row[header.index("Margin")].value for row in details.iter_rows(min_row=3)]
    shown = [row["margin"] for row in rows_of(paper, "details") if row["margin"] is not None]
    assert [margin for margin in margins if margin is not None] == pytest.approx(shown)


def test_a_file_that_is_no_file_of_asks_is_refused_with_what_is_wrong(tmp_path: Path) -> None:
    path = tmp_path / "asks.toml"
    path.write_text('[[ask]]\nname = "x"\ncomponent = "dial"\npromise = "accuracy"\nmonths = 12\n', encoding="utf-8")
    with pytest.raises(UsageError, match="component"):
        tender_from(path)
    path.write_text('[[ask]]\nname = "x"\ncomponent = "register"\npromise = "function"\n', encoding="utf-8")
    with pytest.raises(UsageError, match="asks for nothing"):
        tender_from(path)
    path.write_text("[[ask]\n", encoding="utf-8")
    with pytest.raises(UsageError, match="TOML"):
        tender_from(path)


def answer(supplier: str, months: int, gallons: int) -> Answer:
    ask = Ask.model_validate({"name": "x", "component": "register", "promise": "function", "months": 1})
    points = (
        Point("time", "months", Verdict.MET, promised=Fraction(months)),
        Point("volume", "gal", Verdict.MET, promised=Fraction(gallons)),
    )
    return Answer(ask, None, SimpleNamespace(label=supplier, maker=supplier, earlier=False), None, points)  # type: ignore[arg-type]


def test_a_supplier_counts_once_and_an_earlier_edition_not_at_all(demo_papers: Catalogue) -> None:
    answers = answers_of(asked(months=1, usgal=1), demo_papers)
    earlier = {answer.document.label for answer in answers if answer.document.earlier and answer.points}
    assert earlier, "the stack holds two editions of one form"
    for one in tightest_sets(answers, 3):
        makers = {answer.document.maker for answer in answers if answer.document.label in one.suppliers}
        assert len(makers) >= 3 and not earlier & set(one.suppliers)
    told = rows_of(compliance(asked(months=1, usgal=1), demo_papers), "details")
    assert any("years" in str(row["quote"]) for row in told), "the document's own words stand beside each value"


@given(st.lists(st.tuples(st.integers(1, 9), st.integers(1, 9)), min_size=2, max_size=6), st.integers(1, 3))
def test_no_value_of_a_tightest_set_can_be_raised_for_the_same_number_of_suppliers(
    drawn: list[tuple[int, int]], least: int
) -> None:
    least = min(least, len(drawn))
    found = tightest_sets([answer(f"S{n}", *values) for n, values in enumerate(drawn)], least)

    def meeting(months: Fraction, gallons: Fraction) -> int:
        return sum(m >= months and g >= gallons for m, g in drawn)

    assert found
    for one in found:
        months, gallons = (value for _, value in sorted(one.values.items()))
        assert meeting(months, gallons) >= least and len(one.suppliers) == meeting(months, gallons)
        assert meeting(months + 1, gallons) < least and meeting(months, gallons + 1) < least
    best = {(min(m for m, _ in choice), min(g for _, g in choice)) for choice in combinations(drawn, least)}
    assert {tuple(int(v) for _, v in sorted(one.values.items())) for one in found} <= best
