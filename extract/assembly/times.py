"""Which durations and volumes of a sentence promise something, and which are stages, claim windows or ceilings."""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.credits import stage_of_longer
from firstcap.extract.assembly.other_business import CLAIM, LOT, SUPPLY
from firstcap.extract.assembly.promised import EXPLICIT_DEFECT
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.trigger import warrants
from firstcap.extract.patterns.values import StartSpec
from firstcap.schema.quantities import Duration
from firstcap.schema.vocabulary import StartRule

_STAGE_BEFORE = re.compile(
    r"\b(first|last|next|remaining|initial|final|previous|those|these|erste[nr]?|letzten|premi[eè]re?s?|derni[eè]res?|primeros|últimos|followed by|and then|ersten|nächsten)\s*$",
    re.IGNORECASE,
)

_NOT_BEFORE = re.compile(
    r"\b(within|every|each|than|about|over|some|once|past|nearly|almost|another|dans les|binnen|innerhalb|dentro de(?: los)?|"
    r"alle|seit|since|after about|at most|next|coming|ensuing|hasta|en un plazo de|spätestens(?: jedoch)?|maximum of|up to|(?:part|balance|rest|remainder|end|course) of (?:the|these|those|its))\s*$",
    re.IGNORECASE,
)

# "For not less than 20 years", "for up to eighteen months": the bound of a promise is the promise.
_AT_LEAST = re.compile(
    r"\b(?:for|of|than|to|be|is|are|and|,) (?:a (?:period|term) of )?(?:up to|a maximum of|(?:not|no) less than)\s*$",
    re.IGNORECASE,
)

_NOT_AFTER = re.compile(
    r"^\s*(of age|old|ago|ahead|earlier|in advance|notice|net\b|of (?:field|use|service|experience|transmissions|export)|"
    r"business|working|of its discovery|after (?:the |its |a )?(?:defect|discover|failure|fault|removal|it|he|they|you|receipt|notice)(?! (?:is|are|was|were|has|have|had) (?:been )?(?:first |duly |properly )?(?:installed|shipped|fitted|put|set|placed|delivered|bought|purchased|made|manufactured|sold|commissioned|accepted|invoiced|received)| (?:buy|bought|purchased?|receive|install|put|set|fit|take delivery|leaves?|left|goes|went))|"
    r"of (?:discover|noticing|finding|learning|receipt)|from (?:the )?(?:discover|date of (?:discover|notice|removal|invoice is))|later|contract)",
    re.IGNORECASE,
)

LAST_YEARS = re.compile(r"\b(?:last|final|remaining|latter) $", re.IGNORECASE)


def without_replaced(unit: Unit) -> Unit:
    """A start's own months ("not later than six months after shipment") are no promise of their own."""
    starts = [hit for hit in unit.of(Family.START) if _has_own_months(hit)]
    covered = [
        hit
        for hit in unit.hits
        if hit.family is Family.DURATION and any(s.start <= hit.start and hit.end <= s.end for s in starts)
    ]
    return replace(unit, hits=[hit for hit in unit.hits if hit not in covered]) if covered else unit


def _has_own_months(hit: Hit) -> bool:
    """Not so "ten years of shipment", whose ten years are what is promised."""
    spec = hit.value
    return not isinstance(spec, StartSpec) or (
        spec.rule is not StartRule.SINGLE or any(clock.plus_months for clock in spec.clocks)
    )


