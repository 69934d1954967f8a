"""How soon the next card comes: acts on the pages of a stack, over HTTP on this machine, in milliseconds and in ratios.

usage: python bench/confirming.py FOLDER [--acts N]

FOLDER holds a catalogue `firstcap.duckdb` and its papers, as `firstcap demo FOLDER` makes them; it is copied and not
changed. A machine that is busy with other things makes milliseconds of any size, so each figure stands beside what this
machine takes, at the same time, to open the catalogue and read one number: the smallest thing that any act contains.
"""

import argparse
import http.client
import json
import shutil
import statistics
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import uvicorn

from firstcap.app.confirm.board import Choice
from firstcap.app.web.application import application
from firstcap.app.web.guard import TOKEN_HEADER, rules
from firstcap.app.web.office import Office
from firstcap.app.web.pages import strip_address
from firstcap.store.catalogue import Catalogue


def timed(work: Callable[[], Any]) -> tuple[float, Any]:
    begun = time.perf_counter()
    result = work()
    return (time.perf_counter() - begun) * 1000, result


class Asking:
    """One connection that stays open, as a browser keeps it."""

    def __init__(self, port: int, token: str) -> None:
        self._connection = http.client.HTTPConnection("127.0.0.1", port)
        self._token = token

    def get(self, path: str) -> bytes:
        self._connection.request("GET", path)
        return self._connection.getresponse().read()

    def post(self, path: str, told: dict[str, Any]) -> dict[str, Any]:
        headers = {"content-type": "application/json", TOKEN_HEADER: self._token}
        self._connection.request("POST", path, json.dumps(told), headers)
        answer: dict[str, Any] = json.loads(self._connection.getresponse().read())
        return answer


def measure(folder: Path, acts: int) -> dict[str, list[float]]:
    catalogue = Catalogue(folder / "firstcap.duckdb")
    office = Office(catalogue, "R. Alder", rules("127.0.0.1"))
    server = uvicorn.Server(uvicorn.Config(application(office), host="127.0.0.1", port=0, log_level="critical"))
    thread = threading.Thread(target=server.run)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    asking = Asking(server.servers[0].sockets[0].getsockname()[1], office.rules.token)
    found: dict[str, list[float]] = {name: [] for name in FIGURES}
    try:
        for _ in range(acts):
            cards = office.board.queue(Choice(), count=2)
            if len(cards) < 2:
                break
            card, after = cards
            page, _ = timed(lambda card=card: asking.get(f"/confirm?at={card.key}"))  # type: ignore[misc]
            time.sleep(0.3)  # a person looks
            base, _ = timed(catalogue.changes)
            now = office.board.card(card.key)
            assert now
            act, answer = timed(
                lambda now=now: asking.post("/acts/confirm", {"key": now.key, "seen": now.seen, "choice": {}})  # type: ignore[misc]
            )
            assert answer["say"].startswith("Confirmed"), answer
            strip = office.strips(after)[0]
            image, _ = timed(
                lambda after=after, strip=strip: asking.get(strip_address(after.document.document_id, strip.part))  # type: ignore[misc]
            )
            cold, _ = timed(lambda after=after, strip=strip: drawn_anew(office, after.document.document_id, strip.part))  # type: ignore[misc]
            for name, value in zip(FIGURES, (base, act, image, cold, page), strict=True):
                found[name].append(value)
    finally:
        server.should_exit = True
        thread.join()
    return found


def drawn_anew(office: Office, document_id: str, part: Any) -> None:
    """The same strip without what was drawn ahead."""
    from firstcap.extract.paper import Paper

    paper = Paper(office.papers.path(document_id))
    paper.draw(part, scale=2.5)
    paper.close()


FIGURES = (
    "open the catalogue",
    "confirm, until the next card is here",
    "its strip, drawn ahead",
    "the same strip, drawn anew",
    "a whole page",
)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--acts", type=int, default=20)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        found = measure(Path(shutil.copytree(asked.folder, Path(place) / "stack")), asked.acts)
    base = statistics.median(found[FIGURES[0]])
    print(f"{'':40}{'median':>9}{'best':>9}{'worst':>9}{'ratio':>8}")
    for name, values in found.items():
        middle = statistics.median(values)
        print(f"{name:40}{middle:8.1f} {min(values):8.1f} {max(values):8.1f} {middle / base:7.1f}")


if __name__ == "__main__":
    main()
