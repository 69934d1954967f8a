"""A term beside the terms of its kind: read twice with other numbers, or lacking a limit that its siblings have."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import replace

from firstcap.extract.assembly.finished import Finished
from firstcap.extract.confidence import Features, term_confidence
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import Promise


def compared(items: Sequence[Finished]) -> list[Finished]:
    """The terms, each less sure where one beside it speaks against it."""
    counts = Counter((item.term.key, item.term.meter_type) for item in items)
    uneven = set(_uneven(items))
    out = []
    for place, item in enumerate(items):
        rival = counts[item.term.key, item.term.meter_type] > 1
        if rival or place in uneven:
            item = _less_sure(item, replace(item.features, rival=rival, uneven=place in uneven))
        out.append(item)
    return out


def _less_sure(item: Finished, features: Features) -> Finished:
    confidence = term_confidence(features)
    evidence = tuple(row.model_copy(update={"confidence": confidence}) for row in item.term.evidence)
    return replace(
        item, term=item.term.model_copy(update={"confidence": confidence, "evidence": evidence}), features=features
    )


def _uneven(items: Sequence[Finished]) -> Iterator[int]:
    """Of one accuracy given size by size: the sizes that lack a kind of limit or of band which others have."""
    families: dict[tuple[object, ...], list[int]] = defaultdict(list)
    for place, item in enumerate(items):
        term = item.term
        if term.promise is Promise.ACCURACY:
            families[term.component, term.accuracy_level, term.meter_type].append(place)
    for places in families.values():
        kinds = [_kinds(items[place].term) for place in places]
        full = frozenset().union(*kinds)
        yield from (place for place, held in zip(places, kinds, strict=True) if held != full)


def _kinds(term: Term) -> frozenset[str]:
    told = {
        "time": term.duration_months is not None or term.duration_days is not None or term.life_of is not None,
        "volume": term.volume_cap_usgal is not None,
        "flow": any(band.flow_from_usgpm is not None or band.flow_to_usgpm is not None for band in term.bands),
        "start": term.start_event is not None,
    }
    return frozenset(name for name, held in told.items() if held)
