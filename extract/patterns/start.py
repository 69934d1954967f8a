"""What starts a term: "from the date of shipment", "ab Lieferung", "begins at installation but no later than six months
after shipment".

Read in three steps: words that name an event become one token EVENT; an event with the preposition or verb that makes
it a
start is a single clock; two events with a word that combines them move the start. A pair such as "12 months from
installation or 18 months from shipment, whichever comes first" moves the END: it stays two single clocks, each beside
its
own duration.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING, Any

from firstcap.extract.language import parse
from firstcap.extract.numbers import ENGLISH, NumberStyle
from firstcap.extract.patterns import duration
from firstcap.extract.patterns.base import Family, Mention, Pattern, longest
from firstcap.extract.patterns.matching import (
    DURATION,
    EVENT,
    HYPHENS,
    LATEST,
    MAYBE_DASH,
    Built,
    D,
    E,
    Table,
    lower_at,
    orth,
    payload,
    with_mentions,
    with_numbers,
    word,
)
from firstcap.extract.patterns.rule import FIRST_ELSEWHERE, FIRST_WORDS, LAST_ELSEWHERE, LAST_WORDS
from firstcap.extract.patterns.values import FullAndTail, StartClock, StartSpec
from firstcap.schema.vocabulary import StartEvent, StartRule, WarningKind

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span, Token

# ---- step 1: words that name an event -------------------------------------------------------------------------------

_NOUNS: dict[StartEvent, tuple[str, ...]] = {
    StartEvent.SHIPMENT: (
        "shipment", "shipping", "ship", "despatch", "dispatch", "consignment", "exw", "despacho", "envío", "envio",
        "embarque",
        "expedición", "expedicion", "expédition", "expedition", "versand", "versanddatum", "versands", "ship-date",
        "shipments",
        "shipdate",
    ),
    StartEvent.MANUFACTURE: (
        "manufacture", "manufacturing", "production", "fabrication", "fabricación", "fabricacion", "herstellung",
        "fertigung",
        "produktion", "herstellungsdatum", "herstelldatum", "produktionsdatum", "baujahr", "mfg", "mfr", "assembly",
    ),
    StartEvent.DELIVERY: (
        "delivery", "receipt", "arrival", "handover", "entrega", "recepción", "recepcion", "livraison", "lieferung",
        "anlieferung", "ablieferung", "auslieferung", "gefahrübergang", "gefahruebergang", "gefahrenübergang",
        "lieferdatum",
        "übergabe", "uebergabe", "wareneingang", "erhalt", "auslieferungsdatum", "liefertag",
    ),
    StartEvent.PURCHASE: (
        "purchase", "sale", "invoice", "invoicing", "billing", "compra", "factura", "facturación", "facturacion",
        "venta",
        "achat", "facture", "facturation", "vente", "kauf", "rechnung", "rechnungsdatum", "kaufdatum", "verkauf",
        "rechnungsstellung", "fakturierung", "verkaufsdatum", "kaufs",
    ),
    StartEvent.INSTALLATION: (
        "installation", "install", "fitting", "emplacement", "instalación", "instalacion", "pose", "einbau", "montage",
        "einbaudatum", "einbaus", "installationsdatum", "setting",
    ),
    StartEvent.COMMISSIONING: (
        "commissioning", "activation", "startup", "energization", "energisation", "activación", "activacion",
        "inbetriebnahme", "inbetriebsetzung", "aktivierung", "erstinbetriebnahme", "inbetriebnahmedatum",
    ),
    StartEvent.ACCEPTANCE: ("acceptance", "acceptation", "aceptación", "aceptacion", "abnahme", "conformité"),
}  # fmt: skip
_VERBS: dict[StartEvent, tuple[str, ...]] = {
    StartEvent.SHIPMENT: ("shipped", "ships", "despatched", "dispatched", "consigned", "expédié", "despachado",
     "enviado",
                          "versandt"),
    StartEvent.MANUFACTURE: ("manufactured", "made", "produced", "built", "fabricado", "fabriqué", "hergestellt"),
    StartEvent.DELIVERY: ("delivered", "received", "entregado", "recibido", "livré", "geliefert", "arrives", "arrive",
                          "arrived", "receives", "receive", "delivers", "deliver"),
    StartEvent.PURCHASE: ("purchased", "bought", "sold", "invoiced", "billed", "comprado", "vendido", "acheté", "vendu",
                          "gekauft", "verkauft", "purchases", "buys", "buy", "bills"),
    StartEvent.INSTALLATION: ("installed", "fitted", "instalado", "instalada", "installé", "posé", "eingebaut",
     "installs", "fits"),
    StartEvent.COMMISSIONING: ("commissioned", "activated", "energized", "energised", "activado", "activé",
     "aktiviert"),
    StartEvent.ACCEPTANCE: ("accepted", "accepts", "aceptado", "accepté", "abgenommen"),
}  # fmt: skip
_EVENT_OF = {form: event for table in (_NOUNS, _VERBS) for event, forms in table.items() for form in forms}
_VERB_FORMS = frozenset(form for forms in _VERBS.values() for form in forms)


@dataclass(frozen=True, slots=True)
class _Named:
    """An event as its words name it; `verb` where they are a verb ("is shipped")."""

    event: StartEvent
    verb: bool = False


_NOT_NOUN_AFTER = frozenset(
    "instructions instruction manual manuals procedures procedure guidelines guide practices practice costs cost "
    "charges "
    "charge fees fee expenses labor labour requirements standards standard contractor contractors crew site sites "
    "defects "
    "errors error kit tools work order terms price prices address docket documents tax process processes facility "
    "drawings drawing permit lines line lines area test tests plant note notes ticket method defect damage "
    "party".split()
)


def _noun(span: "Span") -> _Named | None:
    token = span[-1] if span[-1].lower_ in _EVENT_OF else span[0]
    form = next((one.lower_ for one in span if one.lower_ in _EVENT_OF), "")
    if lower_at(span.doc, span.end) in _NOT_NOUN_AFTER and token.lower_ not in {"despatch", "dispatch"}:
        return None
    if form == "setting" and lower_at(span.doc, span.end) not in {"date", ""}:
        return None
    if form == "ship" and lower_at(span.doc, span.start - 1) in {"we", "they", "you"}:
        return _Named(StartEvent.SHIPMENT, True)
    if form == "made" and (
        lower_at(span.doc, span.end) in {"of", "from", "up", "good", "to"}
        or (lower_at(span.doc, span.start - 1) or "").endswith("ly")
    ):
        return None  # "badly made", "made of bad material"
    if form in {"mfg", "mfr", "assembly", "ship"} and lower_at(span.doc, span.end) not in {"date", "dates", "day", "."}:
        return None
    if (
        form == "receipt"
        and lower_at(span.doc, span.end + 1) in {"notice", "written", "claim", "the", "a", "such"}
        and (
            {lower_at(span.doc, span.end + k) for k in range(1, 6)}
            & {"notice", "claim", "claims", "notification", "payment"}
        )
    ):
        return None
    return _Named(_EVENT_OF[form], form in _VERB_FORMS)


def _is(event: StartEvent, verb: bool = False) -> Callable[["Span"], _Named]:
    def build(span: "Span") -> _Named:
        return _Named(event, verb)

    return build


_NOUN_FORMS = tuple(form for forms in _NOUNS.values() for form in forms)


def _set(span: "Span") -> _Named | None:
    """ "the day the meter is set", not "limits are set out below", "set by law"."""
    if span[-1].lower_ == "set" and lower_at(span.doc, span.end) in {
        "out", "forth", "by", "to", "at", "down", "above", "below", "aside", "up", "as",
    }:  # fmt: skip
        return None
    return _Named(StartEvent.INSTALLATION, True)


def _put_in(span: "Span") -> _Named | None:
    """ "After you put it in", not "put it in writing", "put it in service"."""
    ended = lower_at(span.doc, span.end) in {"", ",", ".", ";", "or", "and", ")", "yourself"} or span[-1].lower_ in {
        "place",
        "line",
    }
    return _Named(StartEvent.INSTALLATION, True) if ended else None


_SERVICE = word("service", "use", "operation", "action", "commission", "duty", "gebrauch", "betrieb")
_FEW = ({"ORTH": {"NOT_IN": [".", ";", ",", "(", ")"]}, "OP": "?"},) * 3
_NAMES: tuple[Pattern, ...] = (
    Pattern("event_word", "one word", [[word(*_EVENT_OF)]], _noun, "shipment", _Named(StartEvent.SHIPMENT), "shape"),
    Pattern(
        "ex_works", "ex works, ex factory, ab Werk, départ usine",
        [[word("ex"), MAYBE_DASH, word("works", "factory", "mill", "warehouse")], [word("départ"), word("usine")],
         [word("auslieferung", "lieferung"), word("ab"), word("werk")]],
        _is(StartEvent.SHIPMENT), "ex-works", _Named(StartEvent.SHIPMENT), "ex officio",
    ),
    Pattern(
        "leaves_the_works", "the goods leave our dock",
        [[word("leave", "leaves", "leaving", "left", "departs", "depart"), *_FEW,
          word("dock", "works", "factory", "plant", "warehouse", "premises", "stores", "facility", "door", "gate")],
         [word("handed", "given", "tendered"), word("over", op="?"), word("to"), word("the", "a", op="?"),
          word("carrier", "forwarder", "haulier")]],
        _is(StartEvent.SHIPMENT, True), "leaves our dock", _Named(StartEvent.SHIPMENT, True), "leave the cover open",
    ),
    Pattern(
        "into_service", "placed in service, put into use, enters operation, in-service",
        [[word("placed", "put", "puts", "placing", "putting", "goes", "going", "enters", "entered", "taken",
         "brought", "placed",
               "enter", "entering", "went"), *_FEW, word("in", "into"), word("active", "actual", "regular", op="?"),
               _SERVICE],
         [word("enters", "entering", "entered", "enter"), _SERVICE],
         [word("in", "into"), MAYBE_DASH, word("service"), word("date")],
         [word("entry", "placement", "introduction", "going"), word("into", "in"), _SERVICE]],
        _is(StartEvent.COMMISSIONING, True), "placed in service", _Named(StartEvent.COMMISSIONING, True),
         "in use for years",
    ),
    Pattern(
        "start_up", "start-up, first use, first put to use, initial operation, going live",
        [[word("start"), MAYBE_DASH, word("up")],
         [word("first", "initial"), word("use", "operation", "transmission", "energization", "service", "used",
          "operated")],
         [word("going"), MAYBE_DASH, word("live")], [word("puesta"), word("en"), word("servicio", "marcha", "operación",
                                                                                      "operacion", "funcionamiento",
                                                                                      "uso")],
         [word("mise"), word("en"), word("service", "marche", "route", "eau", "exploitation")],
         [word("switched", "turned"), word("on")]],
        _is(StartEvent.COMMISSIONING), "start-up", _Named(StartEvent.COMMISSIONING), "first used as a sample",
    ),
    Pattern(
        "first_of_its_kind", "first commissioning, initial installation: no word of which limit comes first",
        [[word("first", "initial", "original"), word(*_NOUN_FORMS, *_VERB_FORMS)]],
        _noun, "first commissioning", _Named(StartEvent.COMMISSIONING), "whichever comes first",
    ),
    Pattern(
        "into_the_ground", "the meter goes into the ground, is set in the line",
        [[word("goes", "go", "put", "placed", "went", "buried", "going", "lowered", "laid"), word("in", "into"),
          word("the", "its"), word("ground", "line", "pit", "main", "pipeline", "pipe", "vault", "setter", "chamber",
                                   "box")],
         [word("is", "was", "are", "were", "been", "being", "be"), word("set"),
          word("in", "into", "on", op="?"), word("place", "line", op="?")]],
        _set, "the meter goes into the ground", _Named(StartEvent.INSTALLATION, True), "the limit is set by law",
    ),
    Pattern(
        "put_in", "a person puts it in: after you put it in, once it has been put in",
        [[word("put", "puts", "set", "sets", "fit", "fits", "plumb", "plumbs"), word("it", "them"), word("in", "into", "up"),
          word("place", "line", op="?")],
         [word("been", "is", "are", "was", "were"), word("put", "plumbed"), word("in")]],
        _put_in, "after you put it in", _Named(StartEvent.INSTALLATION, True), "put it in writing",
    ),
    Pattern(
        "bill_of_lading", "the paper that goes with a shipment: bill of lading, consignment note, waybill",
        [[word("bill", "bills"), word("of"), word("lading")],
         [word("consignment", "freight", "loading", "despatch", "dispatch", "packing"), word("note", "docket", "slip",
                                                                                            "list")],
         [word("waybill", "waybills")]],
        _is(StartEvent.SHIPMENT), "bill of lading", _Named(StartEvent.SHIPMENT), "bill of materials",
    ),
    Pattern(
        "risk_passes", "transfer of risk",
        [[word("transfer", "passing", "passage"), word("of"), word("the", op="?"), word("risk", "title")],
         [word("risk"), word("passes", "transfers")], [word("transfert"), word("des", "de"), word("risques",
          "risque")]],
        _is(StartEvent.DELIVERY), "transfer of risk", _Named(StartEvent.DELIVERY), "risk of loss",
    ),
    Pattern(
        "reception_accepted", "recepción conforme, réception définitive, Abnahme",
        [[word("recepción", "recepcion"), word("conforme", "definitiva", "provisional", "final", "provisoria")],
         [word("réception"), word("définitive", "provisoire", "des", "du", "de", "par", op="?")]],
        _is(StartEvent.ACCEPTANCE), "recepción conforme", _Named(StartEvent.ACCEPTANCE), "recepción del hotel", "es",
    ),
    Pattern(
        "date_on_body", "the month stamped on the body, the date code on the dial",
        [[word("stamped", "moulded", "molded", "marked", "cast", "printed", "engraved", "shown", "coded"),
          word("on", "into", "in"), word("the", "its", "each", op="?"),
          word("body", "dial", "case", "maincase", "register", "lid", "nameplate", "housing", "unit", "meter",
           "label", "faceplate",
               "serial")],
         [word("date"), word("code"), word("on", "of", op="?"), word("the", op="?"), word("dial", "body", "register",
          "meter",
                                                                                         "unit", op="?")]],
        _is(StartEvent.MANUFACTURE), "stamped on the body", _Named(StartEvent.MANUFACTURE), "printed on the invoice",
    ),
    Pattern(
        "other_event", "an event outside the list: order, contract award, agreement",
        [[word("contract"), word("award", "signing", "signature", "execution", "date", "effectiveness")],
         [word("award"), word("of"), word("the", op="?"), word("contract", "bid", "tender")],
         [word("execution", "signing", "signature"), word("of"), word("the", "this", op="?"), word("contract",
          "agreement")],
         [word("purchase", op="?"), word("order"), word("date")],
         [word("completion", "substantial"), word("of", "completion"), word("the", op="?"), word("project", "work",
          "works",
                                                                                                op="?")],
         [word("purchase", op="?"), word("order"), word("acceptance", "confirmation")]],
        _is(StartEvent.OTHER), "contract award", _Named(StartEvent.OTHER), "order the part",
    ),
)  # fmt: skip
_NAME_TABLE = Table(Family.START, _NAMES)

# ---- step 2: an event that starts a clock ---------------------------------------------------------------------------

_FROM = (
    "from", "after", "following", "follow", "follows", "siguientes", "posteriores", "suivants", "since", "past", "ab", "nach", "seit", "vom", "desde", "tras", "depuis", "dès",
    "après",
    "suivant", "à", "a", "von",
)  # fmt: skip
_DATE_WORDS = ("date", "dates", "day", "time", "month", "moment", "year", "fecha", "día", "momento", "jour", "datum",
 "tag",
               "zeitpunkt", "tage", "mes")  # fmt: skip
_FILL = (
    *_DATE_WORDS, "the", "a", "an", "any", "original", "initial", "first", "actual", "documented", "said", "such",
     "that",
    "its", "their", "our", "your", "buyer", "customer", "meter", "meters", "product", "products", "unit", "goods",
    "each", "every",
    "factory", "supplier", "seller", "manufacturer", "company", "'s", "’s", "utility", "owner", "of", "on", "when",
    "shown",
    "printed", "appearing", "upon", "which", "physical", "final", "successful", "system", "complete", "recorded",
    "registered",
    "proven", "equipment", "device", "item", "lot", "batch", "individual", "relevant", "respective", "original",
    "stated",
    "written", "purchaser", "end", "user", "retail", "customer", "for", "it", "is", "was", "are", "were", "being",
    "been", "has",
    "have", "in", "to", "by", "commercial", "invoice's", "consumer", "site", "field", "proper", "verified",
    "beneficial",
    "substantial", "formal", "date's", "bill", "lading", "carton", "dealer", "distributor", "district", "owner",
    "city", "body",
    "l'", "l’", "d’", "la", "le", "les", "du", "de", "des", "d'", "el", "los", "las", "del", "der", "die", "das", "dem", "den",
    "des", "cada",
    "lote", "chaque", "compter", "partir", "contar", "dater", "su", "sa", "son", "ihrer", "seiner", "jeder",
    "jeweiligen", "of",
    "efectiva", "effective", "endgültigen", "erfolgten", "erster", "erfolgter", "ersten", "primera", "première",
    "zur", "beim",
    "later", "anniversary", "purchaser", "we", "they", "you", "first", "municipality", "ultimate", "documented",
    "warranty",
    "counted", "sales", "equipo", "medidor", "medidores", "material", "compteur", "compteurs", "equipment",
    "complete", "bona",
    "fide", "reading", "endpoint", "module", "register", "battery", "month's", "calendar", "provisional", "by", "us",
    "works",
)  # fmt: skip
_FILLED = word(*_FILL, op="*")
_BEGINS = (
    "begins", "starts", "commences", "begin", "start", "commence", "runs", "run", "counted", "measured", "calculated",
    "computed",
    "reckoned", "dated", "effective", "beginning", "starting", "commencing", "dating", "running", "effect",
    "contados", "contado",
    "beginnt", "beginnen", "laufen", "courent", "débutent", "commencent", "cuentan", "corren", "empieza", "inician",
    "comienzan", "comenzará", "empiezan", "läuft", "court", "comienza", "inicia", "rige", "débute", "commencer", "begun", "starter", "opens",
    "inicio", "corre", "cuenta", "arranca", "comienzan", "empieza",
)  # fmt: skip
_AT = ("on", "at", "upon", "with", "from", "by", "when", "once", "in", "as", "of", "after", "following", "con", "mit",
 "ab",
       "desde", "à", "dès", "en", "the", "only", "not", "until", "a", "correr", "contar", "contarse", "courir", "zu")  # fmt: skip
_DEFINES = ("means", "mean", "is", "be", "meaning", "denotes", "bezeichnet", "significa", "désigne")
_SUBJECT: dict[str, Any] = {"ORTH": {"NOT_IN": [".", ";", ",", "(", ")", ":", DURATION, EVENT]}, "OP": "*"}
# "the date Larkmoor Meter Co. ships the product": a firm's name may end in a full stop.
_FIRM = (word("co", "inc", "ltd", "corp", "llc"), orth("."))
_BAD_SUBJECT = frozenset(
    "claim notice defect failure discovery removal returned return replaced repaired instructions before prior rma "
    "until "
    "warranty's removed".split()
)
_DATE_TAIL = word("date", "day", "dates", op="?")
_VERBS_ON = ("once", "when", "until", "day", "date", "moment", "time", "month", "from", "after", "since", "on")


def events(span: "Span") -> list[_Named]:
    return [payload(token).value for token in span if token.text == EVENT]


def _single(span: "Span") -> StartSpec | None:
    found = events(span)
    if len(found) != 1:
        return None
    words = [token.lower_ for token in span]
    if not _BAD_SUBJECT.isdisjoint(words):
        return None
    if words[0] in {"à", "a"} and words[1:2] not in (["compter"], ["partir"], ["contar"], ["dater"]):
        return None
    if words[0] == "von" and "an" not in {lower_at(span.doc, span.end)}:
        return None
    if words[0] == "desde" and lower_at(span.doc, span.end) == "hasta":
        return None
    return StartSpec((StartClock(found[0].event),))


def _clause(span: "Span") -> StartSpec | None:
    """ "from the day the goods leave our dock": the words between must lead to a verb."""
    found = events(span)
    if len(found) != 1 or not found[0].verb or len(span) > 14:
        return None
    words = {token.lower_ for token in span}
    return None if words & _BAD_SUBJECT else StartSpec((StartClock(found[0].event),))


def _begun(span: "Span") -> StartSpec | None:
    found = events(span)
    words = {token.lower_ for token in span}
    if len(found) != 1 or words & _BAD_SUBJECT or len(span) > 14:
        return None
    return StartSpec((StartClock(found[0].event),))


def _plus(mention: Mention) -> tuple[Decimal, tuple[str, ...]]:
    """Whole months of a delay; days cannot be told in months, so they are flagged."""
    value = mention.value.total if isinstance(mention.value, FullAndTail) else mention.value
    return (Decimal(0), (WarningKind.OTHER.value,)) if value.months is None else (value.months, ())


def _in_use(span: "Span") -> StartSpec | None:
    """ "twelve months in use": a start only where another clock stands beside it, or in "one year into service"."""
    doc = span.doc
    if span[1].text == EVENT:
        named: _Named = payload(span[1]).value
        works = payload(span[1]).text.lower().startswith("ex")
        return StartSpec((StartClock(named.event),)) if works else None
    others = [token for token in doc if token.text == EVENT and abs(token.i - span.start) < 20]
    if span[1].lower_ == "into" or others:
        return StartSpec((StartClock(StartEvent.INSTALLATION),))
    return None


def _delayed(span: "Span") -> Built | None:
    """ "begins six months after shipment"."""
    found = events(span)
    delay = next(payload(token) for token in span if token.text == DURATION)
    if len(found) != 1:
        return None
    months, notes = _plus(delay)
    return Built(StartSpec((StartClock(found[0].event, months),)), notes)


_SHIPMENT = StartSpec((StartClock(StartEvent.SHIPMENT),))
_INSTALLATION = StartSpec((StartClock(StartEvent.INSTALLATION),))
SINGLE: tuple[Pattern, ...] = (
    Pattern(
        "from_event", "a preposition that counts from an event: from the date of shipment, ab Lieferung",
        [[word(*_FROM), _FILLED, E, _DATE_TAIL]],
        _single, "ten years from the date of shipment", _SHIPMENT, "prior to installation of the meter",
    ),
    Pattern(
        "of_event_date", "within a time of an event: within twelve months of the invoice date, 24 months of shipment",
        [[D, word("of"), _FILLED, E, _DATE_TAIL]],
        _single, "within twelve months of shipment", _SHIPMENT, "twelve months of service",
    ),
    Pattern(
        "day_that", "a clause in place of a noun: from the day the goods leave our dock, once the meter is installed",
        [[word(*_FROM), _FILLED, word(*_DATE_WORDS), _SUBJECT, E], [word("once", "when", "after"), _SUBJECT, E],
         [word(*_FROM), _FILLED, word(*_DATE_WORDS), _SUBJECT, *_FIRM, E]],
        _clause, "from the day the goods leave our dock", _SHIPMENT, "once a claim is accepted",
    ),
    Pattern(
        "defined_as", "a definition: “Warranty Start” means the date on which the Product was shipped",
        [[word(*_DEFINES), _FILLED, word(*_DATE_WORDS), _SUBJECT, E], [word(*_DEFINES), _FILLED, E, word("date",
         "day")]],
        _begun, "Start means the day on which the meter is shipped", _SHIPMENT,
         "a credit is made on the day of a claim",
    ),
    Pattern(
        "begins_at_event", "a verb of beginning: begins at installation, takes effect on delivery",
        [[word(*_BEGINS), word(*_AT, op="*"), _FILLED, E, _DATE_TAIL], [word(*_BEGINS), word(*_AT), _SUBJECT, E]],
        _begun, "cover begins at installation", _INSTALLATION, "cover begins before removal",
    ),
    Pattern(
        "begins_after_delay", "a start some months after an event: begins six months after shipment",
        [[word(*_BEGINS), word("only", "not", "earlier", "than", op="*"), D, word("after", "from", "following",
         "past"), _FILLED,
          E, _DATE_TAIL]],
        _delayed, "cover begins six months after shipment", StartSpec((StartClock(StartEvent.SHIPMENT, Decimal(6)),)),
        "five years after shipment",
    ),
    Pattern(
        "time_in_use", "eighteen months ex-works and twelve months in use, one year into service",
        [[D, word("in", "into"), word("use", "service", "operation")], [D, E]],
        _in_use, "one year into service", StartSpec((StartClock(StartEvent.INSTALLATION),)), "five years in use",
    ),
    Pattern(
        "event_starts", "the event as subject: shipment starts the clock",
        [[E, word("date", "day", op="?"), word("starts", "begins", "triggers", "opens", "sets"),
          word("the", "this", "each", "our", "its", op="?"), word("clock", "warranty", "period", "term", "cover",
           "time", "running")]],
        _begun, "the ship date starts the clock", _SHIPMENT, "installation starts with the inlet valve",
    ),
)  # fmt: skip
_SINGLE_TABLE = Table(Family.START, SINGLE)

# ---- step 3: two events that move the start -------------------------------------------------------------------------

_FIRST = frozenset((*FIRST_WORDS, *FIRST_ELSEWHERE)) - {"before", "less", "least"}
_LAST = frozenset((*LAST_WORDS, *LAST_ELSEWHERE)) - {"more", "after"}
_LINK: dict[str, Any] = {
    "LOWER": {"NOT_IN": [".", ";", DURATION, EVENT, *sorted(_FIRST | _LAST)]},
    "OP": "*",
}
_REST: dict[str, Any] = {"ORTH": {"NOT_IN": [".", EVENT]}, "OP": "*"}
_LEAD = word(*_FROM, *_BEGINS, *_AT, op="?")
_FEW_WORDS = word("to", "have", "been", "be", "as", "being", op="*")


def _first_event(span: "Span") -> int:
    return next(token.i for token in span if token.text == EVENT)


def _has_own_duration(span: "Span") -> "Mention | None":
    """The duration that stands directly before the span's first event ("12 months from installation …")."""
    doc = span.doc
    i = _first_event(span) - 1
    while i >= 0 and i > _first_event(span) - 9:
        if doc[i].text == DURATION:
            found: Mention = payload(doc[i])
            ended = found.text.endswith(".") and doc[i + 1].text[:1].isupper()
            return None if ended else found
        if doc[i].text in {".", ";", EVENT}:
            return None
        i -= 1
    return None


