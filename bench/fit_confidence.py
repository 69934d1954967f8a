"""Fits the weights of extract/confidence.toml: a logistic regression on labelled documents, parted by document.

usage: python bench/fit_confidence.py [--write] FOLDER…

Folders hold NAME.pdf with NAME.gold.json. Documents that fixtures/README.md marks `held_out` are never fitted; with
`--check FOLDER` others are kept for the check too. Prints the Brier score and a reliability table for both parts.
"""

import argparse
import re
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from labels import Labelled, labelled
from scipy.optimize import minimize

from firstcap.extract.confidence import WEIGHTS_FILE, Features, logistic

ROOT = Path(__file__).resolve().parent.parent
RIDGE = 0.3  # keeps rare features from claiming more than their few examples show
# What the documents fitted on cannot show, as their misses were learnt from: that a number left unread near a promise
# speaks against it, by enough to keep it from being sure.
FLOORS = {"unread": 0.8, "stage_words": 0.8}


def held_out() -> frozenset[str]:
    rows = (ROOT / "fixtures" / "README.md").read_text().splitlines()
    return frozenset(match[1] for row in rows if "held_out" in row and (match := re.match(r"\|\s*\[?`?(\w+)", row)))


def fit(items: Sequence[Labelled]) -> dict[str, float]:
    """Weights by feature name and the intercept; every feature speaks against a term or not at all."""
    names = Features.names()
    x = np.array([item.features.vector() for item in items])
    y = np.array([item.right for item in items], dtype=float)

    def loss(w: np.ndarray) -> float:
        z = w[0] - x @ w[1:]
        return float(np.sum(np.logaddexp(0, -z) * y + np.logaddexp(0, z) * (1 - y)) + RIDGE * np.sum(w[1:] ** 2) / 2)

    start = np.zeros(len(names) + 1)
    floors = [(FLOORS.get(name, 0.0), None) for name in names]
    found = minimize(loss, start, method="L-BFGS-B", bounds=[(None, None), *floors])
    return {"intercept": round(float(found.x[0]), 3)} | {
        name: round(float(weight), 3) for name, weight in zip(names, found.x[1:], strict=True)
    }


def report(title: str, items: Sequence[Labelled], weights: dict[str, float]) -> None:
    if not items:
        return
    chance = np.array([logistic(item.features, weights) for item in items])
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
    items = [item for folder in arguments.folders for item in labelled(folder)]
    fitted = [item for item in items if item.document not in kept]
    weights = fit(fitted)
    for name, weight in weights.items():
        print(f"{name:18} {weight:7.3f}")
    report("fitted on", fitted, weights)
    report("held out", [item for item in items if item.document in kept], weights)
    if arguments.write:
        lines = [f"{name} = {weight}" for name, weight in weights.items()]
        note = "# Fitted by bench/fit_confidence.py; a positive weight speaks against a term. Do not edit by hand.\n"
        WEIGHTS_FILE.write_text(note + "\n".join(lines) + "\n")
        print(f"\nwritten: {WEIGHTS_FILE.name}")


if __name__ == "__main__":
    main()
