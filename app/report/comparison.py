"""Suppliers side by side for one meter size: the model that pages, spreadsheets, tables and charts are drawn from."""

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.clocks import span
from firstcap.app.report.rows import (
    BandRow,
    ClauseRow,
    CreditRow,
    DocumentRow,
    EvidenceRow,
    LimitRow,
    Stack,
    StartRow,
    TermRow,
    WarningRow,
)
from firstcap.app.report.standards import Judged, Measure, judge, measure_for
from firstcap.schema.vocabulary import SIZE_LABELS, AccuracyLevel, Component, DutyKind, ExclusionKind, Promise
from firstcap.worth.cover import Cover, End, Span, end_of, yearly_uses

CAUTIONS = (
    "This comparison is not legal advice.",
    "The supplier's signed document governs; read it before relying on any value here.",
    "Local codes, adopted standards and licensed or legal practice decide what applies to a meter and to a claim.",
    "Limits of standards are restated from public sources; the adopted edition of the standard itself decides.",
    f"Values marked {words.UNCONFIRMED} were read by the machine and have not been checked by a person.",
    "“Not stated” means that the document does not say; it never means zero.",
    "Figures marked ≈ are rounded or converted; the words of the document stand beside them.",
)


@dataclass(frozen=True)
class Ref:
    """Where a value stands: the page of a file and the words there. `number` counts through the comparison."""

    number: int
    column: "Column"
    what: str
    field: str
    page: int
    quote: str | None
    item: str = ""


@dataclass(frozen=True)
class Value:
    """A value in words, its places, what the document itself says, and the days of a duty as a number.

    `open`: no person has checked it; said of clauses, as the values of a promise share its state.
    """

    text: str
    refs: tuple[Ref, ...] = ()
    written: str | None = None
    number: int | None = None
    open: bool = False

    @property
    def told(self) -> str | None:
        """The document's own words, where they say more than `text`."""
        return None if self.written is None or self.written.casefold() == self.text.casefold() else self.written

    @property
    def stated(self) -> bool:
        return self.text != words.NOT_STATED


@dataclass(frozen=True)
class Column:
    """One document. `label` tells it apart from the others; `earlier` where a newer edition of the form is compared."""

    document: DocumentRow
    label: str
    earlier: bool

    @property
    def supplier(self) -> str:
        return self.document.supplier or "supplier not named"

    @property
    def maker(self) -> str:
        """Who gives the warranty; where no name is printed, the document stands for an unknown one of its own."""
        return self.document.supplier or self.label

    @property
    def edition(self) -> str:
        """Form, revision and effective date as far as they are printed."""
        row = self.document
        parts = [
            row.document_code,
            f"Rev. {row.revision}" if row.revision else None,
            f"effective {row.effective_from.isoformat()}" if row.effective_from else None,
        ]
        return ", ".join(part for part in parts if part) or "no form, revision or date printed"


@dataclass(frozen=True)
class Offer:
    """One term of one document, ready to be shown."""

    column: Column
    metric: bool
    term: TermRow
    cover: Cover
    time: Value
    cap: Value
    rule: Value
    limits: Value | None
    start: Value
    credits: tuple[CreditRow, ...]
    steps: tuple[str, ...]
    steps_refs: tuple[Ref, ...]
    price_basis: str | None
    remedy: Value
    judged: tuple[Judged, ...]
    measure: Measure | None
    bands_refs: tuple[Ref, ...]
    warnings: tuple[WarningRow, ...]
    limit_rows: tuple[LimitRow, ...] = ()
    start_rows: tuple[StartRow, ...] = ()

    @property
    def time_limits(self) -> Value:
        """The time limit, or all limits where the document has several of a kind."""
        return self.limits or self.time

    def span(self, stored_years: Fraction) -> Span:
        """This promise for a meter that lay so long in store; `cover` is that of a meter used at once."""
        return span(self.term, self.limit_rows, self.start_rows, stored_years)

    @property
    def unconfirmed(self) -> bool:
        return self.term.state == "proposed"

    @property
    def state(self) -> str:
        return words.state(self.term.state)

    @property
    def scope(self) -> str:
        """What the promise is limited to beyond the size: product, variant, type; and whether it names the size."""
        term = self.term
        parts = [term.product, term.variant]
        if term.meter_type:
            parts.append(f"{words.spaced(term.meter_type)} meters")
        parts.append(None if term.size_label else "no size named")
        return " · ".join(part for part in parts if part)

    @property
    def label(self) -> str:
        """The document's label, with the product or variant where that is what tells two offers apart."""
        parts = [part for part in (self.term.product, self.term.variant) if part]
        return f"{self.column.label} ({', '.join(parts)})" if parts else self.column.label

    @property
    def cap_otherwise(self) -> str | None:
        """The cap in the unit the comparison does not count in."""
        cap = self.term.volume_cap_usgal
        return None if cap is None else words.volume(cap, metric=not self.metric)

    @property
    def break_even(self) -> str | None:
        return words.break_even(self.cover, metric=self.metric)

    @property
    def in_short(self) -> str:
        """ "5 years or 500,000 gal, whichever comes first"."""
        if self.limits is not None:
            return self.limits.text
        has_time = self.cover.years is not None
        if has_time and self.cover.usgal is not None:
            return f"{self.time.text} or {self.cap.text}, {self.rule.text}"
        if has_time:
            return self.time.text
        return self.time.text if self.cover.usgal is None else self.cap.text


