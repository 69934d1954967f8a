"""A second person judges blind on the pages; where the two differ is shown with its strip and settled by an act."""

from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from sitting import Open
from starlette.testclient import TestClient

from firstcap.app.confirm.core import Item, Session
from firstcap.app.understanding import Change
from firstcap.app.web.application import application
from firstcap.app.web.guard import TOKEN_HEADER, rules
from firstcap.app.web.office import Office
from firstcap.schema.vocabulary import DecisionAction, StartEvent
from firstcap.store.catalogue import Catalogue
from firstcap.store.second import SecondLook


@pytest.fixture
def term_id(catalogue: Catalogue) -> str:
    """A promise that R. Alder corrected to start at delivery and M. Fescue confirmed as it was read."""
    row = next(row for row in catalogue.documents() if row.file_name.startswith("cobble"))
    first = Session(catalogue, reviewer="R. Alder")
    [stored, *_] = catalogue.terms(row.document_id)
    first.correct(Item(row, stored), [Change("start_event", StartEvent.DELIVERY)], "delivery")
    return stored.term_id


@pytest.fixture
def blind(catalogue: Catalogue, term_id: str) -> Iterator[tuple[TestClient, Office]]:
    office = Office(catalogue, "M. Fescue", rules("127.0.0.1"), second_look=True)
    with TestClient(application(office), base_url="http://127.0.0.1:8640") as client:
        yield client, office


def confirm(client: TestClient, office: Office, item: str) -> None:
    card = office.board.card(item)
    assert card
    answer = client.post(
        "/acts/confirm",
        json={"key": card.key, "seen": card.seen, "choice": {}},
        headers={TOKEN_HEADER: office.rules.token},
    )
    assert answer.status_code == 200


def test_a_second_look_shows_nothing_of_what_the_first_decided(blind: tuple[TestClient, Office], term_id: str) -> None:
    client, _ = blind
    text = client.get(f"/confirm?at={term_id}").text
    assert "delivery" not in text and "R. Alder" not in text and "corrected" not in text
    assert "Second look" in text and "purchase" in text
    assert client.get("/second-look").status_code == 404


def test_what_a_second_look_decides_changes_nothing_in_the_catalogue(
    blind: tuple[TestClient, Office], term_id: str, catalogue: Catalogue
) -> None:
    before = catalogue.decisions()
    confirm(*blind, term_id)
    assert catalogue.decisions() == before
    assert [act.action for act in SecondLook(catalogue, "M. Fescue").decisions()] == [DecisionAction.CONFIRM]


def test_a_second_look_is_signed_by_one_reviewer(blind: tuple[TestClient, Office], term_id: str) -> None:
    client, office = blind
    told = {TOKEN_HEADER: office.rules.token}
    assert client.post("/acts/reviewer", json={"reviewer": "R. Alder"}, headers=told).status_code == 422
    confirm(client, office, term_id)
    assert {act.reviewer for act in office.desk.decisions()} == {"M. Fescue"}


def test_a_difference_is_shown_with_its_strip_and_settled_in_the_log(
    blind: tuple[TestClient, Office], term_id: str, sit: Open, catalogue: Catalogue
) -> None:
    confirm(*blind, term_id)
    tab = sit("/second-look")
    differences = tab.page.locator(".difference")
    assert differences.count() == 1
    said = differences.first.inner_text()
    assert "R. Alder: delivery" in said and "M. Fescue: purchase" in said
    assert tab.page.locator(".difference .strip").count() == 1
    assert Axe().run(tab.page).response["violations"] == []
    tab.page.get_by_label("Why").fill("the letter says purchase")
    tab.page.get_by_role("button", name="M. Fescue: purchase").click()
    tab.page.locator("#said").filter(has_text="Settled.").wait_for()
    assert tab.page.locator("#left").inner_text() == "0"
    last = catalogue.decisions()[-1]
    assert (last.reviewer, last.field, last.action) == ("R. Alder", "start_event", DecisionAction.CORRECT)
    assert "the letter says purchase" in (last.note or "")
    stored = next(stored for stored in catalogue.terms() if stored.term_id == term_id)
    assert stored.term.start_event is StartEvent.PURCHASE


def test_agreement_is_told_by_field(blind: tuple[TestClient, Office], term_id: str, sit: Open) -> None:
    confirm(*blind, term_id)
    row = sit("/second-look").page.get_by_role("row").filter(has_text="volume limit").first
    assert "100 %" in row.inner_text()
