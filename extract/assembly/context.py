"""What holds for a whole document or section: how it writes numbers, what it calls things, what starts the time."""

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import TYPE_CHECKING

from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.draft import BandDraft, Found
from firstcap.extract.assembly.keyed import KeyedStandard, keyed_standards
from firstcap.extract.assembly.unit import Hit, Named, Reader, Unit, units_of
from firstcap.extract.language import language_of, parse
from firstcap.extract.numbers import number_style
from firstcap.extract.page import Block, BlockKind, Layout, Run
from firstcap.extract.patterns import component, promise
from firstcap.extract.patterns.base import Family, Mention
from firstcap.schema.vocabulary import AccuracyLevel, MeterType

if TYPE_CHECKING:
    from spacy.tokens import Doc

_IMPERIAL = re.compile(r"imperial gallons?|gallons?\b[^.]{0,40}\bimperial", re.IGNORECASE)
_DEFINITION = re.compile(
    r"(?:[“\"«„']\s*|(?<=the )(?=[\w ]{3,30} (?:period|term)\s+(?:begins|starts|opens|runs|is the|ends|finishes|lasts|commences|extends)\b))"
    r"([^”\"»“'.;,]{2,40}?)\s*[”\"»“']?\s*(?:,[^,]{0,40},\s*)?(?:(?:begins|starts|opens|runs|ends|finishes|lasts|commences|extends)\b|(?:means|shall mean|is|are|has the meaning|refers to|denotes|stands for)\b)",
    re.IGNORECASE,
)
_CODE = re.compile(r"^(?=.*\d)[A-Z][A-Za-z]{0,4}[-‐]?\d{1,4}[A-Z]{0,2}$|^[A-Z]{1,3}-[A-Z0-9]{1,4}$|^[A-Z]{2,3}$")
_NAME = re.compile(r"^[A-ZÀ-Ý][\w’'-]*[a-zà-ÿ][\w’'-]*$|^[A-Z]{1,2}$|^\d{1,4}$")
_SERIES = frozenset(
    ("series", "line", "range", "model", "type", "family", "baureihe", "serie", "gamme", "modelo", "typ", "série")
)
_NAMING = frozenset(("series", "serie", "série", "baureihe", "gamme"))  # words that are part of the name itself
_NO_PRODUCT = frozenset(
    ("should whether until unless whenever upon table schedule section clause article annex appendix exhibit awwa iso nist oiml mid ansi nsf form rev revision edition "
     "issue document bulletin publication january february march april may june july august september october november "
     "december us usa u.s. the a an this these each every all any our your its if in for of on no warranty limited new "
     "repaired meter meters product products customer buyer purchaser owner part parts complete company inc llc ltd gmbh "
     "sealed water cold material materials accuracy standard manual register registers registered bronze polymer brass "
     "cast iron extended normal low lcd lcds rma god and or where when during after standard such q1 q2 q3 q4 dn ip68 ip67 "
     "plastic encoder radio battery batteries housing housings maincase both they it we you size sizes inch united states "
     "year years month months bid township utility lead le la les el los las der die das ein une un para pour il elle i ii iii iv v "
     "type model line family range kind period date start first second third basic long module positive displacement replacement spare ultrasonic electromagnetic multi single every disc disk turbine compound fire "
     "domestic large small household residential commercial piston volumetric nutating oscillating rotary propeller woltmann jet fluidic magnetic "
     "hermetically unitized pit wall sizes main strainer strainers coupling couplings gaskets chambers measuring glass "
     "service chamber mechanical electronic direct absolute for does will what who how is are has have these those do kein "
     "gallon gallons litre litres liter liters cubic foot feet metre metres kilolitre kilolitres thousand thousands million millions hundred hundreds percent volume throughput flow flows rate rates "
     "time times total totals registration limit limits coverage covered column row capacity item items quantity day days week weeks hours "
     "für bei zum zur sind wir pièces article garantía garantie gewährleistung programs software").split()
)  # fmt: skip


