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
