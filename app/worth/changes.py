"""Two editions of a document, promise by promise: better, worse, new, gone, unchanged though reworded.

"Better" and "worse" are the buyer's. How each value is weighed: docs/worth.md, "Changes".
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from firstcap.app.confirm.core import documents_named
from firstcap.app.report import words
from firstcap.app.report.comparison import Column as Document
from firstcap.app.report.comparison import Comparison, Offer, Value, compare
from firstcap.app.report.paper import NOTHING, SILENT, Cell, Mark, Paper, Part, Place, Section, Status, Table, columns
from firstcap.app.report.rows import Views, load_all
from firstcap.app.worth import offers as shown
from firstcap.app.worth.credits import schedule_of
from firstcap.app.worth.editions import editions_parts
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import Ends
from firstcap.store.catalogue import Catalogue
from firstcap.worth.credits import customer_pays

_HORIZON_YEARS = 100


class Turn(StrEnum):
    """How a value or a promise changed for the buyer."""

    BETTER = "better"
    WORSE = "worse"
    MIXED = "better and worse"
    OTHER = "changed"
    REWORDED = "reworded, the same in effect"
    SAME = "unchanged"
    NEW = "new"
    GONE = "gone"


_MARKS = {Turn.BETTER: Mark.GOOD, Turn.NEW: Mark.GOOD, Turn.WORSE: Mark.BAD, Turn.GONE: Mark.BAD, Turn.MIXED: Mark.FLAG}


@dataclass(frozen=True)
class Change:
    """One value of one promise in both editions, in words."""

    what: str
    old: str
    new: str
    turn: Turn


@dataclass(frozen=True)
class Pair:
    """One promise in both editions, or in one of them."""

    old: Offer | None
    new: Offer | None
    changes: tuple[Change, ...]

    @property
    def offer(self) -> Offer:
        found = self.new or self.old
        assert found is not None
        return found

    @property
    def turn(self) -> Turn:
        if self.old is None:
            return Turn.NEW
        if self.new is None:
            return Turn.GONE
        return together([change.turn for change in self.changes])


def together(turns: Sequence[Turn]) -> Turn:
    """What several changes amount to."""
    found = set(turns) - {Turn.SAME}
    if {Turn.BETTER, Turn.WORSE} <= found or Turn.MIXED in found:
        return Turn.MIXED
    for turn in (Turn.BETTER, Turn.WORSE, Turn.OTHER, Turn.REWORDED):
        if turn in found:
            return turn
    return Turn.SAME


def named(store: Catalogue, name: str) -> str:
    """The id of the one document whose file name or id begins so; UsageError for none and for several."""
    found = documents_named(store.documents(), name)
    if len(found) != 1:
        names = ", ".join(row.file_name for row in found)
        raise UsageError(f"{name!r} begins the name of {len(found)} documents: {names}; write more of it")
    return found[0].document_id


def changes(views: Views, old_id: str, new_id: str, shipped: Sequence[tuple[str, date]] = ()) -> Paper:
    """The report on two documents by their ids; `shipped` are meters, each with the day it was shipped."""
    comparison = compare(load_all(views))
    by_id = {column.document.document_id: column for column in comparison.columns}
    if old_id not in by_id or new_id not in by_id:
        raise UsageError("one of the two documents holds no promise; `firstcap documents` tells why")
    if old_id == new_id:
        raise UsageError("old and new are the same document; name two")
    old, new = by_id[old_id], by_id[new_id]
    pairs = paired(comparison, old, new)
    offers = [offer for pair in pairs for offer in (pair.old, pair.new) if offer is not None]
    sections = [
        Section("Promise by promise", (_promises(pairs),)),
        Section("What changed", _details(pairs)),
        Section("Exclusions and duties", _clauses(comparison, old, new)),
        Section("Which edition governs", editions_parts(views, old, new, shipped)),
    ]
    return Paper(
        kind="changes",
        title=f"Changes: {old.label} to {new.label}",
        lead=f"What the buyer gains and loses from {old.document.file_name} ({old.edition}) to "
        f"{new.document.file_name} "
        f"({new.edition}).",
        statuses=(shown.statuses(offers, comparison)[0], *_unchecked(comparison, old, new), *_warnings(old, new)),
        sections=tuple(sections),
        assumptions=(
            "Better and worse are the buyer’s: longer, more volume, tighter accuracy, a smaller share to pay are "
            "better.",
            "A change of the event that starts the time, or of the remedy, is told and not judged.",
            "Promises are matched by component, promise, accuracy level, size, product and variant.",
        ),
    )


def _unchecked(comparison: Comparison, old: Document, new: Document) -> tuple[Status, ...]:
    """How far the exclusions and duties of both editions were checked."""
    places = [comparison.columns.index(one) for one in (old, new)]
    lines = (*comparison.exclusions, *comparison.duties)
    clauses = [clause for line in lines for place in places if (clause := line.clauses[place])]
    unchecked = sum(clause.open for clause in clauses)
    if not unchecked:
        return ()
    told = f"{words.UNCONFIRMED_SIGN} {unchecked} of {len(clauses)} exclusions and duties unconfirmed."
    return (Status(told, open=True),)


def _warnings(old: Document, new: Document) -> tuple[Status, ...]:
    found = []
    if old.supplier != new.supplier:
        found.append(Status(f"The documents name different suppliers: {old.supplier} and {new.supplier}.", open=True))
    first, second = old.document.effective_from, new.document.effective_from
    if first and second and first > second:
        found.append(Status("The document given as old is dated later than the one given as new.", open=True))
    return tuple(found)


def _key(offer: Offer) -> tuple[str | None, ...]:
    term = offer.term
    return (term.component, term.promise, term.accuracy_level, term.size_label, term.product, term.variant)


def paired(comparison: Comparison, old: Document, new: Document) -> list[Pair]:
    """Promises that are the same but for their values, then what is new and what is gone.

    A promise that finds no partner by its whole name takes one that differs in product, variant or size alone, where
    there is just one on either side.
    """
    left = [offer for offer in comparison.offers if offer.column is old]
    right = [offer for offer in comparison.offers if offer.column is new]
    pairs: list[Pair] = []
    for width in (6, 4, 3):
        for offer in list(left):
            key = _key(offer)[:width]
            twins = [other for other in right if _key(other)[:width] == key]
            rivals = [other for other in left if _key(other)[:width] == key]
            if len(twins) == 1 and len(rivals) == 1:
                pairs.append(Pair(offer, twins[0], tuple(_compared(offer, twins[0]))))
                left.remove(offer)
                right.remove(twins[0])
    pairs += [Pair(None, offer, ()) for offer in right] + [Pair(offer, None, ()) for offer in left]
    order = {id(offer): place for place, offer in enumerate(comparison.offers)}
    return sorted(pairs, key=lambda pair: order[id(pair.offer)])


def _compared(old: Offer, new: Offer) -> list[Change]:
    time, cap = _in_words(old.time_limits, new.time_limits), _in_words(old.cap, new.cap)
    found = [
        Change("time", time[0], time[1], _numbers(old.time_limits, new.time_limits, _months(old), _months(new))),
        Change("volume cap", cap[0], cap[1], _numbers(old.cap, new.cap, _gallons(old), _gallons(new))),
        Change("which ends first", old.rule.text, new.rule.text, _rule(old, new)),
        Change("start", old.start.text, new.start.text, _plain(old.start, new.start)),
        Change("remedy", old.remedy.text, new.remedy.text, _plain(old.remedy, new.remedy)),
        proration(old, new),
        *_bands(old, new),
    ]
    for what, one in (("size", "size_label"), ("product", "product"), ("variant", "variant")):
        before, after = getattr(old.term, one), getattr(new.term, one)
        if before != after:
            found.append(Change(what, before or words.NOT_STATED, after or words.NOT_STATED, Turn.OTHER))
    return found


def _in_words(old: Value, new: Value) -> tuple[str, str]:
    """Both values; with the document's own words where only these tell them apart."""
    if old.text != new.text:
        return old.text, new.text
    told = [f"{value.text} (“{value.told}”)" if value.told else value.text for value in (old, new)]
    return told[0], told[1]