@dataclass(slots=True)
class Context:
    """Facts of the document that sentences lean on."""

    layout: Layout
    reader: Reader
    is_warranty: bool = True
    supplier_words: frozenset[str] = frozenset()
    starts: list[tuple[Found, tuple[int, ...], int]] = field(default_factory=list)
    rules: list[tuple[Found, tuple[int, ...], int]] = field(default_factory=list)
    products: dict[str, MeterType | None] = field(default_factory=dict)
    meter_type: Found | None = None
    level_bands: dict[AccuracyLevel, list[BandDraft]] = field(default_factory=dict)
    level_standards: dict[AccuracyLevel, Found] = field(default_factory=dict)
    level_keyed: dict[AccuracyLevel, tuple[KeyedStandard, ...]] = field(default_factory=dict)
    level_mentions: dict[AccuracyLevel, dict[str, Found]] = field(default_factory=dict)
    product_bands: dict[str, list[BandDraft]] = field(default_factory=dict)
    limits_first: Unit | None = None  # a sentence of limits only, while the next may say what they hold for
    skip: frozenset[int] = frozenset()
    limit_tables: tuple[tuple[int, tuple[int, ...]], ...] = ()  # place and headings of each table of times or volumes
    inner_names: frozenset[str] = frozenset()  # capitalised words found within sentences

    def note_start(self, found: Found, unit: Unit) -> None:
        self.starts.append((found, unit.headings, unit.block))

    def note_rule(self, found: Found, unit: Unit) -> None:
        self.rules.append((found, unit.headings, unit.block))

    def start_for(self, block: int, headings: tuple[int, ...]) -> Found | None:
        """The start said nearest: in the same section, else under an enclosing one, else anywhere."""
        return _nearest(self.starts, block, headings)

    def rule_for(self, block: int, headings: tuple[int, ...]) -> Found | None:
        return _nearest(self.rules, block, headings)

    def rules_here(self, headings: tuple[int, ...]) -> bool:
        """Whether the section of a promise has a rule of its own for all that it promises."""
        return any(under == headings for _, under, _ in self.rules)

    def blocks(self, *kinds: BlockKind) -> Iterable[tuple[int, Block]]:
        for index, block in enumerate(self.layout.blocks):
            if index not in self.skip and (not kinds or block.kind in kinds):
                yield index, block

    def heading_runs(self, headings: Sequence[int]) -> list[Run]:
        """Headings that scope a block, nearest first."""
        return [self.layout.blocks[index].run for index in reversed(headings)]


def _nearest(
    found: Sequence[tuple[Found, tuple[int, ...], int]], block: int, headings: tuple[int, ...]
) -> Found | None:
    best: tuple[int, int, Found] | None = None
    for value, under, at in found:
        shared = len([1 for left, right in zip(under, headings, strict=False) if left == right])
        local = under == headings[: len(under)]
        score = shared * 10 + (5 if local else 0)
        distance = abs(block - at)
        if best is None or (score, -distance) > (best[0], -best[1]):
            best = (score, distance, value)
    return best[2] if best else None


def foreign_blocks(layout: Layout) -> frozenset[int]:
    """In a document printed in two languages side by side, the blocks of the one that is not English."""
    texts = {
        index: language_of(block.run.text)
        for index, block in enumerate(layout.blocks)
        if block.kind is not BlockKind.FURNITURE and len(block.run.text) > 60
    }
    votes = Counter(texts.values())
    english = votes.get("en", 0)
    others = sum(votes.values()) - english
    if english >= 4 and others >= 4 and others > 0.3 * (english + others):
        skip = {index for index, language in texts.items() if language != "en"}
        for index, block in enumerate(layout.blocks):
            if index not in texts and block.headings and block.headings[-1] in skip:
                skip.add(index)
        return frozenset(skip)
    return frozenset()


