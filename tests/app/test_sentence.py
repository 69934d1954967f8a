"""A term becomes sentences that hide nothing: the table shows the wording, the property test that no number is lost."""

import re
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from firstcap.app.confirm.sentence import clean, describe, gallons, gpm, heading, sentences
from firstcap.schema.terms import AccuracyBand, CreditStep, Limit, Start, Term
from firstcap.schema.vocabulary import (
    SIZE_LABELS,
    AccuracyLevel,
    Component,
    Ends,
    FlowRole,
    LifeOf,
    LimitKind,
    MeterType,
    PriceBasis,
    Promise,
    Remedy,
    StartEvent,
    StartRule,
)

D = Decimal


def time(months: int, event: StartEvent | None = None) -> Limit:
    return Limit(kind=LimitKind.TIME, months=D(months), start_event=event)


def days(count: int, event: StartEvent | None = None) -> Limit:
    return Limit(kind=LimitKind.TIME, days=count, start_event=event)


def volume(usgal: str, text: str = "") -> Limit:
    return Limit(kind=LimitKind.VOLUME, usgal=D(usgal), limit_text=text)


def term(**values: object) -> Term:
    given_values: dict[str, object] = {
        "component": Component.WHOLE_METER,
        "promise": Promise.MATERIALS_WORKMANSHIP,
        "ends": Ends.TIME_ONLY,
    }
    return Term.model_validate(given_values | values)


