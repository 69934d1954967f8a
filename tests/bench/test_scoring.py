"""The scorer counts what a careful reader would count: each value of each promise once, right, missed or too many."""

from typing import Any

import pytest
from gains import judged, unjudged
from scoring import NOTHING, Score, as_gold, compare, failed

from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import DocumentFacts, Duty, Exclusion, Limit, Reading, Term


def promise(**values: Any) -> dict[str, Any]:
    """A register covered for ten years from shipment."""
    months = values.get("duration_months", 120)
    return {
        "component": "register", "promise": "materials_workmanship", "size_label": None, "accuracy_level": None,
        "duration_months": months, "volume_cap_usgal": None, "start_event": "shipment", "ends": "time_only",
        "remedy": "replace", "meter_type": None, "product": None, "confidence": 0.95,
        "limits": [{"kind": "time", "months": months, "start_event": "shipment"}], "bands": [], "credits": [],
    } | values  # fmt: skip


def paper(*terms: dict[str, Any], **parts: Any) -> dict[str, Any]:
    document = {
        "supplier": "Saltgrove Meters",
        "document_code": "SM-1",
        "revision": "B",
        "effective_from": "2024-03-01",
    }
    return {**NOTHING, "document": document, "terms": list(terms), **parts}


def counts(score: Score, group: str) -> tuple[int, int, int]:
    tally = score.tally(group)
    return tally.right, tally.read, tally.gold


def test_a_perfect_reading_is_wholly_right() -> None:
    score = compare(paper(promise()), paper(promise()))
    assert {group: shares["f1"] for group, shares in score.shares().items() if group != "sure"} == dict.fromkeys(
        ("terms", "numbers", "context", "clauses", "document"), 1.0
    )
    assert score.sure == (1, 1, 1)
    assert counts(score, "numbers") == (2, 2, 2)  # the duration, and the limit


def test_a_wrong_duration_counts_as_read_and_as_missed_and_its_term_is_not_right() -> None:
    score = compare(paper(promise()), paper(promise(duration_months=60)))
    assert counts(score, "numbers") == (0, 2, 2)
    assert counts(score, "terms") == (1, 1, 1)
    assert score.sure == (1, 0, 1)


def test_a_missed_promise_costs_its_numbers_and_says_nothing_of_its_context() -> None:
    score = compare(paper(promise(), promise(component="battery")), paper(promise()))
    assert counts(score, "terms") == (1, 1, 2)
    assert counts(score, "numbers") == (2, 2, 4)
    assert counts(score, "context") == counts(compare(paper(promise()), paper(promise())), "context")


def test_a_promise_that_nobody_gave_costs_precision_and_is_sure_and_wrong() -> None:
    score = compare(paper(), paper(promise()))
    assert counts(score, "terms") == (0, 1, 0)
    assert counts(score, "numbers") == (0, 2, 0)
    assert score.sure == (1, 0, 1)


def test_an_optional_promise_may_be_missed() -> None:
    assert counts(compare(paper(promise(optional=True)), paper()), "terms") == (0, 0, 0)
    assert counts(compare(paper(promise(optional=True)), paper(promise())), "terms") == (1, 1, 1)


def test_another_defensible_reading_is_accepted() -> None:
    gold = paper(promise(component="register", accept={"component": ["electronics"], "remedy": ["repair"]}))
    score = compare(gold, paper(promise(component="electronics", remedy="repair")))
    assert counts(score, "terms") == (1, 1, 1)
    assert score.tally("context").f1 == 1.0


def test_terms_pair_for_the_best_of_the_whole_document_not_in_their_order() -> None:
    short, long = promise(duration_months=12), promise(duration_months=240)
    assert compare(paper(short, long), paper(long, short)).tally("numbers").f1 == 1.0


def test_two_limits_alike_are_two_facts() -> None:
    twice = [{"kind": "time", "months": 12, "start_event": "shipment"}] * 2
    score = compare(paper(promise(duration_months=12, limits=twice)), paper(promise(duration_months=12)))
    assert counts(score, "numbers") == (2, 2, 3)


def test_caps_agree_within_two_parts_in_a_thousand() -> None:
    gold = paper(promise(volume_cap_usgal=1_500_000))
    assert compare(gold, paper(promise(volume_cap_usgal=1_499_844))).sure == (1, 1, 1)
    assert compare(gold, paper(promise(volume_cap_usgal=1_490_000))).sure == (1, 0, 1)


def test_a_supplier_s_short_name_will_do_but_not_another_s() -> None:
    gold = paper()
    for name, right in (("Saltgrove", True), ("Saltgrove Meters Inc.", True), ("Larkfathom Meters", False)):
        read = paper()
        read["document"] = {**read["document"], "supplier": name}
        assert (counts(compare(gold, read), "document")[0] == 4) is right


