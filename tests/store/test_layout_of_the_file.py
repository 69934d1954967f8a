"""The file over releases: created, migrated, refused; and told apart from files that are none of ours."""

import hashlib
import shutil
import struct
from pathlib import Path

import duckdb
import pytest
from pinyon_readings import accuracy_term, reading, sha

from firstcap.schema.errors import CatalogueBusyError, CatalogueError, CatalogueVersionError, ExitCode, QueryError
from firstcap.schema.vocabulary import TermState
from firstcap.store import migrate
from firstcap.store.catalogue import Catalogue, NewDecision, Recorded
from firstcap.store.migrate import Migration
from firstcap.store.query import run_query

# What each released migration says, for good: a change to the layout is a new file with the next number.
RELEASED = {
    1: "c6fbb592e82734d3",
    2: "d361cfff075542bc",
    3: "b72684534c2a5f4f",
    4: "2427db3fc21b0e2d",
    5: "2250248f31cdf711",
    6: "aa2fd0a7ad62cd4d",
}


def test_a_released_migration_is_never_edited() -> None:
    digests = {m.number: hashlib.sha256(m.sql.encode()).hexdigest()[:16] for m in migrate.migrations()}
    assert {number: digests[number] for number in RELEASED} == RELEASED
    assert len(digests) == len(RELEASED), "put the digest of the new migration beside the others"


def test_every_migration_is_recorded_with_its_release(catalogue: Catalogue) -> None:
    rows = catalogue.rows("SELECT number, name, release, applied_at FROM base.migrations")
    assert [(row["number"], row["name"]) for row in rows] == [(m.number, m.name) for m in migrate.migrations()]
    assert all(row["release"] and row["applied_at"] for row in rows)


# A catalogue as layout 1 left it: one document with one term that a person corrected, written row by row in SQL, so
# that it stays what it was whatever the code becomes.
LAYOUT_1 = f"""
INSERT INTO base.migrations VALUES (1, 'tables', '2025-02-03 04:05:06+00', '0.1.0');
INSERT INTO base.readings VALUES
  (1, '{sha("old.pdf")}', '2025-02-03 04:05:06+00', '0.1', '', 'old.pdf', 3, 'text', NULL, 'd1', NULL, NULL, NULL);
INSERT INTO base.document_versions VALUES
  (1, '{sha("old.pdf")}', 1, NULL, 'Sagebrush Meter', 'Warranty', 'SM-1', '4', '2020-05-01', NULL);
INSERT INTO base.clauses VALUES
  (1, 1, 'exclusion', 'freezing', NULL, 'frost'), (1, 2, 'duty', 'written_notice', 30, 'in writing');
INSERT INTO base.term_versions VALUES
  (2, 't1', '{sha("old.pdf")}', 0, 1, NULL, NULL, 'displacement', '5/8', 'whole_meter', NULL, 'accuracy', 'new_meter',
   '60', '60', NULL, 'five years', 'shipment', 'single', '500000', '500,000 gal', 'first_of', NULL, 'replace', 0.9),
  (3, 't1', '{sha("old.pdf")}', 0, NULL, 1, NULL, 'displacement', '5/8', 'whole_meter', NULL, 'accuracy', 'new_meter',
   '60', '60', NULL, 'five years', 'shipment', 'single', '1500000', '500,000 gal', 'first_of', NULL, 'replace', 0.9);
INSERT INTO base.limits VALUES
  (2, 1, 'time', '60', NULL, NULL, 'shipment', ''), (2, 2, 'volume', NULL, NULL, '500000', NULL, ''),
  (3, 1, 'time', '60', NULL, NULL, 'shipment', ''), (3, 2, 'volume', NULL, NULL, '1500000', NULL, '');
INSERT INTO base.starts VALUES (2, 1, 'shipment', '0', ''), (3, 1, 'shipment', '0', '');
INSERT INTO base.bands VALUES (2, 1, FALSE, NULL, NULL, NULL, '98.5', '101.5', 'stated', '');
INSERT INTO base.credits VALUES (2, 1, '0', '60', '0', 'other', '');
INSERT INTO base.alternatives VALUES (2, 1, 'duration_months', '120', 'ten years', 'another row');
INSERT INTO base.evidence VALUES
  (1, NULL, 1, 1, 'supplier', 1, 72, 72, 200, 84, 'Sagebrush Meter', 'p', 0.9),
  (1, 1, 1, 1, 'kind', 2, 72, 72, 200, 84, 'frost', 'p', 0.9),
  (2, NULL, 1, 1, 'duration_months', 1, 72, 100, 200, 112, 'five years', 'p', 0.9);
INSERT INTO base.warnings VALUES (1, 1, 't1', 'units_differ', 1, 'two units');
INSERT INTO base.decisions VALUES
  (1, '2025-02-04 00:00:00+00', 'Ana', 't1', '{sha("old.pdf")}', 'volume_cap_usgal', 'correct', '500000', '1500000',
   'see page 2', 2);
INSERT INTO base.standing VALUES
  (1, '{sha("old.pdf")}', '{sha("old.pdf")}', 1, 'proposed', 1, NULL),
  (2, 't1', '{sha("old.pdf")}', 2, 'proposed', 1, NULL), (3, 't1', '{sha("old.pdf")}', 3, 'corrected', NULL, 1);
"""


