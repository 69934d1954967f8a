"""How well whole readings survive a scan: text documents are spoiled into images, read, and compared with what is read
from their own text, value by value. No gold is needed, and no document was chosen by hand.

`sure` counts the terms that claim at least 0.9 and those of them that agree with the text in every number; each
that does not is printed: it is the worst fault. `made up` counts numbers in sure terms that the text's reading holds
nowhere.

usage: python bench/scans.py [FOLDER …] [--documents N] [--seed N] [--ways scan fax …] [--each]
"""

import argparse
import random
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from readings import ROOT, find_files, readings, told
from scoring import GROUPS, SURE, Score, Values, compare, numbers_of
from spoil import WAYS, as_scan


def values(term: Values) -> set[Any]:
    """The plain numbers of a term."""
    found = {term.get(name) for name in ("duration_months", "full_months", "duration_days", "volume_cap_usgal")}
    for fact in numbers_of(term):
        found.update(value for value in fact if isinstance(value, int | float))
    return {float(f"{value:.4g}") for value in found if isinstance(value, int | float)}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="*", type=Path, default=[ROOT / "fixtures"])
    parser.add_argument("--documents", type=int, default=16, help="how many, drawn by lot with a kept seed")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--ways", nargs="+", default=list(WAYS), choices=WAYS, help="each document is spoiled one way")
    parser.add_argument("--longest", type=int, default=4, help="pages of the longest document taken")
    parser.add_argument("--each", action="store_true", help="print every difference")
    options = parser.parse_args()
    files = find_files(options.folders)
    texts = readings(files)
    usable = [
        path
        for path in files
        if texts[path].get("text_source") == "text" and texts[path]["terms"] and texts[path]["pages"] <= options.longest
    ]
    lot = random.Random(options.seed)
    chosen = lot.sample(usable, min(options.documents, len(usable)))
    print(f"{len(chosen)} of {len(usable)} documents")
    with tempfile.TemporaryDirectory() as folder:
        scans: dict[Path, tuple[Path, str]] = {}
        for place, path in enumerate(chosen):
            how = options.ways[place % len(options.ways)]
            target = Path(folder) / f"{path.stem}.{how}.pdf"
            target.write_bytes(as_scan(path, how, options.seed + place))
            scans[target] = (path, how)
        started = time.perf_counter()
        read = readings(list(scans))
        seconds = time.perf_counter() - started
    scores: dict[str, Score] = {}
    surely_made_up = 0
    for target, (path, how) in scans.items():
        text, scan = told(texts[path]), told(read[target])
        score = compare(text, scan)
        scores.setdefault(how, Score()).add(score)
        known = set().union(*map(values, text["terms"]))
        made_up = [values(term) - known for term in scan["terms"] if term["confidence"] >= SURE]
        surely_made_up += sum(map(len, made_up))
        wrong = [term.where for term in score.terms if term.confidence >= SURE and not term.right]
        if wrong or options.each:
            print(f"== {target.stem}: sure and different: {wrong}, made up: {[sorted(one) for one in made_up if one]}")
            for fact in score.facts:
                if not fact.right and (options.each or fact.group in ("terms", "numbers")):
                    print(f"   {fact}")
    print(f"{'':8}", *(f"{group:>9}" for group in GROUPS), "   sure  agree  terms")
    total = Score()
    for how, score in [*scores.items(), ("all", total)]:
        if how != "all":
            total.add(score)
        counts = " ".join(f"{count:6d}" for count in score.sure)
        print(f"{how:8}", *(f"{score.tally(group).f1:9.4f}" for group in GROUPS), counts)
    print(f"numbers made up in sure terms: {surely_made_up}; {seconds:.0f} s in two processes", file=sys.stderr)


if __name__ == "__main__":
    main()
