"""From words to blocks in reading order: columns, panels, headings, clauses, lists, footnotes, furniture."""

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from drawn import Paper, block_with, headings_of, read, rows, tables, texts
from hypothesis import given
from hypothesis import strategies as st

from firstcap.extract.layout import build_layout, unplaced
from firstcap.extract.page import BlockKind, Origin, Word
from firstcap.extract.pdf import RawDocument, RawPage, Rule, open_document
from firstcap.extract.runs import make_run
from firstcap.schema.errors import DamagedError

FIXTURES = Path(__file__).parents[2] / "fixtures"
DOCUMENTS = sorted(FIXTURES.glob("*/*.pdf"))

DEFECTS = (
    "Copperline warrants that each disc meter will be free from defects in materials and workmanship for a period of "
    "eighteen months from the date of shipment, and that its bronze maincase will be free from the same defects for "
    "twenty-five years from that date. The buyer sends the meter to the works with freight prepaid."
)
CLAIMS = (
    "The buyer gives written notice of a claim within thirty days after the defect is found, asks for a return number, "
    "and shows the date of shipment. Meters are tested at the works by the procedure of the manual, and the result is "
    "final. Copperline pays the freight of what it sends back."
)
LIMITS = (
    "Nothing is owed for a meter that froze, was opened by others, or was set where sand or scale could enter it. "
    "Copperline is not liable for lost revenue, nor for the labor of taking a meter out and putting it back. "
    "No other warranty is given, express or implied."
)


# --- paragraphs -------------------------------------------------------------------------------------------------------


def test_lines_of_a_paragraph_are_one_run_and_paragraphs_part_at_a_wider_blank(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "prose.pdf")
    top = paper.wrapped(72, 100, 460, DEFECTS)
    paper.wrapped(72, top + 8, 460, CLAIMS)
    _, layout = read(paper.done())
    assert texts(layout) == [DEFECTS, CLAIMS]


def test_paragraphs_without_a_blank_between_them_part_where_the_next_word_would_have_fitted(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "tight.pdf")
    top = paper.wrapped(72, 100, 430, DEFECTS)
    paper.wrapped(72, top, 430, CLAIMS)
    _, layout = read(paper.done())
    assert texts(layout) == [DEFECTS, CLAIMS]


@pytest.mark.parametrize(
    ("upper", "lower", "joined"),
    [
        ("for a period of twenty-", "five years from shipment", "for a period of twenty-five years from shipment"),
        ("free from defects in work-", "manship for two years", "free from defects in workmanship for two years"),
        ("a ten-", "year promise on the register", "a ten-year promise on the register"),
        ("the multi-", "jet meters of this line here", "the multi-jet meters of this line here"),
        ("repair and/", "or replace the meter, at will", "repair and/or replace the meter, at will"),
    ],
)
def test_words_broken_at_a_line_end_are_made_whole(tmp_path: Path, upper: str, lower: str, joined: str) -> None:
    paper = Paper(tmp_path / "hyphen.pdf")
    paper.lines(72, 100, [upper, lower])
    _, layout = read(paper.done())
    assert texts(layout) == [joined]
    run = layout.blocks[0].run
    for (start, end), word in zip(run.spans, run.words, strict=True):
        assert run.text[start:end] in word.text


def test_a_soft_hyphen_at_a_line_end_goes_and_elsewhere_it_is_a_printed_hyphen() -> None:
    lines = [["sold", "by", "Copper\u00ad"], ["line,", "low\u00ad", "lead", "bronze"]]
    words = [
        [Word(text, 1, 10.0 * i, 12.0 * j, 10.0 * i + 8, 12.0 * j + 10) for i, text in enumerate(line)]
        for j, line in enumerate(lines)
    ]
    assert make_run(words).text == "sold by Copperline, low- lead bronze"


