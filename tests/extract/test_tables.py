"""Tables as the eye takes them in: ruled, with level rules only, without rules, as lists; over breaks; merged cells."""

from collections.abc import Sequence
from pathlib import Path

import pytest
from drawn import Paper, block_with, headings_of, read, rows, tables, texts

from firstcap.extract.page import BlockKind, Table

SIZES = [
    ("5/8 in.", "5", "500,000", "15", "1,500,000"),
    ("3/4 in.", "5", "750,000", "15", "2,250,000"),
    ("1 in.", "4", "1,000,000", "12", "3,000,000"),
]
FLAT = ["Size", "New years", "New gallons", "Repaired years", "Repaired gallons"]
PROSE = (
    "Copperline warrants that each disc meter will be free from defects in materials and workmanship for a period of "
    "eighteen months from the date of shipment, and that its bronze maincase will be free from the same defects for "
    "twenty-five years from that date. The buyer sends the meter to the works with freight prepaid."
)


def _one(path: Path) -> Table:
    _, layout = read(path)
    found = tables(layout)
    assert len(found) == 1, [block.run.text for block in layout.blocks]
    return found[0]


def _grid(paper: Paper, xs: Sequence[float], top: float, lines: Sequence[Sequence[str]], step: float = 16) -> float:
    """A ruled table; the y below it."""
    for index in range(len(lines) + 1):
        paper.rule(xs[0], top + index * step, xs[-1])
    for x in xs:
        paper.rule(x, top, x, top + len(lines) * step)
    for index, line in enumerate(lines):
        for x, text in zip(xs, line, strict=False):
            paper.text(x + 4, top + index * step + 11, text)
    return top + len(lines) * step


# --- ruled ------------------------------------------------------------------------------------------------------------


def test_spanning_headers_and_merged_cells_stand_once_with_their_spans(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "merged.pdf")
    xs = (72, 132, 192, 272)
    for x in (72, 132, 272):
        paper.rule(x, 100, x, 180)
    paper.rule(192, 116, 192, 180)
    for y in (100, 132, 180):
        paper.rule(72, y, 272)
    paper.rule(132, 116, 272)
    paper.rule(72, 148, 132)
    paper.rule(192, 148, 272)
    paper.rule(72, 164, 132)
    paper.rule(192, 164, 272)
    paper.text(80, 119, "Size")
    paper.text(160, 111, "New meter accuracy")
    paper.text(140, 127, "years")
    paper.text(200, 127, "gallons")
    for y, size, gallons in ((143, "5/8 in.", "500,000"), (159, "3/4 in.", "750,000"), (175, "1 in.", "900,000")):
        paper.text(xs[0] + 4, y, size)
        paper.text(xs[2] + 4, y, gallons)
    paper.text(150, 159, "5")
    table = _one(paper.done())
    assert table.header_rows == 2 and table.ruled
    assert rows(table)[2:] == [["5/8 in.", "5", "500,000"], ["3/4 in.", "5", "750,000"], ["1 in.", "5", "900,000"]]
    assert table.header(2).text == "New meter accuracy gallons"
    five = table.at(3, 1)
    assert five is not None and (five.row, five.row_span) == (2, 3)


def test_rows_that_share_one_ruled_row_part(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "tall.pdf")
    for y in (100, 118, 166):
        paper.rule(72, y, 272)
    for x in (72, 172, 272):
        paper.rule(x, 100, x, 166)
    for x, texts_ in (
        (80, ("Size", "5/8 in.", "3/4 in.", "1 in.")),
        (180, ("Gallons", "500,000", "750,000", "900,000")),
    ):
        for y, text in zip((112, 132, 146, 160), texts_, strict=True):
            paper.text(x, y, text)
    table = _one(paper.done())
    assert rows(table) == [["Size", "Gallons"], ["5/8 in.", "500,000"], ["3/4 in.", "750,000"], ["1 in.", "900,000"]]
    assert table.header_rows == 1


