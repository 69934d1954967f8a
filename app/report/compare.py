"""`firstcap compare`: promises side by side, printed or written as a page, PDF, spreadsheet, Markdown or JSON.

The library call does all the command does. One size has a page, a spreadsheet and a Markdown text of its own; PDF,
JSON, several sizes and whatever is to be ordered by a column are made by way of `app/report/paper.py`.
"""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from firstcap.app.report.comparison import Comparison, Ref, compare
from firstcap.app.report.rows import load
from firstcap.app.report.strips import WithFiles, strips_of
from firstcap.schema.errors import UsageError

_Strips = Mapping[Ref, str]


def _write_html(comparison: Comparison, strips: _Strips, out: Path) -> None:
    from firstcap.app.report.page import html

    out.write_text(html(comparison, strips), encoding="utf-8")


def _write_markdown(comparison: Comparison, strips: _Strips, out: Path) -> None:
    from firstcap.app.report.markdown import markdown

    out.write_text(markdown(comparison), encoding="utf-8")


def _write_xlsx(comparison: Comparison, strips: _Strips, out: Path) -> None:
    from firstcap.app.report.xlsx import write_xlsx

    write_xlsx(comparison, out)


# What one size is written with; the other forms come by way of a `Paper`.
WRITERS: dict[str, Callable[[Comparison, _Strips, Path], None]] = {
    ".html": _write_html,
    ".xlsx": _write_xlsx,
    ".md": _write_markdown,
}


def write_comparison(
    catalogue: WithFiles,
    sizes: str | Sequence[str],
    out: Path | None = None,
    *,
    sort: str | None = None,
    strips: bool = True,
) -> str:
    """Compare what the catalogue holds for a size, or for several; the text to print.

    Without `out` that is the comparison itself, as Markdown. With `out` the file is written, in the format its name
    ends in, and appears whole or not at all; the text says in one line what was compared and where it stands. `sort`
    orders the tables by a column, `strips` puts the lines of the pages into HTML. UsageError for a size the catalogue
    does not name, for another ending, and for a place that cannot be written.
    """
    from firstcap.app.report import writers

    if out is not None:
        writers.writer_for(out)
    comparisons = [compare(load(catalogue, size)) for size in ([sizes] if isinstance(sizes, str) else sizes)]
    [first, *others] = comparisons
    if out is None and not others and sort is None:
        from firstcap.app.report.markdown import markdown

        return markdown(first)
    writer = None if out is None else WRITERS.get(out.suffix.lower())
    if others or sort is not None or out is None or writer is None:
        from firstcap.app.report.comparison_paper import comparison_paper
        from firstcap.app.report.paper import sorted_by

        paper = comparison_paper(comparisons)
        if sort is not None:
            paper = sorted_by(paper, sort)
        drawn_here = strips and out is not None and out.suffix.lower() == ".html"
        told = writers.deliver(paper, out, strips_of(catalogue, paper.places) if drawn_here else None)
        return told if out is None else f"{'; '.join(one.summary for one in comparisons)}: {out}"
    drawn = strips_of(catalogue, first.refs) if strips and writer is _write_html else {}
    # The ending stays last: xlsxwriter looks at it.
    unfinished = out.with_name(f".{out.stem}.part{out.suffix}")
    try:
        writer(first, drawn, unfinished)
        unfinished.replace(out)
    except OSError as error:
        raise UsageError(
            f"cannot be written ({error.strerror or error}); choose another place", file=str(out)
        ) from error
    finally:
        unfinished.unlink(missing_ok=True)
    return f"{first.summary}: {out}"
