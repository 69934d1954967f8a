"""Serving the application: an address of this machine, said once it answers, until the person ends it."""

import socket
import sys
import threading
import webbrowser
from collections.abc import Callable

import uvicorn

from firstcap.app.web.application import application
from firstcap.app.web.guard import is_loopback, rules
from firstcap.app.web.office import Office
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue

DEFAULT_PORT = 8640  # belongs to no registered service; where it is taken any free one is used


def serve(
    catalogue: Catalogue,
    *,
    reviewer: str,
    document: str | None = None,
    host: str = "127.0.0.1",
    port: int | None = None,
    browser: bool = True,
    second_look: bool = False,
    say: Callable[[str], None] = print,
) -> None:
    """Serve until interrupted. `document` is the id of the one document to confirm; UsageError for a taken port.

    Beyond this machine (`host` is no loopback address) everyone must show the token that the address holds.
    """
    listening = _listen(host, port)
    office = Office(catalogue, reviewer, rules(host, [socket.gethostname()]), document, second_look)
    address = _address(host, listening.getsockname()[1])
    entrance = f"{address}enter?token={office.rules.key}" if office.rules.key else address

    class Server(uvicorn.Server):
        async def startup(self, sockets: list[socket.socket] | None = None) -> None:
            await super().startup(sockets)
            if self.started:
                say(entrance)
                if browser:
                    threading.Thread(target=webbrowser.open, args=(entrance,), daemon=True).start()

    config = uvicorn.Config(
        application(office), log_level="warning", access_log=False, server_header=False, timeout_graceful_shutdown=2
    )
    print(f"Decisions are signed “{reviewer}” and saved one by one. Ctrl-C ends this.", file=sys.stderr)
    if not is_loopback(host):
        print(
            "Open beyond this machine and not encrypted: give the address to nobody but the reviewers.", file=sys.stderr
        )
    try:
        Server(config).run(sockets=[listening])
    except KeyboardInterrupt:
        pass
    finally:
        listening.close()


def _listen(host: str, port: int | None) -> socket.socket:
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    for tried in (port,) if port is not None else (DEFAULT_PORT, 0):
        listening = socket.socket(family, socket.SOCK_STREAM)
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind((host, tried))
        except OSError as problem:
            listening.close()
            if tried == DEFAULT_PORT and port is None:
                continue
            raise UsageError(
                f"cannot serve at {host}:{tried} ({problem.strerror}); give another --port, or none for a free one"
            ) from problem
        return listening
    raise AssertionError("port 0 is any free one")


def _address(host: str, port: int) -> str:
    shown = {"0.0.0.0": socket.gethostname(), "::": socket.gethostname()}.get(host, host)
    return f"http://{f'[{shown}]' if ':' in shown else shown}:{port}/"
