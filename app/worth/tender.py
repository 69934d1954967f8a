"""Asks of a tender against what the suppliers promise, as a report; with the tightest asks that enough of them meet.

Formulas: docs/worth.md, "Tender".
"""

from collections.abc import Sequence
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.comparison import Ref, compare
from firstcap.app.report.paper import Cell, Column, Mark, Paper, Section, Table, columns
from firstcap.app.report.rows import Views, load_all
from firstcap.app.worth import offers as shown
from firstcap.app.worth.asks import Answer, Point, Tender, Verdict, answers_of
from firstcap.app.worth.tightest import tightest_parts

_MARKS = {
    Verdict.MET: Mark.GOOD,
    Verdict.CONDITIONAL: Mark.FLAG,
    Verdict.NOT_STATED: Mark.SILENT,
    Verdict.NOT_MET: Mark.BAD,
}


def compliance(tender: Tender, views: Views, *, at_least: int | None = None) -> Paper:
    """The compliance matrix; with `at_least` also the tightest asks that so many suppliers meet."""
    answers = answers_of(tender, views)
    comparison = compare(load_all(views))
    offers = [answer.offer for answer in answers if answer.offer is not None]
    documents = list(dict.fromkeys(answer.document.label for answer in answers))
    sections = [
        Section("At a glance", (_matrix(answers, documents),)),
        Section("Every ask in detail", (_details(answers),)),
    ]
    if at_least is not None:
        sections.append(Section("The tightest asks", tuple(tightest_parts(answers, at_least))))
    return Paper(
        kind="tender",
        title=f"{tender.title}: what the suppliers’ documents answer",
        lead="Each ask set against the document of each supplier: met, met with conditions, not stated or not met.",
        statuses=shown.statuses(list(dict.fromkeys(offers)), comparison),
        sections=tuple(sections),
        assumptions=(
            "“Not stated” means that the document does not say; a supplier may still offer it.",
            "A promise for the whole meter answers an ask for a part, with that condition.",
            "A promise without a volume cap, or for life, meets any ask for volume.",
            "Of several promises of one document the one that answers best is shown.",
        ),
    )


def _matrix(answers: Sequence[Answer], documents: Sequence[str]) -> Table:
    rows = []
    keys = list(dict.fromkeys((answer.ask.name, answer.size) for answer in answers))
    for name, size in keys:
        cells = []
        for label in documents:
            answer = next(a for a in answers if (a.ask.name, a.size, a.document.label) == (name, size, label))
            cells.append(_verdict_cell(answer))
        rows.append((Cell(name), Cell(size or "every size"), *cells))
    heads = tuple(Column(f"document_{number}", label) for number, label in enumerate(documents, 1))
    return Table("matrix", "Compliance", (*columns(("ask", "Ask"), ("size", "Size")), *heads), tuple(rows))


def _verdict_cell(answer: Answer) -> Cell:
    offer = answer.offer
    short = [f"{p.name} {_signed(p.margin)} {p.unit}" for p in answer.points if p.margin is not None and p.margin < 0]
    notes = [p.condition for p in answer.points if p.condition and p.verdict in (Verdict.CONDITIONAL, Verdict.NOT_MET)]
    more = "; ".join(dict.fromkeys([*short, *notes])) or None
    if offer is not None and offer.unconfirmed:
        more = f"{more}; {words.UNCONFIRMED}" if more else words.UNCONFIRMED
    return Cell(answer.verdict.value, mark=_MARKS[answer.verdict], more=more)


def _signed(margin: Fraction) -> str:
    return f"{'+' if margin > 0 else '−' if margin < 0 else '±'}{words.figure(abs(margin))}"


def _details(answers: Sequence[Answer]) -> Table:
    rows = []
    for answer in answers:
        offer = answer.offer
        for point in answer.points or (Point("promise", "", Verdict.NOT_STATED),):
            refs = () if offer is None else (*offer.time.refs, *offer.cap.refs, *offer.rule.refs)
            if offer is not None and point.name.startswith("lower limit"):
                refs = offer.bands_refs
            if offer is not None and point.name.startswith("customer pays"):
                refs = offer.steps_refs or offer.time.refs
            if offer is not None and point.name == "start":
                refs = offer.start.refs
            rows.append(
                (
                    Cell(answer.ask.name),
                    Cell(answer.size or "every size"),
                    Cell(answer.document.label),
                    shown.state(offer) if offer else Cell("—", mark=Mark.SILENT),
                    Cell(f"{point.name}{f', {point.unit}' if point.unit else ''}"),
                    _figure(point.asked),
                    _figure(point.promised),
                    Cell("—", mark=Mark.SILENT) if point.margin is None else Cell(_signed(point.margin), point.margin),
                    Cell(point.verdict.value, mark=_MARKS[point.verdict], more=point.condition),
                    Cell(offer.in_short, places=shown.places(refs)) if offer else Cell("not stated", mark=Mark.SILENT),
                    Cell(quotes) if (quotes := _quotes(refs)) else Cell("—", mark=Mark.SILENT),
                )
            )
    return Table(
        "details",
        "Each value asked for",
        columns(
            ("ask", "Ask"),
            ("size", "Size"),
            ("supplier", "Supplier"),
            ("state", "State"),
            ("value", "Value"),
            ("asked", "Asked"),
            ("promised", "Promised"),
            ("margin", "Margin"),
            ("verdict", "Verdict"),
            ("promise", "The promise"),
            ("quote", "Words of the document"),
        ),
        tuple(rows),
    )


def _quotes(refs: Sequence[Ref]) -> str:
    return " … ".join(dict.fromkeys(f"“{ref.quote}”" for ref in refs if ref.quote))


def _figure(value: Fraction | None) -> Cell:
    return Cell("—", mark=Mark.SILENT) if value is None else Cell(words.figure(value), value)