def _of_events(rule: StartRule) -> Callable[["Span"], StartSpec | None]:
    """ "the later of shipment and acceptance"."""
    deciding = _FIRST if rule is StartRule.EARLIER_OF else _LAST

    def build(span: "Span") -> StartSpec | None:
        found = events(span)
        words = [token.lower_ for token in span]
        place = next(
            (
                k
                for k, one in enumerate(words)
                if one in _FIRST | _LAST
                and words[k + 1 : k + 2] in (["of"], ["de"], ["der"], ["des"], ["entre"], ["date"])
            ),
            None,
        )
        if len(found) < 2 or place is None or words[place] not in deciding:
            return None
        return StartSpec(tuple(StartClock(one.event) for one in found), rule)

    return build


def _of_event_and_delay(rule: StartRule) -> Callable[["Span"], Built | None]:
    """ "the earlier of installation or six months after shipment"."""
    deciding = _FIRST if rule is StartRule.EARLIER_OF else _LAST

    def build(span: "Span") -> Built | None:
        words = [token.lower_ for token in span]
        if next((one for one in words if one in _FIRST | _LAST), "") not in deciding:
            return None
        if sum(token.text == DURATION for token in span) != 1:
            return None
        clocks, notes = _clocks(span)
        if len(clocks) != 2 or any(clock.plus_months > 18 for clock in clocks):
            return None
        return Built(StartSpec(clocks, rule), notes)

    return build


