"""The contract's value lists. Each member says in one line what it means; `other` is used rather than dropping a thing.

These lists are the public interface of the catalogue (docs/catalogue.md): a change to one is a breaking change.
"""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Any


class Word(StrEnum):
    """A member of a value list: its value is what stands in the catalogue, its docstring what it means."""

    def __new__(cls, value: str, meaning: str = "") -> Any:
        member = str.__new__(cls, value)
        member._value_ = value
        member.__doc__ = meaning
        return member

    @property
    def meaning(self) -> str:
        return self.__doc__ or ""


class TextSource(Word):
    TEXT = "text", "the PDF carries its own text throughout"
    OCR = "ocr", "every page was read from its image"
    MIXED = "mixed", "some pages carry text, some were read from their image"


class DocumentStatus(Word):
    TO_CONFIRM = "to_confirm", "read; a person has not yet been through all of it"
    CONFIRMED = "confirmed", "a person has been through every value"
    FAILED = "failed", "could not be read; the row says why"


class MeterType(Word):
    DISPLACEMENT = "displacement", "nutating disc, oscillating or rotary piston, volumetric, semi-positive"
    SINGLE_JET = "single_jet", "one jet drives the rotor"
    MULTI_JET = "multi_jet", "several jets drive the rotor"
    TURBINE = "turbine", "axial or horizontal turbine, Woltmann"
    PROPELLER = "propeller", "propeller in the main line"
    COMPOUND = "compound", "a large and a small measuring element with a changeover"
    FIRE_SERVICE = "fire_service", "fire-line meter or assembly"
    FLUIDIC_OSCILLATOR = "fluidic_oscillator", "a jet that swings between two walls"
    ELECTROMAGNETIC = "electromagnetic", "voltage induced in the moving water"
    ULTRASONIC = "ultrasonic", "transit time of sound"
    OTHER = "other", "a type outside this list"


class Component(Word):
    WHOLE_METER = "whole_meter", "the complete meter"
    MAINCASE = "maincase", "housing, body, bottom plate"
    MEASURING_ELEMENT = "measuring_element", "chamber, disc, piston, insert, rotor"
    REGISTER = "register", "dial, encoder, odometer, counter"
    ELECTRONICS = "electronics", "circuit board, sensor, display of a solid-state meter"
    BATTERY = "battery", "cell or battery pack promised apart from what it powers"
    ENDPOINT = "endpoint", "radio, transmitter, communication module"
    STRAINER = "strainer", "strainer, screen"
    CONNECTIONS = "connections", "couplings, bolts, gaskets, tailpieces"
    SPARE_PARTS = "spare_parts", "parts sold apart from a meter"
    SOFTWARE = "software", "reading or management software"
    OTHER = "other", "a thing outside this list: gateways, readers, antennas"


class Promise(Word):
    MATERIALS_WORKMANSHIP = "materials_workmanship", "free from defects in materials and workmanship"
    ACCURACY = "accuracy", "registers within stated or standard limits"
    FUNCTION = "function", "keeps working: no leak, no fogging, readable, battery life"


class AccuracyLevel(Word):
    NEW_METER = "new_meter", "the limits for new meters"
    REPAIRED_METER = "repaired_meter", "the weaker limits for repaired meters"
    EXTENDED_LOW_FLOW = "extended_low_flow", "a low-flow promise with a period, cap or clause of its own"
    STATED = "stated", "own percentages, tied to none of those words"


class StartEvent(Word):
    SHIPMENT = "shipment", "shipment, despatch, ex-works"
    MANUFACTURE = "manufacture", "the date of manufacture"
    DELIVERY = "delivery", "delivery, transfer of risk"
    PURCHASE = "purchase", "purchase, sale, invoice"
    INSTALLATION = "installation", "the day the meter is installed"
    COMMISSIONING = "commissioning", "activation, start-up, first put into use"
    ACCEPTANCE = "acceptance", "acceptance of a lot or a system"
    OTHER = "other", "an event outside this list"


class StartRule(Word):
    SINGLE = "single", "one clock"
    EARLIER_OF = "earlier_of", "the earlier of several events starts the time"
    LATER_OF = "later_of", "the later of several events starts the time"
    CONDITIONAL = "conditional", "which event starts the time hangs on a condition"


class Ends(Word):
    FIRST_OF = "first_of", "whichever limit comes first ends the cover"
    LAST_OF = "last_of", "whichever limit comes later ends the cover"
    TIME_ONLY = "time_only", "time alone ends the cover"
    VOLUME_ONLY = "volume_only", "registered volume alone ends the cover"
    LIFE = "life", "the life of the meter or of its ownership"
    UNSTATED = "unstated", "two limits and no rule between them"


