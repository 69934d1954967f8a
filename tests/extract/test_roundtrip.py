"""Any duration, cap, flow, band or size, written in any supported wording, reads back; no text makes a family fail."""

from collections.abc import Callable
from datetime import date as Day  # noqa: N812
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import pytest
from drawn import Paper
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from firstcap.extract.language import parse
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.patterns import accuracy, date, duration, flow, rule, size, start, volume
from firstcap.extract.patterns.base import Mention
from firstcap.extract.patterns.values import FullAndTail
from firstcap.extract.reading import read as read_file
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.units import FLOW_UNITS, VOLUME_UNITS, as_decimal, gallons_per
from firstcap.schema.vocabulary import SIZE_LABELS, sizes_between

FINDERS: list[Callable[..., list[Mention]]] = [
    duration.find, volume.find, flow.find, accuracy.find, size.find, start.find, rule.find, date.find,
]  # fmt: skip

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
_TENS = "zero ten twenty thirty forty fifty sixty seventy eighty ninety".split()


def in_words(value: int) -> str:
    """An independent writer of English number words below a thousand."""
    if value < 20:
        return _ONES[value]
    if value < 100:
        return _TENS[value // 10] + (f"-{_ONES[value % 10]}" if value % 10 else "")
    rest = f" {in_words(value % 100)}" if value % 100 else ""
    return f"{_ONES[value // 100]} hundred{rest}"


WHOLE = st.integers(1, 99)
YEAR_FORMS = [
    "{d} years",
    "{d}-year",
    "{d}yr",
    "{d} yrs.",
    "{w} years",
    "{w} ({d}) years",
    "{d} ({w}) years",
    "{w}-year",
]
MONTH_FORMS = ["{d} months", "{d}-month", "{d} mos.", "{w} months", "{w} ({d}) months", "{d} ({w}) calendar months"]
CONTEXTS = ["{}", "for {} from shipment", "a period of {}, whichever comes first", "({})", "Register: {}."]


@given(WHOLE, st.sampled_from(YEAR_FORMS), st.sampled_from(CONTEXTS))
def test_any_number_of_years_reads_back(years: int, form: str, context: str) -> None:
    found = duration.find(parse(context.format(form.format(d=years, w=in_words(years)))))
    assert [one.value for one in found] == [Duration(months=Decimal(years * 12))]


@given(st.integers(1, 360), st.sampled_from(MONTH_FORMS), st.sampled_from(CONTEXTS))
def test_any_number_of_months_reads_back(months: int, form: str, context: str) -> None:
    found = duration.find(parse(context.format(form.format(d=months, w=in_words(months)))))
    assert [one.value for one in found] == [Duration(months=Decimal(months))]


@given(WHOLE, st.integers(1, 11), st.sampled_from(["{} years and {} months", "{} yr. {} mo.", "{} years, {} months"]))
def test_any_mixed_duration_reads_back(years: int, months: int, form: str) -> None:
    found = duration.find(parse(form.format(years, months)))
    assert [one.value for one in found] == [Duration(months=Decimal(years * 12 + months))]


@given(st.integers(1, 365), st.sampled_from(["{} days", "{}-day", "{} calendar days"]))
def test_any_number_of_days_stays_days(days: int, form: str) -> None:
    assert [one.value for one in duration.find(parse(form.format(days)))] == [Duration(days=days)]


TAIL_FORMS = [
    "{f} years full, then {t} years prorated",
    "{f} years at no charge followed by {t} years pro rata",
    "{s}-yr ({f}/{t})",
    "{s} years, the last {t} on a declining basis",
    "{s} years (first {f} full, balance prorated)",
    "{s} years, prorated after year {f}",
    "{f}+{t} years",
]


@given(st.integers(1, 20), st.integers(1, 20), st.sampled_from(TAIL_FORMS))
def test_any_full_time_with_a_tail_reads_back(full: int, tail: int, form: str) -> None:
    found = duration.find(parse(form.format(f=full, t=tail, s=full + tail)))
    expected = FullAndTail(Duration(months=Decimal((full + tail) * 12)), Duration(months=Decimal(full * 12)))
    assert [one.value for one in found] == [expected]


@given(st.integers(1, 50), st.integers(1, 50), st.sampled_from(["{} ({}) years", "{} ({}) months"]))
def test_words_win_over_digits_and_the_disagreement_is_told(words: int, digits: int, form: str) -> None:
    found = duration.find(parse(form.format(in_words(words), digits)))
    per = 12 if "years" in form else 1
    assert [one.value for one in found] == [Duration(months=Decimal(words * per))]
    assert bool(found[0].notes) == (words != digits)
    assert found[0].alternatives == (() if words == digits else (Duration(months=Decimal(digits * per)),))


UNIT_WORDS = {
    "gal": ["gallons", "gal", "gal.", "U.S. gallons", "USG", "gallons (U.S.)"],
    "kgal": ["kgal", "TGAL"],
    "Mgal": ["MG", "Mgal"],
    "imp_gal": ["imperial gallons", "Imp. gal.", "UK gallons"],
    "ft3": ["cubic feet", "cu. ft.", "ft³", "CF"],
    "CCF": ["CCF", "HCF"],
    "MCF": ["MCF"],
    "m3": ["m³", "m3", "cubic metres", "cbm"],
    "L": ["litres", "liters"],
    "kL": ["kL", "kilolitres"],
    "ML": ["ML", "megalitres"],
    "acre_ft": ["acre-feet", "acre feet"],
}


def written(value: int) -> st.SearchStrategy[str]:
    return st.sampled_from(
        [f"{value:,}", str(value), f"{value:,}".replace(",", "\u00a0"), f"{value:,}".replace(",", "'")]
    )


@given(st.data())
def test_any_cap_in_any_unit_reads_back(data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(sorted(UNIT_WORDS)))
    value = data.draw(st.integers(1, 9_999_999))
    text = f"{data.draw(written(value))} {data.draw(st.sampled_from(UNIT_WORDS[unit]))}"
    found = volume.find(parse(f"until {text} have passed"))
    assert [(one.value.value, one.value.unit) for one in found] == [(value, unit)], text


@given(
    st.integers(1, 9_999), st.sampled_from(["{} thousand gallons", "{}K gallons", "{} kgal", "{} thousands of gallons"])
)
def test_any_cap_in_thousands_reads_back(thousands: int, form: str) -> None:
    found = volume.find(parse(form.format(thousands)))
    assert [one.value.usgal for one in found] == [thousands * 1000]


@given(
    st.integers(1, 199), st.integers(0, 9), st.sampled_from(["{} million gallons", "{} MG", "{}M gallons", "{} Mgal"])
)
def test_any_cap_in_millions_reads_back(millions: int, tenths: int, form: str) -> None:
    found = volume.find(parse(form.format(f"{millions}.{tenths}")))
    assert [one.value.usgal for one in found] == [millions * 10**6 + tenths * 10**5]
    assert found[0].notes == ()


HEADERS = {
    "gal": 1, "Gallons": 1, "Registration (gallons)": 1, "Thousand gallons": 1000, "gallons (thousands)": 1000,
    "gal x 1000": 1000, "kgal": 1000, "(000 gal)": 1000, "Million gallons": 10**6, "Cap, MG": 10**6,
    "gallons (millions)": 10**6,
}  # fmt: skip


@given(st.integers(1, 9_999_999), st.sampled_from(sorted(HEADERS)))
def test_any_cell_takes_the_scale_of_its_header(value: int, header: str) -> None:
    found = volume.volume_in(f"{value:,}", header)
    assert found is not None and found.value.usgal == value * HEADERS[header]


@given(st.integers(10_000, 9_999_999))
def test_two_units_side_by_side_agree_or_are_flagged(gallons: int) -> None:
    metres = round(gallons / gallons_per("m3"))
    text = f"{gallons:,} gal ({metres:,} m³)"
    (found,) = volume.find(parse(text))
    assert (found.value, found.notes, found.text) == (Volume(value=Decimal(gallons), unit="gal"), (), text)
    (off,) = volume.find(parse(f"{gallons:,} gal ({metres * 12 // 10:,} m³)"))
    assert off.notes == ("units_differ",) and off.value == found.value


FLOWS = st.one_of(
    st.sampled_from([("1/8", Fraction(1, 8)), ("⅛", Fraction(1, 8)), ("1/4", Fraction(1, 4)), ("1-1/2", Fraction(3, 2)),
                     ("one-half", Fraction(1, 2)), ("three-quarters", Fraction(3, 4)), ("1½", Fraction(3, 2))]),
    st.integers(1, 5000).map(lambda value: (f"{value:,}", Fraction(value))),
    st.integers(1, 5000).map(lambda value: (f"{value / 100:.2f}", Fraction(value, 100))),
)  # fmt: skip
FLOW_WORDS = {
    "gpm": ["gpm", "GPM", "gal/min", "gallons per minute", "gallons a minute"], "gph": ["gph", "gallons per hour"],
    "imp_gpm": ["imperial gpm", "imperial gallons per minute"], "L/h": ["L/h", "litres per hour"], "L/s": ["L/s"],
    "L/min": ["L/min", "lpm"], "m3/h": ["m³/h", "m3/h", "cubic metres per hour"],
}  # fmt: skip


@given(FLOWS, st.data())
def test_any_flow_reads_back(amount: tuple[str, Fraction], data: st.DataObject) -> None:
    unit = data.draw(st.sampled_from(sorted(FLOW_WORDS)))
    text = f"{amount[0]} {data.draw(st.sampled_from(FLOW_WORDS[unit]))}"
    value = as_decimal(amount[1])
    assert [one.value for one in flow.find(parse(f"tested at {text}"))] == [FlowRate(low=value, high=value, unit=unit)]
    assert volume.find(parse(f"tested at {text}")) == []


@given(st.integers(1, 99), st.integers(100, 900), st.sampled_from(["{} to {} gpm", "{}-{} gpm", "{} – {} gpm",
 "from {} to {} gpm",
       "{} gpm to {} gpm", "between {} and {} gpm"]))  # fmt: skip
def test_any_range_of_flows_reads_back(low: int, high: int, form: str) -> None:
    found = flow.find(parse(form.format(low, high)))
    assert [one.value for one in found] == [FlowRate(low=Decimal(low), high=Decimal(high), unit="gpm")]


BAND_FORMS = [
    "{}% to {}%", "{} % - {} %", "{}–{} percent", "between {} and {} per cent", "not less than {}% nor more than {}%",
    "from {} to {} percent", "at least {} percent and at most {} percent", "{}%-{}%",
]  # fmt: skip


@given(st.integers(160, 199), st.integers(201, 210), st.sampled_from(BAND_FORMS))
def test_any_band_reads_back(low: int, high: int, form: str) -> None:
    lower, upper = (as_decimal(Fraction(half, 2)) for half in (low, high))
    found = accuracy.find(parse(form.format(f"{lower:f}", f"{upper:f}")))
    assert [one.value for one in found] == [PercentBand(lower=lower, upper=upper)]


@given(
    st.integers(1, 20),
    st.sampled_from(["±{} %", "+/-{}%", "plus or minus {} percent", "100 % ± {} %", "within {} percent"]),
)
def test_any_width_reads_back(halves: int, form: str) -> None:
    width = as_decimal(Fraction(halves, 2))
    found = accuracy.find(parse(form.format(f"{width:f}")))
    assert [one.value for one in found] == [PercentBand(lower=100 - width, upper=100 + width)]


PLAIN_SIZES = [label for label in SIZE_LABELS if "x" not in label and not label.startswith("DN")]
SIZE_FORMS = ['{}"', "{} in.", "{} inch", "{}-inch", "{}″", "{} inches"]


@given(st.sampled_from(PLAIN_SIZES), st.sampled_from(SIZE_FORMS))
def test_any_size_reads_back(label: str, form: str) -> None:
    assert [one.value for one in size.find(parse(f"the {form.format(label)} meter"))] == [(label,)]


@given(st.sampled_from(PLAIN_SIZES), st.sampled_from(PLAIN_SIZES), st.sampled_from(['{}" to {}"',
 "{} through {} inch", "{} in. to {} in.",
                                                                                  '{}"–{}"']))  # fmt: skip
def test_any_range_of_sizes_takes_every_label_within(one: str, two: str, form: str) -> None:
    low, high = sorted((one, two), key=SIZE_LABELS.index)
    if low == high:
        return
    found = size.find(parse(f"meters {form.format(low, high)}"))
    assert [mention.value for mention in found] == [sizes_between(low, high)]


@given(
    st.dates(min_value=Day(1971, 1, 1), max_value=Day(2068, 12, 31)),
    st.sampled_from(["%B %d, %Y", "%d %B %Y", "%Y-%m-%d", "%d.%m.%Y", "%b. %d, %Y", "%d-%b-%Y"]),
)
def test_any_date_reads_back(day: Day, form: str) -> None:
    found = date.find(parse(f"effective {day.strftime(form)}"))
    assert [one.value.date for one in found] == [day]


WORDS = (
    "from after the date of shipment installation delivery sale acceptance or and earlier later whichever comes "
    "first is "
    'until either both years months days gallons m³ gpm % percent 5 ten (10) 1/2 1-1/2 1½ 5/8" x 3/4 in. DN15 to - – ± '
    "98.5 101.5 500,000 3.000 K M million Q2 Q4 no than more less not but in any case begins means , . ; : / + ="
).split()


@pytest.mark.parametrize("find", FINDERS, ids=lambda find: find.__module__.rpartition(".")[2])
@given(text=st.one_of(st.text(), st.lists(st.sampled_from(WORDS), max_size=30).map(" ".join)))
def test_no_text_makes_a_family_raise(find: Callable[..., list[Mention]], text: str) -> None:
    for style in (NumberStyle(), NumberStyle(",", ".", language="es")):
        found = find(parse(text), style)
        assert all(one.text == text[one.start : one.end] and one.end > one.start for one in found)
        assert all(left.end <= right.start for left, right in pairwise(found))


@given(st.text(max_size=20), st.text(max_size=30))
def test_no_cell_makes_a_reader_raise(text: str, header: str) -> None:
    for read in (duration.duration_in, volume.volume_in, flow.flow_in, accuracy.band_in, size.size_in):
        read(text, header)
    start.start_in(text)


def test_every_unit_of_the_schema_can_be_read() -> None:
    """Scaled imperial units are written with their scale: "500 thousand imperial gallons"."""
    assert set(UNIT_WORDS) | {"imp_kgal", "imp_Mgal"} == set(VOLUME_UNITS)
    assert set(FLOW_WORDS) | {"imp_gph", "cfm"} == set(FLOW_UNITS)


ELSEWHERE = {
    "es": ("{} años", "{} meses", "{:,} litros"),
    "fr": ("{} ans", "{} mois", "{:,} litres"),
    "de": ("{} Jahre", "{} Monate", "{:,} Liter"),
}


@given(st.integers(2, 99), st.integers(10_000, 9_999_999), st.sampled_from(sorted(ELSEWHERE)))
def test_times_and_caps_of_other_languages_read_back(count: int, litres: int, language: str) -> None:
    years, months, caps = ELSEWHERE[language]
    style = NumberStyle(",", "." if language != "fr" else " ", language=language)
    grouped = caps.format(litres).replace(",", "\u00a0" if language == "fr" else ".")
    text = f"{years.format(count)}; {months.format(count)}; {grouped}."
    assert [one.value.months for one in duration.find(parse(text), style)] == [count * 12, count]
    assert [(one.value.value, one.value.unit) for one in volume.find(parse(text), style)] == [(litres, "L")]


@given(st.integers(160, 199), st.integers(201, 210), st.sampled_from(["{} % a {} %", "{} % bis {} %", "{} à {} %"]))
def test_a_band_with_decimal_commas_reads_back(low: int, high: int, form: str) -> None:
    lower, upper = (as_decimal(Fraction(half, 2)) for half in (low, high))
    printed = form.format(*(f"{limit:f}".replace(".", ",") for limit in (lower, upper)))
    assert [one.value for one in accuracy.find(parse(printed))] == [PercentBand(lower=lower, upper=upper)], printed


@given(st.integers(1, 999), st.sampled_from(["{w} thousand gallons", "{w} thousand ({d:,}) gallons"]))
def test_any_cap_in_words_reads_back(thousands: int, form: str) -> None:
    (found,) = volume.find(parse(form.format(w=in_words(thousands), d=thousands * 1000)))
    assert (found.value.usgal, found.notes) == (thousands * 1000, ())


@given(WHOLE, st.sampled_from(["½", " 1/2", "-1/2", " and one-half", " and a half"]))
def test_any_half_year_reads_back(years: int, half: str) -> None:
    found = duration.find(parse(f"for {years}{half} years"))
    assert [one.value for one in found] == [Duration(months=Decimal(years * 12 + 6))]


STARTS = {
    "from the date of shipment": "shipment", "from date of purchase": "purchase", "after installation": "installation",
    "from delivery": "delivery", "counted from the date of manufacture": "manufacture",
}  # fmt: skip
RULES = {
    "whichever comes first": "first_of", "whichever occurs first": "first_of", "whichever is later": "last_of",
    "whichever is the sooner": "first_of", "whichever comes later": "last_of",
}  # fmt: skip


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    years=st.integers(1, 25),
    thousands=st.integers(50, 9_999),
    form=st.sampled_from(YEAR_FORMS[4:7]),
    cap=st.sampled_from(["{:,}000 gallons", "{:,} thousand gallons", "{:,} kgal"]),
    start_words=st.sampled_from(sorted(STARTS)),
    rule_words=st.sampled_from(sorted(RULES)),
)
def test_any_promise_on_a_page_reads_back_whole(
    years: int, thousands: int, form: str, cap: str, start_words: str, rule_words: str, tmp_path: Path
) -> None:
    """From the words on a page to the term: the time, the cap, what starts it and which limit ends it."""
    time = form.format(d=years, w=in_words(years))
    time = time.replace("years", "year") if years == 1 else time
    volume_words = cap.format(thousands).replace("000 gallons", ",000 gallons")
    promise = (
        f"The register is warranted to be free from defects in materials and workmanship for {time} {start_words} "
        f"or until {volume_words} have been registered, {rule_words}."
    )
    drawing = Paper(tmp_path / "promise.pdf")
    drawing.text(72, 72, "Limited Warranty", face="Times-Bold", points=14)
    drawing.wrapped(72, 110, 440, promise)
    (term,) = read_file(drawing.done(), ocr=False).terms
    assert (term.component, term.promise) == ("register", "materials_workmanship"), promise
    assert (term.duration_months, term.volume_cap_usgal) == (years * 12, thousands * 1000), promise
    assert (term.start_event, term.ends) == (STARTS[start_words], RULES[rule_words]), promise
