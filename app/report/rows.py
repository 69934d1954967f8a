"""The catalogue's public views as typed rows: which documents and promises a comparison for one meter size rests on.

DuckDB hands out doubles; here they become exact decimals again, by their shortest decimal form.
"""

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from datetime import date
from decimal import Decimal
from functools import cache
from types import UnionType
from typing import Any, Protocol, TypeVar, cast, get_args, get_type_hints

from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import SIZE_BY_LABEL, SIZE_LABELS


class Views(Protocol):
    """What reads the public views: `store.catalogue.Catalogue`."""

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]: ...


@dataclass(frozen=True)
class DocumentRow:
    document_id: str
    file_name: str
    supplier: str | None = None
    title: str | None = None
    document_code: str | None = None
    revision: str | None = None
    effective_from: date | None = None
    pages: int | None = None
    text_source: str | None = None
    region: str | None = None
    status: str = "to_confirm"


@dataclass(frozen=True)
class TermRow:
    term_id: str
    document_id: str
    component: str
    promise: str
    ends: str
    product: str | None = None
    meter_type: str | None = None
    size_label: str | None = None
    variant: str | None = None
    accuracy_level: str | None = None
    duration_months: Decimal | None = None
    full_months: Decimal | None = None
    duration_days: int | None = None
    duration_text: str | None = None
    start_event: str | None = None
    start_rule: str | None = None
    volume_cap_usgal: Decimal | None = None
    volume_cap_text: str | None = None
    life_of: str | None = None
    remedy: str | None = None
    state: str = "proposed"


@dataclass(frozen=True)
class LimitRow:
    term_id: str
    limit_no: int
    kind: str
    months: Decimal | None = None
    days: int | None = None
    usgal: Decimal | None = None
    start_event: str | None = None
    limit_text: str | None = None


@dataclass(frozen=True)
class StartRow:
    term_id: str
    start_no: int
    event: str
    plus_months: Decimal = Decimal(0)
    start_text: str | None = None


@dataclass(frozen=True)
class BandRow:
    term_id: str
    basis: str
    flow_role: str | None = None
    flow_from_usgpm: Decimal | None = None
    flow_to_usgpm: Decimal | None = None
    lower_pct: Decimal | None = None
    upper_pct: Decimal | None = None
    band_text: str | None = None


@dataclass(frozen=True)
class CreditRow:
    term_id: str
    from_month: Decimal
    to_month: Decimal
    customer_pays_pct: Decimal
    price_basis: str | None = None
    credit_text: str | None = None


@dataclass(frozen=True)
class ClauseRow:
    """An exclusion or a duty: `days` is of duties only. Of several clauses of a kind, proposed while one of them is."""

    document_id: str
    kind: str
    quote: str | None = None
    days: int | None = None
    state: str = "proposed"


@dataclass(frozen=True)
class WarningRow:
    document_id: str
    kind: str
    message: str
    item_id: str | None = None
    page: int | None = None


@dataclass(frozen=True)
class EvidenceRow:
    item_id: str
    field: str
    page: int
    quote: str | None = None


@dataclass(frozen=True)
class BaselineRow:
    standard: str
    condition: str
    flow_role: str
    source: str
    certainty: str
    edition: str | None = None
    meter_type: str | None = None
    size_label: str | None = None
    flow_from_usgpm: Decimal | None = None
    flow_to_usgpm: Decimal | None = None
    lower_pct: Decimal | None = None
    upper_pct: Decimal | None = None


@dataclass(frozen=True)
class Stack:
    """All rows one comparison is made of. `left_out`: documents not compared, with the reason in words."""

    size: str
    documents: tuple[DocumentRow, ...]
    terms: tuple[TermRow, ...]
    limits: tuple[LimitRow, ...] = ()
    starts: tuple[StartRow, ...] = ()
    bands: tuple[BandRow, ...] = ()
    credits: tuple[CreditRow, ...] = ()
    exclusions: tuple[ClauseRow, ...] = ()
    duties: tuple[ClauseRow, ...] = ()
    warnings: tuple[WarningRow, ...] = ()
    evidence: tuple[EvidenceRow, ...] = ()
    baselines: tuple[BaselineRow, ...] = ()
    left_out: tuple[tuple[DocumentRow, str], ...] = field(default=())


_Row = TypeVar("_Row")


@cache
def _kinds(row: Any) -> tuple[tuple[str, type | None], ...]:
    """The fields of a row, each with the number type its value is brought to; None where it stays as it is."""
    hints = get_type_hints(row)
    kinds: list[tuple[str, type | None]] = []
    for item in fields(row):
        hint = hints[item.name]
        options = get_args(hint) if isinstance(hint, UnionType) else (hint,)
        kinds.append((item.name, next((kind for kind in (Decimal, int) if kind in options), None)))
    return tuple(kinds)


