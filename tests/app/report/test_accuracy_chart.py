"""The accuracy chart is read back through its own axes; flows and limits as in 83 Ill. Adm. Code 600.310(b)."""

import itertools
import math
import xml.etree.ElementTree as ET
from decimal import Decimal

import pytest
import suppliers
from suppliers import Recorder

from firstcap.app.report.accuracy import Limits, accuracy_charts, profile
from firstcap.app.report.comparison import Comparison, compare
from firstcap.app.report.rows import load
from firstcap.schema.vocabulary import AccuracyLevel, FlowRole, MeterType

SVG = "{http://www.w3.org/2000/svg}"


def panels(svg: str) -> dict[str, ET.Element]:
    root = ET.fromstring(svg)
    return {panel.get("data-name") or "": panel for panel in root.iter(SVG + "g") if panel.get("class") == "panel"}


def with_class(panel: ET.Element, tag: str, name: str) -> list[ET.Element]:
    return [element for element in panel.iter(SVG + tag) if name in (element.get("class") or "").split()]


def at(element: ET.Element, name: str) -> float:
    return float(element.get(name) or "nan")


def test_limits_at_a_test_flow_sit_at_their_flow_and_their_percentage(comparison: Comparison) -> None:
    panel = panels(accuracy_charts(comparison)[0])["Sage Hollow Flow Co., Rev. C (2024)"]
    flows = [(at(tick, "x"), float(tick.text or "nan")) for tick in with_class(panel, "text", "x-tick")]
    percents = [(at(tick, "y") - 4, float(tick.text or "nan")) for tick in with_class(panel, "text", "y-tick")]
    (x0, low), (x1, high) = flows[0], flows[-1]
    (y0, bottom), (y1, top) = percents[0], percents[-1]
    seen = set()
    for point in with_class(panel, "circle", "limit-point"):
        flow = low * math.exp((at(point, "cx") - x0) / (x1 - x0) * math.log(high / low))
        percent = bottom + (at(point, "cy") - y0) / (y1 - y0) * (top - bottom)
        assert flow == pytest.approx(float(point.get("data-usgpm") or "nan"), rel=0.005)
        expected = point.get("data-lower-pct") or point.get("data-upper-pct") or "nan"
        assert percent == pytest.approx(float(expected), abs=0.03)
        seen.add((round(flow, 2), round(percent, 1)))
    assert seen == {(0.25, 95.0), (0.25, 101.5), (2.0, 98.5), (2.0, 101.5), (15.0, 98.5), (15.0, 101.5)}


def test_flows_below_any_promise_are_hatched_up_to_the_lowest_promised_flow(comparison: Comparison) -> None:
    drawn = panels(accuracy_charts(comparison)[0])
    for name, lowest in (("Quartz Arroyo Meter Works", 0.125), ("Sage Hollow Flow Co., Rev. C (2024)", 0.25)):
        first = with_class(drawn[name], "rect", "unprotected")[0]
        points = with_class(drawn[name], "circle", "limit-point")
        edge = at(first, "x") + at(first, "width")
        assert edge == pytest.approx(min(at(point, "cx") for point in points), abs=0.02)
        assert f"nothing promised below {lowest:g} gpm" in "".join(drawn[name].itertext())


def test_new_and_repaired_limits_are_drawn_apart(comparison: Comparison) -> None:
    new, repaired = (panels(svg) for svg in accuracy_charts(comparison))
    assert "Sage Hollow Flow Co., Rev. B (2018)" in new and "Sage Hollow Flow Co., Rev. B (2018)" not in repaired
    text = "".join(repaired["Quartz Arroyo Meter Works"].itertext())
    assert "90 %" in text and "AWWA M6" in text


def test_twelve_suppliers_have_twelve_panels_that_do_not_overlap(comparison_of_twelve: Comparison) -> None:
    (svg,) = accuracy_charts(comparison_of_twelve)
    drawn = panels(svg)
    assert len(drawn) == 12
    names = [next(panel.iter(SVG + "text")) for panel in drawn.values()]
    places = sorted((at(name, "y"), at(name, "x")) for name in names)
    rows = sorted({y for y, _ in places})
    assert len(rows) == 6 and all(below - above > 200 for above, below in itertools.pairwise(rows))


def test_a_test_flow_is_held_up_to_the_next_flow_and_a_range_stays_a_range() -> None:
    def limits(low: str, high: str, lower: str) -> Limits:
        return Limits(Decimal(low), Decimal(high), Decimal(lower), Decimal("101.5"))

    points = [limits("0.25", "0.25", "95"), limits("2", "2", "98.5"), limits("15", "15", "98.5")]
    assert [(step.low, step.high) for step in profile(points)] == [
        (Decimal("0.25"), Decimal(2)),
        (Decimal(2), Decimal(15)),
    ]
    mixed = [limits("0.25", "0.25", "95"), limits("1", "20", "98.5"), limits("2", "2", "98.5")]
    assert [(step.low, step.high) for step in profile(mixed)] == [
        (Decimal("0.25"), Decimal(1)),
        (Decimal(1), Decimal(20)),
    ]


def test_limits_without_a_flow_are_told_in_words_and_never_placed_by_guess(recorded: Recorder) -> None:
    bands = [(FlowRole.MINIMUM, None, None, "97", "103")]
    paper = suppliers.reading(
        "Kestrel Bench Meters",
        [suppliers.accuracy(AccuracyLevel.STATED, 5, "500000", bands=bands, meter_type=MeterType.MULTI_JET)],
        file_name="kestrel-bench.pdf",
    )
    (svg,) = accuracy_charts(compare(load(recorded([paper, suppliers.quartz_arroyo()]), "5/8")))[:1]
    assert list(panels(svg)) == ["Quartz Arroyo Meter Works"]
    assert "Kestrel Bench Meters: not drawn, no flow stated: minimum 97 to 103 %" in svg


def test_zones_of_a_metric_document_are_drawn_over_q1_q2_and_q4(recorded: Recorder) -> None:
    bands = [(FlowRole.MINIMUM, None, None, "95", "105"), (FlowRole.NORMAL_RANGE, None, None, "98", "102")]
    paper = suppliers.reading(
        "Val Ponder Compteurs",
        [suppliers.accuracy(AccuracyLevel.STATED, 5, "792516.157074", size="DN20", bands=bands)],
        file_name="val-ponder.pdf",
    )
    (svg,) = accuracy_charts(compare(load(recorded([paper]), "DN20")))
    panel = panels(svg)["Val Ponder Compteurs"]
    ticks = {tick.text: at(tick, "x") for tick in with_class(panel, "text", "x-tick")}
    assert list(ticks) == ["Q1", "Q2", "Q4"]
    steps = [(step.get("d") or "").split() for step in with_class(panel, "path", "limit")]
    starts = {float(step[0].removeprefix("M")) for step in steps}
    assert len(starts) == 2
    assert min(starts) == pytest.approx(ticks["Q1"], abs=0.02)
    assert max(starts) == pytest.approx(ticks["Q2"], abs=0.02)
    assert "the documents give no flows" in svg
