"""The accuracy chart: what each supplier's meter must register over flow, on a log axis, against the standard's limits.

One panel a supplier, all on the same axes, so that nothing overlaps however many there are. Limits promised at a test
flow are bars with a dot at each end, joined by a thin line to guide the eye; limits over a range are strong lines.
Where nothing is promised the ground is hatched.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from markupsafe import Markup

from firstcap.app.report import words
from firstcap.app.report.comparison import Comparison, Offer
from firstcap.app.report.first_cap import SERIES
from firstcap.app.report.geometry import LogScale, Rect, Scale, in_lines, log_ticks, nice_step, text_width, ticks
from firstcap.app.report.rows import BandRow, BaselineRow
from firstcap.app.report.standards import Measure
from firstcap.app.report.templates import render, style
from firstcap.schema.units import gpm_per
from firstcap.schema.vocabulary import AccuracyLevel, FlowRole

_WIDTH = 980.0
_TOP = 96.0
_GUTTER = 28.0
_EDGE = 20.0
_AXIS_LEFT = 44.0
_PLOT_HEIGHT = 178.0
_HEADER = 46.0
_AXIS_BELOW = 34.0
_NOTE_HEIGHT = 15.0
_NAME, _SMALL = 14.0, 12.0
_DOT = 3.6
_FOOT = 0.38  # room below the lowest limit for its figure and the names of the flows, as a share of what is above

# A European document that gives zones and no flows is drawn over its zones: Q2 = 1.6 Q1 and Q4 = 1.25 Q3 are fixed by
# EN 14154 and 2004/22/EC; the width of the upper zone hangs on R = Q3/Q1 and is drawn as for R 100.
_ZONES: dict[str, tuple[Decimal, Decimal]] = {
    FlowRole.MINIMUM.value: (Decimal(1), Decimal("1.6")),
    FlowRole.NORMAL_RANGE.value: (Decimal("1.6"), Decimal(125)),
}
_ZONE_TICKS = ((1.0, "Q1"), (1.6, "Q2"), (125.0, "Q4"))


@dataclass(frozen=True)
class Limits:
    """Limits from one flow to another; equal ends are one test flow. `assumed`: the flows are the standard's."""

    low: Decimal
    high: Decimal
    lower: Decimal | None
    upper: Decimal | None
    assumed: bool = False
    role: str | None = None

    @property
    def is_point(self) -> bool:
        return self.low == self.high


@dataclass
class _Panel:
    """One supplier's promise and what it is measured by, before it is drawn."""

    label: str
    series: int
    unconfirmed: bool
    earlier: bool
    against: str
    promised: list[list[Limits]] = field(default_factory=list)
    standard: list[Limits] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class _Chart:
    anchor: str
    heading: str
    offers: tuple[Offer, ...]


def accuracy_charts(comparison: Comparison) -> list[Markup]:
    """A chart for the promises measured by new-meter limits and one for repaired-meter limits, where there are any."""
    accuracy = [group for group in comparison.promises if group.is_accuracy]
    new = [offer for group in accuracy if group.level != AccuracyLevel.REPAIRED_METER for offer in group.offers]
    repaired = [offer for group in accuracy if group.level == AccuracyLevel.REPAIRED_METER for offer in group.offers]
    charts = (
        _Chart("accuracy-new", "Accuracy promised for new meters", tuple(new)),
        _Chart("accuracy-repaired", "Accuracy promised at the repaired-meter stage", tuple(repaired)),
    )
    drawn = (_svg(comparison, chart) for chart in charts if chart.offers)
    return [svg for svg in drawn if svg is not None]


def profile(limits: Iterable[Limits]) -> list[Limits]:
    """Steps over flow: ranges as they are, and each test flow outside every range held up to the next flow above it."""
    every = sorted(limits, key=lambda item: (item.low, item.high))
    ranges = [item for item in every if not item.is_point]
    steps = list(ranges)
    for item in every:
        if item.is_point and not any(wide.low <= item.low <= wide.high for wide in ranges):
            above = [other.low for other in every if other.low > item.low]
            if above:
                steps.append(replace(item, high=min(above)))
    return sorted(steps, key=lambda item: item.low)


