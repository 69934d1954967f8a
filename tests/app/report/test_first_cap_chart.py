"""The first-cap chart says what the numbers say: edges and marks are read back through the axes of the drawing."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from fractions import Fraction

import pytest
import suppliers
from suppliers import Recorder

from firstcap.app.report.comparison import Comparison, compare
from firstcap.app.report.first_cap import charted, first_cap_svg
from firstcap.app.report.geometry import Rect, text_width
from firstcap.app.report.rows import load
from firstcap.schema.vocabulary import AccuracyLevel

SVG = "{http://www.w3.org/2000/svg}"


def drawing(comparison: Comparison, anchor: str = "accuracy-new-meter-whole-meter") -> ET.Element:
    group = next(group for group in comparison.promises if group.anchor == anchor)
    return ET.fromstring(first_cap_svg(comparison, group))


def classed(root: ET.Element, tag: str, name: str) -> list[ET.Element]:
    return [element for element in root.iter(SVG + tag) if name in (element.get("class") or "").split()]


def number(element: ET.Element, name: str) -> float:
    return float(element.get(name) or "nan")


def axes(root: ET.Element) -> tuple[Callable[[float], float], Callable[[float], float]]:
    """Values for positions, found from the printed ticks alone."""

    def inverse(marks: list[tuple[float, float]]) -> Callable[[float], float]:
        (first, low), (last, high) = marks[0], marks[-1]
        return lambda position: low + (position - first) / (last - first) * (high - low)

    across = [
        (number(tick, "x"), float((tick.text or "").replace(",", ""))) for tick in classed(root, "text", "x-tick")
    ]
    up = [
        (number(tick, "y") - 4.5, float((tick.text or "").replace(",", ""))) for tick in classed(root, "text", "y-tick")
    ]
    assert len(across) >= 3 and len(up) >= 3
    return inverse(across), inverse(up)


@pytest.mark.parametrize("which", ["comparison", "comparison_of_twelve"])
def test_edges_of_a_cover_sit_at_its_years_and_its_cap(which: str, request: pytest.FixtureRequest) -> None:
    root = drawing(request.getfixturevalue(which))
    years_at, usgal_at = axes(root)
    closed = classed(root, "rect", "closed")
    assert len(closed) >= 3
    for cover in closed:
        left, top = number(cover, "x"), number(cover, "y")
        right, bottom = left + number(cover, "width"), top + number(cover, "height")
        years, usgal = Fraction(cover.get("data-years") or "nan"), Fraction(cover.get("data-usgal") or "nan")
        assert years_at(left) == pytest.approx(0, abs=0.01)
        assert usgal_at(bottom) == pytest.approx(0, abs=float(usgal) * 0.002 + 500)
        assert years_at(right) == pytest.approx(float(years), rel=0.002)
        assert usgal_at(top) == pytest.approx(float(usgal), rel=0.002, abs=500)


def test_the_drawn_covers_are_those_of_the_documents(comparison: Comparison) -> None:
    covers = {
        (rect.get("data-years"), rect.get("data-usgal")) for rect in classed(drawing(comparison), "rect", "cover")
    }
    assert covers == {("5", "500000"), ("10", "750000"), ("3", "400000")}


def test_every_mark_lies_on_its_line_of_use_and_on_an_edge(comparison: Comparison) -> None:
    root = drawing(comparison)
    years_at, usgal_at = axes(root)
    tops = {500_000, 750_000, 400_000}
    sides = {5, 10, 3}
    circles, squares = classed(root, "circle", "mark-volume"), classed(root, "rect", "mark-time")
    assert circles and squares
    for circle in circles:
        years, usgal = years_at(number(circle, "cx")), usgal_at(number(circle, "cy"))
        assert usgal == pytest.approx(years * float(Fraction(circle.get("data-usgal-per-year") or "nan")), rel=0.01)
        assert min(abs(usgal - top) for top in tops) < 1500
    for square in squares:
        half = number(square, "width") / 2
        years, usgal = years_at(number(square, "x") + half), usgal_at(number(square, "y") + half)
        assert usgal == pytest.approx(years * float(Fraction(square.get("data-usgal-per-year") or "nan")), rel=0.01)
        assert min(abs(years - side) for side in sides) < 0.02


def test_at_109500_gallons_a_year_five_years_or_half_a_million_end_by_volume_after_4_566_years(
    comparison: Comparison,
) -> None:
    marks = classed(drawing(comparison), "circle", "mark-volume")
    years = {Fraction(mark.get("data-years") or "nan") for mark in marks if mark.get("data-usgal-per-year") == "109500"}
    assert Fraction(500_000, 109_500) in years
    assert round(Fraction(500_000, 109_500), 3) == Fraction("4.566")


def test_a_cover_without_a_volume_cap_is_open_above_and_one_without_years_open_to_the_right(
    comparison_of_twelve: Comparison,
) -> None:
    root = drawing(comparison_of_twelve)
    years_at, usgal_at = axes(root)
    (above,) = classed(root, "path", "open-above")
    x, bottom, top = map(float, re.fullmatch(r"M([\d.]+) ([\d.]+)V([\d.]+)", above.get("d") or "").groups())  # type: ignore[union-attr]
    assert years_at(x) == pytest.approx(20, rel=0.002)
    assert usgal_at(bottom) == pytest.approx(0, abs=2000) and usgal_at(top) > 1_500_000
    (beside,) = classed(root, "path", "open-right")
    left, y, right = map(float, re.fullmatch(r"M([\d.]+) ([\d.]+)H([\d.]+)", beside.get("d") or "").groups())  # type: ignore[union-attr]
    assert usgal_at(y) == pytest.approx(1_000_000, rel=0.003)
    assert years_at(left) == pytest.approx(0, abs=0.02) and years_at(right) > 20


def label_boxes(root: ET.Element) -> list[tuple[str, Rect]]:
    """The whole label of each box: its lines share x and follow one another."""
    (labels,) = [group for group in root.iter(SVG + "g") if group.get("class") == "labels"]
    boxes: list[tuple[str, Rect]] = []
    for line in labels.iter(SVG + "text"):
        parts = [(span.text or "", "name" in (span.get("class") or "")) for span in line.iter(SVG + "tspan")]
        width = sum(text_width(text, 13.5 if bold else 12.5, bold=bold) for text, bold in parts)
        x = number(line, "x") - (width if "end" in (line.get("class") or "").split() else 0)
        boxes.append(("".join(text for text, _ in parts), Rect(x, number(line, "y") - 11, width, 13)))
    return boxes


@pytest.mark.parametrize(("which", "count"), [("comparison", 3), ("comparison_of_twelve", 12)])
def test_no_label_lies_over_another_or_outside_the_chart(
    which: str, count: int, request: pytest.FixtureRequest
) -> None:
    root = drawing(request.getfixturevalue(which))
    whole = Rect(0, 0, number(root, "width"), number(root, "height"))
    boxes = label_boxes(root)
    assert len(boxes) >= count
    for place, (text, box) in enumerate(boxes):
        assert box.within(whole), text
        for other_text, other in boxes[place + 1 :]:
            assert not box.overlaps(other), (text, other_text)
    names = classed(root, "text", "use-name")
    assert len(names) == 4
    spots = [(number(name, "x"), number(name, "y")) for name in names]
    for place, (x, y) in enumerate(spots):
        assert all(abs(x - other_x) > 60 or abs(y - other_y) > 26 for other_x, other_y in spots[place + 1 :])


def test_every_supplier_is_named_and_unconfirmed_ones_say_so_in_words(comparison_of_twelve: Comparison) -> None:
    texts = [text for text, _ in label_boxes(drawing(comparison_of_twelve))]
    for column in comparison_of_twelve.columns:
        assert any(text.startswith(column.label[:18]) for text in texts), column.label
    confirmed = next(text for text in texts if text.startswith("Sandpiper"))
    assert "unconfirmed" not in confirmed
    assert sum("◇ unconfirmed" in text for text in texts) == 10


def test_a_chart_has_a_title_and_a_description_for_those_who_cannot_see_it(comparison: Comparison) -> None:
    root = drawing(comparison)
    title, description = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None and description is not None
    assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
    assert "5 years or 500,000 gal, whichever comes first" in (description.text or "")


def test_a_chart_is_drawn_only_where_somebody_ties_the_promise_to_volume(comparison: Comparison) -> None:
    assert [group.anchor for group in comparison.promises if charted(group)] == [
        "accuracy-new-meter-whole-meter",
        "accuracy-repaired-meter-whole-meter",
        "accuracy-extended-low-flow-whole-meter",
    ]


def test_a_crowd_is_numbered_in_the_chart_and_named_below_it(recorded: Recorder) -> None:
    crowd = [
        suppliers.reading(
            f"Mesa Works Number {number}",
            [suppliers.accuracy(AccuracyLevel.NEW_METER, 3 + number % 9, str(400_000 + 25_000 * number))],
            file_name=f"crowd-{number}.pdf",
        )
        for number in range(1, 31)
    ]
    root = drawing(compare(load(recorded(crowd), "5/8")))
    whole = Rect(0, 0, number(root, "width"), number(root, "height"))
    boxes = label_boxes(root)
    assert sorted(int(text) for text, _ in boxes) == list(range(1, 31))
    for place, (text, box) in enumerate(boxes):
        assert not any(box.overlaps(other) for _, other in boxes[place + 1 :]), text
    (listed,) = [group for group in root.iter(SVG + "g") if group.get("class") == "list"]
    told = ["".join(line.itertext()).strip() for line in listed.iter(SVG + "text")]
    assert {f"Mesa Works Number {number} ◇ unconfirmed" for number in range(1, 31)} <= set(told)
    assert all(number(line, "y") < whole.height for line in listed.iter(SVG + "text"))


def test_offers_with_the_same_limits_share_a_box_and_both_names_stand_beside_it(
    comparison_of_twelve: Comparison,
) -> None:
    root = drawing(comparison_of_twelve)
    assert len([rect for rect in classed(root, "rect", "closed") if rect.get("data-usgal") == "500000"]) == 1
    texts = [text for text, _ in label_boxes(root)]
    first = texts.index("Bristlecone Register Co.")
    assert texts[first + 1 : first + 3] == ["Copperline Meter and Valve ◇ unconfirmed", "5 years or 500,000 gal"]


def test_no_leader_runs_along_an_axis_as_if_it_were_an_edge(comparison_of_twelve: Comparison) -> None:
    leaders = classed(drawing(comparison_of_twelve), "path", "leader")
    assert leaders
    for leader in leaders:
        x1, y1, x2, y2 = map(float, re.findall(r"[\d.]+", leader.get("d") or ""))
        across, down = abs(x2 - x1), abs(y2 - y1)
        assert min(across, down) >= 0.19 * max(across, down), leader.get("d")
