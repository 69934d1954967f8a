"""What reading a document, and reading it again, leaves in the catalogue."""

from decimal import Decimal

import pytest
from pinyon_readings import FACTS, accuracy_term, banded_term, failed, reading, register_term, sha

from firstcap.schema.decisions import NewDecision
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import AccuracyBand, DocumentFacts, Exclusion, term_ids
from firstcap.schema.vocabulary import AccuracyLevel, Ends, ExclusionKind, TermState
from firstcap.store.catalogue import Catalogue, Recorded

DOCUMENT = sha("juniper.pdf")


def act(item: str, action: str, field: str | None = None, value: str | None = None, **more: object) -> NewDecision:
    return NewDecision.model_validate(
        {"reviewer": "Ana", "item_id": item, "action": action, "field": field, "new_value": value, **more}
    )


def test_a_new_document_shows_its_facts_and_counts(catalogue: Catalogue) -> None:
    assert catalogue.record(reading()) is Recorded.NEW
    [row] = catalogue.documents()
    assert row.document_id == DOCUMENT and row.file_name == "juniper.pdf"
    assert (row.supplier, row.document_code, row.revision) == ("Juniper Flow Works", "JF-22", "C")
    assert row.effective_from == FACTS.effective_from and row.pages == 2 and row.text_source == "text"
    assert (row.status, row.terms, row.to_confirm, row.warnings) == ("to_confirm", 2, 2, 2)
    assert row.error is None and row.message is None
    assert row.added_at.tzinfo is not None


def test_terms_come_back_as_they_were_read_under_the_ids_of_the_reading(catalogue: Catalogue) -> None:
    read = reading("juniper.pdf", accuracy_term(), banded_term(), register_term())
    catalogue.record(read)
    stored = catalogue.terms()
    assert tuple(item.term_id for item in stored) == read.term_ids()
    assert tuple(item.term for item in stored) == read.terms
    assert tuple(item.proposal for item in stored) == read.terms
    assert {item.state for item in stored} == {TermState.PROPOSED}
    assert stored[0].decided_by is None and stored[0].supplier == "Juniper Flow Works"
    assert catalogue.terms("0" * 64) == []


