"""What a reading gets right, fact by fact, against gold or against another reading.

A fact is one value of one promise or document. Groups:
  terms     the promise itself: its size, component, kind and accuracy level
  numbers   durations, volume caps, every limit, band flow and percentage, credit step
  context   start event, rule of ends, remedy, meter type, product
  clauses   exclusion, duty (with its days) and condition kinds; warnings that a reader must be given
  document  supplier, document code, revision, effective date

Both sides are dicts in the form of a gold file (fixtures/README.md); `as_gold` makes one of a Reading's JSON. Terms
pair only where all four words of what they promise agree, the best pairing of the whole document first. A gold term may
list other defensible readings of a field under `accept` and may be `optional`; `exclusions_accept` does so for
exclusions. Numbers agree within two parts in a thousand, names where one's words contain the other's.
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

GROUPS = ("terms", "numbers", "context", "clauses", "document")
SURE = 0.9  # a term that claims this much is taken without a look

KEY = ("size_label", "component", "promise", "accuracy_level")
NUMBERS = ("duration_months", "volume_cap_usgal")
LATER_NUMBERS = ("full_months", "duration_days")  # these four are scored only where the gold has them
CONTEXT = ("start_event", "ends", "remedy", "meter_type")
LATER_CONTEXT = ("start_rule", "life_of")
CLAUSES = {"exclusions": "exclusion", "duties": "duty", "conditions": "condition", "warnings": "warning"}
_NUMERIC = re.compile(r"(months?|usgal|usgpm|pct)$")

Values = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Fact:
    """One fact of one document. `key` is the same for the same fact in two readings compared with one gold.

    `gold` None: nothing of the kind is there, and something was read; `read` None: it was missed.
    """

    group: str
    key: tuple[Any, ...]
    where: str
    gold: Any
    read: Any
    right: bool
    page: int | None = None
    quote: str = ""

    def __str__(self) -> str:
        return f"{self.group:8} {self.where}: gold {self.gold!r}, read {self.read!r}"


@dataclass(slots=True)
class Tally:
    """Counts of facts: right, read, in the gold."""

    right: int = 0
    read: int = 0
    gold: int = 0

    def count(self, facts: Iterable[Fact]) -> "Tally":
        for fact in facts:
            self.right += fact.right
            self.read += fact.read is not None
            self.gold += fact.gold is not None
        return self

    @property
    def precision(self) -> float:
        return self.right / self.read if self.read else float(not self.gold)

    @property
    def recall(self) -> float:
        return self.right / self.gold if self.gold else 1.0

    @property
    def f1(self) -> float:
        both = self.precision + self.recall
        return 2 * self.precision * self.recall / both if both else 0.0


@dataclass(frozen=True, slots=True)
class JudgedTerm:
    """A term that was read: how sure it claims to be, and whether it and every number of it is right."""

    where: str
    confidence: float
    right: bool


@dataclass(slots=True)
class Score:
    """All facts of one document, or of many."""

    facts: list[Fact] = field(default_factory=list)
    terms: list[JudgedTerm] = field(default_factory=list)

    def add(self, other: "Score") -> None:
        self.facts += other.facts
        self.terms += other.terms

    def tally(self, group: str) -> Tally:
        return Tally().count(fact for fact in self.facts if fact.group == group)

    @property
    def sure(self) -> tuple[int, int, int]:
        """(terms that claim to be sure, those of them that are right, all terms)."""
        sure = [term for term in self.terms if term.confidence >= SURE]
        return len(sure), sum(term.right for term in sure), len(self.terms)

    def shares(self) -> dict[str, Any]:
        """The score table as plain values."""
        table: dict[str, Any] = {}
        for group in GROUPS:
            tally = self.tally(group)
            table[group] = {name: round(getattr(tally, name), 4) for name in ("precision", "recall", "f1")}
            table[group]["gold"] = tally.gold
        sure, right, terms = self.sure
        table["sure"] = {
            "share": round(sure / terms, 4) if terms else 0.0,
            "right": round(right / sure, 4) if sure else 0.0,
        }
        return table


def as_gold(reading: Values) -> dict[str, Any]:
    """A Reading's JSON (`model_dump(mode="json")`) in the form of a gold file, with quotes and pages."""
    facts = {**reading["facts"], "text_source": reading["text_source"]}
    return {
        "document": facts,
        "terms": [numeric(term) | _place(term) for term in reading["terms"]],
        "exclusions": _kinds(reading["exclusions"]),
        "duties": _duties(reading["duties"]),
        "conditions": _kinds(reading["conditions"]),
        "warnings": _kinds(reading["warnings"]),
        "quotes": {
            f"{name} {clause['kind']}": (clause.get("quote") or clause.get("message") or "", _page(clause))
            for part, name in CLAUSES.items()
            for clause in reading[part]
        },
    }


