"""Decisions teach: every pattern has a record, and later readings are as sure as people found earlier ones right."""

import json
import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from firstcap.app.cli import main
from firstcap.app.confirm.core import Session
from firstcap.app.learn.recalibrate import LEAST, Example, beside, examples, fit, load, to_toml
from firstcap.app.learn.records import PatternRecord, pattern_records, wilson
from firstcap.app.understanding import Change
from firstcap.extract.confidence import Calibration, read_confidence, stamped
from firstcap.schema.errors import UsageError
from firstcap.schema.terms import Reading, Term
from firstcap.store.catalogue import Catalogue

GOOD, POOR = "cell_under_unit", "carried_over"


def read_with(term: Term, size: str, pattern: str) -> Term:
    """The term for another size as read with one pattern, its whole row kept as evidence."""
    row = term.evidence[0].model_copy(update={"field": "quote", "quote": "five (5) years or 640,000 gal"})
    told = tuple(one.model_copy(update={"pattern": pattern}) for one in (*term.evidence, row))
    return stamped(term.model_copy(update={"size_label": size, "evidence": told}))


@pytest.fixture(scope="module")
def paper(stack: tuple[Reading, ...]) -> Reading:
    """Twelve promises: six read with a pattern that is right, six with one that is mostly wrong."""
    sizes = ("5/8", "3/4", "1", "1-1/2", "2", "3")
    terms = [read_with(stack[0].terms[0], size, pattern) for pattern in (GOOD, POOR) for size in sizes]
    return stack[0].model_copy(update={"terms": tuple(terms), "warnings": ()})


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory, paper: Reading) -> Path:
    """That paper in a catalogue, nothing decided."""
    made = Catalogue(tmp_path_factory.mktemp("read") / "firstcap.duckdb")
    made.record(paper)
    return made.path


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory, read: Path) -> Path:
    """The same after the decisions of `decide`."""
    made = Catalogue(Path(shutil.copy(read, tmp_path_factory.mktemp("taught") / "firstcap.duckdb")))
    decide(made)
    return made.path


@pytest.fixture
def catalogue(tmp_path: Path, read: Path) -> Catalogue:
    return Catalogue(Path(shutil.copy(read, tmp_path / "firstcap.duckdb")))


@pytest.fixture
def decided(tmp_path: Path, taught: Path) -> Catalogue:
    return Catalogue(Path(shutil.copy(taught, tmp_path / "firstcap.duckdb")))


def decide(catalogue: Catalogue) -> None:
    """The good pattern confirmed six times; the poor one once, corrected twice and struck twice, and once left open."""
    session = Session(catalogue, reviewer="R. Alder")
    session.confirm(session.next() or pytest.fail("no facts"))
    for turn in range(11):
        item = session.next() or pytest.fail("no term")
        if turn <= 6:
            session.confirm(item)
        elif turn <= 8:
            session.correct(item, (Change("volume_cap_usgal", Decimal(64_000)),), "64,000 gal")
            session.confirm(session.next() or pytest.fail("the corrected term comes again"))
        else:
            session.strike(item, reason="a test flow")


def record_of(catalogue: Catalogue, pattern: str) -> PatternRecord:
    return next(one for one in pattern_records(catalogue) if one.pattern == pattern)


def counts(one: PatternRecord) -> tuple[int, int, int, int]:
    return one.proposed, one.confirmed, one.corrected, one.struck


def test_before_any_decision_a_pattern_has_only_proposals(catalogue: Catalogue) -> None:
    one = record_of(catalogue, GOOD)
    assert counts(one) == (6, 0, 0, 0) and (one.low, one.high) == (None, None)


def test_a_pattern_is_counted_once_a_term_however_many_values_it_gave(decided: Catalogue) -> None:
    assert counts(record_of(decided, GOOD)) == (6, 6, 0, 0)
    assert counts(record_of(decided, POOR)) == (6, 1, 2, 2)


def test_only_the_pattern_of_the_value_that_was_wrong_is_blamed(tmp_path: Path, stack: tuple[Reading, ...]) -> None:
    made = Catalogue(tmp_path / "one.duckdb")
    term = stack[0].terms[0]
    rows = tuple(one.model_copy(update={"pattern": one.field}) for one in term.evidence)
    made.record(stack[0].model_copy(update={"terms": (term.model_copy(update={"evidence": rows}),), "warnings": ()}))
    session = Session(made, reviewer="R. Alder")
    session.confirm(session.next() or pytest.fail("no facts"))
    session.correct(
        session.next() or pytest.fail("no term"), (Change("volume_cap_usgal", Decimal(64_000)),), "64,000 gal"
    )
    assert counts(record_of(made, "volume_cap_usgal")) == (1, 0, 1, 0)
    assert counts(record_of(made, "duration_months")) == (1, 0, 0, 0), "nobody has said that it is right yet"
    session.confirm(session.next() or pytest.fail("the corrected term comes again"))
    assert counts(record_of(made, "duration_months")) == (1, 1, 0, 0)


def test_what_is_taken_back_no_longer_counts(decided: Catalogue) -> None:
    decided.undo("R. Alder")
    assert counts(record_of(decided, POOR)) == (6, 1, 2, 1)


