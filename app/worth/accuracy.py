"""Promised accuracy against the standards: margins at each flow and for each condition, and who promises less.

Formulas and a worked example: docs/worth.md, "Accuracy against the standards".
"""

from collections.abc import Sequence
from decimal import Decimal

from firstcap.app.report import words
from firstcap.app.report.accuracy import accuracy_charts
from firstcap.app.report.comparison import Offer, compare
from firstcap.app.report.paper import NOTHING, Cell, Column, Figure, Mark, Paper, Part, Section, Status, Table, columns
from firstcap.app.report.rows import BaselineRow, Views, load, load_all
from firstcap.app.report.standards import Judged, Measure, condition_of, judge, measure_for
from firstcap.app.worth import offers as shown
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import MeterCondition

BELOW = "below the standard's minimum test flow"


def accuracy(views: Views, *, size: str | None = None, edition: str | None = None) -> Paper:
    """Every promised limit beside the standard's, in percentage points: promised minus standard.

    `edition` names the edition (or class) to measure by where a standard has several; UsageError where none has it.
    Limits known from memory alone are never a measure.
    """
    stack = load_all(views) if size is None else load(views, size)
    editions = sorted({row.edition for row in stack.baselines if row.edition})
    if edition is not None and edition not in editions:
        raise UsageError(f"no edition {edition!r}; the standards here have {', '.join(editions)}")
    comparison = compare(stack)
    held = [offer for offer in comparison.offers if offer.judged]
    lines = [line for offer in held for line in _lines(offer, stack.size, stack.baselines, edition)]
    less = [line for line in lines if line.lacks]
    low = [line for line in lines if line.own.reason and line.own.reason.startswith(BELOW)]
    sections = [Section("Margins at each flow", (_HOW, _margins(lines)))]
    sections.append(Section("Less than the standard", _less(less)))
    sections.append(Section("Below the standard’s minimum flow", _low(low)))
    if size is not None:
        figures = tuple(
            Figure(svg, "Promised limits beside the standard's, flow by flow.") for svg in accuracy_charts(comparison)
        )
        sections.insert(1, Section("Drawn", figures))
    return Paper(
        kind="accuracy",
        title=f"Accuracy against the standards: {f'{comparison.size_words} meters' if size else 'every size'}",
        lead="How much tighter or looser each supplier’s promised accuracy is than what the standard asks of a new, a "
        "rebuilt and a repaired meter.",
        statuses=(*shown.statuses(held, comparison), _verdict(less)),
        sections=tuple(sections),
        assumptions=(
            f"Measured by edition {edition}, where the standard has it."
            if edition
            else "Where a standard has several "
            "editions and the document names none, the default edition of docs/standards.md answers.",
            "A limit is compared only at the same test flow, or within the standard’s range of flow.",
            "Limits held from memory alone are never a measure.",
        ),
        sources=tuple(dict.fromkeys(line.own.against.source for line in lines if line.own.against)),
    )


_HOW = (
    "Margin = promised − standard, in percentage points of true volume. On the lower limit + is stricter on the "
    "meter, on "
    "the upper limit − is stricter. New and rebuilt meters answer to the same limits; a repaired meter to weaker "
    "ones at "
    "minimum flow."
)


class _Line:
    """One promised band with its margins against each condition; `own` is the condition that the promise names."""

    def __init__(
        self, offer: Offer, number: int, judged: dict[MeterCondition, Judged], measures: dict[MeterCondition, Measure]
    ) -> None:
        self.offer = offer
        self.number = number
        self.judged = judged
        self.condition = condition_of(offer.term.accuracy_level)
        self.own = judged[self.condition]
        self.measure = measures[self.condition]

    @property
    def lacks(self) -> bool:
        """Promises less than the standard asks on one side at least."""
        lower, upper = self.own.lower_margin, self.own.upper_margin
        return (lower is not None and lower < 0) or (upper is not None and upper > 0)


def _lines(offer: Offer, size: str, baselines: Sequence[BaselineRow], edition: str | None) -> list[_Line]:
    bands = [judged.band for judged in offer.judged]
    held_for = size or offer.term.size_label or ""
    measures = {
        condition: measure_for(offer.term, bands, held_for, baselines, condition=condition, edition=edition)
        for condition in MeterCondition
    }
    return [
        _Line(offer, number, {c: judge(band, measure) for c, measure in measures.items()}, measures)
        for number, band in enumerate(bands, 1)
    ]


