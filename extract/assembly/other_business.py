"""Times that promise nothing of a meter: those of claims, of lots, of supply, of experience and of other business."""

import re

from firstcap.extract.assembly.unit import Unit

LOT = re.compile(
    r"\b(same (?:\w+ )?(?:defect|cause|fault|reason|failure)|one and the same|whole (?:lot|shipment|consignment|despatch)|production lot|entire (?:lot|shipment)|of one delivery|whole delivery|"
    r"(?:per ?cent|%) or more of|or more (?:of|out of|(?:of the )?(?:meters|products|units))\b|même défaut|mismo lote|gleichartige)(?!\w)",
    re.IGNORECASE,
)

CLAIM = re.compile(
    r"\b(notif\w+|notice|in writing|inform\w*|returned? (?:to|within)|claims? (?:must|shall|is|are|older)|discover\w*|report\w*|refund within|full refund|avis\w*|schriftlich|par écrit|por escrito)\b",
    re.IGNORECASE,
)

# "shall have made the model for ten years", "field studies show": experience and surveys, no promise.
HISTORY = re.compile(
    r"\b(?:has|have|having|had)\s+(?:\w+ly\s+)?(?:been (?:in|making|selling|on|producing|manufactur\w+|suppl\w+|used|sold)|made|sold|shown|served|supplied|produced|furnished|manufactured|lasted|run)\b|"
    r"\b(?:stud(?:y|ies)|surveys?|experience|records?) (?:show|shows|suggest|indicate)|\b(?:oldest|on record|in the field)\b",
    re.IGNORECASE,
)

# "Spares will be stocked for 12 years": a promise of supply, not of a meter.
SUPPLY = re.compile(
    r"\b(?:in|on|out of) (?:store|storage|stock|the shelf)\b|"
    r"\b(?:spares?|spare parts|parts|replacements?)\b.{0,60}\b(?:stocked|kept|held|available|obtainable|supplied|furnished)\b|"
    r"\b(?:keeps?|stocks?|holds?|suppl(?:y|ies)|maintains?|furnish(?:es)?|guarantees? the supply of) (?:\w+ ){0,2}(?:spares?|spare parts|replacement parts)\b|"
    r"\b(?:tender|bid|offer|quotation|proposal)s? (?:stays?|remains?|is|are|holds?|will)\b",
    re.IGNORECASE | re.DOTALL,
)

# Times of the trade that promise nothing of a meter.
TRADE = re.compile(
    r"\b(?:spares?|stock(?:ed)?|tenders?|bids?|offers?|quot\w+|payments?|invoices? (?:fall|are|is)|interest|production|"
    r"in business|experience|support|returned unused|contract|agreement term|licen[cs]e|records?|lead times?|prices?|"
    r"calibrat\w+|inspect\w+|maintenance|mainten\w+|subscription|storage|stored|shelf|available|training|response)\b",
    re.IGNORECASE,
)


def is_of_trade(unit: Unit) -> bool:
    """A sentence whose times are those of a claim, of supply, of experience or of another business, not of a promise."""
    return any(known.search(unit.text) for known in (CLAIM, TRADE, HISTORY, SUPPLY, LOT))