@dataclass(frozen=True)
class PromiseGroup:
    """What all suppliers promise of one component in one way; `silent` are the documents that say nothing of it."""

    component: str
    promise: str
    level: str | None
    offers: tuple[Offer, ...]
    silent: tuple[Column, ...]
    uses: tuple[Fraction, ...]

    @property
    def heading(self) -> str:
        return words.capital(words.promise_words(self.component, self.promise, self.level))

    @property
    def anchor(self) -> str:
        return "-".join(part for part in (self.promise, self.level, self.component) if part).replace("_", "-")

    @property
    def has_cap(self) -> bool:
        return any(offer.cover.usgal is not None for offer in self.offers)

    @property
    def is_accuracy(self) -> bool:
        return self.promise == Promise.ACCURACY

    def of(self, column: Column) -> tuple[Offer, ...]:
        return tuple(offer for offer in self.offers if offer.column is column)

    def ends(self, offer: Offer) -> tuple[End, ...]:
        """When this offer ends for an account of each of `uses`."""
        return tuple(end_of(offer.cover, use) for use in self.uses)


@dataclass(frozen=True)
class ClauseLine:
    """One kind of exclusion or duty over all documents: the clause of each, None where it says nothing of it."""

    kind: str
    name: str
    clauses: tuple[Value | None, ...]


@dataclass(frozen=True)
class Comparison:
    size: str
    columns: tuple[Column, ...]
    promises: tuple[PromiseGroup, ...]
    exclusions: tuple[ClauseLine, ...]
    duties: tuple[ClauseLine, ...]
    refs: tuple[Ref, ...]
    warnings: tuple[tuple[Column, WarningRow], ...]
    left_out: tuple[tuple[DocumentRow, str], ...]

    @property
    def metric(self) -> bool:
        return self.size.startswith("DN")

    @property
    def size_words(self) -> str:
        return self.size if self.metric else f"{self.size} inch"

    @property
    def title(self) -> str:
        return f"Meter warranties compared: {self.size_words}"

    @property
    def offers(self) -> tuple[Offer, ...]:
        return tuple(offer for group in self.promises for offer in group.offers)

    @property
    def unconfirmed(self) -> int:
        return sum(offer.unconfirmed for offer in self.offers)

    @property
    def clauses_told(self) -> str | None:
        """How far exclusions and duties were checked, in one sentence; None where there are none."""
        clauses = [clause for line in (*self.exclusions, *self.duties) for clause in line.clauses if clause]
        if not clauses:
            return None
        unchecked = sum(clause.open for clause in clauses)
        if not unchecked:
            return f"All {len(clauses)} exclusions and duties were checked by a person."
        return f"{words.UNCONFIRMED_SIGN} {unchecked} of {len(clauses)} exclusions and duties unconfirmed."

    @property
    def confirmation(self) -> str:
        """How far the values were checked, in one sentence."""
        total = len(self.offers)
        if not self.unconfirmed:
            return f"All {words.counted(total, 'promise')} were checked by a person."
        return (
            f"{words.UNCONFIRMED_SIGN} {self.unconfirmed} of {words.counted(total, 'promise')} unconfirmed: read by "
            "the machine, not yet checked by a person."
        )

    @property
    def summary(self) -> str:
        return (
            f"{self.size_words}: {words.counted(len(self.columns), 'document')}, "
            f"{words.counted(len(self.offers), 'promise')}, {self.unconfirmed} unconfirmed"
        )


_LEVEL_ORDER = {level.value: place for place, level in enumerate(AccuracyLevel)}
_SIZE_ORDER = {label: place for place, label in enumerate(SIZE_LABELS)}
_COMPONENT_ORDER = {component.value: place for place, component in enumerate(Component)}


def _promise_order(component: str, promise: str, level: str | None) -> tuple[bool, int, int, str]:
    """Accuracy first, by level; then by component."""
    return (
        promise != Promise.ACCURACY,
        _LEVEL_ORDER.get(level or "", len(_LEVEL_ORDER)),
        _COMPONENT_ORDER.get(component, len(_COMPONENT_ORDER)),
        promise,
    )


