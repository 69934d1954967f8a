"""The first-cap chart: years across, registered volume up, covers as rectangles, yearly uses fanning from the origin.

Where an account's line leaves a rectangle, that cover ends: through the top the volume cap came first, through the
right side the years did. A cover without a volume cap is open above, one without years open to the right; a cover that
lasts until the later of two limits is everything but the corner beyond both.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import inf, sqrt

from markupsafe import Markup

from firstcap.app.report import words
from firstcap.app.report.comparison import Column, Comparison, Offer, PromiseGroup
from firstcap.app.report.geometry import (
    SHORT,
    Line,
    Rect,
    Scale,
    Wanted,
    in_lines,
    leader_to,
    nice_step,
    place,
    spread,
    text_width,
    ticks,
)
from firstcap.app.report.templates import render, style
from firstcap.schema.vocabulary import Ends
from firstcap.worth.cover import Cover, end_of

_WIDTH = 980.0
_LEFT, _RIGHT = 96.0, 862.0
_TOP, _TOP_BARE = 134.0, 100.0  # with and without lines named above the plot
_BELOW = 58.0
_HEIGHT = 420.0
_FEW, _HEIGHT_EACH = 5, 26.0  # each box beyond a few makes the plot higher
_GROWTH = 1.15  # of the plot's height, while the labels find no room
_MOST_GROWTHS = 2
_NEAR, _FAR = 125.0, 200.0  # a leader's length for which a plot need not grow, and the longest that is borne
# More boxes, or more lines of labels, than these are numbered in the chart and named in columns below it.
_MANY, _MANY_LINES = 12, 34
_COLUMNS = 2
_MARGIN = 1.16  # how far the axes run beyond the largest limit
SERIES = 8  # colours of tokens.css, told apart by names as well
_NAME_SIZE, _TERMS_SIZE = 13.5, 12.5
_NAME_WIDTH = 300.0
_LINE_HEIGHT = 16.0
_MARK = 4.6
_SPOT_LEAST, _SPOT_MOST = 1.3, 4.6  # radii of meters drawn on the chart
_TINT, _FAINT_TINT = 0.08, 0.03  # rectangles lie over one another: the more there are, the fainter


@dataclass(frozen=True)
class Fleet:
    """Meters on the chart: each spot is years, US gallons and how many meters stand there; the axes hold `extent`."""

    spots: tuple[tuple[float, float, int], ...]
    extent: tuple[float, float]
    says: str


@dataclass(frozen=True)
class _Box:
    """Offers with the very same limits, drawn once."""

    cover: Cover
    offers: tuple[Offer, ...]
    series: int

    @property
    def unconfirmed(self) -> bool:
        return any(offer.unconfirmed for offer in self.offers)

    @property
    def earlier(self) -> bool:
        return all(offer.column.earlier for offer in self.offers)


@dataclass(frozen=True)
class _Line:
    """One line of a label: a name in bold, something plain, or both."""

    bold: str = ""
    plain: str = ""

    @property
    def width(self) -> float:
        gap = " " if self.bold and self.plain else ""
        return text_width(self.bold, _NAME_SIZE, bold=True) + text_width(gap + self.plain, _TERMS_SIZE)


@dataclass(frozen=True)
class _Text:
    x: float
    y: float
    line: _Line
    css: str


@dataclass
class _Drawing:
    """What the template prints for one box."""

    css: str
    hover: str
    kind: str
    outline: str
    rect: Rect | None
    cover: Cover
    corner: tuple[float, float]
    marks: list[dict[str, object]] = field(default_factory=list)
    leader: Line | None = None
    texts: list[_Text] = field(default_factory=list)


def charted(group: PromiseGroup) -> bool:
    """A chart says something where at least one supplier ties the promise to registered volume."""
    return group.has_cap


def first_cap_svg(comparison: Comparison, group: PromiseGroup, fleet: Fleet | None = None) -> Markup:
    """One promise as an SVG document of its own; it also stands inside a page as it is. `fleet` are meters on it."""
    boxes = _boxes(group.offers, comparison.columns)
    metric = comparison.metric
    years_high, usgal_high = _extent([box.cover for box in boxes], group.uses)
    if fleet is not None:
        years_high, usgal_high = max(years_high, fleet.extent[0]), max(usgal_high, fleet.extent[1])
    top = _TOP if any(float(use) * years_high > usgal_high for use in group.uses) else _TOP_BARE
    height = _HEIGHT + _HEIGHT_EACH * max(0, min(len(boxes), _MANY) - _FEW)
    texts = [_label_lines(box) for box in boxes]
    crowded = len(boxes) > _MANY or sum(map(len, texts)) > _MANY_LINES
    listed: list[list[_Text]] = []
    for attempt in range(_MOST_GROWTHS + 1):
        plot = Rect(_LEFT, top, _RIGHT - _LEFT, height)
        across = Scale(0, years_high, plot.x, plot.right)
        up = Scale(0, usgal_high, plot.bottom, plot.y)
        drawings = _draw(boxes, group.uses, across, up, plot)
        far = inf if crowded else _label(boxes, drawings, texts, group.uses, across, up, plot)
        if far <= _NEAR or (attempt == _MOST_GROWTHS and far <= _FAR):
            break
        if crowded or attempt == _MOST_GROWTHS:
            drawings = _draw(boxes, group.uses, across, up, plot)
            numbers = [[_Line(bold=str(number))] for number in range(1, len(boxes) + 1)]
            _label(boxes, drawings, numbers, group.uses, across, up, plot)
            listed = _list_below(boxes, texts, plot.bottom + _BELOW + _LINE_HEIGHT)
            break
        height *= _GROWTH
    below = max((text.y for entry in listed for text in entry), default=plot.bottom + _BELOW - 14) + 14
    unit, _ = words.volume_unit(metric)
    return Markup(
        render(
            "first_cap.svg",
            id=f"first-cap-{group.anchor}" + ("-fleet" if fleet else ""),
            tokens=style("tokens.css"),
            css=style("chart.css"),
            width=_WIDTH,
            height=below,
            listed=listed,
            plot=plot,
            title=f"{group.heading}, {comparison.size_words}: which cap comes first?",
            description=_description(boxes),
            drawings=drawings,
            any_unconfirmed=any(box.unconfirmed for box in boxes),
            uses=_use_lines(group.uses, across, up, plot, metric),
            x_ticks=_x_ticks(across),
            y_ticks=_y_ticks(up, usgal_high, unit),
            y_name="registered volume, cubic metres" if metric else "registered volume, US gallons",
            mark_radius=_MARK,
            tint=_TINT if len(boxes) < _FEW else _FAINT_TINT,
            spots=_spots(fleet, across, up) if fleet else [],
            fleet_says=fleet.says if fleet else "",
            endless=[offer.label for offer in group.offers if _endless(offer.cover)],
        )
    )


def _spots(fleet: Fleet, across: Scale, up: Scale) -> list[tuple[float, float, float]]:
    """Places and radii: the area of a spot tells how many meters stand there."""
    most = max((count for _, _, count in fleet.spots), default=1)
    return [
        (across(years), up(usgal), max(_SPOT_LEAST, _SPOT_MOST * sqrt(count / most)))
        for years, usgal, count in fleet.spots
        if years <= across.high and usgal <= up.high
    ]


def _endless(cover: Cover) -> bool:
    return cover.years is None and cover.usgal is None


def _boxes(offers: Sequence[Offer], columns: Sequence[Column]) -> list[_Box]:
    """One box for offers with the same limits; its colour is that of the first document's in every chart."""
    same: dict[tuple[Cover, str | None], list[Offer]] = {}
    for offer in offers:
        if not _endless(offer.cover):
            same.setdefault((offer.cover, offer.limits.text if offer.limits else None), []).append(offer)
    return [
        _Box(cover, tuple(members), columns.index(members[0].column) % SERIES) for (cover, _), members in same.items()
    ]


