"""Which of the standards that a sentence names sets the limits, and which only says how meters are tested."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns.base import Family

_TESTED_BY = re.compile(
    r"\b(?:test(?:s|ed|ing)?|procedures?|methods?|essais?|essayés?|ensayos?|ensayad[oa]s?|geprüft|prüfung)\b"
    r"(?:[^.;,]|, )?[^.;,]{0,50}$",
    re.IGNORECASE,
)
_LIMITS = re.compile(
    r"\b(?:limits?|accura\w+|register\w*|tolerances?|requirements?|new|repaired)\b|grenz|límite|limite", re.IGNORECASE
)


def limit_standards(unit: Unit) -> list[Hit]:
    """The standards of a sentence without those of its clauses of testing ("when tested as M6 describes"), if any remain."""
    named = unit.of(Family.STANDARD)
    kept = [hit for hit in named if not _of_testing(unit, hit)]
    return kept or named


def _of_testing(unit: Unit, hit: Hit) -> bool:
    match = _TESTED_BY.search(unit.run.text[unit.start : hit.start])
    return match is not None and _LIMITS.search(match.group()) is None


def standard_of(level: Hit, levels: Sequence[Hit], standards: Sequence[Hit], part: Unit) -> Hit | None:
    """The standard of one level of several: within its words, else after them, else right before them."""
    index = levels.index(level)
    low = levels[index - 1].end if index else part.start
    high = levels[index + 1].start if index + 1 < len(levels) else part.end
    after = [hit for hit in standards if level.start <= hit.start < high]
    if after:
        return after[0]
    taken = [hit for other in levels[:index] for hit in standards if other.start <= hit.start < low]
    before = [hit for hit in standards if low <= hit.start < level.start and hit not in taken]
    return before[-1] if before else None


def apart_from_standard(level: Hit, levels: Sequence[Hit], standards: Sequence[Hit], part: Unit) -> bool:
    """ "New meters as the standard over the table says, for the years …; and repaired meters in M6": the standard is not shared.

    The words between the two levels hold limits of their own.
    """
    owners = {
        other.value for other in levels for hit in standards if standard_of(other, levels, standards, part) is hit
    }
    if not owners or level.value in owners:
        return False
    own_limits = (Family.REFERENCE, Family.DURATION, Family.VOLUME, Family.RULE)
    index = levels.index(level)
    low, high = (level.end, levels[1].start) if index == 0 else (levels[index - 1].end, level.start)
    return any(low <= hit.start < high for hit in part.of(*own_limits))
