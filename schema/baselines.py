"""The standards table: what published standards ask, expanded from `baselines.toml`, and the names standards go by.

Limits are per cent of true volume registered, flows US gallons per minute. Every row names its source and how certain
it is; a row made of two sources is as certain as the weaker one.

Which edition answers when a document names none: the standard's `default_edition` in `baselines.toml`; where it has
none, only what all its editions and classes share.
"""

import re
import tomllib
from collections.abc import Iterable, Iterator
from decimal import Decimal
from importlib.resources import files
from typing import Any, Self, TypeVar

from pydantic import Field, model_validator

from firstcap.schema.quantities import Model
from firstcap.schema.vocabulary import SIZE_BY_LABEL, SIZE_LABELS, Certainty, FlowRole, MeterCondition, MeterType


class Baseline(Model):
    """One limit of one standard, as a row of the catalogue's view `baselines`.

    `edition` is the print or the accuracy class the row belongs to; None where the standard has but one here.
    `meter_type` None holds for every type that has no rows of its own, `size_label` None for every size.
    `flow_from_usgpm` and `flow_to_usgpm` are equal for one test flow; None where they depend on the meter (Q1..Q4) or
    could not be checked. `lower_pct`, `upper_pct`: None on a side the standard leaves open.
    """

    standard: str
    edition: str | None = None
    meter_type: MeterType | None = None
    size_label: str | None = None
    condition: MeterCondition
    flow_role: FlowRole
    flow_from_usgpm: Decimal | None = None
    flow_to_usgpm: Decimal | None = None
    lower_pct: Decimal | None = None
    upper_pct: Decimal | None = None
    source: str
    certainty: Certainty

    @model_validator(mode="after")
    def _whole(self) -> Self:
        if self.lower_pct is None and self.upper_pct is None:
            raise ValueError("a limit has at least one side")
        if (self.flow_from_usgpm is None) != (self.flow_to_usgpm is None):
            raise ValueError("a flow has both ends or none")
        if self.size_label is not None and self.size_label not in SIZE_BY_LABEL:
            raise ValueError(f"{self.size_label!r} is no standard size")
        return self

    @property
    def limits(self) -> tuple[Decimal | None, Decimal | None]:
        return self.lower_pct, self.upper_pct

    @property
    def flows(self) -> tuple[Decimal | None, Decimal | None]:
        return self.flow_from_usgpm, self.flow_to_usgpm


class _Table(Model):
    """A table of the TOML file: what it does not know is a mistake in the file."""


class Source(_Table):
    """Where rows were read: a published document, the trade's practice, or memory."""

    document: str
    address: str | None = None
    certainty: Certainty

    def __str__(self) -> str:
        return f"{self.document}; {self.address}" if self.address else self.document

    @model_validator(mode="after")
    def _published_somewhere(self) -> Self:
        if self.address is not None and self.certainty is not Certainty.PUBLISHED:
            raise ValueError(f"{self.document!r}: what stands at an address is published")
        return self


class _Flows(_Table):
    name: str
    source: str
    roles: tuple[FlowRole, ...]
    sizes: dict[str, tuple[Decimal | tuple[Decimal, Decimal], ...]]


class _Limits(_Table):
    edition: str | None = None
    meter_types: tuple[MeterType, ...] = ()
    conditions: tuple[MeterCondition, ...]
    flows: str | None = None
    source: str
    minimum: tuple[str, str] | None = None
    intermediate: tuple[str, str] | None = None
    maximum: tuple[str, str] | None = None
    normal_range: tuple[str, str] | None = None

    def roles(self) -> Iterator[tuple[FlowRole, tuple[Decimal | None, Decimal | None]]]:
        for role in FlowRole:
            pair = getattr(self, role, None)
            if pair is not None:
                lower, upper = (Decimal(side) if side else None for side in pair)
                yield role, (lower, upper)


class Standard(_Table):
    """A standard the table knows: `meter_types` it is written for, none meaning any."""

    name: str
    title: str
    meter_types: tuple[MeterType, ...] = ()
    default_edition: str | None = None
    older_until: int | None = Field(default=None, ge=1900)
    limits: tuple[_Limits, ...]

    @property
    def editions(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(limit.edition for limit in self.limits if limit.edition is not None))

    @model_validator(mode="after")
    def _default_exists(self) -> Self:
        if self.default_edition is not None and self.default_edition not in self.editions:
            raise ValueError(f"{self.name}: the default edition {self.default_edition!r} has no rows")
        return self


class _File(_Table):
    sources: dict[str, Source]
    flows: tuple[_Flows, ...]
    standards: tuple[Standard, ...]