def promise_times(unit: Unit, context: Context) -> tuple[list[Hit], list[Hit]]:
    """The durations that promise something, and those that are stages of a prorated promise."""
    times, stages = [], []
    triggers = unit.of(Family.TRIGGER)
    negations = list(unit.of(Family.NEGATION))
    credit_words = bool(unit.of(Family.SHARE))
    for hit in unit.of(Family.DURATION):
        before = unit.run.text[max(unit.start, hit.start - 45) : hit.start]
        after = unit.run.text[hit.end : min(unit.end, hit.end + 60)]
        value = hit.value
        if _NOT_AFTER.match(after) and not (_OF_SERVICE.match(after) and _warranted_before(triggers, hit)):
            continue
        if LOT.search(unit.text) or in_working_days(hit):
            continue
        if _fails_within(unit, hit, before):
            times.append(hit)
            continue
        if times and (_is_ceiling(unit, times[-1], hit) or _is_other_end(unit, times[-1], hit)):
            times.append(hit)
            continue
        bound = _AT_LEAST.search(before) and (unit.of(Family.TRIGGER) or not _UP_TO.search(before))
        if _NOT_BEFORE.search(before) and not bound:
            continue
        if isinstance(value, Duration) and value.days is not None and CLAIM.search(unit.text[: hit.end - unit.start]):
            if not _warranted_before(triggers, hit):
                continue
        if any(
            negation.start < hit.end + 90
            and (
                (negation.mention.pattern == "negation.no_warranty" and _same_clause(unit, negation, hit))
                or (
                    negation.mention.pattern != "negation.no_warranty"
                    and negation.start <= hit.start
                    and hit.start - negation.end < 80
                    and not any(negation.end <= trigger.start < hit.start for trigger in triggers)
                )
            )
            for negation in negations
        ):
            continue
        if re.match(
            r"\s*(?:of (?:them )?(?:in )?full\b|of free\b|free\b|in full\b|fully\b)", after, re.IGNORECASE
        ) and any(other.start < hit.start for other in unit.of(Family.DURATION)):
            stages.append(hit)
            continue
        if stage_of_longer(unit, hit):
            stages.append(hit)
            continue
        if LAST_YEARS.search(before) and re.search(r"prorat|pro[- ]rata|declin|sliding", unit.text, re.IGNORECASE):
            stages.append(hit)
            continue
        if (
            len({level.value for level in unit.of(Family.LEVEL)}) < 2
            and _STAGE_BEFORE.search(before)
            and (credit_words or len(unit.of(Family.DURATION)) > 1 or unit.of(Family.YEAR_SPAN))
        ):
            stages.append(hit)
            continue
        times.append(hit)
    return times, stages


def _is_ceiling(unit: Unit, first: Hit, hit: Hit) -> bool:
    """ "18 months from installation, but no later than 24 months from delivery": both durations promise."""
    between = unit.run.text[first.end : hit.start]
    started = any(0 <= start.start - hit.end <= 3 for start in unit.of(Family.START))
    return started and len(between) < 90 and ";" not in between and CEILING.search(between) is not None


def _is_other_end(unit: Unit, first: Hit, hit: Hit) -> bool:
    """ "In the first 18 months after you install it or the first two years after we ship it": each time has its start."""
    between = unit.run.text[first.end : hit.start]
    begun = [start.start for start in unit.of(Family.START)]
    return (
        any(0 <= place - first.end <= 3 for place in begun)
        and any(0 <= place - hit.end <= 3 for place in begun)
        and _OR_FIRST.search(between) is not None
        and bool(unit.of(Family.RULE))
    )


_OR_FIRST = re.compile(
    r"\b(?:or|oder|ou|o|u)\s+(?:(?:in|within|during|inside|innerhalb|während|dans|pendant|durante|en)\s+)?"
    r"(?:(?:the|der|den|les|los|las)\s+)?(?:first|ersten|premiers?|premières|primeros)?\s*$",
    re.IGNORECASE,
)
_UP_TO = re.compile(r"\bfor (?:up to|a maximum of)\s*$", re.IGNORECASE)

_OF_SERVICE = re.compile(r"^\s*of (?:service|use|operation)\b(?! experience| life)", re.IGNORECASE)


def warranted(unit: Unit) -> bool:
    return any(warrants(hit.mention) for hit in unit.of(Family.TRIGGER))


def _warranted_before(triggers: Sequence[Hit], hit: Hit) -> bool:
    return any(trigger.start < hit.start for trigger in triggers)


def _fails_within(unit: Unit, hit: Hit, before: str) -> bool:
    """ "If the battery runs down within 12 years from installation, the module is exchanged": a promise by its remedy."""
    started = any(
        0 <= start.start - hit.end <= 3 or start.start <= hit.start < start.end for start in unit.of(Family.START)
    )
    opening = re.match(r"^\W*(?:[\w.]{1,8}\s+){0,2}within\s*$", unit.run.text[unit.start : hit.start], re.IGNORECASE)
    if (
        opening
        and started
        and unit.of(Family.TRIGGER)
        and unit.of(Family.BAND, Family.LEVEL)
        and not CLAIM.search(unit.text)
    ):
        return True
    led = re.search(
        r"\b(?:within|inside(?: of)?|before|(?:not|no) (?:later|more) than|prior to|by the end of|during|in|throughout|for|dentro de|durante|dans|pendant|innerhalb von|innerhalb|binnen|während)"
        r"(?: the| los| les| las| der)?(?: first| full| whole| entire| ersten| premiers?| primeros)?\s*$",
        before,
        re.IGNORECASE,
    )
    remedied = unit.of(Family.REMEDY) or _COUNTS.search(unit.run.text[hit.end : unit.end])
    if led is None or not remedied or _PROMPT.search(before):
        return False
    plain = re.search(_PLAIN_LEAD, before, re.IGNORECASE) is not None
    near = unit.run.text[max(unit.start, hit.start - 60) : min(unit.end, hit.end + 60)]
    flawed = any(EXPLICIT_DEFECT.search(kind.mention.text) for kind in unit.of(Family.PROMISE))
    if (CLAIM.search(near) and not (started and flawed and not in_days(hit))) or (not plain and in_days(hit)):
        return False
    fails = bool(_FAILS.search(unit.text)) or bool(unit.of(Family.PROMISE, Family.LEVEL))
    if plain and any(part.start < hit.start for part in unit.of(Family.COMPONENT)):
        return started or bool(_FAILS.search(unit.run.text[unit.start : hit.start]))
    if SUPPLY.search(unit.text) or any(
        hit.mention.pattern != "negation.replacement" and hit.mention.text.lower() != "no longer"
        for hit in unit.of(Family.NEGATION)
    ):
        return False
    return started and fails and bool(unit.of(Family.COMPONENT) or _THING.search(unit.text))


