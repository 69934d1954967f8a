"""Which promises are looked at together, what their sentence leaves open, and which part of the page is shown."""

import pytest

from firstcap.app.confirm.board import Board, Choice, Folder, Order
from firstcap.app.confirm.cards import Card, CardFamily, CardKind
from firstcap.app.confirm.core import Session
from firstcap.app.confirm.sentence import describe, parts
from firstcap.app.web.statements import Slot, statements, unsaid
from firstcap.app.web.strips import key_of, strips_of
from firstcap.schema.vocabulary import TermState
from firstcap.store.catalogue import Catalogue

LETTER = (612.0, 792.0)


@pytest.fixture
def board(catalogue: Catalogue) -> Board:
    made = Board(catalogue)
    made.refresh()
    return made


def folder(board: Board, name: str) -> Folder:
    return next(one for one in board.folders() if one.row.file_name.startswith(name))


@pytest.fixture
def table(board: Board) -> Card:
    """Three sizes with new-meter and low-flow accuracy each, of one table."""
    return next(card for card in folder(board, "brack").cards if card.kind is CardKind.TABLE)


def test_a_document_is_its_facts_then_its_promises_then_its_clauses(board: Board) -> None:
    kinds = [card.kind for card in folder(board, "brack").cards]
    assert kinds[0] is CardKind.FACTS and kinds[-3:] == [CardKind.CLAUSES] * 3
    assert kinds.count(CardKind.TABLE) == 1 and kinds.count(CardKind.TERM) >= 2


def test_promises_of_one_table_are_one_card_and_those_of_a_sentence_stand_alone(table: Card, board: Board) -> None:
    sizes = [item.stored.term.size_label for item in table.items if item.stored]
    assert sorted(sizes, key=str) == ["1", "1", "3/4", "3/4", "5/8", "5/8"]
    assert all(len(card.items) == 1 for card in folder(board, "brack").cards if card.kind is CardKind.TERM)


def test_one_sentence_says_what_promises_share_and_a_row_where_they_differ(table: Card) -> None:
    new, low = statements(table.items)
    assert [slot.field for slot in new.slots] == ["size", "cap"]
    assert [slot.field for slot in low.slots] == ["size", "time", "cap", "band 1"]
    assert [[part.text for part in row.values] for row in new.rows] == [
        ["5/8 in", "600,000 gal"], ["3/4 in", "900,000 gal"], ["1 in", "1,200,000 gal"],
    ]  # fmt: skip


def test_a_statement_filled_with_a_row_is_the_sentence_of_that_promise(table: Card) -> None:
    for statement in statements(table.items):
        for row in statement.rows:
            values = iter(row.values)
            told = "".join((next(values) if isinstance(piece, Slot) else piece).text for piece in statement.pieces)
            assert row.item.stored and told == describe(row.item.stored.term)


def test_the_pieces_of_a_sentence_are_the_sentence(catalogue: Catalogue) -> None:
    for stored in catalogue.terms():
        assert "".join(part.text for part in parts(stored.term)) == describe(stored.term)


def test_what_a_sentence_does_not_say_can_be_given(table: Card) -> None:
    assert table.items[0].stored
    keys = {field.key for field in unsaid(table.items[0].stored.term)}
    assert {"product", "variant", "credits"} <= keys and not keys & {"size", "time", "cap", "start", "ends", "remedy"}


def test_the_strip_of_a_table_shows_its_rows_its_header_and_every_value(table: Card) -> None:
    main, *others = strips_of(table, lambda number: LETTER)
    rows = [mark.box for mark in main.wholes]
    assert main.main and len(rows) == 3 and not any(strip.main for strip in others)
    assert main.part.top < min(box.top for box in rows) - 20 and main.part.bottom > max(box.bottom for box in rows)
    assert len([mark for mark in main.marks if "cap" in mark.fields]) == 6
    assert {"start", "remedy"} <= {field for strip in others for mark in strip.marks for field in mark.fields}


