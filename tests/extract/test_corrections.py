"""Notes of tables that set a printed number right, and those that only seem to. All of them are invented."""

from decimal import Decimal
from pathlib import Path

import pytest
from drawn import Paper
from drawn import read as read_drawn
from papers import run_of

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.assembly.corrections import corrected, is_certain, speaks_of_error
from firstcap.extract.assembly.credits import cell_stages
from firstcap.extract.numbers import ENGLISH
from firstcap.extract.patterns.base import Mention
from firstcap.extract.patterns.duration import duration_in


def _years(text: str) -> Mention | None:
    return duration_in(text, "Years", ENGLISH)


@pytest.mark.parametrize(
    ("printed", "note", "months"),
    [
        ("8", "Misprint. The figure that holds is 5.", 60),
        ("12", "Read 15 for 12.", 180),
        ("12", "For 12 read 15.", 180),
        ("12", "Not 12 but 15.", 180),
        ("12", "Printer's error: fifteen.", 180),
        ("8", "5 years is the period that applies.", 60),
        ("10", "Erratum 2019: twelve years, not ten.", 144),
        ("10", "This is wrong. Use 12.", 144),
        ("10", "Druckfehler, richtig ist 8.", 96),
        ("5", "Corrected from 8 in Revision D.", None),
        ("5", "Wrong in Revision 3.", None),
        ("10", "Wrong: 12, or 14 with a brass case.", None),
        ("10", "Formerly 12.", None),
        ("10", "Corrected. 12 in the first printing.", None),
        ("10", "Wrong in the issue of 2018, 12 was printed.", None),
        ("10", "See form 12.", None),
    ],
)
def test_a_note_puts_one_number_in_the_place_of_the_printed_one(printed: str, note: str, months: int | None) -> None:
    cell = _years(printed)
    assert cell is not None
    found = corrected(note, cell, _years, ENGLISH)
    assert (found.value.months if found else None) == months
    assert found is None or note[found.start : found.end] == found.text


@pytest.mark.parametrize(
    ("note", "certain"),
    [
        ("Should read 12.", True),
        ("Misprint. The figure that holds is 12.", True),
        ("This is wrong. Use 12.", False),
        ("Raised to 12 for meters shipped after June 2021.", False),
        ("Reduced to 8 where the water is softened.", False),
    ],
)
def test_a_number_that_holds_for_some_or_is_only_left_over_is_not_certain(note: str, certain: bool) -> None:
    cell = _years("10")
    assert cell is not None
    new = corrected(note, cell, _years, ENGLISH)
    assert new is not None
    assert is_certain(note, new) == certain


def test_a_note_that_speaks_of_an_error_is_told_where_its_number_is_not_certain() -> None:
    assert speaks_of_error("Corrected from 8 in Revision D.")
    assert not speaks_of_error("See form 12.")


@pytest.mark.parametrize(
    "note",
    [
        "Free of cost for the first eight of these years. In the four that follow, you pay 50 percent of list.",
        "No charge for the first eight of these years, half the price after.",
        "Free for 8 years; in the years that follow you pay half of list.",
        "For the first eight, no charge. For the other four, half of list.",
    ],
)
def test_a_note_tells_the_shares_of_the_years_it_hangs_on(note: str) -> None:
    found = cell_stages(run_of(note), None, Decimal(144), ENGLISH, bare=False)
    assert found is not None
    steps = [(step.from_month, step.to_month, step.customer_pays_pct) for step in found[0]]
    assert steps == [(0, 96, 0), (96, 144, 50)]


def test_a_rest_named_after_its_share_gives_the_first_years_no_share() -> None:
    assert cell_stages(run_of("Full for 8 years, 50 % of list for the remainder."), None, Decimal(144), ENGLISH) is None


def test_the_start_in_a_note_is_that_of_the_rows_with_its_mark(tmp_path: Path) -> None:
    paper = Paper(tmp_path / "starts.pdf")
    paper.text(72, 80, "Warranty of parts", face="Times-Bold", points=13)
    paper.text(72, 110, "Each part is warranted against defects in material and workmanship for the years shown.")
    for top, name, years in (
        (140, "Part", "Years"),
        (156, "Register", "10"),
        (172, "Strainer", "1"),
        (188, "Case", "20"),
    ):
        paper.text(72, top, name)
        paper.text(240, top, years)
    paper.rule(72, 144, 300)
    paper.text(251, 152.5, "a", points=6)
    paper.text(72, 690, "a", points=6)
    paper.text(78, 694, "Counted from the date of installation.", points=8)
    _, layout = read_drawn(paper.done())
    terms, _ = assemble(layout, None, is_warranty=True)
    assert {str(term.component): str(term.start_event) for term in terms} == {
        "register": "installation",
        "strainer": "None",
        "maincase": "None",
    }
