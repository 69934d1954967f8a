"""The pages that a person looks at, and the images in them. Nothing here writes."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import quote, unquote, urlencode

from markupsafe import Markup
from starlette.background import BackgroundTask
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.routing import Route

from firstcap.app.confirm.board import Board, Choice, Folder, Order, counted
from firstcap.app.web import views
from firstcap.app.web.office import Office
from firstcap.app.web.pages import render, strip_address
from firstcap.app.web.papers import MissingPaperError
from firstcap.schema.errors import DocumentError
from firstcap.schema.evidence import Box

REVIEWER_COOKIE = "firstcap_reviewer"
_PATIENCE = 0.2  # seconds that a page waits for what others did a moment ago; acts are checked in any case


@dataclass(frozen=True, slots=True)
class Part:
    """A part of the application, in its bar: later ones join here."""

    name: str
    address: str


PARTS = (Part("Stack", "/"), Part("Confirm", "/confirm"), Part("Second look", "/second-look"))


@dataclass(frozen=True, slots=True)
class Site:
    """What the frame of every page needs."""

    token: str
    reviewer: str
    second_look: bool

    @property
    def parts(self) -> tuple[Part, ...]:
        """Who looks blind is not shown where the two looks differ."""
        return PARTS[:2] if self.second_look else PARTS


def office_of(request: Request) -> Office:
    office: Office = request.app.state.office
    return office


def reviewer_of(request: Request) -> str:
    """The name in this browser's cookie, else the one the server was started with; a second look has one reviewer."""
    office = office_of(request)
    if office.second_look:
        return office.reviewer
    return unquote(request.cookies.get(REVIEWER_COOKIE, "")) or office.reviewer


def page(request: Request, name: str, **values: object) -> HTMLResponse:
    office = office_of(request)
    site = Site(office.rules.token, reviewer_of(request), office.second_look)
    return HTMLResponse(render(name, site=site, **values))


def told(board: Board, choice: Choice) -> str:
    """A choice in words: "least sure first · all suppliers"."""
    words = ["Least sure first" if choice.order is Order.UNSURE else "Document by document"]
    folder = board.folder(choice.document) if choice.document else None
    words.append(folder.row.file_name if folder else choice.supplier or "the whole stack")
    if choice.family:
        words.append(choice.family.label)
    return " · ".join(words)


def stack(request: Request) -> Response:
    office = office_of(request)
    office.board.refresh(patience=_PATIENCE)
    folders = _folders(office)
    open_cards = office.board.queue(Choice(document=office.document))
    return page(
        request,
        "stack.html",
        folders=folders,
        safe=views.total([folder.promises for folder in folders]),
        all=counted(card for folder in folders for card in folder.cards),
        first="/confirm" if open_cards else None,
    )


def _folders(office: Office) -> list[Folder]:
    folders = office.board.folders()
    return [one for one in folders if office.document is None or one.row.document_id.startswith(office.document)]


def confirm(request: Request) -> Response:
    """A card of the choice in the address: the one named by `at`, else the next open one after the one in `after`."""
    office = office_of(request)
    office.board.refresh(patience=_PATIENCE)
    asked: Mapping[str, str] = request.query_params
    choice = office.choice(asked)
    card = office.board.card(asked["at"]) if asked.get("at") else None
    card = card or next(iter(office.board.queue(choice, after=asked.get("after"))), None)
    folders = _folders(office)
    ahead = office.ahead(choice, card) if card else []
    answer = page(
        request,
        "confirm.html",
        title=views.card_title(card) if card else "Confirm",
        told=told(office.board, choice),
        choice=choice,
        folders=folders,
        suppliers=views.suppliers(folders),
        families=views.families(folders),
        card=Markup(views.card_html(office, choice, card)),
    )
    answer.background = BackgroundTask(office.draw, ahead)
    return answer


def document(request: Request) -> Response:
    office = office_of(request)
    office.board.refresh(patience=_PATIENCE)
    folder = folder_of(request)
    cards = [(card, views.card_title(card)) for card in folder.cards]
    return page(request, "document.html", folder=folder, row=folder.row, cards=cards)


def folder_of(request: Request) -> Folder:
    """The document of the address that can be read; 404 for none."""
    folder = office_of(request).board.folder(request.path_params["document_id"])
    if folder is None or not folder.cards:
        raise HTTPException(404, "There is no such document in the catalogue.")
    return folder


def whole_page(request: Request) -> Response:
    """A page as it is printed, with the words of the card `at` marked, and a place to draw around what was missed."""
    office = office_of(request)
    folder = folder_of(request)
    number: int = request.path_params["number"]
    choice = office.choice({"document": "", **dict(request.query_params)})
    at = request.query_params.get("at", "")
    card = office.board.card(at) if at else None
    back = views.address(choice, at=at) if card else f"/documents/{folder.row.document_id[:20]}"
    try:
        width, height = office.papers.page_size(folder.row.document_id, number)
    except MissingPaperError as problem:
        raise HTTPException(404, f"The page cannot be shown: {problem.message}.") from problem
    except DocumentError as problem:
        raise HTTPException(404, f"There is no such page: {problem.message}.") from problem
    return page(
        request,
        "page.html",
        row=folder.row,
        number=number,
        width=width,
        height=height,
        image=strip_address(folder.row.document_id, Box(page=number, x0=0, top=0, x1=width, bottom=height)),
        strips=office.strips(card) if card else (),
        back=back,
        query=urlencode(dict(request.query_params), quote_via=quote),
    )


def image(request: Request) -> Response:
    office = office_of(request)
    told = request.path_params
    x0, top, x1, bottom = (int(side) for side in told["place"].split("-"))
    if not (x0 < x1 <= 20_000 and top < bottom <= 20_000):
        return PlainTextResponse("no such part of a page\n", 404)
    folder = office.board.folder(told["document_id"])
    if folder is None:
        return PlainTextResponse("no such document\n", 404)
    try:
        drawn = office.papers.image(
            folder.row.document_id, Box(page=told["number"], x0=x0, top=top, x1=x1, bottom=bottom)
        )
    except DocumentError as problem:
        return PlainTextResponse(f"{problem.message}\n", 404)
    return Response(drawn, media_type="image/png", headers={"cache-control": "private, max-age=86400, immutable"})


ROUTES = [
    Route("/", stack),
    Route("/confirm", confirm),
    Route("/documents/{document_id}", document),
    Route("/documents/{document_id}/pages/{number:int}", whole_page),
    Route("/papers/{document_id}/{number:int}/{place}.png", image),
]
