"""A promise while it is being put together: every value with the words it rests on."""

from dataclasses import dataclass, field, replace
from decimal import Decimal

from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns.values import NamedFlow, StartSpec
from firstcap.schema.evidence import Alternative
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.vocabulary import FlowRole, PriceBasis


@dataclass(frozen=True, slots=True)
class Found:
    """A value and where it was found; `inherited` where it comes from another sentence, a heading or a default."""

    value: object
    hit: Hit | None = None
    inherited: bool = False
    pattern: str = ""

    @classmethod
    def of(cls, hit: Hit, value: object | None = None) -> "Found":
        return cls(hit.value if value is None else value, hit, False, hit.mention.pattern)

    def passed_on(self) -> "Found":
        return replace(self, inherited=True)


@dataclass(frozen=True, slots=True)
class TimeLimit:
    """One end in time: a duration, and the start it is counted from where the text says so beside it."""

    duration: Duration
    hit: Hit
    full: Duration | None = None
    start: Found | None = None  # value: StartSpec
    lowered: bool = False


@dataclass(frozen=True, slots=True)
class BandDraft:
    """A percentage band with the flow it holds at, by role, by numbers or by names (Q1 to Q2)."""

    band: PercentBand
    hit: Hit
    role: FlowRole | None = None
    flow: FlowRate | NamedFlow | None = None
    flow_hit: Hit | None = None
    sizes: tuple[str, ...] = ()
    product: str | None = None
    above_minimum: bool = False  # a range that begins at the meter's minimum flow
    at_test_flows: bool = False  # "at intermediate and maximum flow": two test flows, where a table prints both


@dataclass(frozen=True, slots=True)
class CreditDraft:
    from_month: Decimal
    to_month: Decimal
    customer_pays_pct: Decimal
    hit: Hit


@dataclass(slots=True)
class Draft:
    """What one sentence, or one group of table cells, says of one promise."""

    unit: Unit
    scalars: dict[str, Found] = field(default_factory=dict)
    sizes: Found | None = None  # value: tuple of labels
    times: list[TimeLimit] = field(default_factory=list)
    volumes: list[tuple[Volume, Hit]] = field(default_factory=list)
    bands: list[BandDraft] = field(default_factory=list)
    credits: list[CreditDraft] = field(default_factory=list)
    full: Found | None = None  # value: months free of charge
    price_basis: PriceBasis | None = None
    refs: list[Hit] = field(default_factory=list)
    table: bool = False
    rows: list[Hit] = field(default_factory=list)  # the row that a table value was read from
    notes: list[tuple[str, str, int]] = field(default_factory=list)  # warning kind, message, page
    alternatives: list[Alternative] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    per_size_flows: dict[tuple[str, FlowRole | str], FlowRate] = field(default_factory=dict)
    leans_on: str = ""  # the words of the definition that its limits stand in

    def get(self, name: str) -> object | None:
        found = self.scalars.get(name)
        return None if found is None else found.value

    def put(self, name: str, found: Found | None, *, over: bool = False) -> None:
        if found is not None and (over or name not in self.scalars):
            self.scalars[name] = found

    @property
    def complete(self) -> bool:
        return bool(self.times or self.volumes or "life" in self.scalars)

    def start_of(self, index: int) -> StartSpec | None:
        limit = self.times[index] if index < len(self.times) else None
        found = limit.start if limit is not None and limit.start is not None else self.scalars.get("start")
        return found.value if found is not None and isinstance(found.value, StartSpec) else None

    def copy(self) -> "Draft":
        return Draft(
            self.unit,
            dict(self.scalars),
            self.sizes,
            list(self.times),
            list(self.volumes),
            list(self.bands),
            list(self.credits),
            self.full,
            self.price_basis,
            list(self.refs),
            self.table,
            list(self.rows),
            list(self.notes),
            list(self.alternatives),
            list(self.doubts),
            dict(self.per_size_flows),
            self.leans_on,
        )
