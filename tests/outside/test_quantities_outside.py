"""Quantities in plain sentences against quantulum3, a general-purpose extractor; where we differ, why."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from firstcap.extract.language import parse
from firstcap.extract.patterns import duration, volume
from firstcap.schema.quantities import Duration, Volume
from firstcap.schema.units import gallons_per

MONTHS = {"year": 12, "month": 1}
GALLONS = {"gallon": "gal", "cubic foot": "ft3", "cubic metre": "m3", "litre": "L", "acre foot": "acre_ft"}


def ours(sentence: str) -> list[tuple[str, Decimal]]:
    """What we find, in months, days and gallons."""
    doc = parse(sentence)
    found: list[tuple[int, str, Decimal]] = []
    for mention in (*duration.find(doc), *volume.find(doc)):
        match mention.value:
            case Duration(months=Decimal() as months):
                found.append((mention.start, "months", months))
            case Duration(days=int() as days):
                found.append((mention.start, "days", Decimal(days)))
            case Volume() as held:
                found.append((mention.start, "gallons", held.usgal))
    return [(unit, value) for _, unit, value in sorted(found)]


def theirs(quantities: list[Any]) -> list[tuple[str, Decimal]]:
    """What quantulum3 finds, on the same scale; its unit's name where it is none of ours."""
    read = []
    for quantity in quantities:
        value, unit = Decimal(repr(quantity.value)), quantity.unit.name
        if unit in MONTHS:
            read.append(("months", value * MONTHS[unit]))
        elif unit == "day":
            read.append(("days", value))
        elif unit in GALLONS:
            factor = gallons_per(GALLONS[unit])
            read.append(("gallons", value * factor.numerator / factor.denominator))
        else:
            read.append((unit, value))
    return read


def same(left: list[tuple[str, Decimal]], right: list[tuple[str, Decimal]]) -> bool:
    return len(left) == len(right) and all(
        a[0] == b[0] and abs(a[1] - b[1]) <= Decimal("1e-9") * abs(b[1]) for a, b in zip(left, right, strict=True)
    )


@pytest.mark.parametrize(
    "sentence",
    [
        "The register is covered for ten years from the date of shipment.",
        "The meter holds its accuracy for 18 months.",
        "Return it within 90 days.",
        "The housing is promised for a term of 25 years.",
        "Cover ends after 2.5 million gallons.",
        "The cap is 750,000 gallons for the small size.",
        "The cap is 100 cubic feet.",
        "Up to 5,680 m3 are covered.",
        "The limit is 4,000 cubic metres.",
        "No more than 3,000 litres may have passed.",
        "The district allots 10 acre-feet to the block.",
    ],
)
def test_a_plain_quantity_is_read_alike(sentence: str, general_quantities: Callable[[str], list[Any]]) -> None:
    assert ours(sentence)
    assert same(ours(sentence), theirs(general_quantities(sentence)))


# sentence, ours, theirs, who is right and why
DIFFERENCES: list[tuple[str, list[tuple[str, str]], list[tuple[str, str]], str]] = [
    (
        "Twenty-five years and six months after shipment.",
        [("months", "306")],
        [("months", "300"), ("months", "6")],
        "we: one duration, of which the parts are added",
    ),
    (
        "Cover lasts five (5) years.",
        [("months", "60")],
        [("dimensionless", "5"), ("dimensionless", "5")],
        "we: words and digits are one number, and the years belong to it",
    ),
    (
        "The cap is 1.5 MG.",
        [("gallons", "1500000")],
        [("milligram", "1.5")],
        "we: MG is a million gallons in this trade",
    ),
    (
        "A cap of 1,500 kgal.",
        [("gallons", "1500000")],
        [("kilogram year litre", "1500")],
        "we: kgal is a thousand gallons",
    ),
    (
        "A limit of 2,005 CCF applies.",
        [("gallons", "1499844.155844156")],
        [("cubic centimetre farad", "2005")],
        "we: CCF is a hundred cubic feet",
    ),
    (
        "The register stops at half a million gallons.",
        [("gallons", "500000")],
        [("gallons", "1500000")],
        "we: half of a million, not a million and a half",
    ),
    (
        "The cap is 6 imperial gallons.",
        [("gallons", "7.205699553")],
        [("dimensionless", "6")],
        "we: the imperial gallon is a unit of its own",
    ),
    ("The lid weighs 2 kg.", [], [("kilogram", "2")], "both: a weight is no term of cover"),
    ("The price is 5 dollars.", [], [("dollar", "5")], "both: nor is a price"),
]


@pytest.mark.parametrize(("sentence", "we", "they", "why"), DIFFERENCES, ids=lambda value: str(value)[:40])
def test_where_we_differ_it_is_known_why(
    sentence: str,
    we: list[tuple[str, str]],
    they: list[tuple[str, str]],
    why: str,
    general_quantities: Callable[[str], list[Any]],
) -> None:
    assert same(ours(sentence), [(unit, Decimal(value)) for unit, value in we]), why
    found = theirs(general_quantities(sentence))
    assert same(found, [(unit, Decimal(value)) for unit, value in they]), "the library changed its mind: look again"


def test_a_flow_of_a_quarter_gpm_is_a_gram_picometre_to_a_general_extractor(
    general_quantities: Callable[[str], list[Any]],
) -> None:
    """Why the trade's own abbreviations are defined here and nowhere guessed; and a flow is never a volume cap."""
    (quantity,) = general_quantities("Tested at 1/4 gpm.")
    assert quantity.unit.name == "gram picometre"
    assert ours("Tested at 1/4 gpm.") == []


def test_a_general_extractor_averages_a_range_and_we_never_do(general_quantities: Callable[[str], list[Any]]) -> None:
    (quantity,) = general_quantities("Accuracy is 98.5% to 101.5% at normal flow.")
    assert (quantity.value, quantity.uncertainty) == (100.0, 1.5)
