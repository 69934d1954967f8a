"""The comparison as a `Paper`: what its PDF and JSON are made from, and comparisons of several sizes at once."""

from collections.abc import Sequence
from decimal import Decimal
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
from firstcap.app.report.standards import Judged

_HEAD = (("supplier", "Supplier"), ("state", "State"))


def comparison_paper(comparisons: Sequence[Comparison]) -> Paper:
    """One report over comparisons of one size each, in their order."""
    several = len(comparisons) > 1
    sections: list[Section] = [Section("Documents", (_documents(comparisons),))]
    for comparison in comparisons:
        mark = f"{comparison.size_words}: " if several else ""
        key = f"{comparison.size}-" if several else ""
        alone = [group for group in comparison.promises if charted(group) or group.is_accuracy]
        for group in alone:
            sections.append(Section(f"{mark}{group.heading}", tuple(_promise(comparison, group, key))))
        others = [group for group in comparison.promises if group not in alone]
        if others:
            heading = f"{mark}{'Other promises' if alone else 'Promises'}"
            sections.append(Section(heading, (_others(comparison, others, key), *_silent(others, key))))
    clauses_tables = [
        _clauses(comparisons, name, family)
        for name, family in (("Exclusions", "exclusions"), ("Duties", "duties"))
        if any(getattr(comparison, family) for comparison in comparisons)
    ]
    if clauses_tables:
        sections.append(Section("Exclusions and duties", (_CLAUSES_READ, *clauses_tables)))
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
    return Cell(value.text, number, places=places(value.refs))


def _who(offer: Offer) -> tuple[Cell, ...]:
    told = [offer.scope, "earlier edition" if offer.column.earlier else None]
    return Cell(offer.column.label, more=" · ".join(part for part in told if part) or None), state_cell(
        offer.term.state
    )


def _documents(comparisons: Sequence[Comparison]) -> Table:
    found = {column.document.document_id: column for one in comparisons for column in one.columns}
    rows = tuple(
        (
            Cell(column.label),
            Cell(column.edition, more="earlier edition" if column.earlier else None),
            Cell(column.document.file_name),
            NOTHING if column.document.pages is None else Cell(str(column.document.pages), column.document.pages),
            Cell(words.spaced(column.document.status)),
        )
        for column in found.values()
    )
    heads = columns(
        ("supplier", "Supplier"), ("edition", "Edition"), ("file", "File"), ("pages", "Pages"), ("status", "Status")
    )
    return Table("documents", "", heads, rows, compact=True)


def _values(comparison: Comparison, offer: Offer) -> tuple[Cell, ...]:
    """Time, cap, rule, break-even, start, proration and remedy of one promise."""
    cap = None if offer.cover.usgal is None else offer.cover.usgal / words.volume_unit(comparison.metric)[0]
    yearly = offer.cover.break_even_per_year
    even = None if yearly is None else yearly / words.volume_unit(comparison.metric)[0]
    months = None if offer.cover.years is None else offer.cover.years * 12
    steps = "; ".join(offer.steps) + (f", {offer.price_basis}" if offer.price_basis else "")
    return (
        _cell(offer.time_limits, months),
        _cell(offer.cap, cap),
        _cell(offer.rule),
        NOTHING if even is None else Cell(words.about(even), even),
        _cell(offer.start),
        Cell(steps, places=places(offer.steps_refs)) if offer.steps else Cell("none stated"),
        _cell(offer.remedy),
    )


def _value_heads(comparison: Comparison) -> tuple[Column, ...]:
    unit = "m³" if comparison.metric else "gal"
    return (
        Column("months", "Time limit", "months"),
        Column("cap", "Volume cap", unit),
        Column("ends", "Which ends first"),
        Column("break_even_year", "Break-even use", f"{unit} a year"),
        *columns(("start", "Starts at"), ("proration", "Proration"), ("remedy", "Remedy")),
    )


def _promise(comparison: Comparison, group: PromiseGroup, key: str) -> list[Part]:
    parts: list[Part] = []
    if charted(group):
        parts.append(Figure(first_cap_svg(comparison, group), f"{group.heading}: years and volume of every supplier."))
    rows = tuple((*_who(offer), *_values(comparison, offer)) for offer in group.offers)
    silent = "; ".join(column.label for column in group.silent)
    note = f"Not stated in: {silent}" if silent else None
    parts.append(Table(f"{key}{group.anchor}", "", (*columns(*_HEAD), *_value_heads(comparison)), rows, note))
    if group.is_accuracy:
        parts.append(_accuracy(comparison, group, key))
    return parts


_BESIDE = (0, 4, 5, 6)  # time, start, proration and remedy: what a promise without a volume cap is told by


def _others(comparison: Comparison, groups: Sequence[PromiseGroup], key: str) -> Table:
    """Promises that time alone ends, all in one table."""
    heads = _value_heads(comparison)
    rows = []
    for group in groups:
        for offer in group.offers:
            values = _values(comparison, offer)
            rows.append((Cell(group.heading), *_who(offer), *(values[place] for place in _BESIDE)))
    return Table(
        f"{key}others",
        "",
        (*columns(("promise", "Promise"), *_HEAD), *(heads[place] for place in _BESIDE)),
        tuple(rows),
    )


