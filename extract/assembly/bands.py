"""Percentage bands of a stretch of text, each with its flow."""

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.draft import BandDraft, Draft, Found
from firstcap.extract.assembly.unit import Hit, Unit, shifted
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import NamedFlow
from firstcap.schema.quantities import FlowRate, PercentBand
from firstcap.schema.vocabulary import FlowRole, Promise

_FLOW_ROLE_OF_NAME = {"Q1": FlowRole.MINIMUM, "Q2": FlowRole.NORMAL_RANGE, "Q3": FlowRole.NORMAL_RANGE}


def fill_bands(draft: Draft, part: Unit) -> None:
    if draft.bands or draft.get("promise") is not Promise.ACCURACY:
        return
    draft.bands = bands_in(part)
    names = tuple(dict.fromkeys(band.product for band in draft.bands if band.product))
    if len(names) > 1 and "product" in draft.scalars:
        draft.scalars["products"] = Found(names, draft.scalars["product"].hit)


def bands_in(part: Unit) -> list[BandDraft]:
    """Percentage bands with their flows: the flow or role that follows a band before the next, else the one before it."""
    bands = part.of(Family.BAND)
    made: list[BandDraft] = []
    leads = _flows_lead(part, bands)
    for index, hit in enumerate(bands):
        if not isinstance(hit.value, PercentBand):
            continue
        low = bands[index - 1].end if index else part.start
        high = bands[index + 1].start if index + 1 < len(bands) else part.end
        after = [h for h in part.of(Family.FLOW, Family.FLOW_ROLE, Family.SIZE) if hit.end <= h.start < high]
        prior = [h for h in part.of(Family.FLOW, Family.FLOW_ROLE, Family.SIZE) if low <= h.start < hit.start]
        if leads:
            after = prior
        flows = [h for h in after if h.family is Family.FLOW] or (
            [h for h in prior if h.family is Family.FLOW] if index == 0 else []
        )
        roles = [h for h in after if h.family is Family.FLOW_ROLE] or (
            [h for h in prior if h.family is Family.FLOW_ROLE] if index == 0 else []
        )
        role = roles[0].value if roles else None
        own_sizes = [h for h in prior if h.family is Family.SIZE]
        flows = _named_pair(flows)
        bracketed = _bracketed(part, flows)
        if len(flows) > 1 and bracketed:
            for flow, flow_sizes in bracketed:
                made.append(_band(hit, role, flow, flow_sizes))
            continue
        flow_hit = flows[0] if flows else None
        labels: tuple[str, ...] = ()
        if own_sizes and len(bands) > 1:
            labels = tuple(label for h in own_sizes for label in h.value)  # type: ignore[attr-defined]
        named = [h for h in part.of(Family.PRODUCT) if low <= h.start < hit.start]
        band = _band(hit, role, flow_hit, labels)
        if role is FlowRole.NORMAL_RANGE and flow_hit is None and _above_minimum(part, roles):
            band = replace(band, above_minimum=True)
        if flow_hit is None and roles and _TEST_FLOWS.search(roles[0].mention.text):
            band = replace(band, at_test_flows=True)
        if named and len(bands) > 1:
            band = replace(band, product=str(named[-1].value))
        made.append(band)
        if flow_hit is None:
            made.extend(replace(band, role=also) for also in _also_at(part, roles))
    flowing = {_limits(band) for band in made if band.flow is not None}
    if flowing:  # "within 2 % of true flow, that is from 98 % to 102 %, at flows from …": one limit said twice
        made = [band for band in made if band.flow is not None or band.role or _limits(band) not in flowing]
    if len({band.product for band in made}) < 2:
        made = [replace(band, product=None) for band in made]
    sized = [band for band in made if band.sizes]
    if sized and len({band.sizes for band in sized}) < 2 and not any(_bracketed(part, part.of(Family.FLOW))):
        made = [replace(band, sizes=()) for band in made]
    return made


_TEST_FLOWS = re.compile(r"\bintermediate and (?:the )?max|\bmaximum and (?:the )?interm", re.IGNORECASE)
_AND_AT = re.compile(r"\W*(?:,|and|&|as well as|und|et|y)\s*(?:at\s+)?(?:the|its|their)?\s*", re.IGNORECASE)


def _also_at(part: Unit, roles: Sequence[Hit]) -> list[FlowRole]:
    """ "At the intermediate and the maximum flow": the roles after the first that the same limit holds at."""
    found: list[FlowRole] = []
    for left, right in itertools.pairwise(roles):
        open_ended = re.search(r"\band\W*$", left.mention.text) is not None
        gap = ("and" if open_ended else "") + part.run.text[left.end : right.start]
        if not _AND_AT.fullmatch(gap) or not isinstance(right.value, FlowRole):
            break
        if right.value is not roles[0].value:
            found.append(right.value)
    return found


