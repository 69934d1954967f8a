"""The public views told in words: each view's and column's meaning and unit, put into the file as its comments.

What the views compute stands in views.sql; what the values of a list mean in schema/vocabulary.py.
"""

from enum import StrEnum
from functools import cache

from firstcap.schema import claims, fleet
from firstcap.schema import vocabulary as words

_KEYS = {
    "document_id": "SHA-256 of the file's bytes, hex",
    "term_id": "one promise for one meter size; stable over re-reading the same document",
    "supplier": "who gives the warranty; NULL where the warrantor is unnamed",
}
_Meaning = str | tuple[str, type[StrEnum]]

# view -> (meaning, column -> its meaning, with its list of values where it has one)
VIEWS: dict[str, tuple[str, dict[str, _Meaning]]] = {
    "documents": (
        "One row per PDF. NULL means the document does not say",
        {
            "document_id": _KEYS["document_id"],
            "file_name": "base name of the file as read",
            "supplier": _KEYS["supplier"],
            "title": "as printed",
            "document_code": "form or part number printed on it, without the revision",
            "revision": "the bare mark, without Rev., Issue, Edition or Version",
            "effective_from": "printed effective or revision date; the first of the month, or 1 January, if only that",
            "pages": "number of pages",
            "text_source": ("where the words come from", words.TextSource),
            "region": "where it says it applies, as written",
            "status": ("how far a person has been through it", words.DocumentStatus),
            "added_at": "when the file was first read",
        },
    ),
    "terms": (
        "One row per promise, per meter size it names; the latest decision over the latest proposal",
        {
            "term_id": _KEYS["term_id"],
            "document_id": _KEYS["document_id"],
            "supplier": _KEYS["supplier"],
            "product": "model or line as written; NULL when the whole document",
            "meter_type": ("kind of meter; NULL where several share the term", words.MeterType),
            "size_label": "see view sizes; NULL where the promise names no size",
            "component": ("what is covered", words.Component),
            "variant": "material or make that tells apart one component promised differently",
            "promise": ("what is promised", words.Promise),
            "accuracy_level": ("only for accuracy: which limits", words.AccuracyLevel),
            "duration_months": "months; the main time limit, a prorated tail included; NULL where none, or in days",
            "full_months": "months; how long the remedy is free of charge",
            "duration_days": "days; only where the document counts days, which are never turned into months",
            "duration_text": "the duration in the document's words",
            "start_event": ("what starts it", words.StartEvent),
            "start_rule": ("how the clocks of view starts combine", words.StartRule),
            "volume_cap_usgal": "US gallons registered; the volume limit, NULL where there is none",
            "volume_cap_text": "the volume limit in the document's words",
            "ends": ("which limit ends the cover", words.Ends),
            "life_of": ("whose life, where ends = life", words.LifeOf),
            "remedy": ("what is owed on day 1", words.Remedy),
            "state": ("what a person has said to it", words.TermState),
            "confidence": "0 to 1, the machine's",
        },
    ),
    "limits": (
        "Every end of a term, one row each",
        {
            "term_id": _KEYS["term_id"],
            "limit_no": "counts from 1 within the term",
            "kind": ("time or registered volume", words.LimitKind),
            "months": "months from start_event; NULL where the document counts days",
            "days": "days from start_event; only where the document counts days",
            "usgal": "US gallons registered",
            "start_event": ("what this limit counts from", words.StartEvent),
            "limit_text": "the limit in the document's words",
        },
    ),
    "starts": (
        "Every clock that can start a term, one row each",
        {
            "term_id": _KEYS["term_id"],
            "start_no": "counts from 1 within the term",
            "event": ("what starts the clock", words.StartEvent),
            "plus_months": "months after the event",
            "start_text": "the start in the document's words",
        },
    ),
    "accuracy_bands": (
        "What the meter must register, one row per flow",
        {
            "term_id": _KEYS["term_id"],
            "flow_role": ("which flow", words.FlowRole),
            "flow_from_usgpm": "US gallons per minute; equal to flow_to_usgpm for one test flow",
            "flow_to_usgpm": "US gallons per minute",
            "lower_pct": "per cent of true volume registered, at least; NULL where only the other side is given",
            "upper_pct": "per cent of true volume registered, at most; NULL where only the other side is given",
            "basis": "stated where the numbers are printed; otherwise the standard they come from",
            "band_text": "the band in the document's words",
        },
    ),
    "credits": (
        "Prorated remedies, one row per step",
        {
            "term_id": _KEYS["term_id"],
            "from_month": "months since the start event, included",
            "to_month": "months since the start event, excluded",
            "customer_pays_pct": "per cent of the price: 0 is a free replacement, 100 is no cover",
            "price_basis": ("which price", words.PriceBasis),
            "credit_text": "the step in the document's words",
        },
    ),
    "exclusions": (
        "What is not covered, one row per kind per document",
        {
            "document_id": _KEYS["document_id"],
            "kind": ("what is excluded", words.ExclusionKind),
            "quote": "the document's words",
        },
    ),
    "duties": (
        "What a claim asks of the customer, one row per kind per document",
        {
            "document_id": _KEYS["document_id"],
            "kind": ("what must be done", words.DutyKind),
            "days": "days; how soon after discovery, the shortest where several are given",
            "quote": "the document's words",
        },
    ),
    "conditions": (
        "Other clauses worth finding, one row each",
        {
            "document_id": _KEYS["document_id"],
            "kind": ("what the clause settles", words.ConditionKind),
            "quote": "the document's words",
        },
    ),
    "clauses": (
        "Exclusions, duties and other clauses, one row per clause, with what a person has said to each",
        {
            "document_id": _KEYS["document_id"],
            "clause_no": "place among the clauses of the document",
            "family": "exclusion, duty or condition",
            "kind": "of the family: see exclusions, duties and conditions",
            "days": "days; how soon a duty is due after discovery",
            "quote": "the document's words",
            "state": ("what a person has said to it", words.TermState),
        },
    ),
    "warnings": (
        "What a person should look at",
        {
            "document_id": _KEYS["document_id"],
            "item_id": "the term_id, or the document_id, it is about",
            "kind": ("what is the matter", words.WarningKind),
            "page": "page, from 1",
            "message": "what happened and what to do",
        },
    ),
    "evidence": (
        "Where each value stands on the page; one row per box",
        {
            "item_id": "a term_id or a document_id",
            "field": "column of the view it is evidence for, or limit.2, band.1, exclusion.freezing",
            "page": "page, from 1",
            "x0_pt": "PDF points from the page's left edge",
            "top_pt": "PDF points from the page's top",
            "x1_pt": "PDF points from the page's left edge",
            "bottom_pt": "PDF points from the page's top",
            "quote": "the words the value was read from",
            "pattern": "the rule that found it",
            "confidence": "0 to 1, the machine's",
        },
    ),
    "decisions": (
        "The log of every human act; rows are only ever added",
        {
            "decided_at": "when",
            "reviewer": "who",
            "item_id": "a term_id or a document_id",
            "field": "what of it; NULL for all of it",
            "action": ("what was done", words.DecisionAction),
            "old_value": "JSON text",
            "new_value": "JSON text",
            "note": "why, in the reviewer's words",
        },
    ),
    "baselines": (
        "What the published standards ask",
        {
            "standard": "name of the standard",
            "edition": "print or accuracy class; NULL where there is one",
            "meter_type": ("kind of meter; NULL for every type without rows of its own", words.MeterType),
            "size_label": "see view sizes; NULL for every size",
            "condition": ("of the meter tested", words.MeterCondition),
            "flow_role": ("which test flow", words.FlowRole),
            "flow_from_usgpm": "US gallons per minute; NULL where it depends on the meter",
            "flow_to_usgpm": "US gallons per minute; equal to flow_from_usgpm for one test flow",
            "lower_pct": "per cent of true volume registered, at least",
            "upper_pct": "per cent of true volume registered, at most",
            "source": "where the row was read",
            "certainty": ("how sure the row is", words.Certainty),
        },
    ),
    "break_evens": (
        "The use at which both limits of a promise are met on one day, one row per promise with both; "
        "above it the volume comes first",
        {
            "term_id": _KEYS["term_id"],
            "document_id": _KEYS["document_id"],
            "supplier": _KEYS["supplier"],
            "size_label": "see view sizes; NULL where the promise names no size",
            "component": ("what is covered", words.Component),
            "promise": ("what is promised", words.Promise),
            "accuracy_level": ("only for accuracy: which limits", words.AccuracyLevel),
            "ends": ("which limit ends the cover", words.Ends),
            "state": ("what a person has said to it", words.TermState),
            "duration_months": "months; the main time limit; NULL where the document counts days",
            "volume_cap_usgal": "US gallons registered; the volume limit",
            "year_usgal": "US gallons a year",
            "month_usgal": "US gallons a month of a twelfth of a year",
            "day_usgal": "US gallons a day, 365.25 days a year",
        },
    ),
    "accuracy_margins": (
        "Promised limits against the standards' at the same flow or within the standard's range, one row per promised "
        "band and limit of a standard, edition and condition; limits held from memory are no measure",
        {
            "term_id": _KEYS["term_id"],
            "supplier": _KEYS["supplier"],
            "size_label": "of the limit; see view sizes",
            "accuracy_level": ("what the promise names", words.AccuracyLevel),
            "flow_role": ("which flow of the standard", words.FlowRole),
            "flow_from_usgpm": "US gallons per minute, promised",
            "flow_to_usgpm": "US gallons per minute, promised",
            "lower_pct": "per cent of true volume, promised",
            "upper_pct": "per cent of true volume, promised",
            "standard": "name of the standard",
            "edition": "print or accuracy class; NULL where there is one",
            "condition": ("of the meter tested", words.MeterCondition),
            "lower_margin_pct": "per cent points, promised minus standard: below zero is less than the standard asks",
            "upper_margin_pct": "per cent points, promised minus standard: above zero is less than the standard asks",
            "certainty": ("how sure the standard's row is", words.Certainty),
        },
    ),
    "editions": (
        "Documents of one supplier's form in the order of their dates, with the day the next one takes over; documents "
        "without a supplier, a form or a date are not here",
        {
            "document_id": _KEYS["document_id"],
            "supplier": _KEYS["supplier"],
            "document_code": "form or part number printed on it, without the revision",
            "revision": "the bare mark, without Rev., Issue, Edition or Version",
            "effective_from": "printed effective or revision date",
            "superseded_on": "effective date of the next edition; NULL for the newest",
            "next_document_id": "SHA-256 of the next edition; NULL for the newest",
        },
    ),
    "passages": (
        "Every piece of text that something was read from: words of promises, exclusions, duties and conditions",
        {
            "family": "promise, exclusion, duty or condition",
            "kind": "of the family; of a promise its component and what is promised",
            "supplier": _KEYS["supplier"],
            "file_name": "base name of the file as read",
            "document_id": _KEYS["document_id"],
            "text": "the document's words",
            "state": ("of the promise or clause", words.TermState),
            "page": "page, from 1",
            "item_id": "a term_id or a document_id",
            "field": "the field of view evidence that holds the place",
        },
    ),
    "meters": (
        "The utility's own meters, as its list told them last, one row each; names as matched to the catalogue",
        {
            "line_no": "line of the list, the header being line 1",
            "meter_id": "the utility's own number of the meter",
            "supplier": "as the catalogue writes it; NULL where nobody has matched the name, or nothing matches",
            "document_code": "the form its product stands for (a document_id where a document has no code)",
            "product": "as the catalogue writes it; NULL where the form has one product",
            "size_label": "see view sizes",
            "shipped_on": "the day the supplier shipped it",
            "installed_on": "the day it was set",
            "reading_usgal": "US gallons that the register shows",
            "reading_on": "the day of the reading",
            "year_usgal": "US gallons a year, as the list states it",
            "supplier_written": "as the list writes it",
            "product_written": "as the list writes it",
        },
    ),
    "meter_problems": (
        "What of the list of meters could not be used, one row a line and column",
        {
            "line_no": "line of the list, the header being line 1",
            "meter_id": "the utility's own number of the meter; NULL where the line has none",
            "meter_used": "false where the whole line was left out, true where only the value was",
            "kind": ("what is the matter", fleet.LineProblem),
            "column_name": ("which column", fleet.MeterColumn),
            "written": "what the list says there",
        },
    ),
    "meter_cover": (
        "Every promise of every meter today, one row a meter and promise, confirmed promises only; a meter without any "
        "has one row, its term_id NULL. For another day, or with promises still to be confirmed: the macro "
        "meter_cover_on(day, include_proposed := true)",
        {
            "line_no": "line of the list, the header being line 1",
            "meter_id": "the utility's own number of the meter",
            "supplier": "as the catalogue writes it; as the list does where it is not matched",
            "size_label": "of the meter; see view sizes",
            "shipped_on": "the day the supplier shipped it",
            "installed_on": "the day it was set",
            "term_id": "the promise; NULL where the meter has none",
            "document_id": "the edition in force on the day of shipment",
            "component": ("what is covered", words.Component),
            "promise": ("what is promised", words.Promise),
            "accuracy_level": ("only for accuracy: which limits", words.AccuracyLevel),
            "product": "model or line as the document writes it; NULL when the whole document",
            "state": ("of the promise", words.TermState),
            "ends": ("which limit ends the cover", words.Ends),
            "starts_on": "first day of the cover; NULL where it is not known",
            "ends_by_time": "last day of the cover by time; the earliest it can be where a date is not known",
            "ends_by_volume": "last day before the cap is passed, by its use; NULL where none is in sight or known",
            "ends_on": "last day of the cover by both; a forecast where the volume decides",
            "ends_on_earliest": "the earliest that the meter's data support; NULL where nothing bounds it",
            "ends_on_latest": "the latest that the meter's data support; NULL where nothing bounds it",
            "ending_cap": "time, volume or both: what ends the cover; NULL where it has no end or cannot be told",
            "covered": "whether the cover holds on the day; NULL where it cannot be told",
            "doubt": ("why it cannot be told, or why not yet, or why there is no promise", fleet.CoverDoubt),
            "left_months": "whole months from the day to ends_by_time; NULL where that is over or not known",
            "left_usgal": "US gallons left below the cap on the day, by reading and use; 0 where it is passed",
            "assumed": ("what was taken for granted, several after commas", fleet.Assumption),
        },
    ),
    "meter_totals": (
        "How many meters have a promise and are covered today, by supplier, size and year of shipment. For another "
        "day: the macro meter_totals_on(day, include_proposed := true)",
        {
            "supplier": "as the catalogue writes it; as the list does where it is not matched",
            "size_label": "see view sizes",
            "shipped_year": "year of shipment; NULL where the list gives none",
            "component": ("what is covered; NULL for meters without a promise", words.Component),
            "promise": ("what is promised", words.Promise),
            "accuracy_level": ("only for accuracy: which limits", words.AccuracyLevel),
            "meters": "rows of meter_cover: a meter counts once for each promise of this kind",
            "covered": "of them, covered",
            "ended_by_time": "of them, ended, by time or by both limits on one day",
            "ended_by_volume": "of them, ended by volume",
            "not_begun": "of them, those whose cover begins later",
            "cannot_tell": "of them, those of which it cannot be told",
            "unconfirmed": "of them, those by a promise still to be confirmed",
        },
    ),
    "bench_tests": (
        "Results of the test bench as the last list of them told, one row a meter and flow",
        {
            "line_no": "line of the list, the header being line 1",
            "meter_id": "the utility's own number of the meter",
            "tested_on": "the day of the test",
            "flow_usgpm": "US gallons per minute",
            "registered_pct": "per cent of true volume registered, as found",
            "uncertainty_pct": "points of per cent, plus or minus; NULL where none is stated",
            "reading_usgal": "US gallons that the register showed when tested",
        },
    ),
    "bench_findings": (
        "What was made of each bench test when its list was last gone through, one row a meter and flow",
        {
            "line_no": "line of the list, the header being line 1",
            "meter_id": "the utility's own number of the meter",
            "tested_on": "the day of the test",
            "flow_usgpm": "US gallons per minute",
            "registered_pct": "per cent of true volume registered, as found",
            "uncertainty_pct": "points of per cent, plus or minus; NULL where none is stated",
            "call": ("what is said of it", claims.Call),
            "term_id": "the promise that decides; NULL where none speaks of this flow",
            "document_id": "the edition in force on the day of shipment",
            "supplier": _KEYS["supplier"],
            "accuracy_level": ("of that promise: which limits", words.AccuracyLevel),
            "state": ("of that promise", words.TermState),
            "limit_pct": "per cent; the limit it fails or is too close to; NULL where it passes",
            "outside_pct": "chance, in per cent, that the true value lies outside the limits",
            "ended_by": "time or volume, where that cover had ended, or not begun",
            "ended_on": "last day of that cover; about, where volume ended it",
            "why": "the reason in words",
        },
    ),
    "claims": (
        "What was claimed of suppliers, one row an act; rows are only ever added",
        {
            "claim_no": "counts from 1",
            "acted_at": "when",
            "reviewer": "who",
            "action": ("what was done; the last act on a meter and promise holds", claims.ClaimAction),
            "supplier": _KEYS["supplier"],
            "meter_id": "the utility's own number of the meter",
            "term_id": "the promise that is claimed on",
            "document_id": "the edition in force on the day of shipment",
            "tested_on": "the day of the test",
            "flow_usgpm": "US gallons per minute",
            "registered_pct": "per cent of true volume registered",
            "credit_pct": "per cent of the price that the supplier owes",
            "note": "why, in the reviewer's words",
        },
    ),
    "sizes": (
        "Standard meter sizes, for ordering and joining",
        {
            "size_label": "inches without a mark, or DN with millimetres",
            "nominal_mm": "millimetres; pairs inch and DN sizes as is common practice",
            "nominal_inch": "inches, the larger number of a combined size; NULL for DN sizes",
        },
    ),
}


def meaning_of(view: str, column: str) -> str:
    """One column's comment: its meaning, and its values where they are a list."""
    meaning = VIEWS[view][1][column]
    if isinstance(meaning, str):
        return meaning
    text, values = meaning
    return f"{text}: {', '.join(values)}"


@cache
def comments_sql() -> str:
    """COMMENT ON statements for every view and column."""

    def quoted(text: str) -> str:
        return "'" + text.replace("'", "''") + "'"

    lines = []
    for view, (meaning, columns) in VIEWS.items():
        lines.append(f"COMMENT ON VIEW {view} IS {quoted(meaning)};")
        lines.extend(f"COMMENT ON COLUMN {view}.{column} IS {quoted(meaning_of(view, column))};" for column in columns)
    return "\n" + "\n".join(lines) + "\n"
