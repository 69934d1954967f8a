"""What a table says, as records: each group of cells with its labels and its values, and how two become one."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from firstcap.extract.assembly.credits import CreditTable
from firstcap.extract.assembly.draft import BandDraft, CreditDraft, Found, TimeLimit
from firstcap.extract.assembly.unit import Hit
from firstcap.extract.page import Run, Table, join_runs
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.quantities import FlowRate, Volume
from firstcap.schema.vocabulary import Component, FlowRole, Promise

_LABEL = re.compile(
    r"\b(table|schedule|annex|exhibit|appendix|chart|tableau|tabelle|tabla|cuadro|anlage|part|panel|parte|partie|teil)(?:\s*\.?\s*(?=[\dA-Z]?-?\d)|\s*\.\s*|\s+)"
    r"([A-Z]?-?\d+[A-Z]?|[A-Z]\b|[IVX]+\b|one\b|two\b|three\b|four\b)",
    re.IGNORECASE,
)
_PLACES = {"one": "1", "two": "2", "three": "3", "four": "4", "i": "1", "ii": "2", "iii": "3", "iv": "4"}


@dataclass(slots=True)
class Record:
    """One group of cells: its labels and its values."""

    row: Run
    sizes: Found | None = None
    component: Found | None = None
    product: Found | None = None
    meter_type: Found | None = None
    level: Found | None = None
    promise: Found | None = None
    standard: Found | None = None
    start: Found | None = None
    rule: Found | None = None
    life: Found | None = None
    variant: str | None = None
    times: list[TimeLimit] = field(default_factory=list)
    volumes: list[tuple[Volume, Hit]] = field(default_factory=list)
    flows: dict[FlowRole | str, tuple[FlowRate, Hit]] = field(default_factory=dict)
    bands: list[BandDraft] = field(default_factory=list)
    full: Found | None = None
    credits: list[CreditDraft] = field(default_factory=list)
    remark: Run | None = None
    products: tuple[str, ...] = ()
    parts: tuple[Hit, ...] = ()  # where its label names several parts
    none: bool = False
    unnamed: bool = False  # its label names nothing known, in a table whose other labels name parts
    clash: bool = False
    doubtful: bool = False  # a footnote on its value has a number that was not understood
    column: str = ""  # the heading of its values, where the text uses it as a name ("First Volume")
    columns: tuple[str, ...] = ()  # all such headings of the table
    notes: list[tuple[str, str, int]] = field(default_factory=list)

    @property
    def has_limits(self) -> bool:
        return bool(self.times or self.volumes or self.life)


@dataclass(slots=True)
class Grid:
    """A table as records. `label` is its printed name ("table 1")."""

    block: int
    headings: tuple[int, ...]
    table: Table
    label: str | None
    records: list[Record]
    credits: CreditTable | None = None
    rule: Found | None = None
    start: Found | None = None
    hits: list[Hit] = field(default_factory=list)
    parts: set[Component] = field(default_factory=set)  # of a table of shares: the parts its caption names

    @property
    def has_limits(self) -> bool:
        return self.credits is None and any(record.has_limits for record in self.records)

    @property
    def only_flows(self) -> bool:
        return bool(self.records) and all(not record.has_limits for record in self.records)


def table_label(text: str) -> str | None:
    """The printed name of a table ("table 1", "part 2"), as it stands in its heading or in words that point to it."""
    match = _LABEL.search(text)
    if match is None:
        return None
    number = match.group(2).lower()
    return f"{match.group(1).lower()} {_PLACES.get(number, number)}"


def merged(records: Sequence[Record]) -> list[Record]:
    """Flow columns name no level: they serve every record of their size (and product)."""
    limited = [record for record in records if record.has_limits]
    loose = [record for record in records if not record.has_limits]
    if not limited:
        merged: dict[tuple[object, ...], Record] = {}
        for record in loose:
            key = (
                record.sizes.value if record.sizes else None,
                record.product.value if record.product else None,
                record.meter_type.value if record.meter_type else None,
                record.component.value if record.component else None,
            )
            if key in merged:
                absorb(merged[key], record)
            else:
                merged[key] = record
        return list(merged.values())
    for record in loose:
        for target in limited:
            if _same_row(target, record):
                target.flows.update(record.flows)
                target.bands.extend(band for band in record.bands if band not in target.bands)
    return limited


def without_overlaps(records: Sequence[Record]) -> list[Record]:
    """A size that one row names itself and another only spans ("3/4 to 1 inch") is of the row that names it."""
    for record in records:
        mine = _labels(record)
        taken = {
            label
            for other in records
            if other is not record and len(_labels(other)) < len(mine) and key_of(other)[1:-1] == key_of(record)[1:-1]
            for label in _labels(other)
            if label in mine
        }
        if taken and record.sizes is not None and len(taken) < len(mine):
            record.sizes = replace(record.sizes, value=tuple(label for label in mine if label not in taken))
    return list(records)


def _labels(record: Record) -> tuple[str, ...]:
    value = record.sizes.value if record.sizes is not None else ()
    return tuple(value) if isinstance(value, tuple) else ()


def _same_row(left: Record, right: Record) -> bool:
    def value(found: Found | None) -> object:
        return None if found is None else found.value

    return (
        value(left.sizes) == value(right.sizes)
        and (left.product is None or right.product is None or value(left.product) == value(right.product))
        and left.row.text == right.row.text
    )


def key_of(record: Record) -> tuple[object, ...]:
    def value(found: Found | None) -> object:
        return None if found is None else found.value

    same_row = "" if record.sizes is not None else record.row.text
    promise = None if record.level is not None else value(record.promise)
    accurate = record.level is not None or promise is Promise.ACCURACY or record.sizes is not None
    part = record.component if _component(record.component) is not Component.WHOLE_METER else None
    return (
        value(record.sizes),
        value(part) if accurate else value(record.component),
        value(record.product),
        value(record.meter_type),
        value(record.level),
        promise,
        record.variant,
        record.column,
        same_row,
    )


def _component(found: Found | None) -> Component | None:
    value = None if found is None else found.value
    return value.component if isinstance(value, ComponentSpec) else None


def absorb(known: Record, other: Record) -> None:
    if other.times and not known.times:
        known.times = other.times
        known.full = known.full or other.full
        known.credits = known.credits or other.credits
    if other.volumes and not known.volumes:
        known.volumes = other.volumes
    elif other.volumes and {volume.usgal for volume, _ in other.volumes} != {
        volume.usgal for volume, _ in known.volumes
    }:
        known.clash = True
        said = f"{known.volumes[0][1].mention.text} and {other.volumes[0][1].mention.text}"
        known.notes.append(("other", f"Two columns give this promise different volumes: {said}", other.row.page))
    known.flows.update(other.flows)
    known.bands.extend(band for band in other.bands if band not in known.bands)
    known.notes.extend(other.notes)
    known.doubtful = known.doubtful or other.doubtful
    known.life = known.life or other.life
    for name in ("standard", "rule", "meter_type", "promise"):
        if getattr(known, name) is None:
            setattr(known, name, getattr(other, name))
    if other.start is not None and (known.start is None or (other.start.hit is not None and other.times)):
        known.start = other.start
    if other.row.text != known.row.text and other.row.text not in known.row.text:
        known.row = join_runs([known.row, other.row])
