"""`firstcap compare`: the comparison for one meter size, printed or written as a page, a spreadsheet or Markdown.

The library call does all the command does.
"""

from collections.abc import Callable
from pathlib import Path

from firstcap.app.report.comparison import Comparison, compare
from firstcap.app.report.rows import Views, load
from firstcap.schema.errors import UsageError


def _write_html(comparison: Comparison, out: Path) -> None:
    from firstcap.app.report.page import html

    out.write_text(html(comparison), encoding="utf-8")


def _write_markdown(comparison: Comparison, out: Path) -> None:
    from firstcap.app.report.markdown import markdown

    out.write_text(markdown(comparison), encoding="utf-8")


def _write_xlsx(comparison: Comparison, out: Path) -> None:
    from firstcap.app.report.xlsx import write_xlsx

    write_xlsx(comparison, out)


WRITERS: dict[str, Callable[[Comparison, Path], None]] = {
    ".html": _write_html,
    ".xlsx": _write_xlsx,
    ".md": _write_markdown,
}


def write_comparison(catalogue: Views, size: str, out: Path | None = None) -> str:
    """Compare what the catalogue holds for `size`; the text to print.

    Without `out` that is the comparison itself, as Markdown. With `out` the file is written, in the format its name
    ends in, and appears whole or not at all; the text says in one line what was compared and where it stands.
    UsageError for a size the catalogue does not name, for another ending, and for a place that cannot be written.
    """
    writer = None if out is None else _writer(out)
    comparison = compare(load(catalogue, size))
    if out is None or writer is None:
        from firstcap.app.report.markdown import markdown

        return markdown(comparison)
    # The ending stays last: xlsxwriter looks at it.
    unfinished = out.with_name(f".{out.stem}.part{out.suffix}")
    try:
        writer(comparison, unfinished)
        unfinished.replace(out)
    except OSError as error:
        raise UsageError(
            f"cannot be written ({error.strerror or error}); choose another place", file=str(out)
        ) from error
    finally:
        unfinished.unlink(missing_ok=True)
    return f"{comparison.summary}: {out}"


def _writer(out: Path) -> Callable[[Comparison, Path], None]:
    try:
        return WRITERS[out.suffix.lower()]
    except KeyError:
        endings = ", ".join(WRITERS)
        raise UsageError(f"no such format of comparison; end the name in one of {endings}", file=str(out)) from None
