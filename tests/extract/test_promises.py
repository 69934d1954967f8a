"""Sentences and small tables as promises: what is covered, for how long, from when, at what share.

The wordings are our own. A part whose failure within a time is made good is promised to function: common practice.
"""

import re
from decimal import Decimal

import pytest
from notation import load

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.assembly.credits import cell_stages
from firstcap.extract.numbers import ENGLISH
from firstcap.extract.page import Block, BlockKind, Cell, Layout, Origin, PageFacts, Run, Table, Word, join_runs
from firstcap.schema.terms import Term


def run(text: str) -> Run:
    """A text as a run, each word in a box of its own."""
    found = list(re.finditer(r"\S+", text))
    words = tuple(Word(one.group(), 1, 10 + i, 10, 10.9 + i, 20) for i, one in enumerate(found))
    return Run(text, words, tuple(one.span() for one in found))


def table(*rows: tuple[str, ...]) -> Block:
    cells = tuple(Cell(run(text), row, col) for row, texts in enumerate(rows) for col, text in enumerate(texts))
    grid = Table(cells, len(rows), len(rows[0]), 1)
    return Block(BlockKind.TABLE, join_runs([cell.run for cell in cells]), headings=(0,), table=grid)


def terms(*blocks: str | Block) -> list[Term]:
    """The terms of a one-page warranty of these paragraphs and tables."""
    body = [Block(BlockKind.PARAGRAPH, run(one), headings=(0,)) if isinstance(one, str) else one for one in blocks]
    layout = Layout(
        (PageFacts(1, 600, 800, Origin.TEXT, 500),), (Block(BlockKind.HEADING, run("Limited Warranty"), 1), *body)
    )
    return assemble(layout, None, is_warranty=True)[0]


def number(value: Decimal | None) -> str:
    return "-" if value is None else f"{round(value, 2).normalize():f}"


def written(term: Term) -> str:
    """`component promise months full months start product type size [from-to:pays …]`, what is missing left out."""
    steps = " ".join(
        f"{number(step.from_month)}-{number(step.to_month)}:{number(step.customer_pays_pct)}" for step in term.credits
    )
    words = [
        term.component.value,
        term.promise.value,
        number(term.duration_months),
        "full",
        number(term.full_months),
        term.start_event.value if term.start_event else "-",
        term.product or "",
        term.meter_type.value if term.meter_type else "",
        term.size_label or "",
        f"[{steps}]" if steps else "",
    ]
    return " ".join(word for word in words if word)


@pytest.mark.parametrize(
    ("text", "expected", "reason"), [pytest.param(*row, id=row[0][:60]) for row in load("promise", 20)]
)
def test_a_sentence_promises_what_the_table_says(text: str, expected: str, reason: str) -> None:
    assert (" ; ".join(written(term) for term in terms(text)) or "-") == expected, reason


def test_rows_go_to_the_sentence_that_names_them() -> None:
    """The complete meters, one named part, and the other parts: each row of the list belongs to one of three."""
    found = terms(
        "Complete meters are warranted free from defects in materials and workmanship for the time in the list below, "
        "from the date of purchase. So is the strainer. The other parts in the list are warranted to work for the time "
        "given there.",
        table(
            ("Part", "Time", "Remarks"),
            ("Turbine meter", "2 years", "—"),
            ("Strainer", "3 years", "—"),
            ("Register", "8 years", "—"),
            ("Radio module", "10 years", "6 full, 4 at one third of list"),
        ),
    )
    assert {written(term) for term in found} == {
        "whole_meter materials_workmanship 24 full 24 purchase turbine",
        "strainer materials_workmanship 36 full 36 purchase turbine",
        "register function 96 full 96 purchase turbine",
        "endpoint function 120 full 72 purchase [0-72:0 72-120:33.33]",
    }


def test_a_time_explained_in_its_cell_keeps_its_stages() -> None:
    found = terms(
        "We warrant the items in the table against defects in materials and workmanship from shipment, for the years "
        "shown.",
        table(
            ("Item", "Years"),
            ("Register", "10 (6 full, 4 at half price)"),
            ("Endpoint", "20 (first ten free, then 40 % of list charged to the utility)"),
            ("Main case", "25"),
            ("Battery", "15: 10 full, remainder at 55 %"),
        ),
    )
    assert [written(term) for term in found] == [
        "register materials_workmanship 120 full 72 shipment [0-72:0 72-120:50]",
        "endpoint materials_workmanship 240 full 120 shipment [0-120:0 120-240:40]",
        "maincase materials_workmanship 300 full 300 shipment",
        "battery materials_workmanship 180 full 120 shipment [0-120:0 120-180:55]",
    ]


@pytest.mark.parametrize(
    ("total", "text", "stages"),
    [
        (120, "6 free; balance at 60 %", "0-72:0 72-120:60"),
        (144, "first 8 years no charge, last 4 years buyer pays 35 %", "0-96:0 96-144:35"),
        (180, "100 % in years 1-10, 50 % credit in years 11-15", "0-120:0 120-180:50"),
        (96, "4 voll, 4 zum halben Preis", "0-48:0 48-96:50"),
        (120, "6 gratis, 4 al 50 %", "0-72:0 72-120:50"),
        (144, "9 sans frais, 3 à moitié prix", "0-108:0 108-144:50"),
        (120, "7 in full, remainder at three quarters", "0-84:0 84-120:75"),
        (240, "twelve full, eight at 30 %", "0-144:0 144-240:30"),
        (180, "7 full, 7 at half of list", "-"),  # they do not fill fifteen years
        (60, "see clause 5", "-"),
    ],
)
def test_a_remark_tells_stages_only_where_they_fill_the_time(total: int, text: str, stages: str) -> None:
    found = cell_stages(run(text), None, Decimal(total), ENGLISH)
    told = (
        " ".join(
            f"{number(step.from_month)}-{number(step.to_month)}:{number(step.customer_pays_pct)}" for step in found[0]
        )
        if found
        else "-"
    )
    assert told == stages


@pytest.mark.parametrize(
    ("sentence", "kind"),
    [
        ("The Korvel is a single-jet meter.", "single_jet"),
        ("Series 40 (multi-jet) and Series 60 (Woltmann) are sold here.", None),
        ("Korvel (positive displacement) is our smallest line.", "displacement"),
        ("Korvel: an ultrasonic meter for houses.", "ultrasonic"),
        ("The Korvel, an electromagnetic meter, has no moving part.", "electromagnetic"),
        ("Korvel – multi-jet meter for cold water.", "multi_jet"),
        ("The Korvel is sold in three sizes.", None),
    ],
)
def test_a_type_told_right_after_a_name_is_the_names(sentence: str, kind: str | None) -> None:
    found = terms(
        sentence,
        "The Korvel meter is warranted free from defects in materials and workmanship for two years from shipment.",
        "The Torvane turbine meter is warranted free from defects in materials for one year from shipment.",
    )
    assert [term.meter_type.value if term.meter_type else None for term in found if term.product == "Korvel"] == [kind]
