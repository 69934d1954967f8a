"""The billing units of lists of meters, as exports write them: a table of names over the units of the schema."""

import re
from fractions import Fraction

from firstcap.schema.units import gallons_per

# Common practice of billing systems; MG is a million gallons, TG and kgal a thousand, CCF and HCF a hundred cubic feet.
_NAMES: dict[str, tuple[str, ...]] = {
    "gal": ("gal", "gals", "gallon", "gallons", "usgal", "usg", "us gal", "us gallon", "us gallons", "g"),
    "kgal": ("kgal", "kgals", "tgal", "tg", "thousand gallons", "thousand gal", "k gal"),
    "Mgal": ("mg", "million gallons", "million gal"),
    "imp_gal": ("imp gal", "igal", "imperial gallon", "imperial gallons", "uk gal"),
    "imp_kgal": ("imp kgal", "thousand imperial gallons"),
    "ft3": ("ft3", "cf", "cuft", "cu ft", "cubic foot", "cubic feet", "cft"),
    "CCF": ("ccf", "hcf", "hundred cubic feet", "c cf"),
    "MCF": ("mcf", "thousand cubic feet"),
    "m3": (
        "m3",
        "cbm",
        "cum",
        "cu m",
        "cubic meter",
        "cubic meters",
        "cubic metre",
        "cubic metres",
        "kl",
        "kilolitres",
    ),
    "L": ("l", "litre", "litres", "liter", "liters"),
    "ML": ("megalitre", "megalitres", "megaliter"),
    "acre_ft": ("acre ft", "af", "acre foot", "acre feet"),
}
_BY_NAME = {name: unit for unit, names in _NAMES.items() for name in names}
_TIMES = re.compile(r"^x?\s*(\d[\d,]*(?:\.\d+)?)\s*x?\s*(\D.*)$")


def gallons_in(written: str) -> Fraction | None:
    """US gallons in a billing unit as a list writes it, multiplied where it says so; None where it is not known.

    >>> gallons_in("CCF") == 100 * gallons_in("cu. ft."), gallons_in("10 ft³") == gallons_in("x10 CF")
    (True, True)
    """
    plain = " ".join(written.casefold().replace("³", "3").replace(".", " ").replace("_", " ").split())
    if plain in _BY_NAME:
        return gallons_per(_BY_NAME[plain])
    match = _TIMES.match(plain)
    if match and match[2].strip() in _BY_NAME:
        return Fraction(match[1].replace(",", "")) * gallons_per(_BY_NAME[match[2].strip()])
    return None