def test_a_rule_worn_away_between_two_values_merges_no_cells(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "worn.pdf")
    paper.text(72, 96, "The range of each size is as below.")
    lines = [("Size", "Minimum GPM", "Maximum GPM"), ("4 inch", "50", "600"), ("6 inch", "90", "1,200")]
    xs = (72, 160, 260, 360)
    for index in range(4):
        top = 120 + 16 * index
        if index == 2:  # as a fax leaves it: gone under the second column
            paper.rule(72, top, 160)
            paper.rule(260, top, 360)
        else:
            paper.rule(72, top, 360)
    for x in xs:
        paper.rule(x, 120, x, 168)
    for index, line in enumerate(lines):
        for x, text in zip(xs, line, strict=False):
            paper.text(x + 4, 131 + 16 * index, text)
    assert rows(_one(paper.done())) == [list(line) for line in lines]


def test_a_wrapped_range_stays_in_its_cell(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "wrapped.pdf")
    for y in (100, 118, 146, 164):
        paper.rule(72, y, 272)
    for x in (72, 172, 222, 272):
        paper.rule(x, 100, x, 164)
    for x, y, text in (
        (176, 112, "5/8 in."),
        (226, 112, "3/4 in."),
        (76, 134, "Normal range, gpm"),
        (176, 129, "0.4 \u2013"),
        (176, 141, "22"),
        (226, 129, "0.6 \u2013"),
        (226, 141, "33"),
        (76, 158, "Low flow, gpm"),
        (176, 158, "0.11"),
        (226, 158, "0.16"),
    ):
        paper.text(x, y, text)
    assert rows(_one(paper.done())) == [
        ["", "5/8 in.", "3/4 in."],
        ["Normal range, gpm", "0.4 \u2013 22", "0.6 \u2013 33"],
        ["Low flow, gpm", "0.11", "0.16"],
    ]


def test_a_turned_header_is_read_in_its_direction(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "turned.pdf")
    for y in (100, 180, 196, 212):
        paper.rule(72, y, 192)
    for x in (72, 132, 162, 192):
        paper.rule(x, 100, x, 212)
    paper.text(76, 174, "Size")
    for x, words in ((150, "New meter years"), (180, "Repaired years")):
        paper.canvas.saveState()
        paper.canvas.translate(x, 792 - 176)
        paper.canvas.rotate(90)
        paper.canvas.drawString(0, 0, words)
        paper.canvas.restoreState()
    for y, line in ((191, ("5/8 in.", "5", "15")), (207, ("1 in.", "4", "12"))):
        for x, text in zip((76, 140, 170), line, strict=True):
            paper.text(x, y, text)
    table = _one(paper.done())
    assert rows(table) == [["Size", "New meter years", "Repaired years"], ["5/8 in.", "5", "15"], ["1 in.", "4", "12"]]
    assert table.header_rows == 1


def test_frames_round_prose_are_no_table(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "frames.pdf")
    paper.box(60, 80, 300, 240)
    paper.box(312, 80, 552, 240)
    paper.wrapped(70, 100, 220, PROSE)
    paper.wrapped(322, 100, 220, PROSE)
    _, layout = read(paper.done())
    assert tables(layout) == [] and texts(layout) == [PROSE, PROSE]


def test_a_table_in_one_column_does_not_swallow_its_neighbour(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "column.pdf")
    top = paper.wrapped(72, 100, 220, PROSE)
    bottom = _grid(paper, (72, 132, 202, 292), top, [("Size", "Years", "Gallons"), *(line[:3] for line in SIZES)])
    paper.wrapped(72, bottom + 20, 220, PROSE)
    paper.wrapped(320, 100, 220, PROSE + " " + PROSE + " " + PROSE)
    _, layout = read(paper.done())
    assert [block.kind for block in layout.blocks] == [
        BlockKind.PARAGRAPH,
        BlockKind.TABLE,
        BlockKind.PARAGRAPH,
        BlockKind.PARAGRAPH,
    ]
    assert rows(tables(layout)[0])[1:] == [list(line[:3]) for line in SIZES]
    assert layout.blocks[3].run.text == " ".join([PROSE] * 3)


# --- level rules and no rules -----------------------------------------------------------------------------------------


def _spread(paper: Paper, top: float, lines: Sequence[Sequence[str]], step: float = 14) -> float:
    for line in lines:
        for x, text in zip((72, 160, 250, 350, 450), line, strict=False):
            paper.text(x, top, text)
        top += step
    return top


