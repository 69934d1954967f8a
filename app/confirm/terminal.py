"""The confirming front of the terminal: plain lines in, plain lines out, so that it works through a pipe too."""

from collections.abc import Sequence
from typing import TextIO

from firstcap.app.confirm.clauses import ClauseFamily, ClauseLine, clause_sentence, days_of, kind_of, made_clause
from firstcap.app.confirm.core import Item, Quote, Session, blank_term, documents_named
from firstcap.app.confirm.lines import EndOfInputError, Lines
from firstcap.app.confirm.sentence import clean, describe
from firstcap.app.facts import FACTS, Fact, understand_fact
from firstcap.app.understanding import Understood, is_nothing, plain
from firstcap.app.values import FIELDS, Field, label_of, split_name, telling, understand
from firstcap.schema.errors import ConflictError, UsageError, ValueRefusedError
from firstcap.schema.terms import Term
from firstcap.schema.vocabulary import Component, DecisionAction, Ends, Promise, TermState
from firstcap.store.amend import amend_term, to_json
from firstcap.store.catalogue import DocumentRow

_ACTS = {
    "y": ("y", "yes", "confirm", "c"),
    "f": ("f", "fix", "correct"),
    "x": ("x", "strike"),
    "a": ("a", "add"),
    "n": ("n", "next", "skip"),
    "u": ("u", "undo"),
    "q": ("q", "quit", "exit"),
    "?": ("?", "h", "help"),
}
_HELP = """\
y        confirm: every value shown is right
f        correct a value, typed as written: {example}
x        strike: this is no promise of the document (a reason is asked for)
a        add a promise the reading missed in this document; a exclusion, a duty, a condition: a clause it missed
n        skip for now; it comes again in the next sitting
u        undo your latest act, also one of an earlier sitting
q        quit; everything is saved already
Fields: {fields}"""
_CLAUSE_HELP = """\
y        confirm: every clause listed is there and means this
f        correct one by its number: f 2 kind misuse, f 2 days 30, f 2 words …
x        strike one by its number, with the reason: x 2 it is an example
a        add a clause of this family that the reading missed
n        skip for now; it comes again in the next sitting
u        undo your latest act, also one of an earlier sitting
q        quit; everything is saved already"""
_PAST = {
    DecisionAction.CONFIRM: "the confirmation",
    DecisionAction.CORRECT: "the correction",
    DecisionAction.STRIKE: "the strike",
    DecisionAction.ADD: "the addition",
}