def _term_order(term: TermRow) -> tuple[object, ...]:
    order = _promise_order(term.component, term.promise, term.accuracy_level)
    size = _SIZE_ORDER.get(term.size_label or "", -1)
    return *order, term.product or "", term.variant or "", size, term.term_id


def compare(stack: Stack) -> Comparison:
    """Put the rows of one size side by side, in the same order whatever the order of the rows."""
    stack = replace(stack, terms=tuple(sorted(stack.terms, key=_term_order)))
    columns = _columns(stack.documents)
    of_document = {column.document.document_id: column for column in columns}
    places = _Places(stack.evidence, stack.terms, columns)
    build = _Builder(stack, of_document, places)

    groups: dict[tuple[str, str, str | None], list[Offer]] = defaultdict(list)
    for term in stack.terms:
        groups[term.component, term.promise, term.accuracy_level].append(build.offer(term))
    column_order = {id(column): place for place, column in enumerate(columns)}
    promises = []
    for (component, promise, level), offers in groups.items():
        offers.sort(key=lambda offer: column_order[id(offer.column)])
        speaking = {id(offer.column) for offer in offers}
        promises.append(
            PromiseGroup(
                component,
                promise,
                level,
                tuple(offers),
                tuple(column for column in columns if id(column) not in speaking),
                yearly_uses([offer.cover for offer in offers], metric=stack.size.startswith("DN")),
            )
        )
    promises.sort(key=lambda group: _promise_order(group.component, group.promise, group.level))
    return Comparison(
        size=stack.size,
        columns=columns,
        promises=tuple(promises),
        exclusions=_clause_lines(
            stack.exclusions, columns, places, "exclusion", [kind.value for kind in ExclusionKind], words.exclusion
        ),
        duties=_clause_lines(stack.duties, columns, places, "duty", [kind.value for kind in DutyKind], words.duty),
        refs=places.all,
        warnings=tuple((of_document[row.document_id], row) for row in stack.warnings),
        left_out=stack.left_out,
    )


def _columns(documents: Sequence[DocumentRow]) -> tuple[Column, ...]:
    """Documents come newest first within a supplier's form; all but the first of a form are earlier editions."""
    of_supplier = Counter(document.supplier for document in documents)
    forms: set[tuple[str, str]] = set()
    columns = []
    for document in documents:
        form = (document.supplier or "", (document.document_code or "").casefold())
        earlier = bool(form[0] and form[1]) and form in forms
        forms.add(form)
        columns.append(Column(document, _label(document, of_supplier[document.supplier] > 1), earlier))
    repeated = {label for label, count in Counter(column.label for column in columns).items() if count > 1}
    return tuple(
        Column(column.document, f"{column.label}, {column.document.file_name}", column.earlier)
        if column.label in repeated
        else column
        for column in columns
    )


def _label(document: DocumentRow, several: bool) -> str:
    if document.supplier is None:
        return f"Supplier not named ({document.file_name})"
    if not several:
        return document.supplier
    mark = f"Rev. {document.revision}" if document.revision else document.document_code
    year = f"({document.effective_from.year})" if document.effective_from else None
    told = " ".join(part for part in (mark, year) if part)
    return f"{document.supplier}, {told}" if told else document.supplier


class _Places:
    """Every place of evidence, numbered in the order of the columns, and looked up by item and field."""

    def __init__(self, evidence: Sequence[EvidenceRow], terms: Sequence[TermRow], columns: Sequence[Column]) -> None:
        term_of = {term.term_id: term for term in terms}
        column_of = {column.document.document_id: column for column in columns}
        place_of = {column.document.document_id: place for place, column in enumerate(columns)}
        order_of = {term.term_id: place for place, term in enumerate(terms)}

        def document_id(row: EvidenceRow) -> str:
            term = term_of.get(row.item_id)
            return term.document_id if term else row.item_id

        known = [row for row in evidence if document_id(row) in column_of]
        known.sort(key=lambda row: (place_of[document_id(row)], order_of.get(row.item_id, -1)))
        self._of: dict[str, list[Ref]] = defaultdict(list)
        refs = []
        for number, row in enumerate(known, start=1):
            term = term_of.get(row.item_id)
            what = "document"
            if term is not None:
                what = words.promise_words(term.component, term.promise, term.accuracy_level)
            ref = Ref(number, column_of[document_id(row)], what, row.field, row.page, row.quote, row.item_id)
            refs.append(ref)
            self._of[row.item_id].append(ref)
        self.all = tuple(refs)

    def of(self, item_id: str, *names: str) -> tuple[Ref, ...]:
        """Places of the first of these fields that has any; a name ending in a point stands for all its numbers.

        Where none of them has, the places of the whole item, so that no value stands without a page.
        """
        held = self._of.get(item_id, [])
        for name in names:
            if name.endswith("."):
                found = [ref for ref in held if ref.field.startswith(name)]
            else:
                found = [ref for ref in held if ref.field == name]
            if found:
                return _one_a_page(found)
        return _one_a_page(held)

    def of_clause(self, document_id: str, family: str, clause: ClauseRow) -> tuple[Ref, ...]:
        """Places of a clause by its kind; where its evidence goes by other names, by its words."""
        held = self._of.get(document_id, [])
        of_kind = [ref for ref in held if ref.field == f"{family}.{clause.kind}"]
        return _one_a_page(of_kind or [ref for ref in held if clause.quote and ref.quote == clause.quote])