@pytest.mark.parametrize("rules", ["none", "header", "booktabs", "every row"])
def test_columns_are_found_whatever_rules_there_are(tmp_path: Path, rules: str) -> None:
    paper = Paper(tmp_path / "plain.pdf")
    paper.wrapped(72, 60, 460, PROSE)
    _spread(paper, 140, [FLAT, *SIZES], step=16)
    if rules in ("header", "booktabs", "every row"):
        paper.rule(72, 145, 540)
    if rules in ("booktabs", "every row"):
        paper.rule(72, 128, 540)
        paper.rule(72, 193, 540)
    if rules == "every row":
        paper.rule(72, 161, 540)
        paper.rule(72, 177, 540)
    paper.wrapped(72, 230, 460, PROSE)
    _, layout = read(paper.done())
    (table,) = tables(layout)
    assert rows(table) == [FLAT, *(list(line) for line in SIZES)]
    assert table.header_rows == 1
    assert texts(layout, BlockKind.PARAGRAPH) == [PROSE, PROSE]


def test_a_typewriter_table_is_a_table(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "typed.pdf").font("Courier", 10)
    paper.lines(
        72,
        100,
        [
            "               New        New   Repaired   Repaired",
            "  Size       years    gallons      years    gallons",
            "  -------------------------------------------------",
            '  5/8" thru 1"   4    650 000         12  1 800 000',
            '  1-1/2"         3  2 500 000          8  6 000 000',
            '  3"             1  8 250 000          -          -',
        ],
    )
    table = _one(paper.done())
    assert rows(table) == [
        ["Size", "New years", "New gallons", "Repaired years", "Repaired gallons"],
        ['5/8" thru 1"', "4", "650 000", "12", "1 800 000"],
        ['1-1/2"', "3", "2 500 000", "8", "6 000 000"],
        ['3"', "1", "8 250 000", "-", "-"],
    ]
    assert table.header_rows == 1


@pytest.mark.parametrize("ruled", [True, False])
def test_two_levels_of_header_over_open_columns(tmp_path: Path, ruled: bool) -> None:
    paper = Paper(tmp_path / "levels.pdf")
    paper.center(225, 100, "A (new meter)")
    paper.center(420, 100, "B (repaired meter)")
    if ruled:
        paper.rule(150, 104, 300)
        paper.rule(340, 104, 500)
    _spread(paper, 116, [("Size", "Time", "Gallons", "Time", "Gallons")])
    paper.rule(72, 121, 530)
    _spread(
        paper,
        134,
        [
            ("5/8 in.", "5 years", "500 000", "12 years", "1 500 000"),
            ("1 in.", "4 years", "1 100 000", "10 years", "2 750 000"),
        ],
    )
    table = _one(paper.done())
    assert table.header_rows == 2
    assert [table.header(col).text for col in range(5)] == [
        "Size",
        "A (new meter) Time",
        "A (new meter) Gallons",
        "B (repaired meter) Time",
        "B (repaired meter) Gallons",
    ]


def test_a_wrapped_name_stays_in_its_row(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "names.pdf")
    for top, name, years in (
        (100, "Register, sealed, with", "10 years"),
        (112, "magnetic drive", ""),
        (128, "Maincase", "25 years"),
        (144, "Measuring chamber", "7 years"),
        (156, "of any material", ""),
        (172, "Strainer", "1 year"),
    ):
        paper.text(72, top, name)
        paper.text(300, top, years)
    assert rows(_one(paper.done())) == [
        ["Register, sealed, with magnetic drive", "10 years"],
        ["Maincase", "25 years"],
        ["Measuring chamber of any material", "7 years"],
        ["Strainer", "1 year"],
    ]


def test_a_value_in_the_middle_of_two_rows_belongs_to_both(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "between.pdf")
    for top, size, gallons in (
        (100, "Size", "Gallons"),
        (116, "5/8 in.", "500,000"),
        (132, "3/4 in.", "750,000"),
        (148, "1 in.", "1,000,000"),
        (164, "1-1/2 in.", "2,000,000"),
    ):
        paper.text(72, top, size)
        paper.text(300, top, gallons)
    paper.text(190, 100, "Years")
    paper.text(190, 124, "5")
    paper.text(190, 156, "3")
    assert rows(_one(paper.done()))[1:] == [
        ["5/8 in.", "5", "500,000"],
        ["3/4 in.", "5", "750,000"],
        ["1 in.", "3", "1,000,000"],
        ["1-1/2 in.", "3", "2,000,000"],
    ]


