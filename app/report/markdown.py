"""The comparison as Markdown: tables that render anywhere and, being padded, also read in a terminal."""

import re
from collections.abc import Iterable, Sequence

from firstcap.app.report import words
from firstcap.app.report.comparison import CAUTIONS, Comparison, Offer, PromiseGroup, Ref, Value
from firstcap.app.report.first_cap import charted
from firstcap.app.report.page import END_MARKS, field_name, use_name
from firstcap.app.report.standards import Judged

# Everything that Markdown or the HTML inside it could take for its own in the words of a document.
_SPECIAL = re.compile(r"([\\`*_{}\[\]<>|#~])")
_DASH = "—"


def plain(text: str) -> str:
    """Words of a document as Markdown that shows just these words, on one line."""
    return _SPECIAL.sub(r"\\\1", " ".join(text.split()))


def table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """A pipe table, its columns padded; the cells are Markdown already."""
    every = [list(header), *(list(row) for row in rows)]
    widths = [max(3, *(len(row[place]) for row in every)) for place in range(len(header))]

    def line(cells: Sequence[str]) -> str:
        return "| " + " | ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)) + " |"

    return [line(every[0]), line(["-" * width for width in widths]), *(line(row) for row in every[1:])]


def markdown(comparison: Comparison) -> str:
    lines = [f"# {comparison.title}", "", f"**{plain(comparison.confirmation)}**", ""]
    if comparison.clauses_told:
        lines += [comparison.clauses_told, ""]
    lines += _documents(comparison)
    for group in comparison.promises:
        lines += _promise(comparison, group)
    lines += _clauses(comparison)
    if comparison.warnings:
        lines += ["## Warnings from reading", ""]
        lines += [
            f"- {plain(column.label)}, {f'page {row.page}' if row.page else 'no page'}: {plain(row.message)}"
            for column, row in comparison.warnings
        ]
        lines.append("")
    lines += _pages(comparison)
    if comparison.left_out:
        lines += ["## Not compared", ""]
        lines += [
            f"- {plain(document.supplier or 'supplier not named')}, {plain(document.file_name)}: {plain(reason)}"
            for document, reason in comparison.left_out
        ]
        lines.append("")
    lines += ["## Cautions", "", *(f"- {caution}" for caution in CAUTIONS), ""]
    return "\n".join(lines)


def _documents(comparison: Comparison) -> list[str]:
    rows = [
        (
            plain(column.supplier),
            plain(column.edition) + (" (earlier edition)" if column.earlier else ""),
            plain(column.document.file_name),
            words.spaced(column.document.status),
        )
        for column in comparison.columns
    ]
    return ["## Documents, newest edition first", "", *table(("Supplier", "Edition", "File", "Status"), rows), ""]


def _pages_of(refs: Sequence[Ref]) -> str:
    return "".join(f" (p. {ref.page})" for ref in refs)


def _value(value: Value) -> str:
    return plain(value.text) + _pages_of(value.refs)


def _clause(clause: Value) -> str:
    return (f"{words.UNCONFIRMED_SIGN} " if clause.open else "") + _value(clause)


def _who(offer: Offer) -> str:
    earlier = " (earlier edition)" if offer.column.earlier else ""
    scope = f", {plain(offer.scope)}" if offer.scope else ""
    return f"{plain(offer.column.label)}{earlier}{scope}"


def _promise(comparison: Comparison, group: PromiseGroup) -> list[str]:
    header = ["Supplier", "State", "Years"]
    if group.has_cap:
        header += ["Volume cap", "Which ends first", "Volume decides the end"]
    header += ["Starts at", "Proration", "Remedy"]
    rows = []
    for offer in group.offers:
        time = _value(offer.time) + (f"; {plain(offer.limits.text)}" if offer.limits else "")
        row = [_who(offer), offer.state, time]
        if group.has_cap:
            otherwise = f", {offer.cap_otherwise}" if offer.cap_otherwise else ""
            row += [plain(offer.cap.text) + otherwise + _pages_of(offer.cap.refs), _value(offer.rule)]
            row.append(offer.break_even or _DASH)
        steps = "; ".join(offer.steps)
        basis = f", {offer.price_basis}" if offer.price_basis else ""
        row += [
            _value(offer.start),
            plain(steps + basis) + _pages_of(offer.steps_refs) if steps else "none stated",
            _value(offer.remedy),
        ]
        rows.append(row)
    lines = [f"## {group.heading}", "", *table(header, rows), ""]
    if group.silent:
        lines += [f"Not stated in: {'; '.join(plain(column.label) for column in group.silent)}", ""]
    if charted(group):
        lines += _ends(comparison, group)
    if group.is_accuracy:
        lines += _accuracy(comparison, group)
    return lines


def _ends(comparison: Comparison, group: PromiseGroup) -> list[str]:
    header = ["Cover ends for an account using", *(use_name(use, metric=comparison.metric) for use in group.uses)]
    rows = []
    for offer in group.offers:
        cells = []
        for end in group.ends(offer):
            cells.append("no fixed end" if end.years is None else f"{words.years_about(end.years)} {END_MARKS[end.by]}")
        rows.append([_who(offer), *cells])
    return [*table(header, rows), "", "● the volume ran out first, □ the years did.", ""]


def _accuracy(comparison: Comparison, group: PromiseGroup) -> list[str]:
    header = ("Supplier", "Flow", "Promised", "Standard asks", "Lower, points", "Upper, points", "Against the standard")
    rows = []
    for offer in group.offers:
        for judged in offer.judged:
            rows.append([_who(offer), *_judged(judged, offer, comparison.metric)])
    return [*table(header, rows), ""] if rows else []


def _judged(judged: Judged, offer: Offer, metric: bool) -> list[str]:
    band, limit = judged.band, judged.against
    role = words.spaced(band.flow_role) if band.flow_role else "flow not named"
    flow = f"{role}, {words.flows(band.flow_from_usgpm, band.flow_to_usgpm, metric=metric)}"
    by = "" if band.basis == "stated" else f" by reference to {plain(band.basis)}"
    promised = words.band(band.lower_pct, band.upper_pct) + by + _pages_of(offer.bands_refs)
    if limit is None or offer.measure is None:
        return [flow, promised, _DASH, _DASH, _DASH, plain(judged.reason or _DASH)]
    return [
        flow,
        promised,
        words.band(limit.lower_pct, limit.upper_pct),
        words.points(judged.lower_margin),
        words.points(judged.upper_margin),
        f"{judged.stricter or _DASH}: {offer.measure.name} ({words.spaced(limit.certainty)})",
    ]


def _clauses(comparison: Comparison) -> list[str]:
    lines: list[str] = []
    for name, kinds in (("Exclusions", comparison.exclusions), ("Duties", comparison.duties)):
        if not kinds:
            continue
        header = ["Kind", *(plain(column.label) for column in comparison.columns)]
        rows = [
            [words.capital(kind.name), *(_clause(clause) if clause else words.NOT_STATED for clause in kind.clauses)]
            for kind in kinds
        ]
        lines += [f"## {name}", "", *table(header, rows), ""]
    return lines


def _pages(comparison: Comparison) -> list[str]:
    rows = [
        (
            plain(ref.column.document.file_name),
            str(ref.page),
            plain(ref.what),
            plain(field_name(ref.field)),
            f"“{plain(ref.quote)}”" if ref.quote else _DASH,
        )
        for ref in comparison.refs
    ]
    return ["## Pages and quotes", "", *table(("File", "Page", "Of", "Value", "Words on the page"), rows), ""]
