"""Quantities, sizes and terms refuse what cannot be, and keep what a document says apart from what it does not."""

from decimal import Decimal

import pytest
from pydantic import ValidationError

from firstcap.schema.evidence import Box
from firstcap.schema.quantities import Duration, FlowRate, PercentBand
from firstcap.schema.terms import Term, term_ids
from firstcap.schema.vocabulary import SIZE_BY_LABEL, SIZE_LABELS, Component, Ends, Promise, sizes_between


def test_days_are_never_months() -> None:
    assert Duration(days=90).months is None
    with pytest.raises(ValidationError, match="exactly one"):
        Duration(months=Decimal(3), days=90)
    with pytest.raises(ValidationError, match="exactly one"):
        Duration()


@pytest.mark.parametrize("band", [{"lower": "101.5", "upper": "98.5"}, {}])
def test_a_band_runs_upwards_and_has_a_side(band: dict[str, str]) -> None:
    with pytest.raises(ValidationError):
        PercentBand.model_validate(band)


def test_a_band_may_be_open_on_one_side() -> None:
    assert PercentBand(lower=Decimal(90)).upper is None


def test_a_flow_range_runs_upwards_and_has_an_end() -> None:
    assert FlowRate(low=Decimal(1), high=None, unit="gpm").high_usgpm is None
    with pytest.raises(ValidationError, match="upwards"):
        FlowRate(low=Decimal(20), high=Decimal(1), unit="gpm")
    with pytest.raises(ValidationError, match="at least one end"):
        FlowRate(low=None, high=None, unit="gpm")


def test_a_decimal_is_a_string_in_json_and_comes_back_exactly() -> None:
    band = PercentBand(lower=Decimal("98.50"), upper=Decimal("101.500000000000000000001"))
    assert PercentBand.model_validate_json(band.model_dump_json()) == band
    assert '"101.500000000000000000001"' in band.model_dump_json()


@pytest.mark.parametrize(
    ("smallest", "largest", "labels", "reason"),
    [
        ("5/8", "1", ("5/8", "5/8x3/4", "3/4", "3/4x1", "1"), "combined sizes by their larger number"),
        ("5/8", "3/4", ("5/8", "5/8x3/4", "3/4"), "3/4x1 reaches beyond"),
        ("1-1/2", "2", ("1-1/2", "2"), "two sizes"),
        (None, "5/8", ("1/2", "5/8"), "5/8 and smaller"),
        ("12", None, ("12", "16", "20"), "12 and larger"),
        ("DN15", "DN25", ("DN15", "DN20", "DN25"), "metric"),
        ("DN250", None, ("DN250", "DN300"), "metric, open"),
        ("2", "2", ("2",), "one size"),
    ],
)
def test_a_range_of_sizes_takes_every_label_within_it(
    smallest: str | None, largest: str | None, labels: tuple[str, ...], reason: str
) -> None:
    assert sizes_between(smallest, largest) == labels, reason


@pytest.mark.parametrize(("smallest", "largest"), [(None, None), ("5/8", "DN50"), ("DN15", "2")])
def test_inches_and_dn_make_no_range(smallest: str | None, largest: str | None) -> None:
    with pytest.raises(ValueError, match="inches and DN"):
        sizes_between(smallest, largest)


def test_sizes_are_labelled_once_and_ordered_by_their_larger_number() -> None:
    assert len(set(SIZE_LABELS)) == len(SIZE_LABELS) == len(SIZE_BY_LABEL)
    inches = [size.nominal_inch for size in SIZE_BY_LABEL.values() if size.nominal_inch is not None]
    assert inches == sorted(inches)


def _term(**values: object) -> Term:
    return Term.model_validate(
        {"component": Component.REGISTER, "promise": Promise.FUNCTION, "ends": Ends.TIME_ONLY, **values}
    )


def test_a_term_keeps_its_id_when_its_numbers_are_read_differently() -> None:
    assert term_ids("d", [_term(duration_months="120")]) == term_ids("d", [_term(duration_months="12")])


def test_terms_of_one_document_never_share_an_id() -> None:
    ids = term_ids("d", [_term(), _term(), _term(size_label="5/8"), _term(variant="bronze")])
    assert len(set(ids)) == 4
    assert set(ids).isdisjoint(term_ids("e", [_term()]))


def test_a_box_stands_upright_on_a_page_counted_from_one() -> None:
    with pytest.raises(ValidationError, match="top left"):
        Box(page=1, x0=10, top=10, x1=5, bottom=20)
    with pytest.raises(ValidationError):
        Box(page=0, x0=0, top=0, x1=5, bottom=20)
