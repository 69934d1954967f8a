"""The same acts through the terminal and through the pages leave the same catalogue."""

import io
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from firstcap.app.confirm.core import Session
from firstcap.app.confirm.terminal import Terminal
from firstcap.app.web.application import application
from firstcap.app.web.guard import TOKEN_HEADER, rules
from firstcap.app.web.office import Office
from firstcap.store.catalogue import Catalogue

DOCUMENT = "cobblemere_letter.pdf"
NAME = "R. Alder"


class Pages:
    """The acts as our pages send them."""

    def __init__(self, client: TestClient, office: Office) -> None:
        self._client = client
        self._office = office
        self._document = next(one for one in office.board.folders() if one.row.file_name == DOCUMENT).row.document_id

    def _send(self, act: str, **told: Any) -> dict[str, Any]:
        answer = self._client.post(f"/acts/{act}", json=told, headers={TOKEN_HEADER: self._office.rules.token})
        assert answer.status_code == 200, answer.text
        sent: dict[str, Any] = answer.json()
        return sent

    def _about(self, item: str) -> dict[str, str]:
        self._office.board.refresh()
        card = self._office.board.card(item)
        assert card
        return {"key": card.key, "seen": card.seen}

    def confirm(self, item: str) -> None:
        self._send("confirm", **self._about(item))

    def correct(self, item: str, field: str, written: str, part: str = "") -> None:
        self._send("correct", **self._about(item), items=part or item, field=field, written=written)

    def strike(self, item: str, reason: str, part: str = "") -> None:
        self._send("strike", **self._about(item), items=part or item, written=reason)

    def undo(self) -> None:
        self._send("undo", key="")

    def add(self, values: dict[str, str]) -> None:
        told = {"document": self._document}
        ask = {TOKEN_HEADER: self._office.rules.token}
        html = self._client.post("/ask/blank", json=told, headers=ask).json()["html"]
        for field, written in values.items():
            more = {**told, "draft": _draft(html), "where": "", "field": field, "written": written}
            answer = self._client.post("/ask/redraft", json=more, headers=ask)
            assert answer.status_code == 200, answer.text
            html = answer.json()["html"]
        self._send("add", **told, draft=_draft(html), where="p. 1, the closing line")

    def add_clause(self, family: str, kind: str, days: str, words: str) -> None:
        self._send("add-clause", document=self._document, kind=f"{family} {kind}", days=days, words=words, where="")


def _draft(html: str) -> str:
    import html as entities
    import re

    found = re.search(r'data-draft="([^"]*)"', html)
    assert found
    return entities.unescape(found[1])


def through_the_pages(path: Path) -> Catalogue:
    catalogue = Catalogue(path)
    office = Office(catalogue, NAME, rules("127.0.0.1"))
    with TestClient(application(office), base_url="http://127.0.0.1:8640") as client:
        pages = Pages(client, office)
        row = next(row for row in catalogue.documents() if row.file_name == DOCUMENT)
        first, second, third, *_ = [stored.term_id for stored in catalogue.terms(row.document_id)]
        pages.correct(row.document_id, "revision", "B")
        pages.confirm(row.document_id)
        pages.correct(first, "time", "three (3) years")
        pages.confirm(first)
        pages.strike(second, "it is an example")
        pages.undo()
        pages.confirm(second)
        pages.strike(third, "the letter only quotes another one", third)
        pages.add({"component": "register", "promise": "function", "time": "10 years", "start": "purchase"})
        pages.confirm(f"{row.document_id}/exclusion")
        duties = f"{row.document_id}/duty"
        card = office.board.card(duties)
        assert card and len(card.items[0].lines) > 1
        pages.strike(duties, "it is an example", card.items[0].lines[0].field)
        pages.confirm(duties)
        pages.add_clause("duty", "reading_record", "30", "show the reading")
    return catalogue


def through_the_terminal(path: Path) -> Catalogue:
    catalogue = Catalogue(path)

    def sit(*lines: str) -> None:
        source = io.StringIO("".join(f"{line}\n" for line in lines))
        Terminal(Session(catalogue, reviewer=NAME, document=DOCUMENT), source, io.StringIO()).run()

    skipped = ["n"] * (len(catalogue.terms(catalogue.documents()[1].document_id)) - 3)
    added = [
        "none",
        "none",
        "none",
        "register",
        "none",
        "function",
        "10 years",
        "none",
        "purchase",
        "none",
        "none",
        "none",
    ]
    sit(
        "f revision B", "y", "y",
        "f time three (3) years", "y", "y",
        "x it is an example", "u", "y",
        "x the letter only quotes another one",
        "a", *added, "p. 1, the closing line", "y",
        *skipped,
        "y",
        "x 1 it is an example", "y",
        "a duty", "reading record", "30", "show the reading", "y",
        "q",
    )  # fmt: skip
    return catalogue


@pytest.mark.parametrize("view", ["terms", "limits", "starts", "exclusions", "duties", "conditions", "documents"])
def test_both_fronts_leave_the_same_values(fronts: Callable[[], tuple[Catalogue, Catalogue]], view: str) -> None:
    by_page, by_terminal = fronts()
    sql = f"SELECT * FROM {view} ORDER BY ALL"
    assert by_page.rows(sql) == by_terminal.rows(sql)


def test_both_fronts_leave_the_same_log(fronts: Callable[[], tuple[Catalogue, Catalogue]]) -> None:
    def told(catalogue: Catalogue) -> list[tuple[Any, ...]]:
        return [(act.action, act.item_id, act.field, act.new_value, act.note) for act in catalogue.decisions()]

    by_page, by_terminal = fronts()
    assert told(by_page) == told(by_terminal)
    assert len(told(by_page)) > 12


@pytest.fixture(scope="module")
def fronts(papers: Path, tmp_path_factory: pytest.TempPathFactory) -> Callable[[], tuple[Catalogue, Catalogue]]:
    folder = tmp_path_factory.mktemp("fronts")
    copies = [Path(shutil.copytree(papers, folder / name)) / "firstcap.duckdb" for name in ("pages", "terminal")]
    made = through_the_pages(copies[0]), through_the_terminal(copies[1])
    return lambda: made