def test_a_word_broken_at_a_line_end_has_a_box_on_each_line(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "boxes.pdf")
    paper.lines(72, 100, ["free from defects in work-", "manship for two years"])
    _, layout = read(paper.done())
    run = layout.blocks[0].run
    place = run.text.index("workmanship")
    boxes = run.boxes(place, place + len("workmanship"))
    assert len(boxes) == 2 and boxes[0].top < boxes[1].top


def test_a_clause_that_a_page_break_cuts_is_whole_and_the_furniture_between_stands_apart(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "break.pdf")
    for number, (text, top) in enumerate(
        (
            ("The register is warranted for a period of ten years or until", 700.0),
            ("the meter has registered 1,000,000 gallons, whichever is first.", 80.0),
        ),
        1,
    ):
        if number == 2:
            paper.page()
        paper.text(72, 40, "Copperline Meter Works", points=8)
        paper.wrapped(72, 80 if number == 1 else 110, 430, DEFECTS)
        paper.text(72, top, text)
        paper.text(72, 760, "Form CL-40", points=8)
        paper.text(480, 760, f"Page {number} of 2", points=8)
    raw, layout = read(paper.done())
    whole = (
        "The register is warranted for a period of ten years or until the meter has registered 1,000,000 gallons, "
        "whichever is first."
    )
    assert whole in texts(layout)
    assert [box.page for box in block_with(layout, "registered").run.boxes()] == [1, 2]
    furniture = texts(layout, BlockKind.FURNITURE)
    assert {"Form CL-40", "Page 1 of 2", "Page 2 of 2", "Copperline Meter Works"} <= set(furniture)
    assert len(raw.pages) == 2


# --- columns and panels -----------------------------------------------------------------------------------------------


def test_a_column_is_read_to_its_foot_before_the_next(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "two.pdf")
    paper.text(180, 70, "Copperline Limited Warranty", face="Times-Bold", points=16)
    top = paper.wrapped(72, 110, 220, DEFECTS)
    paper.wrapped(72, top + 8, 220, CLAIMS)
    paper.wrapped(320, 110, 220, LIMITS)
    _, layout = read(paper.done())
    assert texts(layout) == ["Copperline Limited Warranty", DEFECTS, CLAIMS, LIMITS]


def test_a_paragraph_goes_on_at_the_head_of_the_next_column(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "flow.pdf")
    lines = paper.broken(220, DEFECTS + " " + CLAIMS)
    paper.lines(72, 110, lines[:8])
    paper.lines(320, 110, lines[8:])
    _, layout = read(paper.done())
    assert texts(layout) == [DEFECTS + " " + CLAIMS]


def test_three_columns_set_close_together_are_three(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "three.pdf").font("Times-Roman", 8)
    for x, text in ((40, DEFECTS), (222, CLAIMS), (404, LIMITS)):
        paper.wrapped(x, 100, 174, text, leading=9.5)
    _, layout = read(paper.done())
    assert texts(layout) == [DEFECTS, CLAIMS, LIMITS]


def test_a_box_beside_the_text_is_read_by_itself_and_its_heading_scopes_only_it(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "panel.pdf")
    paper.text(72, 90, "Why utilities choose Copperline", face="Times-Bold", points=13)
    paper.wrapped(72, 115, 250, CLAIMS)
    paper.box(350, 75, 550, 190)
    paper.text(365, 95, "Warranty in a box", face="Times-Bold", points=13)
    for top, name, years in (
        (120, "Complete meter", "3 years"),
        (140, "Register", "25 years"),
        (160, "Maincase", "20 years"),
    ):
        paper.text(365, top, name)
        paper.right(535, top, years)
    paper.wrapped(72, 260, 460, LIMITS)
    _, layout = read(paper.done())
    (table,) = tables(layout)
    assert rows(table) == [["Complete meter", "3 years"], ["Register", "25 years"], ["Maincase", "20 years"]]
    assert headings_of(layout, next(block for block in layout.blocks if block.table))[-1] == "Warranty in a box"
    assert "Warranty in a box" not in headings_of(layout, block_with(layout, "Nothing is owed"))
    assert CLAIMS in texts(layout)


