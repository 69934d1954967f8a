"""Terms read from labelled documents, each with its features and whether every number of it is right.

A folder holds NAME.pdf and NAME.gold.json (fixtures/README.md tells the format). A term is right when the gold names a
promise of the same size, component, kind and level with the same durations, caps, limits, bands and credits.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scoring import KEY, LATER_NUMBERS, NUMBERS, agree, numbers_of, numeric

from firstcap.extract.assembly.assemble import assemble_explained
from firstcap.extract.confidence import Features
from firstcap.extract.facts import find_facts
from firstcap.extract.kind import is_warranty
from firstcap.extract.layout import build_layout
from firstcap.extract.pdf import open_document
from firstcap.schema.errors import DocumentError
from firstcap.schema.terms import Term


@dataclass(frozen=True, slots=True)
class Labelled:
    document: str
    term: Term
    features: Features
    right: bool


def labelled(folder: Path) -> Iterator[Labelled]:
    """Every term read from the folder's documents that carry text, in order of file name."""
    for gold_path in sorted(folder.glob("*.gold.json")):
        name = gold_path.name.removesuffix(".gold.json")
        gold = json.loads(gold_path.read_text())
        try:
            layout = build_layout(open_document(folder / f"{name}.pdf"))
        except DocumentError:
            continue
        facts, _ = find_facts(layout, name)
        warranty, _ = is_warranty(layout)
        finished, _ = assemble_explained(layout, facts.supplier, is_warranty=warranty)
        spare = list(gold["terms"])
        for item in finished:
            read = numeric(item.term.model_dump(mode="json"))
            match = next((one for one in spare if _is_right(one, read)), None)
            if match is not None:
                spare.remove(match)
            yield Labelled(name, item.term, item.features, match is not None)


def _is_right(gold: dict[str, Any], read: dict[str, Any]) -> bool:
    names = [*KEY, *NUMBERS, *(name for name in LATER_NUMBERS if name in gold)]
    return all(agree(gold, read, name) for name in names) and numbers_of(gold) == numbers_of(read)
