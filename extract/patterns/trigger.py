"""Words that make a sentence a promise, and words that take it away; years of age; references to tables."""

import re
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from firstcap.extract.numbers import ENGLISH, NumberStyle, ordinals
from firstcap.extract.patterns.base import Family, Mention, Pattern
from firstcap.extract.patterns.matching import MAYBE_DASH, N, Table, values, with_numbers, word
from firstcap.extract.patterns.phrase import PhraseTable, Wording
from firstcap.extract.patterns.values import YearSpan
from firstcap.schema.units import as_decimal

if TYPE_CHECKING:
    from spacy.tokens import Doc, Span


def _row(
    name: str, value: Any, phrases: str, example: str, counter: str, why: str = "", language: str = "en"
) -> Wording:
    return Wording(name, tuple(p.strip() for p in phrases.split(";")), value, example, counter, why, language)


# Words that promise are built from few: a cover, and what one does with it.
_COVER = "warranty|warranties|guarantee|guarantees|guaranty|cover|coverage|protection|assurance"
_KINDS = "full|limited|standard|express|written|prorated|free|unconditional|total|complete|further|separate|longer|shorter|special|following|same|like|year|years|month|months|-|'"
_MENDS = "replace|repair|furnish|supply|make|remedy|rectify|correct|mend|exchange|provide|restore|put|credit|refund"

TRIGGERS = PhraseTable(
    Family.TRIGGER,
    (
        _row(
            "trigger.warrant",
            True,
            "warrant|warrants|warranted; guarantee|guarantees|guaranteed; certifies|certify that; certified|certifies|certify against|not|free|to|for; assured|insured against|not|free|for; backed|secured|underwritten by|against|for; undertake|undertakes|undertook; promise|promises|promised that?; pledge|pledges; assure|assures; stands|stand behind",
            "we warrant the meter",
            "a wary buyer",
        ),
        _row(
            "trigger.state",
            True,
            "will|shall|to be free; is|are|remain|remains|stay|stays free from|of; will|shall _? register|read|measure|record|err|deviate|meet|hold|keep|remain|stay|perform|maintain|comply|transmit|operate|last|function|not|continue|conform|power|supply|satisfy|fulfil|fulfill|attain|achieve|retain|withstand|resist|serve; will|shall|must|to test|measure|register|count|read|go|fall inside|within|between|true|on; will|shall|to neither; is|are to remain|register|stay|conform|perform|function|hold|keep|be free|sound|without|accurate; registers ... between|within|not|at|from; meets the; holds new|repaired|its; keep|keeps|hold|holds|meet|meets|satisfy|satisfies ... limits|accuracy|requirements; holds|hold|keeps|keep them|these|those; the same hold|holds for; stands|stand within; stays|keeps|remains within|between|an|readable|legible|clear|sealed; keeps ... within; measures within",
            "it will register within",
            "a will and testament",
        ),
        _row(
            "trigger.cover",
            True,
            "is|are covered|protected|good|backed; carry|carries _? _? warranty|guarantee|cover|months|years|#; has|have a warranty|guarantee of; warranty|guarantee|promise|cover|coverage|protection|term|period|time lasts|runs|is|holds|ends|extends|continues|applies; warranty|guarantee|cover|coverage of|on|for ... continues|lasts|runs|extends|holds|applies|stands; warranty|guarantee|cover|coverage period|term|time is|of|for; years of cover|coverage|warranty; is|are accurate",
            "the register is covered for ten years",
            "the cover of the box is blue",
        ),
        _row(
            "trigger.give",
            True,
            f"grant|grants|give|gives|offer|offers|provide|provides|extend|extends|afford|affords|issue|issues|allow|allows|accord|accords a|an|the|its|their|our|this|you|customer|buyer|purchaser a|an|the? {_KINDS}? {_KINDS}? {_KINDS}? {_COVER}",
            "the Company grants a full warranty on registers",
            "the plate gives the size of the meter",
            "a warrantor gives its cover in many verbs",
        ),
        _row(
            "trigger.come",
            True,
            f"come|comes|sold|supplied|delivered|furnished|provided|backed|issued|offered with|under|by a|an|our|the|its|their|this? {_KINDS}? {_KINDS}? {_KINDS}? {_COVER}",
            "products come with a full warranty",
            "the kit comes with a pair of gaskets",
        ),
        _row(
            "trigger.enjoy",
            True,
            f"enjoy|enjoys|attract|attracts|bear|bears|benefits|benefit|carry|carries ... {_COVER}; has|have|receive|receives|get|gets a|an|the|its|#? {_KINDS}? {_KINDS}? {_KINDS}? {_COVER}; has|have|get|gets # years|months|year|month '? {_COVER}",
            "the register enjoys a decade of cover",
            "the box has a lid",
        ),
        _row(
            "trigger.extend",
            True,
            "is|are|be|being extended|increased|lengthened|raised|prolonged|reduced|shortened|limited to|for|by ,? _? #; extends|runs|lasts|continues to|for #; extends|runs|lasts|continues to|for|until ... years|months",
            "this is extended to ten years for the register",
            "the pipe is extended to the wall",
        ),
        _row(
            "trigger.agree",
            True,
            f"agree|agrees|engage|engages|engaged|binds|covenant|covenants|commit|commits|committed|obliges|bound _? to _? {_MENDS}",
            "the manufacturer agrees to replace the electronics",
            "both sides agree to a meeting",
        ),
        _row(
            "trigger.answer",
            True,
            "answer|answers|answerable|vouch|vouches for; takes|take|accepts|accept|assumes|assume full? responsibility|liability for ... defect*|flaw*|fault*",
            "the supplier answers for flaws in the case",
            "an answer is sent by mail",
        ),
        _row(
            "trigger.es",
            True,
            "amparado|amparada|amparados|amparadas; respondemos|responde por; quedan|queda cubierto|cubiertos|cubierta|cubiertas; mantenemos; garantiza|garantizan|garantizamos|garantizado|garantizada|garantizados|garantizadas; nos comprometemos|obligamos; aseguramos|asegura; garantía de|por; tiene|tienen garantía; se mantiene|mantienen; no supera; cubre|cubierto",
            "se garantiza por tres años",
            "el garante",
            language="es",
        ),
        _row(
            "trigger.fr",
            True,
            "engageons|engage|s'engage; durée est|sera portée|étendue|fixée|ramenée; garanti|garantis|garantie|garanties|garantit; reste|restent; n'excède|n’excède; mesurera|demeurera; garantie de|pendant; couvert|couverts",
            "est garanti pendant deux ans",
            "le garage",
            language="fr",
        ),
        _row(
            "trigger.de",
            True,
            "garantiert|garantieren; garantie; garantiezeit; stehen|steht ... ein; sichern|sichert ... zu; zusage; gewährleistung|gewährleistungsfrist|gewährleistet; bleibt; einhält|hält ... ein",
            "garantiert für 24 Monate",
            "die Garage",
            language="de",
        ),
    ),
)

