"""A utility's own meters: the columns of its list, and from which of its dates an event of a document is counted."""

from typing import NamedTuple

from firstcap.schema.vocabulary import StartEvent, Word


class MeterColumn(Word):
    METER_ID = "meter_id", "the utility's own number of the meter"
    SUPPLIER = "supplier", "who made or sold it, as the list writes it"
    PRODUCT = "product", "model or line, as the list writes it"
    SIZE = "size", "nominal size: 5/8, 5/8 x 3/4, 0.625, 20 mm, DN20"
    SHIPPED_ON = "shipped_on", "the day the supplier shipped it"
    INSTALLED_ON = "installed_on", "the day it was set"
    READING = "reading", "what the register shows, counted from zero"
    READING_UNIT = "reading_unit", "unit of reading and annual_use: gal, kgal, CCF, m3, …"
    READING_ON = "reading_on", "the day of the reading"
    ANNUAL_USE = "annual_use", "what it registers in a year"


DATE_COLUMNS = (MeterColumn.SHIPPED_ON, MeterColumn.INSTALLED_ON, MeterColumn.READING_ON)


class Counted(NamedTuple):
    """The date of a meter that stands for an event; None where the list has no date for it.

    `assumed`: the list has another date than the event's own, and the rows say so. `may_be_earlier`: the event may lie
    before that date, so that the cover may end sooner; the rows say this too.
    """

    column: MeterColumn | None
    assumed: bool
    may_be_earlier: bool = False


# Shipment and installation are dates of the list. Delivery follows shipment, and commissioning and acceptance follow
# installation, so their stand-ins never lengthen a cover; manufacture and purchase may lie before
# shipment, by how much no published source was found to say.
COUNTED_FROM: dict[StartEvent, Counted] = {
    StartEvent.SHIPMENT: Counted(MeterColumn.SHIPPED_ON, False),
    StartEvent.MANUFACTURE: Counted(MeterColumn.SHIPPED_ON, True, True),
    StartEvent.DELIVERY: Counted(MeterColumn.SHIPPED_ON, True),
    StartEvent.PURCHASE: Counted(MeterColumn.SHIPPED_ON, True, True),
    StartEvent.INSTALLATION: Counted(MeterColumn.INSTALLED_ON, False),
    StartEvent.COMMISSIONING: Counted(MeterColumn.INSTALLED_ON, True),
    StartEvent.ACCEPTANCE: Counted(MeterColumn.INSTALLED_ON, True),
    StartEvent.OTHER: Counted(None, False),
}


class LineProblem(Word):
    NO_METER_ID = "no_meter_id", "the line has no number of a meter"
    REPEATED_METER_ID = "repeated_meter_id", "an earlier line has the same meter; the earlier one is used"
    NO_SUPPLIER = "no_supplier", "the line names no supplier"
    NO_SIZE = "no_size", "the line gives no size"
    UNKNOWN_SIZE = "unknown_size", "the size is none of the standard sizes"
    NO_DATE = "no_date", "neither a shipment nor an installation date"
    UNREADABLE_DATE = "unreadable_date", "no day of the calendar can be read there"
    UNREADABLE_NUMBER = "unreadable_number", "no number of nought or more can be read there"
    UNKNOWN_UNIT = "unknown_unit", "the unit of the reading is not known; reading and use are left out"
    NO_READING_DATE = "no_reading_date", "a reading without its date says nothing of use; it is left out"
    READ_BEFORE_USE = "read_before_use", "the reading is dated before the meter was there; it is left out"
    INSTALLED_BEFORE_SHIPPED = "installed_before_shipped", "installed before it was shipped; neither date is changed"
    AFTER_THE_DAY = "after_the_day", "the date lies after the day the cover is asked for"
    BROKEN_LINE = "broken_line", "the line does not have the columns of the header"


class CoverDoubt(Word):
    """Why it cannot be told whether a meter is covered on a day, why it is not yet, or why it has no promise at all."""

    NOT_BEGUN = "not_begun", "the cover begins later"
    NO_LIMIT = "no_limit", "the document gives the promise no limit and no life"
    START_UNKNOWN = "start_unknown", "the event that starts the cover has no date in the list of meters"
    START_CONDITIONAL = "start_conditional", "which event starts the cover hangs on a condition the list does not tell"
    INSTALLED_ON_MISSING = "installed_on_missing", "counted from installation, and the list gives no such date"
    SHIPPED_ON_MISSING = "shipped_on_missing", "counted from shipment, and the list gives no such date"
    USE_UNKNOWN = "use_unknown", "a volume cap, and neither a reading nor a yearly use"
    READING_NEEDED = "reading_needed", "by its use the volume cap may or may not have been met; read the meter"
    SUPPLIER_NOT_MATCHED = "supplier_not_matched", "nobody has said yet which supplier the name stands for"
    SUPPLIER_NOT_IN_CATALOGUE = "supplier_not_in_catalogue", "no document of this supplier is in the catalogue"
    PRODUCT_NOT_MATCHED = "product_not_matched", "of several documents of the supplier, nobody has said which is meant"
    PRODUCT_NOT_IN_CATALOGUE = "product_not_in_catalogue", "no document for this product is in the catalogue"
    NO_PROMISE_FOR_SIZE = "no_promise_for_size", "the supplier's documents promise nothing for this size"
    NOT_CONFIRMED = "not_confirmed", "every promise for it still waits for a person's confirmation"
    NO_EDITION_THEN = "no_edition_then", "no edition with a usable promise was in force when it was shipped"
    PART_OF_A_MONTH = "part_of_a_month", "the last month of the promise is a part of one, which no calendar has"


class Assumption(Word):
    """What was taken for granted in a row of cover."""

    EVENT_DATE = "event_date", "an event without a date in the list is counted from shipped_on or installed_on"
    EVENT_MAY_BE_EARLIER = (
        "event_may_be_earlier",
        "counted from manufacture or purchase, for which shipped_on stands; if that day was earlier, so is the end",
    )
    EARLIER_ENDS = "earlier_ends", "two limits and no rule between them: the earlier ends the cover"
    EDITION_BY_INSTALLATION = "edition_by_installation", "no shipment date: the edition in force at installation"
    EDITION_UNDATED = "edition_undated", "the document has no effective date or no form number; taken to be in force"
    USE_SINCE_SHIPMENT = "use_since_shipment", "no installation date: use is counted from shipment"