def _clocks(span: "Span") -> tuple[tuple[StartClock, ...], tuple[str, ...]]:
    """The events of a span, each with the delay that stands before it."""
    clocks = []
    notes: tuple[str, ...] = ()
    delay = Decimal(0)
    for token in span:
        if token.text == DURATION:
            delay, more = _plus(payload(token))
            notes += more
        elif token.text == EVENT:
            clocks.append(StartClock(payload(token).value.event, delay))
            delay = Decimal(0)
    return tuple(clocks), notes


def _whichever(rule: StartRule) -> Callable[["Span"], StartSpec | Built | None]:
    """ "from shipment or installation, whichever is later"; with a delay only after a verb of beginning."""
    deciding = _FIRST if rule is StartRule.EARLIER_OF else _LAST

    def build(span: "Span") -> StartSpec | Built | None:
        words = [token.lower_ for token in span]
        after = max(k for k, token in enumerate(span) if token.text == EVENT)
        decided = next((one for one in words[after:] if one in _FIRST | _LAST), "")
        if decided not in deciding:
            return None
        clocks, notes = _clocks(span)
        if len(clocks) < 2:
            return None
        if any(token.text == DURATION for token in span):
            if words[0] not in _BEGINS or span[0].text == DURATION:
                return None
            if _has_own_duration(span) is not None or clocks[0].plus_months:
                return None
            return Built(StartSpec(clocks, rule), notes)
        between = {token.lower_ for token in span[: after + 1]}
        if not between & {"or", "and", "o", "y", "ou", "et", "oder", "und", "/"} or between & _BAD_SUBJECT:
            return None
        return StartSpec(clocks, rule)

    return build


