"""The parts that the label of a row names: all of a list, the last word of a compound, words that are parts only there."""

import re

from firstcap.extract.assembly.subject import subjects_of
from firstcap.extract.assembly.unit import Hit, Unit, component_of
from firstcap.extract.language import parse
from firstcap.extract.page import Run
from firstcap.extract.patterns.part_label import PART_LABELS
from firstcap.schema.vocabulary import Component

_ASIDE = re.compile(
    r"[(;]|\b(?:if|with|without|except\w*|other than|including|incl\.?|excluding|when|where|for|of|in|on|used|con|sin|avec|sans|mit|ohne|samt|für|por|pour|para)\b|,\s*(?:fabricated|epoxy|cast)\b",
    re.IGNORECASE,
)
_LIST = re.compile(r"\s*(?:,|/|&|\+|\b(?:and|or|y|e|et|ou|und|oder)\b|, (?:and|or))\s*(?:\w+\s+){0,2}", re.IGNORECASE)
_REST = re.compile(
    r"\b(?:all|any|every)\b[^,;]{0,20}\b(?:parts?|components?|items?)\b|\b(?:other|remaining) (?:parts?|components?|items?)\b|\bparts? (?:below|above|not)\b",
    re.IGNORECASE,
)


def parts_named(run: Run, hits: list[Hit]) -> list[Hit]:
    """The parts of a label, one hit for each kind of part, in order; `hits` are the components found in it as in prose."""
    whole = Unit(run, 0, len(run.text), hits)
    known = subjects_of(whole, _without_modifiers(run, hits))
    aside = _ASIDE.search(run.text)
    edge = aside.start() if aside is not None and aside.start() > 0 else len(run.text)
    specific = [hit for hit in known if component_of(hit) is not Component.WHOLE_METER]
    if known and not specific and (_REST.search(run.text) or not _compound(run, known[0])):
        return known[:1]
    labels = [
        Hit(mention, run)
        for mention in PART_LABELS.find(parse(run.text))
        if mention.end <= edge and not any(mention.start < hit.end and hit.start < mention.end for hit in specific)
    ]
    listed = sorted([*specific, *labels], key=lambda hit: hit.start)
    found: list[Hit] = []
    for hit in _without_modifiers(run, listed):
        if found and not _LIST.fullmatch(run.text[found[-1].end : hit.start]) and hit not in specific:
            continue
        if component_of(hit) not in {component_of(other) for other in found}:
            found.append(hit)
    return _as_listed(run, found, specific) or known[:1]


def _as_listed(run: Run, found: list[Hit], specific: list[Hit]) -> list[Hit]:
    """Words that are parts only in a label give way to a part that is known anywhere, unless both stand in one list."""
    if not found or not specific:
        return found[:1]
    first = specific[0]
    kept = [
        hit
        for hit in found
        if hit in specific or (_in_list(run, hit, first) and component_of(hit) is not Component.OTHER)
    ]
    return kept or specific[:1]


def _in_list(run: Run, left: Hit, right: Hit) -> bool:
    low, high = (left.end, right.start) if left.start < right.start else (right.end, left.start)
    return _LIST.fullmatch(run.text[low:high]) is not None


def _compound(run: Run, meter: Hit) -> bool:
    """ "Meter tube": a word of a part right after the meter."""
    rest = run.text[meter.end :]
    return any(mention.start <= 1 for mention in PART_LABELS.find(parse(rest))) if rest.strip() else False


def _without_modifiers(run: Run, hits: list[Hit]) -> list[Hit]:
    """ "Case bolts", "strainer gasket": the word before says whose, the last one what."""
    kept: list[Hit] = []
    for index, hit in enumerate(hits):
        following = hits[index + 1] if index + 1 < len(hits) else None
        if (
            following is not None
            and component_of(following) is Component.CONNECTIONS
            and component_of(hit) is not Component.CONNECTIONS
            and run.text[hit.end : following.start].strip() == ""
        ):
            continue
        kept.append(hit)
    return kept
