"""Sentences that promise something -> drafts. One group of limits with its subject is one draft.

The anchors of a sentence are its durations, volumes, lifetimes and references to a table. Anchors that belong to one
promise ("5 years or 500,000 gal", "12 months from installation or 18 from shipment") form a group; the subject, kind and
start of a group are sought in its own stretch of the sentence first, then in the sentence, then in its headings.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.answers import is_fragment, questions_of
from firstcap.extract.assembly.bands import bands_in, fill_bands
from firstcap.extract.assembly.beginnings import (
    apply_start,
    best_start,
    defines_a_name,
    defines_start,
    pointed_start,
    told_start,
)
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.ended_by import end_by, ends_promise
from firstcap.extract.assembly.likeness import (
    SAME_PERIOD,
    SO_TOO,
    for_the_same,
    leans_on_before,
    likewise,
    with_limits_of,
)
from firstcap.extract.assembly.pointing import ANAPHORA, PRONOUN
from firstcap.extract.assembly.promised import by_kind, by_level, fill_kind
from firstcap.extract.assembly.promising import (
    names_promise,
    only_limits,
    promises_loosely,
    promises_something,
    says_nothing,
    states_limits,
    takes_limits,
)
from firstcap.extract.assembly.stretches import fill_limits, ranges
from firstcap.extract.assembly.subject import fill_subject
from firstcap.extract.assembly.times import (
    promise_times,
    promise_volumes,
    promised_by_failing,
    warranted,
    without_replaced,
)
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.assembly.unnumbered import with_reference
from firstcap.extract.patterns.base import Family
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import Ends, Promise


def statements(units: Sequence[Unit], context: Context, carried: Draft | None = None) -> list[Draft]:
    """The drafts of one block's sentences, in order. `carried` is the last draft before this block in its section."""
    drafts: list[Draft] = []
    open_unit: Unit | None = None
    limits_of: Unit | None = None  # the last sentence that names an accuracy without a time for it
    prior: Unit | None = None
    open_drafts: list[Draft] = []
    for unit in units:
        unit = with_reference(without_replaced(unit), context)
        earlier = prior
        if prior is not None and PRONOUN.match(unit.text):
            unit.extra["prior"] = prior
        prior = unit
        if open_unit is not None and ANAPHORA.match(unit.text):
            if open_unit.run is unit.run:
                drafts = [draft for draft in drafts if all(draft is not other for other in open_drafts)]
            unit = with_reference(_joined(open_unit, unit), context)
            open_unit = None
        if drafts and SO_TOO.match(unit.text):
            again = likewise(unit, drafts[-1], context)
            if again is not None:
                drafts.append(again)
                continue
        last = drafts[-1] if drafts else carried
        if last is not None and SAME_PERIOD.search(unit.text):
            alike = for_the_same(unit, last, context)
            if alike is not None:
                drafts.append(alike)
                continue
        if ends_promise(unit) and end_by(unit, drafts):
            continue
        if defines_start(unit, bool(drafts)):
            apply_start(unit, drafts, context)
            continue
        if (told := told_start(unit, context)) is not None:
            context.note_start(told, unit)
            continue
        if earlier is not None and (pointed := pointed_start(unit, earlier, context)) is not None:
            context.note_start(pointed, unit)
            continue
        if defines_a_name(unit):
            continue
        times, stages = promise_times(unit, context)
        lives = unit.of(Family.LIFE)
        volumes = promise_volumes(unit)
        refs = unit.of(Family.REFERENCE)
        periods = unit.of(Family.PERIOD)
        if periods and not times and unit.of(Family.TRIGGER):
            for named in _by_period(unit, periods):
                drafts.extend(_of_period(*named, context, drafts[-1] if drafts else None))
            continue
        leaning = leans_on_before(unit, limits_of, times)
        if unit.of(Family.BAND, Family.LEVEL, Family.STANDARD):
            limits_of = unit if not (times or volumes or lives) else None
        waiting, context.limits_first = context.limits_first, None
        if waiting is not None and not (times or volumes or lives) and takes_limits(unit):
            drafts.extend(with_limits_of(waiting, unit, context, drafts[-1] if drafts else carried))
            continue
        if warranted(unit) and not (times or volumes or lives or periods) and unit.of(Family.REFERENCE):
            opened = best_start(unit.of(Family.START))
            if opened is not None:
                context.note_start(opened, unit)  # "We warrant the meter, counting from the day of sale, as follows."
        answers = questions_of(unit) if is_fragment(unit, [*times, *lives]) else []
        promised = answers or leaning or promises_something(unit, times, context, has_drafts=bool(drafts))
        loosely = not promised and promises_loosely(unit, times, context)
        if not promised and not loosely:
            if times and only_limits(unit):
                context.limits_first = unit
            elif states_limits(unit, times, context):
                open_unit, open_drafts = unit, []
            continue
        if not (times or volumes or lives or refs):
            if open_drafts and unit.of(Family.BAND) and _limits_for(open_drafts, unit, drafts, context):
                continue
            if unit.of(Family.BAND, Family.LEVEL, Family.STANDARD) or names_promise(unit):
                open_unit, open_drafts = unit, []
            continue
        made = _groups(
            unit,
            times,
            volumes,
            lives,
            refs,
            context,
            stages,
            drafts[-1] if drafts else carried,
        )
        for draft in made:
            _from_questions(draft, answers or labels_of(unit), context)
            if loosely:
                draft.doubts.append("loose")
        made = [draft for draft in made if not says_nothing(draft, unit, context)]
        if leaning and limits_of is not None:
            for draft in made:
                fill_kind(draft, limits_of, limits_of, (), None, context)
                fill_bands(draft, limits_of)
            drafts.extend(made)
            continue
        open_unit = unit if not (times or volumes or lives) else None
        open_drafts = made if open_unit is not None else []
        drafts.extend(made)
    return drafts