def _no_later(span: "Span") -> Built | None:
    """ "begins at installation but no later than six months after shipment", a start that has a latest date."""
    clocks, notes = _clocks(span)
    if len(clocks) != 2 or not any(token.text == DURATION for token in span[1:]):
        return None
    own = _has_own_duration(span)
    limit = next(payload(token) for token in reversed(span) if token.text == DURATION)
    months, _ = _plus(limit)
    if own is not None:
        value = own.value.total if isinstance(own.value, FullAndTail) else own.value
        if value.months is None or value.months <= months:
            return None
    return Built(StartSpec(clocks, StartRule.EARLIER_OF), notes)


def _installed_or_not(span: "Span") -> Built | None:
    """ "begins no later than six months after shipment, installed or not": the start is installation, or that limit."""
    found = events(span)
    delay = next(payload(token) for token in span if token.text == DURATION)
    months, notes = _plus(delay)
    if not found or found[0].event is StartEvent.INSTALLATION:
        return None
    clocks = (StartClock(StartEvent.INSTALLATION), StartClock(found[0].event, months))
    return Built(StartSpec(clocks, StartRule.EARLIER_OF), notes)


_CONDITION = frozenset(
    "if where when provided unless should only on condition as long whenever wherever si sofern falls wenn lorsque "
    "cuando".split()
)
_OTHERWISE = frozenset(
    "otherwise else failing absent lacking absence default without missing fehlt sinon andernfalls".split()
)
_UNKNOWN = frozenset(
    "no not cannot unknown missing record records proof documented documentation registered registration card form "
    "filed "
    "proven recorded evidence undocumented established ascertained submitted unavailable available without certificate "
    "returned shown demonstrated lacking absent unproven log logged provided known kept documented sent proved".split()
)


