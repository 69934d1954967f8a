"""Does a confidence fitted to decisions hold on documents it has not seen? Decisions are taken from labels.

usage: python bench/recalibrate.py FOLDER…

Folders hold NAME.pdf with NAME.gold.json. Documents are dealt into parts; each part's terms are judged by a fit to the
others (many decisions) and each part's fit judges the others (few). Prints the Brier score of the confidence as read
and as calibrated, for several pulls on the patterns.
"""

import argparse
from pathlib import Path

import numpy as np
from labels import labelled

from firstcap.app.learn import recalibrate
from firstcap.app.learn.recalibrate import Example, fit
from firstcap.extract.confidence import patterns_of

PARTS = 10
PULLS = (0.5, 2.0, 5.0, 10.0, 20.0, 1000.0)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("folders", nargs="+", type=Path)
    found = [item for folder in parser.parse_args().folders for item in labelled(folder)]
    documents = sorted({item.document for item in found})
    part = {name: place % PARTS for place, name in enumerate(documents)}
    told = [
        (part[item.document], Example(f"{turn:06}", item.term.confidence, patterns_of(item.term), item.right))
        for turn, item in enumerate(found)
    ]
    right = np.array([one.right for _, one in told], dtype=float)
    read = np.array([one.read for _, one in told])
    print(f"{len(told)} terms of {len(documents)} documents, {right.mean():.3f} right")
    print(f"as read                {np.mean((read - right) ** 2):.4f}")
    for pull in PULLS:
        recalibrate.PATTERN_PULL = pull
        scores = []
        for many in (True, False):
            errors = []
            for turn in range(PARTS):
                calibration = fit([one for home, one in told if (home != turn) is many]).calibration
                judged = [one for home, one in told if (home == turn) is many]
                errors += [(calibration.confidence(one.read, one.patterns) - one.right) ** 2 for one in judged]
            scores.append(f"{np.mean(errors):.4f}")
        print(f"calibrated, pull {pull:6.1f} {scores[0]} by many decisions, {scores[1]} by few")


if __name__ == "__main__":
    main()