def test_two_languages_side_by_side_are_read_one_after_the_other(tmp_path: Path) -> None:
    english = [
        "The meter is warranted for the first two years from the date of shipment to the buyer, and it will be",
        "repaired or replaced by the maker. The register of the meter is warranted for ten years from the same",
        "date. In no case will the maker pay for the labor of the exchange.",
    ]
    french = [
        "Le compteur est garanti pour les deux premières années à compter de la date de livraison, et il est réparé",
        "ou remplacé par le fabricant. Le totalisateur du compteur est garanti pour dix ans à compter de la même",
        "date. Le fabricant ne paie pas la main-d'oeuvre pour le remplacement.",
    ]
    paper = Paper(tmp_path / "languages.pdf")
    for number in range(2):
        if number:
            paper.page()
        paper.wrapped(72, 100, 220, " ".join(english))
        paper.wrapped(320, 100, 220, " ".join(french))
    _, layout = read(paper.done())
    assert texts(layout) == [" ".join(english)] * 2 + [" ".join(french)] * 2
    assert [block.run.page for block in layout.blocks] == [1, 2, 1, 2]


# --- headings, clauses, lists -----------------------------------------------------------------------------------------


def test_clauses_stand_under_their_headings_by_level(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "levels.pdf")
    paper.text(72, 80, "Warranty of Copperline Meters", face="Helvetica-Bold", points=16)
    paper.text(72, 110, "1. Disc meters", face="Helvetica-Bold", points=12)
    paper.text(72, 130, "1.1 Maincase", face="Helvetica-Bold", points=10)
    paper.wrapped(72, 145, 460, DEFECTS)
    paper.text(72, 210, "2. Claims", face="Helvetica-Bold", points=12)
    paper.wrapped(72, 225, 460, CLAIMS)
    _, layout = read(paper.done())
    assert headings_of(layout, block_with(layout, "eighteen months")) == [
        "Warranty of Copperline Meters",
        "1. Disc meters",
        "1.1 Maincase",
    ]
    assert headings_of(layout, block_with(layout, "written notice")) == ["Warranty of Copperline Meters", "2. Claims"]
    assert block_with(layout, "1.1 Maincase").number == "1.1"


def test_numbered_clauses_part_and_keep_their_number(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "clauses.pdf")
    top = 100.0
    for text in (
        "2.1 Copperline warrants the meter for one year from shipment against defects of every kind that are found.",
        "2.2 The register is warranted for ten years from shipment.",
        "2.3 Spare parts are warranted for ninety days.",
    ):
        top = paper.wrapped(72, top, 300, text)
    _, layout = read(paper.done())
    assert [block.number for block in layout.blocks] == ["2.1", "2.2", "2.3"]
    assert layout.blocks[1].run.text == "2.2 The register is warranted for ten years from shipment."


@pytest.mark.parametrize(
    ("first", "number"), [("Article IV. Claims", "IV"), ("Section 3 Accuracy", "3"), ("§ 2 Messrichtigkeit", "2")]
)
def test_a_number_is_read_out_of_its_heading(tmp_path: Path, first: str, number: str) -> None:
    paper = Paper(tmp_path / "named.pdf")
    paper.text(72, 100, first, face="Helvetica-Bold")
    paper.wrapped(72, 114, 460, CLAIMS)
    _, layout = read(paper.done())
    assert (layout.blocks[0].kind, layout.blocks[0].number) == (BlockKind.HEADING, number)
    assert layout.blocks[1].headings == (0,)