def build_context(layout: Layout, supplier: str | None, *, is_warranty: bool) -> Context:
    """Reads the document once for what holds throughout it."""
    texts = [block.run.text for block in layout.blocks]
    whole = " ".join(texts)
    reader = Reader(number_style(texts), "imp_gal" if _IMPERIAL.search(whole) else "gal")
    context = Context(layout, reader, is_warranty)
    context.skip = foreign_blocks(layout)
    words = re.findall(r"\w+", supplier or "")
    initials = "".join(word[0] for word in words if word[:1].isupper()).casefold()
    context.supplier_words = frozenset({*(word.casefold() for word in words), initials, initials[:-1]} - {""})
    context.inner_names = _inner_names(context)
    products = find_products(context)
    context.products = products
    names = [
        Named(tuple(token.text for token in parse(name)), Family.PRODUCT, name, "product.named")
        for name in sorted(products, key=len, reverse=True)
    ]
    context.reader = Reader(reader.style, reader.gallon, tuple(names))
    for _ in range(2):  # a definition may lean on a name that another one defines
        definitions = find_definitions(context)
        context.reader = Reader(reader.style, reader.gallon, (*definitions, *names))
    context.meter_type = document_meter_type(context)
    return context


def document_meter_type(context: Context) -> Found | None:
    """The one meter type a document is about; None where it names several."""
    hits: list[Hit] = []
    for _, block in context.blocks(BlockKind.HEADING, BlockKind.PARAGRAPH, BlockKind.LIST_ITEM, BlockKind.TABLE):
        doc = parse(block.run.text)
        hits.extend(Hit(mention, block.run) for mention in promise.find_types(doc))
    kinds = {hit.value for hit in hits}
    return Found.of(hits[0]).passed_on() if len(kinds) == 1 else None


def find_definitions(context: Context) -> list[Named]:
    """Names with a meaning of their own: starts ("Warranty Start"), product aliases, levels with their limits."""
    named: list[Named] = []
    for index, block in context.blocks(BlockKind.PARAGRAPH, BlockKind.LIST_ITEM, BlockKind.FOOTNOTE):
        for unit in units_of(block.run, context.reader, block=index, headings=block.headings):
            places = list(_DEFINITION.finditer(unit.text))
            for position, match in enumerate(places):
                unit.start + match.start()
                high = unit.start + (places[position + 1].start() if position + 1 < len(places) else len(unit.text))
                words = tuple(token.text for token in parse(match.group(1).strip(" ,.")))
                part = unit.part(unit.start + match.end(1), high)
                named.extend(_meanings(words, part, context))
    return named


def _meanings(words: tuple[str, ...], part: Unit, context: Context) -> list[Named]:

    label = " ".join(words)
    found: list[Named] = []
    start_words = re.search(
        r"\b(start|date|commencement|begin\w*|day|commissioning|shipment|delivery|installation|purchase)\b",
        label,
        re.IGNORECASE,
    )
    starts = part.of(Family.START)
    if starts and start_words:
        best = max(starts, key=lambda hit: len(hit.value.clocks) if hasattr(hit.value, "clocks") else 0)
        found.append(Named(words, Family.START, best.value, best.mention.pattern, best))
        return found
    if re.search(r"\b(period|term|warranty time)\b", label, re.IGNORECASE) and part.of(
        Family.DURATION, Family.REFERENCE
    ):
        found.append(Named(words, Family.PERIOD, part, "period.defined"))
        return found
    product = part.first(Family.PRODUCT)
    if (
        product is not None
        and len(words) <= 3
        and not re.fullmatch(r"(?:products?|goods|parts?)", label, re.IGNORECASE)
    ):
        found.append(Named(words, Family.PRODUCT, str(product.value), "product.defined", product))
    told = part.of(Family.LEVEL)
    if len({hit.value for hit in told}) == 1 and len(words) <= 5 and _OF_ACCURACY.search(label):
        # "Sustained Accuracy" is the accuracy that M6 requires of repaired meters.
        found.append(Named(words, Family.LEVEL, told[0].value, "level.defined", told[0]))
    level = {"new": AccuracyLevel.NEW_METER, "repaired": AccuracyLevel.REPAIRED_METER}
    for key, value in level.items():
        if re.search(rf"\b{key}\b", label, re.IGNORECASE):
            standard = part.first(Family.STANDARD)
            if len({hit.value for hit in part.of(Family.STANDARD)}) > 1:
                standard = None  # each for a type or size of its own: note_level_standard keeps them apart
            if standard is not None:
                context.level_standards[value] = Found.of(standard).passed_on()
            bands = bands_in(part)
            if bands:
                context.level_bands[value] = bands
    return found


