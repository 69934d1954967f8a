"""Keeps how terms of documents never seen before were read: what spoke for and against each, and whether it was right.

usage: python bench/first_contact.py BATCH FOLDER

Run it once on a batch of labelled documents, before anything is learnt from them; the batch then stands in
bench/first_contact.json, which fit_confidence.py fits to. Once a document has been learnt from, its terms are nearly
all right and no longer show how a reading fails.
"""

import argparse
import json
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from pathlib import Path

from labels import labelled

from firstcap.extract.confidence import Features

KEPT = Path(__file__).with_suffix(".json")


@dataclass(frozen=True, slots=True)
class Contact:
    """One term at its first reading. Features that came later than the record count as absent."""

    document: str
    features: Features
    right: bool


def contacts() -> Iterator[Contact]:
    """All that are kept, batch by batch."""
    for documents in json.loads(KEPT.read_text()).values():
        for document, terms in documents.items():
            for term in terms:
                yield Contact(document, Features(**term["features"]), term["right"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("batch")
    parser.add_argument("folder", type=Path)
    arguments = parser.parse_args()
    batches = json.loads(KEPT.read_text()) if KEPT.exists() else {}
    if arguments.batch in batches:
        parser.error(f"{arguments.batch} was read before; a first reading is kept as it was")
    batch: dict[str, list[dict[str, object]]] = {}
    for item in labelled(arguments.folder):
        told = {name: value for name, value in asdict(item.features).items() if value}
        batch.setdefault(item.document, []).append({"right": item.right, "features": told})
    batches[arguments.batch] = batch
    KEPT.write_text(json.dumps(batches, indent=1, sort_keys=True) + "\n")
    terms = [term for documents in batch.values() for term in documents]
    print(f"{len(terms)} terms of {len(batch)} documents kept, {sum(bool(term['right']) for term in terms)} right")


if __name__ == "__main__":
    main()
