"""What an exclusion governs: the scope that a trigger, a heading or a list opens, and the causes that count in it."""

from collections.abc import Collection, Iterator, Sequence
from typing import TYPE_CHECKING

from firstcap.extract.page import Block, BlockKind, Layout
from firstcap.extract.parties import Parties
from firstcap.extract.patterns import exclusion
from firstcap.extract.patterns.clause import read
from firstcap.extract.patterns.exclusion import Opens
from firstcap.extract.stated import Found, Sentence, any_of, spans
from firstcap.schema.vocabulary import ExclusionKind

if TYPE_CHECKING:
    from spacy.tokens import Doc


def exclusions_in(sentence: Sentence, languages: Collection[str], warranty: bool) -> Iterator[Found]:
    span, doc = sentence.span, sentence.doc
    for hit in exclusion.STATEMENTS.find(doc, languages, [(span.start, span.end)]):
        if hit.row.kind is ExclusionKind.LABOUR_COST and not (warranty and sentence.claims):
            continue
        yield Found(hit.row.kind, hit.row.name, sentence, hit.start, weight=1)
    if not warranty or any_of(exclusion.STRANGERS, sentence, languages):
        return
    scope = _scope(sentence, languages)
    if not scope:
        return
    compounds = list(spans(exclusion.COMPOUNDS, sentence, languages))
    causes = [
        found
        for found in spans(exclusion.CAUSES, sentence, languages)
        if not any(first <= found[1] and found[2] <= last for _, first, last in compounds)
    ]
    for phrase_row, first, last in (*compounds, *causes):
        if all(index in scope for index in range(first, last)):
            yield Found(phrase_row.kind, phrase_row.name, sentence, doc[first].idx)


def opens_list(sentence: Sentence, languages: Collection[str]) -> bool:
    last = sentence.span.end - 1
    return any(index in _scope(sentence, languages) for index in (last, last - 1)) or (
        sentence.headed and sentence.text.rstrip().endswith(":")
    )


_ASKS = frozenset({"must", "shall", "should"})
_MENDS = frozenset({"repair", "repairs", "replace", "replaces"})
_COVERED = frozenset({"covered", "warranted", "guaranteed"})
_GIVES = _MENDS | _COVERED | {"covers", "warrants"}


def _scope(sentence: Sentence, languages: Collection[str]) -> frozenset[int]:
    """The tokens of a sentence that an exclusion governs."""
    span, doc = sentence.span, sentence.doc
    triggers = sorted(
        ((first, last, row) for row, first, last in spans(exclusion.TRIGGERS, sentence, languages)),
        key=lambda found: (found[0], found[1]),
    )
    turns = sorted(
        {first for _, first, _ in spans(exclusion.TERMINATORS, sentence, languages) if not _continues(doc, first)}
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
        "if may can".split()
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


def _tells_else(sentence: Sentence) -> bool:
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


def _enumerates(sentence: Sentence, languages: Collection[str]) -> bool:
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


def enumerating(
    layout: Layout,
    said: Sequence[Sequence[Sentence]],
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
            causes_of[index] = [
                frozenset() if _says_so_itself(sentence, languages) else _causes_named(sentence, languages)
                for sentence in said[index]
            ]
        return causes_of[index]

    found: set[int] = set()
    for group in _groups(layout, excluding):
        kinds = [of for index in group for of in named(index)]
        naming = sum(map(bool, kinds))
        if naming >= 3 and naming * 2 >= len(kinds) and len(frozenset().union(*kinds)) >= 3:
            found.update(group)
    return frozenset(found)


def _says_so_itself(sentence: Sentence, languages: Collection[str]) -> bool:
    """Whether a sentence excludes by its own words, so that it lends nothing to the sentences around it."""
    return any_of(exclusion.TRIGGERS, sentence, languages) or any_of(exclusion.STATEMENTS, sentence, languages)


def _causes_named(sentence: Sentence, languages: Collection[str]) -> frozenset[ExclusionKind]:
    """The causes in a sentence that neither advises nor promises; none where it does."""
    if any(token.norm_ in _TELLS for token in sentence.span):
        return frozenset()
    return frozenset(row.kind for row, _, _ in spans(exclusion.CAUSES, sentence, languages))


def _groups(layout: Layout, excluding: Collection[int]) -> Iterator[list[int]]:
    """The paragraphs below each innermost heading, together and one by one, and each run of list items."""
    sections: dict[int, list[int]] = {}
    items: list[int] = []
    for index, block in enumerate(layout.blocks):
        if block.kind is BlockKind.LIST_ITEM or (items and block.kind is BlockKind.PARAGRAPH and is_item(block)):
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


def is_item(block: Block) -> bool:
    return (block.number is not None and not block.number.replace(".", "").isdigit()) or block.run.text[:1].islower()


def excludes(heading: str, languages: Collection[str], parties: Parties) -> bool:
    return bool(exclusion.HEADINGS.find(read(heading, parties.suppliers, parties.customers), languages))
