"""Words at the head of a sentence that point back to the one before."""

import re

ANAPHORA = re.compile(
    r"^\W*(?:\d[\d.]*\s+)?(it|they|(?:this|that) (?:warranty|promise|guarantee|cover(?:age)?|term|period|accuracy|undertaking|assurance|protection|backing|pledge|commitment|performance)|"
    r"the (?:warranty|promise|guarantee|assurance|same|period)\b|these|those|its|er|sie|es|die garantie|diese[rs]?|elle|il|ils|elles|cette (?:garantie|couverture|promesse)|(?:esta|dicha|tal|la presente) (?:garantía|cobertura|promesa|exactitud|obligación)|este (?:plazo|compromiso)|(?:diese|die) (?:garantie|zusage|zusicherung|gewähr)|the (?:\d+|two|three|four|five|ten|twelve) (?:years|months)|in (?:both|each) cases?|thereafter|after that|both|then)\b",
    re.IGNORECASE,
)

PRONOUN = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:they|it|these|such (?:meters?|parts?|products?)|(?:each|all|both|every one)(?: of (?:them|these|those))? (?:is|are|shall|will|must))\b",
    re.IGNORECASE,
)

SAME_AGAIN = re.compile(
    r"^\W*(?:the same (?:meters?|products?)|thereafter|after that|it|they|these|those|then)\b", re.IGNORECASE
)
# "Register: ten years from shipment.", "B. Registers: ten years from shipment."
LABEL = re.compile(r"^\W*(?:(?:\d+(?:\.\d+)*|[A-Za-z]|[ivx]{1,4}|[IVX]{1,4})[.)]\s+)?[^.]{2,90}?:\s")
