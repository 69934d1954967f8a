"""Writing one reading: its proposals as a new run, and which of them show where a person has already decided."""

import hashlib
from datetime import UTC, datetime

import duckdb

from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import FailedReading, Reading
from firstcap.schema.vocabulary import TermState
from firstcap.store.acts import acts_on
from firstcap.store.contents import Contents
from firstcap.store.replay import Act, replay_document, replay_term
from firstcap.store.rows import Batch, fetch, load_documents
from firstcap.store.sequence import Numbers


def record(
    connection: duckdb.DuckDBPyConnection, reading: Reading | FailedReading, supplier: str | None
) -> bool | None:
    """Write a reading; True where the document was there before, None where there is nothing new to write."""
    earlier = fetch(
        connection,
        "SELECT reader, settings, supplier_given, digest, error FROM base.readings WHERE document_id = ? "
        "ORDER BY reading_no",
        [reading.document_id],
    )
    given = supplier or next((row["supplier_given"] for row in reversed(earlier) if row["supplier_given"]), None)
    digest = hashlib.sha256(reading.model_dump_json().encode()).hexdigest()
    settings = reading.settings if isinstance(reading, Reading) else ""
    if earlier and _nothing_new(earlier, reading, settings, digest, given):
        return None
    numbers = Numbers(connection)
    batch = Batch()
    reading_no = numbers.next("readings")
    failed = isinstance(reading, FailedReading)
    batch.add(
        "base.readings",
        (
            reading_no,
            reading.document_id,
            datetime.now(UTC),
            reading.reader,
            settings,
            reading.file_name,
            reading.pages,
            None if isinstance(reading, FailedReading) else reading.text_source,
            given,
            digest,
            *((reading.error, reading.message, reading.page) if isinstance(reading, FailedReading) else (None,) * 3),
        ),
    )
    if not failed:
        assert isinstance(reading, Reading)
        _propose(connection, batch, numbers, reading, reading_no, given)
    batch.write(connection)
    return bool(earlier)


def _nothing_new(
    earlier: list[dict[str, object]],
    reading: Reading | FailedReading,
    settings: str,
    digest: str,
    given: str | None,
) -> bool:
    last = earlier[-1]
    if last["supplier_given"] != given:
        return False
    if isinstance(reading, FailedReading):
        return last["digest"] == digest
    done = (row for row in earlier if row["error"] is None)
    return any(row["reader"] == reading.reader and row["settings"] == settings for row in done)


def _propose(
    connection: duckdb.DuckDBPyConnection,
    batch: Batch,
    numbers: Numbers,
    reading: Reading,
    reading_no: int,
    given: str | None,
) -> None:
    document_id = reading.document_id
    acts = acts_on(connection, document_id=document_id)
    contents, decided = _contents(reading, given), acts.get(document_id, [])
    _propose_document(connection, batch, numbers, document_id, contents, decided, reading_no)

    ids = reading.term_ids()
    for place, (term_id, term) in enumerate(zip(ids, reading.terms, strict=True)):
        version = numbers.next("versions")
        batch.add_term(version, term_id, document_id, term, place=place, reading=reading_no)
        decided = acts.get(term_id, [])
        if any(act.decides_the_term for act in decided):
            continue
        last = decided[-1].number if decided else None
        if decided:
            try:
                held, _ = replay_term(term, decided)
            except ValueRefusedError:
                continue  # what was confirmed does not go with the new reading: it stays as the person left it
            if held != term:
                version = numbers.next("versions")
                batch.add_term(version, term_id, document_id, held, place=place, decision=last)
        standing = (numbers.next("standing"), term_id, document_id, version, TermState.PROPOSED, reading_no, last)
        batch.add("base.standing", standing)

    shown = connection.execute(
        "SELECT term_id FROM base.current_terms WHERE document_id = ? ORDER BY place", [document_id]
    ).fetchall()
    for (term_id,) in shown:
        if term_id not in ids and term_id not in acts:
            gone = (numbers.next("standing"), term_id, document_id, None, None, reading_no, None)
            batch.add("base.standing", gone)
    for number, warning in enumerate(reading.warnings, 1):
        about = ids[warning.term] if warning.term is not None and 0 <= warning.term < len(ids) else None
        batch.add("base.warnings", (reading_no, number, about, warning.kind, warning.page, warning.message))


def _contents(reading: Reading, given: str | None) -> Contents:
    contents = Contents.of(reading)
    facts = contents.facts
    if given is None or given == facts.supplier:
        return contents
    # The name read stands where its evidence says; the name given stands nowhere on the page.
    evidence = tuple(item for item in facts.evidence if item.field != "supplier")
    return contents.model_copy(update={"facts": facts.model_copy(update={"supplier": given, "evidence": evidence})})


def _propose_document(
    connection: duckdb.DuckDBPyConnection,
    batch: Batch,
    numbers: Numbers,
    document_id: str,
    proposal: Contents,
    acts: list[Act],
    reading_no: int,
) -> None:
    version = numbers.next("versions")
    batch.add_document(version, document_id, proposal, reading=reading_no)
    base = proposal
    confirmed = next((act.base_version for act in acts if act.confirms_the_document), None)
    if confirmed is not None:  # the facts stay as they were confirmed, the clauses follow the new reading
        base = proposal.model_copy(update={"facts": load_documents(connection, [confirmed])[confirmed].facts})
    last = acts[-1].number if acts else None
    held, state = replay_document(base, acts)
    if held != proposal:
        version = numbers.next("versions")
        batch.add_document(version, document_id, held, decision=last)
    batch.add("base.standing", (numbers.next("standing"), document_id, document_id, version, state, reading_no, last))