def _silent(groups: Sequence[PromiseGroup], key: str) -> tuple[Table, ...]:
    rows = tuple(
        (Cell(group.heading), Cell("; ".join(column.label for column in group.silent)))
        for group in groups
        if group.silent
    )
    heads = columns(("promise", "Promise"), ("documents", "Not stated in"))
    return (Table(f"{key}not-stated", "Documents that say nothing of it", heads, rows),) if rows else ()


def _accuracy(comparison: Comparison, group: PromiseGroup, key: str) -> Table:
    """Each limit once, with everybody who promises it."""
    alike: dict[tuple[object, ...], list[tuple[Offer, Judged]]] = {}
    for offer in group.offers:
        for judged in offer.judged:
            band = judged.band
            name = offer.measure.name if offer.measure else None
            limits = (band.flow_from_usgpm, band.flow_to_usgpm, band.lower_pct, band.upper_pct)
            alike.setdefault((*limits, judged.against, name, judged.reason), []).append((offer, judged))
    rows = []
    for held in alike.values():
        offer, judged = held[0]
        band, against = judged.band, judged.against
        lacks = (judged.lower_margin is not None and judged.lower_margin < 0) or (
            judged.upper_margin is not None and judged.upper_margin > 0
        )
        asks = NOTHING
        if against:
            name = offer.measure.name if offer.measure else None
            asks = Cell(words.band(against.lower_pct, against.upper_pct), more=name)
        refs = dict.fromkeys(ref for one, _ in held for ref in one.bands_refs)
        rows.append(
            (
                Cell("; ".join(dict.fromkeys(one.label for one, _ in held))),
                _states([one for one, _ in held]),
                Cell(
                    words.flows(band.flow_from_usgpm, band.flow_to_usgpm, metric=comparison.metric),
                    band.flow_from_usgpm,
                ),
                Cell(words.band(band.lower_pct, band.upper_pct), places=places(tuple(refs))),
                asks,
                _points(judged.lower_margin),
                _points(judged.upper_margin),
                Cell(judged.stricter or judged.reason or "—", mark=Mark.BAD if lacks else Mark.PLAIN),
            )
        )
    heads = (
        *columns(("supplier", "Promised by"), ("state", "State")),
        Column("flow", "Flow", "gpm"),
        Column("promised", "Promised", "% of true volume"),
        Column("standard", "Standard asks", "% of true volume"),
        Column("margin_lower", "Lower limit", "points"),
        Column("margin_upper", "Upper limit", "points"),
        Column("verdict", "Against the standard"),
    )
    return Table(f"{key}{group.anchor}-limits", "Limits against the standard", heads, tuple(rows))


def _points(margin: Decimal | None) -> Cell:
    return NOTHING if margin is None else Cell(words.points(margin), margin)


def _states(offers: Sequence[Offer]) -> Cell:
    """The state of promises shown in one row: how many of them no person has checked."""
    one_each = {id(offer): offer for offer in offers}.values()
    states = {offer.term.state for offer in one_each}
    if len(states) == 1:
        return state_cell(states.pop())
    unchecked = sum(offer.unconfirmed for offer in one_each)
    if not unchecked:
        return Cell("checked")
    return Cell(f"{words.UNCONFIRMED_SIGN} {unchecked} of {len(one_each)} unconfirmed", mark=Mark.FLAG)


_CLAUSES_READ = (
    "“Yes” means that the document has such a clause: its words stand under “Pages and quotes”. “Not stated” means "
    f"that none was found, not that the supplier pays. {words.UNCONFIRMED_SIGN} marks what no person has checked."
)


def _clauses(comparisons: Sequence[Comparison], name: str, family: str) -> Table:
    """Kinds of clauses by document, over all sizes: a clause is the document's, whatever the size."""
    found: dict[str, dict[str, Value]] = {}
    documents: dict[str, str] = {}
    titles: dict[str, str] = {}
    for comparison in comparisons:
        documents.update({column.document.document_id: column.label for column in comparison.columns})
        lines: Sequence[ClauseLine] = getattr(comparison, family)
        for line in lines:
            titles[line.kind] = line.name
            for column, clause in zip(comparison.columns, line.clauses, strict=True):
                if clause is not None:
                    found.setdefault(line.kind, {})[column.document.document_id] = clause
    rows = []
    for kind, clauses in found.items():
        cells = [_clause(clauses.get(document_id)) for document_id in documents]
        rows.append((Cell(words.capital(titles[kind])), *cells))
    heads = [Column(f"document_{number}", label) for number, label in enumerate(documents.values(), 1)]
    return Table(name.casefold(), name, (Column("kind", "Kind"), *heads), tuple(rows))


def _clause(clause: Value | None) -> Cell:
    if clause is None:
        return SILENT
    sign = f"{words.UNCONFIRMED_SIGN} " if clause.open else ""
    return Cell(f"{sign}{clause.text}", clause.number, places=places(clause.refs))