_OF_ACCURACY = re.compile(
    r"\b(?:accura\w+|limits?|tolerances?|bounds?|bands?|standards?|stages?|levels?|grades?|class(?:es)?|performance"
    r"|registration|precision|column)\b",
    re.IGNORECASE,
)


def note_level_limits(unit: Unit, context: Context) -> bool:
    """ "A meter has new meter accuracy while it registers within ±1.5 %": the limits a level means here.

    Of a sentence that explains several levels in turn, each has the limits told between its name and the next.
    """
    levels = unit.of(Family.LEVEL)
    if not levels or unit.of(Family.DURATION, Family.VOLUME) or not unit.of(Family.BAND):
        return False
    if not re.search(r"\b(while|means|is|has|when|if)\b", unit.text, re.IGNORECASE) and not _STANDS_FOR.search(
        unit.text
    ):
        return False
    if len({hit.value for hit in levels}) == 1 and isinstance(levels[0].value, AccuracyLevel):
        context.level_bands[levels[0].value] = bands_in(unit)
        return True
    if not _STANDS_FOR.search(unit.text):
        return False
    for index, hit in enumerate(levels):
        following = levels[index + 1].start if index + 1 < len(levels) else unit.end
        bands = bands_in(unit.part(hit.start, following))
        if bands and isinstance(hit.value, AccuracyLevel):
            context.level_bands[hit.value] = bands
    return True


_STANDS_FOR = re.compile(
    r"\b(?:stands? for|denotes?|designates?|signif(?:y|ies)|refers? to|is short for|we mean|is meant|is understood|is shorthand)\b",
    re.IGNORECASE,
)


def note_level_standard(unit: Unit, context: Context) -> None:
    """ "New meter accuracy is that of AWWA C700": the standard a level means throughout the document.

    A sentence that only uses both ("meets the limits for new meters of C700 for five years") is kept apart: it serves
    where no sentence says what the level means, and only if all of them agree.
    """
    levels, standards = unit.of(Family.LEVEL), unit.of(Family.STANDARD)
    for index, hit in enumerate(levels):
        low = levels[index - 1].end if index else unit.start
        high = levels[index + 1].start if index + 1 < len(levels) else unit.end
        own = {found.value: found for found in standards if hit.start <= found.start < high}
        if not own and index == 0:
            own = {found.value: found for found in standards if low <= found.start < hit.start}
        if not isinstance(hit.value, AccuracyLevel):
            continue
        if len(own) > 1:
            keyed = keyed_standards(unit, hit.start, high) or keyed_standards(unit, low, high)
            if keyed and not unit.of(Family.DURATION, Family.VOLUME):
                context.level_keyed.setdefault(hit.value, keyed)
            continue
        if len(own) != 1:
            continue
        standard = Found.of(next(iter(own.values()))).passed_on()
        context.level_mentions.setdefault(hit.value, {})[str(standard.value)] = standard
        if unit.of(Family.DURATION, Family.VOLUME, Family.TRIGGER):
            continue
        if re.search(r"\b(is|are|means?|per|=|as in)\b", unit.text) or _STANDS_FOR.search(unit.text):
            context.level_standards.setdefault(hit.value, standard)


def note_product_limits(unit: Unit, context: Context) -> None:
    """ "An HT meter registers not less than 98.5 percent …" with no period: the limits another clause promises for a time."""

    products = {str(hit.value) for hit in unit.of(Family.PRODUCT)}
    if len(products) != 1 or not unit.of(Family.BAND) or unit.of(Family.DURATION, Family.VOLUME, Family.REFERENCE):
        return
    context.product_bands.setdefault(products.pop(), bands_in(unit))


