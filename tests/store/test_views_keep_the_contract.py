"""The public views, column for column, as analysts were promised them."""

from datetime import date

import duckdb
import pytest
from pinyon_readings import accuracy_term, banded_term, reading, register_term, sha

from firstcap.schema.baselines import BASELINES
from firstcap.schema.terms import AccuracyBand, Limit, Start
from firstcap.schema.vocabulary import SIZES, Component, Ends, LimitKind, StartEvent
from firstcap.store.catalogue import Catalogue, NewDecision
from firstcap.store.contract import VIEWS
from firstcap.store.macros import MACROS

# The contract once more, written out: view, then its columns and types in order.
CONTRACT = {
    "documents": "document_id VARCHAR, file_name VARCHAR, supplier VARCHAR, title VARCHAR, document_code VARCHAR, "
    "revision VARCHAR, effective_from DATE, pages INTEGER, text_source VARCHAR, region VARCHAR, status VARCHAR, "
    "added_at TIMESTAMP WITH TIME ZONE",
    "terms": "term_id VARCHAR, document_id VARCHAR, supplier VARCHAR, product VARCHAR, meter_type VARCHAR, "
    "size_label VARCHAR, component VARCHAR, variant VARCHAR, promise VARCHAR, accuracy_level VARCHAR, "
    "duration_months DOUBLE, full_months DOUBLE, duration_days INTEGER, duration_text VARCHAR, start_event VARCHAR, "
    "start_rule VARCHAR, volume_cap_usgal DOUBLE, volume_cap_text VARCHAR, ends VARCHAR, life_of VARCHAR, "
    "remedy VARCHAR, state VARCHAR, confidence DOUBLE",
    "limits": "term_id VARCHAR, limit_no INTEGER, kind VARCHAR, months DOUBLE, days INTEGER, usgal DOUBLE, "
    "start_event VARCHAR, limit_text VARCHAR",
    "starts": "term_id VARCHAR, start_no INTEGER, event VARCHAR, plus_months DOUBLE, start_text VARCHAR",
    "accuracy_bands": "term_id VARCHAR, flow_role VARCHAR, flow_from_usgpm DOUBLE, flow_to_usgpm DOUBLE, "
    "lower_pct DOUBLE, upper_pct DOUBLE, basis VARCHAR, band_text VARCHAR",
    "credits": "term_id VARCHAR, from_month DOUBLE, to_month DOUBLE, customer_pays_pct DOUBLE, price_basis VARCHAR, "
    "credit_text VARCHAR",
    "exclusions": "document_id VARCHAR, kind VARCHAR, quote VARCHAR",
    "duties": "document_id VARCHAR, kind VARCHAR, days INTEGER, quote VARCHAR",
    "conditions": "document_id VARCHAR, kind VARCHAR, quote VARCHAR",
    "clauses": "document_id VARCHAR, clause_no INTEGER, family VARCHAR, kind VARCHAR, days INTEGER, quote VARCHAR, "
    "state VARCHAR",
    "warnings": "document_id VARCHAR, item_id VARCHAR, kind VARCHAR, page INTEGER, message VARCHAR",
    "evidence": "item_id VARCHAR, field VARCHAR, page INTEGER, x0_pt DOUBLE, top_pt DOUBLE, x1_pt DOUBLE, "
    "bottom_pt DOUBLE, quote VARCHAR, pattern VARCHAR, confidence DOUBLE",
    "decisions": "decided_at TIMESTAMP WITH TIME ZONE, reviewer VARCHAR, item_id VARCHAR, field VARCHAR, "
    "action VARCHAR, old_value VARCHAR, new_value VARCHAR, note VARCHAR",
    "baselines": "standard VARCHAR, edition VARCHAR, meter_type VARCHAR, size_label VARCHAR, condition VARCHAR, "
    "flow_role VARCHAR, flow_from_usgpm DOUBLE, flow_to_usgpm DOUBLE, lower_pct DOUBLE, upper_pct DOUBLE, "
    "source VARCHAR, certainty VARCHAR",
    "break_evens": "term_id VARCHAR, document_id VARCHAR, supplier VARCHAR, size_label VARCHAR, component VARCHAR, "
    "promise VARCHAR, accuracy_level VARCHAR, ends VARCHAR, state VARCHAR, duration_months DOUBLE, "
    "volume_cap_usgal DOUBLE, year_usgal DOUBLE, month_usgal DOUBLE, day_usgal DOUBLE",
    "accuracy_margins": "term_id VARCHAR, supplier VARCHAR, size_label VARCHAR, accuracy_level VARCHAR, "
    "flow_role VARCHAR, flow_from_usgpm DOUBLE, flow_to_usgpm DOUBLE, lower_pct DOUBLE, upper_pct DOUBLE, "
    "standard VARCHAR, edition VARCHAR, condition VARCHAR, lower_margin_pct DOUBLE, upper_margin_pct DOUBLE, "
    "certainty VARCHAR",
    "editions": "document_id VARCHAR, supplier VARCHAR, document_code VARCHAR, revision VARCHAR, effective_from DATE, "
    "superseded_on DATE, next_document_id VARCHAR",
    "passages": "family VARCHAR, kind VARCHAR, supplier VARCHAR, file_name VARCHAR, document_id VARCHAR, text VARCHAR, "
    "state VARCHAR, page INTEGER, item_id VARCHAR, field VARCHAR",
    "meters": "line_no BIGINT, meter_id VARCHAR, supplier VARCHAR, document_code VARCHAR, product VARCHAR, "
    "size_label VARCHAR, shipped_on DATE, installed_on DATE, reading_usgal DOUBLE, reading_on DATE, "
    "year_usgal DOUBLE, supplier_written VARCHAR, product_written VARCHAR",
    "meter_problems": "line_no BIGINT, meter_id VARCHAR, meter_used BOOLEAN, kind VARCHAR, column_name VARCHAR, "
    "written VARCHAR",
    "meter_cover": "line_no BIGINT, meter_id VARCHAR, supplier VARCHAR, size_label VARCHAR, shipped_on DATE, "
    "installed_on DATE, term_id VARCHAR, document_id VARCHAR, component VARCHAR, promise VARCHAR, "
    "accuracy_level VARCHAR, product VARCHAR, state VARCHAR, ends VARCHAR, starts_on DATE, ends_by_time DATE, "
    "ends_by_volume DATE, ends_on DATE, ends_on_earliest DATE, ends_on_latest DATE, ending_cap VARCHAR, "
    "covered BOOLEAN, doubt VARCHAR, left_months INTEGER, left_usgal DOUBLE, assumed VARCHAR",
    "meter_totals": "supplier VARCHAR, size_label VARCHAR, shipped_year INTEGER, component VARCHAR, promise VARCHAR, "
    "accuracy_level VARCHAR, meters BIGINT, covered BIGINT, ended_by_time BIGINT, ended_by_volume BIGINT, "
    "not_begun BIGINT, cannot_tell BIGINT, unconfirmed BIGINT",
    "bench_tests": "line_no BIGINT, meter_id VARCHAR, tested_on DATE, flow_usgpm DOUBLE, registered_pct DOUBLE, "
    "uncertainty_pct DOUBLE, reading_usgal DOUBLE",
    "bench_findings": "line_no BIGINT, meter_id VARCHAR, tested_on DATE, flow_usgpm DOUBLE, registered_pct DOUBLE, "
    "uncertainty_pct DOUBLE, call VARCHAR, term_id VARCHAR, document_id VARCHAR, supplier VARCHAR, "
    "accuracy_level VARCHAR, state VARCHAR, limit_pct DOUBLE, outside_pct DOUBLE, ended_by VARCHAR, ended_on DATE, "
    "why VARCHAR",
    "claims": "claim_no BIGINT, acted_at TIMESTAMP WITH TIME ZONE, reviewer VARCHAR, action VARCHAR, supplier VARCHAR, "
    "meter_id VARCHAR, term_id VARCHAR, document_id VARCHAR, tested_on DATE, flow_usgpm DOUBLE, registered_pct DOUBLE, "
    "credit_pct DOUBLE, note VARCHAR",
    "sizes": "size_label VARCHAR, nominal_mm INTEGER, nominal_inch DOUBLE",
}


