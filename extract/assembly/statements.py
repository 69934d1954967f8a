"""Sentences that promise something -> drafts. One group of limits with its subject is one draft.

The anchors of a sentence are its durations, volumes, lifetimes and references to a table. Anchors that belong to one
promise ("5 years or 500,000 gal", "12 months from installation or 18 from shipment") form a group; the subject, kind and
start of a group are sought in its own stretch of the sentence first, then in the sentence, then in its headings.
"""

import itertools
import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.answers import is_fragment, questions_of
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.credits import stage_of_longer
from firstcap.extract.assembly.draft import BandDraft, Draft, Found, TimeLimit
from firstcap.extract.assembly.keyed import keyed_standards
from firstcap.extract.assembly.unit import Hit, Unit, shifted
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.start import start_in
from firstcap.extract.patterns.trigger import warrants
from firstcap.extract.patterns.values import ComponentSpec, FullAndTail, NamedFlow, StartSpec
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.vocabulary import AccuracyLevel, Component, Ends, FlowRole, Promise, StartRule

_STAGE_BEFORE = re.compile(
    r"\b(first|last|next|remaining|initial|final|previous|those|these|erste[nr]?|letzten|premi[eè]re?s?|derni[eè]res?|primeros|últimos|followed by|and then|ersten|nächsten)\s*$",
    re.IGNORECASE,
)
_NOT_BEFORE = re.compile(
    r"\b(within|every|each|than|about|over|some|once|past|nearly|almost|another|dans les|binnen|innerhalb|dentro de(?: los)?|"
    r"alle|seit|since|after about|at most|next|hasta|en un plazo de|spätestens(?: jedoch)?|maximum of|up to|(?:part|balance|rest|remainder|end|course) of (?:the|these|those|its))\s*$",
    re.IGNORECASE,
)
# "For not less than 20 years", "for up to eighteen months": the bound of a promise is the promise.
_AT_LEAST = re.compile(
    r"\b(?:for|of|than|to|be|is|are|and|,) (?:a (?:period|term) of )?(?:up to|a maximum of|(?:not|no) less than)\s*$",
    re.IGNORECASE,
)
_NOT_AFTER = re.compile(
    r"^\s*(of age|old|ago|ahead|earlier|in advance|notice|net\b|of (?:field|use|service|experience|transmissions|export)|"
    r"business|working|of its discovery|after (?:the |its |a )?(?:defect|discover|failure|fault|removal|it|he|they|you|receipt|notice)(?! (?:is|are|was|were|has|have|had) (?:been )?(?:first |duly |properly )?(?:installed|shipped|fitted|put|set|placed|delivered|bought|purchased|made|manufactured|sold|commissioned|accepted|invoiced|received)| (?:buy|bought|purchased?|receive|install))|"
    r"of (?:discover|noticing|finding|learning|receipt)|from (?:the )?(?:discover|date of (?:discover|notice|removal|invoice is))|later|contract)",
    re.IGNORECASE,
)
_LOT = re.compile(
    r"\b(same (?:\w+ )?(?:defect|cause|fault|reason|failure)|one and the same|whole (?:lot|shipment|consignment|despatch)|production lot|entire (?:lot|shipment)|of one delivery|whole delivery|"
    r"(?:per ?cent|%) or more of|or more (?:of|out of|(?:of the )?(?:meters|products|units))\b|même défaut|mismo lote|gleichartige)(?!\w)",
    re.IGNORECASE,
)
_CLAIM = re.compile(
    r"\b(notif\w+|notice|in writing|inform\w*|returned? (?:to|within)|claims? (?:must|shall|is|are|older)|discover\w*|report\w*|refund within|full refund|avis\w*|schriftlich|par écrit|por escrito)\b",
    re.IGNORECASE,
)
_ANAPHORA = re.compile(
    r"^\W*(?:\d[\d.]*\s+)?(it|they|this (?:warranty|promise|guarantee|cover|term|period|accuracy)|that (?:warranty|promise|accuracy|period)|"
    r"the (?:warranty|promise|guarantee|same|period)\b|these|those|its|er|sie|es|die garantie|diese[rs]?|elle|il|ils|elles|cette garantie|esta garantía|dicha garantía|the (?:\d+|two|three|four|five|ten|twelve) (?:years|months)|in (?:both|each) cases?|thereafter|after that|both|then)\b",
    re.IGNORECASE,
)
_PRONOUN = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:they|it|these|such (?:meters?|parts?|products?)|(?:each|all|both|every one)(?: of (?:them|these|those))? (?:is|are|shall|will|must))\b",
    re.IGNORECASE,
)
_SAME = re.compile(
    r"^\W*(?:the same (?:meters?|products?)|thereafter|after that|it|they|these|those|then)\b", re.IGNORECASE
)
_COUNTED = re.compile(
    r"\b(period|periods|time|times|service|years?|months?|clock|duration|warrant(?:y|ies)|terms?|limits?|all of (?:it|them)|everything|they all|Fristen|Zeiten|plazos?|délais?|durées?|duraciones)\b.{0,80}?\b(run|runs|ran|count|counts|counted|begin|begins|start|starts|commence\w*|measured|reckoned|calculated|laufen|läuft|beginn\w+|courent|cuenta\w*|corre\w*|are|is)\b",
    re.IGNORECASE | re.DOTALL,
)
_SPLIT = re.compile(r"(;|,\s*(?:and|while|but|und|et|y)\b|\band\b|,)", re.IGNORECASE)
_LABEL = re.compile(r"^[^.]{2,90}?:\s")


def statements(units: Sequence[Unit], context: Context, carried: Draft | None = None) -> list[Draft]:
    """The drafts of one block's sentences, in order. `carried` is the last draft before this block in its section."""
    drafts: list[Draft] = []
    open_unit: Unit | None = None
    limits_of: Unit | None = None  # the last sentence that names an accuracy without a time for it
    prior: Unit | None = None
    open_drafts: list[Draft] = []
    for unit in units:
        unit = without_replaced(unit)
        earlier = prior
        if prior is not None and _PRONOUN.match(unit.text):
            unit.extra["prior"] = prior
        prior = unit
        if open_unit is not None and _ANAPHORA.match(unit.text):
            if open_unit.run is unit.run:
                drafts = [draft for draft in drafts if all(draft is not other for other in open_drafts)]
            unit = _joined(open_unit, unit)
            open_unit = None
        if drafts and _SO_TOO.match(unit.text):
            likewise = _likewise(unit, drafts[-1], context)
            if likewise is not None:
                drafts.append(likewise)
                continue
        last = drafts[-1] if drafts else carried
        if last is not None and _SAME_PERIOD.search(unit.text):
            alike = _for_the_same(unit, last, context)
            if alike is not None:
                drafts.append(alike)
                continue
        if _defines_start(unit, bool(drafts)):
            _apply_start(unit, drafts, context)
            continue
        if earlier is not None and (pointed := _pointed_start(unit, earlier, context)) is not None:
            context.note_start(pointed, unit)
            continue
        if _defines(unit):
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
        leaning = _leaning(unit, limits_of, times)
        if unit.of(Family.BAND, Family.LEVEL, Family.STANDARD):
            limits_of = unit if not (times or volumes or lives) else None
        waiting, context.limits_first = context.limits_first, None
        if waiting is not None and not (times or volumes or lives) and _takes_limits(unit):
            drafts.extend(_with_limits_of(waiting, unit, context, drafts[-1] if drafts else carried))
            continue
        answers = questions_of(unit) if is_fragment(unit, [*times, *lives]) else []
        if not answers and not leaning and not _promises(unit, times, context, has_drafts=bool(drafts)):
            if times and _only_limits(unit):
                context.limits_first = unit
            continue
        if not (times or volumes or lives or refs):
            if unit.of(Family.BAND, Family.LEVEL, Family.STANDARD) or _names_promise(unit):
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
        made = [draft for draft in made if not _says_nothing(draft, unit, context)]
        if leaning and limits_of is not None:
            for draft in made:
                _fill_kind(draft, limits_of, limits_of, (), None, context)
                _fill_bands(draft, limits_of)
            drafts.extend(made)
            continue
        open_unit = unit if not (times or volumes or lives) else None
        open_drafts = made if open_unit is not None else []
        drafts.extend(made)
    return drafts


