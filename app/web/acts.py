"""What a person does on the pages: acts of the confirming core, saved before the next card is shown.

Each act names the card it is about and what was seen of it. Where that no longer holds nothing is written, and the
answer shows the card as it stands now.
"""

import json
from collections.abc import Callable, Sequence
from urllib.parse import quote

from starlette.background import BackgroundTask, BackgroundTasks
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from firstcap.app.confirm.board import Choice
from firstcap.app.confirm.cards import Card, CardKind
from firstcap.app.confirm.clauses import ClauseLine, clause_sentence, days_of, kind_of, made_clause
from firstcap.app.confirm.core import Item, Session, key_of
from firstcap.app.confirm.sentence import clean, describe, heading
from firstcap.app.facts import FACTS, Fact, understand_fact
from firstcap.app.values import FIELDS, split_name
from firstcap.app.web import views
from firstcap.app.web.looking import REVIEWER_COOKIE, office_of, reviewer_of
from firstcap.app.web.office import Office, signed
from firstcap.app.web.pages import render
from firstcap.app.web.statements import label_of_key
from firstcap.app.web.typed import changed, draft_of, understood_as
from firstcap.schema.errors import CatalogueBusyError, ConflictError, FirstcapError, UsageError, ValueRefusedError
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import DecisionAction, TermState, Word
from firstcap.store.contents import Clause

_PAST = {
    DecisionAction.CONFIRM: "the confirmation",
    DecisionAction.CORRECT: "the correction",
    DecisionAction.STRIKE: "the strike",
    DecisionAction.ADD: "the addition",
}


class Asked:
    """One request of a page: who asks, in which choice of cards, and what it says."""

    def __init__(self, request: Request, told: dict[str, object]) -> None:
        self.office = office_of(request)
        self.reviewer = reviewer_of(request)
        self._told = told
        choice = told.get("choice")
        self.choice: Choice = self.office.choice(choice if isinstance(choice, dict) else {})

    def text(self, name: str) -> str:
        """What stands under a name; UsageError where it is no text."""
        value = self._told.get(name, "")
        if not isinstance(value, str):
            raise UsageError(f"{name} is no text")
        return value

    def texts(self, name: str) -> list[str]:
        return self.text(name).split()

    @property
    def session(self) -> Session:
        return self.office.session(self.reviewer)

    def card(self) -> Card:
        """The card asked about, as it stands."""
        self.office.board.refresh()
        card = self.office.board.card(self.text("key"))
        if card is None:
            raise ConflictError("this is not in the catalogue any more: the document was read again meanwhile")
        return card

    def unchanged_card(self) -> Card:
        """The same; ConflictError where it is not what the person saw.

        Where it is what is known here, the catalogue is not asked first: it checks the versions when it writes.
        """
        known = self.office.board.card(self.text("key"))
        if known is not None and known.seen == self.text("seen"):
            return known
        card = self.card()
        if card.seen != self.text("seen"):
            raise ConflictError(_what_happened(self.office, card))
        return card


def _what_happened(office: Office, card: Card) -> str:
    ids = {item.item_id for item in card.items}
    last = next((act for act in reversed(office.board.log()) if act.item_id in ids and key_of(act) in card.keys), None)
    if last is None:
        return "it was read again meanwhile. Nothing was written; look at it as it now stands"
    done = {"confirm": "confirmed", "correct": "corrected", "strike": "struck", "add": "added", "reopen": "reopened"}
    return f"{last.reviewer} has {done[last.action]} it meanwhile. Nothing was written; look at it as it now stands"


Act = Callable[[Asked], Response]


def act(work: Act) -> Callable[[Request], object]:
    """A route for an act: JSON in; a refusal, a conflict or a busy catalogue is an answer, not a failure."""

    async def answer(request: Request) -> Response:
        try:
            told = await request.json()
        except (ValueError, UnicodeDecodeError):
            told = None
        if not isinstance(told, dict):
            return JSONResponse({"say": "this is no request of our pages"}, 400)
        asked = Asked(request, told)
        try:
            return await run_in_threadpool(work, asked)
        except ConflictError as problem:
            return await run_in_threadpool(_conflict, asked, problem)
        except ValueRefusedError as problem:
            return JSONResponse({"refused": f"{problem.message}."}, 422)
        except CatalogueBusyError as problem:
            return JSONResponse({"say": f"Not saved: {problem.message}."}, 503)
        except FirstcapError as problem:
            return JSONResponse({"say": f"Not saved: {problem.message}."}, 400)

    return answer