@pytest.mark.parametrize("view", CONTRACT)
def test_a_view_has_the_columns_and_types_of_the_contract(filled: Catalogue, view: str) -> None:
    rows = filled.rows(f"DESCRIBE {view}")
    assert ", ".join(f"{row['column_name']} {row['column_type']}" for row in rows) == CONTRACT[view]


def test_there_are_these_views_and_no_others(filled: Catalogue) -> None:
    assert {row["name"] for row in filled.rows("SHOW TABLES")} == set(CONTRACT)


def test_a_documented_table_macro_has_just_these_arguments(filled: Catalogue) -> None:
    rows = filled.rows(
        "SELECT function_name AS name, parameters FROM duckdb_functions() "
        "WHERE schema_name = 'main' AND function_type = 'table_macro' AND NOT internal"
    )
    told = {name: [argument.split(" := ")[0] for argument in arguments] for name, (_, arguments) in MACROS.items()}
    found = {str(row["name"]): row["parameters"] for row in rows}
    assert found == told, "every table macro of the public schema is told, and no other"


def test_every_view_and_column_tells_its_meaning(filled: Catalogue) -> None:
    views = filled.rows(
        "SELECT view_name AS name, comment FROM duckdb_views() WHERE schema_name = 'main' AND NOT internal"
    )
    assert {row["name"] for row in views} == set(CONTRACT) == set(VIEWS)
    columns = filled.rows(
        "SELECT table_name, column_name, comment FROM duckdb_columns() WHERE schema_name = 'main' AND NOT internal"
    )
    assert all(row["comment"] for row in views) and all(row["comment"] for row in columns)
    assert len(columns) == sum(text.count(",") + 1 for text in CONTRACT.values())
    meant = {(row["table_name"], row["column_name"]): str(row["comment"]) for row in columns}
    for (view, column), comment in meant.items():
        unit = {"_months": "months", "_usgal": "US gallons", "_usgpm": "US gallons per minute", "_pct": "per cent"}
        for ending, words in unit.items():
            if column.endswith(ending):
                assert words in comment, f"{view}.{column} does not say its unit"
    assert all(component in meant["terms", "component"] for component in Component)