NOTHING: dict[str, Any] = {
    "document": {},
    "terms": [],
    "exclusions": [],
    "duties": [],
    "conditions": [],
    "warnings": [],
}


def failed() -> dict[str, Any]:
    """What a file that could not be read gives: a warning that says so, and nothing else."""
    return {**NOTHING, "warnings": ["other"]}


def compare(gold: Values, read: Values, *, strict: bool = False) -> Score:
    """The facts of one document. `strict` takes `gold` for another reading: all values count, names agree in full."""
    score = Score()
    judge = _Judge(score, read.get("quotes", {}), strict=strict)
    judge.document(gold["document"], read["document"])
    judge.terms(list(gold["terms"]), list(read["terms"]))
    judge.clauses(gold, read)
    return score


def same(one: Any, other: Any) -> bool:
    if one is None or other is None:
        return one is None and other is None
    if isinstance(one, int | float) and isinstance(other, int | float):
        return abs(one - other) <= 2e-3 * max(1e-9, abs(one), abs(other))
    return plain(one) == plain(other)


def same_name(one: Any, other: Any) -> bool:
    """Names agree when one's words contain the other's."""
    if not one or not other:
        return not one and not other
    left, right = set(plain(one).split()), set(plain(other).split())
    return bool(left) and bool(right) and (left <= right or right <= left)


def plain(value: object) -> str:
    return re.sub(r"[^a-z0-9]+", " ", str(value).lower()).strip()


def numbers_of(term: Values) -> Counter[tuple[Any, ...]]:
    """Limits, bands and credit steps of a term as comparable tuples."""
    found: Counter[tuple[Any, ...]] = Counter()
    for limit in term.get("limits") or []:
        if limit.get("kind") == "time" and limit.get("months") is not None:
            found["time", _four(limit["months"]), limit.get("start_event")] += 1
        if limit.get("kind") == "volume" and limit.get("usgal") is not None:
            found["volume", _four(limit["usgal"])] += 1
    for band in term.get("bands") or []:
        if band.get("basis") == "stated":
            flow = ("flow_from_usgpm", "flow_to_usgpm", "lower_pct", "upper_pct")
            found["band", band.get("flow_role"), *(_four(band.get(name)) for name in flow)] += 1
        elif band.get("basis"):
            found["basis", plain(band["basis"]).replace(" ", "")] = 1
    for step in term.get("credits") or []:
        found["credit", *(_four(step.get(name)) for name in ("from_month", "to_month", "customer_pays_pct"))] += 1
    return found


def pair(gold: list[Any], read: list[Any]) -> list[tuple[int, int]]:
    """Which term of the gold each term read is: the pairing with the greatest likeness over the whole document."""
    if not gold or not read:
        return []
    import numpy as np
    from scipy.optimize import linear_sum_assignment

    cost = np.ones((len(gold), len(read)))
    for row, one in enumerate(gold):
        for column, other in enumerate(read):
            if all(agree(one, other, name) for name in KEY):
                cost[row, column] = -_likeness(one, other)
    rows, columns = linear_sum_assignment(cost)
    return [(int(i), int(j)) for i, j in zip(rows, columns, strict=True) if cost[i, j] < 0]


def label(term: Values) -> str:
    return "/".join(str(term.get(name)) for name in ("product", *KEY) if term.get(name))


