"""Sentences that say what else ends the promise before them: "This assurance ends early once the volume in the table is reached"."""

import re
from collections.abc import Sequence

from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.unit import Unit
from firstcap.extract.patterns.base import Family
from firstcap.schema.quantities import Volume
from firstcap.schema.vocabulary import Ends

_PROMISE = (
    r"(?:warrant(?:y|ies)|guarantees?|promises?|assurances?|commitments?|undertakings?|pledges?|covers?|coverage|obligations?|"
    r"accuracy(?: \w+)?|protection|terms?|periods?)"
)
_ENDS_EN = (
    rf"(?:this|that|the|such|our|each|both|it|they|either|these)(?:\s+(?:\w+\s+)?{_PROMISE})?\s+(?:\w+ly\s+|also\s+|will\s+|shall\s+|may\s+|does\s+|do\s+|however,?\s+)*"
    r"(?:ends?|terminates?|expires?|lapses?|ceases?|stops?|finish(?:es)?|runs? out|closes?|falls? away|comes? to (?:an|its|their) (?:end|close)|"
    r"is over|are over|is spent|is used up|holds?|lasts?|continues?|remains? in (?:force|effect)|applies|apply)\b"
)
_ENDS_ES = (
    r"(?:esta|dicha|la|tal|nuestra|cada)\s+(?:garantía|promesa|cobertura|obligación)\s+(?:\w+\s+)?"
    r"(?:termina|finaliza|cesa|vence|caduca|expira|concluye|se extingue|dura|rige|vale)\b"
)
_ENDS_FR = (
    r"(?:cette|la|ladite|notre|chaque)\s+(?:garantie|promesse|assurance|couverture)\s+(?:\w+\s+)?"
    r"(?:prend fin|cesse|expire|s['’]éteint|s['’]arrête|se termine|dure|vaut|court)\b"
    r"|cet engagement\s+(?:\w+\s+)?(?:prend fin|cesse|expire|s['’]éteint|se termine|dure|vaut)\b"
)
_ENDS_DE = (
    r"(?:diese|die|unsere|jede)\s+(?:zusage|garantie|gewähr|zusicherung|gewährleistung|verpflichtung)\s+(?:\w+\s+)?"
    r"(?:endet|erlischt|verfällt|läuft ab|entfällt|gilt|besteht|dauert)\b"
)
_ENDS = re.compile(rf"^\W*(?:[\d.]+\s+)?(?:{_ENDS_EN}|{_ENDS_ES}|{_ENDS_FR}|{_ENDS_DE})", re.IGNORECASE)
_UNTIL = re.compile(
    r"\b(?:until|till|when(?:ever)?|once|as soon as|after|upon|on|at|with|by|if|where|for|whichever|al|cuando|una vez|si|hasta|dès|lorsque|quand|jusqu\w*|"
    r"après|sobald|wenn|mit|nach|bis|solange)\b",
    re.IGNORECASE,
)


def ends_promise(unit: Unit) -> bool:
    """Whether a sentence only says what ends the promise before it: limits of a table, or a volume of its own."""
    if _ENDS.match(unit.text) is None or _UNTIL.search(unit.text) is None:
        return False
    if unit.of(Family.BAND, Family.LEVEL, Family.STANDARD, Family.NEGATION, Family.DURATION):
        return False
    return bool(unit.of(Family.REFERENCE, Family.VOLUME))


def end_by(unit: Unit, drafts: Sequence[Draft]) -> bool:
    """Gives the ends that a sentence names to the drafts of the sentence before it; False where they do not take them."""
    if not drafts or drafts[-1].unit.run is not unit.run:
        return False
    before = drafts[-1].unit
    waiting = [draft for draft in drafts if draft.unit.run is before.run and draft.unit.start == before.start]
    if any(draft.volumes or draft.refs for draft in waiting):
        return False
    rule = unit.first(Family.RULE)
    for draft in waiting:
        draft.refs = unit.of(Family.REFERENCE) if not unit.of(Family.VOLUME) else []
        draft.volumes = [(hit.value, hit) for hit in unit.of(Family.VOLUME)[:1] if isinstance(hit.value, Volume)]
        draft.leans_on = unit.text
        if draft.times:
            hit = (draft.refs or unit.of(Family.VOLUME))[0]
            draft.put("rule", Found.of(rule) if rule else Found(Ends.FIRST_OF, hit, True, "rule.ended_by"))
    return True
