"""One value corrected, and what has to move along: duration, cap and start with their rows, and how the cover ends."""

import json
from decimal import Decimal
from typing import Any

import pytest
from pinyon_readings import accuracy_term, banded_term, register_term, seen

from firstcap.schema.decisions import NewDecision
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import Limit, Start, Term
from firstcap.schema.vocabulary import AccuracyLevel, Ends, LifeOf, LimitKind, Promise, StartEvent, StartRule
from firstcap.store.amend import TERM_FIELDS, amend_term, to_json

TWO_TIMES = register_term(
    12,
    ends=Ends.FIRST_OF,
    limits=(
        Limit(kind=LimitKind.TIME, months=Decimal(12), start_event=StartEvent.INSTALLATION),
        Limit(kind=LimitKind.TIME, months=Decimal(18), start_event=StartEvent.SHIPMENT),
    ),
    start_event=StartEvent.INSTALLATION,
    starts=(Start(event=StartEvent.INSTALLATION), Start(event=StartEvent.SHIPMENT)),
)
FOR_LIFE = register_term(
    ends=Ends.LIFE, life_of=LifeOf.METER, limits=(), duration_months=None, full_months=None, duration_text=None
)
DAYS = amend_term(register_term(), "duration_days", "90")
CAP_ONLY = accuracy_term(
    ends=Ends.VOLUME_ONLY,
    duration_months=None,
    full_months=None,
    duration_text=None,
    limits=accuracy_term().limits[1:],
)


def shape(term: Term) -> list[tuple[object, ...]]:
    """Kind, quantity and start of each limit."""
    return [(limit.kind.value, limit.months or limit.days or limit.usgal, limit.start_event) for limit in term.limits]


# term, field, JSON, what is expected of the fields beside it, the limits, why
FOLLOWS: list[tuple[Term, str, str, dict[str, Any], list[tuple[object, ...]], str]] = [
    (
        accuracy_term(),
        "duration_months",
        "180",
        {"duration_months": 180, "full_months": 180, "ends": "first_of"},
        [("time", 180, "shipment"), ("volume", 640_000, None)],
        "the first time limit is the duration, and all of it is free where nothing is prorated",
    ),
    (
        banded_term(),
        "duration_months",
        "300",
        {"duration_months": 300, "full_months": 120},
        [("time", 300, "shipment"), ("volume", 2_200_000, None)],
        "a prorated tail leaves the free period alone",
    ),
    (
        accuracy_term(),
        "duration_months",
        "null",
        {"duration_months": None, "full_months": None, "ends": "volume_only"},
        [("volume", 640_000, None)],
        "without time only the volume ends the cover",
    ),
    (
        CAP_ONLY,
        "duration_months",
        "120",
        {"duration_months": 120, "full_months": 120, "ends": "unstated"},
        [("time", 120, "shipment"), ("volume", 640_000, None)],
        "two limits newly met have no rule between them until somebody gives it; time stands before volume",
    ),
    (
        accuracy_term(),
        "volume_cap_usgal",
        "2200000",
        {"volume_cap_usgal": 2_200_000, "duration_months": 60, "ends": "first_of"},
        [("time", 60, "shipment"), ("volume", 2_200_000, None)],
        "the first volume limit is the cap",
    ),
    (
        accuracy_term(),
        "volume_cap_usgal",
        "null",
        {"volume_cap_usgal": None, "ends": "time_only"},
        [("time", 60, "shipment")],
        "without a cap only time ends the cover",
    ),
    (
        register_term(),
        "volume_cap_usgal",
        "1500000",
        {"volume_cap_usgal": 1_500_000, "ends": "unstated"},
        [("time", 120, "shipment"), ("volume", 1_500_000, None)],
        "a cap that was missed makes a limit of its own",
    ),
    (
        register_term(),
        "duration_days",
        "90",
        {"duration_days": 90, "duration_months": None, "full_months": None, "ends": "time_only"},
        [("time", 90, "shipment")],
        "days are never turned into months, so the months go",
    ),
    (
        DAYS,
        "duration_months",
        "3",
        {"duration_days": None, "duration_months": 3, "full_months": 3},
        [("time", 3, "shipment")],
        "and the days go where it was months",
    ),
    (
        DAYS,
        "duration_months",
        "null",
        {"duration_days": 90, "duration_months": None},
        [("time", 90, "shipment")],
        "no months beside the days changes nothing",
    ),
    (
        accuracy_term(),
        "start_event",
        '"installation"',
        {"start_event": "installation", "start_rule": "single"},
        [("time", 60, "installation"), ("volume", 640_000, None)],
        "the time limit runs from the start event; the volume runs from zero",
    ),
    (
        TWO_TIMES,
        "start_event",
        '"delivery"',
        {"start_event": "delivery"},
        [("time", 12, "delivery"), ("time", 18, "shipment")],
        "only the limit that ran from the old event moves",
    ),
    (
        accuracy_term(),
        "ends",
        '"last_of"',
        {"ends": "last_of"},
        [("time", 60, "shipment"), ("volume", 640_000, None)],
        "the rule between two limits is a value of its own",
    ),
    (
        accuracy_term(),
        "ends",
        '"life"',
        {"ends": "life", "duration_months": None, "full_months": None, "volume_cap_usgal": None},
        [],
        "a life has no row of limits",
    ),
    (
        FOR_LIFE,
        "duration_months",
        "240",
        {"ends": "life", "duration_months": 240},
        [],
        "not even where a number is printed beside it",
    ),
    (
        FOR_LIFE,
        "ends",
        '"time_only"',
        {"ends": "time_only", "life_of": None},
        [],
        "whose life it is goes with the life",
    ),
    (
        accuracy_term(),
        "limits",
        '[{"kind": "volume", "usgal": "1E+6", "limit_text": "1 MG"}, {"kind": "time", "days": 90}]',
        {
            "volume_cap_usgal": 1_000_000,
            "volume_cap_text": "1 MG",
            "duration_days": 90,
            "duration_months": None,
            "ends": "first_of",
        },
        [("volume", 1_000_000, None), ("time", 90, None)],
        "the term shows the first limit of each kind",
    ),
    (
        accuracy_term(),
        "limits",
        "[]",
        {"volume_cap_usgal": None, "duration_months": None, "duration_text": None, "volume_cap_text": None},
        [],
        "no limit, no duration and no cap",
    ),
    (
        accuracy_term(),
        "promise",
        '"function"',
        {"promise": "function", "accuracy_level": None},
        [("time", 60, "shipment"), ("volume", 640_000, None)],
        "only accuracy has a level",
    ),
    (
        banded_term(),
        "credits",
        '[{"from_month": 0, "to_month": 60, "customer_pays_pct": 0}, '
        '{"from_month": 60, "to_month": 240, "customer_pays_pct": 50}]',
        {"full_months": 60, "duration_months": 240},
        [("time", 240, "shipment"), ("volume", 2_200_000, None)],
        "the free period is the first step at 0",
    ),
    (
        banded_term(),
        "credits",
        "[]",
        {"full_months": 240, "credits": ()},
        [("time", 240, "shipment"), ("volume", 2_200_000, None)],
        "nothing prorated, everything free",
    ),
    (
        accuracy_term(),
        "duration_text",
        '"five (5) years"',
        {"duration_text": "five (5) years"},
        [("time", 60, "shipment"), ("volume", 640_000, None)],
        "words alone move no number",
    ),
    (
        accuracy_term(),
        "product",
        '"   "',
        {"product": None},
        [("time", 60, "shipment"), ("volume", 640_000, None)],
        "blank words are none",
    ),
]


