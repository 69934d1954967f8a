"""Who may ask the local application, and that looking never writes.

Host names: DNS rebinding as in the Fetch Metadata and OWASP guidance; Fetch Metadata: W3C "Fetch Metadata Request
Headers"; content security policy: W3C CSP Level 3.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.routing import Mount, Route
from starlette.testclient import TestClient

from firstcap.app.web.application import application
from firstcap.app.web.guard import TOKEN_HEADER, is_loopback, rules
from firstcap.app.web.office import Office
from firstcap.store.catalogue import Catalogue

OURS = "http://127.0.0.1:8640"


@pytest.fixture(scope="module")
def catalogue(papers: Path, tmp_path_factory: pytest.TempPathFactory) -> Catalogue:
    """One for all of these tests: what they ask for writes nothing, but for the one that has its own."""
    return Catalogue(Path(shutil.copytree(papers, tmp_path_factory.mktemp("asked") / "stack")) / "firstcap.duckdb")


@pytest.fixture(scope="module")
def office(catalogue: Catalogue) -> Office:
    return Office(catalogue, "R. Alder", rules("127.0.0.1"))


@pytest.fixture(scope="module")
def asking(office: Office) -> Iterator[TestClient]:
    with TestClient(application(office), base_url=OURS) as client:
        yield client


@pytest.mark.parametrize("host", ["127.0.0.1:8640", "localhost:8640", "LOCALHOST:1", "[::1]:8640", "127.0.0.1"])
def test_this_machine_answers_to_its_own_names(asking: TestClient, host: str) -> None:
    assert asking.get("/health", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host", ["warranties.example", "127.0.0.1.example:8640", "10.0.0.7:8640", "", "localhost@evil.example"]
)
def test_a_name_that_was_made_to_point_here_gets_nothing(asking: TestClient, host: str) -> None:
    assert asking.get("/", headers={"host": host}).status_code == 421


def body(office: Office) -> dict[str, object]:
    card = office.board.folders()[0].cards[0]
    return {"key": card.key, "seen": card.seen, "choice": {}}


def test_an_act_without_the_token_of_our_pages_is_refused(
    asking: TestClient, office: Office, catalogue: Catalogue
) -> None:
    for token in (b"", b"guessed", "ä".encode()):
        headers = [(TOKEN_HEADER.encode(), token)] if token else []
        assert asking.post("/acts/confirm", json=body(office), headers=headers).status_code == 403
    assert catalogue.decisions() == []


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://warranties.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"},
    ],
    ids=lambda headers: ",".join(f"{name}={value}" for name, value in headers.items()),
)
def test_an_act_asked_for_by_another_site_is_refused_even_with_the_token(
    asking: TestClient, office: Office, catalogue: Catalogue, headers: dict[str, str]
) -> None:
    told = {TOKEN_HEADER: office.rules.token, **headers}
    assert asking.post("/acts/confirm", json=body(office), headers=told).status_code == 403
    assert catalogue.decisions() == []


def test_an_act_of_our_own_page_is_done(stack: Path) -> None:
    own = Catalogue(stack / "firstcap.duckdb")
    office = Office(own, "R. Alder", rules("127.0.0.1"))
    with TestClient(application(office), base_url=OURS) as client:
        told = {TOKEN_HEADER: office.rules.token, "origin": OURS, "sec-fetch-site": "same-origin"}
        assert client.post("/acts/confirm", json=body(office), headers=told).status_code == 200
    assert len(own.decisions()) == 1


def test_a_page_of_another_site_may_link_here_but_not_draw_our_images(asking: TestClient, office: Office) -> None:
    link = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "document"}
    assert asking.get("/", headers=link).status_code == 200
    picture = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "no-cors", "sec-fetch-dest": "image"}
    document_id = office.board.folders()[0].row.document_id
    assert asking.get(f"/papers/{document_id}/1/0-0-100-100.png", headers=picture).status_code == 403
    frame = {"sec-fetch-site": "cross-site", "sec-fetch-mode": "navigate", "sec-fetch-dest": "iframe"}
    assert asking.get("/", headers=frame).status_code == 403


def test_every_page_forbids_foreign_and_inline_script(asking: TestClient) -> None:
    for path in ("/", "/confirm", "/health", "/static/app.css", "/nowhere"):
        answer = asking.get(path)
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy and "script-src 'self';" in policy and "unsafe" not in policy
        assert "frame-ancestors 'none'" in policy and "base-uri 'none'" in policy
        assert answer.headers["x-content-type-options"] == "nosniff"


def test_no_page_names_another_host_or_holds_inline_script_or_style(asking: TestClient, office: Office) -> None:
    folder = office.board.folders()[0]
    document = folder.row.document_id[:20]
    for path in (
        "/",
        f"/documents/{document}",
        f"/documents/{document}/pages/1",
        *(f"/confirm?at={card.key}" for card in folder.cards),
    ):
        text = asking.get(path).text
        assert "://" not in text.replace("http://www.w3.org/2000/svg", "")
        assert " style=" not in text and "<style" not in text and " onclick" not in text
        assert text.count("<script") == text.count('<script type="module" src="/static/')


def test_everything_that_can_be_got_writes_nothing(asking: TestClient, office: Office, catalogue: Catalogue) -> None:
    before = (catalogue.path.read_bytes(), catalogue.decisions())
    folder = office.board.folders()[0]
    document = folder.row.document_id[:20]
    for path in (
        "/", "/health", "/enter", "/confirm", "/confirm?order=document&after=x&at=y", f"/documents/{document}",
        f"/documents/{document}/pages/1", f"/papers/{document}/1/0-0-200-200.png",
    ):  # fmt: skip
        asking.get(path, follow_redirects=False)
    for route in ("confirm", "correct", "strike", "undo", "add", "add-clause", "reviewer"):
        assert asking.get(f"/acts/{route}").status_code == 405
    assert (catalogue.path.read_bytes(), catalogue.decisions()) == before


def test_every_route_that_acts_takes_nothing_but_posts(office: Office) -> None:
    for route in application(office).routes:
        if isinstance(route, Route) and route.path.startswith(("/acts/", "/ask/")):
            assert route.methods == {"POST"}, route.path
        else:
            assert isinstance(route, Mount) or route.methods == {"GET", "HEAD"}


@pytest.mark.parametrize("path", ["/static/../acts.py", "/static/%2e%2e/acts.py", "/static/__init__.py/../../acts.py"])
def test_static_files_are_only_those_of_their_folder(asking: TestClient, path: str) -> None:
    assert asking.get(path).status_code == 404


@pytest.mark.parametrize(
    "path",
    [
        "/papers/x/1/0-0-9-9.png",
        "/papers/{}/99/0-0-9-9.png",
        "/papers/{}/1/9-9-9-9.png",
        "/documents/zz",
        "/documents/{}/pages/99",
    ],
)
def test_what_is_not_there_is_not_found(asking: TestClient, office: Office, path: str) -> None:
    document = office.board.folders()[0].row.document_id[:20]
    assert asking.get(path.format(document)).status_code == 404


@pytest.mark.parametrize(
    "sent", [b"", b"[]", b"{", b"\xff", b'{"key": 7, "seen": "", "choice": {}}', b'{"key": "none"}']
)
def test_what_none_of_our_pages_would_send_is_refused_without_a_trace(
    asking: TestClient, office: Office, catalogue: Catalogue, sent: bytes
) -> None:
    told = {TOKEN_HEADER: office.rules.token, "content-type": "application/json"}
    for route in ("confirm", "correct", "strike", "add", "add-clause"):
        assert 400 <= asking.post(f"/acts/{route}", content=sent, headers=told).status_code < 500
    assert catalogue.decisions() == []


# ---- beyond this machine ---------------------------------------------------------------------------------------------


HOSTS = {
    "127.0.0.1": True, "localhost": True, "::1": True, "0.0.0.0": False, "10.0.0.7": False, "meters.example": False,
}  # fmt: skip


@pytest.mark.parametrize(("host", "ours"), HOSTS.items())
def test_only_loopback_needs_no_token(host: str, ours: bool) -> None:
    assert is_loopback(host) is ours
    assert (rules(host).key is None) is ours


@pytest.fixture
def beyond(catalogue: Catalogue) -> Iterator[tuple[TestClient, str]]:
    office = Office(catalogue, "R. Alder", rules("0.0.0.0", ["bench.local"]))
    assert office.rules.key
    with TestClient(application(office), base_url="http://10.0.0.7:8640") as client:
        yield client, office.rules.key


def test_beyond_this_machine_everyone_shows_the_token_once(beyond: tuple[TestClient, str]) -> None:
    client, key = beyond
    assert client.get("/").status_code == 401
    assert client.get("/enter?token=guessed").status_code == 401
    assert client.get("/").status_code == 401
    entered = client.get(f"/enter?token={key}", follow_redirects=False)
    assert entered.status_code == 303 and "HttpOnly" in entered.headers["set-cookie"]
    assert "SameSite=strict" in entered.headers["set-cookie"]
    assert client.get("/").status_code == 200
    assert client.get("/", headers={"host": "warranties.example"}).status_code == 421
    assert client.get("/", headers={"host": "bench.local:8640"}).status_code == 200
