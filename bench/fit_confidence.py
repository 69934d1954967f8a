"""Fits the weights of extract/confidence.toml: a logistic regression on labelled terms, parted by document.

usage: python bench/fit_confidence.py [--write] FOLDER…

Two kinds of terms are fitted to: those of bench/first_contact.json, read before anything was learnt from their
documents, and those of the folders (NAME.pdf with NAME.gold.json), which the reader has learnt from and which count for
little. Documents that fixtures/README.md marks `held_out` are never fitted. Prints the Brier score and a reliability
table for each kind; of the first readings each document is claimed by weights fitted to all others.
"""

import argparse
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from first_contact import Contact, contacts
from labels import Labelled, labelled
from scipy.optimize import minimize

from firstcap.extract.confidence import WEIGHTS_FILE, Features, logistic

ROOT = Path(__file__).resolve().parent.parent
RIDGE = 0.1  # keeps rare features from claiming more than their few examples show
LEARNT = 0.1  # what a term counts whose document the reader has learnt from, beside one at its first reading
# What the first readings kept cannot show yet: a number left unread near a promise, a prorated stage spoken of and not
# read, or no word known for the promise, speaks against it by enough to keep it from being sure.
FLOORS = {"unread": 1.8, "stage_words": 1.8, "loose": 1.8}


def held_out() -> frozenset[str]:
    rows = (ROOT / "fixtures" / "README.md").read_text().splitlines()
    return frozenset(match[1] for row in rows if "held_out" in row and (match := re.match(r"\|\s*\[?`?(\w+)", row)))


def fit(first: Sequence[Contact], learnt: Sequence[Labelled]) -> dict[str, float]:
    """Weights by feature name and the intercept; every feature speaks against a term or not at all."""
    names = Features.names()
    items = [*first, *learnt]
    x = np.array([item.features.vector() for item in items])
    y = np.array([item.right for item in items], dtype=float)
    counts = np.array([1.0] * len(first) + [LEARNT] * len(learnt))

    def loss(w: np.ndarray) -> float:
        z = w[0] - x @ w[1:]
        missed = np.logaddexp(0, -z) * y + np.logaddexp(0, z) * (1 - y)
        return float(np.sum(counts * missed) + RIDGE * np.sum(w[1:] ** 2) / 2)

    start = np.zeros(len(names) + 1)
    floors = [(FLOORS.get(name, 0.0), None) for name in names]
    found = minimize(loss, start, method="L-BFGS-B", bounds=[(None, None), *floors])
    return {"intercept": round(float(found.x[0]), 3)} | {
        name: round(float(weight), 3) for name, weight in zip(names, found.x[1:], strict=True)
    }


def crossed(first: Sequence[Contact], learnt: Sequence[Labelled]) -> list[float]:
    """The confidence of each first reading by weights fitted without its document."""
    weights = {
        document: fit([one for one in first if one.document != document], learnt)
        for document in {one.document for one in first}
    }
    return [logistic(one.features, weights[one.document]) for one in first]


def report(title: str, items: Sequence[Contact | Labelled], claims: Sequence[float]) -> None:
    if not items:
        return
    chance = np.array(claims)
    right = np.array([item.right for item in items], dtype=float)
    print(
        f"\n{title}: {len(items)} terms of {len({item.document for item in items})} documents, {right.mean():.3f} right"
    )
    blunt = right.mean() * (1 - right.mean())
    print(f"Brier score {np.mean((chance - right) ** 2):.4f} (always saying the share: {blunt:.4f})")
    print("claimed        terms   right")
    for low, high in ((0, 0.5), (0.5, 0.7), (0.7, 0.8), (0.8, 0.9), (0.9, 0.95), (0.95, 1.01)):
        inside = (chance >= low) & (chance < high)
        if inside.any():
            print(f"{low:.2f} to {min(high, 1):.2f}  {inside.sum():6d}   {right[inside].mean():.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--write", action="store_true", help="write the weights to extract/confidence.toml")
    arguments = parser.parse_args()
    kept = held_out()
    first = list(contacts())
    met = {one.document for one in first}
    items = [item for folder in arguments.folders for item in labelled(folder)]
    learnt = [item for item in items if item.document not in kept | met]
    weights = fit(first, learnt)
    for name, weight in weights.items():
        print(f"{name:18} {weight:7.3f}")
    report("first readings, each by the others", first, crossed(first, learnt))
    report("learnt from", learnt, [logistic(item.features, weights) for item in learnt])
    unseen = [item for item in items if item.document in kept - met]
    report("held out", unseen, [logistic(item.features, weights) for item in unseen])
    if arguments.write:
        lines = [f"{name} = {weight}" for name, weight in weights.items()]
        note = "# Fitted by bench/fit_confidence.py; a positive weight speaks against a term. Do not edit by hand.\n"
        WEIGHTS_FILE.write_text(note + "\n".join(lines) + "\n")
        print(f"\nwritten: {WEIGHTS_FILE.name}")


if __name__ == "__main__":
    main()
