"""The comparison as a spreadsheet: real numbers with their unit in the header, text as text and never as a formula."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import xlsxwriter
from xlsxwriter.exceptions import FileCreateError

from firstcap.app.report import words
from firstcap.app.report.comparison import CAUTIONS, Comparison, Offer, Ref
from firstcap.app.report.first_cap import charted
from firstcap.app.report.page import END_WORDS, field_name, use_name
from firstcap.app.report.standards import Judged


@dataclass(frozen=True)
class Link:
    """Text that leads to a row of another sheet of the workbook."""

    text: str
    sheet: str
    row: int


Value = str | int | Decimal | Fraction | date | Link | None

# Words of a document are text, whatever they begin with.
OPTIONS = {
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
    "default_date_format": "yyyy-mm-dd",
}
_WIDEST = 60
_NARROWEST = 9
# Excel keeps fifteen digits; nine decimals are dust of a conversion.
_PLACES = 9
_MOST_CHARACTERS = 32_767


def write_xlsx(comparison: Comparison, out: Path) -> None:
    """Write the workbook, a sheet a kind of row, evidence and cautions last; OSError where it cannot be written."""
    try:
        _write(comparison, out)
    except FileCreateError as error:
        raise error.args[0] if error.args and isinstance(error.args[0], OSError) else OSError(str(error)) from error


def _write(comparison: Comparison, out: Path) -> None:
    with xlsxwriter.Workbook(str(out), OPTIONS) as book:
        book.set_properties({"title": comparison.title, "comments": " ".join(CAUTIONS[:3])})
        sheets = Sheets(book)
        sheets.add(
            "Comparison", _COMPARISON, (_comparison(offer) for offer in comparison.offers), comparison.confirmation
        )
        sheets.add("Which cap first", _ENDS, _ends(comparison))
        sheets.add("Accuracy", _ACCURACY, _accuracy(comparison))
        sheets.add("Proration", _PRORATION, _proration(comparison))
        sheets.add("Clauses", _CLAUSES, _clauses(comparison))
        sheets.add("Documents", _DOCUMENTS, _documents(comparison))
        sheets.add("Evidence", _EVIDENCE, (_evidence(ref) for ref in comparison.refs))
        sheets.add("Cautions", ("Caution",), ((caution,) for caution in CAUTIONS))


class Sheets:
    """Sheets of one workbook: frozen header, filter, wrapped text; what is unconfirmed stands out."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self.head = book.add_format(
            {"bold": True, "text_wrap": True, "valign": "top", "bottom": 2, "bg_color": "#E2EFEE"}
        )
        self.text = book.add_format({"text_wrap": True, "valign": "top"})
        self.whole = book.add_format({"num_format": "#,##0", "valign": "top"})
        self.fraction = book.add_format({"num_format": "#,##0.0##", "valign": "top"})
        self.day = book.add_format({"num_format": "yyyy-mm-dd", "valign": "top"})
        self.flag = book.add_format({"text_wrap": True, "valign": "top", "bold": True, "bg_color": "#FDF1DC"})
        self.note = book.add_format({"bold": True})

    def add(self, name: str, header: Sequence[str], rows: Iterable[Sequence[Value]], note: str | None = None) -> None:
        sheet = self.book.add_worksheet(name)
        first = 0
        if note:
            sheet.write_string(0, 0, note, self.note)
            first = 1
        widths = [max(_NARROWEST, min(22, len(title))) for title in header]
        for place, title in enumerate(header):
            sheet.write_string(first, place, title, self.head)
        last = first
        for last, row in enumerate(rows, start=first + 1):
            for place, value in enumerate(row):
                self._cell(sheet, last, place, value)
                widths[place] = max(widths[place], min(_WIDEST, len(str(value)) if isinstance(value, str) else 0))
        for place, width in enumerate(widths):
            sheet.set_column(place, place, width + 1)
        sheet.freeze_panes(first + 1, 1)
        if last > first:
            sheet.autofilter(first, 0, last, len(header) - 1)
        sheet.set_landscape()
        sheet.fit_to_pages(1, 0)
        sheet.repeat_rows(first)

    def _cell(self, sheet: Any, row: int, column: int, value: Value) -> None:
        if value is None:
            sheet.write_blank(row, column, None, self.text)
        elif isinstance(value, str):
            style = self.flag if value.startswith(words.UNCONFIRMED_SIGN) else self.text
            sheet.write_string(row, column, value[:_MOST_CHARACTERS], style)
        elif isinstance(value, Link):
            sheet.write_url(row, column, f"internal:'{value.sheet}'!A{value.row}", self.text, value.text)
        elif isinstance(value, date):
            sheet.write_datetime(row, column, value, self.day)
        else:
            number = round(float(value), _PLACES)
            sheet.write_number(row, column, number, self.whole if number == int(number) else self.fraction)


