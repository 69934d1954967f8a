"""A promise read from an image is no surer than its least sure figure; two signs that agree make a figure sure."""

from firstcap.extract.legible import as_legible
from firstcap.extract.page import ONE_SIGN, Block, BlockKind, Cell, Layout, Origin, Table, Word
from firstcap.extract.runs import make_run
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import AccuracyBand, ReadingWarning, Term
from firstcap.schema.vocabulary import Component, Ends, FlowRole, Promise, WarningKind

SURE = 0.92


def word(text: str, column: int, row: int = 0, *, confidence: float = 0.99, origin: Origin = Origin.OCR) -> Word:
    x, y = 50.0 + 60 * column, 100.0 + 20 * row
    return Word(text, 1, x, y, x + 50, y + 10, origin=origin, confidence=confidence)


def term(field: str, *words: Word, pattern: str = "sentence", bands: tuple[AccuracyBand, ...] = ()) -> Term:
    rows = [
        Evidence(
            field=name,
            boxes=tuple(one.box for one in words),
            quote=" ".join(one.text for one in words),
            pattern=pattern,
            confidence=SURE,
        )
        for name in ("quote", field)
    ]
    return Term(
        component=Component.WHOLE_METER,
        promise=Promise.MATERIALS_WORKMANSHIP,
        ends=Ends.FIRST_OF,
        evidence=tuple(rows),
        confidence=SURE,
        bands=bands,
    )


def prose(*words: Word) -> Layout:
    return Layout((), (Block(BlockKind.PARAGRAPH, make_run([words])),))


def confidence(one: Term, layout: Layout, *warnings: ReadingWarning) -> float:
    (found,) = as_legible([one], layout, warnings)
    return found.confidence


def test_a_figure_that_one_look_alone_saw_makes_no_sure_promise() -> None:
    figure = word("640,000", 0, confidence=ONE_SIGN)
    assert confidence(term("volume_cap_usgal", figure), prose(figure)) == ONE_SIGN


def test_a_figure_that_two_readers_saw_leaves_the_promise_as_sure_as_it_was() -> None:
    figure = word("640,000", 0)
    assert confidence(term("volume_cap_usgal", figure), prose(figure)) == SURE


def test_a_figure_on_which_two_looks_differ_is_doubted_in_its_own_value_too() -> None:
    figure, other = word("640,000", 0, confidence=0.5), word("years", 1)
    (found,) = as_legible([term("limit.1", figure, other)], prose(figure, other), ())
    assert found.confidence == 0.5
    assert [row.confidence for row in found.evidence if row.field == "limit.1"] == [0.5]


def test_words_beside_the_figures_confirm_them() -> None:
    words = (word("five", 0), word("(5)", 1, confidence=0.5), word("years", 2))
    assert confidence(term("duration_months", *words), prose(*words)) == SURE


def test_words_that_contradict_the_figures_confirm_nothing() -> None:
    words = (word("twelve", 0), word("(18)", 1, confidence=0.5), word("months", 2))
    differ = ReadingWarning(kind=WarningKind.WORDS_AND_DIGITS_DIFFER, page=1, message="they differ")
    assert confidence(term("duration_months", *words), prose(*words), differ) == 0.5


def test_the_same_long_figure_printed_twice_confirms_itself() -> None:
    once, twice = word("640,000", 0, confidence=ONE_SIGN), word("640,000,", 3, confidence=ONE_SIGN)
    assert confidence(term("volume_cap_usgal", once), prose(once, twice)) == SURE


def test_a_doubted_figure_is_not_confirmed_by_a_second_printing() -> None:
    once, twice = word("640,000", 0, confidence=0.5), word("640,000", 3, confidence=0.99)
    assert confidence(term("volume_cap_usgal", once), prose(once, twice)) == 0.5


def test_text_documents_are_left_as_they_are() -> None:
    figure = word("640,000", 0, confidence=0.1, origin=Origin.TEXT)
    assert confidence(term("volume_cap_usgal", figure), prose(figure)) == SURE


def test_a_band_whose_flow_was_not_read_is_not_sure() -> None:
    figure = word("98.5-101.5%", 0)
    band = AccuracyBand(flow_role=FlowRole.NORMAL_RANGE, lower_pct="98.5", upper_pct="101.5", basis="stated")
    assert confidence(term("band.1", figure, bands=(band,)), prose(figure)) == ONE_SIGN


def test_a_rule_of_two_limits_with_one_limit_read_is_not_sure() -> None:
    words = (word("whichever", 0), word("first", 1))
    assert confidence(term("ends", *words, pattern="whichever_first"), prose(*words)) == ONE_SIGN


def table(rows: list[list[Word | None]]) -> Layout:
    cells = tuple(
        Cell(make_run([[one]]), row, column)
        for row, line in enumerate(rows)
        for column, one in enumerate(line)
        if one is not None
    )
    grid = Table(cells, rows=len(rows), cols=len(rows[0]), header_rows=1)
    words = [one for line in rows for one in line if one is not None]
    return Layout((), (Block(BlockKind.TABLE, make_run([words]), table=grid),))


def test_a_row_of_a_legible_table_is_sure() -> None:
    row = [word("DN20", 0, 1), word("6500", 1, 1)]
    layout = table([[word("Size", 0), word("m³", 1)], [*row]])
    assert confidence(term("volume_cap_usgal", *row, pattern="table.row"), layout) == SURE


def test_an_illegible_header_makes_its_rows_unsure() -> None:
    row = [word("DN20", 0, 1), word("6500", 1, 1)]
    layout = table([[word("Size", 0), word("m2", 1, confidence=0.4)], [*row]])
    assert confidence(term("volume_cap_usgal", *row, pattern="table.row"), layout) == ONE_SIGN


def test_a_row_with_a_lost_cell_is_unsure_and_its_neighbours_are_not() -> None:
    whole = [[word(f"DN{size}", 0, row), word("160", 1, row), word(str(size * 311), 2, row)] for row, size in
             enumerate((15, 20, 25), 1)]  # fmt: skip
    broken: list[Word | None] = [word("DN40", 0, 4), None, word("26000", 2, 4)]
    layout = table([[word("Size", 0), word("R", 1), word("m³", 2)], *[[*row] for row in whole], broken])
    lost = [one for one in broken if one is not None]
    assert confidence(term("volume_cap_usgal", *lost, pattern="table.row"), layout) == ONE_SIGN
    assert confidence(term("volume_cap_usgal", *whole[0], pattern="table.row"), layout) == SURE
