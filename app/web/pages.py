"""The one jinja environment of the local application: everything escaped, for the words of documents are not to be
trusted; and what the templates call to say a thing in words."""

from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined

from firstcap.app.confirm.cards import CardKind
from firstcap.app.confirm.clauses import clause_sentence
from firstcap.app.confirm.sentence import clean, describe, heading, size
from firstcap.app.web.statements import is_struck, label_of_key
from firstcap.schema.evidence import Box

_PACKAGE = "firstcap.app.web.templates"


def _source(name: str) -> str:
    return files(_PACKAGE).joinpath(name).read_text(encoding="utf-8")


def strip_address(document_id: str, part: Box) -> str:
    """Where the image of a part of a page is; whole points."""
    place = "-".join(str(round(side)) for side in (part.x0, part.top, part.x1, part.bottom))
    return f"/papers/{document_id}/{part.page}/{place}.png"


def points(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


@cache
def environment() -> Environment:
    made = Environment(
        loader=FunctionLoader(_source),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.do"],
    )
    made.filters |= {"clean": clean, "points": points, "size": size, "clause": clause_sentence}
    made.globals |= {
        "strip_address": strip_address,
        "is_struck": is_struck,
        "label_of_key": label_of_key,
        "describe": describe,
        "heading": heading,
        "CardKind": CardKind,
    }
    return made


def render(name: str, **values: object) -> str:
    return environment().get_template(name).render(**values)
