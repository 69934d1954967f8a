"""The clauses of a document as a person confirms them: one line each, in words, with what was decided about it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from firstcap.app.confirm.sentence import clean, counted
from firstcap.app.understanding import choice, is_nothing, only, refuse
from firstcap.extract.patterns.base import Family
from firstcap.schema.decisions import Decision
from firstcap.schema.errors import ValueRefusedError
from firstcap.schema.quantities import Duration
from firstcap.schema.terms import Condition, Duty, Exclusion
from firstcap.schema.vocabulary import ConditionKind, DecisionAction, DutyKind, ExclusionKind, Word
from firstcap.store.contents import CLAUSES, Clause, Contents, clause_place, parse_clause, parse_clauses


class ClauseFamily(StrEnum):
    """The families of clauses, by their name in the log."""

    EXCLUSION = "exclusion"
    DUTY = "duty"
    CONDITION = "condition"

    @property
    def plural(self) -> str:
        """ "exclusions": the name of the family's view."""
        return CLAUSES[self.value][0]

    @property
    def kinds(self) -> type[Word]:
        kinds: dict[ClauseFamily, type[Word]] = {
            ClauseFamily.EXCLUSION: ExclusionKind,
            ClauseFamily.DUTY: DutyKind,
            ClauseFamily.CONDITION: ConditionKind,
        }
        return kinds[self]


@dataclass(frozen=True, slots=True)
class ClauseLine:
    """One clause. `field` names it in the log; `decided` is what holds about it, None while it is only proposed.

    A struck clause is no longer among the document's; it stands here with the reason, until the strike is taken back.
    """

    field: str
    clause: Clause
    decided: Decision | None = None

    @property
    def struck(self) -> bool:
        return self.decided is not None and self.decided.action is DecisionAction.STRIKE


def clause_lines(contents: Contents, held: Sequence[Decision], family: ClauseFamily) -> tuple[ClauseLine, ...]:
    """The clauses of a family in document order, then the struck ones; `held` are the document's acts that hold."""
    clauses: tuple[Clause, ...] = getattr(contents, family.plural)
    acts = [act for act in held if act.field and (place := clause_place(act.field)) and place[0] == family]
    decided: dict[tuple[str, str], Decision] = {}
    struck: list[ClauseLine] = []
    for act in acts:
        assert act.field is not None
        if act.action is DecisionAction.STRIKE:
            struck.extend(ClauseLine(act.field, one, act) for one in parse_clauses(act.field, act.old_value))
        elif act.action is DecisionAction.ADD:
            one = parse_clause(act.field, act.new_value)
            decided[one.kind, one.quote] = act
        else:
            decided.update({(one.kind, one.quote): act for one in parse_clauses(act.field, act.new_value)})
    turns: dict[str, int] = {}
    lines = []
    for clause in clauses:
        turn = turns[clause.kind] = turns.get(clause.kind, 0) + 1
        several = sum(other.kind == clause.kind for other in clauses) > 1
        field = f"{family}.{clause.kind}" + (f".{turn}" if several else "")
        lines.append(ClauseLine(field, clause, decided.get((clause.kind, clause.quote))))
    there = {(line.clause.kind, line.clause.quote) for line in lines}
    gone = [line for line in struck if (line.clause.kind, line.clause.quote) not in there]
    return (*lines, *gone)


def clause_sentence(clause: Clause) -> str:
    """A clause in words: "Not covered: freezing, frost, ice." """
    meaning = clause.kind.meaning
    if isinstance(clause, Exclusion):
        return f"Not covered: {meaning}."
    if isinstance(clause, Duty) and clause.kind is DutyKind.WRITTEN_NOTICE:
        soon = f", within {counted(clause.days, 'day')} of discovery" if clause.days is not None else ""
        return f"To claim: notice in writing{soon}."
    if isinstance(clause, Duty):
        soon = f", within {counted(clause.days, 'day')}" if clause.days is not None else ""
        return f"To claim: {meaning}{soon}."
    return f"Agreed: {meaning}."


def kind_of(family: ClauseFamily, text: str) -> Word:
    """A kind by its name, the beginning of it, or a word of its meaning ("frost"); ValueRefusedError lists them."""
    words = {
        part.strip(): kind
        for kind in family.kinds
        if kind.value != "other"
        for part in re.split(r"[,;]| or ", kind.meaning)
    }
    return choice(family.kinds, text, f"kind of {family}", words)


def days_of(text: str) -> int | None:
    """Days as a person types them: "30", "thirty (30) days", "none"; ValueRefusedError otherwise."""
    if not text.strip() or is_nothing(text):
        return None
    wanted, example = "a number of days", "“30 days” or “none”"
    typed = text.strip()
    if not re.fullmatch(r"\d{1,4}", typed):
        value = only(Family.DURATION, typed, wanted, example).value
        if not isinstance(value, Duration) or value.days is None:
            raise refuse(text, wanted, example, "it is counted in days")
        return value.days
    if int(typed) == 0:
        raise refuse(text, wanted, example, "it must be above zero")
    return int(typed)


def made_clause(family: ClauseFamily, kind: Word, quote: str, days: int | None = None) -> Clause:
    """A clause that a person enters; ValueRefusedError without its words."""
    words = clean(quote)
    if not words:
        raise ValueRefusedError("a clause needs the words it stands in; copy them from the page")
    if family is ClauseFamily.EXCLUSION:
        return Exclusion(kind=ExclusionKind(kind), quote=words)
    if family is ClauseFamily.DUTY:
        return Duty(kind=DutyKind(kind), quote=words, days=days)
    return Condition(kind=ConditionKind(kind), quote=words)
