"""Whether what claims to be sure is right: the reliability diagram and the Brier score, on documents never fitted.

usage: python bench/reliability.py [FOLDER …] [--revision REV] [--out docs/reliability.svg] [--json FILE]

Reads the labelled documents as `firstcap read` does, scans too, and sets the confidence of every term beside whether it
and all its numbers are right (bench/scoring.py). Documents that fixtures/README.md marks `held_out` are one part, all
others another. The diagram shows, for each step of claimed confidence, how many of its terms are right, with the 95 %
interval of Wilson (1927), and how many terms there are. The Brier score (Brier, 1950) is the mean square of claim minus
outcome: 0 is perfect, and always claiming the overall share of right terms is the score to beat.
"""

import argparse
import itertools
import json
from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt
from pathlib import Path
from typing import Any
from xml.sax.saxutils import escape

from reading import FIXTURES, scores, uses
from readings import ROOT
from scoring import SURE, JudgedTerm

STEPS = (0.0, 0.25, 0.5, 0.7, 0.8, 0.9, 0.95, 1.0)


@dataclass(frozen=True, slots=True)
class Step:
    """The terms that claim `low` to `high`: their mean claim, how many there are and how many are right."""

    low: float
    high: float
    claimed: float
    terms: int
    right: int

    @property
    def share(self) -> float:
        return self.right / self.terms

    @property
    def interval(self) -> tuple[float, float]:
        return wilson(self.right, self.terms)


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the documents and what its terms claim."""

    name: str
    documents: int
    terms: tuple[JudgedTerm, ...]

    @property
    def brier(self) -> float:
        return sum((term.confidence - term.right) ** 2 for term in self.terms) / len(self.terms)

    @property
    def blunt(self) -> float:
        """The score of always claiming the share of right terms."""
        share = sum(term.right for term in self.terms) / len(self.terms)
        return share * (1 - share)

    @property
    def steps(self) -> list[Step]:
        return steps(self.terms)

    def told(self) -> dict[str, Any]:
        sure = [term for term in self.terms if term.confidence >= SURE]
        return {
            "documents": self.documents,
            "terms": len(self.terms),
            "brier": round(self.brier, 4),
            "brier_of_the_share": round(self.blunt, 4),
            "sure": len(sure),
            "sure_and_right": sum(term.right for term in sure),
            "steps": [
                {
                    "from": one.low,
                    "to": one.high,
                    "claimed": round(one.claimed, 4),
                    "terms": one.terms,
                    "right": one.right,
                }
                for one in self.steps
            ],
        }


def steps(terms: Sequence[JudgedTerm]) -> list[Step]:
    """The steps in which there is any term; the highest takes in 1."""
    found = []
    for low, high in itertools.pairwise(STEPS):
        inside = [term for term in terms if low <= term.confidence < high or (high == 1.0 and term.confidence == 1.0)]
        if inside:
            claimed = sum(term.confidence for term in inside) / len(inside)
            found.append(Step(low, high, claimed, len(inside), sum(term.right for term in inside)))
    return found


def wilson(right: int, terms: int, z: float = 1.96) -> tuple[float, float]:
    """The interval in which the true share lies 95 times in 100 (Wilson score interval)."""
    share = right / terms
    middle = (share + z * z / (2 * terms)) / (1 + z * z / terms)
    half = z * sqrt(share * (1 - share) / terms + z * z / (4 * terms * terms)) / (1 + z * z / terms)
    return max(0.0, middle - half), min(1.0, middle + half)


def parts(folders: list[Path], revision: str | None = None) -> list[Part]:
    """The documents never fitted, and the others."""
    kept = {name for name, use in uses().items() if use == "held_out"}
    per = scores(folders, revision=revision)
    found = []
    for name, chosen in (("Held out", True), ("All others", False)):
        documents = [score for document, score in per.items() if (document in kept) is chosen]
        terms = tuple(term for score in documents for term in score.terms)
        if terms:
            found.append(Part(name, len(documents), terms))
    return found


# ---- the picture ----------------------------------------------------------------------------------------------------

_SIDE, _LEFT, _TOP, _GAP, _BARS = 300, 62, 74, 84, 70
_INK, _PALE, _DOT, _TEXT = "#33414e", "#d5dbe1", "#1f6f8b", "#22303c"


def picture(found: Sequence[Part]) -> str:
    """One square for each part, claims across and right answers up, with the number of terms below."""
    width = _LEFT + len(found) * (_SIDE + _GAP)
    height = _TOP + _SIDE + _BARS + 96
    told = "; ".join(f"{part.name}: {len(part.terms)} terms, Brier score {part.brier:.3f}" for part in found)
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" font-family="sans-serif" '
        f'font-size="12" fill="{_TEXT}">',
        f"<title>{escape('How often a term is right, by the confidence it claims')}</title>",
        f"<desc>{escape(told)}</desc>",
        f'<rect width="{width}" height="{height}" fill="#ffffff"/>',
    ]
    for index, part in enumerate(found):
        lines += _square(part, _LEFT + index * (_SIDE + _GAP))
    return "\n".join([*lines, "</svg>"]) + "\n"


def _square(part: Part, left: int) -> list[str]:
    bottom = _TOP + _SIDE

    def at(claimed: float, share: float) -> tuple[float, float]:
        return round(left + claimed * _SIDE, 1), round(bottom - share * _SIDE, 1)

    brier = f"Brier score {part.brier:.3f} (always claiming the share of right ones: {part.blunt:.3f})"
    lines = [
        _text(left, _TOP - 44, f"{part.name}: {part.documents} documents, {len(part.terms)} terms", size=15, bold=True),
        _text(left, _TOP - 24, brier),
        f'<rect x="{left}" y="{_TOP}" width="{_SIDE}" height="{_SIDE}" fill="none" stroke="{_PALE}"/>',
    ]
    for tick in (0.0, 0.25, 0.5, 0.75, 1.0):
        x, y = at(tick, tick)
        lines += [
            f'<line x1="{left}" y1="{y}" x2="{left + _SIDE}" y2="{y}" stroke="{_PALE}" stroke-width="0.6"/>',
            _text(left - 8, y + 4, f"{tick:.0%}", anchor="end"),
            _text(x, bottom + _BARS + 34, f"{tick:.0%}", anchor="middle"),
        ]
    (x0, y0), (x1, y1) = at(0, 0), at(1, 1)
    lines.append(f'<line x1="{x0}" y1="{y0}" x2="{x1}" y2="{y1}" stroke="{_INK}" stroke-dasharray="4 4"/>')
    x, _ = at(SURE, 0)
    lines += [
        f'<line x1="{x}" y1="{_TOP}" x2="{x}" y2="{bottom}" stroke="{_INK}" stroke-width="0.6"/>',
        _text(x - 5, bottom - 8, "sure", anchor="end"),
    ]
    most = max(step.terms for step in part.steps)
    for step in part.steps:
        x, y = at(step.claimed, step.share)
        low, high = (at(0, share)[1] for share in step.interval)
        lines += [
            f'<line x1="{x}" y1="{low}" x2="{x}" y2="{high}" stroke="{_DOT}" stroke-width="2" opacity="0.55"/>',
            f'<circle cx="{x}" cy="{y}" r="4.5" fill="{_DOT}"/>',
        ]
        (from_x, _), (to_x, _) = at(step.low, 0), at(step.high, 0)
        tall = round(max(2.0, step.terms / most * (_BARS - 26)), 1)
        top = bottom + 4 + _BARS - tall
        lines += [
            f'<rect x="{from_x + 1}" y="{top}" width="{round(to_x - from_x - 2, 1)}" height="{tall}" fill="{_PALE}"/>',
            _text((from_x + to_x) / 2, top - 4, str(step.terms), anchor="middle", size=10),
        ]
    lines += [
        _text(left + _SIDE / 2, bottom + _BARS + 54, "confidence claimed, and terms that claim it", anchor="middle"),
        f'<g transform="translate({left - 46} {_TOP + _SIDE / 2}) rotate(-90)">'
        f"{_text(0, 0, 'right in every number', anchor='middle')}</g>",
    ]
    return lines


def _text(x: float, y: float, words: str, *, anchor: str = "start", size: int = 12, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x}" y="{y}" text-anchor="{anchor}" font-size="{size}"{weight}>{escape(words)}</text>'


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="*", type=Path, default=FIXTURES)
    parser.add_argument("--revision", help="read with the code of this revision instead of the working tree")
    parser.add_argument("--out", type=Path, default=ROOT / "docs" / "reliability.svg")
    parser.add_argument("--json", type=Path)
    options = parser.parse_args()
    found = parts(options.folders, options.revision)
    for part in found:
        print(f"{part.name}: {part.documents} documents, {len(part.terms)} terms")
        print(f"  Brier score {part.brier:.4f} (always claiming the share of right ones: {part.blunt:.4f})")
        print("  claimed          terms  right   95 % interval")
        for step in part.steps:
            low, high = step.interval
            print(f"  {step.low:.2f} to {step.high:.2f} {step.terms:9}  {step.share:.3f}   {low:.3f} to {high:.3f}")
    options.out.write_text(picture(found), encoding="utf-8")
    if options.json:
        options.json.write_text(json.dumps({part.name: part.told() for part in found}, indent=1) + "\n")


if __name__ == "__main__":
    main()