@pytest.mark.parametrize(
    ("term", "field", "value", "expected", "limits", "why"), FOLLOWS, ids=[f"{row[1]}={row[2][:12]}" for row in FOLLOWS]
)
def test_what_hangs_on_a_corrected_field_follows_it(
    term: Term, field: str, value: str, expected: dict[str, Any], limits: list[tuple[object, ...]], why: str
) -> None:
    changed = amend_term(term, field, value)
    assert {name: getattr(changed, name) for name in expected} == expected, why
    assert shape(changed) == limits, why
    assert changed.evidence == term.evidence or field in ("limits", "credits")


def test_the_words_of_a_limit_follow_the_words_of_the_term() -> None:
    changed = amend_term(accuracy_term(), "duration_text", '"60 months"')
    assert changed.limits[0].limit_text == "60 months"
    changed = amend_term(accuracy_term(), "volume_cap_text", '"0.64 MG"')
    assert changed.limits[1].limit_text == "0.64 MG"


@pytest.mark.parametrize(
    ("starts", "rule", "expected_rule", "event"),
    [
        ("[]", StartRule.SINGLE, None, None),
        ('[{"event": "delivery"}]', StartRule.LATER_OF, StartRule.SINGLE, StartEvent.DELIVERY),
        ('[{"event": "delivery"}]', StartRule.CONDITIONAL, StartRule.CONDITIONAL, StartEvent.DELIVERY),
        (
            '[{"event": "installation"}, {"event": "shipment", "plus_months": 6}]',
            StartRule.EARLIER_OF,
            StartRule.EARLIER_OF,
            StartEvent.INSTALLATION,
        ),
    ],
)
def test_the_start_event_is_that_of_the_first_clock(
    starts: str, rule: StartRule, expected_rule: StartRule | None, event: StartEvent | None
) -> None:
    changed = amend_term(accuracy_term(start_rule=rule), "starts", starts)
    assert (changed.start_event, changed.start_rule) == (event, expected_rule)
    assert changed.limits[0].start_event is event