def _typed(row: type[_Row], values: Mapping[str, object]) -> _Row:
    made: dict[str, Any] = {}
    for name, kind in _kinds(cast(Hashable, row)):
        if name not in values:
            continue
        value: Any = values[name]
        if value is not None and kind is Decimal:
            value = Decimal(repr(value)) if isinstance(value, float) else Decimal(str(value))
        elif value is not None and kind is int:
            value = int(value)
        made[name] = value
    return row(**made)


_SIZE_MARKS = str.maketrans({'"': " ", "″": " ", "”": " ", "'": " ", "×": "x", "–": "-", "−": "-", "X": "x"})
_GLYPHS = {"½": "1/2", "⅝": "5/8", "¾": "3/4", "¼": "1/4"}


def size_label(typed: str) -> str:
    """The label a person means: `5/8"`, `5/8 in`, `5/8 x 3/4`, `1½` and `dn 20` are understood; no conversion is made.

    What is no standard label comes back as typed, so that the message about it can quote it.
    """
    text = typed
    for glyph, plain in _GLYPHS.items():
        text = text.replace(glyph, f" {plain}")
    words = text.translate(_SIZE_MARKS).lower().replace("inches", " ").replace("inch", " ").split()
    text = " ".join(word for word in words if word not in {"in", "in."})
    text = text.replace(" x ", "x").replace("dn ", "dn")
    candidate = text.upper() if text.startswith("dn") else "-".join(text.split())
    return candidate if candidate in SIZE_BY_LABEL else typed.strip()


def _list_of(row: Any, source: str, where: str = "true", order: str = "") -> str:
    """All rows of a view as one list, with just the columns of our row."""
    columns = ", ".join(name for name, _ in _kinds(row))
    sort = f" order by {order}" if order else ""
    return f"(select list(x{sort}) from (select {columns} from {source} where {where}) as x)"


_OF_TERM = "term_id in (select term_id from chosen)"
_OF_DOCUMENT = "document_id in (select document_id from chosen)"
_OF_ITEM = "item_id in (select term_id from chosen union all select document_id from chosen)"


_OF_SIZE = (
    "document_id in (select document_id from held where size_label = $1) or document_id not in "
    "(select document_id from held where size_label is not null)"
)


_CLAUSES = (
    "(select document_id, kind, min(days) as days, string_agg(quote, ' … ' order by clause_no) as quote, "
    "case when bool_or(state = 'proposed') then 'proposed' else max(state) end as state "
    "from clauses where family = '{}' group by document_id, kind)"
)


def _query(chosen: str) -> str:
    """Everything in one statement: one look at one state of the catalogue, whatever is written meanwhile."""
    lists = {
        "documents": _list_of(DocumentRow, "documents"),
        "terms": _list_of(TermRow, "held"),
        "limits": _list_of(LimitRow, "limits", _OF_TERM, "x.term_id, x.limit_no"),
        "starts": _list_of(StartRow, "starts", _OF_TERM, "x.term_id, x.start_no"),
        "bands": _list_of(BandRow, "accuracy_bands", _OF_TERM, "x.term_id, x.flow_from_usgpm nulls last, x.flow_role"),
        "credits": _list_of(CreditRow, "credits", _OF_TERM, "x.term_id, x.from_month"),
        "exclusions": _list_of(ClauseRow, _CLAUSES.format("exclusion"), _OF_DOCUMENT, "x.kind"),
        "duties": _list_of(ClauseRow, _CLAUSES.format("duty"), _OF_DOCUMENT, "x.kind"),
        "warnings": _list_of(WarningRow, "warnings", _OF_DOCUMENT, "x.document_id, x.page nulls first, x.kind"),
        "evidence": _list_of(
            EvidenceRow, "evidence", _OF_ITEM, "x.item_id, x.field, x.page, x.top_pt, x.x0_pt"
        ).replace("quote from", "quote, top_pt, x0_pt from"),
        "baselines": _list_of(BaselineRow, "baselines"),
    }
    selected = ", ".join(f"{rows} as {name}" for name, rows in lists.items())
    return (
        "with held as (select * from terms where state <> 'struck'), "
        f"chosen as (select * from held where {chosen}) select {selected}"
    )


def load(views: Views, size: str) -> Stack:
    """The rows for one size. UsageError where the catalogue names no such size, with the sizes it names."""
    label = size_label(size)
    found = _Found(views, _OF_SIZE, [label])
    documents, terms = found.typed(DocumentRow, "documents"), found.typed(TermRow, "terms")
    _check_size(size, label, {term.size_label for term in terms if term.size_label}, bool(documents))
    by_document: dict[str, list[TermRow]] = {document.document_id: [] for document in documents}
    for term in terms:
        by_document[term.document_id].append(term)
    kept: list[TermRow] = []
    compared: list[DocumentRow] = []
    left_out: list[tuple[DocumentRow, str]] = []
    for document in documents:
        promised = by_document[document.document_id]
        chosen = fitting(promised, label)
        if chosen:
            compared.append(document)
            kept.extend(chosen)
        else:
            left_out.append((document, _why_left_out(document, promised)))
    return found.stack(label, compared, kept, left_out)