def _is_deadline(doc: "Doc", i: int) -> bool:
    """Whether an event only says when a form is due: "within 45 days of purchase"."""
    while i > 0 and doc[i - 1].lower_ in {"of", "after", "from", "the", "date", "following", "its"}:
        i -= 1
    if i == 0 or doc[i - 1].text != DURATION:
        return False
    value = payload(doc[i - 1]).value
    return getattr(value, "days", None) is not None or (i > 1 and doc[i - 2].lower_ in {"within", "in", "inside"})


def _conditional(span: "Span") -> StartSpec | Built | None:
    """ "installation where the card is filed within 45 days, otherwise shipment": the first event, else the second."""
    words = [token.lower_ for token in span]
    named = [token for token in span if token.text == EVENT and not _is_deadline(span.doc, token.i)]
    kinds = list(dict.fromkeys(payload(token).value.event for token in named))
    if len(kinds) != 2 or len(span) > 48 or (named[-1].i < span.end - 3):
        return None
    between = words[next(k for k, token in enumerate(span) if token.text == EVENT) :]
    after = [lower_at(span.doc, span.end + k) for k in range(6)]
    denied = any(one == "if" and two in {"not", "no", "none"} for one, two in pairwise(after))
    fallback = denied or bool(_OTHERWISE & set(words)) or {"in", "place"} <= set(between)
    if not fallback and not (_CONDITION & set(words) and _UNKNOWN & set(words)):
        return None
    if _BAD_SUBJECT & (set(words) - {"returned", "return"}):
        return None
    if any(one in words for one in ("whichever", "lesser", "sooner", LATEST)):
        return None
    first = named[0].i
    if first - 2 > span.start and span.doc[first - 2].text == DURATION and span.doc[first - 1].lower_ in _FROM:
        own = payload(span.doc[first - 2])
        if _plus(own)[0] >= 12 and lower_at(span.doc, first - 3) != "within":
            return None  # "on the meter lasts five years from installation if …": the start begins behind the time
    if any(one in _FIRST | _LAST and two == "of" for one, two in pairwise(words)):
        return None  # "provided on registers, starting at the later of …"
    return StartSpec(tuple(StartClock(kind) for kind in kinds), StartRule.CONDITIONAL)