_Value = TypeVar("_Value")
_STRENGTH = (Certainty.PUBLISHED, Certainty.COMMON_PRACTICE, Certainty.FROM_MEMORY)


def _weaker(certainties: Iterable[Certainty]) -> Certainty:
    return max(certainties, key=_STRENGTH.index)


def _load() -> _File:
    text = files("firstcap.schema").joinpath("baselines.toml").read_text(encoding="utf-8")
    return _File.model_validate(tomllib.loads(text))


def _flow_rows(
    table: _File, name: str | None, role: FlowRole
) -> Iterator[tuple[str | None, Decimal | None, Decimal | None, str | None]]:
    """Size, flow from, flow to, key of the source; one empty row where the standard's flows are not tabulated."""
    if name is None:
        yield None, None, None, None
        return
    for flows in table.flows:
        if flows.name == name and role in flows.roles:
            place = flows.roles.index(role)
            for size, values in flows.sizes.items():
                flow = values[place]
                low, high = flow if isinstance(flow, tuple) else (flow, flow)
                yield size, low, high, flows.source


def _expand(table: _File) -> Iterator[Baseline]:
    for standard in table.standards:
        for group in standard.limits:
            for meter_type in group.meter_types or standard.meter_types or (None,):
                for condition in group.conditions:
                    for role, (lower, upper) in group.roles():
                        for size, low, high, flow_source in _flow_rows(table, group.flows, role):
                            limit_source = table.sources[group.source]
                            used = [limit_source]
                            source = str(limit_source)
                            if flow_source is not None and flow_source != group.source:
                                used.append(table.sources[flow_source])
                                source = f"limits: {limit_source} | flow: {used[-1]}"
                            yield Baseline(
                                standard=standard.name,
                                edition=group.edition,
                                meter_type=meter_type,
                                size_label=size,
                                condition=condition,
                                flow_role=role,
                                flow_from_usgpm=low,
                                flow_to_usgpm=high,
                                lower_pct=lower,
                                upper_pct=upper,
                                source=source,
                                certainty=_weaker(part.certainty for part in used),
                            )


def _in_order(row: Baseline) -> tuple[Any, ...]:
    return (
        row.standard,
        row.edition or "",
        row.meter_type or "",
        list(MeterCondition).index(row.condition),
        SIZE_LABELS.index(row.size_label) if row.size_label else -1,
        list(FlowRole).index(row.flow_role),
    )


_FILE = _load()
SOURCES: dict[str, Source] = _FILE.sources
STANDARDS: dict[str, Standard] = {standard.name: standard for standard in _FILE.standards}
BASELINES: tuple[Baseline, ...] = tuple(sorted(_expand(_FILE), key=_in_order))


def bands_for(
    standard: str,
    meter_type: MeterType | None,
    size_label: str | None,
    condition: MeterCondition,
    edition: str | None = None,
) -> tuple[Baseline, ...]:
    """What a standard asks of a meter, one row a flow; empty where that cannot be told without guessing.

    `standard` is a name given by `canonical_standard`, `edition` one given by `edition_named`. A standard written for
    one kind of meter answers for whatever meter a document holds to it; a general one (AWWA M6, NIST HB 44) only for
    the types it has rows for. Where the size, edition or class is not known, a row stands only for limits on which all
    candidates agree, and its size and flow are empty where they differ.
    """
    known = STANDARDS.get(standard)
    if known is None:
        return ()
    rows = [row for row in BASELINES if row.standard == standard and row.condition is condition]
    rows = _of_type(rows, meter_type, known)
    wanted = edition or known.default_edition
    if wanted is not None:
        rows = [row for row in rows if row.edition == wanted]
    if size_label is not None and not size_label.startswith("DN"):
        rows = [row for row in rows if row.size_label in (size_label, None)]
    roles = {role: [row for row in rows if row.flow_role is role] for role in FlowRole}
    agreed = (_agreed(candidates) for candidates in roles.values() if candidates)
    return tuple(row for row in agreed if row is not None)


def _of_type(rows: list[Baseline], meter_type: MeterType | None, standard: Standard) -> list[Baseline]:
    own = [row for row in rows if row.meter_type is meter_type]
    if meter_type is not None and own:
        return own
    if standard.meter_types:
        return rows
    general = [row for row in rows if row.meter_type is None]
    return rows if meter_type is None and general else general


