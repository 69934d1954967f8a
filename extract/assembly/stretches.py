"""A sentence cut into stretches, each with the limits of one promise."""

import itertools
import re
from collections.abc import Sequence

from firstcap.extract.assembly.beginnings import best_start
from firstcap.extract.assembly.draft import Draft, Found, TimeLimit
from firstcap.extract.assembly.times import CEILING
from firstcap.extract.assembly.unit import Hit, Unit, is_covered
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import FullAndTail
from firstcap.schema.quantities import Duration, Volume
from firstcap.schema.vocabulary import Ends

_SPLIT = re.compile(r"(;|,\s*(?:and|while|but|und|et|y)\b|\band\b|,)", re.IGNORECASE)


def ranges(unit: Unit, anchors: Sequence[Hit]) -> list[tuple[int, int, list[Hit]]]:
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
        and not is_covered(hit, unit.of(Family.START))
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
        or CEILING.search(between)
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
    if subjects and (OF_THING.match(unit.run.text[left.end : subjects[0].start]) or _size_after(unit, left)):
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


def _size_after(unit: Unit, limit: Hit) -> bool:
    """ "1,250,000 gallons passed by a 5/8" meter, 1,900,000 by a 3/4" meter": limits and sizes in turn, limits first."""
    turns = sorted([hit for hit in unit.hits if hit.family in (limit.family, Family.SIZE)], key=lambda hit: hit.start)
    kinds = [hit.family for hit in turns]
    return len(kinds) >= 4 and len(kinds) % 2 == 0 and kinds == [limit.family, Family.SIZE] * (len(kinds) // 2)


# A time before the thing it is for: "25 years for the bronze maincase", "5 years (60 months) on the register".
OF_THING = re.compile(
    r"^\s*(?:\([^)]*\)\s*)?(?:(?:from|after|following)\b[^,;.]{0,40}?\s(?=for\b|on\b))?(?:(?:have|has|had)\s+(?:\w+\s+){1,2})?(?:for|on|to|of|at|within|through|by|past|in (?:the )?case of|in respect of|with respect to|as (?:to|regards))\s+"
    r"(?:the|its|all|any|each|every|our|a|an)?\s*(?:[\w-]+\s+){0,2}$",
    re.IGNORECASE,
)


def fill_limits(draft: Draft, part: Unit, anchors: Sequence[Hit]) -> None:
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
    best = best_start(starts)
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


def _ceiling(part: Unit, anchors: Sequence[Hit]) -> Found | None:
    """ "10 years from commissioning, though not beyond 11 years from delivery": the second limit is a ceiling."""
    first, second = anchors[0], anchors[1]
    low = first.end
    if second.start <= low or CEILING.search(part.run.text[low : second.start]) is None:
        return None
    return Found(Ends.FIRST_OF, second, False, "rule.ceiling")