_WARRANTS = re.compile(r"\w*(?:garant|gewähr)|ampara|respon[ds]|engage|s['’]engage", re.IGNORECASE)


def warrants(mention: Mention) -> bool:
    """A trigger that says outright that something is promised ("we warrant", "garantieren wir"), not only that it will be."""
    return mention.pattern == "trigger.warrant" or (
        mention.pattern in ("trigger.es", "trigger.fr", "trigger.de") and _WARRANTS.match(mention.text) is not None
    )


NEGATIONS = PhraseTable(
    Family.NEGATION,
    (
        _row(
            "negation.no_warranty",
            None,
            "not a|any|our|part ... warranty|guarantee|promise|undertaking; no|any? part of ... warranty|statement; is|are|do|does not warranted|promised|guaranteed|warrant|promise|guarantee; no warranty|guarantee|promise; without any? promise|warranty|guarantee; not ... promises; no accuracy warranty; no accuracy is warranted; is no warranty; not a warranty; no promise*; without warranty; has|have no warranty; contains no warranty; ne constitue pas ... garantie; n'est pas garantie?; n’est pas garantie?; no constituye garantía; no es un plazo de garantía; keine zusicherung|garantie|garantiezeit|gewähr; keine; not of warranty; not promised; don't|doesn't|don’t|doesn’t|won't|can't|cannot warrant|guarantee|promise; do|does n't|n’t warrant|guarantee|promise; design|engineering target|goal|figure|figures",
            "design life is not a warranty",
            "a warranty without exceptions",
        ),
        _row(
            "negation.typical",
            None,
            "typical|typically; estimée|estimé|estimada|estimado; à titre indicatif; durée de vie; a título indicativo; unverbindlich; expected ... life; design -? life; designed for # year|years|months; designed|expected|meant|intended|built|engineered|rated|sized|made|chosen to ,? last|serve|run|work|operate|endure|function; service life; expectancy; estimated; calculated; average; anticipated; lifetime of the battery is; useful life; vida útil|estimada; autonomie; lebensdauer*; batterielebensdauer; we expect; built for; has|have been sold|made; has|have been used in|by|since|for|with; in production|manufacture|business|existence for|since; were sold|made; for more than _ years; since; survey; planning; assumed|assumptions",
            "a typical life of 20 years",
            "a type of meter",
        ),
        _row(
            "negation.optional",
            None,
            "optional|option extension|extended|plan|cover|that; can|may be purchased|bought|priced; on request and for a price; extended|extension plan|period|warranty|guarantee|cover ... may|can|for; against a fee; for a fee; at extra cost; service|maintenance contract; priced separately; as an alternate; alternate price|item|offer|cover|warranty",
            "an extended plan can be purchased",
            "the buyer may opt for either",
        ),
        _row(
            "negation.replacement",
            None,
            "repaired|replaced|replacement|substitute|exchanged|successor|swapped or|and replacement|replaced|repaired product|products|meter|meters|unit|units|part|parts|item|items; a|any|each|the replacement|replaced|repaired|successor unit|product|meter|part|item; replacement ... carries; replacements; furnished as a replacement; receive in exchange; product furnished as; repaired or replacement; replaced|exchanged senders|units|item; replacement|substitute|successor|exchanged meters|units|products|registers|endpoints|modules",
            "a replacement unit carries 90 days",
            "we repair or replace it",
        ),
        _row(
            "negation.past",
            None,
            "former|formerly|previous|withdrawn|superseded; no longer; until|up to? now; hitherto; till now; previously; in place of",
            "the former 10 years",
            "the form of the case",
        ),
        _row(
            "negation.law",
            None,
            "cause of action; action|suit must|may|is|shall ... brought|filed; bid security; bidder*; by law; legal service life; verification period; eichfrist; statute; vigente en? la norma",
            "an action must be brought within two years",
            "by lawyers",
        ),
    ),
)