def _conflict(asked: Asked, problem: ConflictError) -> Response:
    asked.office.board.refresh()
    card = asked.office.board.card(asked.text("key"))
    return _shown(asked, card, f"Not saved: {problem.message}.", status=409)


def _shown(asked: Asked, card: Card | None, say: str, *, status: int = 200, refresh: bool = False) -> Response:
    """A card as an answer; the strips of those after it are drawn when the answer is on its way."""
    office = asked.office
    ahead = office.ahead(asked.choice, card) if card else []
    told = {
        "html": views.card_html(office, asked.choice, card),
        "say": say,
        "title": views.card_title(card) if card else "Confirm",
        "address": views.address(asked.choice, at=card.key if card else None),
        "ahead": views.images(office, ahead[:1]),
    }
    tasks = BackgroundTasks([BackgroundTask(office.board.refresh)] if refresh else [])
    tasks.add_task(office.draw, ahead)
    return JSONResponse(told, status, background=tasks)


def _next(asked: Asked, card: Card, say: str, *, refresh: bool = False) -> Response:
    following = asked.office.board.queue(asked.choice, after=card.key)
    return _shown(asked, following[0] if following else None, say, refresh=refresh)


def _again(asked: Asked, say: str) -> Response:
    """The same card with what was just done to it."""
    asked.office.board.refresh()
    return _shown(asked, asked.office.board.card(asked.text("key")), say)


def _terms(card: Card, wanted: Sequence[str]) -> list[Item]:
    found = [item for item in card.items if item.stored and item.item_id in wanted]
    if len(found) != len(set(wanted)) or not found:
        raise UsageError("this card has no such promise")
    return found


# ---- acts ----


def confirm(asked: Asked) -> Response:
    card = asked.unchanged_card()
    items = card.open_items or tuple(item for item in card.items if not _is_struck(item))
    corrected = tuple(item for item in card.items if item.stored and item.stored.state is TermState.CORRECTED)
    written = asked.session.confirm(*dict.fromkeys((*items, *corrected)))
    if written:
        asked.office.board.assume_confirmed(card, written[-1])
    many = f" all {len(items)}" if len(items) > 1 else ""
    return _next(asked, card, f"Confirmed{many}.", refresh=True)


def _is_struck(item: Item) -> bool:
    return item.stored is not None and item.stored.state is TermState.STRUCK


def correct(asked: Asked) -> Response:
    card = asked.unchanged_card()
    written = asked.text("written")
    if card.kind is CardKind.CLAUSES:
        item, line = _line(card, asked.text("items"))
        clause = _clause(item, line, asked.text("field"), written)
        asked.session.correct_clause(item, line, clause, written)
        return _again(asked, f"Saved: {clause_sentence(clause)}")
    if card.kind is CardKind.FACTS:
        understood = understand_fact(_fact(asked.text("field")), written)
        asked.session.correct(card.items[0], understood.changes, written)
        return _again(asked, f"Saved: {understood.shown}.")
    corrections = []
    shown = ""
    for item in _terms(card, asked.texts("items")):
        assert item.stored is not None
        told = understood_as(asked.text("field"), written, item.stored.term)
        changed(item.stored.term, told.changes)
        corrections.append((item, told.changes))
        shown = told.shown
    asked.session.correct_all(corrections, written)
    return _again(asked, f"Saved: {shown}. Confirm when the rest is right.")


def strike(asked: Asked) -> Response:
    card = asked.unchanged_card()
    reason = asked.text("written")
    if card.kind is CardKind.CLAUSES:
        item = card.items[0]
        struck = [_line(card, field) for field in asked.texts("items")]
        for _, line in reversed(struck):  # a later number first, so that those before it keep theirs
            asked.session.strike_clause(item, line, reason)
    else:
        asked.session.strike(*_terms(card, asked.texts("items")), reason=reason)
    asked.office.board.refresh()
    now = asked.office.board.card(card.key)
    if now is not None and now.open_items:
        return _shown(asked, now, "Struck.")
    return _next(asked, card, "Struck.")


