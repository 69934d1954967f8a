"""Values with their unit and the words they were written in. Exact decimals; floats begin only inside DuckDB.

A point, a closed range, a lower-only and an upper-only band are different things and are never averaged.
"""

from decimal import Decimal
from fractions import Fraction
from typing import Self

from pydantic import BaseModel, ConfigDict, model_validator

from firstcap.schema.units import FLOW_UNITS, VOLUME_UNITS, as_decimal, gallons_per, gpm_per


class Model(BaseModel):
    """Frozen, strict about unknown fields; decimals travel as strings in JSON."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Duration(Model):
    """Calendar months, or days where the document counts days: days are never turned into months."""

    months: Decimal | None = None
    days: int | None = None
    text: str = ""

    @model_validator(mode="after")
    def _one_kind(self) -> Self:
        if (self.months is None) == (self.days is None):
            raise ValueError("a duration is counted in months or in days, exactly one of them")
        return self


class Volume(Model):
    """A registered volume: `value` in `unit` (a key of VOLUME_UNITS), as printed in `text`."""

    value: Decimal
    unit: str
    text: str = ""

    @model_validator(mode="after")
    def _known_unit(self) -> Self:
        if self.unit not in VOLUME_UNITS:
            raise ValueError(f"unknown unit of volume {self.unit!r}; known: {', '.join(VOLUME_UNITS)}")
        return self

    @property
    def usgal(self) -> Decimal:
        """US gallons, to nine decimal places."""
        return as_decimal(Fraction(self.value) * gallons_per(self.unit))


class FlowRate(Model):
    """A flow, or a range where `high` differs from `low` (None for an open end); unit is a key of FLOW_UNITS."""

    low: Decimal | None
    high: Decimal | None
    unit: str
    text: str = ""

    @model_validator(mode="after")
    def _sane(self) -> Self:
        if self.unit not in FLOW_UNITS:
            raise ValueError(f"unknown unit of flow {self.unit!r}; known: {', '.join(FLOW_UNITS)}")
        if self.low is None and self.high is None:
            raise ValueError("a flow has at least one end")
        if self.low is not None and self.high is not None and self.low > self.high:
            raise ValueError(f"a flow range runs upwards, not from {self.low} to {self.high}")
        return self

    @property
    def low_usgpm(self) -> Decimal | None:
        return None if self.low is None else as_decimal(Fraction(self.low) * gpm_per(self.unit))

    @property
    def high_usgpm(self) -> Decimal | None:
        return None if self.high is None else as_decimal(Fraction(self.high) * gpm_per(self.unit))


class PercentBand(Model):
    """Per cent of true volume registered; None on a side the document does not give."""

    lower: Decimal | None = None
    upper: Decimal | None = None
    text: str = ""

    @model_validator(mode="after")
    def _sane(self) -> Self:
        if self.lower is None and self.upper is None:
            raise ValueError("a band has at least one side")
        if self.lower is not None and self.upper is not None and self.lower > self.upper:
            raise ValueError(f"a band runs upwards, not from {self.lower} to {self.upper}")
        return self