REFERENCES = PhraseTable(
    Family.REFERENCE,
    (
        _row(
            "reference.table",
            "table",
            "table|tables|schedule|annex|chart|exhibit|appendix|matrix; in|of|from the|this table|schedule|chart|box|list|matrix; the table|schedule|chart|box|list below|above|here|overleaf; table _|#; column|columns headed|marked|titled|labelled|labeled|called|named|entitled; under the heading|headings",
            "given in Table 1",
            "a vegetable",
        ),
        _row(
            "reference.below",
            "table",
            "shown|given|listed|stated|set|printed|indicated|specified ,? below|above|against|opposite|out|here|there|therein|following|next|overleaf|in|for|beside; volume|quantity|period|time|years|gallons|registration below|shown|listed|opposite; following ... table|periods|registration|registrations|volumes|limits|terms|items|parts|products; as follows; below :; the following",
            "for the years shown below",
            "the water below ground",
        ),
        _row(
            "reference.fr",
            "table",
            "tableau; ci - dessous|après|contre; tabla|tablas|cuadro|cuadros; de la tabla; tabelle; der tabelle; in der? tabelle; durées|délais|volumes|limites suivants|suivantes|indiqués|indiquées",
            "du tableau",
            "le tablier",
            language="fr",
        ),
        _row(
            "reference.de",
            "table",
            "nachstehend*|untenstehend*|nachfolgend*|nebenstehend*; folgende|folgenden|folgender zeit|zeiten|dauer|fristen|frist|mengen|grenzen|volumen|durchgang; unten aufgeführt*|angegeben*|genannt*",
            "für die nachstehende Zeit",
            "der Stand von heute",
            language="de",
        ),
        _row(
            "reference.es",
            "table",
            "plazos|periodos|períodos|límites|volúmenes siguientes|indicados|indicadas|señalados|señaladas; siguientes plazos|periodos|períodos|límites|volúmenes; que se indican|indica|señalan|detallan abajo|enseguida?; abajo|adelante indicado*|indicada*|señalad*",
            "durante los plazos indicados",
            "los días siguientes a la entrega",
            language="es",
        ),
    ),
)

