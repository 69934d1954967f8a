"""Where two looks differ: how far they agree on each field, and each difference settled by an act in the log."""

from dataclasses import dataclass

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from firstcap.app.confirm.second import FieldAgreement, Judged, Take, agreement, differences, settle
from firstcap.app.confirm.sentence import clean, describe
from firstcap.app.confirm.settling import name_of, sides
from firstcap.app.web.acts import Asked, act
from firstcap.app.web.looking import office_of, page
from firstcap.app.web.office import Office
from firstcap.app.web.strips import Strip
from firstcap.schema.errors import ConflictError, DocumentError, UsageError
from firstcap.store.second import pairs


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that two people left differently, with the strip of the page that decides it."""

    judged: Judged
    document: str
    sentence: str
    sides: tuple[str, str]
    strip: Strip | None

    @property
    def name(self) -> str:
        return name_of(self.judged.field)


def second_look(request: Request) -> Response:
    office = office_of(request)
    if office.second_look:
        raise HTTPException(404, "A second look is blind: this page is for those who settle it.")
    office.board.refresh()
    both = pairs(office.catalogue)
    why = None
    fields: list[FieldAgreement] = []
    try:
        fields = agreement(both)
    except UsageError as problem:
        why = problem.message
    found = [_difference(office, one) for one in differences(both)]
    return page(request, "second.html", fields=fields, differences=found, both=both, why=why, name_of=name_of)


def _difference(office: Office, one: Judged) -> Difference:
    term = one.pair.first.term or one.pair.second.term
    folder = office.board.folder(one.pair.document_id)
    return Difference(
        judged=one,
        document=clean(folder.row.file_name) if folder else one.pair.document_id,
        sentence=describe(term) if term else "",
        sides=sides(one),
        strip=_strip(office, one),
    )


def _strip(office: Office, one: Judged) -> Strip | None:
    family = one.field.partition(".")[0]
    card = office.board.card(f"{one.pair.item_id}/{family}") or office.board.card(one.pair.item_id)
    try:
        return next(iter(office.strips(card)), None) if card else None
    except DocumentError:
        return None


def settled(asked: Asked) -> Response:
    """Let one of the two values stand."""
    if asked.office.second_look:
        raise UsageError("a second look settles nothing")
    item, field, take = asked.text("item"), asked.text("field"), asked.text("take")
    if take not in set(Take):
        raise UsageError("the first or the second is let stand")
    open_ones = differences(pairs(asked.office.catalogue))
    one = next((one for one in open_ones if (one.pair.item_id, one.field) == (item, field)), None)
    if one is None:
        raise ConflictError("this difference is settled already")
    settle(asked.office.catalogue, one, Take(take), reviewer=asked.reviewer, note=asked.text("note"))
    asked.office.board.refresh()
    return JSONResponse({"say": "Settled.", "left": len(open_ones) - 1})


ROUTES = [
    Route("/second-look", second_look),
    Route("/acts/settle", act(settled), methods=["POST"]),
]