def _limits_for(waiting: Sequence[Draft], unit: Unit, drafts: list[Draft], context: Context) -> bool:
    """ "Within that time compound meters will register from 97 to 103 percent": the limits of a promise whose times a
    table has, for all of its meters or for the type that the sentence names. False where it is about something else.
    """
    wanting = [
        draft
        for draft in waiting
        if draft.refs and draft.get("promise") is Promise.ACCURACY and draft.unit.run is unit.run
    ]
    bands = bands_in(unit)
    if not wanting or not bands or unit.of(Family.NEGATION):
        return False
    if not unit.of(Family.METER_TYPE, Family.PRODUCT, Family.SIZE):
        for draft in wanting:
            draft.bands = draft.bands or list(bands)
        return True
    own = wanting[0].copy()
    own.unit, own.bands = unit, []
    for name in ("component", "product", "meter_type", "mixed_types", "products"):
        own.scalars.pop(name, None)
    fill_subject(own, unit, unit, [], None, context)
    fill_kind(own, unit, unit, (), None, context)
    fill_bands(own, unit)
    drafts.append(own)
    return True


def labels_of(unit: Unit) -> list[Unit]:
    """The label of the row a sentence stands in."""
    label = unit.extra.get("label")
    return [label] if isinstance(label, Unit) else []


def _from_questions(draft: Draft, questions: Sequence[Unit], context: Context) -> None:
    """What a fragment promises, by the question it answers."""
    for question in questions:
        asked = Draft(question)
        fill_subject(asked, question, question, (), None, context)
        fill_kind(asked, question, question, (), None, context)
        for name, found in asked.scalars.items():
            draft.put(name, found.passed_on())
        if draft.sizes is None and asked.sizes is not None:
            draft.sizes = asked.sizes.passed_on()
        if not draft.bands and draft.get("promise") is Promise.ACCURACY:
            draft.bands = bands_in(question)


def _by_period(unit: Unit, periods: Sequence[Hit]) -> list[tuple[Unit, Hit]]:
    """The stretch of a sentence that each named period governs."""
    if len(periods) == 1:
        return [(unit, periods[0])]
    stretches = []
    for index, hit in enumerate(periods):
        low = unit.start if index == 0 else hit.start
        high = periods[index + 1].start if index + 1 < len(periods) else unit.end
        stretches.append((unit.part(low, high), hit))
    return stretches