def _pages(*groups: Sequence[Ref]) -> str | None:
    """Pages of the values in a row: "1, 3"."""
    found = sorted({ref.page for refs in groups for ref in refs})
    return ", ".join(map(str, found)) or None


_COMPARISON = (
    "Supplier",
    "State",
    "Promise",
    "Edition",
    "Earlier edition",
    "Scope",
    "Size",
    "Time limit (years)",
    "Time limit (months)",
    "Time limit (days)",
    "Free period (months)",
    "Time limit as written",
    "Volume cap (US gal)",
    "Volume cap (m³)",
    "Volume cap as written",
    "Which ends first",
    "All limits",
    "Break-even use, both caps met on one day (US gal a year)",
    "Break-even use (US gal a day, 365.25 days a year)",
    "Starts at",
    "Proration",
    "Remedy",
    "Warnings",
    "File",
    "Pages",
)


def _comparison(offer: Offer) -> tuple[Value, ...]:
    term, cover = offer.term, offer.cover
    metres = None if term.volume_cap_usgal is None else words.cubic_metres(term.volume_cap_usgal)
    return (
        offer.column.supplier,
        offer.state,
        words.capital(words.promise_words(term.component, term.promise, term.accuracy_level)),
        offer.column.edition,
        "earlier edition" if offer.column.earlier else None,
        offer.scope or None,
        term.size_label or "no size named",
        None if term.duration_months is None else Fraction(term.duration_months) / 12,
        term.duration_months,
        term.duration_days,
        term.full_months,
        term.duration_text if term.duration_text else (offer.time.text if cover.years is None else None),
        term.volume_cap_usgal,
        metres,
        term.volume_cap_text if term.volume_cap_text else (offer.cap.text if cover.usgal is None else None),
        offer.rule.text,
        offer.limits.text if offer.limits else None,
        cover.break_even_per_year,
        cover.break_even_per_day,
        offer.start.text,
        _with_basis(offer),
        offer.remedy.text,
        "; ".join(warning.message for warning in offer.warnings) or None,
        offer.column.document.file_name,
        _pages(offer.time.refs, offer.cap.refs, offer.rule.refs, offer.start.refs, offer.steps_refs),
    )


def _with_basis(offer: Offer) -> str:
    if not offer.steps:
        return "none stated"
    return "; ".join(offer.steps) + (f", {offer.price_basis}" if offer.price_basis else "")


_ENDS = (
    "Supplier",
    "State",
    "Promise",
    "Yearly use",
    "Yearly use (US gal)",
    "Cover ends after (years)",
    "What ends it",
    "Registered by then (US gal)",
)


def _ends(comparison: Comparison) -> Iterable[tuple[Value, ...]]:
    for group in comparison.promises:
        if not charted(group):
            continue
        for offer in group.offers:
            for use, end in zip(group.uses, group.ends(offer), strict=True):
                yield (
                    offer.label,
                    offer.state,
                    group.heading,
                    use_name(use, metric=comparison.metric),
                    use,
                    end.years,
                    END_WORDS[end.by],
                    end.usgal,
                )