def test_run_in_headings_are_headings_of_their_own(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "run_in.pdf")
    end = paper.text(72, 100, "Claims. ", face="Times-Bold")
    paper.text(end, 100, "Give written notice within thirty days. ")
    end = paper.text(72, 112, "Limits. ", face="Times-Bold")
    end = paper.text(end, 112, "Freezing is not covered. ")
    end = paper.text(end, 112, "Law. ", face="Times-Bold")
    paper.text(end, 112, "The law of the state of the works governs it.")
    _, layout = read(paper.done())
    assert [(block.kind, block.run.text) for block in layout.blocks] == [
        (BlockKind.HEADING, "Claims."),
        (BlockKind.PARAGRAPH, "Give written notice within thirty days."),
        (BlockKind.HEADING, "Limits."),
        (BlockKind.PARAGRAPH, "Freezing is not covered."),
        (BlockKind.HEADING, "Law."),
        (BlockKind.PARAGRAPH, "The law of the state of the works governs it."),
    ]


def test_a_sentence_is_no_run_in_heading(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "sentence.pdf")
    paper.lines(
        72,
        100,
        [
            "Software shall be hosted. Fees are quoted for ten years.",
            "This is not transferable. Nothing more is given here.",
        ],
    )
    _, layout = read(paper.done())
    assert texts(layout, BlockKind.HEADING) == []


@pytest.mark.parametrize("sign", ["\u2022", "\u2013", "*"])
def test_bulleted_items_are_items_without_their_bullets(tmp_path: Path, sign: str) -> None:
    paper = Paper(tmp_path / "bullets.pdf")
    paper.text(72, 86, "What is covered, and for how long:")
    for top, text in (
        (100, "Maincase: 25 years from shipment"),
        (112, "Register: 10 years from shipment"),
        (124, "Strainer: 1 year"),
    ):
        paper.text(80, top, sign)
        paper.text(92, top, text)
    _, layout = read(paper.done())
    if sign == "*":
        assert [block.run.text for block in layout.blocks[1:]] == [
            "Maincase: 25 years from shipment",
            "Register: 10 years from shipment",
            "Strainer: 1 year",
        ]
        return
    items = texts(layout, BlockKind.LIST_ITEM)
    assert items == ["Maincase: 25 years from shipment", "Register: 10 years from shipment", "Strainer: 1 year"]


def test_bullets_drawn_as_dots_open_items_too(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "drawn.pdf")
    for top, text in ((100, "Maincase: 25 years from shipment"), (112, "Register: 10 years from shipment")):
        paper.canvas.circle(80, 792 - top + 3, 1.6, stroke=0, fill=1)
        paper.text(92, top, text)
    _, layout = read(paper.done())
    assert texts(layout, BlockKind.LIST_ITEM) == [
        "Maincase: 25 years from shipment",
        "Register: 10 years from shipment",
    ]


def test_lettered_items_keep_their_letter(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "letters.pdf")
    paper.text(72, 86, "This warranty does not cover:")
    paper.lines(90, 100, ["(a) freezing;", "(b) misuse, or opening of the meter by others;", "(c) sand."])
    _, layout = read(paper.done())
    assert [block.number for block in layout.blocks if block.kind is BlockKind.LIST_ITEM] == ["a", "b", "c"]


@pytest.mark.parametrize("signs", [("1.", "2.", "3."), ("a)", "b)", "c)"), ("2.1", "2.2", "2.3"), ("\u2022",) * 3])
def test_numbers_set_out_far_before_short_clauses_are_no_table(tmp_path: Path, signs: tuple[str, ...]) -> None:
    paper = Paper(tmp_path / "hanging.pdf")
    for top, sign, text in zip(
        (100, 112, 136), signs, ("Freezing", "Sand, scale or debris that the water carries", "Tampering"), strict=True
    ):
        paper.text(72, top, sign)
        paper.text(110, top, text)
    paper.text(110, 124, "into the chamber")
    _, layout = read(paper.done())
    assert tables(layout) == []
    assert [text.removeprefix(sign).strip() for text, sign in zip(texts(layout), signs, strict=True)] == [
        "Freezing",
        "Sand, scale or debris that the water carries into the chamber",
        "Tampering",
    ]