def _two(first: StartEvent, second: StartEvent, rule: StartRule, months: int = 0) -> StartSpec:
    return StartSpec((StartClock(first), StartClock(second, Decimal(months))), rule)


_EARLIER, _LATER = StartRule.EARLIER_OF, StartRule.LATER_OF
_OF = word("of", "de", "des", "der", "entre", "date")
_LATEST = Pattern(
    "no_later_than", "words that set a latest date",
    [[word("but", "and", "or", op="?"), word("in", op="?"), word("any", "no", op="?"), word("event", "case", op="?"),
      word("no", "not"), word("a", "one", op="?"), word("day", "moment", op="?"), word("later", "more"), word("than")],
     [word("in"), word("no", "any"), word("event", "case"), word("shall", "will", "it", "begin", "commence", "start"),
      word("begin", "commence", "start", op="?"), word("no", "not", op="?"), word("later"), word("than")],
     [word("but", "and", "or", op="?"), word("at"), word("the"), word("latest")],
     [word("but", "and", "or"), word("in"), word("any", "no"), word("event", "case"),
      word("no", "not", "later", "within", "beyond", "by", "more", "than", "a", "one", "day", op="*")],
     [word("but", "and"), word("never"), word("later", "more"), word("than")],
     [word("spätestens", "höchstens"), word("jedoch", "aber", op="?")],
     [word("a", "à", "y", "et", op="?"), word("más", "mas", "plus"), word("tardar", "tard")]],
    lambda span: LATEST, "but in no case later than", LATEST, "a later date",
)  # fmt: skip
_LATEST_TABLE = Table(Family.START, (_LATEST,))
_BOUND: dict[str, Any] = {"ORTH": LATEST}
_THEN = word("after", "from", "following", "past", "of", "nach", "ab", "desde", "después", "après")
COMBINED: tuple[Pattern, ...] = (
    Pattern(
        "earlier_of_events", "the earlier of two events",
        [[_LEAD, _FILLED, word(*_FIRST), _OF, _LINK, E, _LINK, E], [_LEAD, _FILLED, word(*_FIRST), _OF, _LINK, E,
         _LINK, E, _LINK, E]],
        _of_events(_EARLIER), "from the earlier of installation and activation",
        _two(StartEvent.INSTALLATION, StartEvent.COMMISSIONING, _EARLIER),
         "from the later of installation and activation",
    ),
    Pattern(
        "later_of_events", "the later of two events",
        [[_LEAD, _FILLED, word(*_LAST), _OF, _LINK, E, _LINK, E], [_LEAD, _FILLED, word(*_LAST), _OF, _LINK, E, _LINK,
         E, _LINK, E]],
        _of_events(_LATER), "from the later of shipment and acceptance",
        _two(StartEvent.SHIPMENT, StartEvent.ACCEPTANCE, _LATER), "a later edition on shipment and sale",
    ),
    Pattern(
        "earlier_of_event_and_delay", "the earlier of an event and some months after another",
        [[_LEAD, _FILLED, word(*_FIRST), _OF, _LINK, E, _LINK, D, word("after", "from", "following", "past", "of"),
         _FILLED, E],
         [_LEAD, _FILLED, word(*_FIRST), _OF, _LINK, D, word("after", "from", "following", "past", "of"), _FILLED, E,
          _LINK, E]],
        _of_event_and_delay(_EARLIER), "starts on the earlier of installation or six months after shipment",
        _two(StartEvent.INSTALLATION, StartEvent.SHIPMENT, _EARLIER, 6),
         "the lesser of eighteen months ex-works and twelve in use",
    ),
    Pattern(
        "later_of_event_and_delay", "the later of an event and some months after another",
        [[_LEAD, _FILLED, word(*_LAST), _OF, _LINK, E, _LINK, D, word("after", "from", "following", "past", "of"),
         _FILLED, E]],
        _of_event_and_delay(_LATER), "starts on the later of commissioning or three months from delivery",
        _two(StartEvent.COMMISSIONING, StartEvent.DELIVERY, _LATER, 3), "the later of commissioning",
    ),
    Pattern(
        "events_whichever_first", "two events, whichever is earlier",
        [[_LEAD, _FILLED, E, _LINK, E, _LINK, word(*_FIRST)], [_LEAD, _FILLED, E, _LINK, E, _LINK, E, _LINK,
         word(*_FIRST)],
         [word(*_BEGINS), word(*_AT, op="*"), _FILLED, E, _LINK, D, word("after", "from", "following", "past"),
          _FILLED, E, _LINK,
          word(*_FIRST)]],
        _whichever(_EARLIER), "from shipment or installation, whichever is earlier",
        _two(StartEvent.SHIPMENT, StartEvent.INSTALLATION, _EARLIER),
        "12 months from installation or 18 months from shipment, whichever comes first",
    ),
    Pattern(
        "events_whichever_later", "two events, whichever is later",
        [[_LEAD, _FILLED, E, _LINK, E, _LINK, word(*_LAST)], [_LEAD, _FILLED, E, _LINK, E, _LINK, E, _LINK,
         word(*_LAST)],
         [word(*_BEGINS), word(*_AT, op="*"), _FILLED, E, _LINK, D, word("after", "from", "following", "past"),
          _FILLED, E, _LINK,
          word(*_LAST)]],
        _whichever(_LATER), "from delivery or acceptance, whichever occurs later",
        _two(StartEvent.DELIVERY, StartEvent.ACCEPTANCE, _LATER), "from delivery or acceptance, whichever occurs first",
    ),
    Pattern(
        "no_later_than", "a start with a latest date: at installation but no later than six months after shipment",
        [[_LEAD, _FILLED, E, _LINK, _BOUND, D, _THEN, _FILLED, E, _DATE_TAIL],
         [word(*_DEFINES), _FILLED, word(*_DATE_WORDS), _SUBJECT, E, _LINK, _BOUND, D, _THEN, _FILLED, E]],
        _no_later, "begins at installation but no later than six months after shipment",
        _two(StartEvent.INSTALLATION, StartEvent.SHIPMENT, _EARLIER, 6),
        "12 months from installation but no more than 18 months from shipment",
    ),
    Pattern(
        "installed_or_not", "begins no later than six months after shipment, installed or not",
        [[word(*_BEGINS), _BOUND, D, _THEN, _FILLED, E, _LINK, E], [word(*_BEGINS), _BOUND, D, _THEN, _FILLED, E]],
        _installed_or_not, "begins no later than six months after shipment, installed or not",
        _two(StartEvent.INSTALLATION, StartEvent.SHIPMENT, _EARLIER, 6), "begins six months after shipment",
    ),
    Pattern(
        "deemed_installed", "deemed to be installed some months after shipment, where it was not before",
        [[word("not"), E, word("within", "by", "before"), D, word("after", "of", "from", "following"), _FILLED, E, _LINK,
          word("deemed", "taken", "considered", "treated", "regarded", "assumed", "presumed")],
         [word("deemed", "taken", "considered", "treated", "regarded", "assumed", "presumed"), _FEW_WORDS, E,
          word("no", "not", "at"), word("later", "more", "latest", "the", op="*"), word("than", op="?"), D,
          word("after", "of", "from", "following"), _FILLED, E]],
        _no_later, "a meter not installed within three months after delivery is deemed installed then",
        _two(StartEvent.INSTALLATION, StartEvent.DELIVERY, _EARLIER, 3), "a meter not installed within a year is returned",
    ),
    Pattern(
        "conditional", "one event, and another where the first is not shown",
        [[_LEAD, _FILLED, E, *([_REST, E] * count), _DATE_TAIL] for count in (1, 2, 3)]
        + [[word(*_CONDITION, "without", "absent", "lacking", "failing"), _REST, E, *([_REST, E] * count), _DATE_TAIL]
           for count in (1, 2, 3)],
        _conditional, "from installation where the card is filed within 45 days, otherwise from shipment",
        _two(StartEvent.INSTALLATION, StartEvent.SHIPMENT, StartRule.CONDITIONAL),
        "from installation and from shipment",
    ),
)  # fmt: skip
_COMBINED_TABLE = Table(Family.START, COMBINED)
PATTERNS: tuple[Pattern, ...] = (*SINGLE, *COMBINED)


