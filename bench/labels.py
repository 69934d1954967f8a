"""Terms read from labelled documents, each with its features and whether every number of it is right.

A folder holds NAME.pdf and NAME.gold.json (fixtures/README.md tells the format). A term is right when the gold names a
promise of the same size, component, kind and level with the same durations, caps, limits, bands and credits.
"""

import json
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from firstcap.extract.assembly.assemble import assemble_explained
from firstcap.extract.confidence import Features
from firstcap.extract.facts import find_facts
from firstcap.extract.kind import is_warranty
from firstcap.extract.layout import build_layout
from firstcap.extract.pdf import open_document
from firstcap.schema.errors import DocumentError
from firstcap.schema.terms import Term

_KEY = ("size_label", "component", "promise", "accuracy_level")


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
            match = next(
                (one for one in spare if _same_promise(one, item.term) and _same_numbers(one, item.term)), None
            )
            if match is not None:
                spare.remove(match)
            yield Labelled(name, item.term, item.features, match is not None)


def _same_promise(gold: dict[str, Any], term: Term) -> bool:
    return all(_allowed(gold, key, getattr(term, key)) for key in _KEY)


def _allowed(gold: dict[str, Any], key: str, value: object) -> bool:
    others = (gold.get("accept") or {}).get(key) or []
    return any(_equal(one, value) for one in (gold.get(key), *others))


def _equal(left: Any, right: Any) -> bool:
    if left is None or right is None:
        return left is None and right is None
    try:
        a, b = float(left), float(right)
    except (TypeError, ValueError):
        return str(left) == str(right)
    return abs(a - b) <= 2e-3 * max(1e-9, abs(a), abs(b))


def _four(value: Any) -> float | None:
    return None if value is None else float(f"{float(value):.4g}")


def _facts(limits: Any, bands: Any, steps: Any) -> Counter[tuple[Any, ...]]:
    found: Counter[tuple[Any, ...]] = Counter()
    for limit in limits:
        if limit["kind"] == "time" and limit.get("months") is not None:
            found["time", _four(limit["months"]), limit.get("start_event")] += 1
        elif limit["kind"] == "volume" and limit.get("usgal") is not None:
            found["volume", _four(limit["usgal"])] += 1
    for band in bands:
        if band.get("basis") == "stated":
            flows = (_four(band.get("flow_from_usgpm")), _four(band.get("flow_to_usgpm")))
            found[
                "band", band.get("flow_role"), *flows, _four(band.get("lower_pct")), _four(band.get("upper_pct"))
            ] += 1
        elif band.get("basis"):
            found["basis", band["basis"]] = 1
    for step in steps:
        found["credit", _four(step["from_month"]), _four(step["to_month"]), _four(step["customer_pays_pct"])] += 1
    return found


def _same_numbers(gold: dict[str, Any], term: Term) -> bool:
    scalars = ["duration_months", "volume_cap_usgal"]
    scalars += [key for key in ("full_months", "duration_days") if key in gold]
    if not all(_allowed(gold, key, getattr(term, key)) for key in scalars):
        return False
    dumped = term.model_dump(mode="json")
    mine = _facts(dumped["limits"], dumped["bands"], dumped["credits"])
    return mine == _facts(gold.get("limits") or [], gold.get("bands") or [], gold.get("credits") or [])