class LifeOf(Word):
    METER = "meter", "as long as the meter lives"
    OWNERSHIP = "ownership", "as long as the buyer owns it"
    OTHER = "other", "another life"


class Remedy(Word):
    REPAIR = "repair", "repair"
    REPLACE = "replace", "replacement or exchange"
    REPAIR_OR_REPLACE = "repair_or_replace", "repair or replacement"
    REPAIR_REPLACE_OR_REFUND = "repair_replace_or_refund", "repair, replacement or the price back"
    REFUND = "refund", "the price back"
    CREDIT = "credit", "a credit towards another one"
    OTHER = "other", "another remedy"


class TermState(Word):
    PROPOSED = "proposed", "the machine read it"
    CONFIRMED = "confirmed", "a person confirmed it as read"
    CORRECTED = "corrected", "a person corrected it"
    ADDED = "added", "a person entered it"
    STRUCK = "struck", "a person rejected it"


class LimitKind(Word):
    TIME = "time", "months or days from an event"
    VOLUME = "volume", "registered volume"


class FlowRole(Word):
    MINIMUM = "minimum", "the minimum test flow, or Q1 to Q2"
    INTERMEDIATE = "intermediate", "the intermediate test flow, or a compound meter's changeover"
    MAXIMUM = "maximum", "the maximum test flow"
    NORMAL_RANGE = "normal_range", "the normal flow range, or Q2 to Q4"
    EXTENDED_LOW = "extended_low", "below the standard's minimum test flow"


class PriceBasis(Word):
    LIST_PRICE_THEN_CURRENT = "list_price_then_current", "the list price when the claim is made"
    LIST_PRICE_AT_SALE = "list_price_at_sale", "the list price when the product was sold"
    PURCHASE_PRICE = "purchase_price", "the price paid, bid or agreed"
    OTHER = "other", "another price"


class ExclusionKind(Word):
    FREEZING = "freezing", "freezing, frost, ice"
    MISUSE = "misuse", "misuse, abuse, vandalism, misapplication"
    TAMPERING = "tampering", "tampering, broken seal, altered serial number"
    ACCIDENT = "accident", "accident, collision"
    IMPROPER_INSTALLATION = "improper_installation", "installation against the instructions"
    IMPROPER_MAINTENANCE = "improper_maintenance", "neglect, lack of maintenance"
    UNAUTHORISED_REPAIR = "unauthorised_repair", "repair or modification by others"
    WATER_QUALITY = "water_quality", "aggressive or corrosive water"
    FOREIGN_MATTER = "foreign_matter", "sand, scale, debris"
    OVER_RANGE = "over_range", "beyond rated flow, pressure or temperature"
    FOREIGN_PARTS = "foreign_parts", "parts of another make"
    NORMAL_WEAR = "normal_wear", "normal wear and tear"
    NATURAL_DISASTER = "natural_disaster", "acts of God, flood, lightning"
    LABOUR_COST = "labour_cost", "removal and installation not paid"
    CONSEQUENTIAL_LOSS = "consequential_loss", "indirect or consequential loss"
    IMPLIED_WARRANTIES = "implied_warranties", "implied warranties disclaimed"
    OTHER = "other", "another exclusion"


class DutyKind(Word):
    WRITTEN_NOTICE = "written_notice", "notice in writing; days = how soon after discovery"
    RETURN_AUTHORISATION = "return_authorisation", "a return authorisation number first"
    RETURN_FREIGHT_CUSTOMER = "return_freight_customer", "freight to the supplier paid by the customer"
    RETURN_FREIGHT_SUPPLIER = "return_freight_supplier", "freight of the replacement or the return paid by the supplier"
    TEST_BY_STANDARD = "test_by_standard", "claimed meters tested as a standard says"
    TEST_BY_SUPPLIER = "test_by_supplier", "the supplier tests what comes back"
    PROOF_OF_DATE = "proof_of_date", "the start date must be shown"
    READING_RECORD = "reading_record", "the registration must be shown"
    ORIGINAL_PURCHASER_ONLY = "original_purchaser_only", "only the first buyer may claim"
    OTHER = "other", "another duty"


class ConditionKind(Word):
    TRANSFERABLE = "transferable", "cover may pass to another owner"
    NOT_TRANSFERABLE = "not_transferable", "cover may not pass to another owner"
    LIABILITY_CAP = "liability_cap", "liability limited to a sum or price"
    GOVERNING_LAW = "governing_law", "the law or court that governs"
    STATUTORY_RIGHTS_KEPT = "statutory_rights_kept", "rights by statute are kept"
    REPLACEMENT_KEEPS_CLOCK = "replacement_keeps_clock", "a replacement runs out the first clock"
    REPLACEMENT_NEW_CLOCK = "replacement_new_clock", "a replacement starts a new clock"
    EDITION_RULE = "edition_rule", "which edition governs which sale"
    SUPERSEDES = "supersedes", "this document replaces another"
    REFERS_ELSEWHERE = "refers_elsewhere", "another document holds the term"
    LOT_FAILURE = "lot_failure", "remedy for a whole lot"
    OTHER = "other", "another clause"