def _extent(covers: Sequence[Cover], uses: Sequence[Fraction]) -> tuple[float, float]:
    years = [cover.years for cover in covers if cover.years is not None]
    caps = [cover.usgal for cover in covers if cover.usgal is not None]
    usgal = max(caps)
    longest = max(years) if years else usgal / uses[1]
    return float(longest) * _MARGIN, float(usgal) * _MARGIN


def _outline(cover: Cover, across: Scale, up: Scale, plot: Rect) -> tuple[str, str, Rect | None, tuple[float, float]]:
    """Kind, path of the edges that end the cover, the filled rectangle, and the point its label belongs to."""
    right = across(cover.years) if cover.years is not None else plot.right
    top = up(cover.usgal) if cover.usgal is not None else plot.y
    whole = Rect(plot.x, top, right - plot.x, plot.bottom - top)
    if cover.open_above:
        return "open-above", f"M{right:.2f} {plot.bottom:.2f}V{plot.y:.2f}", whole, (right, plot.y + 16)
    if cover.open_right:
        return "open-right", f"M{plot.x:.2f} {top:.2f}H{plot.right:.2f}", whole, (plot.right - 16, top)
    if cover.ends == Ends.LAST_OF:
        return "later-of", f"M{right:.2f} {plot.y:.2f}V{top:.2f}H{plot.right:.2f}", None, (right, top)
    return "closed", f"M{plot.x:.2f} {top:.2f}H{right:.2f}V{plot.bottom:.2f}", whole, (right, top)


