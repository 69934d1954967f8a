"""The score table: how much of what a careful reader takes from documents is read, and how sure it claims to be.

usage: python bench/reading.py [FOLDER …] [--names REGEX] [--source text|scanned] [--use demo|fitting|held_out]
                               [--revision REV] [--worst N] [--each] [--json FILE]

A FOLDER (the fixtures, where none is named) holds NAME.pdf beside NAME.gold.json. bench/scoring.py says what is a fact
and when it is right. `sure` is the share of terms with confidence of at least 0.9, and how many of those are wholly
right in their numbers. A gold whose PDF is missing counts as not read.
"""

import argparse
import json
import re
from pathlib import Path
from typing import Any

from readings import ROOT, readings, told
from scoring import GROUPS, NOTHING, Score, compare, gold_files

FIXTURES = [ROOT / "fixtures" / "documents", ROOT / "fixtures" / "pinyon_ridge"]


def uses() -> dict[str, str]:
    """What fixtures/README.md says each fixture may serve for."""
    table = (ROOT / "fixtures" / "README.md").read_text(encoding="utf-8")
    return dict(re.findall(r"^\| \[(\w+)\]\([^)]*\) \| \w+ \| (\w+) \|", table, re.MULTILINE))


def scores(
    folders: list[Path],
    *,
    names: str = "",
    source: str | None = None,
    use: str | None = None,
    revision: str | None = None,
) -> dict[str, Score]:
    """The score of each document with gold, by name."""
    golds: dict[Path, dict[str, Any]] = {}
    kept = uses() if use else {}
    for folder in folders:
        for name, path in gold_files(folder):
            gold = json.loads(path.read_text(encoding="utf-8"))
            scanned = gold["document"]["text_source"] != "text"
            chosen = re.search(names, name) and source in (None, "scanned" if scanned else "text")
            if chosen and use in (None, kept.get(name)):
                golds[path.with_name(f"{name}.pdf")] = gold
    if not golds:
        raise SystemExit("no gold files found; name a folder that holds NAME.pdf beside NAME.gold.json")
    read = readings([path for path in golds if path.exists()], revision)
    return {
        path.stem: compare(gold, told(read[path]) if path in read else NOTHING)
        for path, gold in sorted(golds.items(), key=lambda item: item[0].name)
    }


def table(score: Score) -> list[str]:
    lines = []
    for group in GROUPS:
        tally = score.tally(group)
        lines.append(
            f"{group:9} P {tally.precision:.4f}  R {tally.recall:.4f}  F1 {tally.f1:.4f}  ({tally.gold} facts)"
        )
    shares = score.shares()["sure"]
    lines.append(f"sure      {shares['share']:.4f} of the terms, {shares['right']:.4f} of those right")
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="*", type=Path, default=FIXTURES)
    parser.add_argument("--names", default="", help="only documents whose name matches")
    parser.add_argument("--source", choices=["text", "scanned"], help="text throughout, or scanned wholly or in part")
    parser.add_argument("--use", choices=["demo", "fitting", "held_out"], help="only fixtures kept for this use")
    parser.add_argument("--revision", help="read with the code of this revision instead of the working tree")
    parser.add_argument(
        "--worst", type=int, default=0, help="every difference of the N documents with the lowest numbers"
    )
    parser.add_argument("--each", action="store_true", help="one line a document")
    parser.add_argument("--json", type=Path)
    options = parser.parse_args()
    per = scores(
        options.folders, names=options.names, source=options.source, use=options.use, revision=options.revision
    )
    total = Score()
    for score in per.values():
        total.add(score)
    lowest = sorted(per, key=lambda name: per[name].tally("numbers").f1)
    for name in lowest[: options.worst]:
        print(f"== {name}: " + ", ".join(f"{group} {per[name].tally(group).f1:.3f}" for group in GROUPS))
        for fact in per[name].facts:
            if not fact.right:
                print(f"   {fact}")
    if options.each:
        print(f"{'':30}" + " ".join(f"{group:>8}" for group in GROUPS) + "   sure right terms")
        for name, score in per.items():
            shares = " ".join(f"{score.tally(group).f1:8.3f}" for group in GROUPS)
            print(f"{name:30}{shares}   " + " ".join(f"{count:5}" for count in score.sure))
    print(f"{len(per)} documents")
    print("\n".join(table(total)))
    if options.json:
        documents = {name: {group: round(score.tally(group).f1, 4) for group in GROUPS} for name, score in per.items()}
        options.json.write_text(json.dumps(total.shares() | {"documents": documents}, indent=1) + "\n")


if __name__ == "__main__":
    main()
