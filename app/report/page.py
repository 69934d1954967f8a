"""The comparison as one self-contained HTML file: no script, no request to anywhere, light and dark, fit to print."""

from collections.abc import Mapping
from fractions import Fraction

from firstcap.app.report import words
from firstcap.app.report.accuracy import accuracy_charts
from firstcap.app.report.comparison import CAUTIONS, Comparison, Ref
from firstcap.app.report.first_cap import charted, first_cap_svg
from firstcap.app.report.strips import shown_once
from firstcap.app.report.templates import render, style

END_MARKS = {"volume": "●", "time": "□", "both": "●□", "nothing": ""}
END_WORDS = {"volume": "volume first", "time": "years first", "both": "both at once", "nothing": "no fixed end"}


def use_name(use: Fraction, *, metric: bool) -> str:
    """A yearly use with what it is a day."""
    return f"{words.use_a_year(use, metric=metric)} ({words.use_a_day(use, metric=metric)})"


def field_name(field: str) -> str:
    """A field of the evidence as words: `volume_cap_usgal` is the volume cap, `band.2` the second accuracy limit."""
    name, _, number = field.partition(".")
    known = {
        "duration_months": "years",
        "full_months": "free period",
        "duration_days": "days",
        "volume_cap_usgal": "volume cap",
        "ends": "which ends first",
        "band": "accuracy limit",
        "credit": "proration step",
        "effective_from": "effective date",
    }.get(name, words.spaced(name))
    return f"{known}: {words.spaced(number)}" if number and not number.isdigit() else f"{known} {number}".strip()


def html(comparison: Comparison, strips: Mapping[Ref, str] | None = None) -> str:
    """The page; `strips` are images of the lines that values were read from, as data addresses."""
    images, same = shown_once(strips or {})
    return render(
        "comparison.html",
        c=comparison,
        words=words,
        tokens=style("tokens.css"),
        css=style("page.css"),
        charts=[(group, first_cap_svg(comparison, group)) for group in comparison.promises if charted(group)],
        accuracy=[group for group in comparison.promises if group.is_accuracy],
        accuracy_svgs=accuracy_charts(comparison),
        cautions=CAUTIONS,
        use_names=lambda use: use_name(use, metric=comparison.metric),
        end_marks=END_MARKS,
        end_words=END_WORDS,
        field_names=field_name,
        strips=images,
        same=same,
    )