def test_every_mark_lies_within_its_strip_and_every_strip_within_its_page(board: Board) -> None:
    for one in board.folders():
        for card in one.cards:
            for strip in strips_of(card, lambda number: LETTER):
                assert 0 <= strip.part.x0 < strip.part.x1 <= 612 and 0 <= strip.part.top < strip.part.bottom <= 792
                for mark in (*strip.marks, *strip.wholes):
                    assert mark.box.page == strip.part.page
                    assert strip.part.x0 <= mark.box.x0 and mark.box.x1 <= strip.part.x1
                    assert strip.part.top <= mark.box.top and mark.box.bottom <= strip.part.bottom


@pytest.mark.parametrize(
    ("field", "key"),
    [
        ("volume_cap_usgal", "cap"),
        ("band.2", "band 2"),
        ("limit.1", "limits"),
        ("document_code", "code"),
        ("start.1", "start"),
    ],
)
def test_evidence_is_tied_to_what_it_is_corrected_by(field: str, key: str) -> None:
    assert key_of(field) == key


def test_the_least_sure_comes_first_and_keeps_its_turn_when_decided(board: Board, catalogue: Catalogue) -> None:
    said = [card.confidence for card in board.chosen(Choice()) if card.confidence is not None]
    assert said == sorted(said)
    before = [card.key for card in board.chosen(Choice())]
    first = board.queue(Choice())[0]
    Session(catalogue, reviewer="R. Alder").confirm(*first.items)
    board.refresh()
    assert [card.key for card in board.chosen(Choice())] == before
    assert board.queue(Choice(), after=first.key)[0].key == before[1]


def test_a_queue_ends_where_nothing_is_open_and_comes_round_to_what_was_skipped(board: Board) -> None:
    choice = Choice(Order.DOCUMENT, family=CardFamily.DOCUMENT)
    first, second, third = board.queue(choice, count=9)
    assert [card.key for card in board.queue(choice, after=second.key, count=9)] == [third.key, first.key, second.key]


def test_the_board_takes_in_what_another_process_did(board: Board, catalogue: Catalogue, table: Card) -> None:
    there = Session(Catalogue(catalogue.path), reviewer="M. Fescue")
    there.confirm(*table.items)
    seen = table.seen
    board.refresh()
    now = board.card(table.key)
    assert now and not now.open_items and now.seen != seen
    assert {item.stored.state for item in now.items if item.stored} == {TermState.CONFIRMED}
    assert folder(board, "brack").promises.decided == 6


def test_a_strip_of_another_file_is_never_shown(catalogue: Catalogue, office: object) -> None:
    from firstcap.app.web.office import Office
    from firstcap.app.web.papers import MissingPaperError

    assert isinstance(office, Office)
    row = next(row for row in catalogue.documents() if row.file_name.startswith("cobble"))
    [path] = catalogue.files(row.document_id)
    path.write_bytes(path.with_name("brackenspur_low_flow.pdf").read_bytes())
    with pytest.raises(MissingPaperError, match="put it back"):
        office.papers.page_size(row.document_id, 1)


def test_a_stack_that_was_moved_with_its_catalogue_still_shows_its_pages(catalogue: Catalogue) -> None:
    moved = Catalogue(catalogue.path.parent.rename(catalogue.path.parent.with_name("moved")) / "firstcap.duckdb")
    assert all(moved.files(row.document_id)[0].exists() for row in moved.documents())


def test_a_group_of_one_card_is_undone_as_one_act(board: Board, catalogue: Catalogue, table: Card) -> None:
    session = Session(catalogue, reviewer="R. Alder")
    session.confirm(*table.items)
    session.confirm(folder(board, "brack").cards[1].items[0])
    session.undo()
    session.undo()
    assert {stored.state for stored in catalogue.terms()} == {TermState.PROPOSED}
    assert len(catalogue.decisions()) == 14