def undo(asked: Asked) -> Response:
    undone = asked.session.undo()
    asked.office.board.refresh()
    if undone is None:
        card = asked.office.board.card(asked.text("key")) if asked.text("key") else None
        return _shown(asked, card, "There is nothing of yours to take back.")
    card = asked.office.board.card(key_of(undone)) or next(iter(asked.office.board.queue(asked.choice)), None)
    return _shown(asked, card, f"Taken back: {_PAST[undone.action]}.")


# ---- what an act would do ----


def editor(asked: Asked) -> Response:
    """The form in which a value is corrected: what was not taken first, then what can be chosen."""
    field = asked.text("field")
    if asked.text("draft"):
        term = draft_of(asked.text("draft"))
        return _editor(field, [], None, written=_written(field, term))
    card = asked.card()
    items = asked.texts("items")
    if card.kind is CardKind.CLAUSES:
        item, line = _line(card, asked.text("items"))
        assert item.family is not None
        kinds = tuple((kind.value.replace("_", " "), kind.meaning) for kind in item.family.kinds)
        days = getattr(line.clause, "days", None)
        now = {"kind": line.clause.kind.replace("_", " "), "days": str(days or ""), "words": clean(line.clause.quote)}
        label = {"kind": "kind of clause", "days": "days", "words": "words of the document"}[field]
        return _form(
            field, items, label, now[field], "30 days" if field == "days" else "", kinds if field == "kind" else ()
        )
    if card.kind is CardKind.FACTS:
        fact = _fact(field)
        value = getattr(card.facts, fact.field)
        return _form(
            field, items, fact.label, "" if value is None else clean(str(value)), fact.example, (), clearable=True
        )
    terms = [item.stored.term for item in _terms(card, items) if item.stored]
    written = {_written(field, term) for term in terms}
    return _editor(field, items, terms, written=written.pop() if len(written) == 1 else "")


def _editor(field: str, items: list[str], terms: Sequence[Term] | None, *, written: str) -> Response:
    named, _, _ = split_name(field, FIELDS)
    others = [
        other for term in terms or () for other in term.alternatives if other.field.partition(".")[0] in named.covers
    ]
    return _form(
        field, items, label_of_key(field), written, named.example, named.choices, others=list(dict.fromkeys(others))
    )


def _form(
    field: str,
    items: Sequence[str],
    label: str,
    written: str,
    example: str,
    choices: Sequence[tuple[str, str]],
    *,
    others: Sequence[object] = (),
    clearable: bool = False,
) -> Response:
    html = render(
        "editor.html",
        field=field,
        items=items,
        label=label,
        written=written,
        example=example,
        choices=choices,
        others=others,
        clearable=clearable,
        several=len(items) if len(items) > 1 else 0,
    )
    return JSONResponse({"html": html})


def _written(field: str, term: Term) -> str:
    """What a field would be typed as to mean what it is now; empty where it is too much for one line."""
    key, _, turn = field.partition(" ")
    if key in ("band", "bands"):
        at = int(turn or 1) - 1
        return clean(term.bands[at].band_text) if at < len(term.bands) else ""
    simple = {
        "size": term.size_label,
        "component": term.component,
        "variant": term.variant,
        "product": term.product,
        "type": term.meter_type,
        "promise": term.promise,
        "level": term.accuracy_level,
        "ends": term.ends,
        "life": term.life_of,
        "remedy": term.remedy,
        "start": term.start_event if len(term.starts) < 2 else None,
    }
    if key in simple:
        value = simple[key]
        return "" if value is None else value.value.replace("_", " ") if isinstance(value, Word) else clean(value)
    if key == "time" and term.duration_months is not None:
        return f"{term.duration_months.normalize():f} months"
    if key == "time" and term.duration_days is not None:
        return f"{term.duration_days} days"
    if key == "cap" and term.volume_cap_usgal is not None:
        return f"{term.volume_cap_usgal.normalize():f} gal"
    if key == "free" and term.full_months is not None:
        return f"{term.full_months.normalize():f} months"
    return ""