@pytest.mark.parametrize(
    ("right", "decided", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_the_interval_is_the_score_interval_of_newcombes_examples(
    right: int, decided: int, low: float, high: float
) -> None:
    """Newcombe, Statistics in Medicine 17 (1998) 857-872, table I, score method; the figures are from memory."""
    assert wilson(right, decided) == pytest.approx((low, high), abs=5e-5)


def test_the_interval_is_wilsons_formula() -> None:
    """Wilson, J. Am. Stat. Assoc. 22 (1927) 209-212, written out; z for 95 % from tables of the normal distribution."""
    right, decided, z = 9, 12, 1.959964
    share = right / decided
    middle = share + z**2 / (2 * decided)
    spread = z * (share * (1 - share) / decided + z**2 / (4 * decided**2)) ** 0.5
    whole = 1 + z**2 / decided
    assert wilson(right, decided) == pytest.approx(((middle - spread) / whole, (middle + spread) / whole), abs=1e-6)


def test_a_pattern_that_was_often_wrong_makes_later_readings_less_sure(decided: Catalogue, paper: Reading) -> None:
    fitted = fit(examples(decided))
    assert (fitted.decided, fitted.right) == (11, 7)
    assert fitted.calibration.patterns[POOR] > 0 > fitted.calibration.patterns[GOOD]
    assert fitted.after < fitted.before
    later = fitted.calibration.applied(paper)
    assert later.terms[0].confidence > paper.terms[0].confidence > later.terms[-1].confidence


def test_a_term_of_which_only_the_remedy_was_wrong_is_right_in_its_numbers(catalogue: Catalogue) -> None:
    session = Session(catalogue, reviewer="R. Alder")
    session.confirm(session.next() or pytest.fail("no facts"))
    session.correct(session.next() or pytest.fail("no term"), (Change("remedy", "replace"),), "replacement")
    assert examples(catalogue) == [], "its numbers are not confirmed yet"
    session.confirm(session.next() or pytest.fail("the corrected term comes again"))
    assert [one.right for one in examples(catalogue)] == [True]


def test_the_same_decisions_give_the_same_file(decided: Catalogue) -> None:
    texts = {to_toml(fit(order)) for order in (examples(decided), examples(decided))}
    assert len(texts) == 1
    assert fit(examples(decided)).calibration == Calibration.from_toml(texts.pop())


def test_fitting_again_after_reading_with_the_calibration_changes_nothing(decided: Catalogue, paper: Reading) -> None:
    fitted = fit(examples(decided))
    decided.record(fitted.calibration.applied(paper))
    assert to_toml(fit(examples(decided))) == to_toml(fitted)


def test_few_decisions_are_too_few() -> None:
    few = [Example(f"t{turn}", 0.9, frozenset({GOOD}), True) for turn in range(LEAST - 1)]
    with pytest.raises(UsageError, match="confirm some first"):
        fit(few)


def test_a_few_decisions_move_the_confidence_only_a_little() -> None:
    """A dozen terms read at 0.9 of which all are right say that it is at least 0.9, not that it is 1."""
    fitted = fit([Example(f"t{turn:02}", 0.9, frozenset({GOOD}), True) for turn in range(12)])
    assert 0.9 < fitted.calibration.confidence(0.9, {GOOD}) < 0.96


def test_a_calibration_keeps_what_was_read_and_names_itself(paper: Reading) -> None:
    once = Calibration(-0.5, {POOR: 1.0})
    later = once.applied(paper)
    assert [read_confidence(term) for term in later.terms] == [term.confidence for term in paper.terms]
    assert later.reader != paper.reader
    assert later.reader != Calibration(-0.4, {POOR: 1.0}).applied(paper).reader
    again = once.applied(later)
    assert [term.confidence for term in again.terms] == [term.confidence for term in later.terms]


def test_the_command_lists_writes_and_is_used_by_the_next_reading(
    decided: Catalogue, capsys: pytest.CaptureFixture[str]
) -> None:
    main_ends = ["patterns", "--catalogue", str(decided.path)]
    run(*main_ends, "--json")
    facts = {one["pattern"]: one for one in json.loads(capsys.readouterr().out)}
    assert (facts[POOR]["confirmed"], facts[POOR]["struck"]) == (1, 2)
    run(*main_ends)
    line = next(line for line in capsys.readouterr().out.splitlines() if line.startswith(GOOD))
    assert line.split() == [GOOD, "6", "6", "0", "0", "61%", "to", "100%"]
    run(*main_ends, "--recalibrate")
    assert "11 decided terms, 7 of them right" in capsys.readouterr().err
    assert load(beside(decided.path)).patterns[POOR] > 0


def run(*arguments: str) -> None:
    with pytest.raises(SystemExit) as ended:
        main(list(arguments))
    assert ended.value.code in (0, None)


@pytest.mark.parametrize("text", ["shift = 'x'", "patterns = 3", "no toml at all", ""])
def test_a_file_that_is_no_calibration_says_what_to_do(tmp_path: Path, text: str) -> None:
    file = tmp_path / "x.toml"
    file.write_text(text)
    with pytest.raises(UsageError, match="--recalibrate"):
        load(file)