def _draw(boxes: Sequence[_Box], uses: Sequence[Fraction], across: Scale, up: Scale, plot: Rect) -> list[_Drawing]:
    drawings = []
    for box in boxes:
        kind, outline, rect, corner = _outline(box.cover, across, up, plot)
        css = f"c{box.series}" + (" unconfirmed" if box.unconfirmed else "") + (" earlier" if box.earlier else "")
        drawing = _Drawing(css, _sentence(box), kind, outline, rect, box.cover, corner)
        for use in uses:
            end = end_of(box.cover, use)
            assert end.years is not None and end.usgal is not None
            x, y = across(end.years), up(end.usgal)
            if x <= plot.right and y >= plot.y:
                drawing.marks.append({"x": x, "y": y, "by": end.by, "use": use, "years": end.years})
        drawings.append(drawing)
    return drawings


def _label(
    boxes: Sequence[_Box],
    drawings: Sequence[_Drawing],
    texts: Sequence[Sequence[_Line]],
    uses: Sequence[Fraction],
    across: Scale,
    up: Scale,
    plot: Rect,
) -> float:
    """Put a label near the corner of each box; how far the farthest had to go, infinite where one found no room."""
    farthest = 0.0
    marks = [
        Rect(float(str(mark["x"])) - _MARK, float(str(mark["y"])) - _MARK, 2 * _MARK, 2 * _MARK)
        for drawing in drawings
        for mark in drawing.marks
    ]
    corners = [Rect(drawing.corner[0] - 6, drawing.corner[1] - 6, 12, 12) for drawing in drawings]
    edges = [edge for drawing in drawings for edge in _edges(drawing, plot)]
    fan = [Line(plot.x, plot.bottom, *_exit(use, across, up, plot)) for use in uses]

    def avoid(rect: Rect) -> float:
        return (
            sum(26.0 for mark in marks if rect.overlaps(mark, 1))
            + sum(60.0 for corner in corners if rect.overlaps(corner))
            + sum(11.0 for edge in edges if edge.crosses(rect))
            + sum(4.0 for line in fan if line.crosses(rect))
        )

    wanted = [
        Wanted(
            *drawing.corner,
            max(line.width for line in lines) + 4,
            _LINE_HEIGHT * len(lines) + 4,
        )
        for drawing, lines in zip(drawings, texts, strict=True)
    ]
    # The widest label first: it has the fewest places to go.
    order = sorted(range(len(wanted)), key=lambda index: -wanted[index].width * wanted[index].height)
    room = Rect(plot.x + 6, plot.y + 4, plot.width - 8, plot.height - 8)
    found = place([wanted[index] for index in order], room, avoid=avoid)
    for index, spot in zip(order, found, strict=True):
        if spot is None:
            farthest = inf
            continue
        drawing, box = drawings[index], boxes[index]
        leader = leader_to(spot, *drawing.corner)
        if leader.length > SHORT:
            drawing.leader = leader
            farthest = max(farthest, leader.length)
        to_right = spot.x + spot.width / 2 >= drawing.corner[0]
        x = spot.x + 2 if to_right else spot.right - 2
        anchor = "start" if to_right else "end"
        for row, line in enumerate(texts[index]):
            drawing.texts.append(_Text(x, spot.y + _LINE_HEIGHT * (row + 1) - 2, line, f"{anchor} halo c{box.series}"))
    return farthest


def _list_below(boxes: Sequence[_Box], texts: Sequence[Sequence[_Line]], top: float) -> list[list[_Text]]:
    """Numbered labels in columns under a chart that has no room for them: the next one always goes to the top-most."""
    width = (_WIDTH - 40) / _COLUMNS
    edges = [top] * _COLUMNS
    entries = []
    for number, (box, lines) in enumerate(zip(boxes, texts, strict=True), start=1):
        column = edges.index(min(edges))
        x, y = 20 + column * width, edges[column]
        entry = [_Text(x, y + _LINE_HEIGHT, _Line(bold=f"{number}"), f"start c{box.series}")]
        for row, line in enumerate(lines, start=1):
            entry.append(_Text(x + 26, y + _LINE_HEIGHT * row, line, f"start c{box.series}"))
        edges[column] += _LINE_HEIGHT * (len(lines) + 0.5)
        entries.append(entry)
    return entries