def test_one_period_in_the_middle_of_all_sizes_holds_for_each(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "across.pdf")
    columns = (240, 310, 380, 450)
    for x, size in zip(columns, ("5/8 in.", "3/4 in.", "1 in.", "1-1/2 in."), strict=True):
        paper.center(x, 100, size)
    paper.text(72, 116, "Complete meter")
    paper.center(345, 116, "2 years")
    for top, name, values in (
        (132, "New accuracy, years", ("5", "5", "4", "2")),
        (148, "New accuracy, gallons", ("500,000", "750,000", "900,000", "1,500,000")),
    ):
        paper.text(72, top, name)
        for x, value in zip(columns, values, strict=True):
            paper.center(x, top, value)
    table = _one(paper.done())
    assert table.header_rows == 1
    assert rows(table)[1] == ["Complete meter", "2 years", "2 years", "2 years", "2 years"]


def test_a_name_alone_heads_the_rows_under_it_without_rules(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "heads.pdf")
    for top, cells in (
        (100, ("Size", "Years", "Million gallons")),
        (116, ("2 in.", "2", "8")),
        (132, ("3 in.", "2", "20")),
        (148, ("Compound meters, AWWA C702",)),
        (164, ("2 in.", "1", "3")),
        (180, ("3 in.", "1", "7.5")),
    ):
        for x, text in zip((72, 170, 240), cells, strict=False):
            paper.text(x, top, text)
    table = _one(paper.done())
    assert rows(table)[3] == ["Compound meters, AWWA C702"] * 3
    assert rows(table)[4] == ["2 in.", "1", "3"]


def test_a_value_beside_the_two_halves_of_a_label_makes_one_row(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "around.pdf")
    paper.text(72, 100, "Part of the meter")
    paper.text(190, 100, "Period")
    paper.lines(72, 122, ["Maincase, bronze, with", "its bottom plate"], 11)
    paper.text(190, 127.5, "25 years")
    paper.lines(72, 150, ["Measuring chamber and", "nutating disc"], 11)
    paper.text(190, 155.5, "10 years")
    paper.text(72, 178, "Register")
    paper.text(190, 178, "10 years")
    paper.text(72, 195, "Strainer")
    paper.text(190, 195, "1 year")
    assert rows(_one(paper.done()))[1:] == [
        ["Maincase, bronze, with its bottom plate", "25 years"],
        ["Measuring chamber and nutating disc", "10 years"],
        ["Register", "10 years"],
        ["Strainer", "1 year"],
    ]


def test_prose_in_two_columns_is_never_a_table(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "prose.pdf")
    paper.wrapped(72, 100, 220, PROSE)
    paper.wrapped(310, 100, 220, PROSE)
    _, layout = read(paper.done())
    assert tables(layout) == [] and texts(layout) == [PROSE, PROSE]


def test_an_address_beside_a_form_number_is_no_table(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "address.pdf")
    paper.lines(72, 60, ["Copperline Meter Works", "6 Mill Race, Ohio 40000"])
    paper.lines(430, 60, ["Form CL-40, Rev. C", "Effective July 1, 2016"])
    paper.wrapped(72, 120, 460, PROSE)
    _, layout = read(paper.done())
    assert tables(layout) == []


# --- lists ------------------------------------------------------------------------------------------------------------


def _leader(paper: Paper, x: float, top: float, right: float, name: str, value: str) -> None:
    end = paper.text(x, top, name + " ")
    start = right - paper.canvas.stringWidth(value, paper.face, paper.points)
    dots = int((start - end - 4) / paper.canvas.stringWidth(".", paper.face, paper.points))
    paper.text(end, top, "." * dots)
    paper.text(start, top, value)