@pytest.fixture
def old_file(path: Path) -> Path:
    """A catalogue of layout 1, without views, sizes or standards: those were never part of a layout."""
    with duckdb.connect(str(path)) as connection:
        connection.execute(migrate.migrations()[0].sql)
        connection.execute(LAYOUT_1)
    return path


def test_a_file_of_the_first_layout_is_brought_up_to_date_with_all_it_holds(old_file: Path) -> None:
    catalogue = Catalogue(old_file)
    [row] = catalogue.documents()
    assert (row.supplier, row.document_code, row.pages, row.status) == ("Sagebrush Meter", "SM-1", 3, "confirmed")
    [stored] = catalogue.terms()
    assert (stored.state, stored.term.volume_cap_usgal, stored.decided_by) == (TermState.CORRECTED, 1_500_000, "Ana")
    assert stored.proposal is not None and stored.proposal.volume_cap_usgal == 500_000
    assert stored.proposal.alternatives[0].value == "120" and stored.proposal.evidence[0].boxes[0].top == 100
    assert [decision.note for decision in catalogue.decisions()] == ["see page 2"]
    assert catalogue.rows("SELECT kind FROM exclusions") == [{"kind": "freezing"}]
    assert catalogue.undo("Ana") is not None
    assert catalogue.terms()[0].term.volume_cap_usgal == 500_000