def _edges(drawing: _Drawing, plot: Rect) -> list[Line]:
    x, y = drawing.corner
    if drawing.kind == "open-above":
        return [Line(x, plot.y, x, plot.bottom)]
    if drawing.kind == "open-right":
        return [Line(plot.x, y, plot.right, y)]
    if drawing.kind == "later-of":
        return [Line(x, plot.y, x, y), Line(x, y, plot.right, y)]
    return [Line(plot.x, y, x, y), Line(x, y, x, plot.bottom)]


def _label_lines(box: _Box) -> list[_Line]:
    lines: list[_Line] = []
    for offer in box.offers:
        signs = ([words.UNCONFIRMED] if offer.unconfirmed else []) + (
            ["earlier edition"] if offer.column.earlier else []
        )
        name = in_lines(offer.label, _NAME_SIZE, _NAME_WIDTH, 2, bold=True)
        lines.extend(_Line(bold=line) for line in name[:-1])
        lines.append(_Line(bold=name[-1], plain=", ".join(signs)))
    lines.extend(_Line(plain=line) for line in in_lines(_limits_in_short(box), _TERMS_SIZE, _NAME_WIDTH, 3))
    return lines


def _limits_in_short(box: _Box) -> str:
    offer = box.offers[0]
    if offer.limits is not None:
        return offer.limits.text
    if box.cover.open_above:
        return f"{offer.time.text}, no volume cap ↑"
    if box.cover.open_right:
        return f"{offer.cap.text}, no time limit →"
    rule = {Ends.LAST_OF: ", the later", Ends.UNSTATED: ", no rule stated"}.get(Ends(box.cover.ends), "")
    return f"{offer.time.text} or {offer.cap.text}{rule}"


def _sentence(box: _Box) -> str:
    names = words.joined([offer.label + (" (unconfirmed)" if offer.unconfirmed else "") for offer in box.offers])
    return f"{names}: {box.offers[0].in_short}"


def _description(boxes: Sequence[_Box]) -> str:
    return (
        "Each rectangle is a supplier's cover, its years wide and its volume cap high. Dotted lines are accounts of "
        "steady yearly use; cover ends where a line leaves a rectangle. "
        + ". ".join(_sentence(box) for box in boxes)
        + "."
    )


def _exit(use: Fraction, across: Scale, up: Scale, plot: Rect) -> tuple[float, float]:
    """Where a line of yearly use leaves the plot."""
    at_right = up(float(use) * across.high)
    if at_right >= plot.y:
        return plot.right, at_right
    return across(up.high / float(use)), plot.y


def _use_lines(uses: Sequence[Fraction], across: Scale, up: Scale, plot: Rect, metric: bool) -> list[dict[str, object]]:
    lines: list[dict[str, object]] = []
    for use in uses:
        x, y = _exit(use, across, up, plot)
        lines.append(
            {
                "x": x,
                "y": y,
                "above": y <= plot.y + 0.01,
                "use": use,
                "year": words.use_a_year(use, metric=metric),
                "day": words.use_a_day(use, metric=metric),
            }
        )
    for above in (True, False):
        side = [line for line in lines if line["above"] is above]
        centres = [float(str(line["x" if above else "y"])) for line in side]
        sizes = [
            max(text_width(str(line["year"]), 12.5, bold=True), text_width(str(line["day"]), 11.5)) if above else 30.0
            for line in side
        ]
        low, high = (plot.x - 40, _WIDTH - 6) if above else (plot.y - 4, plot.bottom + 6)
        for line, centre in zip(side, spread(centres, sizes, low, high), strict=True):
            line["label_at"] = centre
    return lines


def _x_ticks(across: Scale) -> list[tuple[float, str]]:
    step = max(1.0, nice_step(across.high, 10)) if across.high > 2 else nice_step(across.high, 8)
    if step == 2.5:
        step = 5.0
    return [(across(value), f"{value:g}") for value in ticks(0, across.high, step)]


def _y_ticks(up: Scale, high: float, unit: Fraction) -> list[tuple[float, str]]:
    size = float(unit)
    return [(up(value * size), f"{value:,.10g}") for value in ticks(0, high / size, nice_step(high / size, 7))]
