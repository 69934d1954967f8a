"""Models to rows and back, exactly: decimals as text, enums as their value, floats to the last bit."""

import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from enum import Enum
from typing import Any

import duckdb

from firstcap.schema.evidence import Alternative, Evidence
from firstcap.schema.quantities import Model
from firstcap.schema.terms import AccuracyBand, CreditStep, DocumentFacts, Limit, Start, Term
from firstcap.store.contents import CLAUSES, FACT_FIELDS, Contents
from firstcap.store.standards import resolved

# Tables that hold one row per member of a term's tuple: table, field of the term, model.
_CHILDREN: tuple[tuple[str, str, type[Model]], ...] = (
    ("limits", "limits", Limit),
    ("starts", "starts", Start),
    ("credits", "credits", CreditStep),
    ("alternatives", "alternatives", Alternative),
)
_SCALARS = tuple(
    name
    for name in Term.model_fields
    if name not in ("limits", "starts", "bands", "credits", "evidence", "alternatives")
)
_BAND = tuple(AccuracyBand.model_fields)


def as_text(value: object) -> str | None:
    """A value in the spelling that DuckDB turns back into the very same one, whatever the column's type."""
    if value is None or type(value) is str:
        return value
    if isinstance(value, Enum):
        return str(value.value)
    return repr(value) if isinstance(value, float) else str(value)


def insert(
    connection: duckdb.DuckDBPyConnection,
    table: str,
    rows: Sequence[Sequence[object]],
    cell: Callable[[int], str] = "r[{}]".format,
) -> None:
    """Add rows in one statement, as one parameter of JSON text.

    One by one, or as lists, DuckDB 1.5 looks for pandas anew with every value where it is not installed.
    """
    cells = ", ".join(cell(number) for number in range(1, len(rows[0]) + 1))
    text = json.dumps([[as_text(value) for value in row] for row in rows])
    connection.execute(
        f"INSERT INTO {table} SELECT {cells} FROM (SELECT unnest(from_json(?, '[[\"VARCHAR\"]]')) AS r)", [text]
    )


class Batch:
    """Rows gathered per table, written with one statement each."""

    def __init__(self) -> None:
        self._rows: dict[str, list[Sequence[object]]] = defaultdict(list)

    def add(self, table: str, row: Sequence[object]) -> None:
        self._rows[table].append(row)

    def write(self, connection: duckdb.DuckDBPyConnection) -> None:
        for table, rows in self._rows.items():
            insert(connection, table, rows)
        self._rows.clear()

    # --- what a version is made of ---

    def add_term(
        self,
        version: int,
        term_id: str,
        document_id: str,
        term: Term,
        *,
        place: int,
        reading: int | None = None,
        decision: int | None = None,
    ) -> None:
        scalars = (getattr(term, name) for name in _SCALARS)
        self.add("base.term_versions", (version, term_id, document_id, place, reading, decision, *scalars))
        for table, field, model in _CHILDREN:
            for number, child in enumerate(getattr(term, field), 1):
                self.add(f"base.{table}", (version, number, *(getattr(child, name) for name in model.model_fields)))
        for number, band in enumerate(term.bands, 1):
            self._add_band(version, number, False, band)
            for row in resolved(band, term):
                self._add_band(version, number, True, row)
        self._add_evidence(version, None, term.evidence)

    def _add_band(self, version: int, number: int, is_resolved: bool, band: AccuracyBand) -> None:
        self.add("base.bands", (version, number, is_resolved, *(getattr(band, name) for name in _BAND)))

    def add_document(
        self,
        version: int,
        document_id: str,
        contents: Contents,
        *,
        reading: int | None = None,
        decision: int | None = None,
    ) -> None:
        facts = (getattr(contents.facts, name) for name in FACT_FIELDS)
        self.add("base.document_versions", (version, document_id, reading, decision, *facts))
        self._add_evidence(version, None, contents.facts.evidence)
        number = 0
        for family, (field, _) in CLAUSES.items():
            for clause in getattr(contents, field):
                number += 1
                days = getattr(clause, "days", None)
                self.add("base.clauses", (version, number, family, clause.kind, days, clause.quote))
                self._add_evidence(version, number, clause.evidence)

    def _add_evidence(self, version: int, clause: int | None, evidence: Iterable[Evidence]) -> None:
        for number, item in enumerate(evidence, 1):
            told = (item.quote, item.pattern, item.confidence)
            for box_no, box in enumerate(item.boxes, 1):
                place = (box.page, box.x0, box.top, box.x1, box.bottom)
                self.add("base.evidence", (version, clause, number, box_no, item.field, *place, *told))
            if not item.boxes:
                self.add("base.evidence", (version, clause, number, 0, item.field, *([None] * 5), *told))


