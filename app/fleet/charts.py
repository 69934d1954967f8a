"""Pictures of the fleet: how much of it keeps which cover until when, and where its meters stand between the caps."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import date

from firstcap.app.report import words
from firstcap.app.report.comparison import Offer, compare
from firstcap.app.report.first_cap import Fleet, charted, first_cap_svg
from firstcap.app.report.paper import Figure
from firstcap.app.report.plot import Curve, Plot, Spot, plot_svg, round_up
from firstcap.app.report.rows import load
from firstcap.schema.errors import UsageError
from firstcap.schema.units import gallons_per
from firstcap.schema.vocabulary import Component, Promise
from firstcap.store.cover import CoverSums, Loss

_MOST_CURVES = 8
_LONGEST_YEARS = 25
_CELLS = (110, 70)  # of the chart, across and up: what a spot stands for
_MARGIN = 1.05

Kind = tuple[str, str, str | None]


def kind_of(row: Mapping[str, object]) -> Kind:
    level = row["accuracy_level"]
    return str(row["component"]), str(row["promise"]), None if level is None else str(level)


def kind_words(kind: Kind) -> str:
    return words.capital(words.promise_words(*kind))


def losing(kinds: Sequence[Mapping[str, object]], losses: Sequence[Loss], meters: int, day: date) -> Figure | None:
    """The share of the fleet that keeps each cover, by years after the day: a step down where covers end."""
    if not meters:
        return None
    ends: dict[Kind, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for loss in losses:
        ends[(loss.component, loss.promise, loss.accuracy_level)][loss.month] += loss.meters
    now = day.year * 12 + day.month
    last = max((month - now for held in ends.values() for month in held), default=12)
    high = min(_LONGEST_YEARS, round_up(max(1, last) / 12 * _MARGIN))
    curves: list[Curve] = []
    spots: list[Spot] = []
    for row in kinds[:_MOST_CURVES]:
        kind = kind_of(row)
        left = int(str(row["covered"]))
        points = [(0.0, 100 * left / meters)]
        for month, count in sorted(ends[kind].items()):
            left -= count
            at = max(0.0, (month - now + 1) / 12)
            if at <= high:
                points.append((at, 100 * left / meters))
        points.append((high, points[-1][1]))
        unconfirmed = bool(row["unconfirmed"])
        sign = f"{words.UNCONFIRMED_SIGN} " if unconfirmed else ""
        spots.append(_half(sign + _short(kind), points, len(curves), unconfirmed))
        curves.append(Curve("", tuple(points), unconfirmed, steps=True))
    says = f"The share of all {meters:,} meters that keep each cover, by years after {words_of(day)}."
    return Figure(
        plot_svg(
            Plot(
                id="fleet-losing",
                title="How much of the fleet keeps which cover, and until when",
                how="Each line falls where covers end, by time or by volume, as each meter’s own use foretells.",
                says=says,
                x_name=f"years after {words_of(day)}",
                y_name="% of all meters that are covered",
                curves=tuple(curves),
                x_high=high,
                y_high=100,
                y_percent=True,
                spots=tuple(spots),
            )
        ),
        says,
    )


def _short(kind: Kind) -> str:
    """A promise in few words: "New-meter accuracy", "Register, workmanship"."""
    component, promise, _ = kind
    if promise == Promise.ACCURACY and component == Component.WHOLE_METER:
        return kind_words(kind).removesuffix(", whole meter")
    what = "workmanship" if promise == Promise.MATERIALS_WORKMANSHIP else words.spaced(promise)
    return words.capital(f"{words.component_words(component)}, {what}")


def _half(label: str, points: Sequence[tuple[float, float]], colour: int, unconfirmed: bool) -> Spot:
    """A mark where half of what is covered now has ended, or at the end of the line."""
    now = points[0][1]
    x, y = next(((x, y) for x, y in points if y <= now / 2), points[-1])
    if not now:
        return Spot(label, "none covered now", 0.0, 0.0, colour, unconfirmed)
    after = f", half of them until {x:.1f} years on" if y <= now / 2 else ""
    return Spot(label, f"{now:.1f} % now{after}", x, y, colour, unconfirmed)


def standing(sums: CoverSums, size: str) -> Figure | None:
    """The meters of a size on the first-cap chart of its first capped promise; None without that or readings."""
    try:
        comparison = compare(load(sums, size))
    except UsageError:
        return None
    group = next((one for one in comparison.promises if charted(one)), None)
    if group is None:
        return None
    years, usgal = sums.extent(size)
    if years <= 0 and usgal <= 0:
        return None
    extent = years * _MARGIN, usgal * _MARGIN
    reach = _reach(group.offers, extent)
    spots = tuple(sums.spots(size, reach[0] / _CELLS[0], reach[1] / _CELLS[1]))
    count = sum(number for _, _, number in spots)
    says = f"{count:,} {comparison.size_words} meters by years since shipment and volume registered when last read."
    return Figure(first_cap_svg(comparison, group, Fleet(spots, extent, says)), says)


def _reach(offers: Sequence[Offer], extent: tuple[float, float]) -> tuple[float, float]:
    covers = [offer.cover for offer in offers]
    years = [float(cover.years) for cover in covers if cover.years is not None]
    caps = [float(cover.usgal) for cover in covers if cover.usgal is not None]
    return max([*years, extent[0], 1.0]), max([*caps, extent[1], float(gallons_per("m3"))])


def words_of(day: date) -> str:
    return f"{day.day} {day:%B %Y}"
