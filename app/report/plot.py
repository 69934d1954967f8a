"""Curves over one pair of axes, named at their ends, with marks that stand on them: a plain, printable SVG."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import inf

from markupsafe import Markup

from firstcap.app.report.geometry import Rect, Scale, nice_step, shortened, spread, text_width
from firstcap.app.report.templates import render, style

SERIES = 8  # colours of tokens.css
_WIDTH, _HEIGHT = 980.0, 460.0
_LEFT, _TOP, _TOP_DASHED, _BELOW = 92.0, 78.0, 96.0, 58.0
_LABEL_SIZE, _LINE = 13.5, 17.0
_WIDEST_LABEL = 316.0
_SPOT_LINES = 36.0


@dataclass(frozen=True)
class Curve:
    """Points in axis units, left to right; `steps` draws levels that jump instead of slopes."""

    label: str
    points: tuple[tuple[float, float], ...]
    dashed: bool = False
    steps: bool = False


@dataclass(frozen=True)
class Spot:
    """A point with a guide down to the axis, and its words: a name, and what is to be said of it."""

    label: str
    more: str
    x: float
    y: float
    colour: int
    dashed: bool = False


@dataclass(frozen=True)
class Plot:
    id: str
    title: str
    how: str
    says: str
    x_name: str
    y_name: str
    curves: tuple[Curve, ...]
    x_high: float
    y_high: float
    y_percent: bool = False
    spots: tuple[Spot, ...] = ()


def plot_svg(plot: Plot) -> Markup:
    """The plot as an SVG document of its own; it also stands inside a page as it is."""
    dashed = any(curve.dashed for curve in plot.curves) or any(spot.dashed for spot in plot.spots)
    labels = [shortened(curve.label, _LABEL_SIZE, _WIDEST_LABEL, bold=True) for curve in plot.curves]
    room = max((text_width(label, _LABEL_SIZE, bold=True) for label in labels if label), default=0.0) + 30
    if plot.spots:
        room = _WIDEST_LABEL + 20
    top = _TOP_DASHED if dashed else _TOP
    area = Rect(_LEFT, top, _WIDTH - _LEFT - max(30.0, room), _HEIGHT - top - _BELOW)
    across = Scale(0, plot.x_high, area.x, area.right)
    up = Scale(0, plot.y_high, area.bottom, area.y)
    ends = [up(min(plot.y_high, curve.points[-1][1])) for curve in plot.curves]
    placed = spread(ends, [_LINE] * len(ends), area.y, area.bottom, 0)
    lines = [
        {
            "label": label,
            "hover": curve.label,
            "colour": number % SERIES,
            "dashed": curve.dashed,
            "path": _path(curve, across, up),
            "end": end,
            "at": at,
            "leader": abs(end - at) > 1 or bool(label),
        }
        for number, (curve, label, end, at) in enumerate(zip(plot.curves, labels, ends, placed, strict=True))
    ]
    return Markup(
        render(
            "plot.svg",
            p=plot,
            id=plot.id,
            width=_WIDTH,
            height=_HEIGHT,
            plot=area,
            tokens=style("tokens.css"),
            css=style("chart.css"),
            any_dashed=dashed,
            x_ticks=_ticks(across, plot.x_high, False),
            y_ticks=_ticks(up, plot.y_high, plot.y_percent, 6),
            lines=lines,
            marks=_spots(plot.spots, across, up, area),
        )
    )


def _ticks(scale: Scale, high: float, percent: bool, most: int = 9) -> list[tuple[float, str]]:
    step = nice_step(high, most)
    found, value = [], 0.0
    while value <= high * (1 + 1e-9):
        shown = f"{value:,.10g}" if step < 1 else f"{value:,.0f}" if step == int(step) else f"{value:,.1f}"
        found.append((scale(value), f"{shown} %" if percent else shown))
        value += step
    return found


def _path(curve: Curve, across: Callable[[float], float], up: Callable[[float], float]) -> str:
    def at(x: float, y: float) -> str:
        return f"{across(x):.2f} {up(y):.2f}"

    parts = [f"M{at(*curve.points[0])}"]
    for (_, before), (x, y) in pairwise(curve.points):
        if curve.steps and y != before:
            parts.append(f"L{at(x, before)}")
        parts.append(f"L{at(x, y)}")
    return "".join(parts)


def _spots(spots: Sequence[Spot], across: Scale, up: Scale, area: Rect) -> list[dict[str, object]]:
    """Marks numbered from the left; their words stand beside the plot, a number each."""
    drawn: list[dict[str, object]] = []
    last: list[tuple[float, float]] = []
    for number, spot in enumerate(sorted(spots, key=lambda one: one.x), 1):
        x, y = across(spot.x), up(spot.y)
        text_y, step = y - 9, -13.0
        while any(abs(x - there) < 15 and abs(text_y - height) < 13 for there, height in last):
            text_y += step
            if text_y < area.y + 12:  # above the axes stands the key
                text_y, step = y + 18, 13.0
        last.append((x, text_y))
        drawn.append(
            {
                "number": number,
                "x": x,
                "y": y,
                "text_y": text_y,
                "colour": spot.colour % SERIES,
                "dashed": spot.dashed,
                "label": shortened(spot.label, _LABEL_SIZE, _WIDEST_LABEL - 20, bold=True),
                "more": spot.more,
                "list_y": area.y + 10 + (number - 1) * _SPOT_LINES,
            }
        )
    return drawn


def round_up(value: float, most: int = 9) -> float:
    """The end of an axis: the next round step above `value`."""
    if value <= 0 or value == inf:
        return 1.0
    step = nice_step(value, most)
    count = int(value / step)
    return step * (count if count * step >= value * (1 - 1e-9) else count + 1)
