"""Who may ask: this machine by its own names, our own pages, and, beyond this machine, whoever holds the token.

Against pages of other sites that a browser has open beside ours: the name a request asks for must be ours (so that a
name that is made to point here gets nothing), it must come from our own pages, and what changes something carries a
token that only our pages hold.
"""

import ipaddress
import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from http.cookies import SimpleCookie
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

TOKEN_HEADER = "x-firstcap-token"
KEY_COOKIE = "firstcap_key"
_POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
_HEADERS = {
    "content-security-policy": _POLICY,
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "x-frame-options": "DENY",
}
_READS = {"GET", "HEAD"}


@dataclass(frozen=True, slots=True)
class Rules:
    """`hosts` are the names we answer to; `token` is what our pages send with every act.

    `key`, where it is given, must be shown by everyone: the pages are open to more than this machine.
    """

    hosts: frozenset[str]
    token: str
    key: str | None = None


def rules(host: str, names: Iterable[str] = ()) -> Rules:
    """The rules for listening at `host`; `names` are further names of this machine."""
    known = {"localhost", "127.0.0.1", "[::1]", _bracketed(host), *names}
    return Rules(frozenset(known), secrets.token_urlsafe(24), None if is_loopback(host) else secrets.token_urlsafe(24))


def same(shown: str, secret: str) -> bool:
    """Compared in a time that tells nothing."""
    return secrets.compare_digest(shown.encode(), secret.encode())


def is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host


class Guard:
    """Refuses what the rules do not allow, and sends every answer with the headers that keep a page to itself."""

    def __init__(self, app: ASGIApp, rules: Rules) -> None:
        self._app = app
        self._rules = rules

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return

        async def answer(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in _HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("cache-control", "no-store")
            await send(message)

        refused = self._refusal(scope)
        if refused is not None:
            status, why = refused
            await PlainTextResponse(f"{why}\n", status)(scope, receive, answer)
            return
        await self._app(scope, receive, answer)

    def _refusal(self, scope: Scope) -> tuple[int, str] | None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._is_ours(host):
            return 421, "This is not a name of this server."
        reading = scope["method"] in _READS
        site = headers.get("sec-fetch-site")
        opened = reading and headers.get("sec-fetch-mode") == "navigate" and headers.get("sec-fetch-dest") == "document"
        if site not in (None, "same-origin", "none") and not opened:
            return 403, "A page of another site asked for this."
        origin = headers.get("origin")
        if origin is not None and urlsplit(origin).netloc != host:
            return 403, "A page of another site asked for this."
        if not reading and not same(headers.get(TOKEN_HEADER, ""), self._rules.token):
            return 403, "This page was opened before the server was started; load it again."
        if self._rules.key is not None and scope["path"] not in ("/enter", "/health"):
            cookies: SimpleCookie = SimpleCookie(headers.get("cookie", ""))
            shown = cookies[KEY_COOKIE].value if KEY_COOKIE in cookies else ""
            if not same(shown, self._rules.key):
                return 401, "Open the address that the server printed when it was started: it holds the token."
        return None

    def _is_ours(self, host: str) -> bool:
        name, separator, port = host.rpartition(":")
        if not separator or not port.isdecimal():
            name = host
        if name.lower() in self._rules.hosts:
            return True
        if self._rules.key is None:
            return False
        try:  # a number is no name: it cannot be made to point elsewhere
            ipaddress.ip_address(name.strip("[]"))
        except ValueError:
            return False
        return True
