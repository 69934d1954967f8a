"""Whether a sentence promises anything."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft
from firstcap.extract.assembly.other_business import CLAIM, HISTORY, SUPPLY, TRADE, is_of_trade
from firstcap.extract.assembly.pointing import LABEL
from firstcap.extract.assembly.times import in_days, promised_by_failing, warranted
from firstcap.extract.assembly.unit import Hit, Unit, is_covered
from firstcap.extract.assembly.unnumbered import points
from firstcap.extract.patterns.base import Family

_FOR_THAT_LONG = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:(?:this|that|these|those|such|which|it|they|both|all (?:this|that))\b|(?:for|during|within|throughout|over) (?:this|that|these|those|such|the (?:said|same|stated|above))\b"
    r"|(?:so|as) long\b|(?:dies|das|diese\w*|solange|so lange)\b|(?:ce|cette|ces|cela|telle?|pendant ce\w*)\b|(?:este|esta|estos|eso|tal|durante (?:este|ese|dicho)\w*)\b)",
    re.IGNORECASE,
)


def only_limits(unit: Unit) -> bool:
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


def states_limits(unit: Unit, times: Sequence[Hit], context: Context) -> bool:
    """ "The error is at most ±2 % from Q2 to Q4.": limits of accuracy, for as long as the next sentence may say."""
    return (
        context.is_warranty
        and not times
        and bool(unit.of(Family.BAND) and unit.of(Family.PROMISE))
        and not unit.of(Family.NEGATION)
        and not is_of_trade(unit)
    )


def takes_limits(unit: Unit) -> bool:
    """ "This holds for the new meter accuracy of …", "For that long we warrant …": what the limits before it hold for."""
    return (
        _FOR_THAT_LONG.match(unit.text) is not None
        and bool(unit.of(Family.PROMISE, Family.LEVEL, Family.BAND))
        and not unit.of(Family.NEGATION, Family.REFERENCE, Family.START)
        and not is_of_trade(unit)
    )


_COVER_WORDS = re.compile(
    r"warrant|guarant|\bcover|garant|gewähr|undertak|promis|pledg|replac|repair|defect|accura|regist", re.IGNORECASE
)


def says_nothing(draft: Draft, unit: Unit, context: Context) -> bool:
    """ "The contract term is five years": a time, and no word of a thing, a promise or a start."""
    if any(name in draft.scalars for name in ("component", "product", "promise", "level", "start", "rule", "life")):
        return False
    if draft.volumes or draft.bands or draft.refs or draft.sizes is not None or unit.extra.get("headed"):
        return False
    heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
    return not _COVER_WORDS.search(unit.text) and not _COVER_WORDS.search(heads)


def names_promise(unit: Unit) -> bool:
    return bool(unit.of(Family.PROMISE)) and bool(unit.of(Family.TRIGGER))


# "A meter not set within six months of shipment is deemed to have been set": when the time starts, not how long it runs.
_DEEMED = re.compile(
    r"\b(?:deemed|considered|presumed|assumed|treated|regarded|taken) (?:to (?:have been|be|have)|as (?:if|having|though|being|the))\b",
    re.IGNORECASE,
)


# "A replacement register is furnished for any register that fails": what is promised is the register that fails.
_FOR_ANY = re.compile(r"\b(?:for|of) (?:any|each|every|all|the|a)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)


def promises_something(unit: Unit, times: Sequence[Hit], context: Context, *, has_drafts: bool = False) -> bool:
    if any(hit.mention.pattern in ("negation.past",) for hit in unit.of(Family.NEGATION)) and not unit.of(
        Family.TRIGGER
    ):
        return False
    if _DEEMED.search(unit.text) and not unit.of(Family.PROMISE):
        return False
    if any(hit.mention.pattern == "negation.no_warranty" for hit in unit.of(Family.NEGATION)) and not times:
        return False
    is_warranted = warranted(unit)
    failing = any(promised_by_failing(unit, hit) for hit in times)
    if (
        not is_warranted
        and not failing
        and not points(unit)
        and (SUPPLY.search(unit.text) or HISTORY.search(unit.text))
    ):
        return False
    if any(hit.mention.pattern in ("negation.optional", "negation.law") for hit in unit.of(Family.NEGATION)):
        return False
    if not is_warranted:
        if any(
            hit.mention.pattern == "negation.typical" and hit.start < unit.start + 40
            for hit in unit.of(Family.NEGATION)
        ):
            return False
        if (
            times
            and not unit.of(Family.START, Family.RULE, Family.BAND, Family.LEVEL)
            and all(in_days(hit) for hit in times)
            and not ((LABEL.match(unit.text) or unit.extra.get("item")) and unit.of(Family.COMPONENT))
        ):
            return False
    replaced = [hit for hit in unit.of(Family.NEGATION) if hit.mention.pattern == "negation.replacement"]
    if replaced and not any(
        hit.start < replaced[0].start or _FOR_ANY.search(unit.run.text[unit.start : hit.start])
        for hit in unit.of(Family.COMPONENT)
        if not is_covered(hit, replaced)
    ):
        return False
    if unit.of(Family.TRIGGER) or failing or (points(unit) and context.is_warranty):
        return True
    if unit.of(Family.LIFE) and unit.of(Family.REMEDY) and unit.of(Family.COMPONENT) and unit.of(Family.PROMISE):
        return context.is_warranty
    if (
        context.is_warranty
        and unit.of(Family.START)
        and any(_YEAR_COVER.match(unit.run.text[hit.end : hit.end + 30]) for hit in times)
        and not (TRADE.search(unit.text) or CLAIM.search(unit.text) or unit.of(Family.NEGATION))
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
        if re.match(r"\W*(?:for|the same|likewise|a|an|with)\b", unit.text, re.IGNORECASE) and not CLAIM.search(
            unit.text
        ):
            return True
    headed = bool(unit.extra.get("headed"))  # "5/8 inch: 5 years" under "New meter accuracy" in a list
    if not (named or headed or unit.of(Family.PRODUCT, Family.BAND)) or not (
        times or unit.of(Family.LIFE, Family.VOLUME)
    ):
        return False
    if LABEL.match(unit.text) or unit.extra.get("item") or _bare(unit) or (headed and len(unit.text.split()) <= 12):
        return context.is_warranty
    if not context.is_warranty or CLAIM.search(unit.text):
        return False
    if unit.of(Family.START, Family.RULE):
        return True
    if TRADE.search(unit.text) or unit.of(Family.NEGATION):
        return False
    # "The case carries the same assurance for 25 years": no word we know for the promise, but a thing and its time.
    return any(
        _FOR.search(unit.run.text[max(unit.start, hit.start - 25) : hit.start])
        or _YEAR_COVER.match(unit.run.text[hit.end : hit.end + 30])
        for hit in times
    )


_ON_A_CONDITION = re.compile(
    r"^\W*(?:[\d.]+\s+|\(?\w{1,3}[.)]\s+)?(?:if|should|where|when|whenever|in case|in the event|unless|after|once|an? (?:action|claim|suit)|any"
    r"|no\b|not\b|si\b|wenn\b|falls\b|cuando\b|lorsque|en cas\b)",
    re.IGNORECASE,
)


def promises_loosely(unit: Unit, times: Sequence[Hit], context: Context) -> bool:
    """ "Bronze meter bodies: twenty-five years, covering workmanship": no verb known here, yet a part, a time for it and
    a word of what is promised, or a heading of warranty over it. What is read so is never sure.
    """
    if not context.is_warranty or not (times or unit.of(Family.LIFE)) or is_of_trade(unit):
        return False
    if unit.of(Family.NEGATION) or _ON_A_CONDITION.match(unit.text):
        return False
    intro = unit.extra.get("intro")
    if isinstance(intro, Unit) and unit.of(Family.SIZE) and intro.of(Family.PROMISE, Family.LEVEL, Family.BAND):
        return True  # "Meters shall satisfy C700 for new meters over these spans:" leads "1-inch: 5 years or …"
    if not unit.of(Family.COMPONENT, Family.PRODUCT, Family.METER_TYPE):
        return False
    told = bool(unit.of(Family.PROMISE, Family.LEVEL, Family.BAND))
    if times and all(in_days(hit) for hit in times) and not (told and unit.of(Family.COMPONENT)):
        return False
    heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
    return told or bool(unit.of(Family.START) and _WARRANTY_HEAD.search(heads))


_WARRANTY_HEAD = re.compile(r"warrant|guarant|\bcover|garant|gewähr", re.IGNORECASE)


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


_FOR = re.compile(
    r"\b(?:for|during|throughout|durante|por|pendant|für|portée? à|étendue? à|fixée? à)\s+(?:\w+ ){0,2}$", re.IGNORECASE
)

_YEAR_COVER = re.compile(
    r"\s*-?\s*(?:\w+ )?(?:warranty|guarantee|cover|coverage|protection|assurance)\b", re.IGNORECASE
)