TABLE = [
    pytest.param(
        term(
            size_label="5/8",
            component=Component.MEASURING_ELEMENT,
            promise=Promise.ACCURACY,
            accuracy_level=AccuracyLevel.NEW_METER,
            duration_months=D(60),
            volume_cap_usgal=D(640000),
            start_event=StartEvent.SHIPMENT,
            ends=Ends.FIRST_OF,
            limits=(time(60, StartEvent.SHIPMENT), volume("640000", "640 thousand gallons")),
        ),
        "The measuring element of the 5/8 in meter keeps new-meter accuracy for 60 months (5 years) from shipment or "
        "until 640,000 gal (written “640 thousand gallons”) are registered, whichever comes first.",
        id="years and volume, the first ends it",
    ),
    pytest.param(
        term(
            component=Component.CONNECTIONS,
            duration_days=90,
            start_event=StartEvent.DELIVERY,
            limits=(days(90, StartEvent.DELIVERY),),
        ),
        "The connections of the meter are free from defects in materials and workmanship for 90 days from delivery; "
        "time alone ends it.",
        id="days stay days",
    ),
    pytest.param(
        term(
            meter_type=MeterType.DISPLACEMENT,
            promise=Promise.ACCURACY,
            accuracy_level=AccuracyLevel.REPAIRED_METER,
            limits=(volume("1500000", "1,500,000 gallons"),),
            ends=Ends.VOLUME_ONLY,
        ),
        "The displacement meter keeps repaired-meter accuracy until 1,500,000 gal are registered; registered volume "
        "alone ends it.",
        id="volume alone, and no start is missed",
    ),
    pytest.param(
        term(
            duration_months=D(72),
            volume_cap_usgal=D(700000),
            start_event=StartEvent.PURCHASE,
            ends=Ends.UNSTATED,
            limits=(time(72, StartEvent.PURCHASE), volume("700000", "700,000 gal")),
        ),
        "The meter is free from defects in materials and workmanship for 72 months (6 years) from purchase or until "
        "700,000 gal are registered; the document gives no rule between them.",
        id="two limits without a rule are said to be so",
    ),
    pytest.param(
        term(
            duration_months=D(12),
            start_event=StartEvent.INSTALLATION,
            start_rule=StartRule.SINGLE,
            ends=Ends.FIRST_OF,
            limits=(time(12, StartEvent.INSTALLATION), time(18, StartEvent.SHIPMENT)),
            starts=(Start(event=StartEvent.INSTALLATION), Start(event=StartEvent.SHIPMENT)),
        ),
        "The meter is free from defects in materials and workmanship for 12 months (1 year) from installation or for "
        "18 months from shipment, whichever comes first.",
        id="an end-moving pair",
    ),
    pytest.param(
        term(
            duration_months=D(120),
            start_event=StartEvent.INSTALLATION,
            start_rule=StartRule.EARLIER_OF,
            limits=(time(120, StartEvent.INSTALLATION),),
            starts=(Start(event=StartEvent.INSTALLATION), Start(event=StartEvent.SHIPMENT, plus_months=D(6))),
        ),
        "The meter is free from defects in materials and workmanship for 120 months (10 years); time alone ends it. "
        "The time starts at the earlier of installation and 6 months after shipment.",
        id="a start-moving pair, the earlier",
    ),
    pytest.param(
        term(
            duration_months=D(24),
            start_rule=StartRule.LATER_OF,
            limits=(time(24, StartEvent.COMMISSIONING),),
            starts=(Start(event=StartEvent.COMMISSIONING), Start(event=StartEvent.DELIVERY, plus_months=D(3))),
        ),
        "The meter is free from defects in materials and workmanship for 24 months (2 years); time alone ends it. "
        "The time starts at the later of commissioning and 3 months after delivery.",
        id="a start-moving pair, the later",
    ),
    pytest.param(
        term(
            duration_months=D(24),
            start_rule=StartRule.CONDITIONAL,
            limits=(time(24, StartEvent.INSTALLATION),),
            starts=(Start(event=StartEvent.INSTALLATION), Start(event=StartEvent.SHIPMENT)),
        ),
        "The meter is free from defects in materials and workmanship for 24 months (2 years); time alone ends it. "
        "The time starts at installation or, where the document's condition is not met, at shipment.",
        id="a start with a fallback",
    ),
    pytest.param(
        term(component=Component.MAINCASE, variant="bronze", ends=Ends.LIFE, life_of=LifeOf.OWNERSHIP),
        "The maincase (bronze) of the meter is free from defects in materials and workmanship for as long as the "
        "buyer owns it.",
        id="the life of ownership",
    ),
    pytest.param(
        term(component=Component.REGISTER, promise=Promise.FUNCTION, ends=Ends.LIFE, life_of=LifeOf.METER),
        "The register of the meter keeps working for the life of the meter.",
        id="the life of the meter",
    ),
    pytest.param(
        term(
            component=Component.BATTERY,
            promise=Promise.FUNCTION,
            duration_months=D(180),
            ends=Ends.LAST_OF,
            start_event=StartEvent.MANUFACTURE,
            limits=(time(180, StartEvent.MANUFACTURE), volume("2000000")),
        ),
        "The battery of the meter keeps working for 180 months (15 years) from manufacture or until 2,000,000 gal are "
        "registered, whichever comes later.",
        id="the later ends it",
    ),
    pytest.param(
        term(
            component=Component.ENDPOINT,
            duration_months=D(156),
            full_months=D(120),
            limits=(time(156, StartEvent.SHIPMENT),),
            start_event=StartEvent.SHIPMENT,
            remedy=Remedy.REPAIR_OR_REPLACE,
            credits=(
                CreditStep(from_month=D(0), to_month=D(120), customer_pays_pct=D(0)),
                *(
                    CreditStep(
                        from_month=D(120 + 12 * step),
                        to_month=D(132 + 12 * step),
                        customer_pays_pct=D(30 + 5 * step),
                        price_basis=PriceBasis.LIST_PRICE_THEN_CURRENT,
                    )
                    for step in range(3)
                ),
            ),
        ),
        "The endpoint is free from defects in materials and workmanship for 156 months (13 years) from "
        "shipment; time alone ends it. It is free for 120 months (10 years), then the customer pays 30 % in year 11, "
        "35 % in year 12, 40 % in year 13 of the list price when the claim is made. The remedy is repair or "
        "replacement.",
        id="a prorated tail, step by step",
    ),
    pytest.param(
        term(duration_months=D(240), full_months=D(120), limits=(time(240),)),
        "The meter is free from defects in materials and workmanship for 240 months (20 years); time alone ends it. "
        "The document does not say what starts the time. It is free for 120 months (10 years), then the customer pays "
        "a share that the document does not give.",
        id="a decline with no rate, and no start",
    ),
    pytest.param(
        term(
            size_label="5/8x3/4",
            product="Kestrel 20",
            meter_type=MeterType.MULTI_JET,
            promise=Promise.ACCURACY,
            accuracy_level=AccuracyLevel.STATED,
            duration_months=D(60),
            start_event=StartEvent.SHIPMENT,
            bands=(
                AccuracyBand(
                    flow_role=FlowRole.NORMAL_RANGE,
                    flow_from_usgpm=D(1),
                    flow_to_usgpm=D(20),
                    lower_pct=D("98.5"),
                    upper_pct=D("101.5"),
                ),
                AccuracyBand(
                    flow_role=FlowRole.MINIMUM, flow_from_usgpm=D("0.25"), flow_to_usgpm=D("0.25"), lower_pct=D(95)
                ),
            ),
        ),
        "The 5/8 x 3/4 in multi jet meter “Kestrel 20” keeps accuracy in the document's own percentages for 60 months "
        "(5 years) from shipment; time alone ends it. It registers 98.5 % to 101.5 % from 1 to 20 gpm (normal flow "
        "range) and at least 95 % at 0.25 gpm (minimum flow).",
        id="bands, one of them one-sided; limits made from the main values",
    ),
    pytest.param(
        term(
            size_label="DN20",
            promise=Promise.ACCURACY,
            accuracy_level=AccuracyLevel.NEW_METER,
            duration_months=D(36),
            limits=(time(36, StartEvent.DELIVERY), volume("792516.157", "3 000 m³")),
            ends=Ends.FIRST_OF,
            start_event=StartEvent.DELIVERY,
            bands=(AccuracyBand(basis="AWWA C700"),),
        ),
        "The DN20 meter keeps new-meter accuracy for 36 months (3 years) from delivery or until 792,516 gal (written "
        "“3 000 m³”) are registered, whichever comes first. Its limits are those of AWWA C700.",
        id="metric words stand beside the gallons; a standard by name",
    ),
    pytest.param(
        term(ends=Ends.FIRST_OF, duration_months=D(60), start_event=StartEvent.SHIPMENT),
        "The meter is free from defects in materials and workmanship for 60 months (5 years) from shipment; the rule "
        "is “whichever comes first”, but only one limit stands here.",
        id="a rule between two limits of which one is missing",
    ),
    pytest.param(
        term(ends=Ends.VOLUME_ONLY),
        "The meter is free from defects in materials and workmanship, ended by registered volume alone, but no volume "
        "is given.",
        id="nothing given is said to be so",
    ),
    pytest.param(
        term(duration_months=D(60), limits=(time(120, StartEvent.SHIPMENT),)),
        "The meter is free from defects in materials and workmanship for 120 months (10 years) from shipment; time "
        "alone ends it. The main time limit is given as 60 months (5 years).",
        id="values that contradict each other are both shown",
    ),
]


