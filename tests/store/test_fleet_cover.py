"""Cover of meters in SQL against the same rules for one meter at a time, which python-dateutil reckons."""

import json
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from pinyon_readings import accuracy_term, reading, register_term

from firstcap.schema.decisions import NewDecision
from firstcap.schema.terms import DocumentFacts, Limit, Start, Term
from firstcap.schema.vocabulary import DecisionAction, Ends, LimitKind, Promise, StartEvent, StartRule
from firstcap.store.catalogue import Catalogue
from firstcap.worth.calendar import FOREVER, LONG_AGO, Days, MeterFacts, cover_of_meter, whole_months

DAY = date(2024, 2, 29)
UNDATED = DocumentFacts(supplier="Juniper Flow Works")
_DATES = st.dates(date(2008, 1, 1), date(2025, 12, 31)) | st.sampled_from(
    [date(2012, 2, 29), date(2020, 2, 29), date(2019, 1, 31), date(2018, 8, 31), date(2019, 2, 28)]
)
_MONTHS = st.sampled_from([1, 6, 12, 18, 60, 61, 120, 180]) | st.sampled_from([Decimal("4.5"), Decimal("30.25")])


@st.composite
def _terms(draw: st.DrawFn) -> Term:
    events = st.sampled_from(StartEvent)
    rule = draw(st.sampled_from([StartRule.SINGLE, *StartRule]))
    ends = draw(
        st.sampled_from([Ends.FIRST_OF, Ends.LAST_OF, Ends.UNSTATED, Ends.TIME_ONLY, Ends.VOLUME_ONLY, Ends.LIFE])
    )
    limits: list[Limit] = []
    starts: list[Start] = []
    if rule is not StartRule.SINGLE:
        starts = [
            Start(event=draw(events), plus_months=Decimal(draw(st.sampled_from([0, 0, 3, 6]))))
            for _ in range(draw(st.integers(1, 3)))
        ]
    if ends not in (Ends.VOLUME_ONLY, Ends.LIFE):
        for _ in range(draw(st.integers(1, 2))):
            if draw(st.integers(0, 4)):
                limits.append(Limit(kind=LimitKind.TIME, months=Decimal(draw(_MONTHS)), start_event=draw(events)))
            else:
                days = draw(st.sampled_from([30, 90, 365, 1000]))
                limits.append(Limit(kind=LimitKind.TIME, days=days, start_event=draw(events)))
    if ends in (Ends.VOLUME_ONLY, Ends.FIRST_OF, Ends.LAST_OF, Ends.UNSTATED) and (limits == [] or draw(st.booleans())):
        limits.append(Limit(kind=LimitKind.VOLUME, usgal=Decimal(draw(st.integers(1, 20))) * 50_000))
    return register_term(
        size_label=None,
        ends=ends,
        start_rule=rule,
        limits=tuple(limits),
        starts=tuple(starts),
        start_event=None,
        duration_months=None,
    )


@st.composite
def _meters(draw: st.DrawFn) -> MeterFacts:
    shipped = draw(st.none() | _DATES)
    installed = draw(st.none() | _DATES) if shipped else draw(_DATES)
    if shipped and installed and installed < shipped:
        shipped, installed = installed, shipped
    used_from = installed or shipped
    assert used_from
    read_on = draw(st.none() | st.dates(used_from, date(2026, 1, 1)))
    reading = None if read_on is None else Fraction(draw(st.integers(0, 1_200_000)))
    year = draw(st.none() | st.integers(0, 200_000).map(Fraction))
    return MeterFacts(shipped, installed, reading, read_on, year)


def put_meters(catalogue: Catalogue, meters: list[MeterFacts], size: str = "5/8") -> None:
    """A list of meters of the supplier of `reading()`, as importing leaves it."""
    rows: list[list[Any]] = [
        [number, f"M{number}", 1, size, m.shipped_on, m.installed_on, m.reading_usgal, m.reading_on, m.year_usgal]
        for number, m in enumerate(meters, 2)
    ]
    text = json.dumps([[float(c) if isinstance(c, Fraction) else c for c in row] for row in rows], default=str)
    with catalogue.writing() as connection:
        connection.execute("DELETE FROM base.meters; DELETE FROM base.meter_names; DELETE FROM base.meter_matches")
        cells = ", ".join(f"r[{n}]" for n in range(1, 10))
        connection.execute(
            f"INSERT INTO base.meters SELECT {cells} FROM (SELECT unnest(from_json(?, '[[\"VARCHAR\"]]')) AS r)", [text]
        )
        connection.execute("INSERT INTO base.meter_names VALUES (1, 'JUNIPER FLOW', NULL, ?)", [len(meters)])
        connection.execute(
            "INSERT INTO base.meter_matches VALUES (1, now(), 'R. Quill', 'supplier', 'Juniper flow', NULL, "
            "'Juniper Flow Works', NULL, NULL, 90)"
        )


def cover(catalogue: Catalogue, day: date = DAY, proposed: bool = True) -> list[dict[str, Any]]:
    return catalogue.rows(
        "SELECT * FROM meter_cover_on(?::DATE, include_proposed := ?) ORDER BY line_no, term_id", [day, proposed]
    )


def _may_begin_earlier(term: Term) -> bool:
    """Manufacture and purchase may lie before the shipment that stands for them."""
    clocks = [limit.start_event or term.start_event for limit in term.limits if limit.kind is LimitKind.TIME]
    if clocks and (term.start_rule or StartRule.SINGLE) is not StartRule.SINGLE:
        clocks = [start.event for start in term.starts]
    return any(event in (StartEvent.MANUFACTURE, StartEvent.PURCHASE) for event in clocks)


def _shown(days: Days | None, low: bool) -> date | None:
    found = None if days is None else days.low if low else days.high
    return None if found in (FOREVER, LONG_AGO) else found