def test_the_same_bytes_by_the_same_reader_add_nothing(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    before = [catalogue.rows(f"SELECT count(*) AS n FROM base.{table}") for table in ("readings", "standing", "limits")]
    assert catalogue.is_known(DOCUMENT, "1") and not catalogue.is_known(DOCUMENT, "2")
    assert catalogue.record(reading()) is Recorded.UNCHANGED
    assert before == [
        catalogue.rows(f"SELECT count(*) AS n FROM base.{table}") for table in ("readings", "standing", "limits")
    ]


def test_a_newer_reader_replaces_what_nobody_decided(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    newer = reading("juniper.pdf", accuracy_term(months=72), banded_term(), reader="2")
    assert catalogue.record(newer) is Recorded.REREAD
    stored = catalogue.terms()
    assert tuple(item.term for item in stored) == newer.terms  # the register's term is gone, nobody had decided on it
    assert len(catalogue.documents()) == 1


def test_a_confirmed_term_stays_as_the_person_left_it(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    [accuracy, _] = catalogue.terms()
    catalogue.decide([act(accuracy.term_id, "confirm")])
    catalogue.record(reading("juniper.pdf", accuracy_term(months=72), register_term(), reader="2"))
    [kept, register] = catalogue.terms()
    assert kept.state is TermState.CONFIRMED and kept.term == accuracy.term
    assert kept.proposal is not None and kept.proposal.duration_months == 72
    assert register.state is TermState.PROPOSED


@pytest.mark.parametrize(
    ("order", "state"),
    [
        (("confirm", None, None), TermState.CONFIRMED),
        (("correct", "duration_months", "144"), TermState.CORRECTED),
        (("strike", None, None), TermState.STRUCK),
        (("confirm", "duration_months", None), TermState.PROPOSED),
    ],
)
def test_a_term_somebody_decided_on_is_kept_when_a_newer_reader_no_longer_finds_it(
    catalogue: Catalogue, order: tuple[str, str | None, str | None], state: TermState
) -> None:
    catalogue.record(reading())
    register = catalogue.terms()[1]
    catalogue.decide([act(register.term_id, *order, note="reason")])
    left = catalogue.terms()[1]
    catalogue.record(reading("juniper.pdf", accuracy_term(), reader="2"))
    kept = catalogue.terms()[1]
    assert kept.term_id == register.term_id and kept.state is state
    assert kept.term == left.term and kept.proposal is None


def test_a_confirmed_field_holds_over_a_newer_reading_that_fills_the_rest(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    term_id = catalogue.terms()[0].term_id
    catalogue.decide([act(term_id, "confirm", "duration_months")])
    catalogue.record(reading("juniper.pdf", accuracy_term(months=72, usgal=750_000), reader="2"))
    item = catalogue.terms()[0]
    assert item.state is TermState.PROPOSED
    assert item.term.duration_months == 60 and item.term.limits[0].months == 60
    assert item.term.volume_cap_usgal == 750_000


def test_a_confirmed_field_that_does_not_fit_the_newer_reading_keeps_the_term_whole(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    before = catalogue.terms()[0]
    catalogue.decide([act(before.term_id, "confirm", "ends")])
    one_limit = accuracy_term(
        volume_cap_usgal=None, volume_cap_text=None, ends=Ends.TIME_ONLY, limits=accuracy_term().limits[:1]
    )
    catalogue.record(reading("juniper.pdf", one_limit, reader="2"))
    assert catalogue.terms()[0].term == before.term
    catalogue.decide([act(before.term_id, "correct", "duration_months", "66")])  # and can still be decided on
    after = catalogue.terms()[0]
    assert after.state is TermState.CORRECTED
    assert (after.term.duration_months, after.term.ends, after.term.volume_cap_usgal) == (66, Ends.FIRST_OF, 640_000)


def test_a_term_a_person_added_is_the_same_term_when_a_newer_reader_finds_it(catalogue: Catalogue) -> None:
    catalogue.record(reading("juniper.pdf", accuracy_term()))
    missed = register_term(evidence=(), confidence=0.0)
    [added] = catalogue.decide([act(DOCUMENT, "add", value=missed.model_dump_json())])
    assert added.item_id == term_ids(DOCUMENT, [missed])[0]
    catalogue.record(reading("juniper.pdf", accuracy_term(), register_term(), reader="2"))
    assert [item.state for item in catalogue.terms()] == [TermState.PROPOSED, TermState.ADDED]
    assert catalogue.terms()[1].term == missed and catalogue.terms()[1].proposal == register_term()


def test_a_corrected_fact_of_the_document_outlives_a_newer_reading_and_the_others_follow_it(
    catalogue: Catalogue,
) -> None:
    catalogue.record(reading())
    catalogue.decide([act(DOCUMENT, "correct", "revision", '"D"'), act(DOCUMENT, "confirm", "supplier")])
    facts = DocumentFacts(supplier="Juniper", title="Warranty Statement", revision="E")
    catalogue.record(reading(facts=facts, reader="2"))
    [row] = catalogue.documents()
    assert (row.supplier, row.title, row.revision, row.document_code) == (
        "Juniper Flow Works",
        "Warranty Statement",
        "D",
        None,
    )


def test_a_struck_exclusion_does_not_come_back_and_a_confirmed_one_does_not_go(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    catalogue.decide(
        [
            act(DOCUMENT, "strike", "exclusion.misuse", note="about another product"),
            act(DOCUMENT, "confirm", "exclusion.freezing"),
        ]
    )
    misuse = Exclusion(kind=ExclusionKind.MISUSE, quote="misapplication")
    catalogue.record(reading(exclusions=(misuse,), reader="2"))
    assert catalogue.rows("SELECT kind, quote FROM exclusions") == [{"kind": "freezing", "quote": "damage by frost"}]
    fields = catalogue.rows("SELECT field FROM evidence WHERE item_id = ? AND field LIKE 'exclusion%'", [DOCUMENT])
    assert fields == [{"field": "exclusion.freezing"}]


def test_a_supplier_given_by_a_person_stands_over_the_one_read_now_and_later(catalogue: Catalogue) -> None:
    catalogue.record(reading(), supplier=" Juniper Flow Works, Inc. ")
    assert catalogue.documents()[0].supplier == "Juniper Flow Works, Inc."
    catalogue.record(reading(reader="2"))
    assert catalogue.terms()[0].supplier == "Juniper Flow Works, Inc."
    assert catalogue.rows("SELECT DISTINCT supplier FROM terms") == [{"supplier": "Juniper Flow Works, Inc."}]
    # The name given stands nowhere on the page.
    assert not catalogue.rows("SELECT * FROM evidence WHERE field = 'supplier'")
    assert catalogue.record(reading(reader="2"), supplier="Juniper") is Recorded.REREAD
    assert catalogue.documents()[0].supplier == "Juniper"


def test_a_file_that_could_not_be_read_has_a_row_that_says_why(catalogue: Catalogue) -> None:
    assert catalogue.record(failed(), supplier="Juniper") is Recorded.NEW
    [row] = catalogue.documents()
    assert (row.status, row.error, row.supplier, row.warnings) == ("failed", "damaged", "Juniper", 1)
    assert row.message == "the file ends in the middle; ask for it again"
    [warning] = catalogue.rows("SELECT * FROM warnings")
    assert warning["kind"] == "other" and warning["message"] == row.message
    assert not catalogue.is_known(sha("broken.pdf"), "1")  # worth another try: OCR may be there by then
    assert catalogue.record(failed(), supplier="Juniper") is Recorded.UNCHANGED
    assert catalogue.record(reading("broken.pdf", reader="1")) is Recorded.REREAD
    [row] = catalogue.documents()
    assert (row.status, row.error, row.warnings) == ("to_confirm", None, 2)


def test_a_later_failure_hides_nothing_of_what_an_earlier_reading_found(catalogue: Catalogue) -> None:
    catalogue.record(reading())
    before = catalogue.terms()
    assert catalogue.record(failed("juniper.pdf", reader="2")) is Recorded.REREAD
    assert catalogue.terms() == before
    [row] = catalogue.documents()
    assert (row.status, row.error, row.warnings, row.pages) == ("to_confirm", "damaged", 3, 2)


def test_documents_come_in_the_order_they_were_added(catalogue: Catalogue) -> None:
    for name in ("c.pdf", "a.pdf", "b.pdf"):
        catalogue.record(reading(name))
    catalogue.record(reading("c.pdf", reader="2"))
    assert [row.file_name for row in catalogue.documents()] == ["c.pdf", "a.pdf", "b.pdf"]


def test_a_document_is_recorded_whole_or_not_at_all(catalogue: Catalogue, monkeypatch: pytest.MonkeyPatch) -> None:
    catalogue.record(reading("a.pdf"))

    def stumble(*_: object) -> object:
        raise RuntimeError("pulled the plug")

    monkeypatch.setattr("firstcap.store.rows.resolved", stumble)
    with_band = accuracy_term(bands=(AccuracyBand(basis="AWWA C700"),))
    with pytest.raises(RuntimeError, match="plug"):
        catalogue.record(reading("b.pdf", with_band))
    monkeypatch.undo()
    assert [row.file_name for row in catalogue.documents()] == ["a.pdf"]
    assert catalogue.record(reading("b.pdf", with_band)) is Recorded.NEW


def test_a_document_without_a_term_waits_for_a_person(catalogue: Catalogue) -> None:
    catalogue.record(reading(terms=()))
    assert catalogue.documents()[0].status == "to_confirm"
    catalogue.decide([act(DOCUMENT, "confirm")])
    assert catalogue.documents()[0].status == "confirmed"


def test_one_kind_of_exclusion_is_one_row_and_both_quotes_are_kept(catalogue: Catalogue) -> None:
    twice = tuple(Exclusion(kind=ExclusionKind.FREEZING, quote=quote) for quote in ("frost", "ice"))
    catalogue.record(reading(exclusions=twice))
    assert catalogue.rows("SELECT kind, quote FROM exclusions") == [{"kind": "freezing", "quote": "frost … ice"}]


# --- a standard named in place of numbers: settled question 3 ---


def bands_of(catalogue: Catalogue) -> list[tuple[object, ...]]:
    rows = catalogue.rows(
        "SELECT flow_role, flow_from_usgpm, flow_to_usgpm, lower_pct, upper_pct, basis FROM accuracy_bands ORDER BY ALL"
    )
    return [tuple(row.values()) for row in rows]


def test_a_standard_by_name_shows_its_numbers_and_its_name(catalogue: Catalogue) -> None:
    term = accuracy_term("5/8", bands=(AccuracyBand(basis="AWWA C700", band_text="per AWWA C700"),))
    catalogue.record(reading("juniper.pdf", term))
    # Flows and normal-flow limits of a 5/8 inch displacement meter: 83 Ill. Adm. Code 600.310(b), which restates them.
    found = {band[0]: band[1:5] for band in bands_of(catalogue)}
    assert found["intermediate"][:1] == (2.0,) and found["maximum"][:1] == (15.0,)
    assert found["maximum"][2:] == (98.5, 101.5)
    assert {band[5] for band in bands_of(catalogue)} == {"AWWA C700"}
    assert catalogue.terms()[0].term == term  # what was read stays as it was read


def test_numbers_printed_beside_a_standard_are_left_alone(catalogue: Catalogue) -> None:
    printed = AccuracyBand(lower_pct=Decimal(97), upper_pct=Decimal(103), basis="AWWA C700")
    catalogue.record(reading("juniper.pdf", accuracy_term(bands=(printed,))))
    assert bands_of(catalogue) == [(None, None, None, 97.0, 103.0, "AWWA C700")]


@pytest.mark.parametrize(
    ("basis", "level", "why"),
    [
        ("the maker's own test", AccuracyLevel.NEW_METER, "names no standard"),
        ("AWWA C700", AccuracyLevel.STATED, "does not say whether new or repaired limits are meant"),
        ("AWWA C750", AccuracyLevel.NEW_METER, "a standard without rows"),
    ],
)
def test_a_standard_that_does_not_tell_stays_a_name(
    catalogue: Catalogue, basis: str, level: AccuracyLevel, why: str
) -> None:
    catalogue.record(reading("juniper.pdf", accuracy_term(accuracy_level=level, bands=(AccuracyBand(basis=basis),))))
    assert bands_of(catalogue) == [(None, None, None, None, None, basis)], why


def test_a_corrected_size_brings_the_limits_of_that_size(catalogue: Catalogue) -> None:
    catalogue.record(reading("juniper.pdf", accuracy_term("5/8", bands=(AccuracyBand(basis="AWWA C700"),))))
    catalogue.decide([act(catalogue.terms()[0].term_id, "correct", "size_label", '"1"')])
    flows = {band[0]: band[1] for band in bands_of(catalogue)}
    assert flows["maximum"] == 40.0  # 83 Ill. Adm. Code 600.310(b): 40 gpm for 1 inch


def test_evidence_over_two_pages_has_a_row_for_each_box(catalogue: Catalogue) -> None:
    base = register_term().evidence[0]
    broken = base.model_copy(
        update={"boxes": (base.boxes[0], base.boxes[0].model_copy(update={"page": 2, "top": 36.0}))}
    )
    unplaced = Evidence(field="promise", boxes=(), quote="warrants")
    catalogue.record(reading("juniper.pdf", register_term(evidence=(broken, unplaced))))
    rows = catalogue.rows("SELECT field, page, top_pt FROM evidence WHERE item_id <> ? ORDER BY ALL", [DOCUMENT])
    assert [tuple(row.values()) for row in rows] == [
        ("duration_months", 1, 100.5),
        ("duration_months", 2, 36.0),
        ("promise", None, None),
    ]