_LAST_YEARS = re.compile(r"\b(?:last|final|remaining|latter) $", re.IGNORECASE)
# "Registers are warranted for the same period, the last ten years of which are prorated".
_SAME_PERIOD = re.compile(
    r"\b(?:for|of|during|carry|carries|has|have) (?:the|a|an) (?:same|like|equal|identical) (?:period|term|time|duration|length|number of years)\b",
    re.IGNORECASE,
)


def _for_the_same(unit: Unit, before: Draft, context: Context) -> Draft | None:
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
    _fill_subject(own, unit, unit, [], before, context)
    _fill_kind(own, unit, unit, (), None, context)
    if "promise" not in own.scalars and "promise" in before.scalars:
        own.put("promise", before.scalars["promise"].passed_on())
    whole = before.times[0].duration.months
    if stages and whole is not None:
        tail = stages[0].value.months if isinstance(stages[0].value, Duration) else None
        if tail is not None and tail < whole and _LAST_YEARS.search(unit.run.text[unit.start : stages[0].start]):
            own.full = Found.of(stages[0], whole - tail)
    return own


_FOR_THAT_LONG = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:(?:this|that|these|those|such|which|it|they|both|all (?:this|that))\b|(?:for|during|within|throughout|over) (?:this|that|these|those|such|the (?:said|same|stated|above))\b"
    r"|(?:so|as) long\b|(?:dies|das|diese\w*|solange|so lange)\b|(?:ce|cette|ces|cela|telle?|pendant ce\w*)\b|(?:este|esta|estos|eso|tal|durante (?:este|ese|dicho)\w*)\b)",
    re.IGNORECASE,
)


def _only_limits(unit: Unit) -> bool:
    """ "Five years or 500,000 gallons, whichever comes first.": limits, and no word of what they hold for."""
    told = (
        Family.COMPONENT,
        Family.PROMISE,
        Family.LEVEL,
        Family.BAND,
        Family.STANDARD,
        Family.PRODUCT,
        Family.NEGATION,
    )
    return not unit.of(*told) and not is_of_trade(unit)


def _takes_limits(unit: Unit) -> bool:
    """ "This holds for the new meter accuracy of …", "For that long we warrant …": what the limits before it hold for."""
    return (
        _FOR_THAT_LONG.match(unit.text) is not None
        and bool(unit.of(Family.PROMISE, Family.LEVEL, Family.BAND))
        and not unit.of(Family.NEGATION, Family.REFERENCE, Family.START)
        and not is_of_trade(unit)
    )


def _with_limits_of(limits: Unit, unit: Unit, context: Context, previous: Draft | None) -> list[Draft]:
    draft = Draft(unit, leans_on=limits.text)
    anchors = [*promise_times(limits, context)[0], *promise_volumes(limits)]
    _fill_limits(draft, limits, sorted(anchors, key=lambda hit: hit.start))
    _fill_subject(draft, unit, unit, [], previous, context)
    _fill_kind(draft, unit, unit, [], previous, context)
    _fill_bands(draft, unit)
    return _by_level(draft, unit, unit)


# "So are the transmitter and the spare parts": the promise of the sentence before, for other parts.
_SO_TOO = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:so (?:are|is|do|does)\b|the same (?:goes|holds|applies|is true|warranty (?:is given|applies|holds))(?: good)?(?: for| to| of)?\b|likewise\b|(?:this|it) (?:also |likewise |equally )?(?:holds|applies|goes|is true|extends)(?: also| likewise| equally)? (?:for|to|of)\b|"
    r"(?:das gleiche|dasselbe|gleiches) gilt(?: für)?\b|lo mismo (?:vale|rige|se aplica)(?: para| a)?\b|il en (?:va|est) de même(?: pour| de)?\b|de même\b)",
    re.IGNORECASE,
)


def _likewise(unit: Unit, before: Draft, context: Context) -> Draft | None:
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
    told = _SO_TOO.match(unit.text)
    _fill_subject(own, unit.part(unit.start + (told.end() if told else 0), unit.end), unit, [], None, context)
    return own if "component" in own.scalars else None


_COVER_WORDS = re.compile(
    r"warrant|guarant|\bcover|garant|gewähr|undertak|promis|pledg|replac|repair|defect|accura|regist", re.IGNORECASE
)


def _says_nothing(draft: Draft, unit: Unit, context: Context) -> bool:
    """ "The contract term is five years": a time, and no word of a thing, a promise or a start."""
    if any(name in draft.scalars for name in ("component", "product", "promise", "level", "start", "rule", "life")):
        return False
    if draft.volumes or draft.bands or draft.refs or draft.sizes is not None:
        return False
    heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
    return not _COVER_WORDS.search(unit.text) and not _COVER_WORDS.search(heads)


def labels_of(unit: Unit) -> list[Unit]:
    """The label of the row a sentence stands in."""
    label = unit.extra.get("label")
    return [label] if isinstance(label, Unit) else []


def _from_questions(draft: Draft, questions: Sequence[Unit], context: Context) -> None:
    """What a fragment promises, by the question it answers."""
    for question in questions:
        asked = Draft(question)
        _fill_subject(asked, question, question, (), None, context)
        _fill_kind(asked, question, question, (), None, context)
        for name, found in asked.scalars.items():
            draft.put(name, found.passed_on())
        if draft.sizes is None and asked.sizes is not None:
            draft.sizes = asked.sizes.passed_on()
        if not draft.bands and draft.get("promise") is Promise.ACCURACY:
            draft.bands = bands_in(question)


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


_DEFINED = re.compile(
    r"^\W*(?:[\d.]+\s+)?[“\"«„'][^”\"»“']{2,40}[”\"»“']\s*(?:,[^,]{0,40},\s*)?(?:means?|shall mean|is|are)\b",
    re.IGNORECASE,
)


def _defines(unit: Unit) -> bool:
    """A sentence that only says what a name means."""
    return _DEFINED.match(unit.text) is not None and not _warranted(unit)


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
    _fill_limits(draft, meaning, sorted([*(follows or times), *promise_volumes(meaning)], key=lambda hit: hit.start))
    best = _best_start(part.of(Family.START))
    if best is not None:
        draft.put("start", best, over=True)
    before = [previous] if previous is not None and part.start != previous.unit.start else []
    _fill_subject(draft, part, part, before, previous, context)
    _fill_kind(draft, part, part, [], previous, context)
    _fill_bands(draft, part)
    draft.refs = [*meaning.of(Family.REFERENCE), *part.of(Family.REFERENCE)]
    if not draft.refs and not draft.volumes and re.search(r"\bvolume\b|\bregistered\b", meaning.text, re.IGNORECASE):
        draft.refs = [period]
    return _by_level(draft, part, part)


def _joined(first: Unit, second: Unit) -> Unit:
    if first.run is not second.run:
        return second
    return Unit(
        first.run, first.start, second.end, [*first.hits, *second.hits], first.block, first.headings, first.extra
    )


def _names_promise(unit: Unit) -> bool:
    return bool(unit.of(Family.PROMISE)) and bool(unit.of(Family.TRIGGER))


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
        if _LOT.search(unit.text):
            continue
        if _fails_within(unit, hit, before):
            times.append(hit)
            continue
        if times and _is_ceiling(unit, times[-1], hit):
            times.append(hit)
            continue
        bound = _AT_LEAST.search(before) and (unit.of(Family.TRIGGER) or not _UP_TO.search(before))
        if _NOT_BEFORE.search(before) and not bound:
            continue
        if isinstance(value, Duration) and value.days is not None and _CLAIM.search(unit.text[: hit.end - unit.start]):
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
        if _LAST_YEARS.search(before) and re.search(r"prorat|pro[- ]rata|declin|sliding", unit.text, re.IGNORECASE):
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
    return started and len(between) < 90 and ";" not in between and _CEILING.search(between) is not None


