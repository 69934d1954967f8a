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
from pinyon_readings import reading, register_term

from firstcap.schema.terms import DocumentFacts, Limit, Start, Term
from firstcap.schema.vocabulary import Ends, LimitKind, StartEvent, StartRule
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
        if row["left_months"] is not None:
            assert row["left_months"] == whole_months(DAY, row["ends_by_time"]), told
        if row["ends_on"] is not None and one.end.high != FOREVER:
            assert one.end.low <= row["ends_on"] <= one.end.high, told