_COUNTS = re.compile(
    r"\bcounts? as (?:a )?(?:defects?|faults?|failures?)\b|\bis (?:ours|our affair|our business)\b", re.IGNORECASE
)

# "We ship replacements within ten days", "replaced within a month": how soon a remedy comes.
_PROMPT = re.compile(
    r"\b(?:ship|send|deliver|despatch|dispatch|supply|furnish|repair|replace|exchange|answer|pay|credit|refund)"
    r"(?:s|ed|d|ped|nt)?(?: \w+){0,3} (?:within|inside|in|before|during)\s*$",
    re.IGNORECASE,
)

_PLAIN_LEAD = r"\b(?:within|inside(?: of)?|before|dentro de(?: los)?|dans les|innerhalb(?: von)?|binnen)\s*$"

_THING = re.compile(r"\b(?:it|they|one|units?|products?|goods|items?|parts?)\b", re.IGNORECASE)

_FAILS = re.compile(
    r"\b(?:fails?|breaks?|cracks?|leaks?|corrodes?|fogs?|sticks?|stops?|wears?|goes|runs? (?:down|out)|dies|ceases?|cannot|"
    r"can not|gives? (?:out|up)|shows? up|proves?|is found|are found|found|malfunctions?|stopped|failed|defective|faulty|exhausted|bursts?|splits?|failing|cracked|presenten?|fallen?|présentant|défectueux|défaillante?s?|zeigen|ausfallen|fehlerhafte?|turns? out|shows?|appears?|develops?|comes to light)\b",
    re.IGNORECASE,
)


def _same_clause(unit: Unit, left: Hit, right: Hit) -> bool:
    low, high = min(left.end, right.end), max(left.start, right.start)
    return not re.search(r"[;]|\.\s", unit.run.text[low:high])


def promise_volumes(unit: Unit) -> list[Hit]:
    found = []
    for hit in unit.of(Family.VOLUME):
        before = unit.run.text[max(unit.start, hit.start - 40) : hit.start]
        if re.search(
            r"\b(draw|uses?|loses|losing|tested|sold|one|at least|resolution|every|(?<!no )(?<!not )more than)\s*(?:of\s*)?(?:about\s*|at least\s*)?$",
            before,
            re.IGNORECASE,
        ):
            continue
        found.append(hit)
    return found


def in_days(hit: Hit) -> bool:
    return isinstance(hit.value, Duration) and hit.value.days is not None


_WORKING_DAYS = re.compile(
    r"\b(?:business|working|office|bank)\b|hábiles|ouvr(?:és|ables)|Werktag|Arbeitstag", re.IGNORECASE
)


def in_working_days(hit: Hit) -> bool:
    """Working days time an errand (a claim, a reply, a shipment), never a cover."""
    return in_days(hit) and _WORKING_DAYS.search(hit.mention.text) is not None


def promised_by_failing(unit: Unit, hit: Hit) -> bool:
    return _fails_within(unit, hit, unit.run.text[max(unit.start, hit.start - 45) : hit.start])


CEILING = re.compile(
    r"\b(?:not beyond|(?:but|though|yet|and) (?:in no case|never|not) (?:for )?(?:beyond|more than|longer than|later than|past)|(?:in no (?:case|event)|under no circumstances?) (?:for )?(?:beyond|more|longer|later|past|after)|"
    r"at (?:the )?(?:most|latest)|no(?:t)? (?:later|longer|more) than|(?:with|subject to) (?:a|an) (?:ceiling|limit|cap|maximum|outside limit)|"
    r"up to a maximum|maximum of|capped at|con (?:un )?(?:tope|límite|máximo)|sin exceder|como máximo|dans la limite|au maximum|"
    r"au plus tard|sans (?:excéder|dépasser)|höchstens|längstens|spätestens|maximal)\b",
    re.IGNORECASE,
)
