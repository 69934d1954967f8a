"""Every pattern of every family finds its example, leaves its counter-example alone; every phrase gives its value."""

import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from types import ModuleType
from typing import Any

import pytest
from notation import load, mention, mentions, value

import firstcap.extract.patterns as families
from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns import accuracy, date, duration, flow, rule, size, start, volume
from firstcap.extract.patterns.base import Mention, Pattern
from firstcap.extract.patterns.matching import Built
from firstcap.schema.vocabulary import WarningKind


def modules() -> Iterator[ModuleType]:
    for found in pkgutil.iter_modules(families.__path__):
        yield importlib.import_module(f"{families.__name__}.{found.name}")


def patterns() -> Iterator[Any]:
    """The patterns of every module of the package that exports PATTERNS with a `find` that runs them."""
    for module in modules():
        for pattern in getattr(module, "PATTERNS", ()):
            if isinstance(pattern, Pattern):
                yield pytest.param(module, pattern, id=f"{module.__name__.rpartition('.')[2]}.{pattern.name}")


def phrase_tables() -> Iterator[Any]:
    """Tables of fixed phrases in any module: anything with `wordings` and a `find`."""
    for module in modules():
        for table in vars(module).values():
            if not inspect.isclass(table) and hasattr(table, "wordings") and callable(getattr(table, "find", None)):
                for wording in table.wordings:
                    name = f"{module.__name__.rpartition('.')[2]}.{table.family.value}.{wording.name}"
                    yield pytest.param(table, wording, id=name)


def by(pattern: str, found: list[Mention]) -> list[Mention]:
    return [one for one in found if one.pattern == pattern]


@pytest.mark.parametrize(("module", "pattern"), list(patterns()))
def test_a_pattern_finds_its_example_and_leaves_its_counter_example(module: ModuleType, pattern: Pattern) -> None:
    found = by(pattern.name, module.find(parse(pattern.example)))
    expected = pattern.expect if isinstance(pattern.expect, Built) else Built(pattern.expect)
    assert [(one.value, one.alternatives) for one in found] == [(expected.value, expected.alternatives)]
    assert set(expected.notes) <= set(found[0].notes)
    assert by(pattern.name, module.find(parse(pattern.counter_example))) == []
    assert pattern.why and pattern.name


@pytest.mark.parametrize(("table", "wording"), list(phrase_tables()))
def test_a_phrase_finds_its_example_and_leaves_its_counter_example(table: Any, wording: Any) -> None:
    found = by(wording.name, table.find(parse(wording.example), overlapping=True))
    assert found and all(one.value == wording.value for one in found)
    assert by(wording.name, table.find(parse(wording.counter_example))) == []


def test_every_family_of_quantities_is_discovered() -> None:
    names = {parameter.id.split(".")[0] for parameter in patterns()}
    assert names >= {"accuracy", "date", "duration", "flow", "rule", "size", "start", "volume"}


TABLES: dict[str, tuple[Callable[..., list[Mention]], int]] = {
    "duration": (duration.find, 80),
    "volume": (volume.find, 80),
    "flow": (flow.find, 50),
    "band": (accuracy.find, 65),
    "size": (size.find, 75),
    "start": (start.find, 80),
    "rule": (rule.find, 65),
    "date": (date.find, 35),
}


@pytest.mark.parametrize(
    ("find", "text", "expected", "reason"),
    [
        pytest.param(find, *row, id=f"{name}: {row[0]}")
        for name, (find, at_least) in TABLES.items()
        for row in load(name, at_least)
    ],
)
def test_a_phrase_gives_what_the_table_says(
    find: Callable[..., list[Mention]], text: str, expected: str, reason: str
) -> None:
    found = find(parse(text))
    assert mentions(found) == expected, reason
    assert all(one.text == text[one.start : one.end] for one in found)
    assert {note for one in found for note in one.notes} <= {kind.value for kind in WarningKind}