def test_an_unsure_term_may_be_wrong_without_being_counted_as_sure() -> None:
    assert compare(paper(promise()), paper(promise(duration_months=6, confidence=0.4))).sure == (0, 0, 1)


@pytest.mark.parametrize(
    ("gold", "read", "expected"),
    [
        ({"exclusions": ["freezing", "misuse"]}, {"exclusions": ["freezing", "accident"]}, (1, 2, 2)),
        ({"exclusions": ["freezing"], "exclusions_accept": ["misuse"]}, {"exclusions": ["misuse", "freezing"]},
         (1, 1, 1)),
        ({"exclusions": ["other"]}, {"exclusions": []}, (0, 0, 0)),
        ({"duties": [{"kind": "written_notice", "days": 30}]}, {"duties": [{"kind": "written_notice", "days": 60}]},
         (0, 1, 1)),
        ({"conditions": ["governing_law"]}, {"conditions": []}, (0, 0, 1)),
        ({"warnings": ["ocr"]}, {"warnings": ["ocr", "ambiguous_date"]}, (1, 1, 1)),
    ],
)  # fmt: skip
def test_clauses_count_by_kind_duties_with_their_days_and_warnings_only_where_asked(
    gold: dict[str, Any], read: dict[str, Any], expected: tuple[int, int, int]
) -> None:
    assert counts(compare(paper(**gold), paper(**read)), "clauses") == expected


def test_a_file_that_could_not_be_read_gives_nothing_but_its_warning() -> None:
    score = compare(paper(promise()), failed())
    assert score.sure == (0, 0, 0)
    assert counts(score, "terms") == (0, 0, 1)


def test_a_reading_of_ours_scores_in_the_same_words_as_its_gold() -> None:
    box = Box(page=2, x0=72, top=72, x1=540, bottom=84)
    said = Evidence(field="duration_months", boxes=(box,), quote="for ten years", pattern="years", confidence=1.0)
    reading = Reading(
        document_id="0" * 64, file_name="sm.pdf", pages=2, text_source="text",
        facts=DocumentFacts(
            supplier="Saltgrove Meters", document_code="SM-1", revision="B", effective_from="2024-03-01"
        ),
        terms=(
            Term(component="register", promise="materials_workmanship", duration_months=120, start_event="shipment",
                 ends="time_only", remedy="replace", confidence=0.95, evidence=(said,),
                 limits=(Limit(kind="time", months=120, start_event="shipment"),)),
        ),
        exclusions=(Exclusion(kind="freezing", quote="frost"),),
        duties=(Duty(kind="written_notice", days=60, quote="a"), Duty(kind="written_notice", days=30, quote="b")),
    )  # fmt: skip
    read = as_gold(reading.model_dump(mode="json"))
    gold = paper(promise(), exclusions=["freezing"], duties=[{"kind": "written_notice", "days": 30}])
    assert all(fact.right for fact in compare(gold, read).facts)
    (change,) = [change for change in judged(gold, failed(), read) if change.where.endswith("duration_months")]
    assert (change.kind, change.page, change.quote) == ("gained", 2, "for ten years")


def test_gains_and_losses_are_told_from_what_was_wrong_both_times() -> None:
    gold = paper(promise())
    right, wrong, other = (paper(promise(duration_months=months)) for months in (120, 60, 24))
    kinds = {
        name: {change.kind for change in judged(gold, before, after)}
        for name, before, after in (("better", wrong, right), ("worse", right, wrong), ("as bad", wrong, other))
    }
    assert kinds["better"] == {"gained"}
    assert kinds["worse"] == {"lost"}
    assert "changed" in kinds["as bad"]
    assert judged(gold, wrong, wrong) == judged(gold, right, right) == []


def test_a_promise_found_at_last_with_one_wrong_word_is_no_loss() -> None:
    changes = judged(paper(promise()), paper(), paper(promise(remedy="refund")))
    assert {change.where.rpartition(" ")[2]: change.kind for change in changes}["remedy"] == "changed"
    assert "lost" not in {change.kind for change in changes}


def test_without_gold_every_changed_value_is_shown_once() -> None:
    before, after = paper(promise(product="A1", variant="bronze")), paper(promise(product="A1 B", variant=None))
    assert [(change.kind, change.before, change.after) for change in unjudged(before, after)] == [
        ("gone", "bronze", None),
        ("changed value", "A1", "A1 B"),
    ]
    assert unjudged(before, before) == []