def _one_a_page(refs: Iterable[Ref]) -> tuple[Ref, ...]:
    first: dict[int, Ref] = {}
    for ref in refs:
        first.setdefault(ref.page, ref)
    return tuple(first[page] for page in sorted(first))


class _Builder:
    def __init__(self, stack: Stack, of_document: dict[str, Column], places: _Places) -> None:
        self.stack = stack
        self.metric = stack.size.startswith("DN")
        self.of_document = of_document
        self.places = places
        self.limits: dict[str, list[LimitRow]] = defaultdict(list)
        self.starts: dict[str, list[StartRow]] = defaultdict(list)
        self.bands: dict[str, list[BandRow]] = defaultdict(list)
        self.credits: dict[str, list[CreditRow]] = defaultdict(list)
        for limit in stack.limits:
            self.limits[limit.term_id].append(limit)
        for clock in stack.starts:
            self.starts[clock.term_id].append(clock)
        for band in stack.bands:
            self.bands[band.term_id].append(band)
        for step in stack.credits:
            self.credits[step.term_id].append(step)

    def offer(self, term: TermRow) -> Offer:
        at = self.places.of
        limits, steps, bands = self.limits[term.term_id], self.credits[term.term_id], self.bands[term.term_id]
        several = words.limits_in_words(term, limits, metric=self.metric)
        size = self.stack.size or term.size_label or ""
        measure = measure_for(term, bands, size, self.stack.baselines) if bands else None
        return Offer(
            column=self.of_document[term.document_id],
            metric=self.metric,
            term=term,
            cover=span(term, limits, self.starts[term.term_id]).cover,
            time=self._value(
                words.duration(term),
                term,
                ("duration_months", "duration_days", "duration_text", "life_of", "limit.1"),
                term.duration_text,
            ),
            cap=self._value(
                words.cap(term, metric=self.metric),
                term,
                ("volume_cap_usgal", "volume_cap_text", "limit.2"),
                term.volume_cap_text,
            ),
            rule=self._value(words.which_ends_first(term, limits), term, ("ends",), None),
            limits=Value(several, at(term.term_id, "limit.", "duration_months")) if several else None,
            start=self._value(
                words.start(term, self.starts[term.term_id]), term, ("start_event", "start.", "start_rule"), None
            ),
            credits=tuple(steps),
            steps=tuple(words.proration(steps)),
            steps_refs=at(term.term_id, "credit.", "full_months") if steps else (),
            price_basis=words.price_bases(steps),
            remedy=self._value(words.remedy(term.remedy), term, ("remedy",), None),
            judged=tuple(judge(band, measure) for band in bands) if measure else (),
            measure=measure,
            bands_refs=at(term.term_id, "band.") if bands else (),
            warnings=tuple(row for row in self.stack.warnings if row.item_id == term.term_id),
            limit_rows=tuple(limits),
            start_rows=tuple(self.starts[term.term_id]),
        )

    def _value(self, text: str, term: TermRow, fields: tuple[str, ...], written: str | None) -> Value:
        """A value that the document states has its places; what it does not state has none."""
        silent = text in (words.NOT_STATED, "no volume cap", "no time limit")
        return Value(text, () if silent else self.places.of(term.term_id, *fields), written)


def _clause_lines(
    clauses: Sequence[ClauseRow],
    columns: Sequence[Column],
    places: _Places,
    family: str,
    order: Sequence[str],
    name: Callable[[str], str],
) -> tuple[ClauseLine, ...]:
    held: dict[str, dict[str, ClauseRow]] = defaultdict(dict)
    for row in clauses:
        held[row.kind].setdefault(row.document_id, row)
    lines = []
    for kind in sorted(held, key=lambda kind: order.index(kind) if kind in order else len(order)):
        cells: list[Value | None] = []
        for column in columns:
            document_id = column.document.document_id
            clause = held[kind].get(document_id)
            if clause is None:
                cells.append(None)
                continue
            text = f"within {words.counted(clause.days, 'day')}" if clause.days is not None else "yes"
            refs = places.of_clause(document_id, family, clause)
            cells.append(Value(text, refs, clause.quote, clause.days, clause.state == "proposed"))
        lines.append(ClauseLine(kind, name(kind), tuple(cells)))
    return tuple(lines)