def _flow(line: _Line) -> Cell:
    band = line.own.band
    metric = line.offer.metric
    role = words.spaced(band.flow_role) if band.flow_role else None
    return Cell(words.flows(band.flow_from_usgpm, band.flow_to_usgpm, metric=metric), band.flow_from_usgpm, more=role)


def _points(margin: Decimal | None, *, stricter_up: bool) -> Cell:
    if margin is None:
        return NOTHING
    lacks = margin < 0 if stricter_up else margin > 0
    return Cell(words.points(margin), margin, Mark.BAD if lacks else Mark.PLAIN)


def _head(line: _Line) -> tuple[Cell, ...]:
    offer = line.offer
    return shown.who(offer), shown.size(offer), shown.promised(offer), shown.state(offer)


def _promised(line: _Line) -> Cell:
    band = line.own.band
    basis = None if band.basis == "stated" else f"by reference to {band.basis}"
    return Cell(words.band(band.lower_pct, band.upper_pct), more=basis, places=shown.places(line.offer.bands_refs))


_HEAD = columns(("supplier", "Supplier"), ("size", "Size"), ("promise", "Promise"), ("state", "State"))


def _margins(lines: Sequence[_Line]) -> Table:
    rows = []
    for line in lines:
        against = line.own.against
        asks = (
            Cell(
                words.band(against.lower_pct, against.upper_pct),
                more=f"{line.measure.name}, {line.condition}; {words.spaced(against.certainty)}",
            )
            if against
            else Cell(line.own.reason or "no limit held", mark=Mark.SILENT)
        )
        rows.append(
            (
                *_head(line),
                _flow(line),
                _promised(line),
                asks,
                *(_points(line.judged[condition].lower_margin, stricter_up=True) for condition in MeterCondition),
                _points(line.own.upper_margin, stricter_up=False),
                _told(line),
            )
        )
    return Table(
        "margins",
        "Promised limits against the standard",
        (
            *_HEAD,
            Column("flow", "Flow"),
            Column("promised", "Promised", "% of true volume"),
            Column("standard", "Standard asks", "% of true volume"),
            *(Column(f"margin_{c}", f"Lower limit against {c}", "points") for c in MeterCondition),
            Column("margin_upper", "Upper limit", "points"),
            Column("verdict", "Verdict"),
        ),
        tuple(rows),
    )


def _told(line: _Line) -> Cell:
    if line.own.stricter is None:
        return Cell("no comparison", mark=Mark.SILENT)
    if line.lacks:
        return Cell("less than the standard", mark=Mark.BAD, more=line.own.note)
    return Cell(
        {"the same": "as the standard"}.get(line.own.stricter, "more than the standard"),
        mark=Mark.GOOD,
        more=line.own.note,
    )


def _verdict(less: Sequence[_Line]) -> Status:
    names = list(dict.fromkeys(line.offer.column.label for line in less))
    if not names:
        return Status("No document was found to promise less than the standard it is measured by.")
    return Status(f"{words.counted(len(names), 'document')} with less than the standard: {'; '.join(names)}", open=True)


def _less(lines: Sequence[_Line]) -> tuple[Part, ...]:
    if not lines:
        return ("None of the limits that could be compared is weaker than the standard’s for the same condition.",)
    rows = []
    for line in lines:
        lower = _points(line.own.lower_margin, stricter_up=True)
        rows.append(
            (*_head(line), _flow(line), _promised(line), lower, _points(line.own.upper_margin, stricter_up=False))
        )
    return (
        Table(
            "less_than_the_standard",
            "Promised limits weaker than the standard’s",
            (
                *_HEAD,
                Column("flow", "Flow"),
                Column("promised", "Promised", "% of true volume"),
                Column("margin_lower", "Lower limit", "points"),
                Column("margin_upper", "Upper limit", "points"),
            ),
            tuple(rows),
        ),
    )


def _low(lines: Sequence[_Line]) -> tuple[Part, ...]:
    if not lines:
        return ("No document promises accuracy below the standard’s minimum test flow.",)
    rows = [(*_head(line), _flow(line), _promised(line), Cell(line.offer.in_short)) for line in lines]
    return (
        "The standard asks nothing here; a promise at such a flow is worth having because leaks and trickles run "
        "there.",
        Table(
            "below_minimum_flow",
            "Promises below the standard’s minimum test flow",
            (*_HEAD, Column("flow", "Flow"), Column("promised", "Promised", "% of true volume"), Column("ends", "For")),
            tuple(rows),
        ),
    )