_YEARS = word("year", "years", "yr", "yrs", "año", "años", "année", "années", "jahr", "jahre", "jahren")
_TO = word("to", "through", "thru", "-", "–", "—", "a", "à", "bis", "until", "till", "and")


def _span(span: "Span") -> YearSpan | None:
    found = values(span)
    if not found or found[0] < 1 or found[0] > 60 or (len(found) > 1 and (found[1] < found[0] or found[1] > 60)):
        return None
    # "for year nine and nine tenths for year ten": the fraction is a share, not a part of the year.
    return YearSpan(Decimal(int(found[0])), Decimal(int(found[-1])))


_PLACES = {"second": 1, "third": 2, "fourth": 3, "2nd": 1, "3rd": 2, "4th": 3}


def _block(span: "Span") -> YearSpan | None:
    size, place = values(span)[-1], _PLACES.get(span[0].lower_)
    if place is None or size.denominator != 1 or not 2 <= size <= 15:
        return None
    return YearSpan(Decimal(int(place * size) + 1), Decimal(int((place + 1) * size)))


YEAR_SPANS: tuple[Pattern, ...] = (
    Pattern("year_span.years_to", "the usual way of naming stages",
            [[_YEARS, N, _TO, N], [_YEARS, N, _TO, _YEARS, N], [_YEARS, word("from"), N, _TO, N]],
            _span, "Years 11 through 15: half price", YearSpan(Decimal(11), Decimal(15)), "15 years of cover"),
    Pattern("year_span.block", "a block of years by its place: the second five years are years 6 to 10",
            [[word("first", "second", "third", "fourth"), N, _YEARS], [{"LOWER": {"REGEX": "^(1st|2nd|3rd|4th)$"}}, N, _YEARS]],
            _block, "during the second five years half the price is charged", YearSpan(Decimal(6), Decimal(10)), "the second year"),
    Pattern("year_span.year", "one year named by its number", [[_YEARS, N]], _span, "in year 9 the customer pays", YearSpan(Decimal(9), Decimal(9)), "9 years"),
    Pattern("year_span.range_years", "a range before the word", [[N, MAYBE_DASH, _TO, N, _YEARS]], lambda span: None, "", None, ""),
)  # fmt: skip
YEAR_SPANS = YEAR_SPANS[:3]
_SPAN_TABLE = Table(Family.YEAR_SPAN, YEAR_SPANS)


def find_spans(doc: "Doc", style: NumberStyle = ENGLISH) -> list[Mention]:
    """Years of age: "years 11 to 20", "year 9", "the 11th year", "from the 9th to the 12th year"."""
    found = _SPAN_TABLE.find(with_numbers(doc, style))
    marked = list(ordinals(doc))
    for index, number in enumerate(marked):
        token = doc[number.end] if number.end < len(doc) else None
        if token is None:
            continue
        last = number
        following = token
        if index + 1 < len(marked) and token.lower_ in {"to", "through", "à", "bis", "a", "and", "-", "–", "until"}:
            second = marked[index + 1]
            if second.start <= number.end + 3 and second.end < len(doc) and doc[second.end].lower_ in _YEAR_WORDS:
                last, following = second, doc[second.end]
        if following.lower_ in _YEAR_WORDS and not any(m.start <= doc[number.start].idx < m.end for m in found):
            start, end = doc[number.start].idx, following.idx + len(following.text)
            value = YearSpan(as_decimal(number.value), as_decimal(last.value))
            found.append(Mention(Family.YEAR_SPAN, start, end, value, "year_span.ordinal", doc.text[start:end]))
    for match in _GERMAN.finditer(doc.text):
        if not any(m.start <= match.start() < m.end for m in found):
            value = YearSpan(Decimal(match.group(1)), Decimal(match.group(2) or match.group(1)))
            found.append(
                Mention(Family.YEAR_SPAN, match.start(), match.end(), value, "year_span.german", match.group(0))
            )
    return sorted(found, key=lambda mention: mention.start)


# German prints ordinals as a number with a full stop: "vom 9. bis zum 12. Jahr".
_GERMAN = re.compile(r"\b(\d{1,2})\.\s*(?:bis\s+(?:zum\s+)?(\d{1,2})\.\s*)?(?:Jahr|Jahres)\b")
_YEAR_WORDS = frozenset(("year", "years", "año", "année", "jahr", "jahres"))