_UP_TO = re.compile(r"\bfor (?:up to|a maximum of)\s*$", re.IGNORECASE)
_OF_SERVICE = re.compile(r"^\s*of (?:service|use|operation)\b(?! experience| life)", re.IGNORECASE)


def _warranted(unit: Unit) -> bool:
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
        and not _CLAIM.search(unit.text)
    ):
        return True
    led = re.search(
        r"\b(?:within|inside(?: of)?|before|during|in|throughout|for|dentro de|durante|dans|pendant|innerhalb von|innerhalb|binnen|während)"
        r"(?: the| los| les| las| der)?(?: first| full| whole| entire| ersten| premiers?| primeros)?\s*$",
        before,
        re.IGNORECASE,
    )
    remedied = unit.of(Family.REMEDY) or _COUNTS.search(unit.run.text[hit.end : unit.end])
    if led is None or not remedied or _PROMPT.search(before):
        return False
    plain = re.search(_PLAIN_LEAD, before, re.IGNORECASE) is not None
    near = unit.run.text[max(unit.start, hit.start - 60) : min(unit.end, hit.end + 60)]
    flawed = any(_EXPLICIT.search(kind.mention.text) for kind in unit.of(Family.PROMISE))
    if (_CLAIM.search(near) and not (started and flawed and not _in_days(hit))) or (not plain and _in_days(hit)):
        return False
    fails = bool(_FAILS.search(unit.text)) or bool(unit.of(Family.PROMISE, Family.LEVEL))
    if plain and any(part.start < hit.start for part in unit.of(Family.COMPONENT)):
        return started or bool(_FAILS.search(unit.run.text[unit.start : hit.start]))
    if _SUPPLY.search(unit.text) or any(
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


# "A replacement register is furnished for any register that fails": what is promised is the register that fails.
_FOR_ANY = re.compile(r"\b(?:for|of) (?:any|each|every|all|the|a)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
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
            r"\b(draw|uses?|loses|losing|tested|sold|one|at least|resolution|every|more than)\s*(?:of\s*)?(?:about\s*|at least\s*)?$",
            before,
            re.IGNORECASE,
        ):
            continue
        found.append(hit)
    return found


def _promises(unit: Unit, times: Sequence[Hit], context: Context, *, has_drafts: bool = False) -> bool:
    if any(hit.mention.pattern in ("negation.past",) for hit in unit.of(Family.NEGATION)) and not unit.of(
        Family.TRIGGER
    ):
        return False
    if any(hit.mention.pattern == "negation.no_warranty" for hit in unit.of(Family.NEGATION)) and not times:
        return False
    warranted = _warranted(unit)
    failing = any(_fails(unit, hit) for hit in times)
    if not warranted and not failing and (_SUPPLY.search(unit.text) or _HISTORY.search(unit.text)):
        return False
    if any(hit.mention.pattern in ("negation.optional", "negation.law") for hit in unit.of(Family.NEGATION)):
        return False
    if not warranted:
        if any(
            hit.mention.pattern == "negation.typical" and hit.start < unit.start + 40
            for hit in unit.of(Family.NEGATION)
        ):
            return False
        if (
            times
            and not unit.of(Family.START, Family.RULE, Family.BAND, Family.LEVEL)
            and all(_in_days(hit) for hit in times)
            and not ((_LABEL.match(unit.text) or unit.extra.get("item")) and unit.of(Family.COMPONENT))
        ):
            return False
    replaced = [hit for hit in unit.of(Family.NEGATION) if hit.mention.pattern == "negation.replacement"]
    if replaced and not any(
        hit.start < replaced[0].start or _FOR_ANY.search(unit.run.text[unit.start : hit.start])
        for hit in unit.of(Family.COMPONENT)
        if not _covered(hit, replaced)
    ):
        return False
    if unit.of(Family.TRIGGER) or failing:
        return True
    if unit.of(Family.LIFE) and unit.of(Family.REMEDY) and unit.of(Family.COMPONENT) and unit.of(Family.PROMISE):
        return context.is_warranty
    if (
        context.is_warranty
        and unit.of(Family.START)
        and any(_YEAR_COVER.match(unit.run.text[hit.end : hit.end + 30]) for hit in times)
        and not (_TRADE.search(unit.text) or _CLAIM.search(unit.text) or unit.of(Family.NEGATION))
    ):
        return True  # "our products come with a one (1) year warranty from shipment"
    if times and unit.of(Family.START) and _bare(unit, named=False) and context.is_warranty:
        heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
        if re.search(r"\b(?:period|term|duration|length|how long)\b", heads, re.IGNORECASE):
            return True  # "Period of cover": "Five years from installation, or …"
    named = unit.of(Family.COMPONENT, Family.LEVEL, Family.PROMISE)
    if (
        has_drafts
        and unit.of(Family.SIZE, Family.PRODUCT)
        and (times or unit.of(Family.VOLUME))
        and not unit.of(Family.NEGATION)
    ):
        if re.match(r"\W*(?:for|the same|likewise|a|an|with)\b", unit.text, re.IGNORECASE) and not _CLAIM.search(
            unit.text
        ):
            return True
    if not (named or unit.of(Family.PRODUCT, Family.BAND)) or not (times or unit.of(Family.LIFE, Family.VOLUME)):
        return False
    if _LABEL.match(unit.text) or unit.extra.get("item") or _bare(unit):
        return context.is_warranty
    if not context.is_warranty or _CLAIM.search(unit.text):
        return False
    if unit.of(Family.START, Family.RULE):
        return True
    if _TRADE.search(unit.text) or unit.of(Family.NEGATION):
        return False
    # "The case carries the same assurance for 25 years": no word we know for the promise, but a thing and its time.
    return any(
        _FOR.search(unit.run.text[max(unit.start, hit.start - 25) : hit.start])
        or _YEAR_COVER.match(unit.run.text[hit.end : hit.end + 30])
        for hit in times
    )


# "Casing 20 years.", "10 years for registers, 20 years for main cases": things and times, no verb.
_SMALL = re.compile(
    r"\b(?:for|on|the|and|all|of|from|both|each|our|or|to|any|its|in|complete|only|as|well)\b", re.IGNORECASE
)


def _bare(unit: Unit, *, named: bool = True) -> bool:
    if (named and not unit.of(Family.COMPONENT)) or not unit.of(Family.DURATION) or unit.of(Family.NEGATION):
        return False
    left = list(unit.text)
    for hit in unit.hits:
        if hit.family not in (Family.TRIGGER, Family.REMEDY, Family.SHARE):
            left[hit.start - unit.start : hit.end - unit.start] = " " * (hit.end - hit.start)
    words = re.findall(r"[^\W\d_]{2,}", _SMALL.sub(" ", "".join(left)))
    return len(words) <= len(unit.of(Family.COMPONENT)) // 2


# "shall have made the model for ten years", "field studies show": experience and surveys, no promise.
_HISTORY = re.compile(
    r"\b(?:has|have|having|had)\s+(?:\w+ly\s+)?(?:been (?:in|making|selling|on|producing|manufactur\w+|suppl\w+|used|sold)|made|sold|shown|served|supplied|produced|furnished|manufactured|lasted|run)\b|"
    r"\b(?:stud(?:y|ies)|surveys?|experience|records?) (?:show|shows|suggest|indicate)|\b(?:oldest|on record|in the field)\b",
    re.IGNORECASE,
)
# "Spares will be stocked for 12 years": a promise of supply, not of a meter.
_SUPPLY = re.compile(
    r"\b(?:in|on|out of) (?:store|storage|stock|the shelf)\b|"
    r"\b(?:spares?|spare parts|parts|replacements?)\b.{0,60}\b(?:stocked|kept|held|available|obtainable|supplied|furnished)\b|"
    r"\b(?:keeps?|stocks?|holds?|suppl(?:y|ies)|maintains?|furnish(?:es)?|guarantees? the supply of) (?:\w+ ){0,2}(?:spares?|spare parts|replacement parts)\b|"
    r"\b(?:tender|bid|offer|quotation|proposal)s? (?:stays?|remains?|is|are|holds?|will)\b",
    re.IGNORECASE | re.DOTALL,
)
_FOR = re.compile(
    r"\b(?:for|during|throughout|durante|por|pendant|für|portée? à|étendue? à|fixée? à)\s+(?:\w+ ){0,2}$", re.IGNORECASE
)
_YEAR_COVER = re.compile(
    r"\s*-?\s*(?:\w+ )?(?:warranty|guarantee|cover|coverage|protection|assurance)\b", re.IGNORECASE
)
# Times of the trade that promise nothing of a meter.
_TRADE = re.compile(
    r"\b(?:spares?|stock(?:ed)?|tenders?|bids?|offers?|quot\w+|payments?|invoices? (?:fall|are|is)|interest|production|"
    r"in business|experience|support|returned unused|contract|agreement term|licen[cs]e|records?|lead times?|prices?|"
    r"calibrat\w+|inspect\w+|maintenance|mainten\w+|subscription|storage|stored|shelf|available|training|response)\b",
    re.IGNORECASE,
)


def is_of_trade(unit: Unit) -> bool:
    """A sentence whose times are those of a claim, of supply, of experience or of another business, not of a promise."""
    return any(known.search(unit.text) for known in (_CLAIM, _TRADE, _HISTORY, _SUPPLY, _LOT))


def _in_days(hit: Hit) -> bool:
    return isinstance(hit.value, Duration) and hit.value.days is not None


def _covered(hit: Hit, covers: Sequence[Hit]) -> bool:
    return any(cover.start <= hit.start and hit.end <= cover.end for cover in covers)


def _defines_start(unit: Unit, has_drafts: bool) -> bool:
    starts = unit.of(Family.START)
    fallback = any(isinstance(hit.value, StartSpec) and hit.value.rule is StartRule.CONDITIONAL for hit in starts)
    if fallback and has_drafts and not unit.of(Family.DURATION, Family.VOLUME) and _TAKEN.search(unit.text):
        return True
    if not starts or not _COUNTED.search(unit.text):
        return False
    if unit.of(Family.PROMISE, Family.LEVEL, Family.BAND) and unit.of(Family.TRIGGER):
        if unit.of(Family.DURATION, Family.PERIOD) or (unit.of(Family.REFERENCE) and _warranted(unit)):
            return False
    durations = unit.of(Family.DURATION)
    if durations:
        return has_drafts and bool(_ANAPHORA.match(unit.text) or _CLOCK.match(unit.text))
    return not unit.of(Family.BAND, Family.VOLUME) and (
        not unit.of(Family.COMPONENT)
        or bool(
            re.search(
                r"\b(periods?|times?|terms?|warrant(?:y|ies)|years?|clock|plazos|Fristen)\b", unit.text, re.IGNORECASE
            )
        )
    )


_TAKEN = re.compile(
    r"\b(?:taken|used|counts?|serves?|deemed|regarded|treated|governs?|applies|considered|assumed|substituted)\b|"
    r"\b(?:start(?:ing)?|begin(?:s|ning)?|commencement) (?:date|point)?\b",
    re.IGNORECASE,
)
_THAT_DAY = re.compile(
    r"\b(?:from|on|at|with) (?:that|this|the same) (?:date|day|month|moment|event|time)\b", re.IGNORECASE
)
_A_DAY = re.compile(r"\b(?:date|day|month) of (?:the |its )?\w+", re.IGNORECASE)


def _pointed_start(unit: Unit, before: Unit, context: Context) -> Found | None:
    """ "Each meter bears its month of manufacture. All years are counted from that month.": the day named before."""
    if unit.of(Family.START, Family.DURATION) or not (_COUNTED.search(unit.text) and _THAT_DAY.search(unit.text)):
        return None
    for match in _A_DAY.finditer(before.text):
        mention = start_in(match.group(), context.reader.style)
        if mention is not None:
            place = before.start + match.start()
            moved = replace(mention, start=place, end=place + len(match.group()), text=match.group())
            return Found.of(Hit(moved, before.run))
    return None


_CLOCK = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:the|this|our|your|each|every)\s+(?:\w+\s+)?(?:clock|period|periods|term|terms|time|count|cover|warranty)\s+"
    r"(?:starts?|begins?|runs?|opens?|commences?|is counted|are counted|is reckoned|are reckoned|counts?)\b",
    re.IGNORECASE,
)


