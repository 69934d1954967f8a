"""Unit factors against pint's own units and against printed tables."""

from decimal import Decimal
from fractions import Fraction
from typing import Any

import pint
import pytest

from firstcap.schema.quantities import FlowRate, Volume
from firstcap.schema.units import gallons_per, gpm_per

PINT: Any = pint.UnitRegistry(non_int_type=Fraction)


@pytest.mark.parametrize(
    ("ours", "of_pint"),
    [
        ("gal", "gallon"),
        ("kgal", "kilogallon"),
        ("Mgal", "megagallon"),
        ("imp_gal", "imperial_gallon"),
        ("ft3", "cubic_foot"),
        ("m3", "stere"),
        ("L", "liter"),
        ("kL", "kiloliter"),
        ("ML", "megaliter"),
    ],
)
def test_a_volume_is_what_pint_says_exactly(ours: str, of_pint: str) -> None:
    assert gallons_per(ours) == Fraction(PINT.Quantity(1, of_pint).to("gallon").magnitude)


@pytest.mark.parametrize(
    ("ours", "of_pint"),
    [
        ("gpm", "gallon / minute"),
        ("gph", "gallon / hour"),
        ("imp_gpm", "imperial_gallon / minute"),
        ("L/h", "liter / hour"),
        ("L/s", "liter / second"),
        ("m3/h", "meter ** 3 / hour"),
        ("cfm", "foot ** 3 / minute"),
    ],
)
def test_a_flow_is_what_pint_says_exactly(ours: str, of_pint: str) -> None:
    assert gpm_per(ours) == Fraction(PINT.Quantity(1, of_pint).to("gallon / minute").magnitude)


def test_an_acre_foot_is_the_international_one_where_pint_still_takes_the_survey_foot() -> None:
    """We differ by about 6 parts in a million: NIST withdrew the US survey foot at the end of 2022 (from memory)."""
    survey = Fraction(PINT.Quantity(1, "acre_foot").to("gallon").magnitude)
    assert gallons_per("acre_ft") == 43560 * gallons_per("ft3")
    assert 0 < survey / gallons_per("acre_ft") - 1 < Fraction(7, 10**6)


@pytest.mark.parametrize(
    ("value", "unit", "printed", "source"),
    [
        ("1", "L", "0.264172052", "1 gal = 3.785411784 L exactly: NIST SP 811 app. B.8"),
        ("3.785411784", "L", "1", "the same, exactly"),
        ("4.54609", "L", "1.20094993", "imperial gallon, exactly 4.54609 L: NIST HB 44 app. C"),
        ("1", "imp_gal", "1.20094992550", "the same"),
        ("28.316846592", "L", "7.48051948052", "cubic foot, exactly: NIST HB 44 app. C"),
        ("1", "ft3", "7.4805", "OAS Annex 4, https://www.oas.org/dsd/publications/unit/oea59e/ch42.htm"),
        ("0.13368", "ft3", "1.0000", "the same"),
        ("1", "acre_ft", "325851", "USGS, https://water.usgs.gov/watuse/wuconv.html"),
        ("3.0689", "acre_ft", "1000000", "1 Mgal = 3.0689 acre-ft: OAS Annex 4"),
        ("3785", "m3", "1000000", "1 Mgal = 3,785 m3: USGS SIR 2005-5227"),
        ("1", "m3", "264.172052358", "arithmetic from the exact definitions"),
        ("1", "CCF", "748.051948052", "arithmetic from the exact definitions"),
        ("5678.118", "m3", "1500000", "1.5 million gallons, arithmetic"),
        ("2005.21", "CCF", "1500000", "1.5 million gallons, arithmetic"),
        ("1", "MCF", "7480.51948052", "arithmetic from the exact definitions"),
    ],
)
def test_a_volume_agrees_with_the_printed_table_to_its_last_digit(
    value: str, unit: str, printed: str, source: str
) -> None:
    gallons = Volume(value=Decimal(value), unit=unit).usgal
    assert abs(gallons / Decimal(printed) - 1) < _last_digit(value, printed), source


@pytest.mark.parametrize(
    ("value", "unit", "printed", "source"),
    [
        ("0.06309", "L/s", "1", "1 gal/min = 0.06309 L/s: USGS SIR 2005-5227"),
        ("227.12470704", "L/h", "1", "arithmetic, exact"),
        ("1", "m3/h", "4.40286753930", "arithmetic"),
        ("56.781", "L/h", "0.25", "test flow of a 5/8 in meter, arithmetic"),
        ("28.391", "L/h", "0.125", "half of it"),
        ("2.5", "m3/h", "11.007", "Q3 of a DN15 or DN20 meter, arithmetic"),
        ("4", "m3/h", "17.611", "Q3, arithmetic"),
    ],
)
def test_a_flow_agrees_with_the_printed_table_to_its_last_digit(
    value: str, unit: str, printed: str, source: str
) -> None:
    flow = FlowRate(low=Decimal(value), high=Decimal(value), unit=unit).low_usgpm
    assert flow is not None
    assert abs(flow / Decimal(printed) - 1) < _last_digit(value, printed), source


def _last_digit(*printed: str) -> Decimal:
    """Relative weight of half a last digit in the rounder of two printed numbers; whole numbers of 1 are exact."""

    def weight(text: str) -> Decimal:
        number = Decimal(text)
        if number == 1 or (number == number.to_integral_value() and text.endswith("00000")):
            return Decimal(0)
        return Decimal((0, (6,), int(number.as_tuple().exponent) - 1)) / number

    return max(Decimal("1e-9"), *(weight(text) for text in printed))
