"""A person's own SQL: what it may do, what it may not, and the result in every format."""

import csv
import io
import json
import math
import shutil
import time
from datetime import date
from decimal import Decimal
from pathlib import Path

import duckdb
import pytest
from pinyon_readings import accuracy_term, banded_term, reading, register_term

from firstcap.schema.errors import CatalogueError, CatalogueVersionError, ExitCode, QueryError
from firstcap.store.catalogue import Catalogue
from firstcap.store.query import Format, QueryResult, as_table, run_query, write_result


@pytest.fixture(scope="module")
def file(fresh_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue nothing may change, in a folder with a file nothing may read."""
    folder = tmp_path_factory.mktemp("query")
    made = Path(shutil.copy(fresh_file, folder / "catalogue.duckdb"))
    Catalogue(made).record(reading("juniper.pdf", accuracy_term(), banded_term(), register_term()))
    (folder / "secret.csv").write_text("word\nsecret\n")
    return made


# --- what it may do ---


@pytest.mark.parametrize(
    ("sql", "rows"),
    [
        ("SELECT component, duration_months FROM terms WHERE size_label IS NULL", [("register", 120.0)]),
        ("FROM terms SELECT count(*)", [(3,)]),
        ("WITH t AS (FROM terms) SELECT max(volume_cap_usgal) FROM t;", [(2_200_000.0,)]),
        ("VALUES (1, 'a'), (2, 'b')", [(1, "a"), (2, "b")]),
        ("TABLE sizes LIMIT 1", [("1/2", 15, 0.5)]),
        ("-- the sizes\nSELECT count(*) FROM sizes /* all */ -- end", [(30,)]),
        ("SELECT 1 AS x, 2 AS x", [(1, 2)]),
        ("SELECT ';' AS mark", [(";",)]),
        ("SELECT size_label FROM terms ORDER BY duration_months DESC", [("3/4",), (None,), ("5/8",)]),
        ("PIVOT terms ON size_label IN ('5/8', '3/4') USING max(duration_months) GROUP BY promise ORDER BY promise", [
            ("accuracy", 60.0, 240.0), ("materials_workmanship", None, None)]),
    ],
)  # fmt: skip
def test_one_statement_that_reads_gives_its_rows(file: Path, sql: str, rows: list[tuple[object, ...]]) -> None:
    assert run_query(file, sql).rows == rows


def test_describe_show_and_summarize_tell_what_there_is(file: Path) -> None:
    assert ("duration_months", "DOUBLE") in {row[:2] for row in run_query(file, "DESCRIBE terms").rows}
    assert ("terms",) in run_query(file, "SHOW TABLES").rows
    assert len(run_query(file, "SUMMARIZE credits").rows) == 6
    plan = run_query(file, "EXPLAIN SELECT * FROM sizes")
    assert plan.columns == ("plan",) and len(plan.rows) > 1
    assert len(run_query(file, "explain analyze select 1").rows) > 1


def test_values_keep_their_types_and_months_stay_months(file: Path) -> None:
    result = run_query(
        file,
        "SELECT true AS b, 5::TINYINT AS i, 2::HUGEINT AS h, 1.50::DECIMAL(9, 2) AS d, 'x' AS t, "
        "DATE '2021-03-01' AS day, "
        "INTERVAL 60 MONTH AS span, TIMESTAMPTZ '2021-03-01 12:00:00-07' AS moment, [1, NULL] AS list, "
        "{'a': 1, 'b': 'x, y'} AS pair, '\\x00'::BLOB AS bytes, NULL AS nothing, 'NaN'::DOUBLE AS nan",
    )
    row = dict(zip(result.columns, result.rows[0], strict=True))
    assert row.pop("nan") != 0 and math.isnan(float(str(result.rows[0][-1])))
    assert row == {
        "b": True,
        "i": 5,
        "h": 2,
        "d": Decimal("1.50"),
        "t": "x",
        "day": date(2021, 3, 1),
        "span": "5 years",
        "moment": "2021-03-01 19:00:00+00",
        "list": "[1,null]",
        "pair": '{"a":1,"b":"x, y"}',
        "bytes": "\\x00",
        "nothing": None,
    }
    assert result.types[3] == "DECIMAL(9,2)" and result.types[6] == "INTERVAL"


def test_a_query_brings_an_older_file_up_to_date_first(fresh_file: Path, path: Path) -> None:
    shutil.copy(fresh_file, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute("DROP VIEW terms; DELETE FROM base.installed")
    assert run_query(path, "SELECT count(*) FROM terms").rows == [(0,)]


# --- what it may not do: statement, words of the refusal ---

HOSTILE = [
    # writes
    ("INSERT INTO sizes VALUES ('9', 1, 1)", "INSERT is refused"),
    ("DELETE FROM base.decisions", "DELETE is refused"),
    ("UPDATE base.decisions SET reviewer = 'Eve'", "UPDATE is refused"),
    ("DROP VIEW terms", "DROP is refused"),
    ("DROP TABLE base.decisions", "DROP is refused"),
    ("CREATE TABLE t AS SELECT 1", "CREATE is refused"),
    ("CREATE TEMP TABLE t AS SELECT 1", "CREATE is refused"),
    ("CREATE OR REPLACE TEMP VIEW terms AS SELECT 1", "CREATE is refused"),
    ("CREATE MACRO f(x) AS x", "CREATE is refused"),
    ("ALTER TABLE base.decisions RENAME TO gone", "ALTER is refused"),
    ("TRUNCATE base.decisions", "refused"),
    ("MERGE INTO base.sizes USING (SELECT 1) ON true WHEN MATCHED THEN DELETE", "refused"),
    ("COMMENT ON VIEW terms IS 'x'", "ALTER is refused"),
    ("WITH gone AS (DELETE FROM base.decisions RETURNING *) SELECT * FROM gone", ""),
    ("BEGIN", "TRANSACTION is refused"),
    ("CHECKPOINT", "refused"),
    ("VACUUM", "VACUUM is refused"),
    # several statements, or a second one hidden
    ("SELECT 1; DROP TABLE base.decisions", "2 statements"),
    ("SELECT 1; SELECT 2", "2 statements"),
    ("SELECT 1 /* ; */; /* */ DELETE FROM base.decisions", "2 statements"),
    ("EXPLAIN ANALYZE DELETE FROM base.decisions", "DELETE is refused"),
    ("EXPLAIN COPY (SELECT 1) TO '{folder}/out.csv'", "COPY is refused"),
    ("EXPLAIN ANALYZE CREATE TEMP TABLE t AS SELECT 1", "CREATE is refused"),
    ("PREPARE p AS SELECT 1", "PREPARE is refused"),
    ("EXECUTE p", "EXECUTE is refused"),
    ("PIVOT terms ON size_label USING count(*)", "ON column IN"),
    # files
    ("SELECT * FROM read_csv('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT * FROM '{folder}/secret.csv'", "nothing but the catalogue"),
    ("SELECT content FROM read_text('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT * FROM read_blob('{folder}/*')", "nothing but the catalogue"),
    ("SELECT * FROM glob('{folder}/*')", "nothing but the catalogue"),
    ("SELECT * FROM sniff_csv('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT * FROM read_json('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT * FROM read_parquet('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT * FROM parquet_metadata('{folder}/secret.csv')", "nothing but the catalogue"),
    ("SELECT (SELECT content FROM read_text('{folder}/secret.csv'))", "nothing but the catalogue"),
    ("SELECT * FROM query('SELECT * FROM read_csv(''{folder}/secret.csv'')')", "nothing but the catalogue"),
    ("SELECT * FROM json_execute_serialized_sql(json_serialize_sql('FROM read_text(''{folder}/secret.csv'')'))", ""),
    ("COPY terms TO '{folder}/out.csv'", "COPY is refused"),
    ("COPY base.sizes FROM '{folder}/secret.csv'", "COPY is refused"),
    ("EXPORT DATABASE '{folder}/out'", "refused"),
    ("IMPORT DATABASE '{folder}'", "refused"),
    ("ATTACH '{folder}/other.duckdb'", "ATTACH is refused"),
    ("DETACH catalogue", "DETACH is refused"),
    ("USE temp", "SET is refused"),
    # extensions, network, secrets
    ("INSTALL httpfs", "LOAD is refused"),
    ("LOAD httpfs", "LOAD is refused"),
    ("SELECT * FROM read_csv('https://example.org/x.csv')", "nothing but the catalogue"),
    ("SELECT * FROM 's3://bucket/x.parquet'", "nothing but the catalogue"),
    ("SELECT * FROM sqlite_scan('{folder}/x.db', 't')", "The views are"),
    ("CREATE SECRET s (TYPE s3)", "CREATE is refused"),
    ("SELECT * FROM duckdb_secrets()", "nothing but the catalogue"),
    ("SELECT getenv('HOME')", "The views are"),
    # settings
    ("SET memory_limit = '100GB'", "SET is refused"),
    ("SET enable_external_access = true", "SET is refused"),
    ("RESET lock_configuration", "SET is refused"),
    ("SET VARIABLE x = 1", "SET is refused"),
    ("PRAGMA enable_external_access", ""),
    ("PRAGMA threads = 64", "refused"),
    ("CALL enable_logging()", "CALL is refused"),
    # Python
    ("SELECT * FROM a_python_variable", "The views are"),
    ("SELECT * FROM result", "The views are"),
]
a_python_variable = QueryResult(("x",), ("INTEGER",), [(1,)])


@pytest.mark.parametrize(("sql", "words"), HOSTILE, ids=[row[0][:40] for row in HOSTILE])
def test_a_statement_that_does_anything_else_is_refused(file: Path, sql: str, words: str) -> None:
    before = {item.name: item.read_bytes() for item in file.parent.iterdir()}
    with pytest.raises(QueryError) as refused:
        run_query(file, sql.replace("{folder}", str(file.parent)))
    assert words in refused.value.message
    assert "secret\\n" not in refused.value.message
    assert refused.value.exit_code is ExitCode.USAGE
    assert {item.name: item.read_bytes() for item in file.parent.iterdir()} == before


def test_the_table_of_refusals_is_long_enough_to_mean_something() -> None:
    assert len(HOSTILE) >= 30


def test_a_setting_cannot_be_changed_by_a_function_either(file: Path) -> None:
    run = "SELECT current_setting('lock_configuration'), current_setting('enable_external_access')"
    assert run_query(file, run).rows == [(True, False)]


# --- bounds ---


def test_a_runaway_query_is_stopped_in_time(file: Path) -> None:
    began = time.monotonic()
    with pytest.raises(QueryError, match=r"stopped after 0\.3 seconds"):
        run_query(
            file,
            "SELECT count(*) FROM range(1000000) a, range(1000000) b WHERE hash(a.range + b.range) = 1",
            timeout_seconds=0.3,
        )
    assert time.monotonic() - began < 10


def test_a_query_that_needs_more_memory_than_allowed_is_told_so(file: Path) -> None:
    with pytest.raises(QueryError, match="more memory than 50MB"):
        run_query(file, "SELECT array_agg(range || 'some more text') FROM range(10000000)", memory_limit="50MB")


def test_a_result_too_large_to_hold_is_refused_and_not_cut(file: Path) -> None:
    with pytest.raises(QueryError, match="LIMIT"):
        run_query(file, "SELECT * FROM range(1000001)")


# --- advice ---


@pytest.mark.parametrize(
    ("sql", "words"),
    [
        ("SELECT * FROM term", "terms, limits, starts"),
        ("SELECT years FROM terms", "DESCRIBE"),
        ("SELEC 1", "syntax error"),
        ("", "select * from terms"),
        ("  -- nothing\n", "select * from terms"),
        ("SELECT 'abc'::INTEGER", "Could not convert"),
        ("SELECT error('stop')", "stop"),
        ("SELECT max(duration_months) FROM terms GROUP BY", "syntax error"),
    ],
)
def test_a_query_that_fails_says_why_and_what_to_do(file: Path, sql: str, words: str) -> None:
    with pytest.raises(QueryError) as failed:
        run_query(file, sql)
    assert words in failed.value.message


def test_a_query_over_no_catalogue_says_how_to_make_one(tmp_path: Path, path: Path) -> None:
    with pytest.raises(CatalogueError, match="firstcap read"):
        run_query(tmp_path / "none.duckdb", "SELECT 1")
    path.write_text("no database")
    with pytest.raises(CatalogueError, match="no catalogue"):
        run_query(path, "SELECT 1")


def test_a_query_over_a_newer_file_is_refused(fresh_file: Path, path: Path) -> None:
    shutil.copy(fresh_file, path)
    with duckdb.connect(str(path)) as connection:
        connection.execute("INSERT INTO base.migrations VALUES (99, 'future', now(), '9.0')")
    with pytest.raises(CatalogueVersionError):
        run_query(path, "SELECT 1")


# --- formats ---

MIXED = (
    "SELECT * FROM (VALUES "
    "(1, 1.50::DECIMAL(9, 2), 'two, \"words\"', NULL, DATE '2021-03-01', 640000.0::DOUBLE, [1, 2]), "
    "(2, NULL, '', true, NULL, 0.1, NULL)) AS t(n, d, words, flag, day, usgal, list) ORDER BY n"
)


def written(result: QueryResult, form: Format) -> bytes:
    stream = io.BytesIO()
    write_result(result, form, stream)
    return stream.getvalue()


def test_csv_holds_the_exact_values_and_tells_null_from_empty(file: Path) -> None:
    text = written(run_query(file, MIXED), Format.CSV).decode()
    assert text.splitlines()[0] == "n,d,words,flag,day,usgal,list"
    rows = list(csv.DictReader(io.StringIO(text)))
    assert rows[0]["d"] == "1.50" and rows[0]["words"] == 'two, "words"' and rows[0]["usgal"] == "640000.0"
    assert text.splitlines()[2] == '2,,"",true,,0.1,'


def test_json_is_an_array_of_objects_without_nan(file: Path) -> None:
    rows = json.loads(written(run_query(file, MIXED), Format.JSON), parse_float=Decimal)
    assert rows[0] == {
        "n": 1,
        "d": Decimal("1.50"),
        "words": 'two, "words"',
        "flag": None,
        "day": "2021-03-01",
        "usgal": Decimal("640000.0"),
        "list": [1, 2],
    }
    assert rows[1]["flag"] is True and rows[1]["words"] == ""
    odd = run_query(file, "SELECT unnest(['NaN', 'Infinity', '1e-310'])::DOUBLE AS x")
    assert [row["x"] for row in json.loads(written(odd, Format.JSON))] == [None, None, 1e-310]


def test_parquet_keeps_the_types_and_reads_back_equal(file: Path, tmp_path: Path) -> None:
    result = run_query(file, MIXED)
    target = tmp_path / "it's a result.parquet"
    write_result(result, Format.PARQUET, target)
    with duckdb.connect() as connection:
        back = connection.read_parquet(str(target))
        assert tuple(map(str, back.types)) == result.types
        assert [
            (*row[:6], None if row[6] is None else json.dumps(row[6], separators=(",", ":"))) for row in back.fetchall()
        ] == result.rows


def test_parquet_rounds_no_large_integer(file: Path, tmp_path: Path) -> None:
    largest = 2**127 - 1
    result = run_query(file, f"SELECT sum(nominal_mm) AS mm, {largest}::HUGEINT AS h FROM sizes")
    write_result(result, Format.PARQUET, tmp_path / "x.parquet")
    with duckdb.connect() as connection:
        [row] = connection.read_parquet(str(tmp_path / "x.parquet")).fetchall()
    assert row[0] == result.rows[0][0] and int(row[1]) == largest


@pytest.mark.parametrize("form", [Format.CSV, Format.JSON, Format.PARQUET])
def test_months_and_moments_survive_every_format(file: Path, tmp_path: Path, form: Format) -> None:
    result = run_query(file, "SELECT INTERVAL 60 MONTH AS span, TIMESTAMPTZ '2021-03-01 12:00:00-07' AS moment")
    target = tmp_path / f"x.{form}"
    write_result(result, form, target)
    with duckdb.connect() as connection:
        connection.execute("SET TimeZone = 'UTC'")
        source = f"read_{form}_auto('{target}')" if form is not Format.PARQUET else f"read_parquet('{target}')"
        [row] = connection.execute(
            f"SELECT span::INTERVAL::VARCHAR, moment::TIMESTAMPTZ::VARCHAR FROM {source}"
        ).fetchall()
    assert row == ("5 years", "2021-03-01 19:00:00+00")


def test_an_empty_result_keeps_its_columns_in_every_format(file: Path, tmp_path: Path) -> None:
    result = run_query(file, "SELECT term_id, duration_months FROM terms WHERE false")
    assert written(result, Format.CSV) == b"term_id,duration_months\n"
    assert json.loads(written(result, Format.JSON)) == []
    assert written(result, Format.TABLE).decode().splitlines()[0] == "term_id  duration_months"
    write_result(result, Format.PARQUET, tmp_path / "x.parquet")
    with duckdb.connect() as connection:
        assert connection.read_parquet(str(tmp_path / "x.parquet")).columns == ["term_id", "duration_months"]


def test_columns_of_one_name_are_told_apart_in_files(file: Path) -> None:
    result = run_query(file, "SELECT 1 AS x, 2 AS X, 3 AS x")
    assert written(result, Format.CSV) == b"x,X_2,x_3\n1,2,3\n"


def test_a_result_of_nothing_but_null_can_be_written(file: Path, tmp_path: Path) -> None:
    result = run_query(file, "SELECT NULL AS nothing")
    assert json.loads(written(result, Format.JSON)) == [{"nothing": None}]
    write_result(result, Format.PARQUET, tmp_path / "x.parquet")


def test_more_rows_than_are_inserted_at_once_are_all_written(file: Path) -> None:
    text = written(run_query(file, "SELECT range AS n FROM range(120000)"), Format.CSV).decode()
    assert text.splitlines()[1:] == [str(number) for number in range(120_000)]


def test_a_table_is_aligned_with_numbers_to_the_right(file: Path) -> None:
    result = run_query(file, "SELECT component, duration_months, volume_cap_usgal FROM terms ORDER BY duration_months")
    assert as_table(result) == (
        "component    duration_months  volume_cap_usgal\n"
        "-----------  ---------------  ----------------\n"
        "whole_meter               60            640000\n"
        "register                 120\n"
        "whole_meter              240           2200000\n"
    )


def test_a_line_break_in_a_quote_breaks_no_table(file: Path) -> None:
    assert as_table(run_query(file, "SELECT 'one' || chr(10) || 'two' AS quote")).splitlines()[2] == "one two"


def test_a_file_appears_whole_or_not_at_all(file: Path, tmp_path: Path) -> None:
    result = run_query(file, "SELECT 1 AS x")
    target = tmp_path / "out.csv"
    target.write_text("before")
    broken = QueryResult(("x",), ("INTEGER",), [("no number",)])
    with pytest.raises(QueryError, match="cannot be written as csv"):
        write_result(broken, Format.CSV, target)
    assert target.read_text() == "before" and [item.name for item in tmp_path.iterdir()] == ["out.csv"]
    write_result(result, Format.CSV, target)
    assert target.read_text() == "x\n1\n"
    with pytest.raises(QueryError, match="--out"):
        write_result(result, Format.CSV, tmp_path / "nowhere" / "out.csv")
