"""Which promises stand side by side for a size, in what order, with what beside them."""

from decimal import Decimal
from pathlib import Path

import pytest
import suppliers
from suppliers import Recorder

from firstcap.app.report.compare import write_comparison
from firstcap.app.report.comparison import Comparison, Offer, compare
from firstcap.app.report.rows import Stack, TermRow, fitting, load, size_label
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue


def offers(comparison: Comparison, anchor: str) -> dict[str, Offer]:
    group = next(group for group in comparison.promises if group.anchor == anchor)
    return {offer.column.document.file_name: offer for offer in group.offers}


def test_the_newest_edition_of_a_form_comes_first_and_the_other_is_called_earlier(comparison: Comparison) -> None:
    editions = [(column.label, column.earlier) for column in comparison.columns if column.supplier.startswith("Sage")]
    assert editions == [("Sage Hollow Flow Co., Rev. C (2024)", False), ("Sage Hollow Flow Co., Rev. B (2018)", True)]


def test_a_document_of_other_sizes_is_left_out_and_says_why(comparison: Comparison) -> None:
    assert [(row.file_name, reason) for row, reason in comparison.left_out] == [
        ("drywash.pdf", "it names other sizes: 4")
    ]


def test_promises_without_a_size_hold_where_the_document_names_this_size_or_none(comparison: Comparison) -> None:
    cases = offers(comparison, "materials-workmanship-maincase")
    assert {name: offer.time.text for name, offer in cases.items()} == {
        "sage-hollow-w12.pdf": "25 years",
        "sage-hollow-w12-old.pdf": "20 years",
        "quartz-arroyo-5.pdf": "18 months",
        "old-kiln.pdf": "10 years",
    }


def test_a_promise_of_another_product_or_type_of_meter_does_not_hold_for_a_size_only_this_one_has() -> None:
    def term(name: str, size: str | None, meter_type: str | None, product: str | None = None) -> TermRow:
        return TermRow(name, "d", "whole_meter", "accuracy", "time_only", product, meter_type, size)

    terms = [
        term("small", "5/8", "displacement", "Model P"),
        term("large", "4", "turbine", "Model T"),
        term("turbine parts", None, "turbine"),
        term("model T parts", None, None, "Model T"),
        term("radio", None, None),
        term("model P parts", None, "displacement", "Model P"),
    ]
    assert [kept.term_id for kept in fitting(terms, "5/8")] == ["small", "radio", "model P parts"]
    assert [kept.term_id for kept in fitting(terms, "4")] == ["large", "turbine parts", "model T parts", "radio"]
    assert fitting(terms, "3/4") == []


def test_unconfirmed_promises_are_counted(comparison: Comparison) -> None:
    assert (comparison.unconfirmed, len(comparison.offers)) == (9, 14)
    assert comparison.confirmation.startswith("◇ 9 of 14 promises unconfirmed")
    assert offers(comparison, "accuracy-new-meter-whole-meter")["sage-hollow-w12.pdf"].state == "confirmed"


def test_every_stated_value_has_a_page(comparison: Comparison) -> None:
    for offer in comparison.offers:
        for value in (offer.time, offer.cap, offer.rule, offer.start, offer.remedy):
            silent = value.text in ("not stated", "no volume cap", "no time limit")
            assert silent != bool(value.refs), (offer.label, value)
    low = offers(comparison, "accuracy-extended-low-flow-whole-meter")["quartz-arroyo-5.pdf"]
    assert [ref.page for ref in low.bands_refs] == [2]


def test_proration_and_start_are_told_in_words(comparison: Comparison) -> None:
    endpoint = offers(comparison, "function-endpoint")["quartz-arroyo-5.pdf"]
    assert endpoint.steps == (
        "years 1–10: free",
        "years 11–15: customer pays 40 %",
        "years 16–20: customer pays 75 %",
    )
    assert endpoint.price_basis == "of the list price at the sale"
    assert endpoint.start.text == "the earlier of installation and 6 months after shipment"