def _apply_start(unit: Unit, drafts: list[Draft], context: Context) -> None:
    found = _best_start(unit.of(Family.START))
    if found is None:
        return
    spec = found.value
    if isinstance(spec, StartSpec) and spec.rule is StartRule.CONDITIONAL:
        # "If no record of installation is kept, shipment is taken": the fallback of what was just promised.
        for draft in drafts:
            own = draft.get("start")
            if not isinstance(own, StartSpec) or own.clocks == spec.clocks[:1]:
                draft.put("start", found, over=True)
                draft.times = [replace(limit, start=None) for limit in draft.times]
    if (
        drafts
        and _ANAPHORA.match(unit.text)
        and not re.match(r"^\W*(?:both|these(?! (?:\w+ )?(?:years|months|days))|all|every)", unit.text, re.IGNORECASE)
    ):
        target = drafts[-1]
        target.put("start", found, over=True)
        target.times = [replace(limit, start=None) for limit in target.times]
    else:
        context.note_start(found, unit)


def _best_start(starts: Sequence[Hit]) -> Found | None:
    """One start out of several hits: a rule that combines clocks says more than a single clock."""
    if not starts:
        return None
    combined = [hit for hit in starts if isinstance(hit.value, StartSpec) and hit.value.rule is not StartRule.SINGLE]
    return Found.of((combined or list(starts))[0])


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
    ranges = _ranges(unit, anchors)
    drafts: list[Draft] = []
    for low, high, inside in ranges:
        part = unit.part(low, high)
        draft = Draft(part)
        draft.unit = replace(unit, start=unit.start, end=unit.end)
        _fill_limits(draft, part, inside)
        _fill_subject(draft, part, unit, drafts, previous, context)
        _fill_kind(draft, part, unit, drafts, previous, context)
        if "start" not in draft.scalars and previous is not None and _SAME_START.search(unit.text):
            draft.put("start", _passed_on(previous.scalars.get("start")))
        if "rule" not in draft.scalars and previous is not None and _SAME_FOOTING.search(unit.text):
            draft.put("rule", _passed_on(previous.scalars.get("rule")))
        _fill_bands(draft, part if part.of(Family.BAND) or len(ranges) > 1 else unit)
        draft.refs = [hit for hit in refs if low <= hit.start < high] or (list(refs) if len(ranges) == 1 else [])
        drafts.extend(one for kind in _by_kind(draft, part, context) for one in _by_level(kind, part, unit))
    _share_tail(drafts, unit)
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
            failing = next((limit.hit for limit in draft.times if _fails(unit, limit.hit)), None)
            if failing is not None:
                draft.put("promise", Found(Promise.FUNCTION, failing, True, "promise.by_failure"))
    return drafts


def _fails(unit: Unit, hit: Hit) -> bool:
    return _fails_within(unit, hit, unit.run.text[max(unit.start, hit.start - 45) : hit.start])


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


def _ranges(unit: Unit, anchors: Sequence[Hit]) -> list[tuple[int, int, list[Hit]]]:
    """Stretches of the sentence, each with the anchors of one promise."""
    if not anchors:
        return [(unit.start, unit.end, [])]
    groups: list[list[Hit]] = [[anchors[0]]]
    cuts: list[int] = []
    for left, right in itertools.pairwise(anchors):
        cut = _cut(unit, groups[-1], left, right)
        if cut is None:
            groups[-1].append(right)
        else:
            groups.append([right])
            cuts.append(cut)
    bounds = [unit.start, *cuts, unit.end]
    return [(bounds[i], bounds[i + 1], groups[i]) for i in range(len(groups))]


