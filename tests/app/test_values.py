"""What a person types for a field: understood as the reader would, or refused with a reason and an example."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from firstcap.app.facts import FACTS, Precision, date_of, understand_fact
from firstcap.app.understanding import Understood
from firstcap.app.values import FIELDS, band_of, label_of, sizes_of, split_name, starts_of, understand
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.terms import AccuracyBand, CreditStep, Limit, Start, Term
from firstcap.schema.vocabulary import (
    Component,
    Ends,
    FlowRole,
    LimitKind,
    PriceBasis,
    Promise,
    StartEvent,
    StartRule,
)

D = Decimal
TIME = Limit(kind=LimitKind.TIME, months=D(60))
VOLUME = Limit(kind=LimitKind.VOLUME, usgal=D(640000))


def term(**values: object) -> Term:
    given: dict[str, object] = {
        "component": Component.MEASURING_ELEMENT,
        "promise": Promise.ACCURACY,
        "ends": Ends.FIRST_OF,
        "duration_months": D(60),
        "volume_cap_usgal": D(640000),
        "limits": (TIME, VOLUME),
    }
    return Term.model_validate(given | values)


def typed(text: str, on: Term | None = None) -> Understood:
    field, turn, value = split_name(text, FIELDS)
    return understand(field, value, on or term(), turn)


def values(understood: Understood) -> dict[str, Any]:
    return {change.field: change.value for change in understood.changes}


@pytest.mark.parametrize(
    ("text", "expected", "shown"),
    [
        pytest.param("time 15 yrs", {"duration_months": D(180)}, "180 months (15 years)", id="years in short"),
        pytest.param("time five (5) years", {"duration_months": D(60)}, "60 months (5 years)", id="words and digits"),
        pytest.param("time 18 months", {"duration_months": D(18)}, "18 months", id="months"),
        pytest.param("time: 90 days", {"duration_days": 90}, "90 days", id="days are never turned into months"),
        pytest.param(
            "duration ten years full, then ten years prorated",
            {"duration_months": D(240), "full_months": D(120)},
            "240 months (20 years), of which 120 months (10 years) free of charge",
            id="a prorated tail",
        ),
        pytest.param("cap 2.2 MG", {"volume_cap_usgal": D(2200000)}, "2,200,000 gal", id="MG, a million gallons"),
        pytest.param("cap 640,000 gal", {"volume_cap_usgal": D(640000)}, "640,000 gal", id="plain gallons"),
        # 100 cubic feet is 748.0519… US gallons: NIST HB 44 appendix C, 1 ft³ = 7.480519 gal (US).
        pytest.param("cap 1000 CCF", {"volume_cap_usgal": D("748051.948051948")}, "748,052 gal", id="CCF"),
        # 1 m³ = 264.172052… US gallons: NIST HB 44 appendix C.
        pytest.param("volume 3 000 m³", {"volume_cap_usgal": D("792516.157074445")}, "792,516 gal", id="metric"),
        pytest.param("ends whichever is later", {"ends": Ends.LAST_OF}, "", id="the later limit"),
        pytest.param("ends whichever comes first", {"ends": Ends.FIRST_OF}, "", id="the first limit"),
        pytest.param("ends whichever occurs sooner", {"ends": Ends.FIRST_OF}, "", id="a wording of the reader's"),
        pytest.param("ends no rule", {"ends": Ends.UNSTATED}, "", id="no rule between two limits"),
        pytest.param("component register", {"component": Component.REGISTER}, "", id="a name of the list"),
        pytest.param("component nutating disc", {"component": Component.MEASURING_ELEMENT}, "", id="a wording of it"),
        pytest.param("promise function", {"promise": Promise.FUNCTION}, "", id="a promise"),
        pytest.param("level new", {"accuracy_level": "new_meter"}, "", id="a level by the first word"),
        pytest.param("type disc", {"meter_type": "displacement"}, "", id="a kind of displacement meter"),
        pytest.param("type magnetic", {"meter_type": "electromagnetic"}, "", id="the trade's short name"),
        pytest.param("remedy repair or replace", {"remedy": "repair_or_replace"}, "", id="a remedy"),
        pytest.param("remedy none", {"remedy": None}, "not stated", id="not stated is a value"),
        pytest.param("product Kestrel 20", {"product": "Kestrel 20"}, "Kestrel 20", id="free words"),
        pytest.param("free 10 years", {"full_months": D(120)}, "", id="the free period"),
        pytest.param("size 5/8\" x 3/4\"", {"size_label": "5/8x3/4"}, "5/8 x 3/4 in", id="inch marks"),
        pytest.param("size DN 20", {"size_label": "DN20"}, "DN20", id="a metric size"),
        pytest.param("size 1 1/2 in.", {"size_label": "1-1/2"}, "1-1/2 in", id="a mixed number"),
        pytest.param("size none", {"size_label": None}, "no size named", id="no size"),
    ],
)  # fmt: skip
def test_a_value_is_understood_as_it_is_written(text: str, expected: dict[str, Any], shown: str) -> None:
    understood = typed(text)
    got = values(understood)
    assert {field: got.get(field, "missing") for field in expected} == expected
    assert shown in understood.shown and understood.shown


def test_what_was_typed_stands_beside_the_value_as_the_words_of_the_document() -> None:
    assert values(typed("time 15 yrs"))["duration_text"] == "15 yrs"
    assert values(typed("cap 2.2 MG"))["volume_cap_text"] == "2.2 MG"


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        pytest.param("time 15", "without years, months or days", id="a bare number is no time"),
        pytest.param("time soon", "not understood as a time", id="nonsense"),
        pytest.param("time 15 yrs from the moon", "“from moon” is left over", id="words nobody understood"),
        pytest.param("time twelve (18) months", "disagree", id="words and digits that disagree"),
        pytest.param("time 5 years 10 years", "several", id="two times for one"),
        pytest.param("time 2.2 MG", "not understood as a time", id="a volume is no time"),
        pytest.param("time", "nothing was given", id="nothing"),
        pytest.param("cap 640,000", "without a unit", id="a bare number is no volume"),
        pytest.param("cap 15 yrs", "not understood as a registered volume", id="a time is no volume"),
        pytest.param("cap 20 gpm", "not understood as a registered volume", id="a flow is no volume"),
        pytest.param("ends maybe", "no rule for the end", id="no rule of the list"),
        pytest.param("ends time only", "correct “cap” to “none”", id="a rule that the limits contradict"),
        pytest.param("component sofa", "no component of the list", id="no component"),
        pytest.param("promise none", "no promise of the list", id="a promise cannot be missing"),
        pytest.param("start yesterday", "not understood as a start", id="no event"),
        pytest.param("free 90 days", "counted in months", id="a free period in days"),
        pytest.param("credits credit 40 % in year 6", "customer's share", id="the supplier's share is the other side"),
        pytest.param("credits year 12-11 40 %", "run upwards", id="years backwards"),
        pytest.param("flow 2: 1 gpm", "no accuracy band 2", id="a band that is not there"),
        pytest.param("colour blue", "there is no field “colour”", id="no field of that name"),
    ],
)
def test_what_cannot_be_meant_is_refused_with_a_reason(text: str, reason: str) -> None:
    with pytest.raises(ValueRefusedError) as refused:
        typed(text)
    assert reason in refused.value.message


def test_a_refusal_shows_how_to_write_it() -> None:
    with pytest.raises(ValueRefusedError, match="write it like “15 yrs”"):
        typed("time soon")


@pytest.mark.parametrize(
    ("text", "clocks", "rule"),
    [
        ("shipment", (("shipment", 0),), StartRule.SINGLE),
        ("from delivery", (("delivery", 0),), StartRule.SINGLE),
        ("invoice", (("purchase", 0),), StartRule.SINGLE),
        ("6 months after shipment", (("shipment", 6),), StartRule.SINGLE),
        ("earlier of installation and six months after shipment", (("installation", 0), ("shipment", 6)), "earlier_of"),
        ("the later of delivery and installation", (("delivery", 0), ("installation", 0)), StartRule.LATER_OF),
    ],
)  # fmt: skip
def test_starts_are_single_or_combined(text: str, clocks: tuple[tuple[str, int], ...], rule: StartRule) -> None:
    found, found_rule = starts_of(text)
    assert tuple((start.event, start.plus_months) for start in found) == clocks
    assert found_rule == rule


def test_an_end_moving_pair_sets_starts_limits_and_rule_together() -> None:
    got = values(typed("limits 12 months from installation or 18 months from shipment, whichever comes first"))
    assert [(limit.months, limit.start_event) for limit in got["limits"]] == [
        (D(12), StartEvent.INSTALLATION),
        (D(18), StartEvent.SHIPMENT),
    ]
    assert [start.event for start in got["starts"]] == [StartEvent.INSTALLATION, StartEvent.SHIPMENT]
    assert got["ends"] is Ends.FIRST_OF and got["start_rule"] is StartRule.SINGLE


def test_two_limits_typed_without_a_rule_have_none() -> None:
    assert values(typed("limits 6 years or 700,000 gal"))["ends"] is Ends.UNSTATED


def test_a_life_says_whose_it_is() -> None:
    assert values(typed("ends life of the meter")) == {"ends": Ends.LIFE, "life_of": "meter"}
    assert values(typed("ends as long as the buyer owns it")) == {"ends": Ends.LIFE, "life_of": "ownership"}


def test_a_time_on_a_promise_for_life_is_refused_until_the_end_is_corrected() -> None:
    with pytest.raises(ValueRefusedError, match="given for life"):
        typed("time 15 yrs", term(ends=Ends.LIFE, limits=(), duration_months=None, volume_cap_usgal=None))


def test_credits_are_what_the_customer_pays_year_by_year() -> None:
    understood = typed("credits years 1-10 free; year 11: 30 %; years 12 to 13 35 of current list price")
    steps: tuple[CreditStep, ...] = values(understood)["credits"]
    assert [(step.from_month, step.to_month, step.customer_pays_pct) for step in steps] == [
        (0, 120, 0),
        (120, 132, 30),
        (132, 156, 35),
    ]
    assert steps[1].price_basis is PriceBasis.LIST_PRICE_THEN_CURRENT
    assert "months 120 to 132: the customer pays 30 %" in understood.shown


@pytest.mark.parametrize(
    ("text", "lower", "upper", "low", "high"),
    [
        ("98.5–101.5", "98.5", "101.5", None, None),
        ("98.5 % to 101.5 %", "98.5", "101.5", None, None),
        ("±1.5 %", "98.5", "101.5", None, None),
        ("at least 95 %", "95", None, None, None),
        ("95–101 at 1/4 gpm", "95", "101", "0.25", "0.25"),
        ("at 1/4 gpm: 95-101 %", "95", "101", "0.25", "0.25"),
        ("98.5-101.5 % from 1 to 20 gpm", "98.5", "101.5", "1", "20"),
        ("at least 95 % at ⅛ gpm", "95", None, "0.125", "0.125"),
    ],
)
def test_bands_are_typed_as_they_are_printed(
    text: str, lower: str, upper: str | None, low: str | None, high: str | None
) -> None:
    band = band_of(text)
    expected = tuple(None if value is None else D(value) for value in (lower, upper, low, high))
    assert (band.lower_pct, band.upper_pct, band.flow_from_usgpm, band.flow_to_usgpm) == expected


def test_one_band_of_several_is_corrected_by_its_number() -> None:
    first = AccuracyBand(flow_role=FlowRole.NORMAL_RANGE, flow_from_usgpm=D(1), flow_to_usgpm=D(20), lower_pct=D(98))
    second = AccuracyBand(flow_role=FlowRole.MINIMUM, flow_from_usgpm=D("0.5"), flow_to_usgpm=D("0.5"), lower_pct=D(95))
    on = term(bands=(first, second))
    bands = values(typed("band 2: 97–103", on))["bands"]
    assert bands[0] == first and (bands[1].lower_pct, bands[1].upper_pct) == (97, 103)
    assert bands[1].flow_from_usgpm == D("0.5") and bands[1].flow_role is FlowRole.MINIMUM
    flows = values(typed("flow 2: ⅛ gpm", on))["bands"]
    assert flows[1].flow_from_usgpm == D("0.125") and flows[1].lower_pct == 95
    assert values(typed("flow 1 to 25 gpm", on))["bands"][0].flow_to_usgpm == 25
    assert values(typed("role 2: extended low", on))["bands"][1].flow_role is FlowRole.EXTENDED_LOW
    assert values(typed("band 1: none", on))["bands"] == (second,)


@pytest.mark.parametrize("text", ["flow 25", "band 9.85-10.15", "band lukewarm"])
def test_a_band_that_no_meter_has_is_refused(text: str) -> None:
    with pytest.raises(ValueRefusedError):
        typed(text, term(bands=(AccuracyBand(lower_pct=D(95)),)))


def test_a_range_of_sizes_names_every_size_in_it() -> None:
    assert sizes_of("5/8 through 1 inch") == ("5/8", "5/8x3/4", "3/4", "3/4x1", "1")


@pytest.mark.parametrize(
    ("text", "day", "precision"),
    [
        ("2023-03-01", date(2023, 3, 1), Precision.DAY),
        ("1st of March, 2023", date(2023, 3, 1), Precision.DAY),
        ("Mar. 15, 2022", date(2022, 3, 15), Precision.DAY),
        ("March 2023", date(2023, 3, 1), Precision.MONTH),
        ("2019", date(2019, 1, 1), Precision.YEAR),
    ],
)
def test_dates_are_as_precise_as_they_are_typed(text: str, day: date, precision: Precision) -> None:
    assert date_of(text) == (day, precision)


def test_a_list_price_is_that_of_the_sale_or_of_the_claim() -> None:
    with pytest.raises(ValueRefusedError, match="“list price” is no price of the list"):
        typed("credits year 6 40 % of list price")


def test_a_date_that_reads_two_ways_is_refused() -> None:
    with pytest.raises(ValueRefusedError, match="the month may be either number"):
        date_of("05/06/2021")


def test_facts_of_a_document_are_typed_by_name() -> None:
    fact, _, value = split_name("rev C", FACTS)
    assert (fact.field, values(understand_fact(fact, value))) == ("revision", {"revision": "C"})
    fact, _, value = split_name("date March 2023", FACTS)
    assert values(understand_fact(fact, value)) == {"effective_from": date(2023, 3, 1)}
    assert values(understand_fact(fact, "none")) == {"effective_from": None}


def test_evidence_is_labelled_by_what_a_person_calls_it() -> None:
    assert label_of("duration_months") == "time limit"
    assert label_of("band.2") == "accuracy band 2"
    assert label_of("effective_from") == "effective from"
    assert label_of("something_new.3") == "something new 3"


def test_a_start_keeps_the_words_typed_for_it() -> None:
    assert values(typed("start shipment"))["starts"] == (Start(event=StartEvent.SHIPMENT, start_text="shipment"),)
