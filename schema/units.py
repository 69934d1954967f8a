"""Units of volume and flow, by pint, in exact fractions; the trade's own abbreviations are defined only here.

Definitions are exact by statute (NIST SP 811 appendix B.8, NIST HB 44 appendix C): the US gallon is 231 cubic inches,
the imperial gallon 4.54609 L, the foot 0.3048 m. `MG` is one million gallons in this trade.
"""

from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

# Own names, so that a unit string in a Reading never depends on how pint spells it.
VOLUME_UNITS: dict[str, str] = {
    "gal": "231 * inch**3",
    "kgal": "1000 * 231 * inch**3",
    "Mgal": "1000000 * 231 * inch**3",
    "imp_gal": "4.54609 * liter",
    "imp_Mgal": "1000000 * 4.54609 * liter",
    "imp_kgal": "1000 * 4.54609 * liter",
    "ft3": "foot**3",
    "CCF": "100 * foot**3",
    "MCF": "1000 * foot**3",
    "m3": "meter**3",
    "L": "liter",
    "kL": "1000 * liter",
    "ML": "1000000 * liter",
    "acre_ft": "43560 * foot**3",
}
FLOW_UNITS: dict[str, str] = {
    "gpm": "231 * inch**3 / minute",
    "gph": "231 * inch**3 / hour",
    "imp_gpm": "4.54609 * liter / minute",
    "imp_gph": "4.54609 * liter / hour",
    "L/h": "liter / hour",
    "L/min": "liter / minute",
    "L/s": "liter / second",
    "m3/h": "meter**3 / hour",
    "cfm": "foot**3 / minute",
}
_PLACES = 9


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def _factor(definition: str, target: str) -> Fraction:
    registry = _registry()
    return Fraction(registry.parse_expression(definition).to(target).magnitude)


def as_decimal(value: Fraction) -> Decimal:
    """Nine decimal places at most: far below any printed precision, and exact for every statutory factor we print.

    Written out (1000000, never 1E+6), and of any size: no decimal context rounds it.

    >>> as_decimal(Fraction(1000000)), as_decimal(Fraction(1, 8))
    (Decimal('1000000'), Decimal('0.125'))
    """
    digits, exponent = round(value * 10**_PLACES), -_PLACES
    while exponent < 0 and digits % 10 == 0:
        digits, exponent = digits // 10, exponent + 1
    return Decimal(f"{digits}E{exponent}")


@cache
def gallons_per(unit: str) -> Fraction:
    """US gallons in one `unit` of volume, exactly. KeyError for an unknown unit."""
    return _factor(VOLUME_UNITS[unit], "inch**3") / 231


@cache
def gpm_per(unit: str) -> Fraction:
    """US gallons a minute in one `unit` of flow, exactly. KeyError for an unknown unit."""
    return _factor(FLOW_UNITS[unit], "inch**3/minute") / 231