def _without_kinds(unit: Unit) -> str:
    """The text with the words of promises blotted out: the "or" of "material or workmanship" joins no limits."""
    text = unit.run.text
    for hit in unit.of(Family.PROMISE):
        text = text[: hit.start] + "x" * (hit.end - hit.start) + text[hit.end :]
    return text


def _cut(unit: Unit, group: Sequence[Hit], left: Hit, right: Hit) -> int | None:
    """Where the promise of `right` begins, if it is another promise than the group's."""
    text = _without_kinds(unit)
    between = text[left.end : right.start]
    kinds = {hit.family for hit in group}
    subjects = [
        hit
        for hit in unit.hits
        if left.end <= hit.start < right.start
        and hit.family in (Family.COMPONENT, Family.PRODUCT, Family.SIZE, Family.LEVEL, Family.METER_TYPE)
        and not _covered(hit, unit.of(Family.START))
        and not re.search(r"\b(until|till|or)\b[^;]*$", text[left.end : hit.start], re.IGNORECASE)
    ]
    if right.family is Family.VOLUME and Family.VOLUME not in kinds and not (subjects and ";" in between):
        return None
    if right.family is Family.VOLUME and right.start - left.end < 4:
        return None
    same_kind = right.family in kinds or (right.family is Family.LIFE or Family.LIFE in kinds)
    if (
        re.search(
            r"\bor\b|\boder\b|\bou\b|\bo\b|(?<!not )(?<!no )\bless|\bexceed|\bhöchstens|\bnot beyond\b|\bin any case\b|\bat the latest\b|\bno later\b|\bnot later\b|\bat most\b|\bsin exceder|\bcon (?:un )?(?:tope|límite|máximo)|\bbeyond\b|\bceiling\b|\bcapped\b|\boutside limit|\bau plus tard|\bdans la limite|\bau maximum|\bspätestens|\bboth\b|\bwhichever|/|, and (?:four|\w+) years? from",
            between,
            re.IGNORECASE,
        )
        or _CEILING.search(between)
    ) and not subjects:
        if right.family is Family.DURATION and len([h for h in group if h.family is Family.DURATION]) >= 2:
            pass
        else:
            return None
    if not same_kind and not subjects:
        return None
    if (
        not subjects
        and right.family is Family.DURATION
        and re.search(r"\band\b|\bplus\b|,", between)
        and unit.of(Family.RULE)
    ):
        return None
    if subjects and _OF_THING.match(unit.run.text[left.end : subjects[0].start]):
        tail = subjects[0].end - left.end  # "25 years for the case and to ten years for the register"
        following = [m for m in _SPLIT.finditer(between) if m.start() >= tail]
        if following:
            return left.end + following[0].start()
    splits = list(_SPLIT.finditer(between))
    first_subject = subjects[0].start if subjects else right.start
    before = [left.end + m.start() for m in splits if left.end + m.start() <= first_subject]
    if ";" in between:
        return left.end + between.index(";") + 1
    if before:
        return before[-1]
    return left.end if same_kind else None


# A time before the thing it is for: "25 years for the bronze maincase", "5 years (60 months) on the register".
_OF_THING = re.compile(
    r"^\s*(?:\([^)]*\)\s*)?(?:(?:from|after|following)\b[^,;.]{0,40}?\s(?=for\b|on\b))?(?:for|on|to|of|at|within|in (?:the )?case of|in respect of|with respect to|as (?:to|regards))\s+"
    r"(?:the|its|all|any|each|every|our|a|an)?\s*(?:[\w-]+\s+){0,2}$",
    re.IGNORECASE,
)


def _fill_limits(draft: Draft, part: Unit, anchors: Sequence[Hit]) -> None:
    starts = part.of(Family.START)
    durations = [hit for hit in anchors if hit.family is Family.DURATION]
    for index, hit in enumerate(durations):
        following = durations[index + 1].start if index + 1 < len(durations) else part.end
        own = [
            s for s in starts if hit.end <= s.start < following or (s.start <= hit.start and hit.end <= s.end)
        ]  # "twelve months in use" is a time with its start
        value = hit.value
        full = None
        if isinstance(value, FullAndTail):
            full, value = value.full, value.total
        if not isinstance(value, Duration):
            continue
        start = Found.of(own[0]) if own and len(durations) > 1 else None
        draft.times.append(TimeLimit(value, hit, full, start))
        if full is not None and full.months is not None and full.months != value.months:
            draft.full = Found(full.months, hit, False, hit.mention.pattern)
    if len(draft.times) > 1 and all(limit.start is None for limit in draft.times):
        # Several durations of one subject with one start: the first is the promise, the others are kept to be seen.
        pass
    best = _best_start(starts)
    if best is not None:
        draft.put("start", best)
    for hit in anchors:
        if hit.family is Family.VOLUME and isinstance(hit.value, Volume):
            draft.volumes.append((hit.value, hit))
        elif hit.family is Family.LIFE:
            draft.put("life", Found.of(hit))
    rule = part.first(Family.RULE)
    if rule is not None:
        draft.put("rule", Found.of(rule))
    elif len(anchors) > 1 and (ceiling := _ceiling(part, anchors)) is not None:
        draft.put("rule", ceiling)


_CEILING = re.compile(
    r"\b(?:not beyond|but (?:in no case|never|not) (?:beyond|more than|longer than|later than)|in no (?:case|event) (?:beyond|more|longer|later)|"
    r"at (?:the )?(?:most|latest)|no(?:t)? (?:later|longer|more) than|(?:with|subject to) (?:a|an) (?:ceiling|limit|cap|maximum|outside limit)|"
    r"up to a maximum|maximum of|capped at|con (?:un )?(?:tope|límite|máximo)|sin exceder|como máximo|dans la limite|au maximum|"
    r"au plus tard|sans (?:excéder|dépasser)|höchstens|längstens|spätestens|maximal)\b",
    re.IGNORECASE,
)


def _ceiling(part: Unit, anchors: Sequence[Hit]) -> Found | None:
    """ "10 years from commissioning, though not beyond 11 years from delivery": the second limit is a ceiling."""
    first, second = anchors[0], anchors[1]
    low = first.end
    if second.start <= low or _CEILING.search(part.run.text[low : second.start]) is None:
        return None
    return Found(Ends.FIRST_OF, second, False, "rule.ceiling")


_OF_THE = re.compile(
    r"\b(?:of|for|in|on|to|with|inside|from|du|des|de la|del|de los|der|des|eines|einer)\s+(?:the|a|an|each|every|any|our|its|le|la|el|un|une)?\s*(?:[\w/.\-“”\"]+\s+){0,4}$",
    re.IGNORECASE,
)
_ASIDE = re.compile(
    r"\b(?:other than|excluding|except|not including|sold with|supplied with|with(?! respect| regard| reference)|come with|comes with|included with|including|together with|einschließlich|inklusive|samt|nebst|y compris|con|avec|mit|used with|until (?:the|it|its|such)(?: \w+)?|when (?:the|its|a)|if (?:the|a)|whose|that powers|powers? the|shown (?:on|by) (?:the|its)|power the|run the|keep the|supply the|sold separately|in the|cast in the|stamped on (?:the|its))\s*(?:\w+\s+){0,2}$",
    re.IGNORECASE,
)


# "If the battery of a meter fails within ten years, the module is exchanged": the battery is what is promised.
_IF_IT_FAILS = re.compile(
    r"^\W*(?:[\d.()a-z]{1,5}\s+)?(?:if|should|where|when)\s+(?:the|a|an|any|its|such)?\s*(?:[\w-]+\s+){0,2}$",
    re.IGNORECASE,
)


