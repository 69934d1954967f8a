"""Prorated credits: what the customer pays at which age, read from sentences and from the columns of a table.

The wordings are our own; that year n runs from month 12(n-1) to 12n is common practice.
"""

from decimal import Decimal

import pytest
from notation import load
from papers import paper

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.assembly.credits import _spans
from firstcap.extract.assembly.stages import read_stages
from firstcap.extract.language import language_of, parse, sentences
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.patterns.credit import share_in

STYLES = {
    "en": NumberStyle(),
    "es": NumberStyle(",", ".", language="es"),
    "fr": NumberStyle(",", " ", language="fr"),
    "de": NumberStyle(",", ".", language="de"),
}


def written(number: Decimal) -> str:
    return f"{round(number, 2).normalize():f}"


@pytest.mark.parametrize(
    ("text", "expected", "reason"), [pytest.param(*row, id=row[0][:60]) for row in load("credit", 60)]
)
def test_a_sentence_gives_what_the_customer_pays(text: str, expected: str, reason: str) -> None:
    """`total: from-to pays`, in months and per cent, `-` where nothing can be told."""
    total, _, told = expected.partition(": ")
    read = read_stages(
        [sentence.text for sentence in sentences(parse(text))], Decimal(total), style=STYLES[language_of(text)]
    )
    found = [
        f"{written(step.from_month)}-{written(step.to_month)} {written(step.customer_pays_pct)}"
        for stages in read
        for step in stages.steps
    ]
    assert (" ; ".join(found) or "-") == told, reason


@pytest.mark.parametrize(
    ("texts", "head", "months"),
    [
        pytest.param(["1-5", "6-10"], "Year", [(0, 60), (60, 120)], id="years counted from one"),
        pytest.param(["0 to 5", "5 to 10"], "Age in years", [(0, 60), (60, 120)], id="ages that touch"),
        pytest.param(["0 to 60", "61 to 84"], "Age in months", [(0, 60), (60, 84)], id="months from nought"),
        pytest.param(["Over 5 up to 8 years", "Over 8 up to 10 years"], "Age", [(60, 96), (96, 120)], id="over, up to"),
        pytest.param(
            ["up to 3 years", "over 3, not over 6 years"], "Age", [(0, 36), (36, 72)], id="the first is up to"
        ),
        pytest.param(
            ["Eleventh year", "Years 12 and 13"], "Time of failure, year", [(120, 132), (132, 156)], id="in words"
        ),
        pytest.param(["11.", "12. bis 14."], "Betriebsjahr", [(120, 132), (132, 168)], id="German ordinals"),
        pytest.param(["6e", "7e à 9e"], "Année", [(60, 72), (72, 108)], id="French ordinals"),
        pytest.param(["11", "12"], "Año", [(120, 132), (132, 144)], id="bare years"),
        pytest.param(["0", "1", "2"], "Completed years of age", [(0, 12), (12, 24), (24, 36)], id="full years of age"),
        pytest.param(["Months 13-24", "Months 25-36"], "Failure in", [(12, 24), (24, 36)], id="the unit in the cell"),
    ],
)
def test_a_column_of_years_counts_as_it_says(texts: list[str], head: str, months: list[tuple[int, int]]) -> None:
    assert _spans(texts, head) == [(Decimal(low), Decimal(high)) for low, high in months]


@pytest.mark.parametrize(
    ("text", "share"),
    [
        ("half of list", "50"),
        ("three quarters", "75"),
        ("1/4 of the price", "25"),
        ("two-thirds", "66.67"),
        ("seven tenths", "70"),
        ("33 1/3 %", "33.33"),
        ("die Hälfte", "50"),
        ("ein Fünftel", "20"),
        ("la mitad", "50"),
        ("dos tercios", "66.67"),
        ("le tiers", "33.33"),
        ("trois quarts", "75"),
        ("no charge", "0"),
        ("sans frais", "0"),
        ("3/4 inch", None),
        ("half a year", None),
        ("a quarter turn", None),
        ("the third failure", None),
        ("one or two parts", None),
    ],
)
def test_a_share_of_the_price_is_told_from_other_parts(text: str, share: str | None) -> None:
    found = share_in(text)
    assert (None if found is None else written(found)) == share


@pytest.mark.parametrize(
    "payment",
    [
        "We have made meters for 41 years, and 2 percent comes off the invoice if you pay it in ten days.",
        "Prices are net 30 and hold for two years; 3 percent is charged on what is paid later.",
    ],
)
def test_terms_of_payment_are_no_stages_of_a_promise(payment: str) -> None:
    text = f"We warrant the registers against defects in material for 12 years from shipment. {payment}"
    terms, _ = assemble(paper(text), "Wexlow Meters", is_warranty=True)
    assert [(term.duration_months, term.full_months, term.credits) for term in terms] == [(144, 144, ())]