def _of_period(part: Unit, period: Hit, context: Context, previous: Draft | None) -> list[Draft]:
    """A promise whose limits stand in the definition of a named period."""
    meaning = period.value
    if not isinstance(meaning, Unit):
        return []
    draft = Draft(part, leans_on=meaning.text)
    times, _ = promise_times(meaning, context)
    follows = [
        hit for hit in times if not re.search(r"\bfollows\b[^.]*$", meaning.run.text[meaning.start : hit.start][-30:])
    ]
    fill_limits(draft, meaning, sorted([*(follows or times), *promise_volumes(meaning)], key=lambda hit: hit.start))
    best = best_start(part.of(Family.START))
    if best is not None:
        draft.put("start", best, over=True)
    before = [previous] if previous is not None and part.start != previous.unit.start else []
    fill_subject(draft, part, part, before, previous, context)
    fill_kind(draft, part, part, [], previous, context)
    fill_bands(draft, part)
    draft.refs = [*meaning.of(Family.REFERENCE), *part.of(Family.REFERENCE)]
    if not draft.refs and not draft.volumes and re.search(r"\bvolume\b|\bregistered\b", meaning.text, re.IGNORECASE):
        draft.refs = [period]
    return by_level(draft, part, part)


def _joined(first: Unit, second: Unit) -> Unit:
    if first.run is not second.run:
        return second
    return Unit(
        first.run, first.start, second.end, [*first.hits, *second.hits], first.block, first.headings, first.extra
    )


def _groups(
    unit: Unit,
    times: Sequence[Hit],
    volumes: Sequence[Hit],
    lives: Sequence[Hit],
    refs: Sequence[Hit],
    context: Context,
    stages: Sequence[Hit],
    previous: Draft | None,
) -> list[Draft]:
    anchors = sorted([*times, *volumes, *lives], key=lambda hit: hit.start)
    stretches = ranges(unit, anchors)
    drafts: list[Draft] = []
    for low, high, inside in stretches:
        part = unit.part(low, high)
        draft = Draft(part)
        draft.unit = replace(unit, start=unit.start, end=unit.end)
        fill_limits(draft, part, inside)
        fill_subject(draft, part, unit, drafts, previous, context)
        fill_kind(draft, part, unit, drafts, previous, context)
        if "start" not in draft.scalars and previous is not None and _SAME_START.search(unit.text):
            draft.put("start", _passed_on(previous.scalars.get("start")))
        if "rule" not in draft.scalars and previous is not None and _SAME_FOOTING.search(unit.text):
            draft.put("rule", _passed_on(previous.scalars.get("rule")))
        _lean_on_rule(draft, previous)
        fill_bands(draft, part if part.of(Family.BAND) or len(stretches) > 1 else unit)
        draft.refs = [hit for hit in refs if low <= hit.start < high] or (list(refs) if len(stretches) == 1 else [])
        drafts.extend(one for kind in by_kind(draft, part, context) for one in by_level(kind, part, unit))
    _share_tail(drafts, unit)
    _share_head(drafts, unit, anchors)
    for index in range(len(drafts) - 1):
        if not drafts[index].refs and not drafts[index].volumes and drafts[index].get("promise") is Promise.ACCURACY:
            later_refs = next((d.refs for d in drafts[index + 1 :] if d.refs), [])
            drafts[index].refs = list(later_refs)
    if re.search(r"\bsame\b", unit.text, re.IGNORECASE):
        for index in range(1, len(drafts)):
            if not drafts[index].times and drafts[index].volumes and drafts[0].times:
                drafts[index].times = list(drafts[0].times)
    for draft in drafts:
        if stages and draft.full is None:
            stage = stages[0]
            if isinstance(stage.value, Duration) and stage.value.months is not None and _stage_is_full(unit, stage):
                draft.full = Found.of(stage, stage.value.months)
        if "promise" not in draft.scalars:
            failing = next((limit.hit for limit in draft.times if promised_by_failing(unit, limit.hit)), None)
            if failing is not None:
                draft.put("promise", Found(Promise.FUNCTION, failing, True, "promise.by_failure"))
    return drafts


