"""What the supplier owes on day 1: the remedy of the document, from the sentence that most looks like its promise."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.finish import remedy_verbs
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import Remedy

_HEAD = re.compile(
    r"\b(remed(?:y|ies)|obligation|settle|what (?:we|\w+) (?:will )?(?:do|does)|we do|fulfil|our part|recours|leistung|reposici|service|performance of|claims?|exclusive|how it is|makes? good)\b",
    re.IGNORECASE,
)
_OPTION = re.compile(
    r"\b(option|choice|choose|chooses|elects?|discretion|prefers?|decides|see fit|sole|only obligation|exclusive|remedy|free of charge|à (?:son|notre) choix|nach (?:seiner|unserer|ihrer) wahl|elección|opción|at our|as it)\b",
    re.IGNORECASE,
)
_WILL = re.compile(
    r"\b(we (?:repair|replace|exchange|mend|send)|will|shall|is|are|may|repairs|replaces|exchanges|gives?|issues|répare|répar\w+|échange\w+|remplac\w+|repara|se repone|se reemplaza|se repara|se sustituye|reponemos|bessert?n?|liefern|reparará|repondrá|reemplazará|sustituirá|remplacera|agrees|werden|wird|sera|seront|será|serán|receives?|gets?)\b",
    re.IGNORECASE,
)
_ADJECTIVE = re.compile(r"\b(?:the|a|an|any|of|each|or|and|that|for|its)\s+$", re.IGNORECASE)
_OTHERS = re.compile(
    r"\b(unauthori[sz]ed|by others|by anyone|other than|not authorized|persons not|third part|does not cover|excluded|void|terceros|dritte)\b",
    re.IGNORECASE,
)
_CLOCK = re.compile(
    r"\b(remainder|unexpired|is covered for|are covered for|what is left|restart|carries|carry|new period|(?:it|one|repaired|replaced|replacement)\b[^.;]{0,40}\bis warranted for|original period|runs out|found to be in order|restocking|refund within|cash refund)\b",
    re.IGNORECASE,
)


def _free(unit: Unit, verbs: set[Remedy]) -> Remedy | None:
    """ "Years 1-10: replaced at no charge; then 50 %": what is free of charge is what is owed on day 1."""
    for free in unit.of(Family.SHARE):
        if free.mention.pattern != "share.free":
            continue
        for hit in unit.of(Family.REMEDY):
            near = unit.run.text[min(hit.end, free.end) : max(hit.start, free.start)]
            if isinstance(hit.value, Remedy) and hit.value in verbs and len(near) < 30 and ";" not in near:
                return hit.value
    return None


def remedy_of(unit: Unit) -> tuple[int, set[Remedy], Hit | None]:
    """How much a sentence looks like the promise of a remedy, and the verbs it names."""
    verbs: set[Remedy] = set()
    first: Hit | None = None
    for hit in unit.of(Family.REMEDY):
        before = unit.run.text[max(unit.start, hit.start - 12) : hit.start]
        word = hit.mention.text.lower()
        after = unit.run.text[hit.end : hit.end + 30]
        if (
            word in ("repaired", "replaced", "exchanged", "replacement")
            and re.match(
                r"\s+(?:or (?:repaired|replaced|replacement) )?(?:product|meter|unit|part|item|register|goods|batter|endpoint)",
                after,
                re.IGNORECASE,
            )
            and _ADJECTIVE.search(before)
        ):
            continue
        if word == "repaired" and re.match(
            r"[\s-]+(?:(?:\w+[\s-]+)?(?:limits?|accuracy|column|levels?|tolerances?|standards?|requirements?)|(?:years|gallons|volume|promise)\b)",
            after,
            re.IGNORECASE,
        ):
            continue  # the second stage of an accuracy promise, not what is done
        if word in ("credit", "credits") and re.search(
            r"\b(cash discount|credit (?:card|terms))", unit.text, re.IGNORECASE
        ):
            continue
        if re.match(r"\s*(?:charge|labou?r|cost|parts?\b|kits?\b)", after, re.IGNORECASE) and word in (
            "repair",
            "replacement",
        ):
            continue
        if word == "repair" and re.search(r"\b(?:if|where|unless)\s+$", before, re.IGNORECASE):
            continue
        if any(level.start <= hit.start and hit.end <= level.end for level in unit.of(Family.LEVEL)):
            continue
        if isinstance(hit.value, Remedy):
            verbs.add(hit.value)
            first = first or hit
    score = 0
    if verbs:
        score += 2 * bool(_OPTION.search(unit.text)) + bool(_WILL.search(unit.text)) + (len(verbs) > 1)
        score -= 4 * bool(_OTHERS.search(unit.text)) + 3 * bool(_CLOCK.search(unit.text))
        score -= 2 * bool(
            re.search(r"\b(freight|carriage|ships?|shipping|transportation|pays the)\b", unit.text, re.IGNORECASE)
            and len(verbs) == 1
            and not _OPTION.search(unit.text)
            and not (
                first is not None
                and re.match(
                    r"(?:sends?|gives?|suppl(?:y|ies)|provides?|delivers?)\b", first.mention.text, re.IGNORECASE
                )
            )
        )
        if unit.of(Family.YEAR_SPAN, Family.PERCENT):
            free = _free(unit, verbs)
            if free is None:
                score -= 2
            else:
                verbs, score = {free}, max(score, 1)
    return score, verbs, first


def document_remedy(units: Sequence[Sequence[Unit]], context: Context) -> Found | None:
    """The remedy the document owes on day 1, from the sentence that most looks like its promise."""
    best: tuple[int, set[Remedy], Hit] | None = None
    for block in units:
        for unit in block:
            score, verbs, hit = remedy_of(unit)
            if hit is None:
                continue
            heads = " ".join(run.text for run in context.heading_runs(unit.headings)[:1])
            score += 2 * bool(_HEAD.search(heads))
            if _OTHERS.search(heads) or re.search(r"exclu|not covered|liab", heads, re.IGNORECASE):
                score -= 2
            if score >= 1 and (best is None or score > best[0]):
                best = (score, verbs, hit)
    if best is None:
        return None
    value = remedy_verbs(best[1])
    return None if value is None else Found(value, best[2], False, best[2].mention.pattern)