def find_products(context: Context) -> dict[str, MeterType | None]:
    """Product names: capitalised or coded words right before or after what they are ("the Vireo ultrasonic meter")."""
    counted: Counter[str] = Counter()
    types: dict[str, Counter[MeterType]] = {}
    for _, block in context.blocks(BlockKind.HEADING, BlockKind.PARAGRAPH, BlockKind.LIST_ITEM, BlockKind.TABLE):
        runs = [cell.run for cell in block.table.cells] if block.table else [block.run]
        for run in runs:
            doc = parse(run.text)
            for name, kind in _product_spans(doc, context, context.inner_names if block.table is not None else None):
                counted[name] += 1
                if kind is not None:
                    types.setdefault(name, Counter())[kind] += 1
    for run in _runs(context):
        for name in counted:
            kind = _kind_told(run.text, name)
            if kind is not None:
                types.setdefault(name, Counter())[kind] += 1
    return {name: (types[name].most_common(1)[0][0] if name in types else None) for name in counted}


_APPOSITION = r"\s*(?:\(|[,–—:]\s*|\b(?:is|are|ist|sind|est|sont|es|son)\b\s*)(?:(?:a|an|our|the|ein|eine|un|une|una|le|la|el)\s+)?(?:[\w-]+\s+)?$"


def _kind_told(text: str, name: str) -> MeterType | None:
    """The meter type told right after a name: "Series D (volumetric piston)", "the K4 is a single-jet meter"."""
    place = text.find(name)
    if place < 0:
        return None
    told = set()
    while place >= 0:
        end = place + len(name)
        window = text[end : end + 60]
        for mention in promise.find_types(parse(window)):
            if re.match(_APPOSITION, window[: mention.start]):
                told.add(mention.value)
                break
        place = text.find(name, end)
    return told.pop() if len(told) == 1 else None


def _runs(context: Context) -> Iterable[Run]:
    for _, block in context.blocks(BlockKind.HEADING, BlockKind.PARAGRAPH, BlockKind.LIST_ITEM, BlockKind.TABLE):
        yield from [cell.run for cell in block.table.cells] if block.table else [block.run]


def _inner_names(context: Context) -> frozenset[str]:
    """Words printed large within a sentence, where no word but a name is (German apart)."""
    found = set()
    for run in _runs(context) if context.reader.style.language != "de" else ():
        doc = parse(run.text)
        for left, right in pairwise(doc):
            if left.text.islower() and left.is_alpha and _NAME.match(right.text) and len(right.text) > 3:
                found.add(right.text)
    return frozenset(found)


def _product_spans(doc: "Doc", context: Context, inner: frozenset[str] | None) -> list[tuple[str, MeterType | None]]:
    heads = [*component.find(doc), *promise.find_types(doc)]
    kinds = {mention.start: mention.value for mention in promise.find_types(doc)}
    begins = {mention.start for mention in heads}
    found = []
    i = 0
    while i < len(doc):
        j = i
        while j < len(doc) and j - i < 5 and (_is_name(doc, j, context) or _hyphen_in_name(doc, i, j)):
            j += 1
        if j > i and doc[j - 1].text == "-":
            j -= 1
        if j == i:
            i += 1
            continue
        words = doc[i:j].text.split()
        series = i > 0 and doc[i - 1].lower_ in _SERIES and len(words) >= 1
        kind: MeterType | None = None
        linked = _named_after_head(doc, i, j, heads, context)
        for k in range(j, min(len(doc), j + 4)):
            if doc[k].idx in begins:
                linked = True
                kind = next(
                    (value for start, value in kinds.items() if doc[j - 1].idx <= start <= doc[k].idx + 30), None
                )
                break
            if (
                not doc[k].is_alpha
                or doc[k].text[0].isupper()
                or doc[k].lower_ in {"will", "is", "and", "or", "of", "shall", "warrants", "to", "that", "does"}
            ):
                break
        kind = kind or _kind_beside(doc, i, j, kinds)
        coded = any(_CODE.match(word) and any(ch.isdigit() for ch in word) for word in words)
        alone = len(words) == 1 and words[0].isdigit()
        if (series and not alone) or (
            linked
            and not alone
            and (
                coded
                or _plausible(words, doc, i, context)
                or (
                    inner is not None
                    and i == 0
                    and words[0].lower() not in _NO_PRODUCT
                    and (kind is not None or (len(words) == 1 and words[0] in inner))
                )
            )
        ):
            if series and doc[i - 1].text[0].isupper() and doc[i - 1].lower_ in _NAMING:
                name = f"{doc[i - 1].text} {' '.join(words)}"
            else:
                name = " ".join(words)
            found.append((name, kind))
        elif series and alone and doc[i - 1].text[0].isupper() and linked:
            found.append((f"{doc[i - 1].text} {words[0]}", kind))
        i = j
    return found