def test_a_masthead_in_two_parts_is_read_part_by_part(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "masthead.pdf")
    paper.text(72, 60, "COPPERLINE METER WORKS", face="Helvetica-Bold", points=13)
    paper.text(72, 74, "6 Mill Race, Copperline, Ohio 40000", points=8)
    for top, text in ((55, "Form CL-40"), (66, "Rev. C"), (77, "Effective July 1, 2016")):
        paper.right(540, top, text)
    paper.wrapped(72, 120, 460, DEFECTS)
    _, layout = read(paper.done())
    assert texts(layout)[:3] == ["COPPERLINE METER WORKS", "6 Mill Race, Copperline, Ohio 40000", "Form CL-40"]
    assert texts(layout)[-1] == DEFECTS


# --- footnotes --------------------------------------------------------------------------------------------------------


def test_a_footnote_is_found_by_its_mark(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "footnote.pdf")
    end = paper.text(72, 100, "The register is warranted for 10 years")
    end = paper.text(end, 96.5, "a", points=6.5)
    paper.text(end, 100, " and no longer.")
    end = paper.text(72, 700, "a", points=6)
    paper.text(end + 2, 703, "Read 12 years in place of 10 years.", points=8)
    _, layout = read(paper.done())
    run = layout.blocks[0].run
    assert run.text == "The register is warranted for 10 years and no longer."
    assert run.marks == ((len("The register is warranted for 10 years"), "a"),)
    note = layout.footnote("a")
    assert note is not None and note.run.text == "Read 12 years in place of 10 years."


def test_marks_of_the_same_size_part_where_the_page_explains_them(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "same_size.pdf")
    paper.text(72, 100, "New meter accuracy holds for 10 years1 or 1,500,0002 gallons, of model DN15 in m3.")
    paper.lines(72, 700, ["1 Counted from the date of shipment.", "2 Two million where a strainer is fitted."])
    _, layout = read(paper.done())
    run = layout.blocks[0].run
    assert run.text == "New meter accuracy holds for 10 years or 1,500,000 gallons, of model DN15 in m3."
    assert [mark for _, mark in run.marks] == ["1", "2"]


def test_a_number_without_an_explained_mark_is_left_whole(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "whole.pdf")
    paper.text(72, 100, "Series Copper7 runs for 15 years, 2,250,000 gallons.")
    _, layout = read(paper.done())
    assert texts(layout) == ["Series Copper7 runs for 15 years, 2,250,000 gallons."]


# --- invariants -------------------------------------------------------------------------------------------------------


def _open(path: Path) -> RawDocument | None:
    try:
        return open_document(path)
    except DamagedError:
        return None


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: path.stem)
def test_every_word_of_every_fixture_stands_in_exactly_one_block(path: Path) -> None:
    raw = _open(path)
    if raw is None:
        assert "damaged" in path.stem
        return
    layout = build_layout(raw)
    assert unplaced(raw, layout) == 0
    for index, block in enumerate(layout.blocks):
        assert all(place < index and layout.blocks[place].kind is BlockKind.HEADING for place in block.headings)
        run = block.run
        assert list(run.spans) == sorted(run.spans) or block.table is not None
        for (start, end), word in zip(run.spans, run.words, strict=True):
            shown = run.text[start:end]
            assert not shown or shown in word.text.replace("\u00ad", "")


def test_unplaced_counts_what_is_lost_and_what_is_doubled(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "count.pdf")
    paper.text(72, 100, "four words stand here")
    raw = open_document(paper.done())
    layout = build_layout(raw)
    assert unplaced(raw, replace(layout, blocks=())) == 4
    assert unplaced(raw, replace(layout, blocks=layout.blocks * 2)) == 4


