"""What the reading missed: words that a person drew around are read, the form is filled, and what is right is added."""

import re
from dataclasses import dataclass

from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from firstcap.app.confirm.board import Folder
from firstcap.app.confirm.clauses import ClauseFamily, clause_sentence, days_of, kind_of, made_clause
from firstcap.app.confirm.core import blank_term
from firstcap.app.confirm.sentence import Part, parts
from firstcap.app.understanding import PARSING, mentions
from firstcap.app.values import Field
from firstcap.app.web.acts import Asked, act
from firstcap.app.web.pages import render
from firstcap.app.web.statements import unsaid
from firstcap.app.web.typed import changed, draft_of, understood_as
from firstcap.extract.patterns.base import Family
from firstcap.extract.region import RegionReading, read_region
from firstcap.schema.errors import UsageError, ValueRefusedError
from firstcap.schema.evidence import Box, Evidence
from firstcap.schema.terms import Term
from firstcap.store.contents import Clause, parse_clause

# What is looked for one by one in words that promise nothing as a whole: a number alone, a cell of a table.
_SINGLE = (
    ("size", Family.SIZE),
    ("component", Family.COMPONENT),
    ("time", Family.DURATION),
    ("cap", Family.VOLUME),
    ("start", Family.START),
    ("ends", Family.RULE),
    ("bands", Family.BAND),
)
_DRAWN = "drawn"  # the pattern of evidence that a person drew around


@dataclass(frozen=True, slots=True)
class Draft:
    """A promise that is not added yet."""

    term: Term

    @property
    def json(self) -> str:
        return self.term.model_dump_json(exclude_defaults=True)

    @property
    def parts(self) -> tuple[Part, ...]:
        return parts(self.term)

    @property
    def more(self) -> tuple[Field, ...]:
        return unsaid(self.term)


@dataclass(frozen=True, slots=True)
class ClauseDraft:
    """A clause that is not added yet."""

    family: ClauseFamily
    clause: Clause

    @property
    def json(self) -> str:
        return self.clause.model_dump_json(exclude_defaults=True)

    @property
    def sentence(self) -> str:
        return clause_sentence(self.clause)


def drawn(asked: Asked) -> Response:
    """Read what stands in a frame on a page."""
    folder = _folder(asked)
    part = _part(asked)
    path = asked.office.papers.path(folder.row.document_id)
    with PARSING:
        reading = read_region(path, part, supplier=folder.row.supplier)
    terms = list(reading.terms) or _single(reading, part)
    clauses = [ClauseDraft(family, clause) for family in ClauseFamily for clause in getattr(reading, family.plural)]
    return _drafts(reading.text, terms, clauses, where=f"p. {part.page}: {reading.text}")


def blank(asked: Asked) -> Response:
    """A promise to be typed, with nothing filled in but what every promise has."""
    return _drafts("", [blank_term()], [], where="", blank=True)


def redraft(asked: Asked) -> Response:
    """A draft with one value given or corrected."""
    term = draft_of(asked.text("draft"))
    told = understood_as(asked.text("field"), asked.text("written"), term)
    return _drafts("", [changed(term, told.changes)], [], where=asked.text("where"), blank=True)


def _drafts(text: str, terms: list[Term], clauses: list[ClauseDraft], *, where: str, blank: bool = False) -> Response:
    html = render(
        "draft.html",
        text=text,
        drafts=[Draft(term) for term in terms],
        clauses=clauses,
        where=where[:500],
        blank=blank,
        families=tuple(ClauseFamily),
    )
    return JSONResponse({"html": html, "found": len(terms) + len(clauses)})


def _single(reading: RegionReading, part: Box) -> list[Term]:
    """A promise with the values that stand in the words one by one; none where none does."""
    term = blank_term()
    filled = False
    for key, family in _SINGLE:
        found = mentions(family, reading.text)
        if len(found) != 1:
            continue
        try:
            term = changed(term, understood_as(key, found[0].text, term).changes)
        except ValueRefusedError:
            continue
        filled = True
    if not filled:
        return []
    evidence = Evidence(field="quote", boxes=(part,), quote=reading.text, pattern=_DRAWN)
    return [term.model_copy(update={"evidence": (evidence,)})]


# ---- adding ----


def add(asked: Asked) -> Response:
    folder = _folder(asked)
    term = draft_of(asked.text("draft"))
    asked.session.add(folder.row.document_id, [term], _note(asked))
    asked.office.board.refresh()
    return JSONResponse({"say": "Added. It is saved as entered by you."})


def add_clause(asked: Asked) -> Response:
    folder = _folder(asked)
    if asked.text("clause"):
        family = _family(asked.text("family"))
        kind = draft_kind(asked.text("clause"))
        clause = parse_clause(f"{family}.{kind}", asked.text("clause"))
    else:
        family_name, _, kind = asked.text("kind").partition(" ")
        family = _family(family_name)
        days = days_of(asked.text("days")) if family is ClauseFamily.DUTY else None
        clause = made_clause(family, kind_of(family, kind), asked.text("words"), days)
    asked.session.add_clause(folder.row, family, clause, _note(asked))
    asked.office.board.refresh()
    return JSONResponse({"say": f"Added. {clause_sentence(clause)}"})


def draft_kind(text: str) -> str:
    found = re.search(r'"kind"\s*:\s*"(\w+)"', text)
    if not found:
        raise UsageError("the clause has no kind")
    return found[1]


def _family(name: str) -> ClauseFamily:
    if name not in set(ClauseFamily):
        raise UsageError(f"there is no family of clauses {name!r}")
    return ClauseFamily(name)


def _note(asked: Asked) -> str:
    where = " ".join(asked.text("where").split())
    return f"stands at: {where[:500]}" if where else ""


def _folder(asked: Asked) -> Folder:
    folder = asked.office.board.folder(asked.text("document"))
    if folder is None or not folder.cards:
        raise UsageError("there is no such document in the catalogue")
    return folder


def _part(asked: Asked) -> Box:
    try:
        number, x0, top, x1, bottom = (float(side) for side in asked.texts("part"))
        return Box(page=int(number), x0=x0, top=top, x1=x1, bottom=bottom)
    except ValueError as problem:
        raise UsageError("this is no part of a page") from problem


ROUTES = [
    Route("/ask/drawn", act(drawn), methods=["POST"]),
    Route("/ask/blank", act(blank), methods=["POST"]),
    Route("/ask/redraft", act(redraft), methods=["POST"]),
    Route("/acts/add", act(add), methods=["POST"]),
    Route("/acts/add-clause", act(add_clause), methods=["POST"]),
]
