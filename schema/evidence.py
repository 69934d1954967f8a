"""Where a value stands on the page. Points, origin at the page's top left.

Text breaks over lines and pages, so boxes are a list.
"""

from typing import Self

from pydantic import Field, model_validator

from firstcap.schema.quantities import Model


class Box(Model):
    """A rectangle on a page: page counts from 1, points from the top left."""

    page: int = Field(ge=1)
    x0: float
    top: float
    x1: float
    bottom: float

    @model_validator(mode="after")
    def _upright(self) -> Self:
        if self.x1 < self.x0 or self.bottom < self.top:
            raise ValueError("a box runs from its top left to its bottom right")
        return self


class Evidence(Model):
    """The words a value was read from.

    `field` is a column of the catalogue (`duration_months`, `limit.2`, `band.1`, `credit.3`).
    """

    field: str
    boxes: tuple[Box, ...]
    quote: str
    pattern: str = ""
    confidence: float = Field(default=0.0, ge=0.0, le=1.0)


class Alternative(Model):
    """A candidate the machine did not take, kept for the person who confirms."""

    field: str
    value: str
    quote: str = ""
    why_not: str = ""
