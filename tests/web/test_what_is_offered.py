"""Candidates that the machine did not take are offered first; of a page that is not there the words are shown."""

import shutil
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from firstcap.app.understanding import mentions
from firstcap.app.web.application import application
from firstcap.app.web.guard import TOKEN_HEADER, rules
from firstcap.app.web.office import Office
from firstcap.extract.patterns.base import Family
from firstcap.schema.evidence import Alternative, Box, Evidence
from firstcap.schema.terms import DocumentFacts, Limit, Reading, Term
from firstcap.schema.vocabulary import Component, Ends, LimitKind, Promise, TextSource
from firstcap.store.catalogue import Catalogue

WORDS = "the register for ten years <b>or</b> 640,000 gallons"
PROMISE = Term(
    component=Component.REGISTER,
    promise=Promise.FUNCTION,
    volume_cap_usgal=Decimal(640_000),
    ends=Ends.VOLUME_ONLY,
    limits=(Limit(kind=LimitKind.VOLUME, usgal=Decimal(640_000), limit_text="640,000 gallons"),),
    evidence=(Evidence(field="quote", boxes=(Box(page=1, x0=72, top=100, x1=300, bottom=112),), quote=WORDS),),
    alternatives=(Alternative(field="volume_cap_usgal", value="64,000 gal", why_not="it stands in another row"),),
    confidence=0.4,
)


@pytest.fixture(scope="module")
def read(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A catalogue whose one paper is nowhere."""
    catalogue = Catalogue(tmp_path_factory.mktemp("read") / "firstcap.duckdb")
    catalogue.record(
        Reading(
            document_id="a" * 64,
            file_name="quailbrush.pdf",
            pages=1,
            text_source=TextSource.TEXT,
            facts=DocumentFacts(supplier="Quailbrush Meters"),
            terms=(PROMISE,),
            reader="reader for tests",
        )
    )
    return catalogue.path


@pytest.fixture
def office(tmp_path: Path, read: Path) -> Office:
    catalogue = Catalogue(Path(shutil.copy(read, tmp_path / "firstcap.duckdb")))
    return Office(catalogue, "R. Alder", rules("127.0.0.1"))


@pytest.fixture
def asking(office: Office) -> Iterator[TestClient]:
    with TestClient(application(office), base_url="http://127.0.0.1:8640") as client:
        yield client


def test_what_was_not_taken_is_offered_before_anything_is_typed(asking: TestClient, office: Office) -> None:
    [stored] = office.catalogue.terms()
    told = {"key": stored.term_id, "field": "cap", "items": stored.term_id}
    answer = asking.post("/ask/editor", json=told, headers={TOKEN_HEADER: office.rules.token})
    html = answer.json()["html"]
    assert html.index("64,000 gal") < html.index('id="written"')
    assert "it stands in another row" in html and 'value="640000 gal"' in html


def test_a_paper_that_is_not_there_is_said_and_its_words_are_shown(asking: TestClient, office: Office) -> None:
    [stored] = office.catalogue.terms()
    text = asking.get(f"/confirm?at={stored.term_id}").text
    assert "The page cannot be shown:" in text and "run `firstcap read` on the folder" in text
    assert "the register for ten years &lt;b&gt;or&lt;/b&gt; 640,000 gallons" in text
    assert asking.get(f"/documents/{'a' * 20}/pages/1").status_code == 404


def test_words_are_understood_by_several_people_at_once() -> None:
    def ask(turn: int) -> list[str]:
        return [found.text for found in mentions(Family.DURATION, f"for {turn} years from shipment, model {turn}x")]

    with ThreadPoolExecutor(8) as people:
        assert list(people.map(ask, range(2, 42))) == [[f"{turn} years"] for turn in range(2, 42)]
