import decimal
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pinyon_readings import reading

from firstcap.store.catalogue import Catalogue


@pytest.fixture(autouse=True)
def own_decimal_context() -> Iterator[None]:
    """A library that other tests compare with cuts decimals to 15 digits for the whole process when it is imported."""
    with decimal.localcontext(decimal.Context(prec=28)):
        yield


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "catalogue.duckdb"


@pytest.fixture(scope="session")
def fresh_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue without a document, made once and copied for each test."""
    made = tmp_path_factory.mktemp("fresh") / "catalogue.duckdb"
    Catalogue(made).prepare()
    return made


@pytest.fixture
def catalogue(path: Path, fresh_file: Path) -> Catalogue:
    """An empty catalogue that waits for nobody."""
    shutil.copy(fresh_file, path)
    return Catalogue(path, wait_seconds=0.2)


@pytest.fixture(scope="session")
def filled_file(fresh_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue with one document of two terms, made once and copied for each test."""
    made = Path(shutil.copy(fresh_file, tmp_path_factory.mktemp("filled") / "catalogue.duckdb"))
    Catalogue(made).record(reading())
    return made


@pytest.fixture
def filled(path: Path, filled_file: Path) -> Catalogue:
    shutil.copy(filled_file, path)
    return Catalogue(path, wait_seconds=0.2)