_ENDLESS = Fraction(10**15)


def _months(offer: Offer) -> Fraction | None:
    if offer.cover.years is not None:
        return offer.cover.years * 12
    return _ENDLESS if offer.term.ends in (Ends.LIFE, Ends.VOLUME_ONLY) else None


def _gallons(offer: Offer) -> Fraction | None:
    if offer.cover.usgal is not None:
        return offer.cover.usgal
    return _ENDLESS if offer.term.ends in (Ends.TIME_ONLY, Ends.LIFE) else None


def _numbers(old: Value, new: Value, before: Fraction | None, after: Fraction | None) -> Turn:
    if before is None or after is None:
        return Turn.SAME if before is after else Turn.OTHER
    if before == after:
        return _plain(old, new) if (old.written or "").casefold() != (new.written or "").casefold() else Turn.SAME
    return Turn.BETTER if after > before else Turn.WORSE


def _plain(old: Value, new: Value) -> Turn:
    if old.text != new.text:
        return Turn.OTHER
    written = [" ".join((value.written or "").casefold().split()) for value in (old, new)]
    return Turn.SAME if written[0] == written[1] else Turn.REWORDED


# From the buyer's side: the later of two limits is worth more than the earlier.
_RULES = {Ends.FIRST_OF: 1, Ends.LAST_OF: 2}


