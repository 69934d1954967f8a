"""Bench results and claims in words: why a result is a claim or is none, and what a document asks of a claim."""

from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.worth.bench import BenchResult, Meter, doubt_words
from firstcap.schema.claims import Call
from firstcap.schema.vocabulary import AccuracyLevel, DutyKind
from firstcap.worth.claims import Band, Finding, Judged

_PLACES = 10_000  # figures of a bench are shown to a ten-thousandth of a per cent

LEVELS = {
    AccuracyLevel.NEW_METER: "new-meter accuracy",
    AccuracyLevel.REPAIRED_METER: "repaired-meter accuracy",
    AccuracyLevel.EXTENDED_LOW_FLOW: "extended low-flow accuracy",
    AccuracyLevel.STATED: "accuracy in the document's own percentages",
    None: "accuracy",
}
CALLS = {
    Call.CLAIMABLE: "claimable",
    Call.CANNOT_TELL: "cannot be told",
    Call.TOO_CLOSE: "too close to call",
    Call.NOT_CLAIMABLE: "not claimable",
    Call.COVER_ENDED: "cover ended",
    Call.NO_PROMISE: "no promise at this flow",
}
# Follows a count of meters.
BEGUN_EARLIER = (
    "claimed on a cover that counts from manufacture or purchase; the day of shipment stands for it here. If that day "
    "was earlier the cover may have ended: look it up."
)


def per_cent(value: Fraction) -> str:
    return f"{number(value)} %"


def number(value: Fraction) -> str:
    return words.plain_number(Fraction(round(value * _PLACES), _PLACES))


def flow(usgpm: Fraction) -> str:
    return f"{words.about(usgpm, 4)} gpm"


def band(limits: Band) -> str:
    """ "95 to 101.5 %", as the limits of a promise are written."""
    low = None if limits.lower is None else number(limits.lower)
    high = None if limits.upper is None else number(limits.upper)
    if low and high:
        return f"{low} to {high} %"
    return f"at least {low} %" if low else f"at most {high} %" if high else words.NOT_STATED


def level(judged: Judged) -> str:
    name = judged.promise.level
    return LEVELS[AccuracyLevel(name)] if name is not None else LEVELS[None]


def reason(finding: Finding, meter: Meter | None) -> str:
    """Why a run is called what it is, in one sentence that names the limit and the promise."""
    if finding.by is None:
        return _no_promise(finding, meter)
    by, run = finding.by, finding.run
    found = f"{per_cent(run.registration)} at {flow(run.flow)}"
    against = f"{band(by.band)} ({level(by)})"
    spread = f"±{number(run.uncertainty)}" if run.uncertainty else None
    if finding.call is Call.CLAIMABLE:
        assert by.limit is not None
        side = "below" if run.registration < by.limit else "above"
        beyond = f", more than its uncertainty of {spread}" if spread else "; no uncertainty is given"
        gap = number(abs(run.registration - by.limit))
        return f"{found} lies {gap} points {side} the promised {against}{beyond}"
    if finding.call is Call.TOO_CLOSE:
        assert by.limit is not None
        return (
            f"{found} lies within its uncertainty of {spread} of the limit {per_cent(by.limit)} ({level(by)}); the "
            f"true value is outside with a chance of {round(100 * by.chance_outside)} %"
        )
    if finding.call is Call.CANNOT_TELL:
        return f"{found} is not within {against}, and whether that was in force cannot be told: {by.promise.cover.why}"
    if finding.call is Call.NOT_CLAIMABLE:
        return f"{found} is within {against}{_too_late(finding)}"
    told = _ended(by)
    return f"{found} is {'outside' if by.too_late else 'within'} {against}; {told}"


def _ended(judged: Judged) -> str:
    cover = judged.promise.cover
    if cover.by == "not begun":
        return f"that cover begins only on {cover.on}"
    when = "" if cover.on is None else f" on {cover.on}" if cover.by == "time" else f" about {cover.on}"
    return f"that cover ended by {cover.by}{when}"


def _too_late(finding: Finding) -> str:
    late = next((one for one in finding.others if one.too_late), None)
    return "" if late is None else f"; it is outside {band(late.band)} ({level(late)}), but {_ended(late)}"


def _no_promise(finding: Finding, meter: Meter | None) -> str:
    if meter is None:
        return "the list of meters has no meter of this number"
    if not meter.terms:
        return doubt_words(meter.doubt)
    at = flow(finding.run.flow)
    if not meter.silent:
        return f"nothing is promised at {at}"
    named = [basis for basis in meter.silent if basis != "stated"]
    if named:
        return f"no limit at {at} is known from a published source; the promise names {words.joined(named)}: look it up"
    return f"the document gives limits without a flow, so none can be held against {at}"


def call_words(result: BenchResult) -> str:
    """The call of a meter, where none is made for want of any promise saying so."""
    if result.call is Call.NO_PROMISE and (result.meter is None or not result.meter.terms):
        return "no promise held"
    return CALLS[result.call]


def reason_of(result: BenchResult) -> str:
    """The reason of the run that decides, and what the other runs of that flow say where they differ."""
    test, finding = result.worst
    same = [one for _, one in result.runs if one.run.flow == finding.run.flow]
    if result.call is Call.TOO_CLOSE and finding.call is not Call.TOO_CLOSE:
        found = ", ".join(per_cent(one.run.registration) for one in same)
        return f"the runs at {flow(test.flow)} differ: {found}; test again"
    return reason(finding, result.meter)


# What a person does about a duty, before or when a claim is sent.
TO_DO = {
    DutyKind.WRITTEN_NOTICE: "Send the notice in writing, and keep proof of the day it left.",
    DutyKind.RETURN_AUTHORISATION: "Ask for the return authorisation first, and mark it on each carton.",
    DutyKind.RETURN_FREIGHT_CUSTOMER: "Send the meters at your own cost.",
    DutyKind.RETURN_FREIGHT_SUPPLIER: "Ask how the supplier pays the freight it owes.",
    DutyKind.TEST_BY_STANDARD: "Enclose the test records, and see that the test followed the standard named.",
    DutyKind.TEST_BY_SUPPLIER: "Expect the supplier's own test; keep the meters as they were found until then.",
    DutyKind.PROOF_OF_DATE: "Enclose proof of the day the cover began: invoice, packing list or work order.",
    DutyKind.READING_RECORD: "Enclose the record of the registration of each meter.",
    DutyKind.ORIGINAL_PURCHASER_ONLY: "Check that the claimant is the first buyer.",
    DutyKind.OTHER: "Read the clause and do what it asks.",
}