# "Except the maincase, which is warranted for twenty years": an aside with a promise of its own.
_ITSELF = re.compile(
    r",?\s+(?:which|that|whose warranty)\s+(?:is|are|shall|will|carry|carries|has|have)\b", re.IGNORECASE
)


def _fill_subject(
    draft: Draft, part: Unit, unit: Unit, before: Sequence[Draft], previous: Draft | None, context: Context
) -> None:
    kinds = part.of(Family.PROMISE, Family.BAND)
    anchors = [limit.hit.start for limit in draft.times] + [hit.start for _, hit in draft.volumes]
    subject_end = min([hit.start for hit in kinds] + anchors, default=part.end)
    covers = part.of(Family.LEVEL, Family.STANDARD)
    kinds_of_meter = part.of(Family.METER_TYPE)
    found = [
        hit
        for hit in part.of(Family.COMPONENT)
        if not _covered(hit, covers)
        and not (_component(hit) is not Component.WHOLE_METER and _covered(hit, kinds_of_meter))
        and not _in_firm_name(part, hit, context)
    ]
    within = [hit for hit in found if not _covered(hit, part.of(Family.START, Family.LIFE))]
    found = within or found  # "from the date the meter is set, the rotor …": the meter is no subject
    subject = [hit for hit in found if hit.end <= subject_end]
    chosen = _subjects(part, subject) or _subjects(
        part, [hit for hit in found if hit.end <= min(anchors, default=part.end)]
    )
    if before and re.match(
        r"\W*(?:and\s+)?(?:those|that(?!\s+(?:the|its|each|any|all|our|every))|the ones?)\b", part.text, re.IGNORECASE
    ):
        chosen = []  # "those for 2 inch meters": the subject is the one before
    if not chosen:
        after = max(anchors, default=part.start)
        trailing = [hit for hit in found if hit.start > after]
        last_end = max([limit.hit.end for limit in draft.times] + [hit.end for _, hit in draft.volumes], default=0)
        beside = bool(trailing) and bool(_OF_THING.match(part.run.text[last_end : trailing[0].start]))
        chosen = _subjects(part, trailing) if (not before or beside) and _LABEL.match(part.text) is None else []
        if beside and trailing and not chosen:
            chosen = trailing[:1]  # "five years for the register": no aside
        chosen = [hit for hit in chosen if beside or _component(hit) is not Component.WHOLE_METER]
    if chosen:
        draft.scalars["component"] = Found.of(chosen[0])
        if len({_component(hit) for hit in chosen}) > 1:
            draft.scalars["components"] = Found(list(chosen), chosen[0])
    product = list(part.of(Family.PRODUCT))
    product_subject = [hit for hit in product if hit.end <= subject_end] or product
    if product_subject:
        draft.put("product", Found.of(product_subject[0]))
        names = list(dict.fromkeys(str(hit.value) for hit in product_subject))
        if len(names) > 1:
            draft.scalars["products"] = Found(tuple(names), product_subject[0])
    types = part.of(Family.METER_TYPE)
    if types:
        draft.put("meter_type", Found.of(types[0]))
        if len({hit.value for hit in types}) > 1:
            draft.scalars["mixed_types"] = Found(True, types[0])
    sizes = [hit for hit in part.of(Family.SIZE) if not _beside_standard(part, hit)]
    if sizes:
        labels: list[str] = []
        for hit in sizes:
            labels.extend(label for label in hit.value if label not in labels)  # type: ignore[attr-defined]
        draft.sizes = Found(tuple(labels), sizes[0], False, sizes[0].mention.pattern)
    if "component" not in draft.scalars and not product_subject and _unknown_subject(part, found):
        draft.scalars["component"] = Found(ComponentSpec(Component.OTHER), None, False, "component.unknown")
        draft.doubts.append("component_default")
    prior = unit.extra.get("prior")
    if isinstance(prior, Unit) and "component" not in draft.scalars and prior.of(Family.COMPONENT):
        named = [
            hit for hit in prior.of(Family.COMPONENT) if not _covered(hit, prior.of(Family.LEVEL, Family.STANDARD))
        ]
        for hit in _subjects(prior, named)[:1]:
            draft.put("component", Found.of(hit).passed_on())
        kinds_before = prior.of(Family.METER_TYPE)
        if kinds_before and "meter_type" not in draft.scalars:
            draft.put("meter_type", Found.of(kinds_before[0]).passed_on())
            if len({hit.value for hit in kinds_before}) > 1:
                draft.scalars["mixed_types"] = Found(True, kinds_before[0])
    if isinstance(prior, Unit) and (prior.of(Family.COMPONENT) or prior.of(Family.METER_TYPE)):
        sizes_before = [label for hit in prior.of(Family.SIZE) for label in hit.value]  # type: ignore[attr-defined]
        if sizes_before and draft.sizes is None and not prior.of(Family.DURATION):
            draft.sizes = Found(tuple(dict.fromkeys(sizes_before)), prior.of(Family.SIZE)[0], True)
    last = before[-1] if before else previous
    anaphoric = (
        bool(before) or bool(_SAME.match(unit.text)) or (bool(_ANAPHORA.match(unit.text)) and previous is not None)
    )
    if last is not None and anaphoric:
        if "component" not in draft.scalars and "component" in last.scalars:
            draft.put("component", last.scalars["component"].passed_on())
        if draft.get("component") == last.get("component") or not chosen or (before and "product" not in draft.scalars):
            for name in ("product", "products", "meter_type"):
                if (name in last.scalars and "product" not in draft.scalars) or name == "meter_type":
                    draft.put(name, last.scalars[name].passed_on() if name in last.scalars else None)
        again = (
            bool(before) and not chosen and not product_subject
        )  # "to new limits for …, and to repaired limits for …"
        if draft.sizes is None and last.sizes is not None and (again or _SAME.match(unit.text)):
            draft.sizes = last.sizes.passed_on()


def _beside_standard(part: Unit, size: Hit) -> bool:
    """ "(C700 up to 2 inch, C701 above)": sizes that say which standard holds, not what is promised."""
    text = part.run.text
    opened = text.rfind("(", part.start, size.start)
    if opened < 0 or ")" in text[opened : size.start]:
        return False
    closed = text.find(")", size.end)
    return any(opened <= hit.start < (closed if closed >= 0 else part.end) for hit in part.of(Family.STANDARD))


def _in_firm_name(part: Unit, hit: Hit, context: Context) -> bool:
    """ "Millrace Meter & Valve Co. warrants …": parts in the supplier's own name are no subject."""
    words = context.supplier_words
    if not hit.mention.text[:1].isupper() or not {word.casefold() for word in hit.mention.text.split()} <= words:
        return False
    before = re.findall(r"\w+", part.run.text[max(part.start, hit.start - 30) : hit.start])[-1:]
    after = re.findall(r"\w+", part.run.text[hit.end : hit.end + 30])[:1]
    return any(word[:1].isupper() and word.casefold() in words for word in (*before, *after))


def _component(hit: Hit) -> Component:
    return hit.value.component if isinstance(hit.value, ComponentSpec) else Component.OTHER


def _leaning(unit: Unit, before: Unit | None, times: Sequence[Hit]) -> bool:
    """ "… ±2 % from Q2 to Q4. DN15: eight years or 3,000 m3.": limits by size of what the sentence before promises."""
    return (
        before is not None
        and before.run is unit.run
        and bool(times)
        and bool(unit.of(Family.SIZE))
        and not unit.of(Family.PROMISE, Family.LEVEL, Family.BAND, Family.STANDARD, Family.NEGATION)
        and all(_component(hit) is Component.WHOLE_METER for hit in unit.of(Family.COMPONENT))
    )