@pytest.mark.parametrize(("promise", "expected"), TABLE)
def test_a_term_reads_as_an_english_sentence(promise: Term, expected: str) -> None:
    assert describe(promise) == expected


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("640,000 gallons", "640,000 gal"),
        ("640,000", "640,000 gal"),
        ("640", "640,000 gal (written “640”)"),
        ("640 kgal", "640,000 gal (written “640 kgal”)"),
        ("640,000 imp. gal", "640,000 gal (written “640,000 imp. gal”)"),
        ("", "640,000 gal"),
    ],
)
def test_the_words_of_a_volume_show_where_they_say_it_in_another_way(written: str, shown: str) -> None:
    assert gallons(D(640000), written) == shown


def test_a_converted_flow_is_rounded_and_says_so() -> None:
    assert (gpm(D("0.25")), gpm(D("0.110070915"))) == ("0.25", "≈ 0.1101")


@pytest.mark.parametrize(
    ("values", "subject"),
    [
        ({"component": Component.ENDPOINT, "product": "Wren"}, "The endpoint “Wren” is free"),
        ({"component": Component.SOFTWARE}, "The software is free"),
        ({"component": Component.OTHER, "product": "Perch"}, "The item outside the list of components “Perch” is free"),
        ({"component": Component.REGISTER}, "The register of the meter is free"),
        ({"component": Component.REGISTER, "size_label": "1"}, "The register of the 1 in meter is free"),
    ],
)
def test_what_is_sold_alone_belongs_to_no_meter(values: dict[str, object], subject: str) -> None:
    assert describe(term(**values)).startswith(subject)


def test_words_of_a_document_cannot_steer_the_terminal() -> None:
    assert clean("Kestrel\x1b[2J\n\t20\x07") == "Kestrel [2J 20"


def test_a_heading_names_size_component_and_promise() -> None:
    promise = term(size_label="1", promise=Promise.ACCURACY, accuracy_level=AccuracyLevel.NEW_METER, product="Wren")
    assert heading(promise) == "1 in whole meter, new-meter accuracy, Wren"


# Up to six significant digits: what a document prints. Converted values are rounded to the gallon in the sentence.
whole_months = st.integers(1, 600).map(Decimal)
gallon_values = st.decimals("1", "99999999", places=3, allow_nan=False)
percents = st.decimals("0", "120", places=2, allow_nan=False)
flows = st.decimals("0.01", "5000", places=4, allow_nan=False)
events = st.sampled_from(StartEvent)


