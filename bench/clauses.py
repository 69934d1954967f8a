"""How well clauses and document facts are read: per kind and per fact, on a folder with gold.

usage: bench/clauses.py FOLDER [--names REGEX] [--source text|scanned] [--differences]

FOLDER holds NAME.pdf beside NAME.gold.json (`document`, `exclusions`, `duties`, `conditions`, as fixtures/README.md
describes). Kinds count once per document; `other` is not counted; a duty counts with its days.
"""

import argparse
import json
import re
import sys
from collections import Counter
from pathlib import Path
from typing import Any

from firstcap.extract.clauses import find_clauses
from firstcap.extract.facts import find_facts
from firstcap.extract.kind import is_warranty
from firstcap.extract.layout import build_layout
from firstcap.extract.pdf import open_document

FACTS = ("supplier", "document_code", "revision", "effective_from")


def plain(value: object) -> str:
    return re.sub(r"[^a-z0-9]+", " ", str(value).lower()).strip()


def agrees(field: str, gold: object, read: object) -> bool:
    if gold is None or read is None:
        return gold is None and read is None
    if field == "supplier":
        left, right = set(plain(gold).split()), set(plain(read).split())
        return left <= right or right <= left
    return plain(gold) == plain(read)


def compare(pdf: Path, gold: dict[str, Any]) -> tuple[dict[str, list[int]], list[str]]:
    """Per kind [right, read, gold] and the differences of one document."""
    layout = build_layout(open_document(pdf))
    clauses = find_clauses(layout)
    facts, _ = find_facts(layout, pdf.name)
    tally: dict[str, list[int]] = {}
    notes = []

    def count(name: str, wanted: Counter[Any], found: Counter[Any]) -> None:
        for key in wanted | found:
            label = f"{name} {key[0] if isinstance(key, tuple) else key}"
            row = tally.setdefault(label, [0, 0, 0])
            row[0] += min(wanted[key], found[key])
            row[1] += found[key]
            row[2] += wanted[key]
            if wanted[key] != found[key]:
                quote = next(
                    (
                        c.quote
                        for c in (*clauses.exclusions, *clauses.duties, *clauses.conditions)
                        if c.kind.value in label.split()
                    ),
                    "",
                )
                notes.append(f"{'missed' if wanted[key] else 'extra'} {name} {key}  {quote[:150]}")

    ignored = {"other", *(gold.get("exclusions_accept") or [])}
    count(
        "exclusion",
        Counter(set(gold.get("exclusions") or []) - ignored),
        Counter({c.kind.value for c in clauses.exclusions} - ignored),
    )
    count(
        "duty",
        Counter({(d["kind"], d.get("days")) for d in gold.get("duties") or [] if d["kind"] != "other"}),
        Counter({(d.kind.value, d.days) for d in clauses.duties if d.kind.value != "other"}),
    )
    if "conditions" in gold:
        count(
            "condition",
            Counter(set(gold["conditions"]) - {"other"}),
            Counter({c.kind.value for c in clauses.conditions} - {"other"}),
        )
    accepted = gold["document"].get("accept") or {}
    for field in FACTS:
        wanted, read = gold["document"].get(field), getattr(facts, field)
        if any(agrees(field, other, read) for other in accepted.get(field, [])):
            wanted = read
        if wanted is None and read is None:
            continue
        row = tally.setdefault(f"document {field}", [0, 0, 0])
        row[0] += agrees(field, wanted, read)
        row[1] += read is not None
        row[2] += wanted is not None
        if not agrees(field, wanted, read):
            notes.append(f"document {field}: gold {wanted!r}, read {str(read) if read is not None else None!r}")
    row = tally.setdefault("is_warranty", [0, 0, 0])
    promised = bool(gold.get("terms"))
    row[0] += promised == is_warranty(layout)[0]
    row[1] += 1
    row[2] += 1
    if promised != is_warranty(layout)[0]:
        notes.append(f"is_warranty: gold has {len(gold.get('terms') or [])} terms")
    for field in ("title", "region"):
        if not agrees(field, gold["document"].get(field), getattr(facts, field)):
            notes.append(
                f"  (not scored) {field}: gold {gold['document'].get(field)!r}, read {getattr(facts, field)!r}"
            )
    return tally, notes


def f1(right: int, read: int, gold: int) -> tuple[float, float, float]:
    precision = right / read if read else 1.0
    recall = right / gold if gold else 1.0
    return precision, recall, 2 * precision * recall / (precision + recall) if precision + recall else 0.0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--names", default="")
    parser.add_argument("--source", choices=("text", "scanned"))
    parser.add_argument("--differences", action="store_true")
    options = parser.parse_args()
    total: dict[str, list[int]] = {}
    documents = 0
    for path in sorted(options.folder.glob("*.gold.json")):
        gold = json.loads(path.read_text())
        text = gold["document"].get("text_source", "text") == "text"
        if not re.search(options.names, path.name) or (options.source and text != (options.source == "text")):
            continue
        documents += 1
        tally, notes = compare(path.with_name(path.name.removesuffix(".gold.json") + ".pdf"), gold)
        for key, row in tally.items():
            total[key] = [a + b for a, b in zip(total.get(key, [0, 0, 0]), row, strict=True)]
        if options.differences and notes:
            print(f"== {path.name.removesuffix('.gold.json')}")
            print("\n".join(f"   {note}" for note in notes))
    if not documents:
        print("no gold files found", file=sys.stderr)
        return 2
    print(f"{documents} documents")
    for group in ("exclusion", "duty", "condition", "document", "is_warranty"):
        rows = {key: row for key, row in total.items() if key.startswith(group)}
        whole = [sum(row[i] for row in rows.values()) for i in range(3)]
        precision, recall, score = f1(whole[0], whole[1], whole[2])
        print(f"{group:34} P {precision:.3f}  R {recall:.3f}  F1 {score:.3f}  ({whole[2]})")
        for key in sorted(rows):
            precision, recall, score = f1(rows[key][0], rows[key][1], rows[key][2])
            if score < 1:
                print(f"  {key:32} P {precision:.3f}  R {recall:.3f}  F1 {score:.3f}  ({rows[key][2]})")
    return 0


if __name__ == "__main__":
    sys.exit(main())
