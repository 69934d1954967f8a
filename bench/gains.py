"""What a change of the code gains, loses and changes, document by document, against the last release or any revision.

usage: python bench/gains.py [FOLDER or FILE …] [--against REV] [--revision REV] [--names REGEX] [--quiet] [--json FILE]

Reads every document with the code of both (bench/readings.py keeps what was read) and compares fact by fact:
  gained   wrong or missing before, right now (documents with gold)
  lost     right before, wrong or missing now
  changed  wrong both times, but not in the same way
Documents without gold have `changed value`, `new` and `gone`. Each stands with its quote and page, for a person to
judge. Folders are the fixtures, where none is named. Leaves with 1 where anything was lost, or a wrong term now claims
to be sure.
"""

import argparse
import json
import re
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from reading import FIXTURES
from readings import WORKING, find_files, gold_of, last_release, readings, told
from scoring import SURE, Fact, Score, Values, compare, label

JUDGED = ("gained", "lost", "changed")
UNJUDGED = ("new", "gone", "changed value")


@dataclass(frozen=True, slots=True)
class Change:
    """A fact that the two revisions read differently. `kind` is one of JUDGED or UNJUDGED."""

    kind: str
    group: str
    where: str
    before: Any
    after: Any
    page: int | None
    quote: str
    gold: Any = None

    def __str__(self) -> str:
        place = f"page {self.page}" if self.page else "no place"
        wanted = f" (gold {self.gold!r})" if self.kind in JUDGED else ""
        change = f"{self.before!r} -> {self.after!r}{wanted}"
        return f"{self.kind:13} {self.group:8} {self.where}: {change}; {place}: {self.quote[:160]}"


def judged(gold: Values, before: Values, after: Values) -> list[Change]:
    """Facts whose reading changed, against gold."""
    old, new = ({fact.key: fact for fact in compare(gold, side).facts} for side in (before, after))
    changes = []
    for key in [*old, *(key for key in new if key not in old)]:
        one, other = old.get(key), new.get(key)
        told_by = other or one
        assert told_by is not None
        nothing_asked = told_by.gold is None  # then it is right to read nothing
        was = nothing_asked if one is None else one.right
        now = nothing_asked if other is None else other.right
        unchanged = (None if one is None else one.read) == (None if other is None else other.read)
        if (was and now) or (not was and not now and unchanged):
            continue
        kind = "gained" if now else "lost" if was else "changed"
        changes.append(_change(kind, told_by, one, other))
    return changes


def _change(kind: str, told_by: Fact, one: Fact | None, other: Fact | None) -> Change:
    return Change(
        kind,
        told_by.group,
        told_by.where,
        None if one is None else one.read,
        None if other is None else other.read,
        told_by.page,
        told_by.quote,
        told_by.gold,
    )


def unjudged(before: Values, after: Values) -> list[Change]:
    """Values that changed where nobody has said what is right."""
    changes = []
    for fact in compare(before, after, strict=True).facts:
        if not fact.right:
            kind = "new" if fact.gold is None else "gone" if fact.read is None else "changed value"
            where = fact.where.replace("(not there)", "(new)").replace("(missed)", "(gone)")
            changes.append(Change(kind, fact.group, where, fact.gold, fact.read, fact.page, fact.quote))
    return changes


def surely_wrong(score: Score) -> Counter[str]:
    return Counter(term.where for term in score.terms if term.confidence >= SURE and not term.right)


def surer(before: Values, after: Values) -> tuple[list[str], list[str]]:
    """Terms that claim to be sure now and did not, and the other way round."""
    old, new = (
        Counter(label(term) for term in side["terms"] if (term.get("confidence") or 0) >= SURE)
        for side in (before, after)
    )
    return sorted((new - old).elements()), sorted((old - new).elements())


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("places", nargs="*", type=Path, default=FIXTURES)
    parser.add_argument("--against", help="revision to compare with; the last release where not given")
    parser.add_argument("--revision", help="compare this revision instead of the working tree")
    parser.add_argument("--names", default="", help="only documents whose name matches")
    parser.add_argument("--quiet", action="store_true", help="counts only")
    parser.add_argument("--json", type=Path)
    options = parser.parse_args()
    against = options.against or last_release()
    files = [path for path in find_files(options.places) if re.search(options.names, path.stem)]
    if not files:
        raise SystemExit("no PDF found; name a folder or a file")
    old, new = readings(files, against), readings(files, options.revision)
    print(f"{options.revision or WORKING} against {against[:12]}: {len(files)} documents")
    counts: dict[str, Counter[str]] = {}
    sure_wrong: dict[str, list[str]] = {}
    out: dict[str, list[dict[str, Any]]] = {}
    for path in files:
        gold, before, after = gold_of(path), told(old[path]), told(new[path])
        changes = judged(gold, before, after) if gold else unjudged(before, after)
        lines = [f"   {change}" for change in changes]
        failures = [f"{side.get('failed')}: {side.get('message')}" for side in (old[path], new[path])]
        if failures[0] != failures[1]:
            lines.insert(0, f"   failure: {failures[0]} -> {failures[1]}")
        up, down = surer(before, after)
        lines += [f"   surer now: {where}" for where in up] + [f"   less sure now: {where}" for where in down]
        if gold:
            worse = surely_wrong(compare(gold, after)) - surely_wrong(compare(gold, before))
            if worse:
                sure_wrong[path.stem] = sorted(worse.elements())
                lines += [f"   SURE AND WRONG now: {where}" for where in sorted(worse.elements())]
        counts[path.stem] = Counter(change.kind for change in changes)
        out[path.stem] = [{name: getattr(change, name) for name in Change.__slots__} for change in changes]
        if lines and not options.quiet:
            print(f"== {path.stem}{'' if gold else ' (no gold)'}")
            print("\n".join(lines))
    _summary(counts, sure_wrong)
    if options.json:
        options.json.write_text(
            json.dumps({"documents": out, "sure_and_wrong": sure_wrong}, indent=1, default=str) + "\n"
        )
    return int(bool(sure_wrong) or any(count["lost"] for count in counts.values()))


def _summary(counts: dict[str, Counter[str]], sure_wrong: dict[str, list[str]]) -> None:
    total = sum(counts.values(), Counter[str]())
    for kind in (*JUDGED, *UNJUDGED):
        documents = sum(bool(count[kind]) for count in counts.values())
        print(f"{kind:13} {total[kind]:5} facts in {documents} documents")
    same = sum(not count for count in counts.values())
    better = sum(count["gained"] > count["lost"] for count in counts.values())
    worse = sum(count["lost"] > count["gained"] for count in counts.values())
    print(f"documents: {len(counts)} read, {same} alike, {better} better, {worse} worse", end="; ")
    print(f"{sum(map(len, sure_wrong.values()))} terms newly sure and wrong")


if __name__ == "__main__":
    sys.exit(main())