CELLS = [
    (duration.duration_in, "15", "Years", "180 mo", "the unit stands in the header"),
    (duration.duration_in, "18", "Term, mo.", "18 mo", "months"),
    (duration.duration_in, "90", "Days", "90 d", "days"),
    (duration.duration_in, "20*", "Years", "240 mo", "a footnote star"),
    (duration.duration_in, "10(2)", "Years", "120 mo", "a bracketed footnote mark"),
    (duration.duration_in, "10+10", "Years", "240 mo, 120 full", "full and prorated"),
    (duration.duration_in, "10 full / 5 prorated", "Years", "180 mo, 120 full", "in words"),
    (duration.duration_in, "20 (15/5)", "Yrs", "240 mo, 180 full", "a bar that adds up"),
    (duration.duration_in, "18 months", "Years", "18 mo", "the cell's own unit wins"),
    (duration.duration_in, "12 / 640,000", "(years / gallons)", "144 mo", "the first of two"),
    (duration.duration_in, "640,000", "Years or gallons", None, "a volume"),
    (duration.duration_in, "5/8", "Size", None, "no unit of time"),
    (duration.duration_in, "–", "Years", None, "nothing promised"),
    (volume.volume_in, "640", "gallons (thousands)", "640000 gal", "the scale in brackets"),
    (volume.volume_in, "640", "Thousand gallons", "640000 gal", "the scale before"),
    (volume.volume_in, "640", "Registration, gal x 1000", "640000 gal", "a factor behind"),
    (volume.volume_in, "640", "gal × 1,000", "640000 gal", "a factor with a multiplication sign"),
    (volume.volume_in, "640", "(000 gal)", "640000 gal", "noughts"),
    (volume.volume_in, "640", "1,000 gal", "640000 gal", "a factor before"),
    (volume.volume_in, "0.64", "Million gallons", "640000 gal", "millions"),
    (volume.volume_in, "0.64", "Cap (MG)", "0.64 Mgal", "an abbreviation"),
    (volume.volume_in, "640,000", "Gallons", "640000 gal", "plain"),
    (volume.volume_in, "640K", "Gallons", "640000 gal", "the scale in the cell"),
    (volume.volume_in, "1.2 million", "Gallons", "1200000 gal", "the scale in words in the cell"),
    (volume.volume_in, "2,423", "Volume (m³)", "2423 m3", "metric"),
    (volume.volume_in, "856", "Hundred cubic feet", "856 CCF", "hundreds of cubic feet"),
    (volume.volume_in, "856", "CCF", "856 CCF", "the same, abbreviated"),
    (volume.volume_in, "500", "thousand imperial gallons", "500000 imp_gal", "imperial"),
    (volume.volume_in, "12 / 640,000", "(years / gallons)", "640000 gal", "the second of two"),
    (volume.volume_in, "12", "Years or gallons", None, "a time"),
    (volume.volume_in, "1/4", "gal/min", None, "a flow"),
    (volume.volume_in, "12", "Years", None, "no unit of volume"),
    (volume.volume_in, "n/a", "Gallons", None, "nothing promised"),
    (volume.volume_in, "unlimited", "Gallons", None, "no cap"),
    (volume.volume_in, "640,0001", "Gallons", "640000 gal !other ~ 640.0001 gal", "a glued footnote mark"),
    (flow.flow_in, "1/4", "gpm", "0.25 gpm", "the unit in the header"),
    (flow.flow_in, "2 - 30", "Normal flow (gal/min)", "2..30 gpm", "a range"),
    (flow.flow_in, "0.4 – 22", "m³/h", "0.4..22 m3/h", "metric"),
    (flow.flow_in, "up to 30", "gpm", "..30 gpm", "an upper end"),
    (flow.flow_in, "12", "Years", None, "no unit of flow"),
    (accuracy.band_in, "98.5-101.5", "Accuracy, %", "98.5..101.5 %", "the sign in the header"),
    (accuracy.band_in, "95", "Low-flow accuracy %", "95.. %", "a floor"),
    (accuracy.band_in, "±2", "Error, %", "98..102 %", "an error"),
    (accuracy.band_in, "12", "Years", None, "no percentage"),
    (size.size_in, "5/8", "Size, in.", "5/8", "the mark in the header"),
    (size.size_in, "5/8 x 3/4", "Meter size", "5/8x3/4", "a combined size"),
    (size.size_in, "1-1/2 & 2", "Size", "1-1/2 2", "two sizes"),
    (size.size_in, "3 and larger", "Size (inches)", "3 4 6 8 10 12 16 20", "upwards"),
    (size.size_in, "11/2", "Size", "1-1/2 !other", "a lost blank"),
    (size.size_in, "20", "DN", "DN20", "metric"),
    (size.size_in, "20", "Diameter (mm)", "DN20", "metric"),
    (size.size_in, "5/8", "Years", None, "no size"),
    (size.size_in, "5", "Size", None, "no standard size"),
]


@pytest.mark.parametrize(("read", "text", "header", "expected", "reason"), CELLS)
def test_a_cell_takes_its_unit_from_the_header(
    read: Callable[..., Mention | None], text: str, header: str, expected: str | None, reason: str
) -> None:
    found = read(text, header)
    assert (None if found is None else mention(found)) == expected, reason
    if found is not None:
        assert found.text == text[found.start : found.end]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Date of shipment", "single shipment"),
        ("Invoice", "single purchase"),
        ("Installed", "single installation"),
        ("Register", None),
        ("Ten years", None),
    ],
)
def test_a_cell_may_name_a_start_without_a_preposition(text: str, expected: str | None) -> None:
    found = start.start_in(text)
    assert (None if found is None else value(found.value)) == expected


def test_a_gallon_is_imperial_where_the_document_says_so() -> None:
    text = "500,000 gallons, 500,000 US gallons and 2 gpm"
    found = volume.find(parse(text), ENGLISH, "imp_gal")
    assert mentions(found) == "500000 imp_gal ; 500000 gal"
    assert mentions(flow.find(parse(text), ENGLISH, "imp_gal")) == "2 imp_gpm"


def test_dots_group_in_a_spanish_document() -> None:
    spanish = NumberStyle(",", ".", sure=True, language="es")
    assert mentions(volume.find(parse("3.000 m3 registrados"), spanish)) == "3000 m3"
    assert mentions(date.find(parse("05/06/2021"), spanish)) == "2021-06-05 day"


def test_named_flows_follow_from_q3_and_the_ratio() -> None:
    """The published dial example of facts: Q3 = 2.5, R100 gives Q1 = 25 L/h and Q4 = 3.125 m³/h."""
    doc = parse("Q3 = 2.5 m³/h, R100H")
    q3, ratio = flow.permanent_flow(doc), flow.flow_ratio(doc)
    assert q3 is not None and ratio is not None and q3.high is not None
    from fractions import Fraction

    flows = flow.named_flows(Fraction(q3.high), ratio)
    assert [flows[name] * 1000 for name in ("Q1", "Q2", "Q4")] == [25, 40, 3125]
