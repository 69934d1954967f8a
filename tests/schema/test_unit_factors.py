"""Units of volume and flow are exact. Definitions: NIST SP 811 app. B.8 and NIST HB 44 app. C."""

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from firstcap.schema.quantities import FlowRate, Volume
from firstcap.schema.units import FLOW_UNITS, VOLUME_UNITS, as_decimal, gallons_per, gpm_per

INCH = Fraction(254, 10)  # millimetres, exactly
US_GALLON = 231 * INCH**3  # cubic millimetres
IMPERIAL_GALLON = Fraction("4.54609") * 10**6
CUBIC_FOOT = (12 * INCH) ** 3
LITRE = Fraction(10**6)

# unit -> cubic millimetres, by statute
VOLUMES = {
    "gal": US_GALLON,
    "kgal": 1000 * US_GALLON,
    "Mgal": 10**6 * US_GALLON,
    "imp_gal": IMPERIAL_GALLON,
    "imp_kgal": 1000 * IMPERIAL_GALLON,
    "imp_Mgal": 10**6 * IMPERIAL_GALLON,
    "ft3": CUBIC_FOOT,
    "CCF": 100 * CUBIC_FOOT,
    "MCF": 1000 * CUBIC_FOOT,
    "m3": 1000 * LITRE,
    "L": LITRE,
    "kL": 1000 * LITRE,
    "ML": 10**6 * LITRE,
    "acre_ft": 43560 * CUBIC_FOOT,
}
# unit -> cubic millimetres a minute
FLOWS = {
    "gpm": US_GALLON,
    "gph": US_GALLON / 60,
    "imp_gpm": IMPERIAL_GALLON,
    "imp_gph": IMPERIAL_GALLON / 60,
    "L/h": LITRE / 60,
    "L/min": LITRE,
    "L/s": 60 * LITRE,
    "m3/h": 1000 * LITRE / 60,
    "cfm": CUBIC_FOOT,
}


@pytest.mark.parametrize("unit", VOLUME_UNITS)
def test_a_volume_is_its_statutory_number_of_gallons_exactly(unit: str) -> None:
    assert gallons_per(unit) == VOLUMES[unit] / US_GALLON


@pytest.mark.parametrize("unit", FLOW_UNITS)
def test_a_flow_is_its_statutory_number_of_gallons_a_minute_exactly(unit: str) -> None:
    assert gpm_per(unit) == FLOWS[unit] / US_GALLON


def test_a_cubic_foot_is_1728_cubic_inches_and_a_gallon_231() -> None:
    assert gallons_per("ft3") == Fraction(1728, 231)


def test_a_unit_nobody_defined_is_an_error_and_not_a_guess() -> None:
    with pytest.raises(KeyError):
        gallons_per("barrel")
    with pytest.raises(ValueError, match="unknown unit of volume 'barrel'"):
        Volume(value=Decimal(1), unit="barrel")
    with pytest.raises(ValueError, match="unknown unit of flow"):
        FlowRate(low=Decimal(1), high=Decimal(1), unit="gal")


amounts = st.decimals(min_value=0, max_value=10**12, places=3)


@given(amounts, st.sampled_from(sorted(VOLUME_UNITS)))
def test_any_volume_goes_to_gallons_and_back(value: Decimal, unit: str) -> None:
    gallons = Volume(value=value, unit=unit).usgal
    back = Fraction(gallons) / gallons_per(unit)
    assert abs(back - Fraction(value)) <= Fraction(1, 2 * 10**9) / gallons_per(unit)


@given(amounts, st.sampled_from(sorted(FLOW_UNITS)))
def test_any_flow_goes_to_gallons_a_minute_and_back(value: Decimal, unit: str) -> None:
    flow = FlowRate(low=value, high=value, unit=unit).low_usgpm
    assert flow is not None
    assert abs(Fraction(flow) / gpm_per(unit) - Fraction(value)) <= Fraction(1, 2 * 10**9) / gpm_per(unit)


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value=-(10**30), max_value=10**30, places=9))
def test_a_printed_number_survives_whatever_the_decimal_context(value: Decimal) -> None:
    with localcontext() as context:
        context.prec = 5
        shown = as_decimal(Fraction(value))
    assert shown == value
    assert int(shown.as_tuple().exponent) <= 0, "never 1E+6"


def test_what_does_not_end_is_rounded_half_even_at_nine_places() -> None:
    assert as_decimal(Fraction(2, 3)) == Decimal("0.666666667")
    assert as_decimal(Fraction(5, 10**10)) == 0
    assert as_decimal(Fraction(15, 10**10)) == Decimal("0.000000002")