_SUBJECT = re.compile(
    r"(?:^|[.;]\s+|\b(?:and|but|while)\s+)\W*(?:[\d.]+\s+)?(?:the|any|each|every|all|our)\s+((?:[\w/-]+\s+){1,4}?)"
    r"(?:(?:supplied|sold|furnished|delivered|shipped)\s+(?:\w+\s+){0,4})?"
    r"(?:is|are|shall be|will be|carry|carries)\s+(?:\w+ly\s+|also\s+|hereby\s+)?(?:warranted|guaranteed|covered|protected)\b",
    re.IGNORECASE,
)
_GENERAL = re.compile(
    r"\b(?:warrant\w*|guarant\w*|cover\w*|products?|goods|equipment|items?|units?|wares?|articles?|instruments?|devices?|"
    r"limits?|accurac\w+|terms?|promises?|company|seller|manufacturer|supplier|purchaser|buyer|customer|utility|periods?|"
    r"above|following|same|foregoing|latter|former|others?|rest|remainder|parts?|components?|series|models?|types?|sizes?)\b",
    re.IGNORECASE,
)


def _unknown_subject(part: Unit, found: Sequence[Hit]) -> bool:
    """ "Any dongle … is warranted": a thing that has no name of its own in the catalogue."""
    match = _SUBJECT.search(part.text)
    if match is None or _GENERAL.search(match.group(1)):
        return False
    low, high = part.start + match.start(), part.start + match.end()
    return not any(low <= hit.start < high for hit in part.hits if hit.family is not Family.TRIGGER) and not found


# "On bodies and strainers": the second is as much a subject as the first.
_AND_ALSO = re.compile(r"\s*(?:,|and|or|&|, ?and|/)\s*(?:(?:the|its|any|all)\s+)?(?:[\w-]+\s+)?$", re.IGNORECASE)


def _subjects(part: Unit, hits: Sequence[Hit]) -> list[Hit]:
    """The components a promise is about: "the register of the meter" is about the register."""
    kept: list[Hit] = []
    for hit in hits:
        before = part.run.text[part.start : hit.start]
        if re.match(
            r",?\s+(?:included|inclusive|excluded|excepted|comprise|comprises|compris|incluida|incluidas|inbegriffen)\b",
            part.run.text[hit.end : hit.end + 14],
        ):
            continue  # "endpoints, their batteries included"
        aside = _ASIDE.search(before[-60:])
        if (
            aside
            and (len(hits) > 1 or not aside.group().lower().startswith("in the"))
            and not _IF_IT_FAILS.match(before)
            and not _ITSELF.match(part.run.text[hit.end : hit.end + 30])
        ):
            continue
        if kept and _OF_THE.search(before[-60:]) and not _AND_ALSO.match(part.run.text[kept[-1].end : hit.start]):
            continue
        kept.append(hit)
    specific = [hit for hit in kept if _component(hit) is not Component.WHOLE_METER]
    joined = bool(specific) and re.search(r"\b(?:and|or)\b|[,&]", part.run.text[kept[0].end : specific[0].start])
    if (
        specific
        and _component(kept[0]) is Component.WHOLE_METER
        and specific[0].start - kept[0].end < 25
        and not joined
    ):
        return specific  # "meter couplings", "the meter body"
    if specific and kept and _component(kept[0]) is Component.WHOLE_METER:
        return [kept[0]] if not re.search(r"\band\b|,", part.run.text[kept[0].end : specific[0].start]) else kept
    return specific or kept[:1]


def _fill_kind(
    draft: Draft, part: Unit, unit: Unit, before: Sequence[Draft], previous: Draft | None, context: Context
) -> None:
    where = part if part.of(Family.PROMISE, Family.LEVEL, Family.BAND) else unit
    if where is unit and before:
        for name in ("promise", "level", "standard"):
            if name in before[-1].scalars:
                draft.put(name, before[-1].scalars[name].passed_on())
        if not draft.bands and before[-1].bands and draft.get("promise") is Promise.ACCURACY:
            draft.bands = list(before[-1].bands)
        if "promise" in draft.scalars:
            return
    promise = promise_of(where)
    if promise is not None:
        draft.put("promise", promise)
    levels = list(where.of(Family.LEVEL))
    standard = where.first(Family.STANDARD)
    if promise is not None and promise.value is Promise.ACCURACY:
        if levels and not (levels[0].value is AccuracyLevel.EXTENDED_LOW_FLOW and len(where.of(Family.BAND)) > 1):
            draft.put("level", Found.of(levels[0]))
        if standard is not None:
            draft.put("standard", Found.of(standard))
        keyed = keyed_standards(where, where.start, where.end) if len(levels) < 2 else ()
        if keyed:
            draft.put("keyed", Found(keyed))
    if (
        ("promise" not in draft.scalars or _accuracy_of_nothing(draft, where))
        and previous is not None
        and (
            (previous.unit.block == unit.block and _CONTINUES.search(unit.text))
            or (previous.unit.headings == unit.headings and _SAME_LIMITS.search(unit.text))
        )
    ):
        for name in ("promise", "level", "standard"):
            if name in previous.scalars:
                draft.put(name, previous.scalars[name].passed_on())
        if previous.bands and draft.get("promise") is Promise.ACCURACY:
            draft.bands = list(previous.bands)


def _accuracy_of_nothing(draft: Draft, part: Unit) -> bool:
    """A promise of accuracy that names no limits of its own: "the same accuracy limits"."""
    return (
        draft.get("promise") is Promise.ACCURACY
        and not {"level", "standard"} & set(draft.scalars)
        and not part.of(Family.BAND)
        and _SAME_LIMITS.search(part.text) is not None
    )


_SAME_LIMITS = re.compile(
    r"\b(?:the|these|those) (?:same|said|foregoing|above)(?:[- ]named)? (?:accuracy )?(?:limits|accuracy|requirements|standards?|tolerances?)\b",
    re.IGNORECASE,
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
_CONTINUES = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:for\b|the same\b|likewise\b|(?:this|it) (?:also |likewise |equally )?(?:holds|applies|goes|is true|extends)(?: also| likewise| equally)? (?:for|to|of)\b|it\b|they\b|with\b)"
    r"|\b(?:keeps?|holds?|meets?|satisf(?:y|ies)|carry|carries) (?:them|these|those|the same)\b"
    r"|\bthe same (?:limits|accuracy|terms|standard|promise|warranty)\b|\bagainst the same\b|\bfor the same\b",
    re.IGNORECASE,
)


def promise_of(part: Unit) -> Found | None:
    """What is promised, by the words of a stretch of text."""
    levels = list(part.of(Family.LEVEL))
    bands = part.of(Family.BAND)
    promises = list(part.of(Family.PROMISE))
    materials = [hit for hit in promises if hit.value is Promise.MATERIALS_WORKMANSHIP]
    accuracy = [hit for hit in promises if hit.value is Promise.ACCURACY]
    function = [hit for hit in promises if hit.value is Promise.FUNCTION]
    strong = [hit for hit in levels if hit.value is not AccuracyLevel.EXTENDED_LOW_FLOW]
    if bands:
        return Found.of(bands[0], Promise.ACCURACY)
    if strong and not (
        materials and materials[0].start < strong[0].start and "material" in materials[0].mention.text.lower()
    ):
        return Found.of(strong[0], Promise.ACCURACY)
    explicit = [hit for hit in materials if _EXPLICIT.search(hit.mention.text)]
    if explicit:
        return Found.of(explicit[0])
    if accuracy and (not function or accuracy[0].start < function[0].start):
        return Found.of(accuracy[0])
    if levels:
        return Found.of(levels[0], Promise.ACCURACY)
    plain = [hit for hit in function if _PLAIN_FAILURE.fullmatch(hit.mention.text)]
    if function and not (materials and len(plain) == len(function)):
        return Found.of(function[0])
    if materials:
        return Found.of(materials[0])
    return None


# "Fails because of a defect": the cause says more than the failure.
_PLAIN_FAILURE = re.compile(r"fails?|(?:against )?fail(?:ure|ing)|(?:against )?breakdown", re.IGNORECASE)


