"""The one jinja environment of the reports: everything escaped, for the words of documents are not to be trusted."""

import re
from functools import cache
from importlib.resources import files

from jinja2 import Environment, FunctionLoader, StrictUndefined
from markupsafe import Markup

# A number stays on one line with its unit, and ≈ with its number.
_LOOSE = re.compile(r"(?<=≈) |(?<=[0-9]) (?=(?:gal|m³|years?|months?|days?|gpm|L/h|%)\b|%)")


def _source(name: str) -> str:
    return files("firstcap.app.report").joinpath(name).read_text(encoding="utf-8")


@cache
def environment() -> Environment:
    made = Environment(
        loader=FunctionLoader(_source),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["tight"] = lambda text: _LOOSE.sub("\N{NO-BREAK SPACE}", text)
    made.filters["px"] = lambda value: f"{value:.2f}".rstrip("0").rstrip(".")
    return made


def style(name: str) -> Markup:
    """A style sheet of ours, to stand inside a page."""
    return Markup(_source(name))


def render(name: str, **values: object) -> str:
    return environment().get_template(name).render(**values)
