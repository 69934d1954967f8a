"""The routes of the local application. Reading is GET and writes nothing; acts are POSTs of JSON by our pages."""

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from importlib.resources import files
from threading import Thread

from starlette.applications import Starlette
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import PlainTextResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from firstcap.app.web import acts, looking, missed, second
from firstcap.app.web.guard import KEY_COOKIE, Guard, same
from firstcap.app.web.office import Office

_TOKENS = files("firstcap.app.report").joinpath("tokens.css")


def application(office: Office) -> Starlette:
    """The application over one catalogue. It is ready once it answers `/health`."""

    @asynccontextmanager
    async def lifespan(app: Starlette) -> AsyncIterator[None]:
        office.board.refresh()
        Thread(target=_warm_up, args=(office,), daemon=True).start()
        yield
        office.papers.close()

    app = Starlette(
        routes=[
            Route("/health", _health),
            Route("/enter", _enter),
            Route("/static/tokens.css", _tokens),
            Mount("/static", StaticFiles(packages=[("firstcap.app.web", "static")])),
            *looking.ROUTES,
            *acts.ROUTES,
            *missed.ROUTES,
            *second.ROUTES,
        ],
        middleware=[Middleware(Guard, rules=office.rules)],
        lifespan=lifespan,
    )
    app.state.office = office
    return app


def _warm_up(office: Office) -> None:
    """What would make the first act slow: the patterns that understand typed values, and the first strips."""
    from firstcap.app.confirm.board import Choice
    from firstcap.app.understanding import mentions
    from firstcap.extract.patterns.base import Family

    office.draw(office.board.queue(Choice(), count=2))
    mentions(Family.DURATION, "5 years")


async def _health(request: Request) -> Response:
    return PlainTextResponse("ready\n")


async def _tokens(request: Request) -> Response:
    return Response(_TOKENS.read_text(encoding="utf-8"), media_type="text/css", headers={"cache-control": "no-cache"})


async def _enter(request: Request) -> Response:
    """From the address with the token to the pages: the token goes into a cookie that no script sees."""
    key = request.app.state.office.rules.key
    shown = request.query_params.get("token", "")
    if key is not None and not same(shown, key):
        return PlainTextResponse(
            "This is not the token of the running server; it prints a new one with each start.\n", 401
        )
    answer = RedirectResponse("/", 303)
    if key is not None:
        answer.set_cookie(KEY_COOKIE, key, httponly=True, samesite="strict")
    return answer