def _by_kind(draft: Draft, part: Unit, context: Context) -> list[Draft]:
    """ "Free of defects in material and workmanship and accurate to the limits of new meters": two promises, one time."""
    sound = [hit for hit in part.of(Family.PROMISE) if _EXPLICIT.search(hit.mention.text)]
    exact = [hit for hit in part.of(Family.LEVEL, Family.BAND) if hit.value is not AccuracyLevel.EXTENDED_LOW_FLOW]
    if sound and not exact and draft.get("promise") is Promise.MATERIALS_WORKMANSHIP:
        return _and_working(draft, part, sound)
    if not sound or not exact or draft.get("promise") is None or "components" in draft.scalars:
        return [draft]
    first_sound = sound[0].start < exact[0].start
    low, high = (sound[-1].end, exact[0].start) if first_sound else (exact[-1].end, sound[0].start)
    between = part.run.text[low:high] if low <= high else ""
    if not _BOTH.search(between) or _CAUSED.search(between):
        return [draft]
    whole, exactly = draft.copy(), draft.copy()
    whole.scalars["promise"] = Found(Promise.MATERIALS_WORKMANSHIP, sound[0], False, sound[0].mention.pattern)
    for name in ("level", "standard", "keyed"):
        whole.scalars.pop(name, None)
    whole.bands = []
    exactly.scalars["promise"] = Found(Promise.ACCURACY, exact[0], False, exact[0].mention.pattern)
    levels = part.of(Family.LEVEL)
    if levels:
        exactly.scalars["level"] = Found.of(levels[0])
    standard = part.first(Family.STANDARD)
    if standard is not None:
        exactly.scalars["standard"] = Found.of(standard)
    own = [
        hit
        for hit in part.of(Family.COMPONENT)
        if low <= hit.start < high and not _covered(hit, part.of(Family.LEVEL, Family.STANDARD))
    ]
    if own:
        (exactly if first_sound else whole).scalars["component"] = Found.of(own[-1])
    return [whole, exactly] if first_sound else [exactly, whole]


def _and_working(draft: Draft, part: Unit, sound: Sequence[Hit]) -> list[Draft]:
    """ "Free of defects in material, and will remain readable": soundness, and that it works."""
    for hit in part.of(Family.PROMISE):
        between = part.run.text[sound[-1].end : hit.start] if hit.start > sound[-1].end else ""
        if hit.value is Promise.FUNCTION and re.fullmatch(r",?\s*and (?:that it )?(?:will|shall)(?: \w+)?\s*", between):
            works = draft.copy()
            works.scalars["promise"] = Found(Promise.FUNCTION, hit, False, hit.mention.pattern)
            return [draft, works]
    return [draft]


_EXPLICIT = re.compile(
    r"materi|workmanship|fabric|werkstoff|verarbeitung|herstellung|(?:manufactur|casting|factory)\w* (?:defect|flaw|fault)|"
    r"(?:because|owing|due|account|through|reason|result|arising|caused|consequence)\b.* (?:defect|flaw|fault|imperfection|shortcoming)",
    re.IGNORECASE,
)
_BOTH = re.compile(r"\b(?:and|as well as|nor|plus|but also|und|y|et)\b|&|,", re.IGNORECASE)
_CAUSED = re.compile(
    r"[;:]|\b(?:cause|causes|caused|affect|affects|affecting|impair|impairs|so that|which|prevent|prevents|if|until)\b",
    re.IGNORECASE,
)
# "Once the gallons of new meter accuracy are used up, …": the stage before, not what is promised.
_SUBORDINATE = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:once|after|when|as soon as|following|from the end of)\b[^,]*$", re.IGNORECASE
)


def _by_level(draft: Draft, part: Unit, unit: Unit) -> list[Draft]:
    """One draft for each accuracy level a group names: "the new limits of C700, and later the repaired limits of M6"."""
    if draft.get("promise") is not Promise.ACCURACY:
        return [draft]
    levels: list[Hit] = []
    for hit in part.of(Family.LEVEL):
        if _SUBORDINATE.match(part.run.text[part.start : hit.start]) and len(part.of(Family.LEVEL)) > 1:
            continue
        if hit.value is AccuracyLevel.EXTENDED_LOW_FLOW:
            continue
        if hit.value not in [other.value for other in levels]:
            levels.append(hit)
    if len(levels) < 2:
        if levels:
            draft.scalars["level"] = Found.of(levels[0])
        return [draft]
    standards = part.of(Family.STANDARD)
    made = []
    anchors = (
        [limit.hit.start for limit in draft.times]
        + [hit.start for _, hit in draft.volumes]
        + [hit.start for hit in draft.refs]
    )
    # "… new meters for the period in the table, and thereafter … repaired meters until year 15": each level has its own.
    apart = any(place < levels[1].start for place in anchors) and any(place > levels[-1].start for place in anchors)
    for index, level in enumerate(levels):
        own = draft.copy()
        if apart and (draft.times or draft.volumes):
            low = levels[index].start if index else part.start
            high = levels[index + 1].start if index + 1 < len(levels) else part.end
            own.times = [limit for limit in draft.times if low <= limit.hit.start < high]
            own.volumes = [(volume, hit) for volume, hit in draft.volumes if low <= hit.start < high]
            own.refs = [hit for hit in draft.refs if low <= hit.start < high]
        own.scalars["level"] = Found.of(level)
        following = levels[index + 1].start if index + 1 < len(levels) else part.end
        after = [hit for hit in standards if level.start <= hit.start < following]
        if len(standards) == len(levels) and _in_turn(standards, levels):
            after = [standards[index]]
        keyed = keyed_standards(part, level.start, following)
        if keyed:
            own.scalars["keyed"] = Found(keyed)
        if after:
            own.scalars["standard"] = Found.of(after[0])
        made.append(own)
    return made


def _in_turn(standards: Sequence[Hit], levels: Sequence[Hit]) -> bool:
    """ "New and repaired limits of C700 and M6", "the limits of C700 for new meters, those of M6 for repaired": one each."""
    if standards[0].start > levels[-1].start:
        return True
    places = sorted([*((hit.end, 0) for hit in standards), *((hit.end, 1) for hit in levels)])
    return all(kind == index % 2 for index, (_, kind) in enumerate(places))


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


_FLOW_ROLE_OF_NAME = {"Q1": FlowRole.MINIMUM, "Q2": FlowRole.NORMAL_RANGE, "Q3": FlowRole.NORMAL_RANGE}


def _fill_bands(draft: Draft, part: Unit) -> None:
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
        made.append(replace(band, product=str(named[-1].value)) if named and len(bands) > 1 else band)
    if len({band.product for band in made}) < 2:
        made = [replace(band, product=None) for band in made]
    sized = [band for band in made if band.sizes]
    if sized and len({band.sizes for band in sized}) < 2 and not any(_bracketed(part, part.of(Family.FLOW))):
        made = [replace(band, sizes=()) for band in made]
    return made


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


def _band(hit: Hit, role: object, flow_hit: Hit | None, labels: tuple[str, ...]) -> BandDraft:
    flow = flow_hit.value if flow_hit is not None else None
    settled = role if isinstance(role, FlowRole) else None
    if isinstance(flow, NamedFlow):
        settled = FlowRole.MINIMUM if flow.low == "Q1" and flow.high == "Q2" else FlowRole.NORMAL_RANGE
    elif isinstance(flow, FlowRate):
        if flow.low is not None and flow.low == flow.high:
            if settled in (None, FlowRole.NORMAL_RANGE):
                settled = FlowRole.MINIMUM
        elif settled is None:
            settled = FlowRole.NORMAL_RANGE
    assert isinstance(hit.value, PercentBand)
    return BandDraft(
        hit.value, hit, settled, flow if isinstance(flow, FlowRate | NamedFlow) else None, flow_hit, labels
    )


def level_hit(unit: Unit) -> Hit | None:
    return unit.first(Family.LEVEL)


def retold(hit: Hit, value: object) -> Hit:
    return shifted(hit, hit.mention.pattern, value)
