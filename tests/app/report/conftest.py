"""Catalogues of invented suppliers, recorded through the store as a reading would be."""

from collections.abc import Sequence
from importlib.resources import as_file, files

import pytest
import suppliers
from gold_reading import read_gold
from suppliers import Recorder

from firstcap.app.report.comparison import Comparison, compare
from firstcap.app.report.rows import load
from firstcap.schema.decisions import NewDecision
from firstcap.schema.errors import DamagedError
from firstcap.schema.terms import Reading
from firstcap.schema.vocabulary import DecisionAction
from firstcap.store.catalogue import Catalogue


@pytest.fixture(scope="session")
def recorded(tmp_path_factory: pytest.TempPathFactory) -> Recorder:
    """A catalogue of these readings; terms of the files in `confirmed` are confirmed by a person."""

    def record(readings: Sequence[Reading], confirmed: Sequence[str] = ()) -> Catalogue:
        catalogue = Catalogue(tmp_path_factory.mktemp("report") / "firstcap.duckdb")
        for one in readings:
            catalogue.record(one)
        for one in readings:
            if one.file_name in confirmed:
                ids = one.term_ids()
                catalogue.decide(
                    [NewDecision(reviewer="R. Ortega", item_id=item, action=DecisionAction.CONFIRM) for item in ids]
                )
        return catalogue

    return record


@pytest.fixture(scope="session")
def pinyon(recorded: Recorder) -> Catalogue:
    """Two suppliers, one with an earlier edition; one without sizes; one of other sizes. Sage Hollow is confirmed."""
    return recorded(
        [
            suppliers.sage_hollow_earlier(),
            suppliers.sage_hollow(),
            suppliers.quartz_arroyo(),
            suppliers.unsized_only(),
            suppliers.large_meters_only(),
        ],
        confirmed=["sage-hollow-w12.pdf"],
    )


@pytest.fixture(scope="session")
def demo_papers(recorded: Recorder, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """The invented papers of the demo as their gold says they read: ends that move, low flow, metric, proration."""
    stack = files("firstcap.app.demo_stack")
    readings = []
    for gold in sorted(entry.name for entry in stack.iterdir() if entry.name.endswith(".gold.json")):
        paper = stack.joinpath(f"{gold.removesuffix('.gold.json')}.pdf")
        with as_file(paper) as path:
            try:
                readings.append(read_gold(path))
            except DamagedError:
                continue
    return recorded(readings)


@pytest.fixture(scope="session")
def twelve(recorded: Recorder) -> Catalogue:
    return recorded(suppliers.many(), confirmed=["supplier-1.pdf", "supplier-7.pdf"])


@pytest.fixture(scope="session")
def comparison(pinyon: Catalogue) -> Comparison:
    return compare(load(pinyon, "5/8"))


@pytest.fixture(scope="session")
def comparison_of_twelve(twelve: Catalogue) -> Comparison:
    return compare(load(twelve, "5/8"))
