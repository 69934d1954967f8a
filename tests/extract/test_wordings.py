"""Promises in the words of many hands: lawyers, foundries, distributors, writers of bids, makers in four languages.

Every text and number is invented. Each row of `wordings.csv` says why it is there; " // " ends a paragraph; "-" stands
beside what only sounds like a promise.
"""

from pathlib import Path

import pytest
from papers import paper

from firstcap.extract.assembly.assemble import assemble
from firstcap.extract.kind import is_warranty
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import Ends, StartRule

_REMEDIES = {"repair_or_replace": "repair/replace", "repair_replace_or_refund": "repair/replace/refund"}


def written(term: Term, *, remedy: bool = True) -> str:
    """`size component promise level months volume ends start rule band remedy`, what is missing left out."""
    starts = "+".join(
        f"{start.event}{f'({start.plus_months:g})' if start.plus_months else ''}" for start in term.starts
    )
    times = "/".join(
        f"{limit.days} days" if limit.days else f"{limit.months:g}" for limit in term.limits if limit.usgal is None
    )
    words = [
        term.size_label or "",
        str(term.component),
        str(term.promise),
        str(term.accuracy_level or ""),
        times,
        f"full {term.full_months:g}" if term.full_months != term.duration_months and term.full_months else "",
        f"{term.volume_cap_usgal:.0f} gal" if term.volume_cap_usgal else "",
        "" if term.ends is Ends.TIME_ONLY else str(term.ends),
        f"of {term.life_of}" if term.life_of else "",
        starts,
        "" if term.start_rule in (None, StartRule.SINGLE) else str(term.start_rule),
        " ".join(f"[{band.lower_pct or ''}-{band.upper_pct or ''}]" for band in term.bands if band.basis == "stated"),
        f"-> {_REMEDIES.get(term.remedy, term.remedy)}" if term.remedy and remedy else "",
    ]
    return " ".join(word for word in words if word)


def said(text: str, *, remedy: bool = True) -> str:
    layout = paper("# Limited Warranty\n\n" + text.replace(" // ", "\n\n"))
    terms, _ = assemble(layout, None, is_warranty=is_warranty(layout)[0])
    return " ; ".join(written(term, remedy=remedy) for term in terms) or "-"


ROWS = [line.split("|") for line in (Path(__file__).parent / "wordings.csv").read_text("utf-8").splitlines()[1:]]
REAL = "Registers are warranted against defects in material and workmanship for 10 years from shipment."


@pytest.mark.parametrize(("text", "expected", "reason"), [pytest.param(*row, id=row[0][:50]) for row in ROWS])
def test_a_promise_is_read_in_any_hand(text: str, expected: str, reason: str) -> None:
    if expected == "-":  # beside a real promise, so that the paper as a whole is a warranty
        assert said(f"{REAL} // {text}", remedy=False) == said(REAL, remedy=False), reason
    else:
        assert said(text) == expected, reason