class _Judge:
    def __init__(self, score: Score, quotes: Mapping[str, tuple[str, int | None]], *, strict: bool) -> None:
        self.score = score
        self.quotes = quotes
        self.strict = strict

    def fact(
        self,
        group: str,
        key: tuple[Any, ...],
        where: str,
        gold: Any,
        read: Any,
        at: Values = NOTHING,
        *,
        name: bool = False,
    ) -> bool:
        """Counts a value; True where there is none on either side."""
        if gold is None and read is None:
            return True
        agree = same_name if name and not self.strict else same
        right = gold is not None and read is not None and agree(gold, read)
        page, quote = at.get("page"), at.get("quote") or ""
        self.score.facts.append(Fact(group, (group, *key), where, gold, read, right, page, quote))
        return right

    def bag(
        self,
        group: str,
        key: tuple[Any, ...],
        where: str,
        gold: Counter[Any],
        read: Counter[Any],
        at: Values = NOTHING,
    ) -> bool:
        """Counts things of which there may be several alike."""
        for one, count in ((gold & read) + (gold - read) + (read - gold)).items():
            both, missed = (gold & read)[one], (gold - read)[one]
            for turn in range(count):
                wanted, found = turn < both + missed, turn < both or turn >= both + missed
                place = self._at(where, one) or at
                self.fact(group, (*key, one, turn), where, one if wanted else None, one if found else None, place)
        return gold == read

    def _at(self, where: str, one: Any) -> Values | None:
        found = self.quotes.get(f"{where} {one[0] if isinstance(one, tuple) else one}")
        return None if found is None else {"quote": found[0], "page": found[1]}

    def document(self, gold: Values, read: Values) -> None:
        names = [
            "supplier",
            "document_code",
            "revision",
            "effective_from",
            *(("title", "region") if self.strict else ()),
        ]
        for name in names:
            wanted, found = gold.get(name), read.get(name)
            if name in (gold.get("accept") or {}) and agree(gold, read, name):
                wanted = found
            self.fact("document", (name,), name, wanted, found, name=name == "supplier")

    def terms(self, gold: list[Any], read: list[Any]) -> None:
        pairs = pair(gold, read)
        for i, j in pairs:
            self.pair(i, gold[i], read[j])
        missed, extra = {i for i, _ in pairs}, {j for _, j in pairs}
        for i, term in enumerate(gold):
            if i not in missed and not term.get("optional"):
                self.alone((i,), term, missed=True)
        turns: Counter[str] = Counter()
        for j, term in enumerate(read):
            if j not in extra:
                turns[label(term)] += 1
                self.alone(("extra", label(term), turns[label(term)]), term, missed=False)
                self.score.terms.append(JudgedTerm(label(term), term.get("confidence") or 0.0, right=False))

    def pair(self, index: int, gold: Values, read: Values) -> None:
        taken = {name: read.get(name) for name in gold.get("accept") or {} if agree(gold, read, name)}
        gold, where = {**gold, **taken}, label(gold)
        self.fact("terms", (index,), where, True, True, read)
        right = True
        for name in (*NUMBERS, *(name for name in LATER_NUMBERS if name in gold)):
            at = _said(read, name)
            right &= self.fact("numbers", (index, name), f"{where} {name}", gold.get(name), read.get(name), at)
        right &= self.bag("numbers", (index,), where, numbers_of(gold), numbers_of(read), read)
        for name in (
            *CONTEXT,
            *(name for name in LATER_CONTEXT if name in gold),
            *(("variant",) if self.strict else ()),
        ):
            at = _said(read, name)
            self.fact("context", (index, name), f"{where} {name}", gold.get(name), read.get(name), at)
        others = [one for one in (gold.get("accept") or {}).get("product", []) if same_name(one, read.get("product"))]
        product = others[0] if others else gold.get("product")
        at = _said(read, "product")
        self.fact("context", (index, "product"), f"{where} product", product, read.get("product"), at, name=True)
        self.score.terms.append(JudgedTerm(where, read.get("confidence") or 0.0, right))

    def alone(self, key: tuple[Any, ...], term: Values, *, missed: bool) -> None:
        """A term of the gold that was missed, or one that was read and is not there."""
        where = f"{label(term)} ({'missed' if missed else 'not there'})"

        def count(group: str, part: tuple[Any, ...], told: str, value: Any) -> None:
            self.fact(group, part, told, value if missed else None, None if missed else value, term)

        count("terms", key, where, True)
        for name in NUMBERS:
            count("numbers", (*key, name), f"{where} {name}", term.get(name))
        nothing: Counter[Any] = Counter()
        held = numbers_of(term)
        self.bag("numbers", key, where, held if missed else nothing, nothing if missed else held, term)

    def clauses(self, gold: Values, read: Values) -> None:
        wanted, found = _set(gold.get("exclusions")), _set(read.get("exclusions"))
        for kind in gold.get("exclusions_accept") or []:
            found.pop(kind, None)
        self.bag("clauses", ("exclusion",), "exclusion", wanted, found)
        self.bag("clauses", ("duty",), "duty", _duty_set(gold.get("duties")), _duty_set(read.get("duties")))
        if "conditions" in gold:
            self.bag("clauses", ("condition",), "condition", _set(gold["conditions"]), _set(read.get("conditions")))
        if "warnings" in gold:
            # A program may warn of more than a reader must be told: only misses count.
            wanted, found = _set(gold["warnings"]), _set(read.get("warnings"))
            self.bag("clauses", ("warning",), "warning", wanted, found if self.strict else found & wanted)