class WarningKind(Word):
    WORDS_AND_DIGITS_DIFFER = "words_and_digits_differ", "the number in words and the number in digits disagree"
    UNITS_DIFFER = "units_differ", "two printed units do not agree"
    AMBIGUOUS_UNIT = "ambiguous_unit", "the unit can be read in two ways"
    AMBIGUOUS_DATE = "ambiguous_date", "the date can be read in two ways"
    AMBIGUOUS_DECIMAL = "ambiguous_decimal", "the mark may be a decimal or a thousands mark"
    NO_RULE_BETWEEN_LIMITS = "no_rule_between_limits", "two limits and no rule which one ends the cover"
    NON_MONOTONE_CREDITS = "non_monotone_credits", "the customer's share falls with age"
    LITTLE_TEXT = "little_text", "a page holds almost no text"
    OCR = "ocr", "read from the page image"
    NO_TERMS = "no_terms", "no promise was found"
    OTHER = "other", "something else a person should look at"


class DecisionAction(Word):
    CONFIRM = "confirm", "right as it stands"
    CORRECT = "correct", "a value was replaced"
    ADD = "add", "a missed term was entered"
    STRIKE = "strike", "not a term"
    REOPEN = "reopen", "an earlier act was taken back"


class MeterCondition(Word):
    NEW = "new", "a new meter"
    REBUILT = "rebuilt", "measuring element replaced by a factory-made new one"
    REPAIRED = "repaired", "old measuring element cleaned and refurbished"


class Certainty(Word):
    PUBLISHED = "published", "read in the source named beside it"
    COMMON_PRACTICE = "common_practice", "how the trade usually does it; no source"
    FROM_MEMORY = "from_memory", "believed, not checked; not a pass/fail value"


@dataclass(frozen=True)
class Size:
    """A standard meter size. The nominals serve ordering and joining, never comparison by arithmetic."""

    label: str
    nominal_inch: Decimal | None
    nominal_mm: int


def _inch(label: str, inch: str, mm: int) -> Size:
    return Size(label, Decimal(inch), mm)


# Nominal inches of a combined size are those of its larger number: the rule for size ranges (settled question 6).
# Pairing of inch and DN sizes is common practice (no source).
SIZES: tuple[Size, ...] = (
    _inch("1/2", "0.5", 15),
    _inch("5/8", "0.625", 15),
    _inch("5/8x3/4", "0.75", 20),
    _inch("3/4", "0.75", 20),
    _inch("3/4x1", "1", 25),
    _inch("1", "1", 25),
    _inch("1-1/4", "1.25", 32),
    _inch("1-1/2", "1.5", 40),
    _inch("2", "2", 50),
    _inch("3", "3", 80),
    _inch("4", "4", 100),
    _inch("6", "6", 150),
    _inch("8", "8", 200),
    _inch("10", "10", 250),
    _inch("12", "12", 300),
    _inch("16", "16", 400),
    _inch("20", "20", 500),
    *(Size(f"DN{mm}", None, mm) for mm in (15, 20, 25, 32, 40, 50, 65, 80, 100, 150, 200, 250, 300)),
)
SIZE_LABELS: tuple[str, ...] = tuple(size.label for size in SIZES)
SIZE_BY_LABEL: dict[str, Size] = {size.label: size for size in SIZES}


def sizes_between(smallest: str | None, largest: str | None) -> tuple[str, ...]:
    """Labels whose larger nominal lies within the range, ends included; None is an open end, at most one of them.

    KeyError for an unknown label; ValueError where no end is given, or one in inches and one in DN.

    >>> sizes_between("5/8", "1")
    ('5/8', '5/8x3/4', '3/4', '3/4x1', '1')
    """
    ends = [SIZE_BY_LABEL[label] for label in (smallest, largest) if label is not None]
    families = {size.nominal_inch is None for size in ends}
    if len(families) != 1:
        raise ValueError(f"no range of sizes runs from {smallest} to {largest}: inches and DN are not compared")
    metric = families.pop()
    family = [size for size in SIZES if (size.nominal_inch is None) == metric]

    def rank(size: Size) -> Decimal:
        return Decimal(size.nominal_mm) if size.nominal_inch is None else size.nominal_inch

    low = rank(SIZE_BY_LABEL[smallest]) if smallest else rank(family[0])
    high = rank(SIZE_BY_LABEL[largest]) if largest else rank(family[-1])
    return tuple(size.label for size in family if low <= rank(size) <= high)