def as_time(microseconds: int | None) -> datetime | None:
    """A time out of what `epoch_us` gives, in UTC."""
    return None if microseconds is None else _EPOCH + timedelta(microseconds=microseconds)


_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def fetch(connection: duckdb.DuckDBPyConnection, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, Any]]:
    """Rows as dictionaries. Select `epoch_us` of a time: DuckDB 1.5 cannot hand one out without another package."""
    cursor = connection.execute(sql, list(parameters))
    names = [column[0] for column in cursor.description or ()]
    return [dict(zip(names, row, strict=True)) for row in cursor.fetchall()]


def _of_versions(connection: duckdb.DuckDBPyConnection, table: str, order: str, versions: list[int]) -> Any:
    rows = fetch(
        connection,
        f"SELECT * FROM base.{table} WHERE version_no IN (SELECT unnest(?::BIGINT[])) ORDER BY version_no, {order}",
        [str(versions)],
    )
    grouped: dict[int, list[dict[str, Any]]] = defaultdict(list)
    for row in rows:
        grouped[row["version_no"]].append(row)
    return grouped


def _pick(row: Mapping[str, Any], model: type[Model]) -> dict[str, Any]:
    return {name: row[name] for name in model.model_fields}


def load_terms(connection: duckdb.DuckDBPyConnection, versions: Iterable[int]) -> dict[int, Term]:
    """version_no -> the term as it was written, to the last digit."""
    wanted = sorted(set(versions))
    if not wanted:
        return {}
    scalars = _of_versions(connection, "term_versions", "version_no", wanted)
    children = {
        field: (model, _of_versions(connection, table, _number_of(table), wanted)) for table, field, model in _CHILDREN
    }
    bands = _of_versions(connection, "bands", "band_no", wanted)
    evidence = _load_evidence(connection, wanted)
    terms = {}
    for version, rows in scalars.items():
        values: dict[str, Any] = {name: rows[0][name] for name in _SCALARS}
        for field, (model, grouped) in children.items():
            values[field] = tuple(_pick(row, model) for row in grouped[version])
        values["bands"] = tuple(_pick(row, AccuracyBand) for row in bands[version] if not row["resolved"])
        values["evidence"] = evidence[version, None]
        terms[version] = Term.model_validate(values)
    return terms


def _number_of(table: str) -> str:
    """The column that counts a table's rows within a version: `limit_no` of `limits`."""
    return f"{table.removesuffix('s')}_no"


def load_documents(connection: duckdb.DuckDBPyConnection, versions: Iterable[int]) -> dict[int, Contents]:
    """version_no -> facts and clauses as they were written."""
    wanted = sorted(set(versions))
    if not wanted:
        return {}
    facts = _of_versions(connection, "document_versions", "version_no", wanted)
    clauses = _of_versions(connection, "clauses", "clause_no", wanted)
    evidence = _load_evidence(connection, wanted)
    documents = {}
    for version, rows in facts.items():
        values: dict[str, Any] = {name: [] for name, _ in CLAUSES.values()}
        for row in clauses[version]:
            name, model = CLAUSES[row["family"]]
            picked = {key: row[key] for key in model.model_fields if key != "evidence"}
            values[name].append({**picked, "evidence": evidence[version, row["clause_no"]]})
        told = {name: rows[0][name] for name in FACT_FIELDS}
        values["facts"] = DocumentFacts.model_validate({**told, "evidence": evidence[version, None]})
        documents[version] = Contents.model_validate(values)
    return documents


def _load_evidence(
    connection: duckdb.DuckDBPyConnection, versions: list[int]
) -> Mapping[tuple[int, int | None], tuple[dict[str, Any], ...]]:
    gathered: dict[tuple[int, int | None], dict[int, dict[str, Any]]] = defaultdict(dict)
    order = "clause_no, evidence_no, box_no"
    for version, rows in _of_versions(connection, "evidence", order, versions).items():
        for row in rows:
            items = gathered[version, row["clause_no"]]
            told = {name: row[name] for name in ("field", "quote", "pattern", "confidence")}
            item = items.setdefault(row["evidence_no"], {**told, "boxes": []})
            if row["box_no"]:
                item["boxes"].append({name: row[name] for name in ("page", "x0", "top", "x1", "bottom")})
    found: dict[tuple[int, int | None], tuple[dict[str, Any], ...]] = defaultdict(tuple)
    found.update({key: tuple(items.values()) for key, items in gathered.items()})
    return found