def _set(kinds: Iterable[str] | None) -> Counter[Any]:
    return Counter(set(kinds or ()) - {"other"})


def _duty_set(duties: Iterable[Values] | None) -> Counter[Any]:
    return Counter({(duty["kind"], _four(duty.get("days"))) for duty in duties or () if duty["kind"] != "other"})


def agree(gold: Values, read: Values, name: str) -> bool:
    """Whether a value is the gold's, or one of the other readings that gold accepts."""
    others = (gold.get("accept") or {}).get(name)
    found = read.get(name)
    return same(gold.get(name), found) or (isinstance(others, list) and any(same(found, one) for one in others))


def _likeness(gold: Values, read: Values) -> float:
    total = sum(3.0 for name in KEY if agree(gold, read, name))
    total += sum(2.0 for name in NUMBERS if same(gold.get(name), read.get(name)))
    total += sum(0.5 for name in CONTEXT if same(gold.get(name), read.get(name)))
    total += same_name(gold.get("product"), read.get("product"))
    return total + 0.2 * (numbers_of(gold) & numbers_of(read)).total()


def _four(value: Any) -> Any:
    """Four figures of a number are what a document and its gold must share."""
    if value is None or isinstance(value, bool | str):
        return value
    return float(f"{float(value):.4g}")


def numeric(value: Any) -> Any:
    """The Decimals of a dumped model, which JSON holds as text, as numbers."""
    if isinstance(value, dict):
        return {
            name: float(part) if isinstance(part, str) and _NUMERIC.search(name) else numeric(part)
            for name, part in value.items()
        }
    return [numeric(part) for part in value] if isinstance(value, list) else value


def _place(term: Values) -> dict[str, Any]:
    first = next(iter(term.get("evidence") or ()), None)
    return {"quote": "", "page": None} if first is None else {"quote": first["quote"], "page": _page(term)}


def _said(term: Values, name: str) -> Values:
    """The words one value was read from, or those of its term."""
    for one in term.get("evidence") or ():
        if one["field"] == name:
            return {"quote": one["quote"], "page": one["boxes"][0]["page"] if one["boxes"] else None}
    return term


def _page(thing: Values) -> int | None:
    if thing.get("page"):
        return int(thing["page"])
    boxes = [box for one in thing.get("evidence") or () for box in one["boxes"]]
    return int(boxes[0]["page"]) if boxes else None


def _kinds(clauses: Iterable[Values]) -> list[str]:
    return sorted({clause["kind"] for clause in clauses})


def _duties(duties: Iterable[Values]) -> list[dict[str, Any]]:
    """One row a kind; where it is said twice, the fewer days."""
    days: dict[str, Any] = {}
    for duty in duties:
        told = [value for value in (days.get(duty["kind"]), duty["days"]) if value is not None]
        days[duty["kind"]] = min(told, default=None)
    return [{"kind": kind, "days": value} for kind, value in sorted(days.items())]


def gold_files(folder: Any) -> Iterator[tuple[str, Any]]:
    """(name, path of the gold) of a folder, by name."""
    for path in sorted(folder.glob("*.gold.json")):
        yield path.name.removesuffix(".gold.json"), path
