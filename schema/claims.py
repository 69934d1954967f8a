"""Claims on accuracy promises: what is said of a bench result, and what a person did about a claim."""

from firstcap.schema.vocabulary import Word


class Call(Word):
    """What is said of a bench result, the strongest first."""

    CLAIMABLE = "claimable", "outside the promised limits by more than its uncertainty, under a promise in force"
    CANNOT_TELL = "cannot_tell", "it fails, or nearly, a promise of which it is not known whether it was in force"
    TOO_CLOSE = "too_close", "too close to call: a limit lies within its uncertainty, or runs at one flow differ"
    NOT_CLAIMABLE = "not_claimable", "within the promised limits"
    COVER_ENDED = "cover_ended", "every promise for this flow had ended"
    NO_PROMISE = "no_promise", "no promise at this flow"


class ClaimAction(Word):
    """What was done about a claim; the last act on a meter and promise holds."""

    PREPARED = "prepared", "the claim file was written; nothing was signed or sent"
    SENT = "sent", "a person signed it and sent it to the supplier"
    PAID = "paid", "the supplier credited or replaced the meter"
    REFUSED = "refused", "the supplier refused it"
    WITHDRAWN = "withdrawn", "a person took it back; the meter may be claimed again"


class TestColumn(Word):
    """A column of a list of bench tests."""

    __test__ = False  # no test, whatever its name looks like

    METER_ID = "meter_id", "the utility's own number of the meter"
    TESTED_ON = "tested_on", "the day of the test"
    FLOW = "flow", "the flow of the run, with or without its unit"
    FLOW_UNIT = "flow_unit", "unit of flow: gpm, L/h, m3/h, …"
    REGISTRATION = "registration_pct", "per cent of true volume that the meter registered"
    ERROR = "error_pct", "per cent by which it registered too much; below zero: too little"
    REGISTERED_VOLUME = "registered_volume", "what the meter registered"
    REFERENCE_VOLUME = "reference_volume", "the true volume, in the same unit"
    UNCERTAINTY = "uncertainty_pct", "expanded uncertainty (coverage factor 2), points of per cent"
    READING = "reading", "what the register showed when the meter was tested"
    READING_UNIT = "reading_unit", "unit of reading: gal, kgal, CCF, m3, …"