@st.composite
def limits(draw: st.DrawFn) -> Limit:
    kind = draw(st.sampled_from(["months", "days", "volume"]))
    if kind == "volume":
        return Limit(kind=LimitKind.VOLUME, usgal=draw(gallon_values))
    event = draw(st.none() | events)
    if kind == "days":
        return Limit(kind=LimitKind.TIME, days=draw(st.integers(1, 900)), start_event=event)
    return Limit(kind=LimitKind.TIME, months=draw(whole_months), start_event=event)


terms = st.builds(
    Term,
    product=st.none(),
    meter_type=st.none() | st.sampled_from(MeterType),
    size_label=st.none() | st.sampled_from(SIZE_LABELS),
    component=st.sampled_from(Component),
    variant=st.none(),
    promise=st.sampled_from(Promise),
    accuracy_level=st.none() | st.sampled_from(AccuracyLevel),
    duration_months=st.none() | whole_months,
    full_months=st.none() | whole_months,
    duration_days=st.none() | st.integers(1, 900),
    duration_text=st.none(),
    start_event=st.none() | events,
    start_rule=st.none() | st.sampled_from(StartRule),
    volume_cap_usgal=st.none() | gallon_values,
    volume_cap_text=st.none(),
    ends=st.sampled_from(Ends),
    life_of=st.none() | st.sampled_from(LifeOf),
    remedy=st.none() | st.sampled_from(Remedy),
    limits=st.lists(limits(), max_size=4).map(tuple),
    starts=st.lists(
        st.builds(Start, event=events, plus_months=st.integers(0, 36).map(Decimal), start_text=st.just("")), max_size=3
    ).map(tuple),
    bands=st.lists(
        st.builds(
            AccuracyBand,
            flow_role=st.none() | st.sampled_from(FlowRole),
            flow_from_usgpm=st.none() | flows,
            flow_to_usgpm=st.none() | flows,
            lower_pct=st.none() | percents,
            upper_pct=st.none() | percents,
            basis=st.sampled_from(["stated", "AWWA C700", "ISO 4064-1"]),
            band_text=st.just(""),
        ),
        max_size=3,
    ).map(tuple),
    credits=st.lists(
        st.builds(
            CreditStep,
            from_month=st.integers(0, 240).map(Decimal),
            to_month=st.integers(241, 480).map(Decimal),
            customer_pays_pct=percents,
            price_basis=st.sampled_from(PriceBasis),
            credit_text=st.just(""),
        ),
        max_size=3,
    ).map(tuple),
    evidence=st.just(()),
    alternatives=st.just(()),
    confidence=st.just(0.0),
)


def printed_numbers(text: str) -> set[Decimal]:
    return {Decimal(found.replace(",", "")) for found in re.findall(r"\d[\d,]*(?:\.\d+)?", text)}


@settings(max_examples=300, deadline=None)
@given(terms)
def test_every_number_of_a_term_stands_in_its_sentences(promise: Term) -> None:
    text = describe(promise)
    shown = printed_numbers(text)
    exactly = D(0)

    def stands(value: Decimal | int | None, slack: Decimal = exactly) -> bool:
        return value is None or any(abs(number - value) <= slack for number in shown)

    assert stands(promise.duration_months), "duration_months"
    assert stands(promise.duration_days), "duration_days"
    if promise.full_months != promise.duration_months:
        assert stands(promise.full_months), "full_months"
    half_a_gallon = D("0.5")
    assert stands(promise.volume_cap_usgal, half_a_gallon), "volume_cap_usgal"
    for limit in promise.limits:
        assert stands(limit.months) and stands(limit.days) and stands(limit.usgal, half_a_gallon), limit
    if promise.starts and any(start.plus_months for start in promise.starts):
        assert all(stands(start.plus_months or None) for start in promise.starts), promise.starts
    for band in promise.bands:
        for value in (band.lower_pct, band.upper_pct):
            assert stands(value), band
        for value in (band.flow_from_usgpm, band.flow_to_usgpm):
            assert stands(value, (value or D(0)) / 1000), band  # a converted flow is rounded to four digits
    for step in promise.credits:
        free = step.customer_pays_pct == 0 and "free" in text
        assert free or stands(step.customer_pays_pct), step
        for month, as_year in ((step.from_month, step.from_month / 12 + 1), (step.to_month, step.to_month / 12)):
            from_the_start = free and month == 0  # "free for 120 months"
            assert from_the_start or stands(month) or stands(as_year), step


@settings(max_examples=200, deadline=None)
@given(terms)
def test_sentences_are_whole_sentences(promise: Term) -> None:
    for sentence in sentences(promise):
        assert sentence[0].isupper() and sentence.endswith(".") and "None" not in sentence and "  " not in sentence