def test_clauses_stand_by_kind_with_their_words_and_days(comparison: Comparison) -> None:
    files = [column.document.file_name for column in comparison.columns]
    freezing = next(line for line in comparison.exclusions if line.kind == "freezing")
    said = {name: clause.written for name, clause in zip(files, freezing.clauses, strict=True) if clause}
    assert said == {
        "sage-hollow-w12.pdf": "damage from frost is not covered",
        "quartz-arroyo-5.pdf": "no claim lies for freezing",
    }
    notice = comparison.duties[0].clauses[files.index("sage-hollow-w12.pdf")]
    assert notice is not None and notice.text == "within 30 days"
    assert [ref.page for ref in notice.refs] == [2]


def test_a_struck_promise_is_not_compared(recorded: Recorder) -> None:
    from firstcap.schema.decisions import NewDecision
    from firstcap.schema.vocabulary import DecisionAction

    paper = suppliers.sage_hollow()
    catalogue = recorded([paper, suppliers.quartz_arroyo()])
    first = paper.term_ids()[0]
    catalogue.decide(
        [NewDecision(reviewer="R. Ortega", item_id=first, action=DecisionAction.STRIKE, note="another form's")]
    )
    found = compare(load(catalogue, "5/8"))
    assert set(offers(found, "accuracy-new-meter-whole-meter")) == {"quartz-arroyo-5.pdf"}


@pytest.mark.parametrize(
    ("typed", "label"),
    [
        ('5/8"', "5/8"),
        ("5/8 in", "5/8"),
        ("5/8 x 3/4", "5/8x3/4"),
        ("5/8×3/4 inch", "5/8x3/4"),
        ("1½", "1-1/2"),
        ("1 1/2", "1-1/2"),
        ("dn 20", "DN20"),
        ("DN15", "DN15"),
        ("20 mm", "20 mm"),
        ("0.75", "0.75"),
    ],
)
def test_a_size_is_understood_as_typed_and_never_converted(typed: str, label: str) -> None:
    assert size_label(typed) == label


@pytest.mark.parametrize("typed", ["7/8", "DN15", "1/2", "20 mm", ""])
def test_a_size_the_catalogue_does_not_name_is_refused_with_the_sizes_it_names(pinyon: Catalogue, typed: str) -> None:
    with pytest.raises(UsageError, match=r"sizes it names: 5/8, 3/4, 4"):
        write_comparison(pinyon, typed, None)


def test_where_no_document_names_a_size_any_standard_size_is_compared(recorded: Recorder) -> None:
    catalogue = recorded([suppliers.unsized_only()])
    assert "Old Kiln Water Products" in write_comparison(catalogue, "1", None)
    with pytest.raises(UsageError, match="no meter size"):
        write_comparison(catalogue, "7/8", None)


def test_another_ending_is_refused_before_anything_is_read(tmp_path: Path) -> None:
    class Untouched:
        def rows(self, sql: str, parameters: object = ()) -> list[dict[str, object]]:
            raise AssertionError("the catalogue was read")

        def files(self, document_id: str) -> list[Path]:
            raise AssertionError("the catalogue was read")

    with pytest.raises(UsageError, match=r"\.html, \.pdf, \.xlsx, \.md, \.json"):
        write_comparison(Untouched(), "5/8", tmp_path / "comparison.docx")


@pytest.mark.parametrize("ending", [".html", ".xlsx", ".md"])
def test_a_place_that_cannot_be_written_is_said_and_nothing_half_made_stays(
    pinyon: Catalogue, tmp_path: Path, ending: str
) -> None:
    with pytest.raises(UsageError, match="cannot be written"):
        write_comparison(pinyon, "5/8", tmp_path / "no such folder" / f"comparison{ending}")
    taken = tmp_path / f"comparison{ending}"
    taken.mkdir()
    with pytest.raises(UsageError, match="cannot be written"):
        write_comparison(pinyon, "5/8", taken)
    assert list(tmp_path.iterdir()) == [taken]


def test_numbers_come_back_from_the_catalogue_exactly(pinyon: Catalogue) -> None:
    stack: Stack = load(pinyon, "5/8")
    caps = {term.volume_cap_usgal for term in stack.terms if term.volume_cap_usgal is not None}
    assert Decimal(500_000) in caps
    lower = {band.lower_pct for band in stack.bands}
    assert {Decimal(95), Decimal("98.5"), Decimal(90)} <= lower
