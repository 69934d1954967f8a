"""The fleet's answers to where they are wanted: rows of meters as CSV, all else from one report."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from firstcap.app.fleet.paper import FLEET_CAUTIONS, fleet_paper
from firstcap.app.report.notes import write_notes
from firstcap.app.report.paper import CAUTIONS
from firstcap.app.report.strips import strips_of
from firstcap.app.report.writers import WRITERS, markdown
from firstcap.app.report.writers import deliver as deliver_paper
from firstcap.schema.errors import UsageError
from firstcap.schema.fleet import Assumption, CoverDoubt
from firstcap.store.catalogue import Catalogue
from firstcap.store.cover import cover_sums, write_cover, write_problems
from firstcap.store.names import written_names

_ROWS = ".csv"
_MEANINGS = {word.value: word.meaning for kind in (CoverDoubt, Assumption) for word in kind}


def checked(outs: Sequence[Path]) -> None:
    """Refuse an unknown ending before the work is done."""
    for out in outs:
        if out.suffix.lower() not in (_ROWS, *WRITERS):
            raise UsageError(
                f"no such format of report; end the name in one of {_ROWS}, {', '.join(WRITERS)}", file=str(out)
            )


def deliver(catalogue: Catalogue, day: date, outs: Sequence[Path], *, include_proposed: bool = False) -> str:
    """Write every file asked for; the text to print is the report itself where none is."""
    told: list[str] = []
    more: dict[str, str] = {}
    for out in outs:
        if out.suffix.lower() == _ROWS:
            count = write_cover(catalogue, day, out, include_proposed=include_proposed)
            rest = out.with_name(f"{out.stem}.not-used{_ROWS}")
            lines = write_problems(catalogue, rest)
            notes = write_notes(out, (*FLEET_CAUTIONS, *CAUTIONS), _MEANINGS)
            more.update(cover=out.name, problems=rest.name)
            told.append(
                f"{count:,} rows of meters and promises written to {out}; {lines:,} of what was not used to {rest}, "
                f"cautions and the meaning of words to {notes}"
            )
    papers = [out for out in outs if out.suffix.lower() != _ROWS]
    if papers or not outs:
        names = written_names(catalogue)
        with_details = any(out.suffix.lower() == ".xlsx" for out in papers)
        with cover_sums(catalogue, day, include_proposed=include_proposed) as sums:
            paper = fleet_paper(sums, names, include_proposed=include_proposed, more=more)
            full = (
                fleet_paper(sums, names, include_proposed=include_proposed, more=more, details=True)
                if with_details
                else paper
            )
        for out in papers:
            drawn = strips_of(catalogue, paper.places) if out.suffix.lower() == ".html" else None
            told.append(deliver_paper(full if out.suffix.lower() == ".xlsx" else paper, out, drawn))
        if not outs:
            told.append(markdown(paper))
    return "\n".join(told)
