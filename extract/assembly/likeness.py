"""Sentences that lean on another: the same time, the same promise, the limits of the sentence before."""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.bands import fill_bands
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.promised import by_level, fill_kind
from firstcap.extract.assembly.stretches import fill_limits
from firstcap.extract.assembly.subject import fill_subject
from firstcap.extract.assembly.times import LAST_YEARS, promise_times, promise_volumes
from firstcap.extract.assembly.unit import Hit, Unit, component_of
from firstcap.extract.patterns.base import Family
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import Component

# "Registers are warranted for the same period, the last ten years of which are prorated".
SAME_PERIOD = re.compile(
    r"\b(?:for|of|during|carry|carries|has|have) (?:the|a|an) (?:same|like|equal|identical) (?:period|term|time|duration|length|number of years)\b",
    re.IGNORECASE,
)


def for_the_same(unit: Unit, before: Draft, context: Context) -> Draft | None:
    """A promise for other parts whose time is that of the draft before."""
    _, stages = promise_times(unit, context)
    if (
        unit.of(Family.NEGATION, Family.VOLUME, Family.LIFE)
        or not unit.of(Family.COMPONENT)
        or not unit.of(Family.TRIGGER)
    ):
        return None
    if len(unit.of(Family.DURATION)) != len(stages) or not before.times:
        return None
    own = Draft(unit)
    own.times = [replace(limit) for limit in before.times]
    for name in ("start", "rule"):
        if name in before.scalars:
            own.put(name, before.scalars[name].passed_on())
    fill_subject(own, unit, unit, [], before, context)
    fill_kind(own, unit, unit, (), None, context)
    if "promise" not in own.scalars and "promise" in before.scalars:
        own.put("promise", before.scalars["promise"].passed_on())
    whole = before.times[0].duration.months
    if stages and whole is not None:
        tail = stages[0].value.months if isinstance(stages[0].value, Duration) else None
        if tail is not None and tail < whole and LAST_YEARS.search(unit.run.text[unit.start : stages[0].start]):
            own.full = Found.of(stages[0], whole - tail)
    return own


def with_limits_of(limits: Unit, unit: Unit, context: Context, previous: Draft | None) -> list[Draft]:
    draft = Draft(unit, leans_on=limits.text)
    anchors = [*promise_times(limits, context)[0], *promise_volumes(limits)]
    fill_limits(draft, limits, sorted(anchors, key=lambda hit: hit.start))
    fill_subject(draft, unit, unit, [], previous, context)
    fill_kind(draft, unit, unit, [], previous, context)
    fill_bands(draft, unit)
    return by_level(draft, unit, unit)


# "So are the transmitter and the spare parts": the promise of the sentence before, for other parts.
SO_TOO = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:so (?:are|is|do|does)\b|the same (?:goes|holds|applies|is true|warranty (?:is given|applies|holds))(?: good)?(?: for| to| of)?\b|likewise\b|(?:this|it) (?:also |likewise |equally )?(?:holds|applies|goes|is true|extends)(?: also| likewise| equally)? (?:for|to|of)\b|"
    r"(?:das gleiche|dasselbe|gleiches) gilt(?: für)?\b|lo mismo (?:vale|rige|se aplica)(?: para| a)?\b|il en (?:va|est) de même(?: pour| de)?\b|de même\b)",
    re.IGNORECASE,
)


def likewise(unit: Unit, before: Draft, context: Context) -> Draft | None:
    """The draft before, told again of the parts that this sentence names; None where it has times of its own or no part."""
    if unit.of(Family.DURATION, Family.VOLUME, Family.LIFE, Family.NEGATION) or not unit.of(Family.COMPONENT):
        return None
    own = before.copy()
    own.unit = unit
    for name in ("component", "components", "product", "products", "meter_type", "mixed_types", "variant"):
        own.scalars.pop(name, None)
    own.sizes = None
    for name, found in own.scalars.items():
        own.scalars[name] = found.passed_on()
    told = SO_TOO.match(unit.text)
    fill_subject(own, unit.part(unit.start + (told.end() if told else 0), unit.end), unit, [], None, context)
    return own if "component" in own.scalars else None


def leans_on_before(unit: Unit, before: Unit | None, times: Sequence[Hit]) -> bool:
    """ "… ±2 % from Q2 to Q4. DN15: eight years or 3,000 m3.": limits by size of what the sentence before promises."""
    return (
        before is not None
        and before.run is unit.run
        and bool(times)
        and bool(unit.of(Family.SIZE))
        and not unit.of(Family.PROMISE, Family.LEVEL, Family.BAND, Family.STANDARD, Family.NEGATION)
        and all(component_of(hit) is Component.WHOLE_METER for hit in unit.of(Family.COMPONENT))
    )