# term, field, JSON, words of the refusal, why
REFUSED = [
    (accuracy_term(), "size_label", '"5/8 inch"', "no standard size", "sizes are the contract's labels"),
    (accuracy_term(), "duration_months", "-12", "below zero", "no cover ends before it begins"),
    (accuracy_term(), "duration_months", "0", "promises nothing", "0 is not the word for unknown"),
    (accuracy_term(), "volume_cap_usgal", "0", "promises nothing", "0 is not the word for unknown"),
    (accuracy_term(), "full_months", "72", "longer than the term", "a free period lies within the term"),
    (banded_term(), "duration_months", "60", "longer than the term", "the free period would stick out"),
    (register_term(), "ends", '"first_of"', "needs two limits", "one limit has no rule"),
    (register_term(), "ends", '"unstated"', "needs two limits", "one limit has no rule"),
    (accuracy_term(), "ends", '"time_only"', "set volume_cap_usgal to null", "the cap would be forgotten"),
    (accuracy_term(), "ends", '"volume_only"', "set duration_months to null", "the years would be forgotten"),
    (TWO_TIMES, "ends", '"time_only"', "two time limits", "which of them?"),
    (TWO_TIMES, "duration_months", "null", "correct `limits`", "which of them?"),
    (TWO_TIMES, "start_event", "null", "correct `starts`", "which of them?"),
    (FOR_LIFE, "limits", '[{"kind": "time", "months": 12}]', "has no limits", "a life has no row of limits"),
    (register_term(), "life_of", '"meter"', "promise for life", "no life, nobody's"),
    (register_term(), "accuracy_level", '"stated"', "accuracy promise", "no accuracy, no level"),
    (accuracy_term(), "limits", '[{"kind": "time"}]', "months or days", "an end without a when"),
    (accuracy_term(), "limits", '[{"kind": "time", "months": 1, "days": 1}]', "months or days", "one of them"),
    (accuracy_term(), "limits", '[{"kind": "volume", "months": 1}]', "gallons", "a volume in months"),
    (accuracy_term(), "bands", '[{"lower_pct": 101.5, "upper_pct": 98.5}]', "runs upwards", "sides swapped"),
    (accuracy_term(), "bands", '[{"flow_from_usgpm": 20, "flow_to_usgpm": 1}]', "runs upwards", "ends swapped"),
    (
        banded_term(),
        "credits",
        '[{"from_month": 0, "to_month": 12, "customer_pays_pct": 0}, '
        '{"from_month": 6, "to_month": 24, "customer_pays_pct": 50}]',
        "overlap",
        "one month, two prices",
    ),
    (
        banded_term(),
        "credits",
        '[{"from_month": 12, "to_month": 12, "customer_pays_pct": 0}]',
        "runs upwards",
        "an empty step",
    ),
    (
        banded_term(),
        "credits",
        '[{"from_month": 0, "to_month": 12, "customer_pays_pct": 140}]',
        "0 to 100",
        "more than the price",
    ),
]


@pytest.mark.parametrize(("term", "field", "value", "words", "why"), REFUSED)
def test_a_correction_that_contradicts_the_term_is_refused(
    term: Term, field: str, value: str, words: str, why: str
) -> None:
    with pytest.raises(ValueRefusedError) as refused:
        amend_term(term, field, value)
    assert words in refused.value.message, why
    assert refused.value.message.startswith((field, "the term", "a promise"))


def test_a_slip_of_the_machine_elsewhere_in_the_term_hinders_no_correction() -> None:
    odd = accuracy_term(promise=Promise.FUNCTION, accuracy_level=AccuracyLevel.STATED)
    assert amend_term(odd, "duration_months", "72").duration_months == 72


def test_evidence_of_a_row_that_is_gone_goes_with_it() -> None:
    evidence = (seen("limit.1"), seen("limit.2"), seen("volume_cap_usgal"), seen("band.1"))
    term = accuracy_term(evidence=evidence)
    left = amend_term(term, "volume_cap_usgal", "null").evidence
    assert [item.field for item in left] == ["limit.1", "volume_cap_usgal"]


@pytest.mark.parametrize("field", TERM_FIELDS)
def test_every_field_takes_its_own_value_back(field: str) -> None:
    for term in (accuracy_term(), banded_term(), register_term(), FOR_LIFE, DAYS, TWO_TIMES, CAP_ONLY):
        text = to_json(getattr(term, field))
        json.loads(text)
        assert amend_term(term, field, text) == term


def test_the_fields_to_decide_are_those_of_the_term_that_a_document_can_say() -> None:
    assert set(Term.model_fields) - set(TERM_FIELDS) == {"evidence", "alternatives", "confidence"}
    assert NewDecision.model_fields.keys() >= {"expected_version", "old_value"}


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("60"), "60"),
        (Decimal("60.0"), "60"),
        (Decimal("1E+6"), "1000000"),
        (Decimal("0"), "0"),
        (Decimal("98.5"), "98.5"),
        (Decimal("0.000000001"), "0.000000001"),
        (Decimal("1E+40"), "1E+40"),
        (None, "null"),
        (StartEvent.SHIPMENT, '"shipment"'),
        ("5/8 × 3/4", '"5/8 × 3/4"'),
        ((), "[]"),
    ],
)
def test_a_value_has_one_spelling_in_the_log(value: object, text: str) -> None:
    assert to_json(value) == text
