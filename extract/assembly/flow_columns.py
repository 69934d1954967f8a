"""Columns of flows and the columns of percentages beside them: which limit of accuracy holds at which flow."""

import re
from dataclasses import dataclass

from firstcap.extract.assembly.draft import BandDraft
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.unit import Hit
from firstcap.extract.language import parse
from firstcap.extract.page import join_runs
from firstcap.extract.patterns import flow, promise
from firstcap.extract.patterns.accuracy import band_in
from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.quantities import FlowRate, PercentBand
from firstcap.schema.vocabulary import FlowRole

_ROLE_WORDS: tuple[tuple[FlowRole, str], ...] = (
    (FlowRole.EXTENDED_LOW, r"\bextended|\bextra low|\bultra low"),
    (FlowRole.INTERMEDIATE, r"\bintermed|\bchange-?over|\bcross-?over|\btransition|\bmed(?:ium|\.)|\bmid\b"),
    (FlowRole.NORMAL_RANGE, r"\brange|\bnormal|\boperating|\bworking|\bbetween\b|\bfrom\b"),
    (FlowRole.MINIMUM, r"\blow|\bmin"),
    (FlowRole.MAXIMUM, r"\bmax|\bhigh|\bfull\b"),
)
_LIST = re.compile(r"\s*(?:\band\b|&|;|,\s|\by\b|\bet\b|\bund\b)\s*", re.IGNORECASE)
# From the highest flow down: the test flows of a meter are named so in the trade (common practice).
_DOWN: dict[int, tuple[FlowRole, ...]] = {
    2: (FlowRole.MAXIMUM, FlowRole.INTERMEDIATE),
    3: (FlowRole.MAXIMUM, FlowRole.INTERMEDIATE, FlowRole.MINIMUM),
}
_FLOW_HEAD = re.compile(r"\bgpm\b|\bflows?\b|\bq\d|l/h|m[³3]/h|\brates?\b|débit|caudal|durchfluss", re.IGNORECASE)


def role_in(header: str) -> FlowRole | None:
    """The flow that a heading names: "Min. gpm", "At low flow of (gpm)"."""
    for mention in promise.FLOW_ROLES.find(parse(header)):
        if isinstance(mention.value, FlowRole):
            return mention.value
    return next((role for role, words in _ROLE_WORDS if re.search(words, header, re.IGNORECASE)), None)


def flow_name(header: str) -> FlowRole | str:
    """What the flow of a column is called: Q1 to Q4, a role, or the words of its heading."""
    q = re.search(r"\bQ\s?([1-4])\b", header)
    if q:
        return f"Q{q.group(1)}"
    return role_in(header) or header.strip().lower() or "flow"


_FLOW_UNIT = re.compile(
    r"\bgpm\b|gal(?:lons?|s?\.?)?\s*(?:per|a|/)\s*min|\bl(?:itres?|iters?)?\s*(?:per|/)\s*(?:h|min|s)|m[³3]\s*(?:/|per)\s*h|\bl/h|\bflows?\b|"
    r"cubic (?:feet|met(?:er|re)s) per|durchfl|débits?|caudal(?:es)?",
    re.IGNORECASE,
)
_OTHER_UNIT = re.compile(r"year|month|gal|volume|size|jahr|mois|año|%|percent|registr", re.IGNORECASE)


def of_flows(shape: Shape, header: str) -> bool:
    """A column named after a flow ("Minimum") in a table whose caption gives the unit: "Test flows in gallons per minute"."""
    return (
        role_in(header) is not None
        and _OTHER_UNIT.search(header) is None
        and _FLOW_UNIT.search(shape.outer) is not None
    )


@dataclass(frozen=True, slots=True)
class FlowCell:
    """A cell of flows beside a percentage, or under one: each flow with its role, where it is told."""

    flows: tuple[tuple[FlowRate, FlowRole | None], ...]
    hit: Hit


def flow_cell(shape: Shape, row: int, col: int) -> FlowCell | None:
    """ "15 and 2" under "At flows of (gpm)": two test flows, the higher one the maximum."""
    cell, header = shape.table.at(row, col), shape.header(col)
    if shape.size_cols:
        header = f"{header} {' '.join(shape.text(row, key) for key in shape.keys)}"
    if cell is None or not cell.text or not _FLOW_HEAD.search(header):
        return None
    style, gallon = shape.reader.style, shape.reader.gallon
    role = role_in(header)
    whole = flow.flow_in(cell.text, header, style, gallon)
    if whole is not None and isinstance(whole.value, FlowRate) and not _LIST.search(cell.text):
        ranged = whole.value.low is not None and whole.value.low != whole.value.high
        return FlowCell(((whole.value, role or (FlowRole.NORMAL_RANGE if ranged else None)),), Hit(whole, cell.run))
    read = [flow.flow_in(piece, header, style, gallon) for piece in _LIST.split(cell.text) if piece.strip()]
    rates = [mention.value for mention in read if mention is not None and isinstance(mention.value, FlowRate)]
    roles = _DOWN.get(len(rates))
    if len(rates) != len(read) or roles is None:
        return None
    rates.sort(key=lambda rate: rate.high_usgpm or 0, reverse=True)
    hit = Hit(Mention(Family.FLOW, 0, len(cell.text), rates[0], "flow.listed", cell.text), cell.run)
    return FlowCell(tuple(zip(rates, roles, strict=True)), hit)


def flow_column_of(shape: Shape, col: int) -> int | None:
    """The column of flows that a column of percentages belongs to: the one before it, else the one after it."""
    before = col - 1
    if before >= 0 and before not in shape.keys and _FLOW_HEAD.search(shape.header(before)):
        return before
    after = col + 1
    if after < shape.table.cols and after not in shape.keys and _FLOW_HEAD.search(shape.header(after)):
        beyond = after + 1
        if beyond >= shape.table.cols or band_in(shape.text(shape.first, beyond), shape.header(beyond)) is None:
            return after
    return None


def band_at_flows(shape: Shape, row: int, col: int, band: PercentBand, hit: Hit) -> list[BandDraft]:
    """The limit of a cell at each flow of the cell beside it; the limit alone where no column of flows is beside it."""
    role = role_in(shape.header(col))
    beside = flow_column_of(shape, col)
    cell = flow_cell(shape, row, beside) if beside is not None else None
    if cell is None:
        return [BandDraft(band, hit, role)]
    return [BandDraft(band, hit, own or role, rate, cell.hit) for rate, own in cell.flows]


def band_over_flows(shape: Shape, row: int, col: int) -> list[BandDraft]:
    """ "98.5 to 101.5 % at (gpm)" over a column of flows: that limit at the flow of each row."""
    header = shape.header_run(col)
    if shape.size_cols:  # on its side, the label of the row is the heading of its flows
        header = join_runs([named.run for key in shape.keys if (named := shape.table.at(row, key)) is not None])
    bands = [hit for hit in shape.hits(header) if hit.family is Family.BAND and isinstance(hit.value, PercentBand)]
    cell = flow_cell(shape, row, col) if len(bands) == 1 else None
    if cell is None:
        return []
    assert isinstance(bands[0].value, PercentBand)
    return [BandDraft(bands[0].value, bands[0], role, rate, cell.hit) for rate, role in cell.flows]