def _agreed(candidates: list[Baseline]) -> Baseline | None:
    """The one row all candidates amount to, without what they differ in; None where their limits differ."""
    first = candidates[0]
    if any(row.limits != first.limits for row in candidates):
        return None
    same_flow = all(row.flows == first.flows for row in candidates)
    # Limits of one edition come from one source: once the flows fall away, the best supported row vouches for them.
    one_source = not same_flow and len({(row.edition, row.meter_type) for row in candidates}) == 1
    strongest = min(candidates, key=lambda row: _STRENGTH.index(row.certainty))
    vouching = [strongest] if one_source else candidates
    return Baseline(
        standard=first.standard,
        edition=_common(row.edition for row in candidates),
        meter_type=_common(row.meter_type for row in candidates),
        size_label=_common(row.size_label for row in candidates),
        condition=first.condition,
        flow_role=first.flow_role,
        flow_from_usgpm=first.flow_from_usgpm if same_flow else None,
        flow_to_usgpm=first.flow_to_usgpm if same_flow else None,
        lower_pct=first.lower_pct,
        upper_pct=first.upper_pct,
        source=" | ".join(dict.fromkeys(row.source for row in vouching)),
        certainty=_weaker(row.certainty for row in vouching),
    )


def _common(values: Iterable[_Value]) -> _Value | None:
    found = set(values)
    return found.pop() if len(found) == 1 else None


# Names as documents print them -> the name of the row. The first that stands in the text wins.
_NAMES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern, re.IGNORECASE), name)
    for pattern, name in (
        (r"(?<![a-z0-9])C\s?[-‐–]?\s?(7[01][0-9])(?![0-9])", "AWWA C{}"),
        (r"(?:AWWA|manual)\W+(?:\w+\W+){0,5}?M\s?[-‐–]?\s?([0-9]{1,2})(?![0-9])", "AWWA M{}"),
        (r"^\W*M\s?[-‐–]?\s?([0-9]{1,2})\W*$", "AWWA M{}"),
        (r"\bISO[\s/-]*4064(?![0-9])", "ISO 4064"),
        (r"\bOIML\W*R\W?49(?![0-9])", "ISO 4064"),
        (r"\b2014/32(?:/E[UC])?\b|\bMID\b|\bmeasuring instruments? directive\b", "EU 2014/32/EU"),
        (r"\b2004/22(?:/E[UC])?\b", "EU 2004/22/EC"),
        (r"\bEN\s?14154(?![0-9])", "EN 14154"),
        (r"\bNMP\s?[-‐–]?\s?0?05(?![0-9])", "NMP 005"),
        (r"\b(?:NIST\W+)?(?:handbook|HB)\s?[-‐–]?\s?44(?![0-9])", "NIST HB 44"),
    )
)
_CLASS = re.compile(r"\b(?:class|classe|clase|klasse)\s*([12]|II?)\b", re.IGNORECASE)
_YEAR = re.compile(r"\bC\s?[-‐–]?\s?7[01][0-9]\s?[-‐–]\s?([0-9]{4}|[0-9]{2})(?![0-9])", re.IGNORECASE)
_CENTURY_TURN = 50  # C700-95 is of 1995, C700-15 of 2015; the series began after 1920 and is never printed that way


def canonical_standard(text: str) -> str | None:
    """The one name of the standard a phrase names, whether or not it has rows here; None where it names none.

    The phrase is a standard's mention, not a page: "M6" alone is the manual only because a caller took it for a
    standard. A class or an edition in the phrase is read by `edition_named`.

    >>> canonical_standard("ANSI/AWWA C700-15"), canonical_standard("OIML R 49-1:2013")
    ('AWWA C700', 'ISO 4064')
    """
    found = [(hit.end(), name.format(*hit.groups())) for pattern, name in _NAMES if (hit := pattern.search(text))]
    return min(found)[1] if found else None


def edition_named(standard: str, text: str) -> str | None:
    """The edition or accuracy class of `standard` that a phrase names, as its rows name it; None where it names none.

    >>> edition_named("ISO 4064", "clase 2"), edition_named("AWWA C700", "AWWA C700-95")
    ('class 2', 'older print')
    """
    known = STANDARDS.get(standard)
    if known is None:
        return None
    if hit := _CLASS.search(text):
        number = len(hit[1]) if hit[1].upper().startswith("I") else int(hit[1])
        for name in (f"class {number}", f"class {'I' * number}"):
            if name in known.editions:
                return name
    if known.older_until is not None and (hit := _YEAR.search(text)):
        year = int(hit[1])
        if year < 100:
            year += 1900 if year >= _CENTURY_TURN else 2000
        return "older print" if year <= known.older_until else known.default_edition
    return None
