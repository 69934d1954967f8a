"""The application answering in a thread, and one person at one tab of it."""

import threading
import time
from collections.abc import Callable
from dataclasses import dataclass

import uvicorn
from playwright.sync_api import Page

from firstcap.app.web.application import application
from firstcap.app.web.office import Office


class Served:
    """The application of an office, answering in a thread of this process."""

    def __init__(self, office: Office) -> None:
        self.office = office
        self._server = uvicorn.Server(
            uvicorn.Config(application(office), host="127.0.0.1", port=0, log_level="critical", lifespan="on")
        )
        self._thread = threading.Thread(target=self._server.run)

    def __enter__(self) -> "Served":
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)
        return self

    def __exit__(self, *_: object) -> None:
        self._server.should_exit = True
        self._thread.join()

    @property
    def address(self) -> str:
        port = self._server.servers[0].sockets[0].getsockname()[1]
        return f"http://127.0.0.1:{port}"


@dataclass
class Sitting:
    """One person at one tab."""

    page: Page
    address: str

    def go(self, path: str) -> None:
        self.page.goto(self.address + path)
        self.ready()

    def ready(self) -> None:
        """Until the keys of the page act."""
        self.page.locator("html[data-ready]").wait_for()

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def act(self, key: str) -> None:
        """A key that the server answers with a card."""
        with self.page.expect_response(lambda answer: "/acts/" in answer.url):
            self.page.keyboard.press(key)
        self.settled()

    def write(self, text: str) -> None:
        """Type into the open form and save."""
        self.page.locator("#written").fill(text)
        with self.page.expect_response(lambda answer: "/acts/" in answer.url or "/ask/redraft" in answer.url):
            self.page.keyboard.press("Enter")

    def settled(self) -> None:
        """Until a new card has come and has the focus."""
        self.page.locator("#card-title:focus").wait_for()

    @property
    def said(self) -> str:
        return self.page.locator("#said").inner_text()

    @property
    def title(self) -> str:
        return self.page.locator("#card-title").inner_text()

    @property
    def sentence(self) -> str:
        return " ".join(self.page.locator(".sentence").first.inner_text().split())


Open = Callable[..., Sitting]