_SINCE = re.compile(r"\b(?:from|after)\b", re.IGNORECASE)


def _with_events(doc: "Doc", style: NumberStyle) -> "Doc":
    reduced = with_numbers(doc, style)
    times = duration.find(doc, style)
    if any(isinstance(time.value, FullAndTail) and _SINCE.search(time.text) for time in times):
        times = duration.find(doc, style, tails=False)  # "ten years from shipment and ten more, prorated"
    reduced = with_mentions(reduced, times, DURATION)
    reduced = with_mentions(reduced, _NAME_TABLE.find(reduced), EVENT)
    return with_mentions(reduced, _LATEST_TABLE.find(reduced))


def find(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Mention]:
    """The start events of a text, alone or combined: value StartSpec."""
    reduced = _with_events(doc, style)
    marks = [token.text for token in reduced if token.text in {EVENT, DURATION}]
    if not marks:
        return []
    combined = _COMBINED_TABLE.all(reduced) if marks.count(EVENT) > 1 or LATEST in {t.text for t in reduced} else []
    # "… of shipment, or until 600,000 gallons have passed, whichever comes first" reaches over another limit.
    combined = [mention for mention in combined if not any(word.lower_ == "until" for word in _words(doc, mention))]
    return longest([*combined, *_SINGLE_TABLE.all(reduced)])