def _limits(band: BandDraft) -> tuple[object, object]:
    return band.band.lower, band.band.upper


def _flows_lead(part: Unit, bands: Sequence[Hit]) -> bool:
    """ "At any flow of the range between 98.5 % and 101.5 %, and at the minimum flow not less than 95 %": flow before band."""
    if len(bands) < 2:
        return False
    places = [hit.start for hit in part.of(Family.FLOW, Family.FLOW_ROLE)]
    edges = [part.start, *(band.start for band in bands)]
    return all(any(low <= place < high for place in places) for low, high in itertools.pairwise(edges)) and not any(
        bands[-1].end <= place < part.end for place in places
    )


def _above_minimum(part: Unit, roles: Sequence[Hit]) -> bool:
    """ "From the minimum flow up": a range whose lower end is the meter's minimum flow, wherever that is printed."""
    return any(
        role.value is FlowRole.MINIMUM
        and re.search(
            r"\b(?:from|above|over|exceeding|upwards? of|than)\s+(?:the|its)?\s*$",
            part.run.text[part.start : role.start],
            re.IGNORECASE,
        )
        for role in roles[1:]
    )


def _named_pair(flows: list[Hit]) -> list[Hit]:
    """ "From Q1 up to but not including Q2": two named flows that bound one range."""
    if len(flows) == 2:
        low, high = flows[0].value, flows[1].value
        if isinstance(low, NamedFlow) and isinstance(high, NamedFlow) and low.low == low.high and high.low == high.high:
            if (low.low or "") < high.high:
                return [shifted(flows[0], flows[0].mention.pattern, NamedFlow(low.low, high.high))]
    return flows


def _bracketed(part: Unit, flows: Sequence[Hit]) -> list[tuple[Hit, tuple[str, ...]]]:
    """Flows that each carry their meter size: "0.25 gpm (5/8 inch)", "up to 25 gpm in the 5/8 inch size"."""
    found: list[tuple[Hit, tuple[str, ...]]] = []
    for flow in flows:
        for size in part.of(Family.SIZE):
            between = part.run.text[flow.end : size.start + 1] if size.start >= flow.end else "."
            if (len(between) <= 5 and "(" in between) or _IN_SIZE.fullmatch(between[:-1]):
                found.append((flow, tuple(size.value)))  # type: ignore[arg-type]
    return found


_IN_SIZE = re.compile(r"\s*(?:in|for|on|with|at)(?: the| a| an)? ?", re.IGNORECASE)


_TO_MAXIMUM = re.compile(
    r"\W*(?:up )?(?:to|through|and|until) (?:the |its |their )?(?:\w+ )?(?:maximum|max\b|full|rated|highest|overload)",
    re.IGNORECASE,
)


def _open_ended(flow: Hit) -> bool:
    """ "At flows from 1 gpm to the maximum": a range whose upper end has no number here."""
    return _TO_MAXIMUM.match(flow.run.text[flow.end :]) is not None


def _band(hit: Hit, role: object, flow_hit: Hit | None, labels: tuple[str, ...]) -> BandDraft:
    flow = flow_hit.value if flow_hit is not None else None
    settled = role if isinstance(role, FlowRole) else None
    if isinstance(flow, NamedFlow):
        settled = FlowRole.MINIMUM if flow.low == "Q1" and flow.high == "Q2" else FlowRole.NORMAL_RANGE
    elif isinstance(flow, FlowRate):
        if flow.low is not None and flow.low == flow.high and flow_hit is not None and _open_ended(flow_hit):
            flow, settled = flow.model_copy(update={"high": None}), FlowRole.NORMAL_RANGE
        elif flow.low is not None and flow.low == flow.high:
            if settled in (None, FlowRole.NORMAL_RANGE):
                settled = FlowRole.MINIMUM
        elif settled is None:
            settled = FlowRole.NORMAL_RANGE
    assert isinstance(hit.value, PercentBand)
    return BandDraft(
        hit.value, hit, settled, flow if isinstance(flow, FlowRate | NamedFlow) else None, flow_hit, labels
    )


def at_own_flow(bands: list[BandDraft], unit: Unit) -> list[BandDraft]:
    """ "Low flow at 1/4 gpm: 3 years": the one limit that a level means, at the one flow that the promise names."""
    flows = [hit for hit in unit.of(Family.FLOW) if isinstance(hit.value, FlowRate)]
    if len(bands) != 1 or len(flows) != 1 or bands[0].flow is not None:
        return list(bands)
    return [replace(bands[0], flow=flows[0].value, flow_hit=flows[0])]  # type: ignore[arg-type]