class Terminal(Lines):
    """Asks about one item after another until none is left, or the person quits; `then` is said to come after that."""

    def __init__(
        self, session: Session, source: TextIO, out: TextIO, *, then: str = "firstcap compare --size 5/8"
    ) -> None:
        super().__init__(source, out)
        self._session = session
        self._then = then

    def run(self) -> None:
        session = self._session
        self.say(f"Decisions are signed “{clean(session.reviewer)}” and saved one by one. Type ? for help.")
        try:
            while True:
                item = session.next()
                if item is None:
                    if not self._after_the_last():
                        break
                    continue
                self._show(item)
                if not self._act(item):
                    break
        except (EndOfInputError, KeyboardInterrupt):
            self.say("")
        self._close()

    def _after_the_last(self) -> bool:
        """Nothing is left in this sitting; True where there is again."""
        while True:
            line = self.ask("Nothing is left. a add a missed promise, u undo, q quit >").casefold()
            line, _, rest = line.partition(" ")
            if line in _ACTS["q"]:
                return False
            if line in _ACTS["u"] and self._undo():
                return True
            if line in _ACTS["a"]:
                try:
                    row, family = self._which_document(), _family_named(rest)
                    if family is not None:
                        self._add_clause(row, family)
                    else:
                        self._add(row, self._session.similar(row.document_id))
                except ValueRefusedError as problem:
                    self.say(f"Not saved: {problem.message}.", hang="  ")

    def _which_document(self) -> DocumentRow:
        rows = self._session.documents()
        if len(rows) == 1:
            return rows[0]
        while True:
            name = self.ask("In which document (the beginning of its file name)?")
            try:
                found = documents_named(rows, name or None)
            except UsageError as problem:
                self.say(f"{problem.message}.")
                continue
            if len(found) == 1:
                return found[0]
            self.say(f"Which of these: {', '.join(clean(row.file_name) for row in found)}?", hang="  ")

    def _close(self) -> None:
        progress = self._session.progress()
        left = progress.total - progress.decided
        if not left:
            self.say(f"All {progress.total} items are decided. Next: {self._then}")
            return
        skipped = f", {self._session.skipped} of them skipped" if self._session.skipped else ""
        self.say(f"{progress.decided} of {progress.total} decided; {left} left{skipped}. Run it again to go on.")

    # ---- showing ----

    def _show(self, item: Item) -> None:
        progress = self._session.progress()
        row = item.document
        edition = " ".join(part for part in (row.document_code, row.revision and f"rev. {row.revision}") if part)
        told = [clean(part) for part in (row.file_name, row.supplier, edition) if part]
        self.say("")
        self.say(f"── {progress.total - progress.decided} left of {progress.total} · {' · '.join(told)}")
        if item.family is not None:
            self._show_clauses(item)
        elif item.stored is None:
            self.say("The document itself:")
            for fact in FACTS:
                self.say(f"{fact.label}: {_fact(item, fact)}{_where(item, fact)}", "  ", "  ")
        else:
            if item.stored.state is not TermState.PROPOSED:
                self.say(f"Already {item.stored.state}; as it stands:")
            self.say(describe(item.stored.term))
        for page, quote, fields in _by_place(item.quotes) if item.stored else ():
            where = f"p. {page}" if page else "no page"
            self.say(f"{', '.join(fields)}: {where} “{quote}”", "  ", "  ")
        for note in item.warnings:
            where = f" (p. {note.page})" if note.page else ""
            self.say(f"! {clean(note.message)}{where}", "  ", "  ")
        for other in item.alternatives:
            why = f": {clean(other.why_not)}" if other.why_not else ""
            quote = f" “{clean(other.quote)}”" if other.quote else ""
            self.say(f"? not taken for {label_of(other.field)}: {clean(other.value)}{quote}{why}", "  ", "  ")

    def _show_clauses(self, item: Item) -> None:
        assert item.family is not None
        self.say(f"Its {item.family.plural}:")
        for number, line in enumerate(item.lines, 1):
            page = next((box.page for one in line.clause.evidence for box in one.boxes), None)
            where = f"p. {page} " if page else ""
            told = f" (struck: {line.decided.note or 'no reason'})" if line.decided and line.struck else ""
            self.say(f"{number} {clause_sentence(line.clause)}{told}", "  ", "  ")
            self.say(f"{where}“{clean(line.clause.quote)}”", "    ")

    # ---- acts ----

    def _act(self, item: Item) -> bool:
        """One act on the item; False to quit. Anything not understood changes nothing and is asked again."""
        while True:
            line = self.ask("y confirm, f correct, x strike, a add, n skip, u undo, q quit, ? help >")
            word, _, rest = line.partition(" ")
            act = next((key for key, names in _ACTS.items() if word.casefold() in names), None)
            if act == "q" and not rest:
                return False
            if act == "?" and not rest:
                self._help(item)
                continue
            try:
                if self._done(item, act, rest.strip()):
                    return True
            except ConflictError as problem:
                self.say(f"{problem.message}.")
                return True
            except ValueRefusedError as problem:
                self.say(f"Not saved: {problem.message}.", hang="  ")

    def _done(self, item: Item, act: str | None, rest: str) -> bool:
        session = self._session
        if act in ("y", "n", "u") and rest:
            act = None  # "no fogging", "yes but": words, not an act
        if act == "y":
            session.confirm(item)
            self.say("Confirmed.")
            return True
        if act == "n":
            session.skip(item)
            return True
        if act == "u":
            return self._undo()
        if act == "x":
            return self._strike(item, rest)
        family = _family_named(rest) or item.family
        if act == "a" and family is not None and plain(rest) != "promise":
            return self._add_clause(item.document, family)
        if act == "a":
            return self._add(item.document, item.stored.term if item.stored else None)
        if act == "f":
            return self._correct(item, rest)
        self.say("Nothing was changed: type y, f, x, a, n, u, q or ?.")
        return False

    def _undo(self) -> bool:
        undone = self._session.undo()
        self.say(f"Taken back: {_PAST[undone.action]}." if undone else "There is nothing of yours to take back.")
        return undone is not None

    def _help(self, item: Item) -> None:
        if item.family is not None:
            for line in _CLAUSE_HELP.splitlines():
                self.say(line, hang="         ")
            return
        among: Sequence[Field | Fact] = FACTS if item.stored is None else FIELDS
        listed = ", ".join(f"{field.key} ({field.example})" for field in among)
        example = (
            "f date March 2023, f rev C" if item.stored is None else "f time 15 yrs, f cap 2.2 MG, f start shipment"
        )
        for line in _HELP.format(fields=listed, example=example).splitlines():
            self.say(line, hang="         ")

    def _strike(self, item: Item, reason: str) -> bool:
        if item.family is not None:
            line, reason = self._line(item, reason)
            reason = reason or self.ask("Why is this no clause of the document?")
            self._session.strike_clause(item, line, reason)
            self.say("Struck.")
            return True
        if item.stored is None:
            self.say("The facts of a document are not struck; correct one to “none”.")
            return False
        reason = reason or self.ask("Why is this no promise of the document?")
        if not reason:
            self.say("Not struck: a reason is needed.")
            return False
        self._session.strike(item, reason=reason)
        self.say("Struck.")
        return True

    def _line(self, item: Item, typed: str) -> tuple[ClauseLine, str]:
        """The clause that a person names by its number, and the rest of what was typed."""
        number, _, rest = typed.partition(" ")
        number = number or self.ask("Which one (its number)?")
        if not number.isdecimal() or not 1 <= int(number) <= len(item.lines):
            raise ValueRefusedError(f"there is no clause {number!r}; they are numbered 1 to {len(item.lines)}")
        line = item.lines[int(number) - 1]
        if line.struck:
            raise ValueRefusedError(f"clause {number} is struck; take that back with u first")
        return line, rest.strip()

    def _correct_clause(self, item: Item, typed: str) -> bool:
        assert item.family is not None
        line, rest = self._line(item, typed)
        what, _, value = (rest or self.ask("What of it (kind, days or words, and its value)?")).partition(" ")
        kind, quote, days = line.clause.kind, line.clause.quote, getattr(line.clause, "days", None)
        if what == "kind":
            clause = made_clause(item.family, kind_of(item.family, value), quote, days)
        elif what == "days" and item.family is ClauseFamily.DUTY:
            clause = made_clause(item.family, kind, quote, days_of(value))
        elif what == "words":
            clause = made_clause(item.family, kind, value, days)
        else:
            raise ValueRefusedError("of a clause the kind and the words are corrected, of a duty the days too")
        clause = clause.model_copy(update={"evidence": line.clause.evidence})
        self.say(clause_sentence(clause), "  ", "  ")
        if not self.agreed("Save it?"):
            self.say("Not saved.")
            return False
        self._session.correct_clause(item, line, clause, value)
        self.say("Saved.")
        return True

    def _add_clause(self, document: DocumentRow, family: ClauseFamily) -> bool:
        kind = kind_of(family, self.ask(f"Its kind, like {', '.join(list(family.kinds)[:3])}:"))
        days = None
        if family is ClauseFamily.DUTY:
            days = days_of(self.ask("Within how many days, like 30 days [none]:"))
        clause = made_clause(family, kind, self.ask("The words of the document:"), days)
        self.say(clause_sentence(clause), "  ", "  ")
        if not self.agreed("Add it?"):
            self.say("Not added.")
            return False
        self._session.add_clause(document, family, clause)
        self.say("Added.")
        return True

    def _correct(self, item: Item, typed: str) -> bool:
        if item.family is not None:
            return self._correct_clause(item, typed)
        if item.stored is None:
            return self._correct_fact(item, typed)
        if not typed:
            self.say(f"Fields: {', '.join(field.key for field in FIELDS)}", hang="  ")
            typed = self.ask("Which field?")
        field, turn, value = split_name(typed, FIELDS)
        value = value or self.ask(f"{field.label.removesuffix(' N')}, like {field.example}:")
        understood = understand(field, value, item.stored.term, turn)
        if len(understood.sizes) > 1:
            raise ValueRefusedError("a term is for one size; correct it to one, and add the other sizes with a")
        after = self._session.preview(item, understood.changes)
        self._understood(understood)
        self.say(describe(after), "  ", "  ")
        if not self.agreed("Save it?"):
            self.say("Not saved.")
            return False
        self._session.correct(item, understood.changes, value)
        self.say("Saved.")
        return True

    def _correct_fact(self, item: Item, typed: str) -> bool:
        if not typed:
            self.say(f"Facts: {', '.join(fact.key for fact in FACTS)}", hang="  ")
            typed = self.ask("Which one?")
        fact, _, value = split_name(typed, FACTS)
        value = value or self.ask(f"{fact.label}, like {fact.example}:")
        understood = understand_fact(fact, value)
        self._understood(understood)
        if not self.agreed("Save it?"):
            self.say("Not saved.")
            return False
        self._session.correct(item, understood.changes, value)
        self.say("Saved.")
        return True

    def _understood(self, understood: Understood) -> None:
        if clean(understood.text).casefold() != understood.shown.casefold():
            self.say(f"“{clean(understood.text)}” = {understood.shown}", hang="  ")

    # ---- adding ----

    def _add(self, document: DocumentRow, like: Term | None) -> bool:
        self.say(f"A promise that was missed in {clean(document.file_name)}. Empty takes what stands in [ ].")
        like = like or self._session.similar(document.document_id)
        term = blank_term()
        sizes: tuple[str, ...] = ()
        for key in ("size", "product", "type", "component", "variant", "promise"):
            term, labels = self._fill(_field(key), term, like)
            sizes = labels or sizes
        if term.promise is Promise.ACCURACY:
            for key in ("level", "bands"):
                term, _ = self._fill(_field(key), term, None)
        for key in ("time", "cap"):
            term, _ = self._fill(_field(key), term, None)
        if len(term.limits) > 1:
            term, _ = self._fill(_field("ends"), term, None)
        elif not term.limits:
            self.say("Neither a time nor a volume: is it given for life?")
            blank = term.model_copy(update={"ends": Ends.UNSTATED})
            term, _ = self._fill(_field("ends"), blank, None, example="life of the meter")
        for key in ("start", "free", "credits", "remedy"):
            if key == "start" and term.duration_months is None and term.duration_days is None:
                continue
            if key in ("free", "credits") and term.duration_months is None:
                continue
            term, _ = self._fill(_field(key), term, like if key in ("start", "remedy") else None)
        where = self.ask("Where does it stand (page and words of the document)?")
        terms = [term.model_copy(update={"size_label": label}) for label in sizes] or [term]
        for one in terms:
            self.say(describe(one), "  ", "  ")
        if not self.agreed(f"Add {'it' if len(terms) == 1 else f'these {len(terms)} terms'}?"):
            self.say("Not added.")
            return False
        self._session.add(document.document_id, terms, f"stands at: {where}" if where else "")
        self.say("Added.")
        return True

    def _fill(
        self, field: Field, term: Term, like: Term | None, *, example: str | None = None
    ) -> tuple[Term, tuple[str, ...]]:
        """Ask for one field until it is understood; the term with it, and the sizes where several were named."""
        shown = (_written(field, like) if like else None) or "none"
        while True:
            typed = self.ask(f"{field.label.removesuffix(' N')}, like {example or field.example} [{shown}]:") or shown
            if is_nothing(typed):
                return term, ()
            try:
                understood = understand(field, typed, term)
                filled = term
                for change in understood.changes:
                    filled = amend_term(filled, change.field, to_json(change.value))
            except ValueRefusedError as problem:
                self.say(f"{problem.message}.", hang="  ")
                continue
            self._understood(understood)
            return filled, understood.sizes