def _panels(comparison: Comparison, offers: Sequence[Offer], zones: bool) -> list[_Panel]:
    order = {id(column): place for place, column in enumerate(comparison.columns)}
    panels: dict[tuple[int, str, str], _Panel] = {}
    for offer in offers:
        if not offer.judged:
            continue
        key = (id(offer.column), offer.term.product or "", offer.term.variant or "")
        panel = panels.get(key)
        if panel is None:
            panel = panels[key] = _Panel(
                offer.label, order[id(offer.column)] % SERIES, False, offer.column.earlier, _against(offer.measure)
            )
        panel.unconfirmed |= offer.unconfirmed
        if offer.measure is not None and not panel.standard:
            panel.standard = _of_standard(offer.measure.limits, zones)
        placed = []
        for judged in offer.judged:
            limits = _placed(judged.band, offer.measure, zones)
            if limits is None:
                panel.notes.append(_unplaced(judged.band))
            else:
                placed.append(limits)
                if limits.assumed:
                    panel.notes.append("dashed: at the standard's flows; the document names none")
        if placed:
            panel.promised.append(placed)
    for panel in panels.values():
        flows = [item.low for offer in panel.promised for item in offer]
        if flows:
            panel.notes.append(_nothing_below(min(flows), zones, comparison.metric))
        panel.notes = list(dict.fromkeys(panel.notes))
    return list(panels.values())


def _against(measure: Measure | None) -> str:
    if measure is None or measure.name is None:
        return measure.reason if measure and measure.reason else "no standard to compare with"
    certainty = ", ".join(words.spaced(certainty) for certainty in measure.certainties)
    return f"grey: {measure.name} ({certainty})"


def _of_standard(rows: Sequence[BaselineRow], zones: bool) -> list[Limits]:
    found = []
    for row in rows:
        low, high = row.flow_from_usgpm, row.flow_to_usgpm
        if zones:
            low, high = _ZONES.get(row.flow_role, (None, None))
        if low is not None and high is not None:
            found.append(Limits(low, high, row.lower_pct, row.upper_pct))
    return found


def _placed(band: BandRow, measure: Measure | None, zones: bool) -> Limits | None:
    if band.lower_pct is None and band.upper_pct is None:
        return None
    low, high = band.flow_from_usgpm, band.flow_to_usgpm
    if low is not None or high is not None:
        first = low if low is not None else high
        last = high if high is not None else low
        assert first is not None and last is not None
        return Limits(first, last, band.lower_pct, band.upper_pct, role=band.flow_role)
    if zones and band.flow_role in _ZONES:
        return Limits(*_ZONES[band.flow_role], band.lower_pct, band.upper_pct, role=band.flow_role)
    for row in measure.limits if measure else ():
        if row.flow_role == band.flow_role and row.flow_from_usgpm is not None and row.flow_to_usgpm is not None:
            low, high = row.flow_from_usgpm, row.flow_to_usgpm
            return Limits(low, high, band.lower_pct, band.upper_pct, assumed=True, role=band.flow_role)
    return None


def _unplaced(band: BandRow) -> str:
    if band.lower_pct is None and band.upper_pct is None:
        return f"by reference to {band.basis}: limits not held here"
    role = words.spaced(band.flow_role) if band.flow_role else "all flows"
    return f"not drawn, no flow stated: {role} {words.band(band.lower_pct, band.upper_pct)}"


def _by_zones(offers: Sequence[Offer]) -> bool:
    """Zones are drawn only where no document gives a flow at all."""
    bands = [judged.band for offer in offers for judged in offer.judged]
    without = all(band.flow_from_usgpm is None and band.flow_to_usgpm is None for band in bands)
    return without and any(band.flow_role in _ZONES for band in bands)