@settings(
    max_examples=8, deadline=None, phases=[Phase.generate], suppress_health_check=list(HealthCheck), derandomize=True
)
@given(terms=st.lists(_terms(), min_size=25, max_size=25), meters=st.lists(_meters(), min_size=25, max_size=25))
def test_millions_of_meters_are_reckoned_as_one_is(
    fresh_file: Path, tmp_path_factory: pytest.TempPathFactory, terms: list[Term], meters: list[MeterFacts]
) -> None:
    named = [term.model_copy(update={"variant": str(number)}) for number, term in enumerate(terms)]
    path = tmp_path_factory.mktemp("cover") / "c.duckdb"
    path.write_bytes(fresh_file.read_bytes())
    catalogue = Catalogue(path)
    catalogue.record(reading("juniper.pdf", *named, facts=UNDATED, warnings=()))
    put_meters(catalogue, meters)
    by_id = {stored.term_id: stored.term for stored in catalogue.terms()}
    rows = cover(catalogue)
    assert len(rows) == len(terms) * len(meters)
    for row in rows:
        term, meter = by_id[row["term_id"]], meters[row["line_no"] - 2]
        one = cover_of_meter(term, meter, DAY)
        told = (term.ends, term.start_rule, term.starts, term.limits, meter, one, row)
        assert row["covered"] is one.covered, told
        assert row["ends_by_time"] == _shown(one.time, True), told
        assert (row["ends_on_earliest"], row["ends_on_latest"]) == (_shown(one.end, True), _shown(one.end, False)), told
        assert (row["doubt"] is None) == (one.covered is True or (one.covered is False and one.end.high < DAY)), told
        assert ("event_may_be_earlier" in (row["assumed"] or "")) is _may_begin_earlier(term), told
        capped = term.ends is not Ends.LIFE and any(limit.kind is LimitKind.VOLUME for limit in term.limits)
        assert row["left_usgal"] is None or capped or term.ends is Ends.LIFE, told
        if row["left_months"] is not None:
            assert row["left_months"] == whole_months(DAY, row["ends_by_time"]), told
        if row["ends_on"] is not None and one.end.high != FOREVER:
            assert one.end.low <= row["ends_on"] <= one.end.high, told


def test_a_meter_has_the_promises_of_the_edition_in_force_when_it_was_shipped(catalogue: Catalogue) -> None:
    def edition(name: str, day: date, months: int) -> None:
        facts = DocumentFacts(supplier="Juniper Flow Works", document_code="J-1", effective_from=day)
        catalogue.record(reading(name, accuracy_term(months=months), facts=facts, warnings=()))

    edition("old.pdf", date(2019, 1, 1), 48)
    edition("new.pdf", date(2022, 1, 1), 60)
    put_meters(
        catalogue,
        [
            MeterFacts(date(2018, 12, 31), year_usgal=Fraction(1)),
            MeterFacts(date(2019, 1, 1), year_usgal=Fraction(1)),
            MeterFacts(date(2021, 12, 31), year_usgal=Fraction(1)),
            MeterFacts(date(2022, 1, 1), year_usgal=Fraction(1)),
            MeterFacts(None, date(2022, 1, 1), year_usgal=Fraction(1)),
        ],
    )
    rows = cover(catalogue)
    ends = [row["ends_by_time"] for row in rows]
    assert ends == [None, date(2023, 1, 1), date(2025, 12, 31), date(2027, 1, 1), None]
    assert rows[0]["doubt"] == "no_edition_then" and rows[0]["term_id"] is None
    assert rows[4]["assumed"] == "edition_by_installation" and rows[4]["doubt"] == "shipped_on_missing"


def test_nothing_unconfirmed_counts_unless_it_is_asked_for(catalogue: Catalogue) -> None:
    catalogue.record(reading("juniper.pdf", accuracy_term(), register_term(), facts=UNDATED, warnings=()))
    put_meters(catalogue, [MeterFacts(date(2022, 1, 1), date(2022, 3, 1), Fraction(700_000), date(2024, 1, 1))])
    [row] = cover(catalogue, proposed=False)
    assert row["doubt"] == "not_confirmed" and row["covered"] is None
    stored = next(one for one in catalogue.terms() if one.term.promise is Promise.ACCURACY)
    catalogue.decide([NewDecision(reviewer="R. Quill", item_id=stored.term_id, action=DecisionAction.CONFIRM)])
    [row] = cover(catalogue, proposed=False)
    assert (row["covered"], row["ending_cap"], row["left_usgal"]) == (False, "volume", 0)
    assert row["ends_by_time"] == date(2027, 1, 1) and row["ends_on"] < date(2024, 1, 1)
    assert len(cover(catalogue)) == 2
    [total] = catalogue.rows("SELECT * FROM meter_totals_on(DATE '2024-02-29')")
    assert (total["meters"], total["ended_by_volume"], total["unconfirmed"]) == (1, 1, 0)


@pytest.mark.parametrize(
    ("size", "said", "doubt"),
    [("2", "Juniper Flow Works", "no_promise_for_size"), ("5/8", None, "supplier_not_in_catalogue")],
)
def test_a_meter_without_a_promise_has_a_row_and_a_reason(
    catalogue: Catalogue, size: str, said: str | None, doubt: str
) -> None:
    catalogue.record(reading("juniper.pdf", accuracy_term(), facts=UNDATED, warnings=()))
    put_meters(catalogue, [MeterFacts(date(2022, 1, 1))], size)
    with catalogue.writing() as connection:
        connection.execute("UPDATE base.meter_matches SET supplier = ?", [said])
    [row] = cover(catalogue)
    assert (row["term_id"], row["covered"], row["doubt"]) == (None, None, doubt)