def _rule(old: Offer, new: Offer) -> Turn:
    before, after = old.term.ends, new.term.ends
    if before == after:
        return Turn.SAME
    ranks = [_RULES.get(Ends(rule)) for rule in (before, after)]
    if ranks[0] is None or ranks[1] is None:
        return Turn.OTHER
    return Turn.BETTER if ranks[1] > ranks[0] else Turn.WORSE


def proration(old: Offer, new: Offer) -> Change:
    """The customer's share over all ages at which either schedule changes, while both covers run."""
    before, after = schedule_of(old, _HORIZON_YEARS), schedule_of(new, _HORIZON_YEARS)
    told = [("; ".join(offer.steps) or "none stated") for offer in (old, new)]
    if not before or not after:
        return Change("proration", told[0], told[1], Turn.SAME if told[0] == told[1] else Turn.OTHER)
    end = min(before[-1].high, after[-1].high)
    ages = sorted({step.low for step in (*before, *after) if step.low < end})
    turns = []
    for age in ages:
        pays = customer_pays(before, age), customer_pays(after, age)
        if pays[0] is None or pays[1] is None:
            turns.append(Turn.SAME if pays[0] == pays[1] else Turn.OTHER)
        elif pays[0] != pays[1]:
            turns.append(Turn.BETTER if pays[1] < pays[0] else Turn.WORSE)
    return Change("proration", told[0], told[1], together(turns))


def _bands(old: Offer, new: Offer) -> list[Change]:
    """Accuracy limits at the same flow; what has no partner is new or gone."""
    before = {(b.flow_from_usgpm, b.flow_to_usgpm, b.flow_role): b for b in (j.band for j in old.judged)}
    after = {(b.flow_from_usgpm, b.flow_to_usgpm, b.flow_role): b for b in (j.band for j in new.judged)}
    found = []
    for key in dict.fromkeys([*before, *after]):
        one, two = before.get(key), after.get(key)
        what = f"accuracy at {words.flows(key[0], key[1], metric=new.metric)}"
        told = [words.band(b.lower_pct, b.upper_pct) if b else words.NOT_STATED for b in (one, two)]
        if one is None or two is None:
            turn = Turn.NEW if one is None else Turn.GONE
        else:
            sides = [
                _side(one.lower_pct, two.lower_pct, lambda a, b: b > a),
                _side(one.upper_pct, two.upper_pct, lambda a, b: b < a),
            ]
            turn = together(sides)
        found.append(Change(what, told[0], told[1], turn))
    return found


def _side(before: Decimal | None, after: Decimal | None, better: Callable[[Decimal, Decimal], bool]) -> Turn:
    if before == after:
        return Turn.SAME
    if before is None or after is None:
        return Turn.BETTER if before is None else Turn.WORSE
    return Turn.BETTER if better(before, after) else Turn.WORSE


def _turn(turn: Turn) -> Cell:
    return Cell(turn.value, mark=_MARKS.get(turn, Mark.PLAIN))