def _jittered(page: RawPage, seed: int) -> RawPage:
    """The page as OCR would give it: no fonts, ink heights, boxes that wander by up to two points."""
    random = Random(seed)
    words = []
    for word in page.words:
        if word.mark:
            continue
        dx, dy = random.uniform(-1, 1), random.uniform(-2, 2)
        height = word.bottom - word.top + random.uniform(-1.5, 0.5)
        words.append(
            replace(
                word,
                x0=word.x0 + dx,
                x1=word.x1 + dx,
                top=word.top + dy,
                bottom=word.top + dy + height,
                size=height,
                bold=False,
                italic=False,
                origin=Origin.OCR,
                confidence=0.9,
            )
        )
    return replace(page, words=tuple(words), rules=(), panels=(), grids=(), bullets=())


@pytest.mark.parametrize("seed", range(3))
def test_wandering_boxes_of_a_scan_do_not_change_what_is_read(tmp_path: Path, seed: int) -> None:
    paper = Paper(tmp_path / "scan.pdf")
    top = paper.wrapped(72, 100, 460, DEFECTS, leading=13)
    top = paper.wrapped(72, top + 10, 460, CLAIMS, leading=13) + 10
    for size, years, gallons in (
        ("Size", "Years", "Gallons"),
        ("5/8 in.", "5", "500,000"),
        ("3/4 in.", "5", "750,000"),
        ("1 in.", "4", "1,000,000"),
    ):
        paper.text(120, top, size)
        paper.text(220, top, years)
        paper.text(300, top, gallons)
        top += 15
    raw = open_document(paper.done())
    scan = replace(raw, pages=tuple(_jittered(page, seed) for page in raw.pages))
    layout = build_layout(scan)
    assert unplaced(scan, layout) == 0
    assert texts(layout, BlockKind.PARAGRAPH) == [DEFECTS, CLAIMS]
    (table,) = tables(layout)
    assert rows(table) == [
        ["Size", "Years", "Gallons"],
        ["5/8 in.", "5", "500,000"],
        ["3/4 in.", "5", "750,000"],
        ["1 in.", "4", "1,000,000"],
    ]
    assert all(block.run.origin is Origin.OCR for block in layout.blocks)


_WORDS = st.builds(
    Word,
    text=st.sampled_from(
        [
            "5",
            "years",
            "1.",
            "(a)",
            "....",
            ".",
            "\u2022",
            "-",
            "500,000",
            "Size",
            '5/8"',
            "2.1",
            "Claims.",
            "*",
            "twenty-",
            "1,500,0001",
            "Page",
            "\u2014",
            "WARRANTY",
            "o",
            "Table",
            "\u00ad",
            "\ufffd",
            "of",
        ]
    ),
    page=st.just(1),
    x0=st.floats(0, 560),
    top=st.floats(0, 780),
    x1=st.just(0.0),
    bottom=st.just(0.0),
    size=st.floats(4, 24),
    bold=st.booleans(),
    mark=st.booleans(),
    turned=st.sampled_from([0, 0, 0, 0, 90, 270, 180, 45]),
).map(lambda word: replace(word, x1=word.x0 + 0.5 * word.size * len(word.text), bottom=word.top + word.size))


@given(
    st.lists(_WORDS, max_size=60),
    st.lists(st.tuples(st.floats(0, 600), st.floats(0, 780), st.floats(0, 300)), max_size=6),
)
def test_any_words_at_all_give_a_layout_that_holds_each_once(
    words: list[Word], lines: list[tuple[float, float, float]]
) -> None:
    rules = tuple(Rule(x, top, x + width, top) for x, top, width in lines)
    page = RawPage(number=1, width=612, height=792, words=tuple(words), rules=rules)
    raw = RawDocument(name="any.pdf", sha256="0", pages=(page,))
    layout = build_layout(raw)
    assert unplaced(raw, layout) == 0
    for block in layout.blocks:
        assert len(block.run.spans) == len(block.run.words)
        block.run.boxes()


def test_a_page_without_words_is_a_page_without_blocks() -> None:
    page = RawPage(number=1, width=612, height=792, words=())
    layout = build_layout(RawDocument(name="blank.pdf", sha256="0", pages=(page,)))
    assert layout.blocks == () and layout.pages[0].words == 0