def test_dot_leaders_make_a_list_of_two_columns(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "leaders.pdf")
    paper.text(72, 80, "Periods from the date of shipment", face="Times-Bold")
    for top, name, value in (
        (100, "Complete meter", "18 months"),
        (112, "Maincase, bronze", "25 years"),
        (148, "Strainer", "90 days"),
    ):
        _leader(paper, 72, top, 400, name, value)
    paper.text(72, 124, "Register, hermetically sealed,")
    _leader(paper, 72, 136, 400, "with its encoder", "10 years")
    _, layout = read(paper.done())
    (table,) = tables(layout)
    assert rows(table) == [
        ["Complete meter", "18 months"],
        ["Maincase, bronze", "25 years"],
        ["Register, hermetically sealed, with its encoder", "10 years"],
        ["Strainer", "90 days"],
    ]
    assert table.header_rows == 0
    assert headings_of(layout, block_with(layout, "18 months")) == ["Periods from the date of shipment"]


def test_a_value_that_wraps_after_its_leader_is_whole(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "flow.pdf")
    paper.lines(
        72,
        100,
        [
            "Turbine meter, complete ..... one (1) year",
            "Maincase, ductile iron, coated .. ten (10)",
            "years",
            "Register head, sealed ...... twelve (12)",
            "years",
            "Spare parts ................... 90 days",
        ],
    )
    assert rows(_one(paper.done())) == [
        ["Turbine meter, complete", "one (1) year"],
        ["Maincase, ductile iron, coated", "ten (10) years"],
        ["Register head, sealed", "twelve (12) years"],
        ["Spare parts", "90 days"],
    ]


def test_a_list_of_names_and_periods_needs_no_rules(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "pairs.pdf")
    for top, name, value in (
        (100, "Complete meter", "1 year"),
        (114, "Register and dial", "15 years"),
        (128, "Bottom plate", "20 years"),
    ):
        paper.text(100, top, name)
        paper.right(380, top, value)
    table = _one(paper.done())
    assert rows(table) == [
        ["Complete meter", "1 year"],
        ["Register and dial", "15 years"],
        ["Bottom plate", "20 years"],
    ]
    assert table.header_rows == 0


# --- breaks, halves, captions, notes ----------------------------------------------------------------------------------


@pytest.mark.parametrize("repeated", [True, False])
def test_a_table_that_a_page_cuts_is_one(tmp_path: Path, repeated: bool) -> None:
    header = ("Line", "Size", "Years", "Gallons")
    body = [
        (f"Line {letter}", size, str(years), f"{years}00,000")
        for letter in "AB"
        for size, years in (("5/8 in.", 5), ("3/4 in.", 6), ("1 in.", 7), ("2 in.", 8))
    ]
    paper = Paper(tmp_path / "cut.pdf")
    paper.wrapped(72, 80, 460, PROSE)
    xs = (72, 162, 262, 362, 462)
    _grid(paper, xs, 620, [header, *body[:4]])
    paper.text(500, 770, "Page 1", points=8)
    paper.page()
    _grid(paper, xs, 80, [header, *body[4:]] if repeated else body[4:])
    paper.wrapped(72, 260, 460, PROSE)
    paper.text(500, 770, "Page 2", points=8)
    table = _one(paper.done())
    assert rows(table) == [list(header), *(list(line) for line in body)]
    assert table.header_rows == 1
    last = table.at(8, 3)
    assert last is not None and last.run.page == 2


def test_a_table_that_a_column_cuts_is_one(tmp_path: Path) -> None:
    header, body = ("Size", "Years", "Gallons"), [(f"{n} in.", str(n), f"{n}00,000") for n in range(1, 9)]
    paper = Paper(tmp_path / "column_cut.pdf")
    top = paper.wrapped(72, 100, 220, PROSE)
    _grid(paper, (72, 142, 212, 292), top, [header, *body[:3]])
    bottom = _grid(paper, (320, 390, 460, 540), 88, [header, *body[3:]])
    paper.wrapped(320, bottom + 20, 220, PROSE)
    table = _one(paper.done())
    assert rows(table) == [list(header), *(list(line) for line in body)]


def test_two_small_tables_with_titles_of_their_own_are_two(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "two.pdf")
    for x, title, lines in (
        (
            72,
            "Mechanical meters",
            (("Meter, complete", "2 years"), ("Register, sealed", "15 years"), ("Chamber", "5 years")),
        ),
        (320, "Static meters", (("Meter, complete", "3 years"), ("Electronics", "10 years"), ("Battery", "20 years"))),
    ):
        paper.text(x, 100, title, face="Times-Bold")
        for index, (name, value) in enumerate(lines):
            paper.text(x, 116 + 14 * index, name)
            paper.text(x + 130, 116 + 14 * index, value)
    _, layout = read(paper.done())
    first, second = tables(layout)
    assert rows(first)[1] == ["Register, sealed", "15 years"] and rows(second)[2] == ["Battery", "20 years"]
    assert headings_of(layout, block_with(layout, "Electronics")) == ["Static meters"]