def _words(doc: "Doc", mention: Mention) -> "list[Token]":
    return [token for token in doc if mention.start <= token.idx < mention.end]


def start_in(text: str, style: NumberStyle = ENGLISH) -> Mention | None:
    """The start event of a cell or heading that names nothing else: "Date of shipment", "Invoice", "Installed"."""
    doc = parse(text)
    found = find(doc, style)
    if found:
        return found[0]
    reduced = _with_events(doc, style)
    named = [token for token in reduced if token.text == EVENT]
    rest = {token.lower_ for token in reduced if token.text != EVENT}
    if not named or len(rest - set(_FILL)) > 1 or any(mark in rest for mark in HYPHENS):
        return None
    kinds = tuple(dict.fromkeys(payload(token).value.event for token in named))
    if len(kinds) != 1:
        return None
    first: Mention = payload(named[0])
    return Mention(Family.START, first.start, first.end, StartSpec((StartClock(kinds[0]),)), "cell_event", first.text)


def one_event(text: str, style: NumberStyle = ENGLISH) -> Mention | None:
    """The only event that a text names, in whatever words around it; None where it names none or several.

    For sentences known to say when a time starts: "Time runs from when your crew puts the meter into the ground".
    """
    named = [token for token in _with_events(parse(text), style) if token.text == EVENT]
    kinds = {payload(token).value.event for token in named}
    if len(kinds) != 1:
        return None
    first: Mention = payload(named[0])
    return Mention(
        Family.START, first.start, first.end, StartSpec((StartClock(kinds.pop()),)), "event.only_one", first.text
    )
