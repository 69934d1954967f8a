"""The comparison as a `Paper`: what its PDF and JSON are made from, and comparisons of several sizes at once."""

from collections.abc import Sequence
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.comparison import CAUTIONS, ClauseLine, Comparison, Offer, PromiseGroup, Ref, Value
from firstcap.app.report.first_cap import charted, first_cap_svg
from firstcap.app.report.page import field_name
from firstcap.app.report.paper import (
    NOTHING,
    SILENT,
    Cell,
    Column,
    Figure,
    Mark,
    Paper,
    Part,
    Place,
    Section,
    Status,
    Table,
    columns,
    confirmation,
    state_cell,
)

_HEAD = (("supplier", "Supplier"), ("state", "State"), ("scope", "Scope"))


def comparison_paper(comparisons: Sequence[Comparison]) -> Paper:
    """One report over comparisons of one size each, in their order."""
    several = len(comparisons) > 1
    sections: list[Section] = []
    for comparison in comparisons:
        mark = f"{comparison.size_words}: " if several else ""
        key = f"{comparison.size}-" if several else ""
        for group in comparison.promises:
            sections.append(Section(f"{mark}{group.heading}", tuple(_promise(comparison, group, key))))
        for name, lines in (("Exclusions", comparison.exclusions), ("Duties", comparison.duties)):
            if lines:
                sections.append(Section(f"{mark}{name}", (_clauses(comparison, name, lines, key),)))
    offers = [offer for comparison in comparisons for offer in comparison.offers]
    sizes = words.joined([comparison.size_words for comparison in comparisons])
    left_out = {row.file_name: reason for one in comparisons for row, reason in one.left_out}
    told = "; ".join(f"{name}: {reason}" for name, reason in left_out.items())
    clauses = dict.fromkeys(
        f"{f'{one.size_words}: ' if several else ''}{one.clauses_told}" for one in comparisons if one.clauses_told
    )
    return Paper(
        kind="comparison",
        title=f"Meter warranties compared: {sizes}",
        lead="What each supplier promises, for how many years and how much registered water, and which of the two ends "
        "first.",
        statuses=(
            confirmation(sum(offer.unconfirmed for offer in offers), len(offers)),
            *(Status(text, open=words.UNCONFIRMED_SIGN in text) for text in clauses),
            *((Status(f"Left out: {told}", open=True),) if told else ()),
        ),
        sections=tuple(sections),
        cautions=CAUTIONS,
    )


def places(refs: Sequence[Ref]) -> tuple[Place, ...]:
    """The places of evidence as a report shows them."""
    return tuple(
        Place(
            ref.column.document.file_name,
            ref.page,
            ref.quote,
            ref.item,
            ref.field,
            f"{words.capital(ref.what)}: {field_name(ref.field)}, {ref.column.label}",
        )
        for ref in refs
    )


def _cell(value: Value, number: Fraction | None = None) -> Cell:
    if not value.stated:
        return SILENT
    return Cell(value.text, number, more=f"“{value.told}”" if value.told else None, places=places(value.refs))


def _who(offer: Offer) -> tuple[Cell, ...]:
    edition = f"{offer.column.edition}{' · earlier edition' if offer.column.earlier else ''}"
    return (
        Cell(offer.column.supplier, more=edition),
        state_cell(offer.term.state),
        Cell(offer.scope) if offer.scope else NOTHING,
    )


def _promise(comparison: Comparison, group: PromiseGroup, key: str) -> list[Part]:
    parts: list[Part] = []
    if charted(group):
        parts.append(Figure(first_cap_svg(comparison, group), f"{group.heading}: years and volume of every supplier."))
    unit = "m³" if comparison.metric else "gal"
    rows = []
    for offer in group.offers:
        cap = None if offer.cover.usgal is None else offer.cover.usgal / words.volume_unit(comparison.metric)[0]
        yearly = offer.cover.break_even_per_year
        even = None if yearly is None else yearly / words.volume_unit(comparison.metric)[0]
        months = None if offer.cover.years is None else offer.cover.years * 12
        steps = "; ".join(offer.steps) + (f", {offer.price_basis}" if offer.price_basis else "")
        rows.append(
            (
                *_who(offer),
                _cell(offer.time, months),
                _cell(offer.cap, cap),
                _cell(offer.rule),
                NOTHING if even is None else Cell(words.about(even), even),
                _cell(offer.start),
                Cell(steps, places=places(offer.steps_refs)) if offer.steps else Cell("none stated"),
                _cell(offer.remedy),
            )
        )
    heads = (
        *columns(*_HEAD),
        Column("months", "Time limit", "months"),
        Column("cap", "Volume cap", unit),
        Column("ends", "Which ends first"),
        Column("break_even_year", "Break-even use", f"{unit} a year"),
        *columns(("start", "Starts at"), ("proration", "Proration"), ("remedy", "Remedy")),
    )
    silent = "; ".join(column.label for column in group.silent)
    note = f"Not stated in: {silent}" if silent else None
    parts.append(Table(f"{key}{group.anchor}", "", heads, tuple(rows), note))
    if group.is_accuracy:
        parts.append(_accuracy(comparison, group, key))
    return parts


def _accuracy(comparison: Comparison, group: PromiseGroup, key: str) -> Table:
    rows = []
    for offer in group.offers:
        for judged in offer.judged:
            band, against = judged.band, judged.against
            lacks = (judged.lower_margin is not None and judged.lower_margin < 0) or (
                judged.upper_margin is not None and judged.upper_margin > 0
            )
            asks = (
                Cell(
                    words.band(against.lower_pct, against.upper_pct), more=offer.measure.name if offer.measure else None
                )
                if against
                else NOTHING
            )
            rows.append(
                (
                    *_who(offer),
                    Cell(
                        words.flows(band.flow_from_usgpm, band.flow_to_usgpm, metric=comparison.metric),
                        band.flow_from_usgpm,
                    ),
                    Cell(words.band(band.lower_pct, band.upper_pct), places=places(offer.bands_refs)),
                    asks,
                    NOTHING
                    if judged.lower_margin is None
                    else Cell(words.points(judged.lower_margin), judged.lower_margin),
                    NOTHING
                    if judged.upper_margin is None
                    else Cell(words.points(judged.upper_margin), judged.upper_margin),
                    Cell(judged.stricter or judged.reason or "—", mark=Mark.BAD if lacks else Mark.PLAIN),
                )
            )
    heads = (
        *columns(*_HEAD),
        Column("flow", "Flow", "gpm"),
        Column("promised", "Promised", "% of true volume"),
        Column("standard", "Standard asks", "% of true volume"),
        Column("margin_lower", "Lower limit", "points"),
        Column("margin_upper", "Upper limit", "points"),
        Column("verdict", "Against the standard"),
    )
    return Table(f"{key}{group.anchor}-limits", "Limits against the standard", heads, tuple(rows))


def _clauses(comparison: Comparison, name: str, lines: Sequence[ClauseLine], key: str) -> Table:
    rows = []
    for line in lines:
        for column, clause in zip(comparison.columns, line.clauses, strict=True):
            if clause is not None:
                told = Cell(clause.written or clause.text, clause.number, places=places(clause.refs))
                state = Cell(words.UNCONFIRMED, mark=Mark.FLAG) if clause.open else Cell("confirmed")
                rows.append((Cell(words.capital(line.name)), Cell(column.label), state, told))
    heads = columns(("kind", "Kind"), ("supplier", "Supplier"), ("state", "State"), ("words", "Words of the document"))
    return Table(f"{key}{name.casefold()}", "", heads, tuple(rows))