def test_half_tables_side_by_side_stay_one_grid(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "halves.pdf")
    _spread(
        paper,
        100,
        [
            ("Year", "Buyer pays", "Year", "Buyer pays"),
            ("11", "30 %", "14", "45 %"),
            ("12", "35 %", "15", "50 %"),
            ("13", "40 %", "16", "55 %"),
        ],
    )
    paper.rule(72, 104, 420)
    table = _one(paper.done())
    assert (table.rows, table.cols, table.header_rows) == (4, 4, 1)
    assert rows(table)[1] == ["11", "30 %", "14", "45 %"]


def test_caption_and_notes_go_with_their_table(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "caption.pdf")
    paper.wrapped(72, 50, 460, PROSE)
    paper.text(72, 130, "Table 2. Accuracy by size", face="Times-Bold")
    bottom = _grid(paper, (72, 132, 202, 292), 136, [("Size", "Years", "Gallons (K)"), *(line[:3] for line in SIZES)])
    paper.text(72, bottom + 12, "K = thousand U.S. gallons.", points=8)
    paper.wrapped(72, bottom + 40, 460, PROSE)
    _, layout = read(paper.done())
    (table,) = tables(layout)
    assert table.caption is not None and table.caption.text == "Table 2. Accuracy by size"
    assert [note.text for note in table.notes] == ["K = thousand U.S. gallons."]
    assert texts(layout, BlockKind.PARAGRAPH) == [PROSE, PROSE]


def test_marks_in_cells_are_kept_apart_from_values(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "marks.pdf")
    _grid(
        paper,
        (72, 162, 262),
        100,
        [("Size", "Gallons"), ("5/8 in.", "1,500,000"), ("1 in.", "20*"), ("2 in.", "10(2)")],
    )
    paper.text(166 + paper.canvas.stringWidth("1,500,000", "Times-Roman", 10), 123.5, "1", points=6)
    table = _one(paper.done())
    values = [table.at(row, 1) for row in (1, 2, 3)]
    assert [cell.text for cell in values if cell] == ["1,500,000", "20", "10"]
    assert [cell.run.marks for cell in values if cell] == [((9, "1"),), ((2, "*"),), ((2, "2"),)]


def test_dash_cells_are_text(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "dash.pdf")
    _grid(paper, (72, 162, 262), 100, [("Part", "Years"), ("Bottom plate", "\u2014"), ("Gasket", "-")])
    assert rows(_one(paper.done()))[1:] == [["Bottom plate", "\u2014"], ["Gasket", "-"]]


@pytest.mark.parametrize(
    ("foot", "head"),
    [
        ("(continued on the next page)", "(continued)"),
        ("Continued overleaf", "Table 1. Accuracy by size, continued"),
        ("", "Table 1 (cont'd)"),
    ],
)
def test_words_that_a_table_goes_on_do_not_part_it(tmp_path: Path, foot: str, head: str) -> None:
    paper = Paper(tmp_path / "goes_on.pdf")
    for top, cells in (
        (640, ("Size", "Years", "Gallons")),
        (658, ('5/8"', "5", "500,000")),
        (672, ('3/4"', "5", "750,000")),
    ):
        for x, text in zip((72, 170, 240), cells, strict=True):
            paper.text(x, top, text)
    paper.rule(72, 644, 320)
    paper.text(72, 700, foot, points=8)
    paper.page()
    paper.text(72, 60, head, points=8)
    for top, cells in (
        (80, ('1"', "4", "900,000")),
        (94, ('1-1/2"', "2", "1,600,000")),
        (108, ('2"', "2", "2,700,000")),
    ):
        for x, text in zip((72, 170, 240), cells, strict=True):
            paper.text(x, top, text)
    assert rows(_one(paper.done()))[-1] == ['2"', "2", "2,700,000"]