def _share_head(drafts: Sequence[Draft], unit: Unit, anchors: Sequence[Hit]) -> None:
    """ "Until the first of these events: (a) …; (b) …", "15 years or 1,750,000 gallons for 5/8, 2,500,000 for 3/4".

    A rule before all limits holds for each group of them; a time before the volume of the first size, for every size.
    """
    if len(drafts) < 2 or not anchors:
        return
    rule = unit.first(Family.RULE)
    if rule is not None and rule.end <= anchors[0].start and rule.value is Ends.FIRST_OF:
        for draft in drafts:
            if len(draft.times) + len(draft.volumes) > 1:
                draft.put("rule", Found.of(rule).passed_on())
    first = drafts[0]
    if first.sizes is None or len(first.times) != 1 or not first.volumes or first.times[0].hit is not anchors[0]:
        return
    listed = [draft for draft in drafts[1:] if draft.volumes and not draft.times and draft.sizes is not None]
    if len(listed) != len(drafts) - 1 or any(draft.sizes == first.sizes for draft in listed):
        return
    for draft in listed:
        draft.times = list(first.times)
        for name in ("start", "rule"):
            draft.put(name, _passed_on(first.scalars.get(name)))


def _lean_on_rule(draft: Draft, previous: Draft | None) -> None:
    """ "For a 3/4-inch meter the figures are five years and 850,000 gallons": what leans on a promise ends as it does."""
    promise = draft.scalars.get("promise")
    if previous is None or promise is None or not promise.inherited or previous.unit.block != draft.unit.block:
        return
    if draft.times and draft.volumes and "rule" not in draft.scalars and previous.times and previous.volumes:
        draft.put("rule", _passed_on(previous.scalars.get("rule")))


def _passed_on(found: Found | None) -> Found | None:
    return None if found is None else found.passed_on()


def _stage_is_full(unit: Unit, stage: Hit) -> bool:
    before = unit.run.text[max(unit.start, stage.start - 25) : stage.start]
    near = unit.run.text[max(unit.start, stage.start - 60) : min(unit.end, stage.end + 60)]
    if re.search(r"\b(last|final|remaining|letzten|derni|últim)", before, re.IGNORECASE):
        return False
    return bool(
        re.search(
            r"\b(full|free|no charge|without charge|no cost|sans frais|gratuit|kostenlos|sin costo)",
            near,
            re.IGNORECASE,
        )
    )


_SAME_START = re.compile(
    r"\b(?:from|as of|starting on|counted from|beginning on|on) (?:the|that) (?:very )?same (?:date|day|event|start|moment)\b"
    r"|\b(?:counted|reckoned|measured|starting) (?:likewise|alike|in the same way|as before)\b",
    re.IGNORECASE,
)

_SAME_FOOTING = re.compile(
    r"\b(?:on|under|in|subject to) the same (?:footing|terms|conditions|manner|way|rule|basis)\b|^\W*the same \w+ (?:years|months|limits?|periods?) (?:hold|apply|go|run)\b|\bagain whichever\b|\blikewise\b",
    re.IGNORECASE,
)


def _share_tail(drafts: Sequence[Draft], unit: Unit) -> None:
    """A start or a rule at the sentence's end holds for the groups before it that have none."""
    for name in ("start", "rule"):
        for index in range(len(drafts) - 2, -1, -1):
            if name not in drafts[index].scalars and not (
                name == "start" and any(t.start for t in drafts[index].times)
            ):
                later = next((d.scalars[name] for d in drafts[index + 1 :] if name in d.scalars), None)
                if later is not None and (name == "start" or len(drafts[index].times) + len(drafts[index].volumes) > 1):
                    drafts[index].put(name, later.passed_on())
        for index in range(1, len(drafts)):
            if name == "start" and name not in drafts[index].scalars and name in drafts[index - 1].scalars:
                drafts[index].put(name, drafts[index - 1].scalars[name].passed_on())