def test_what_the_document_does_not_say_is_null_and_never_zero_or_blank(catalogue: Catalogue) -> None:
    bare = register_term(
        ends=Ends.LIFE, limits=(), starts=(), duration_months=None, full_months=None, duration_text="", start_event=None
    )
    catalogue.record(reading("juniper.pdf", bare))
    [row] = catalogue.rows("SELECT * FROM terms")
    said = {"term_id", "document_id", "supplier", "component", "promise", "start_rule", "ends", "state", "confidence"}
    assert {name for name, value in row.items() if value is not None} == said


def test_a_clause_is_confirmed_by_a_word_about_itself_and_not_by_the_promises_of_its_document(
    filled: Catalogue,
) -> None:
    def states() -> dict[object, object]:
        found = {row["kind"]: row["state"] for row in filled.rows("SELECT kind, state FROM clauses")}
        told = {row["kind"]: row["state"] for row in filled.rows("SELECT * FROM passages WHERE family <> 'promise'")}
        assert told == found
        return found

    document_id = filled.documents()[0].document_id

    def act(action: str, field: str | None = None, item_id: str = document_id, new_value: str | None = None) -> None:
        filled.decide([NewDecision(reviewer="Ana", item_id=item_id, action=action, field=field, new_value=new_value)])

    for stored in filled.terms():
        act("confirm", item_id=stored.term_id)
    act("confirm")
    assert filled.rows("SELECT status FROM documents") == [{"status": "confirmed"}]
    assert set(states().values()) == {"proposed"}
    act("confirm", "exclusion.freezing")
    act("correct", "duty.written_notice", new_value='{"quote": "in writing within ten days", "days": 10}')
    proposed = {"misuse": "proposed", "governing_law": "proposed"}
    assert states() == {"freezing": "confirmed", "written_notice": "corrected"} | proposed
    filled.undo("Ana", acts=2)
    assert set(states().values()) == {"proposed"}


def test_numbers_come_as_doubles_and_dates_as_dates(filled: Catalogue) -> None:
    [row] = filled.rows("SELECT duration_months, volume_cap_usgal, typeof(duration_months) AS kind FROM terms LIMIT 1")
    assert row == {"duration_months": 60.0, "volume_cap_usgal": 640_000.0, "kind": "DOUBLE"}
    assert filled.rows("SELECT effective_from FROM documents") == [{"effective_from": date(2021, 3, 1)}]


