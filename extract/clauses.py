"""Exclusions, claim duties and conditions of a document: one row per kind, with the words and place it was read from.

What a sentence means hangs on its scope: "freezing" excludes only where something says that it does. The scope of an
exclusion opens at a trigger ("does not cover", "is void if", a heading "Exclusions"), runs forward or backward within
the sentence, goes over into the list the sentence opens, and turns round at "except", "unless" or "but".
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING, Any

from firstcap.extract.kind import is_warranty, warranty_paper
from firstcap.extract.language import language_of, sentences
from firstcap.extract.numbers import numbers
from firstcap.extract.page import Block, BlockKind, Layout, Origin, Run
from firstcap.extract.parties import Parties, find_parties
from firstcap.extract.patterns import condition, duty, exclusion
from firstcap.extract.patterns.clause import ClauseHit, read
from firstcap.extract.patterns.exclusion import Opens
from firstcap.schema.evidence import Evidence
from firstcap.schema.terms import Condition, Duty, Exclusion
from firstcap.schema.vocabulary import DutyKind, ExclusionKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span


@dataclass(frozen=True, slots=True)
class Clauses:
    """What the document excludes, asks and sets out besides its terms: one row per kind."""

    exclusions: tuple[Exclusion, ...] = ()
    duties: tuple[Duty, ...] = ()
    conditions: tuple[Condition, ...] = ()


@dataclass(slots=True)
class _Sentence:
    """A sentence of a block, with what its surroundings say about it."""

    run: Run
    doc: "Doc"
    span: "Span"
    headed: bool = False  # stands under a heading that excludes
    listed: bool = False  # item of a list that an excluding sentence opened
    claims: bool = True  # stands where a duty of a claim may stand
    before: "_Sentence | None" = None  # the sentence before it in the same block

    @property
    def text(self) -> str:
        return self.span.text


@dataclass(slots=True)
class _Found:
    kind: Any
    pattern: str
    sentence: _Sentence
    start: int
    days: int | None = None
    weight: int = 0


@dataclass(slots=True)
class _Best:
    """The best hit of each kind: the heaviest, of equals the first."""

    rows: dict[Any, _Found] = field(default_factory=dict)

    def add(self, found: _Found) -> None:
        held = self.rows.get(found.kind)
        if held is None or found.weight > held.weight:
            self.rows[found.kind] = found

    def __iter__(self) -> Iterator[_Found]:
        return iter(self.rows.values())


def find_clauses(layout: Layout, *, warranty: bool | None = None) -> Clauses:
    """Exclusions, duties and conditions of a document, each kind once, in the order of the page.

    A document that is no warranty (a manual, a price list) has no causes of exclusion and no duties, whatever its care
    text says; its disclaimers and limits of liability are read all the same. `warranty` says whether it is one, where
    a person knows; otherwise the text decides.
    """
    parties = find_parties(layout)
    if warranty is None:
        warranty, _ = is_warranty(layout)
    languages = _languages(layout)
    exclusions, duties, conditions = _Best(), _Best(), _Best()
    for sentence in _sentences(layout, parties, languages):
        for found in _exclusions(sentence, languages, warranty):
            exclusions.add(found)
        for found in _conditions(sentence, languages):
            conditions.add(found)
        if warranty and (sentence.claims or _reports_failure(sentence)):
            for found in _duties(sentence, languages):
                duties.add(found)
    return Clauses(
        tuple(Exclusion(kind=f.kind, quote=_quote(f), evidence=_evidence(f, "exclusion")) for f in exclusions),
        tuple(Duty(kind=f.kind, days=f.days, quote=_quote(f), evidence=_evidence(f, "duty")) for f in duties),
        tuple(Condition(kind=f.kind, quote=_quote(f), evidence=_evidence(f, "condition")) for f in conditions),
    )


def _reports_failure(sentence: _Sentence) -> bool:
    """Whether a sentence outside the warranty clause speaks of a failure of the product all the same."""
    return any(token.norm_.startswith("failure") for token in sentence.span)


def _quote(found: _Found) -> str:
    return found.sentence.text.strip()


def _evidence(found: _Found, kind: str) -> tuple[Evidence, ...]:
    span = found.sentence.span
    boxes = found.sentence.run.boxes(span.start_char, span.end_char)
    if not boxes:
        return ()
    return (Evidence(field=f"{kind}.{found.kind}", boxes=boxes, quote=_quote(found), pattern=found.pattern),)


def _languages(layout: Layout) -> frozenset[str]:
    """English, and every other language that a block of the document is written in."""
    long = (block.run.text for block in layout.blocks if len(block.run.text) > 20 and block.table is None)
    return frozenset({"en", *(language_of(text) for text in long)})


def _sentences(layout: Layout, parties: Parties, languages: Collection[str]) -> Iterator[_Sentence]:
    contract = not warranty_paper(layout)
    warranty_sections = _warranty_sections(layout) if contract else frozenset()
    open_list = False
    excluding = {
        index
        for index, block in enumerate(layout.blocks)
        if block.kind is BlockKind.HEADING and _excludes(block.run.text, languages, parties)
    }
    said = [[one for run in _runs(block) for one in _split(run, parties)] for block in layout.blocks]
    enumerating = _enumerating(layout, said, excluding, languages)
    for index, block in enumerate(layout.blocks):
        if block.kind in (BlockKind.FURNITURE, BlockKind.HEADING):
            headed = False
            if block.kind is BlockKind.HEADING:
                open_list = False
                headed = not excluding.isdisjoint(block.headings) and index not in excluding  # "Exclusions", "Frost"
                if not headed:
                    continue
            for sentence in said[index]:
                sentence.headed, sentence.claims = headed, False
                yield sentence
            continue
        headed = not excluding.isdisjoint(block.headings) or index in enumerating
        claims = not contract or bool(warranty_sections & set(block.headings[-1:]))
        in_list = open_list and (block.kind is BlockKind.LIST_ITEM or _is_item(block))
        last: _Sentence | None = None
        for last in said[index]:
            last.headed, last.listed, last.claims = headed, in_list, claims
            yield last
        if not in_list and last is not None:
            open_list = not last.text.rstrip().endswith((".", "!", "?")) and _opens_list(last, languages)


def _enumerating(
    layout: Layout,
    said: Sequence[Sequence[_Sentence]],
    excluding: Collection[int],
    languages: Collection[str],
) -> frozenset[int]:
    """Blocks that together name causes one by one ("Frozen meters. Grit in the chamber."), whatever stands over them.

    They are a paragraph, the paragraphs below one heading, or the items of one list, of which most sentences name a
    cause without promising or asking; three causes or more make a list of exclusions.
    """
    causes_of: dict[int, list[frozenset[ExclusionKind]]] = {}

    def named(index: int) -> list[frozenset[ExclusionKind]]:
        """The causes that each sentence of a block names."""
        if index not in causes_of:
            causes_of[index] = [_causes_named(sentence, languages) for sentence in said[index]]
        return causes_of[index]

    found: set[int] = set()
    for group in _groups(layout, excluding):
        kinds = [of for index in group for of in named(index)]
        naming = sum(map(bool, kinds))
        if naming >= 3 and naming * 2 >= len(kinds) and len(frozenset().union(*kinds)) >= 3:
            found.update(group)
    return frozenset(found)


def _causes_named(sentence: _Sentence, languages: Collection[str]) -> frozenset[ExclusionKind]:
    """The causes in a sentence that neither advises nor promises; none where it does."""
    if any(token.norm_ in _TELLS for token in sentence.span):
        return frozenset()
    return frozenset(row.kind for row, _, _ in _spans(exclusion.CAUSES, sentence, languages))


def _groups(layout: Layout, excluding: Collection[int]) -> Iterator[list[int]]:
    """The paragraphs below each innermost heading, together and one by one, and each run of list items."""
    sections: dict[int, list[int]] = {}
    items: list[int] = []
    for index, block in enumerate(layout.blocks):
        if block.kind is BlockKind.LIST_ITEM or (items and block.kind is BlockKind.PARAGRAPH and _is_item(block)):
            items.append(index)
        elif items:
            yield items
            items = []
        if block.headings and block.kind in (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM):
            sections.setdefault(block.headings[-1], []).append(index)
    if items:
        yield items
    for heading, blocks in sections.items():
        if heading not in excluding:
            yield blocks
            if len(blocks) > 1:
                yield from ([index] for index in blocks)


def _runs(block: Block) -> Iterable[Run]:
    if block.table is None:
        return (block.run,)
    return (*(cell.run for cell in block.table.cells), *block.table.notes)


def _split(run: Run, parties: Parties) -> list[_Sentence]:
    vocabulary = _vocabulary() if run.origin is Origin.OCR else frozenset()
    doc = read(run.text, parties.suppliers, parties.customers, vocabulary)
    made: list[_Sentence] = []
    for span in sentences(doc):
        if span.text.strip():
            made.append(_Sentence(run, doc, span, before=made[-1] if made else None))
    return made


@cache
def _vocabulary() -> frozenset[str]:
    """The words that patterns of clauses know, five letters or longer."""
    tables = (*exclusion.TABLES, *duty.TABLES, *condition.TABLES)
    return frozenset(word for table in tables for word in table.vocabulary if len(word) >= 4)


def _is_item(block: Block) -> bool:
    return (block.number is not None and not block.number.replace(".", "").isdigit()) or block.run.text[:1].islower()


def _excludes(heading: str, languages: Collection[str], parties: Parties) -> bool:
    return bool(exclusion.HEADINGS.find(read(heading, parties.suppliers, parties.customers), languages))


def _warranty_sections(layout: Layout) -> frozenset[int]:
    """Innermost headings under which a warranty is spoken of."""
    sections = set()
    for index, block in enumerate(layout.blocks):
        text = block.run.text.lower()
        if any(stem in text for stem in ("warrant", "guarant", "garant", "gewähr")):
            if block.kind is BlockKind.HEADING:
                sections.add(index)
                sections.update(i for i, b in enumerate(layout.blocks) if index in b.headings)
            elif "implied" not in text or "defect" in text:
                sections.update(block.headings[-1:])
    return frozenset(sections)


# Exclusions


def _exclusions(sentence: _Sentence, languages: Collection[str], warranty: bool) -> Iterator[_Found]:
    span, doc = sentence.span, sentence.doc
    for hit in exclusion.STATEMENTS.find(doc, languages, [(span.start, span.end)]):
        if hit.row.kind is ExclusionKind.LABOUR_COST and not (warranty and sentence.claims):
            continue
        yield _Found(hit.row.kind, hit.row.name, sentence, hit.start, weight=1)
    if not warranty or _any(exclusion.STRANGERS, sentence, languages):
        return
    scope = _scope(sentence, languages)
    if not scope:
        return
    compounds = list(_spans(exclusion.COMPOUNDS, sentence, languages))
    causes = [
        found
        for found in _spans(exclusion.CAUSES, sentence, languages)
        if not any(first <= found[1] and found[2] <= last for _, first, last in compounds)
    ]
    for phrase_row, first, last in (*compounds, *causes):
        if all(index in scope for index in range(first, last)):
            yield _Found(phrase_row.kind, phrase_row.name, sentence, doc[first].idx)


def _spans(table: Any, sentence: _Sentence, languages: Collection[str]) -> Iterator[tuple[Any, int, int]]:
    """Every match of a row with one-phrase wordings: (row, first token, last token + 1)."""
    span = sentence.span
    for row, first, last in table.rows_at(sentence.doc, languages):
        if span.start <= first and last <= span.end:
            yield row, first, last


def _any(table: Any, sentence: _Sentence, languages: Collection[str]) -> bool:
    return bool(table.find(sentence.doc, languages, [(sentence.span.start, sentence.span.end)]))


def _opens_list(sentence: _Sentence, languages: Collection[str]) -> bool:
    last = sentence.span.end - 1
    return any(index in _scope(sentence, languages) for index in (last, last - 1)) or (
        sentence.headed and sentence.text.rstrip().endswith(":")
    )


_ASKS = frozenset({"must", "shall", "should"})
_MENDS = frozenset({"repair", "repairs", "replace", "replaces"})
_COVERED = frozenset({"covered", "warranted", "guaranteed"})
_GIVES = _MENDS | _COVERED | {"covers", "warrants"}


def _scope(sentence: _Sentence, languages: Collection[str]) -> frozenset[int]:
    """The tokens of a sentence that an exclusion governs."""
    span, doc = sentence.span, sentence.doc
    triggers = sorted(
        ((first, last, row) for row, first, last in _spans(exclusion.TRIGGERS, sentence, languages)),
        key=lambda found: (found[0], found[1]),
    )
    turns = sorted(
        {first for _, first, _ in _spans(exclusion.TERMINATORS, sentence, languages) if not _continues(doc, first)}
    )
    opening = [token.norm_ for token in span[:2]]
    carried = (
        bool(_CARRIES.intersection(opening[1:] if opening[0] == "the" else opening[:1]))
        and sentence.before is not None
        and bool(_scope(sentence.before, languages))
    )
    if not triggers and carried:
        return _until_turns(doc, span.start, span.end, turns)
    if not triggers and not sentence.listed and not sentence.headed and _enumerates(sentence, languages):
        return frozenset(range(span.start, span.end))
    if not triggers and (sentence.listed or sentence.headed):
        if sentence.headed and not sentence.listed and _tells_else(sentence):
            return frozenset()
        return _until_turns(doc, span.start, span.end, turns)
    scope: set[int] = set()
    for first, last, row in triggers:
        exception = row.name == "scope.unless_caused"
        if exception and first in turns and first in scope:
            continue
        if exception and first in turns and any(first > other for other, _, kind in triggers if kind is not row):
            continue
        if row.kind is not Opens.BACKWARD:
            scope.update(_until_turns(doc, first, span.end, [turn for turn in turns if turn >= last]))
        if row.kind is not Opens.FORWARD:
            scope.update(range(_clause_start(doc, span.start, first, turns), last))
    return frozenset(scope)


_CARRIES = frozenset("so nor neither likewise similarly equally also same ditto tampoco ni ebenso gleiches".split())
_TELLS = (
    _ASKS
    | _GIVES
    | frozenset(
        "warrant guarantee guarantees guaranteed against resist resists protect avoid designed tested suited suitable "
        "if "
        "may "
        "can".split()
    )
)


def _until_turns(doc: "Doc", low: int, high: int, turns: Sequence[int]) -> frozenset[int]:
    """From low to high, without what stands between an "except" and the end of its member of the list."""
    inside = set(range(low, high))
    for turn in turns:
        if turn > low:
            end = next((index for index in range(turn, high) if doc[index].text == ";"), high)
            inside.difference_update(range(turn, end))
    return frozenset(inside)


def _tells_else(sentence: _Sentence) -> bool:
    """Whether a sentence under an excluding heading asks or promises something instead of naming a cause."""
    norms = [token.norm_ for token in sentence.span]
    if _ASKS.intersection(norms):
        return True
    for place, word in enumerate(norms):
        before = norms[max(0, place - 3) : place]
        if word in _MENDS and "supplier" in before:
            return True
        if word in _COVERED and {"is", "are", "remains", "remain"} & set(before) and "not" not in before:
            return True
    return False


def _enumerates(sentence: _Sentence, languages: Collection[str]) -> bool:
    """Three or more causes in a sentence that neither advises nor promises: a list of exclusions, however opened."""
    return len(_causes_named(sentence, languages)) >= 3


_ALL_BUT = frozenset("anybody anyone nobody other none nothing anything all any everyone".split())


def _continues(doc: "Doc", index: int) -> bool:
    if index and doc[index - 1].norm_ in _ALL_BUT:
        return True  # "anybody but us"
    words = " ".join(token.norm_ for token in doc[index : index + 3])
    return any(words.startswith(opening) for opening in exclusion.CONTINUATIONS)


def _clause_start(doc: "Doc", low: int, trigger: int, turns: Sequence[int]) -> int:
    """Where the clause that ends in a backward trigger begins: after the last semicolon or turn before it."""
    start = low
    for index in range(low, trigger):
        if doc[index].text == ";" or index in turns:
            start = index + 1
    return start


# Conditions


def _conditions(sentence: _Sentence, languages: Collection[str]) -> Iterator[_Found]:
    span = sentence.span
    for hit in condition.CONDITIONS.find(sentence.doc, languages, [(span.start, span.end)]):
        yield _Found(hit.row.kind, hit.row.name, sentence, hit.start)


# Duties


def _duties(sentence: _Sentence, languages: Collection[str]) -> Iterator[_Found]:
    span, doc = sentence.span, sentence.doc
    window = [(span.start, span.end)]
    strange = {hit.row.kind for hit in duty.STRANGERS.find(doc, languages, window)}
    for hit in duty.DUTIES.find(doc, languages, window):
        kind = hit.row.kind
        if kind is DutyKind.WRITTEN_NOTICE:
            if kind in strange:
                continue
            days = _days(sentence)
            yield _Found(kind, hit.row.name, sentence, hit.start, days, weight=_notice_weight(hit, days))
        elif kind in (DutyKind.TEST_BY_STANDARD, DutyKind.TEST_BY_SUPPLIER):
            if DutyKind.TEST_BY_SUPPLIER not in strange:
                yield _Found(kind, hit.row.name, sentence, hit.start)
        else:
            yield _Found(kind, hit.row.name, sentence, hit.start)
    for kind, pattern in _freight(sentence, languages):
        yield _Found(kind, pattern, sentence, span.start_char)


_DAYS = frozenset("day days dia dias jour jours tag tage tagen".split())
_WEEKS = frozenset("week weeks semana semanas semaine semaines woche wochen".split())
_DISCOVERY = (
    "discover", "notice", "find", "found", "detect", "learn", "appear", "occur", "fail", "defect", "fault",
    "know", "known", "aware", "light",
    "removal", "descub", "hallaz", "decouv", "constat", "entdeck", "kenntnis", "date",
)  # fmt: skip


_NOTICE = frozenset("notification notice receipt written".split())


def _notified(ahead: Sequence[str]) -> bool:
    """Whether a period runs from the notice itself; "of coming to notice" is discovery."""
    return any(word in _NOTICE and ahead[index - 1 : index] != ["to"] for index, word in enumerate(ahead))


def _days(sentence: _Sentence) -> int | None:
    """Days in which notice must be given: of several, the one that words of discovery follow; a week is seven."""
    span, doc = sentence.span, sentence.doc
    best: tuple[int, int] | None = None
    if any(token.norm_ == "fortnight" for token in span):
        best = (1, 14)
    for number in numbers(doc):
        if not (span.start <= number.start and number.end <= span.end) or number.value.denominator != 1:
            continue
        after = [
            token.norm_ for token in doc[number.end : min(number.end + 4, span.end)] if token.text not in (")", "-")
        ]
        unit = next((word for word in after[:3] if word in _DAYS or word in _WEEKS), None)
        if unit is None:
            continue
        ahead = [token.norm_ for token in doc[number.end : min(number.end + 7, span.end)]]
        if _notified(ahead) and "customer" not in ahead:
            continue  # "within ten days of notification" is the supplier's time
        later = [token.norm_ for token in doc[number.end : min(number.end + 14, span.end)]]
        near = sum(any(word.startswith(stem) for stem in _DISCOVERY) for word in later)
        value = int(number.value) * (7 if unit in _WEEKS else 1)
        if best is None or (near > 0) > (best[0] > 0):
            best = (near, value)
    return best[1] if best else None


def _notice_weight(hit: ClauseHit, days: int | None) -> int:
    return (2 if days is not None else 0) + (1 if hit.row.name != "notice.days" else 0)


_BREAKS = frozenset(
    {",", ";", "and", "but", "while", "whereas", "y", "mientras", "et", "tandis", "und", "wahrend", "who"}
)


_NEW_PAYER = frozenset(
    "retorno ida aller customer supplier freight carriage transportation shipping back that port porte portes "
    "flete vuelta retour fracht "
    "ruckfracht rucktransport".split()
)


def _parts(sentence: _Sentence) -> Iterator[tuple[int, int]]:
    """Parts of a sentence that speak of one payer: cut before a new subject or a new freight."""
    span, doc = sentence.span, sentence.doc
    start = span.start
    for index in range(span.start + 1, span.end):
        if doc[index - 1].norm_ not in _BREAKS or index - start < 2:
            continue
        ahead = [token.norm_ for token in doc[index : min(index + 3, span.end)]]
        sent_how = len(ahead) > 1 and ahead[1] in (
            "prepaid",
            "paid",
            "charges",
            "pre",
            "included",
        )  # "returns it, carriage paid"
        how = sent_how or ahead[:1] == ["por"]  # "el de regreso, por la nuestra"
        if doc[index - 1].text == ";" or (any(word in _NEW_PAYER for word in ahead) and not how):
            yield start, index
            start = index
    yield start, span.end


def _freight(sentence: _Sentence, languages: Collection[str]) -> Iterator[tuple[DutyKind, str]]:
    """Who pays the freight of a claim: the words that say so, else the party nearest before the verb of paying."""
    spoken = sentence.before is not None and "freight.thing" in {
        hit.row.name
        for hit in duty.FREIGHT.find(sentence.doc, languages, [(sentence.before.span.start, sentence.before.span.end)])
    }
    paid = False
    carried = spoken  # from the sentence before: "Send it at your own cost. We return it at ours."
    for low, high in _parts(sentence):
        window = [(low, high)]
        said = {hit.row.name: hit for hit in duty.FREIGHT.find(sentence.doc, languages, window)}
        thing = "freight.thing" in said
        sends_back = "freight.sends" in said or {"freight.pays", "freight.outbound"} <= said.keys()
        if carried and not thing and not sends_back:
            continue
        if not thing and not (spoken and ("freight.outbound" in said or "freight.inbound" in said)):
            continue
        spoken, carried = True, carried and not thing
        payer, pattern = _payer(sentence, low, high, said, languages)
        if payer is None and paid:
            payer, pattern = _only_party(sentence.doc, low, high), "freight.elliptic"
        paid = paid or payer is not None
        outbound, inbound = "freight.outbound" in said, "freight.inbound" in said
        sound = any(
            hit.row.kind is DutyKind.RETURN_FREIGHT_CUSTOMER
            for hit in duty.STRANGERS.find(sentence.doc, languages, [(sentence.span.start, sentence.span.end)])
        )
        if payer == "customer" and not sound and not (outbound and not inbound and "freight.prepaid" not in said):
            yield DutyKind.RETURN_FREIGHT_CUSTOMER, pattern
        elif payer == "supplier":
            yield DutyKind.RETURN_FREIGHT_SUPPLIER, pattern


_BEFORE_OBJECTS = frozenset(
    "contact call ask email to from of by for with at notify notifies notified tell tells told inform informs "
    "advise gives give giving sends send "
    "a al de del por para au aux du par a vers an von vom des zu zum durch dem".split()
)
_RECEIVING = (_BEFORE_OBJECTS | {"the", "dem", "den"}) - {"by", "par", "por", "von", "vom", "durch", "de", "del"}


def _only_party(doc: "Doc", low: int, high: int) -> str | None:
    """The one party a part names, its verb in the part before: "Fracht trägt der Kunde, Rückfracht der Hersteller"."""
    named = {
        token.norm_
        for token in doc[low:high]
        if token.norm_ in ("customer", "supplier") and doc[max(token.i - 1, 0)].norm_ not in _RECEIVING
    }
    return named.pop() if len(named) == 1 and not any(token.norm_ in ("not", "no") for token in doc[low:high]) else None


def _payer(
    sentence: _Sentence, low: int, high: int, said: dict[str, ClauseHit], languages: Collection[str]
) -> tuple[str | None, str]:
    if "freight.customer" in said:
        return "customer", "freight.customer"
    if "freight.supplier" in said:
        return "supplier", "freight.supplier"
    doc = sentence.doc
    matches = [
        (row.name, first) for row, first, last in _spans(duty.FREIGHT, sentence, languages) if low <= first < high
    ]
    prepaid = [
        (first, last) for row, first, last in _spans(duty.FREIGHT, sentence, languages) if row.name == "freight.prepaid"
    ]
    for name in ("freight.pays", "freight.sends"):
        for verb in sorted(first for row, first in matches if row == name):
            if name == "freight.sends" and "freight.prepaid" not in said:
                break
            if name == "freight.pays" and any(first <= verb < last for first, last in prepaid):
                continue  # "postage paid" says how it is sent, not who pays
            subject = _subject(doc, sentence.span.start, verb)
            if name == "freight.pays" and subject is None:
                if doc[verb].norm_ in ("pay", "prepay"):
                    return "customer", name  # an imperative asks it of the reader
                continue
            if name == "freight.sends" and subject is None:
                subject = "supplier" if "freight.outbound" in said and "freight.inbound" not in said else "customer"
            return subject, name
    if "freight.prepaid" in said:
        outward = "freight.outbound" in said and "freight.inbound" not in said
        return ("supplier" if outward else "customer"), "freight.prepaid"
    return None, ""


_POSSESSIVES = frozenset(
    "our your unser unsere unserem unseren unserer unseres ihr ihre ihren ihrer notre nos votre vos nuestro "
    "nuestra nuestros nuestras".split()
)
_ARTICLES = frozenset("the a an el la los le les der die das den this that its".split())


def _subject(doc: "Doc", low: int, verb: int) -> str | None:
    """The party that does what the verb says: the nearest one before it that is no object of another word, else the one
    right after it ("lo paga el cliente")."""
    for index in range(verb - 1, low - 1, -1):
        if doc[index].text in (";", ":"):
            break
        if doc[index].norm_ not in ("customer", "supplier"):
            continue
        before = index - 1
        while before >= low and (doc[before].norm_ in _ARTICLES or doc[before].norm_ == doc[index].norm_):
            before -= 1
        if before >= low and doc[before].norm_ in _BEFORE_OBJECTS:
            continue
        if doc[index].lower_ in _POSSESSIVES or (index + 1 < len(doc) and doc[index + 1].norm_ in ("'s", "'")):
            continue
        return doc[index].norm_
    for index in range(verb + 1, min(verb + 4, len(doc))):
        if doc[index].norm_ in ("customer", "supplier") and doc[index - 1].norm_ not in _BEFORE_OBJECTS:
            return doc[index].norm_
        if doc[index].is_punct:
            break
    return None
