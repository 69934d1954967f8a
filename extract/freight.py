"""Who pays the freight of a claim, and which way: read from the words that say so, else from who does what."""

from collections.abc import Collection, Iterator
from typing import TYPE_CHECKING

from firstcap.extract.patterns import duty
from firstcap.extract.patterns.clause import ClauseHit
from firstcap.extract.stated import Sentence, spans
from firstcap.schema.vocabulary import DutyKind

if TYPE_CHECKING:
    from spacy.tokens import Doc


_BREAKS = frozenset(", ; and but while whereas who y mientras et tandis und wahrend".split())
_NEW_PAYER = frozenset(
    "customer supplier freight carriage transportation shipping back that port porte portes "
    "retorno ida vuelta flete aller retour fracht ruckfracht rucktransport".split()
)
_SENT_HOW = frozenset("prepaid paid charges pre included".split())  # "returns it, carriage paid"


def _parts(sentence: Sentence) -> Iterator[tuple[int, int]]:
    """Parts of a sentence that speak of one payer: cut before a new subject or a new freight."""
    span, doc = sentence.span, sentence.doc
    start = span.start
    for index in range(span.start + 1, span.end):
        if doc[index - 1].norm_ not in _BREAKS or index - start < 2:
            continue
        ahead = [token.norm_ for token in doc[index : min(index + 3, span.end)]]
        how = not _SENT_HOW.isdisjoint(ahead[1:2]) or ahead[:1] == ["por"]  # "el de regreso, por la nuestra"
        if doc[index - 1].text == ";" or (any(word in _NEW_PAYER for word in ahead) and not how):
            yield start, index
            start = index
    yield start, span.end


def freight_in(sentence: Sentence, languages: Collection[str]) -> Iterator[tuple[DutyKind, str]]:
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
        if "freight.each" in said:
            yield DutyKind.RETURN_FREIGHT_CUSTOMER, "freight.each"
            yield DutyKind.RETURN_FREIGHT_SUPPLIER, "freight.each"
            continue
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
    sentence: Sentence, low: int, high: int, said: dict[str, ClauseHit], languages: Collection[str]
) -> tuple[str | None, str]:
    if "freight.customer" in said:
        return "customer", "freight.customer"
    if "freight.supplier" in said:
        return "supplier", "freight.supplier"
    doc = sentence.doc
    if "freight.own" in said:
        at = next(
            first
            for row, first, _ in spans(duty.FREIGHT, sentence, languages)
            if row.name == "freight.own" and first >= low
        )
        return _subject(sentence, at) or "customer", "freight.own"
    matches = [
        (row.name, first) for row, first, last in spans(duty.FREIGHT, sentence, languages) if low <= first < high
    ]
    prepaid = [
        (first, last) for row, first, last in spans(duty.FREIGHT, sentence, languages) if row.name == "freight.prepaid"
    ]
    for name in ("freight.pays", "freight.sends"):
        for verb in sorted(first for row, first in matches if row == name):
            if name == "freight.sends" and "freight.prepaid" not in said:
                break
            if name == "freight.pays" and any(first <= verb < last for first, last in prepaid):
                continue  # "postage paid" says how it is sent, not who pays
            subject = _subject(sentence, verb)
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


def _subject(sentence: Sentence, verb: int) -> str | None:
    """The party that does what the verb says: the nearest subject before it, else the party right after it ("lo paga el
    cliente"), else the one that "it" at the head of the sentence stands for."""
    doc, low = sentence.doc, sentence.span.start
    for index in range(verb - 1, low - 1, -1):
        if doc[index].text in (";", ":"):
            break
        if doc[index].norm_ in _PARTIES and _acts(doc, low, index):
            return doc[index].norm_
    for index in range(verb + 1, min(verb + 4, len(doc))):
        if doc[index].norm_ in _PARTIES and doc[index - 1].norm_ not in _BEFORE_OBJECTS:
            return None if doc[index].lower_ in _OBJECTS else doc[index].norm_
        if doc[index].is_punct:
            break
    if sentence.span[0].norm_ in _PRONOUNS and sentence.before is not None:
        before = sentence.before.span
        return next((token.norm_ for token in before[:4] if token.norm_ in _PARTIES), None)
    return None


_PARTIES = ("customer", "supplier")
_PRONOUNS = frozenset("it they".split())
_OBJECTS = frozenset("us me uns mich".split())
_LEADS = frozenset(
    "and or but if when where while after once before that which who whereas then thereupon whether because as so "
    "since until unless will shall must may can does do is are y e si cuando que mientras et ou quand lorsque und oder "
    "wenn falls sobald dass dann".split()
)
_ACTING = frozenset(
    "pay pays paid bear bears shall will must may can should agrees sends send ships ship returns return forwards "
    "has have is are meets meet covers cover assumes assume prepays prepay obtains gives mails delivers tests "
    "also then alone itself stands arranges absorbs refunds reimburses paga asume envia remite devuelve debera "
    "paie prend renvoie expedie supporte tragt zahlt sendet schickt ubernimmt tragen zahlen".split()
)


def _acts(doc: "Doc", low: int, index: int) -> bool:
    """Whether a party is the subject of its clause: it opens it or a verb follows, and nothing governs it."""
    if doc[index].lower_ in _POSSESSIVES | _OBJECTS or (index + 1 < len(doc) and doc[index + 1].norm_ in ("'s", "'")):
        return False
    before = index - 1
    while before >= low and (doc[before].norm_ in _ARTICLES or doc[before].norm_ == doc[index].norm_):
        before -= 1
    if before < low or doc[before].is_punct or doc[before].norm_ in _LEADS:
        return True
    if doc[before].norm_ in _BEFORE_OBJECTS:
        return False
    after = index + 1
    while after < len(doc) and after < index + 3 and doc[after].is_title:
        after += 1
    return after < len(doc) and doc[after].norm_ in _ACTING
