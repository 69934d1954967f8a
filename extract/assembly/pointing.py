"""Words at the head of a sentence that point back to the one before."""

import re

ANAPHORA = re.compile(
    r"^\W*(?:\d[\d.]*\s+)?(it|they|this (?:warranty|promise|guarantee|cover|coverage|assurance|undertaking|commitment|term|period|accuracy)|that (?:warranty|promise|guarantee|assurance|accuracy|period)|"
    r"the (?:warranty|promise|guarantee|assurance|same|period)\b|these|those|its|er|sie|es|die garantie|diese[rs]?|elle|il|ils|elles|cette garantie|(?:esta|dicha|la presente) (?:garantía|cobertura|promesa|obligación)|(?:diese|die) (?:zusage|zusicherung|gewähr)|cette (?:promesse|couverture)|the (?:\d+|two|three|four|five|ten|twelve) (?:years|months)|in (?:both|each) cases?|thereafter|after that|both|then)\b",
    re.IGNORECASE,
)

PRONOUN = re.compile(
    r"^\W*(?:[\d.]+\s+)?(?:they|it|these|such (?:meters?|parts?|products?)|(?:each|all|both|every one)(?: of (?:them|these|those))? (?:is|are|shall|will|must))\b",
    re.IGNORECASE,
)

SAME_AGAIN = re.compile(
    r"^\W*(?:the same (?:meters?|products?)|thereafter|after that|it|they|these|those|then)\b", re.IGNORECASE
)
# "Register: ten years from shipment."
LABEL = re.compile(r"^[^.]{2,90}?:\s")