def load_all(views: Views) -> Stack:
    """The rows of every size: `Stack.size` is empty. UsageError for an empty catalogue."""
    found = _Found(views, "true", [])
    documents, terms = found.typed(DocumentRow, "documents"), found.typed(TermRow, "terms")
    if not documents:
        raise UsageError("the catalogue is empty; read warranty documents into it first: firstcap read FOLDER")
    speaking = {term.document_id for term in terms}
    silent = [(document, _why_left_out(document, [])) for document in documents if document.document_id not in speaking]
    return found.stack("", [document for document in documents if document.document_id in speaking], terms, silent)


class _Found:
    """What the one statement found, typed on demand."""

    def __init__(self, views: Views, chosen: str, parameters: Sequence[object]) -> None:
        (self.found,) = views.rows(_query(chosen), parameters)

    def typed(self, row: type[_Row], name: str) -> list[_Row]:
        return [_typed(row, values) for values in cast(list[dict[str, object]], self.found[name] or [])]

    def stack(
        self,
        size: str,
        documents: Sequence[DocumentRow],
        terms: Sequence[TermRow],
        left_out: Sequence[tuple[DocumentRow, str]],
    ) -> Stack:
        ids = {term.term_id for term in terms} | {document.document_id for document in documents}
        typed = self.typed
        return Stack(
            size=size,
            documents=tuple(newest_first(documents)),
            terms=tuple(terms),
            limits=tuple(typed(LimitRow, "limits")),
            starts=tuple(typed(StartRow, "starts")),
            bands=tuple(typed(BandRow, "bands")),
            credits=tuple(typed(CreditRow, "credits")),
            exclusions=tuple(typed(ClauseRow, "exclusions")),
            duties=tuple(typed(ClauseRow, "duties")),
            warnings=tuple(row for row in typed(WarningRow, "warnings") if row.item_id in ids),
            evidence=tuple(dict.fromkeys(row for row in typed(EvidenceRow, "evidence") if row.item_id in ids)),
            baselines=tuple(typed(BaselineRow, "baselines")),
            left_out=tuple(left_out),
        )


def _check_size(typed: str, label: str, named: set[str], any_document: bool) -> None:
    if label in named or (any_document and not named and label in SIZE_BY_LABEL):
        return
    if not any_document:
        raise UsageError("the catalogue is empty; read warranty documents into it first: firstcap read FOLDER")
    if not named:
        raise UsageError(f"{typed!r} is no meter size; sizes are written as in: {', '.join(SIZE_LABELS)}")
    in_order = [known for known in SIZE_LABELS if known in named] + sorted(named - set(SIZE_LABELS))
    raise UsageError(
        f"no promise in the catalogue names the size {typed!r}; sizes it names: {', '.join(in_order)}. "
        "Inch and DN sizes are different labels and are not converted"
    )


def fitting(terms: Sequence[TermRow], label: str) -> list[TermRow]:
    """A document's promises that hold for `label`: those that name it, and those without a size that can hold for it.

    A promise without a size does not hold where the document names sizes and this is none of them: neither in the whole
    document, nor, where the promise is for one product or one type of meter, among that product's or type's sizes.
    """
    sizes = {term.size_label for term in terms if term.size_label}
    if sizes and label not in sizes:
        return []

    def sizes_of(attribute: str, value: str) -> set[str]:
        return {term.size_label for term in terms if term.size_label and getattr(term, attribute) == value}

    def fits(term: TermRow) -> bool:
        if term.size_label is not None:
            return term.size_label == label
        for attribute in ("product", "meter_type"):
            value = getattr(term, attribute)
            named = sizes_of(attribute, value) if value else set()
            if named and label not in named:
                return False
        return True

    return [term for term in terms if fits(term)]


def _why_left_out(document: DocumentRow, terms: Sequence[TermRow]) -> str:
    if document.status == "failed":
        return "could not be read"
    if not terms:
        return "no promise was found in it"
    named = {term.size_label for term in terms if term.size_label}
    return f"it names other sizes: {', '.join(label for label in SIZE_LABELS if label in named)}"


def newest_first(documents: Sequence[DocumentRow]) -> list[DocumentRow]:
    """By supplier, then by form, then the newest edition first; an edition without a date comes after dated ones."""
    # Sorting is stable: the least important order first.
    ordered = sorted(documents, key=lambda row: (row.revision or "", row.file_name), reverse=True)
    ordered.sort(key=lambda row: row.effective_from or date.min, reverse=True)
    ordered.sort(key=lambda row: (row.supplier is None, (row.supplier or "").casefold(), row.document_code or ""))
    return ordered