def _svg(comparison: Comparison, chart: _Chart) -> Markup | None:
    zones = comparison.metric and _by_zones(chart.offers)
    every_panel = _panels(comparison, chart.offers, zones)
    panels = [panel for panel in every_panel if panel.promised]
    everything = [
        limits
        for panel in panels
        for limits in (*panel.standard, *(item for offer in panel.promised for item in offer))
    ]
    promised = [item for panel in panels for offer in panel.promised for item in offer]
    if not promised:
        return None
    unit = gpm_per("L/h") if comparison.metric and not zones else 1
    lowest = min(float(item.low) for item in everything) / (1.35 if zones else 2.6)
    highest = max(float(item.high) for item in everything) * (1.15 if zones else 1.5)
    percents = [float(value) for item in everything for value in (item.lower, item.upper) if value is not None]
    top = math.ceil(max(*percents, 101) + 1.2)
    lowest_limit = min(*percents, 95)
    bottom = math.floor(lowest_limit - _FOOT * (top - lowest_limit))

    columns = 1 if len(panels) == 1 else 2
    width = (_WIDTH - 2 * _EDGE - _GUTTER * (columns - 1)) / columns
    cells = []
    y = _TOP
    for first in range(0, len(panels), columns):
        row = panels[first : first + columns]
        notes = [[line for note in panel.notes for line in in_lines(note, _SMALL, width - 8, 2)] for panel in row]
        for place, panel in enumerate(row):
            x = _EDGE + place * (width + _GUTTER)
            plot = Rect(x + _AXIS_LEFT, y + _HEADER, width - _AXIS_LEFT - 6, _PLOT_HEIGHT)
            across = LogScale(lowest, highest, plot.x, plot.right)
            up = Scale(bottom, top, plot.bottom, plot.y)
            cells.append(_cell(panel, Rect(x, y, width, 0), plot, across, up, notes[place]))
        y += _HEADER + _PLOT_HEIGHT + _AXIS_BELOW + _NOTE_HEIGHT * max(map(len, notes)) + 16
    undrawn = [
        line
        for panel in every_panel
        if not panel.promised
        for line in in_lines(f"{panel.label}: {'; '.join(panel.notes)}", _SMALL, _WIDTH - 2 * _EDGE, 2)
    ]
    if zones:
        flow_name = "flow zones from Q1 to Q4, drawn as for R 100: the documents give no flows"
    else:
        flow_name = "flow, litres an hour, log scale" if comparison.metric else "flow, gallons per minute, log scale"
    across = LogScale(lowest, highest, 0, 1)
    if zones:
        x_ticks = [(value, name) for value, name in _ZONE_TICKS]
    else:
        x_ticks = [
            (value * float(unit), f"{value:,g}") for value in log_ticks(lowest / float(unit), highest / float(unit))
        ]
    return Markup(
        render(
            "accuracy.svg",
            id=chart.anchor,
            tokens=style("tokens.css"),
            css=style("chart.css"),
            width=_WIDTH,
            height=y + 26 + _NOTE_HEIGHT * len(undrawn),
            foot=y + 14,
            undrawn=undrawn,
            title=f"{chart.heading}, {comparison.size_words}: limits over flow",
            description=_description(every_panel),
            cells=cells,
            x_ticks=[(across(value), label) for value, label in x_ticks],
            y_ticks=ticks(bottom, top, max(1.0, nice_step(top - bottom, 7))),
            flow_name=flow_name,
            dot=_DOT,
        )
    )