_ACCURACY = (
    "Supplier",
    "State",
    "Promise",
    "Flow",
    "Flow from (US gpm)",
    "Flow to (US gpm)",
    "Promised lower limit (% of true volume)",
    "Promised upper limit (% of true volume)",
    "Basis",
    "Standard",
    "Certainty of the standard's limit",
    "Standard's lower limit (%)",
    "Standard's upper limit (%)",
    "Lower margin (percentage points)",
    "Upper margin (percentage points)",
    "Against the standard",
    "Source of the standard's limit",
    "File",
    "Pages",
)


def _accuracy(comparison: Comparison) -> Iterable[tuple[Value, ...]]:
    for offer in comparison.offers:
        for judged in offer.judged:
            yield _judged(offer, judged)


def _judged(offer: Offer, judged: Judged) -> tuple[Value, ...]:
    band, limit = judged.band, judged.against
    term = offer.term
    verdict = "; ".join(part for part in (judged.stricter, judged.note, judged.reason) if part)
    return (
        offer.label,
        offer.state,
        words.capital(words.promise_words(term.component, term.promise, term.accuracy_level)),
        words.spaced(band.flow_role) if band.flow_role else "not named",
        band.flow_from_usgpm,
        band.flow_to_usgpm,
        band.lower_pct,
        band.upper_pct,
        band.basis,
        offer.measure.name if limit and offer.measure else None,
        words.spaced(limit.certainty) if limit else None,
        limit.lower_pct if limit else None,
        limit.upper_pct if limit else None,
        judged.lower_margin,
        judged.upper_margin,
        verdict,
        limit.source if limit else None,
        offer.column.document.file_name,
        _pages(offer.bands_refs),
    )


_PRORATION = (
    "Supplier",
    "State",
    "Promise",
    "From month (included)",
    "To month (excluded)",
    "Customer pays (%)",
    "Of which price",
    "As written",
    "File",
    "Pages",
)


def _proration(comparison: Comparison) -> Iterable[tuple[Value, ...]]:
    for offer in comparison.offers:
        term = offer.term
        for step in offer.credits:
            yield (
                offer.label,
                offer.state,
                words.capital(words.promise_words(term.component, term.promise, term.accuracy_level)),
                step.from_month,
                step.to_month,
                step.customer_pays_pct,
                words.price(step.price_basis),
                step.credit_text,
                offer.column.document.file_name,
                _pages(offer.steps_refs),
            )


_CLAUSES = ("Supplier", "State", "What", "Kind", "Days", "Words of the document", "File", "Pages")


def _clauses(comparison: Comparison) -> Iterable[tuple[Value, ...]]:
    for what, lines in (("exclusion", comparison.exclusions), ("duty", comparison.duties)):
        for line in lines:
            for column, clause in zip(comparison.columns, line.clauses, strict=True):
                if clause is None:
                    continue
                yield (
                    column.label,
                    words.UNCONFIRMED if clause.open else "confirmed",
                    what,
                    line.name,
                    clause.number,
                    clause.written,
                    column.document.file_name,
                    _pages(clause.refs),
                )


_DOCUMENTS = (
    "Supplier",
    "Status",
    "Title",
    "Form",
    "Revision",
    "Effective from",
    "Earlier edition",
    "Region",
    "Pages",
    "Text from",
    "File",
    "Compared",
)


def _documents(comparison: Comparison) -> Iterable[tuple[Value, ...]]:
    compared = [(column.document, column.earlier, "yes") for column in comparison.columns]
    left_out = [(document, False, f"no: {reason}") for document, reason in comparison.left_out]
    for document, earlier, told in (*compared, *left_out):
        yield (
            document.supplier or "not named",
            words.spaced(document.status),
            document.title,
            document.document_code,
            document.revision,
            document.effective_from,
            "earlier edition" if earlier else None,
            document.region,
            document.pages,
            document.text_source,
            document.file_name,
            told,
        )


_EVIDENCE = ("Supplier", "File", "Page", "Of", "Value", "Words on the page")


def _evidence(ref: Ref) -> tuple[Value, ...]:
    document = ref.column.document
    return (ref.column.label, document.file_name, ref.page, words.capital(ref.what), field_name(ref.field), ref.quote)