def _family_named(text: str) -> ClauseFamily | None:
    """ "exclusion", "duties"; None for other words."""
    return next((family for family in ClauseFamily if plain(text) in (family.value, family.plural)), None)


def _field(key: str) -> Field:
    return next(field for field in FIELDS if field.key == key)


def _written(field: Field, like: Term) -> str | None:
    """What a field of another term would be typed as."""
    values = {
        "size": like.size_label,
        "product": like.product,
        "type": like.meter_type,
        "component": Component.WHOLE_METER,
        "promise": Promise.MATERIALS_WORKMANSHIP,
        "start": like.start_event if len(like.starts) < 2 else None,
        "remedy": like.remedy,
    }
    value = values.get(field.key)
    return None if value is None else value.replace("_", " ")


def _fact(item: Item, fact: Fact) -> str:
    value = getattr(item.document, fact.field)
    return "not stated" if value is None else clean(str(value))


def _where(item: Item, fact: Fact) -> str:
    """Page and words of a fact; the words only where they are not the value itself."""
    said = []
    for one in item.quotes:
        if one.field == fact.field:
            words = clean(one.quote)
            shown = "" if words in ("", _fact(item, fact)) else f" “{words}”"
            said.append((f"p. {one.page}" if one.page else "no page") + shown)
    return f"  ({'; '.join(dict.fromkeys(said))})" if said else ""


_WHOLE = "quote"  # the evidence of a term as a whole: its table row or clause


def _by_place(quotes: Sequence[Quote]) -> list[tuple[int | None, str, list[str]]]:
    """Quotes once each, with the values read from them; the clause or row that the item stands in comes first."""
    places: dict[tuple[int | None, str], list[str]] = {}
    for one in sorted(quotes, key=_rank):
        labels = places.setdefault((one.page, clean(one.quote)), [])
        label = "it stands in" if one.field == _WHOLE else label_of(one.field)
        if label not in labels:
            labels.append(label)
    return [(page, quote, telling(labels)) for (page, quote), labels in places.items()]


def _rank(one: Quote) -> tuple[int, str, int]:
    name, _, turn = one.field.partition(".")
    place = next((at for at, field in enumerate(FIELDS) if name in field.covers), len(FIELDS))
    digits = turn.partition(".")[0]
    return (-1 if one.field == _WHOLE else place, name, int(digits) if digits.isdecimal() else 0)