def _hyphen_in_name(doc: "Doc", i: int, j: int) -> bool:
    """The hyphen, or the letter after it, of a name such as Quill-R."""
    if j == i or j + 1 > len(doc) or doc[j - 1].whitespace_:
        return False
    if doc[j].text == "-" and not doc[j].whitespace_:
        following = doc[j + 1].text if j + 1 < len(doc) else ""
        return (following.isupper() and len(following) <= 3) or following == "series"
    return doc[j - 1].text == "-" and (doc[j].text == "series" or (doc[j].text.isupper() and len(doc[j].text) <= 3))


def _named_after_head(doc: "Doc", i: int, j: int, heads: "Sequence[Mention]", context: Context) -> bool:
    """A name that follows what it is: "turbine meter T-900", "le compteur Volterne", "Funkaufsatz FA"."""
    k = i - 1
    if k >= 1 and doc[k].text == ",":
        k -= 1
    if k < 0:
        return False
    end = doc[k].idx + len(doc[k].text)
    if not any(mention.start <= doc[k].idx and end <= mention.end for mention in heads):
        return False
    words = doc[i:j].text.split()
    if any(_CODE.match(word) for word in words):
        return not doc[i].text.isdigit()
    return context.reader.style.language in ("fr", "es") and doc[k].text != ","


def _kind_beside(doc: "Doc", i: int, j: int, kinds: dict[int, MeterType]) -> MeterType | None:
    """The meter type printed right before a name or in brackets right after it: "Series D (volumetric piston)"."""
    first, last = doc[i].idx, doc[j - 1].idx + len(doc[j - 1].text)
    for start, value in kinds.items():
        if 0 < first - start <= 30 and not re.search(r"[.;:,]|\band\b", doc.text[start:first]):
            return value
        if 0 <= start - last <= 14 and re.match(r"\s*\(", doc.text[last : start + 1]):
            return value
    return None


def _plausible(words: Sequence[str], doc: "Doc", i: int, context: Context) -> bool:
    if all(word.lower() in _NO_PRODUCT or word.isdigit() for word in words):
        return False
    sentence_start = i == 0 or doc[i - 1].text in {".", ":", ";", "•", ")", "”", "\n"}
    if sentence_start and len(words) == 1 and re.search(r"[a-z][A-Z]", words[0]):
        return True
    if sentence_start and len(words) == 1 and not _CODE.match(words[0]):
        return words[0] in context.inner_names or sum(1 for token in doc if token.text == words[0]) > 1
    return True


def _named_in_german(doc: "Doc", i: int) -> bool:
    """German writes every noun large: a name is told by "Baureihe" before it, or by inner capitals."""
    return (i > 0 and doc[i - 1].lower_ in _SERIES) or re.search(r"[a-zäöü][A-Z]", doc[i].text) is not None


def _is_name(doc: "Doc", i: int, context: Context) -> bool:
    token = doc[i]
    text = token.text
    if context.reader.style.language == "de" and not _CODE.match(text) and not _named_in_german(doc, i):
        return False
    if token.lower_ in _NO_PRODUCT or token.lower_ in context.supplier_words:
        return token.text.isdigit() and i > 0 and doc[i - 1].text[:1].isupper() and False
    if text == "Series" and i > 0:
        return True
    if _CODE.match(text):
        return not re.match(
            r"^(C-?7\d\d|M-?6|DN\d+|Q\d|R\d+|IP\d+|AWWA|ISO|NSF|MAP|II|III|IV|US|USA|FOB|RMA|PSI)$", text
        )
    if text.isdigit():
        return i > 0 and (
            _NAME.match(doc[i - 1].text) is not None
            and doc[i - 1].lower_ not in _NO_PRODUCT
            and not doc[i - 1].text.isdigit()
        )
    return bool(_NAME.match(text)) and not text.isdigit()