def understood(asked: Asked) -> Response:
    """How typed words are understood, and the sentence that would follow; nothing is written."""
    field, written = asked.text("field"), asked.text("written")
    if asked.text("draft"):
        term = draft_of(asked.text("draft"))
        told = understood_as(field, written, term)
        return JSONResponse({"shown": told.shown, "sentence": describe(changed(term, told.changes))})
    card = asked.card()
    if card.kind is CardKind.CLAUSES:
        item, line = _line(card, asked.text("items"))
        return JSONResponse({"shown": clause_sentence(_clause(item, line, field, written)), "sentence": ""})
    if card.kind is CardKind.FACTS:
        return JSONResponse({"shown": understand_fact(_fact(field), written).shown, "sentence": ""})
    shown = sentence = ""
    for item in _terms(card, asked.texts("items")):
        assert item.stored is not None
        told = understood_as(field, written, item.stored.term)
        shown, sentence = told.shown, describe(changed(item.stored.term, told.changes))
    return JSONResponse({"shown": shown, "sentence": sentence})


def strike_form(asked: Asked) -> Response:
    card = asked.card()
    items = asked.texts("items")
    if card.kind is CardKind.CLAUSES:
        lines = [line.field for line in card.items[0].lines if not line.struck]
        items = items or lines
        what = "this clause" if len(items) == 1 else f"all {len(items)} clauses"
        return JSONResponse({"html": render("strike.html", items=items, what=what, noun="clause")})
    items = items or [item.item_id for item in card.items if not _is_struck(item)]
    found = _terms(card, items)
    term = found[0].stored.term if found[0].stored else None
    what = heading(term) if term and len(found) == 1 else f"all {len(found)} promises"
    return JSONResponse({"html": render("strike.html", items=items, what=what, noun="promise")})


# ---- values ----


def _fact(key: str) -> Fact:
    for fact in FACTS:
        if fact.key == key:
            return fact
    raise ValueRefusedError(f"there is no fact “{key}”")


def _line(card: Card, field: str) -> tuple[Item, ClauseLine]:
    item = card.items[0]
    for line in item.lines:
        if line.field == field and not line.struck:
            return item, line
    raise ConflictError("this clause is not there any more. Nothing was written; look at it as it now stands")


def _clause(item: Item, line: ClauseLine, what: str, written: str) -> Clause:
    """The clause with one thing corrected: its kind, its days or its words."""
    assert item.family is not None
    kind: Word = line.clause.kind
    quote, days = line.clause.quote, getattr(line.clause, "days", None)
    if what == "kind":
        kind = kind_of(item.family, written)
    elif what == "days":
        days = days_of(written)
    else:
        quote = written
    return made_clause(item.family, kind, quote, days).model_copy(update={"evidence": line.clause.evidence})


# ---- who signs ----


async def reviewer(request: Request) -> Response:
    if office_of(request).second_look:
        return JSONResponse({"refused": "a second look has one reviewer; start it with --reviewer NAME."}, 422)
    try:
        told = await request.json()
        name = signed(str(told["reviewer"]))
    except (ValueError, KeyError, TypeError, UsageError):
        return JSONResponse({"refused": "decisions are signed; give a name of at most 80 letters."}, 422)
    answer = JSONResponse({"say": f"Decisions are signed “{name}” from now on.", "reviewer": json.dumps(name)})
    answer.set_cookie(REVIEWER_COOKIE, quote(name), httponly=True, samesite="strict", max_age=365 * 86400)
    return answer


ROUTES = [
    Route("/acts/confirm", act(confirm), methods=["POST"]),
    Route("/acts/correct", act(correct), methods=["POST"]),
    Route("/acts/strike", act(strike), methods=["POST"]),
    Route("/acts/undo", act(undo), methods=["POST"]),
    Route("/acts/reviewer", reviewer, methods=["POST"]),
    Route("/ask/editor", act(editor), methods=["POST"]),
    Route("/ask/understood", act(understood), methods=["POST"]),
    Route("/ask/strike", act(strike_form), methods=["POST"]),
]