def test_a_next_migration_keeps_every_decision(filled: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    term_id = filled.terms()[0].term_id
    filled.decide([NewDecision(reviewer="Ana", item_id=term_id, action="confirm")])
    before = (filled.documents(), filled.terms(), filled.decisions())
    released = migrate.migrations()
    later = Migration(len(released) + 1, "later", "ALTER TABLE base.readings ADD COLUMN machine VARCHAR; SELECT 1")
    monkeypatch.setattr(migrate, "migrations", lambda: (*released, later))
    assert (filled.documents(), filled.terms(), filled.decisions()) == before
    assert filled.rows("SELECT max(number) AS last FROM base.migrations") == [{"last": later.number}]


def test_a_migration_that_fails_leaves_the_file_as_it_was(filled: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    before = filled.terms()
    released = migrate.migrations()
    broken = Migration(len(released) + 1, "broken", "DROP TABLE base.limits; SELECT * FROM base.no_such_table")
    with monkeypatch.context() as patched:
        patched.setattr(migrate, "migrations", lambda: (*released, broken))
        with pytest.raises(duckdb.CatalogException):
            filled.terms()
    assert filled.terms() == before


def test_a_file_of_a_newer_release_is_refused_and_left_alone(filled: Catalogue) -> None:
    with duckdb.connect(str(filled.path)) as connection:
        connection.execute("INSERT INTO base.migrations VALUES (99, 'future', now(), '9.0')")
    before = filled.path.read_bytes()
    for use in (filled.documents, filled.prepare, lambda: filled.record(reading("b.pdf"))):
        with pytest.raises(CatalogueVersionError, match="pip install --upgrade firstcap") as refused:
            use()
        assert str(filled.path) in str(refused.value)
    assert filled.path.read_bytes() == before


def test_views_of_another_release_are_replaced_and_nothing_else(filled: Catalogue) -> None:
    with duckdb.connect(str(filled.path)) as connection:
        connection.execute("CREATE OR REPLACE VIEW terms AS SELECT 1 AS one; DELETE FROM base.installed")
        connection.execute("DELETE FROM base.sizes")
    assert len(filled.rows("SELECT term_id FROM terms")) == 2
    assert filled.rows("SELECT count(*) AS n FROM sizes") == [{"n": 30}]


@pytest.mark.parametrize(
    "name", ["base.duckdb", "BASE.db", "main.duckdb", "temp.duckdb", "my catalogue.duckdb", "a'b.db"]
)
def test_a_catalogue_may_have_any_name(tmp_path: Path, filled_file: Path, name: str) -> None:
    named = Catalogue(Path(shutil.copy(filled_file, tmp_path / name)))
    [first, _] = named.terms()
    named.decide([NewDecision(reviewer="Ana", item_id=first.term_id, action="confirm")])
    assert run_query(named.path, "SELECT count(*) FROM terms WHERE state = 'confirmed'").rows == [(1,)]
    with pytest.raises(QueryError, match="refused"):
        run_query(named.path, f"SELECT * FROM read_csv('{Path(__file__).as_posix()}')")


def test_a_file_cut_short_before_its_first_table_becomes_a_catalogue(path: Path) -> None:
    duckdb.connect(str(path)).close()
    assert Catalogue(path).documents() == []


@pytest.mark.parametrize(
    ("content", "advice"),
    [
        (b"", "no catalogue"),
        (b"supplier;years\nJuniper;5\n" * 500, "no catalogue"),
        ("folder", "no catalogue"),
        ("foreign", "other tables"),
    ],
)
def test_a_file_that_is_no_catalogue_is_refused_and_left_alone(path: Path, content: bytes | str, advice: str) -> None:
    if content == "folder":
        path.mkdir()
    elif content == "foreign":
        with duckdb.connect(str(path)) as connection:
            connection.execute("CREATE TABLE meters (serial VARCHAR)")
    else:
        assert isinstance(content, bytes)
        path.write_bytes(content)
    before = None if path.is_dir() else path.read_bytes()
    catalogue = Catalogue(path)
    for use in (catalogue.documents, lambda: catalogue.record(reading())):
        with pytest.raises(CatalogueError, match=advice) as refused:
            use()
        assert refused.value.file == str(path) and refused.value.exit_code is ExitCode.SOME_FAILED
    assert before is None or path.read_bytes() == before


def test_reading_a_missing_file_says_how_to_make_one_and_makes_none(path: Path) -> None:
    catalogue = Catalogue(path)
    for use in (catalogue.documents, catalogue.terms, catalogue.decisions, lambda: catalogue.rows("SELECT 1")):
        with pytest.raises(CatalogueError, match="firstcap read"):
            use()
    assert not path.exists()


def test_a_missing_folder_is_not_made(tmp_path: Path) -> None:
    with pytest.raises(CatalogueError, match="folder does not exist"):
        Catalogue(tmp_path / "nowhere" / "catalogue.duckdb").prepare()


def test_recording_makes_the_file(path: Path) -> None:
    assert Catalogue(path).record(reading("a.pdf", accuracy_term())) is Recorded.NEW
    assert path.exists() and len(Catalogue(path).terms()) == 1


def test_the_file_is_in_the_format_that_both_supported_duckdb_releases_read(filled: Catalogue) -> None:
    """Storage format 65 is that of DuckDB 1.2; 1.5.5 reads 64 to 68. The number stands after the magic word.

    Layout of the main header: https://duckdb.org/docs/current/internals/storage
    """
    head = filled.path.read_bytes()[:32]
    assert head[8:12] == b"DUCK"
    assert 64 <= struct.unpack("<Q", head[12:20])[0] <= 65


def test_a_catalogue_that_this_program_holds_otherwise_is_busy_and_not_broken(filled: Catalogue) -> None:
    with (
        duckdb.connect(str(filled.path), read_only=True),
        pytest.raises(CatalogueBusyError, match="another connection of this program"),
    ):
        filled.record(reading("b.pdf"))
