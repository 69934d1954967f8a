"""A promised accuracy against the standard's limits for the same type, size, condition and flow, in percentage points.

Only limits that were checked are a measure: rows certain `from_memory` are shown with that mark and never compared.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from firstcap.app.report.rows import BandRow, BaselineRow, TermRow
from firstcap.schema.baselines import STANDARDS
from firstcap.schema.vocabulary import AccuracyLevel, Certainty, FlowRole, MeterCondition


@dataclass(frozen=True)
class Judged:
    """A band beside the limit it is measured by.

    Margins are promised minus standard: a lower limit above the standard's and an upper limit below it are stricter.
    `reason` says in words why there is no margin, `note` what to know beside one.
    """

    band: BandRow
    against: BaselineRow | None = None
    lower_margin: Decimal | None = None
    upper_margin: Decimal | None = None
    reason: str | None = None
    note: str | None = None

    @property
    def stricter(self) -> str | None:
        """stricter, weaker, the same, or both: how the band stands to the standard as a whole."""
        sides = [
            side
            for side in (self.lower_margin, None if self.upper_margin is None else -self.upper_margin)
            if side is not None
        ]
        if not sides:
            return None
        if all(side == 0 for side in sides):
            return "the same"
        if min(sides) >= 0:
            return "stricter"
        return "weaker" if max(sides) <= 0 else "stricter on one side, weaker on the other"


@dataclass(frozen=True)
class Measure:
    """The limits one promise is measured by, of one standard and edition; `remembered` are shown, never compared."""

    name: str | None
    limits: tuple[BaselineRow, ...]
    remembered: tuple[BaselineRow, ...] = ()
    reason: str | None = None

    @property
    def certainties(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(row.certainty for row in self.limits))


def condition_of(level: str | None) -> MeterCondition:
    """New-meter limits are the measure of everything but the repaired-meter stage."""
    return MeterCondition.REPAIRED if level == AccuracyLevel.REPAIRED_METER else MeterCondition.NEW


def name_of(row: BaselineRow) -> str:
    return f"{row.standard}, {row.edition}" if row.edition else row.standard


def measure_for(
    term: TermRow,
    bands: Sequence[BandRow],
    size: str,
    baselines: Sequence[BaselineRow],
    *,
    condition: MeterCondition | None = None,
    edition: str | None = None,
) -> Measure:
    """Which standard's limits a promise is measured by: the one its bands name, else the one written for its type.

    `condition` is that of the promise's own level unless given; `edition` rules out the other editions of standards
    that have several.
    """
    if term.meter_type is None:
        return Measure(None, (), reason="the document names no meter type, so no standard can be chosen")
    condition = condition or condition_of(term.accuracy_level)
    fitting = [
        row
        for row in baselines
        if row.condition == condition
        and row.meter_type in (term.meter_type, None)
        and row.size_label in (size, None)
        and _holds_for_size(row, size)
        and (edition is None or row.edition in (edition, None))
    ]
    named = {band.basis for band in bands if band.basis != "stated"}
    checked = [row for row in fitting if row.certainty != Certainty.FROM_MEMORY]
    remembered = [row for row in fitting if row.certainty == Certainty.FROM_MEMORY]
    chosen = _best(checked, named)
    recalled = _best(remembered, named)
    if not chosen:
        reason = f"no checked limits for {condition} {term.meter_type.replace('_', ' ')} meters of this size"
        return Measure(None, (), tuple(recalled), reason=reason)
    return Measure(name_of(chosen[0]), tuple(chosen), tuple(recalled))


def _holds_for_size(row: BaselineRow, size: str) -> bool:
    """Inch sizes are measured by the standards written in inches, DN sizes by the European ones."""
    return row.standard.startswith(("ISO", "EU", "EN", "OIML")) == size.startswith("DN")


def _best(rows: Sequence[BaselineRow], named: set[str]) -> list[BaselineRow]:
    """Rows of one standard and edition: the one named, else the one written for the type, in its default edition."""

    def rank(row: BaselineRow) -> tuple[bool, bool, bool, bool, str, str]:
        known = STANDARDS.get(row.standard)
        default = known.default_edition if known else None
        return (
            row.standard not in named,
            row.meter_type is None,
            not row.standard.startswith("AWWA C"),
            default is not None and row.edition != default,
            row.standard,
            row.edition or "",
        )

    if not rows:
        return []
    first = min(rows, key=rank)
    return [row for row in rows if (row.standard, row.edition) == (first.standard, first.edition)]


def judge(band: BandRow, measure: Measure) -> Judged:
    """One band against the measure: the same flow or a flow within the standard's range, never a neighbouring flow."""
    if band.lower_pct is None and band.upper_pct is None:
        return Judged(band, reason="the document refers to a standard whose limits are not held here")
    if not measure.limits:
        return Judged(band, reason=measure.reason)
    limit, note = _limit_at(band, measure.limits)
    if limit is None:
        return Judged(band, reason=_no_limit(band, measure.limits))
    lower = _difference(band.lower_pct, limit.lower_pct)
    upper = _difference(band.upper_pct, limit.upper_pct)
    return Judged(band, limit, lower, upper, note=note)


def _difference(promised: Decimal | None, asked: Decimal | None) -> Decimal | None:
    return None if promised is None or asked is None else promised - asked


def _limit_at(band: BandRow, limits: Sequence[BaselineRow]) -> tuple[BaselineRow | None, str | None]:
    low, high = band.flow_from_usgpm, band.flow_to_usgpm
    same_role = [row for row in limits if row.flow_role == band.flow_role]
    if low is None or high is None:
        return (
            (same_role[0], "the document names no flow; compared by the name of the flow")
            if same_role
            else (None, None)
        )
    placed = [
        (row, row.flow_from_usgpm, row.flow_to_usgpm)
        for row in (*same_role, *(row for row in limits if row not in same_role))
        if row.flow_from_usgpm is not None and row.flow_to_usgpm is not None
    ]
    for row, first, last in placed:
        if (first, last) == (low, high):
            return row, None
    for row, first, last in placed:
        if first <= low and high <= last:
            return row, "within the standard's range of flow"
    for row, first, last in placed:
        if first < last and low <= first and last <= high:
            return row, "over a wider range of flow than the standard's"
    return next(((row, None) for row in same_role if row.flow_from_usgpm is None), (None, None))


def _no_limit(band: BandRow, limits: Sequence[BaselineRow]) -> str:
    lowest = min((row.flow_from_usgpm for row in limits if row.flow_from_usgpm is not None), default=None)
    below = band.flow_role == FlowRole.EXTENDED_LOW or (
        lowest is not None and band.flow_to_usgpm is not None and band.flow_to_usgpm < lowest
    )
    if below:
        return "below the standard's minimum test flow: the standard asks nothing here"
    return "the standard has no limit at this flow"