def _cell(
    panel: _Panel,
    at: Rect,
    plot: Rect,
    across: LogScale,
    up: Scale,
    notes: Sequence[str],
) -> dict[str, object]:
    signs = ([words.UNCONFIRMED] if panel.unconfirmed else []) + (["earlier edition"] if panel.earlier else [])
    sign = ", ".join(signs)
    every = [item for offer in panel.promised for item in offer]
    cell: dict[str, object] = {
        "at": at,
        "plot": plot,
        "up": up,
        "series": panel.series,
        "name": in_lines(panel.label, _NAME, at.width, 1, bold=True)[0],
        "sign": sign,
        "against": in_lines(panel.against, _SMALL, at.width - text_width(sign, _SMALL), 1)[0],
        "roles": _role_names(every, across, plot),
        "standard": [_step(item, across, up) for item in profile(panel.standard)],
        "standard_points": [_step(item, across, up) for item in panel.standard if item.is_point],
        "steps": [],
        "points": [],
        "labels": [],
        "empty": [],
        "notes": notes,
    }
    steps = [(item, _is_range(item, offer)) for offer in panel.promised for item in profile(offer)]
    cell["steps"] = [{**_step(item, across, up), "strong": strong} for item, strong in steps]
    cell["points"] = [_step(item, across, up) for item in every if item.is_point]
    cell["labels"] = _value_labels(every, across, up, plot)
    left = across(min(item.low for item in every))
    right = across(max(item.high for item in every))
    cell["empty"] = [
        {"x": plot.x, "width": left - plot.x},
        {"x": right, "width": plot.right - right},
    ]
    return cell


def _is_range(step: Limits, offer: Sequence[Limits]) -> bool:
    return any(item.low == step.low and item.high == step.high and not item.is_point for item in offer)


def _step(item: Limits, across: LogScale, up: Scale) -> dict[str, object]:
    return {
        "x1": across(item.low),
        "x2": across(item.high),
        "lower": None if item.lower is None else up(item.lower),
        "upper": None if item.upper is None else up(item.upper),
        "assumed": item.assumed,
        "limits": item,
    }


def _nothing_below(low: Decimal, zones: bool, metric: bool) -> str:
    return "nothing promised below " + ("Q1" if zones else words.flow(low, metric=metric))


def _value_labels(every: Sequence[Limits], across: LogScale, up: Scale, plot: Rect) -> list[dict[str, object]]:
    """The percentages beside the limits, each printed where it changes along the flow; none over another."""
    labels: list[dict[str, object]] = []
    boxes: list[Rect] = []
    for side in ("lower", "upper"):
        before: Decimal | None = None
        for item in sorted(every, key=lambda item: (item.low, item.is_point)):
            value: Decimal | None = getattr(item, side)
            if value is None or value == before:
                continue
            before = value
            text = f"{words.plain_number(value)} %"
            wide = text_width(text, 12.0)
            x = min(across(item.low) + (5 if item.is_point else 3), plot.right - wide - 2)
            y = up(value) + (15 if side == "lower" else -6)
            box = Rect(x, y - 11, wide, 13)
            if any(box.overlaps(other) for other in boxes):
                continue
            boxes.append(box)
            labels.append({"x": x, "y": y, "text": text})
    return labels


def _role_names(every: Sequence[Limits], across: LogScale, plot: Rect) -> list[dict[str, object]]:
    """The names of the flows along the foot of a panel, in two rows where one is too narrow."""
    names: list[dict[str, object]] = []
    filled = [plot.x, plot.x]
    for item in sorted(every, key=lambda item: item.low):
        if item.role is None or any(name["role"] == item.role for name in names):
            continue
        text = words.spaced(item.role)
        wide = text_width(text, 11.0)
        x = min(across(item.low), plot.right - wide)
        row = next((number for number, edge in enumerate(filled) if x >= edge), None)
        if row is not None:
            filled[row] = x + wide + 8
            names.append({"x": x, "y": plot.bottom - 6 - 13 * row, "text": text, "role": item.role})
    return names


def _description(panels: Sequence[_Panel]) -> str:
    parts = []
    for panel in panels:
        bands = [
            f"{words.band(item.lower, item.upper)} at {words.flows(item.low, item.high)}"
            for offer in panel.promised
            for item in offer
        ]
        parts.append(f"{panel.label}: {'; '.join(bands) if bands else 'no limits at a stated flow'}")
    return "Lower and upper limits of registration over flow. " + ". ".join(parts) + "."