def test_children_of_a_term_come_in_their_order(catalogue: Catalogue) -> None:
    term = accuracy_term(
        limits=(
            Limit(kind=LimitKind.TIME, months=60, start_event=StartEvent.INSTALLATION, limit_text="5 years"),
            Limit(kind=LimitKind.TIME, days=90, start_event=StartEvent.SHIPMENT),
            Limit(kind=LimitKind.VOLUME, usgal=640_000),
        ),
        starts=(Start(event=StartEvent.INSTALLATION), Start(event=StartEvent.SHIPMENT, plus_months=6)),
    )
    catalogue.record(reading("juniper.pdf", term, banded_term()))
    [one, two] = catalogue.terms()
    limits = catalogue.rows("SELECT * EXCLUDE term_id FROM limits WHERE term_id = ? ORDER BY limit_no", [one.term_id])
    assert [tuple(row.values()) for row in limits] == [
        (1, "time", 60.0, None, None, "installation", "5 years"),
        (2, "time", None, 90, None, "shipment", None),
        (3, "volume", None, None, 640_000.0, None, None),
    ]
    starts = catalogue.rows("SELECT * EXCLUDE term_id FROM starts WHERE term_id = ? ORDER BY start_no", [one.term_id])
    assert [tuple(row.values()) for row in starts] == [(1, "installation", 0.0, None), (2, "shipment", 6.0, None)]
    bands = catalogue.rows("SELECT * EXCLUDE term_id FROM accuracy_bands ORDER BY flow_role")
    assert [tuple(row.values()) for row in bands] == [
        ("minimum", 0.5, 0.5, 95.0, None, "stated", "95 % at 1/2 gpm"),
        ("normal_range", None, None, 98.5, 101.5, "stated", None),
    ]
    steps = catalogue.rows("SELECT from_month, to_month, customer_pays_pct, price_basis FROM credits ORDER BY 1")
    assert [tuple(row.values()) for row in steps] == [
        (0.0, 120.0, 0.0, "list_price_then_current"),
        (120.0, 180.0, 40.0, "list_price_then_current"),
        (180.0, 240.0, 62.5, "list_price_then_current"),
    ]
    assert {row["term_id"] for row in catalogue.rows("SELECT term_id FROM credits")} == {two.term_id}


def test_warnings_name_the_term_or_the_document_they_are_about(filled: Catalogue) -> None:
    rows = filled.rows("SELECT item_id, kind, page FROM warnings ORDER BY page")
    assert [tuple(row.values()) for row in rows] == [
        (filled.terms()[0].term_id, "units_differ", 1),
        (sha("juniper.pdf"), "little_text", 2),
    ]


def test_evidence_of_facts_and_clauses_stands_under_the_document(filled: Catalogue) -> None:
    rows = filled.rows("SELECT * FROM evidence WHERE item_id = ? ORDER BY field", [sha("juniper.pdf")])
    assert [row["field"] for row in rows] == ["document_code", "exclusion.freezing", "supplier"]
    assert rows[1] == {
        "item_id": sha("juniper.pdf"),
        "field": "exclusion.freezing",
        "page": 1,
        "x0_pt": 72.25,
        "top_pt": 100.5,
        "x1_pt": 310.125,
        "bottom_pt": 111.75,
        "quote": "by frost",
        "pattern": "duration.word_and_digits",
        "confidence": 0.9,
    }


def test_the_standards_table_and_the_sizes_are_those_of_the_schema(filled: Catalogue) -> None:
    rows = filled.rows("SELECT * FROM baselines")
    assert len(rows) == len(BASELINES)
    first = next(row for row in BASELINES if row.flow_from_usgpm is not None)
    expected = {name: getattr(first, name) for name in type(first).model_fields}
    numbers = ("flow_from_usgpm", "flow_to_usgpm", "lower_pct", "upper_pct")
    expected |= {name: None if expected[name] is None else float(expected[name]) for name in numbers}
    assert expected in rows
    sizes = {row["size_label"]: row for row in filled.rows("SELECT * FROM sizes")}
    assert list(sizes) == [size.label for size in SIZES]
    assert sizes["5/8x3/4"]["nominal_inch"] == 0.75 and sizes["DN15"]["nominal_inch"] is None
    pair = filled.rows(
        "SELECT a.size_label AS inch, b.size_label AS metric FROM sizes a JOIN sizes b USING (nominal_mm) "
        "WHERE a.size_label = '1/2' AND b.nominal_inch IS NULL"
    )
    assert pair == [{"inch": "1/2", "metric": "DN15"}]


def test_any_duckdb_reader_sees_the_views_without_firstcap(filled: Catalogue) -> None:
    with duckdb.connect(str(filled.path), read_only=True) as connection:
        found = connection.execute("SELECT supplier, duration_months FROM terms ORDER BY 2").fetchall()
    assert found == [("Juniper Flow Works", 60.0), ("Juniper Flow Works", 120.0)]


def test_every_band_shown_is_printed_or_resolved_once(catalogue: Catalogue) -> None:
    both = accuracy_term(bands=(AccuracyBand(basis="AWWA C700"), AccuracyBand(lower_pct=90, band_text="at 1/8 gpm")))
    catalogue.record(reading("juniper.pdf", both))
    rows = catalogue.rows("SELECT basis, lower_pct FROM accuracy_bands")
    assert [row for row in rows if row["basis"] == "stated"] == [{"basis": "stated", "lower_pct": 90.0}]
    assert all(row["lower_pct"] is not None for row in rows) and len(rows) >= 3
