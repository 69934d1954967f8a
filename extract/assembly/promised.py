"""What is promised: soundness, accuracy, function; one draft for each where a sentence promises several."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.keyed import keyed_standards
from firstcap.extract.assembly.limit_standards import apart_from_standard, limit_standards, standard_of
from firstcap.extract.assembly.unit import Hit, Unit, is_covered
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import AccuracyLevel, Promise


def fill_kind(
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
    standard = next(iter(limit_standards(where)), None)
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
    explicit = [hit for hit in materials if EXPLICIT_DEFECT.search(hit.mention.text)]
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


def by_kind(draft: Draft, part: Unit, context: Context) -> list[Draft]:
    """ "Free of defects in material and workmanship and accurate to the limits of new meters": two promises, one time."""
    sound = [hit for hit in part.of(Family.PROMISE) if EXPLICIT_DEFECT.search(hit.mention.text)]
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
        if low <= hit.start < high and not is_covered(hit, part.of(Family.LEVEL, Family.STANDARD))
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


EXPLICIT_DEFECT = re.compile(
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


def by_level(draft: Draft, part: Unit, unit: Unit) -> list[Draft]:
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
    standards = limit_standards(part)
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
        standard = standard_of(level, levels, standards, part)
        if len(standards) == len(levels) and _in_turn(standards, levels):
            standard = standards[index]
        keyed = keyed_standards(part, level.start, following)
        if keyed:
            own.scalars["keyed"] = Found(keyed)
        if standard is not None:
            own.scalars["standard"] = Found.of(standard)
        elif apart_from_standard(level, levels, standards, part):
            own.scalars.pop("standard", None)
        made.append(own)
    return made


def _in_turn(standards: Sequence[Hit], levels: Sequence[Hit]) -> bool:
    """ "New and repaired limits of C700 and M6", "the limits of C700 for new meters, those of M6 for repaired": one each."""
    if standards[0].start > levels[-1].start:
        return True
    places = sorted([*((hit.end, 0) for hit in standards), *((hit.end, 1) for hit in levels)])
    return all(kind == index % 2 for index, (_, kind) in enumerate(places))