def _promises(pairs: Sequence[Pair]) -> Table:
    rows = []
    for pair in pairs:
        changed = [change.what for change in pair.changes if change.turn not in (Turn.SAME, Turn.REWORDED)]
        rows.append(
            (
                shown.promised(pair.offer),
                shown.size(pair.offer),
                _state(pair),
                _short(pair.old),
                _short(pair.new),
                _turn(pair.turn),
                Cell(", ".join(changed)) if changed else NOTHING,
            )
        )
    heads = (
        *columns(("promise", "Promise"), ("size", "Size"), ("state", "State"), ("old", "Old"), ("new", "New")),
        *columns(("turn", "For the buyer"), ("changed", "What changed")),
    )
    return Table("promises", "Both editions side by side", heads, tuple(rows))


_UNCONFIRMED = Cell(words.UNCONFIRMED, mark=Mark.FLAG)
_CHECKED = Cell("checked")


def _state(pair: Pair) -> Cell:
    """Unconfirmed as long as the promise is in one of the editions."""
    return _UNCONFIRMED if any(offer and offer.unconfirmed for offer in (pair.old, pair.new)) else _CHECKED


def _places(offer: Offer | None, what: str) -> tuple[Place, ...]:
    if offer is None:
        return ()
    refs = {
        "time": offer.time_limits.refs,
        "volume cap": offer.cap.refs,
        "which ends first": offer.rule.refs,
        "start": offer.start.refs,
        "remedy": offer.remedy.refs,
        "proration": offer.steps_refs,
    }
    return shown.places(refs.get(what, offer.bands_refs if what.startswith("accuracy") else ()))


def _short(offer: Offer | None) -> Cell:
    if offer is None:
        return SILENT
    return Cell(offer.in_short, places=shown.places((*offer.time.refs, *offer.cap.refs)))


def _details(pairs: Sequence[Pair]) -> tuple[Part, ...]:
    rows = [
        (
            shown.promised(pair.offer),
            shown.size(pair.offer),
            _state(pair),
            Cell(one.what),
            Cell(one.old, places=_places(pair.old, one.what)),
            Cell(one.new, places=_places(pair.new, one.what)),
            _turn(one.turn),
        )
        for pair in pairs
        for one in pair.changes
        if one.turn is not Turn.SAME
    ]
    if not rows:
        return ("No value of a promise that stands in both editions changed.",)
    heads = columns(
        ("promise", "Promise"),
        ("size", "Size"),
        ("state", "State"),
        ("value", "Value"),
        ("old", "Old"),
        ("new", "New"),
        ("turn", "For the buyer"),
    )
    return (Table("values", "Every value that changed", heads, tuple(rows)),)


def _clauses(comparison: Comparison, old: Document, new: Document) -> tuple[Part, ...]:
    places = [comparison.columns.index(one) for one in (old, new)]
    rows = []
    for what, lines in (("exclusion", comparison.exclusions), ("duty", comparison.duties)):
        for line in lines:
            one, two = (line.clauses[place] for place in places)
            if one is None and two is None:
                continue
            if one is None or two is None:
                turn = Turn.NEW if one is None else Turn.GONE
                mark = Mark.BAD if turn is Turn.NEW else Mark.GOOD
            else:
                turn = _plain(one, two)
                mark = Mark.PLAIN
            if turn is Turn.SAME:
                continue
            rows.append(
                (
                    Cell(what),
                    Cell(words.capital(line.name)),
                    _UNCONFIRMED if any(clause and clause.open for clause in (one, two)) else _CHECKED,
                    _clause(one),
                    _clause(two),
                    Cell(turn.value, mark=mark),
                )
            )
    if not rows:
        return ("The same kinds of exclusions and duties stand in both editions, in the same words.",)
    heads = columns(
        ("what", "What"), ("kind", "Kind"), ("state", "State"), ("old", "Old"), ("new", "New"), ("turn", "Change")
    )
    return (Table("clauses", "Exclusions and duties that changed", heads, tuple(rows)),)


def _clause(value: Value | None) -> Cell:
    if value is None:
        return SILENT
    return Cell(value.written or value.text, value.number, places=shown.places(value.refs))
