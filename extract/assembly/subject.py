"""What a promise is about: the part, the product, the type and the sizes."""

import itertools
import re
from collections.abc import Sequence

from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import Draft, Found
from firstcap.extract.assembly.pointing import ANAPHORA, LABEL, SAME_AGAIN
from firstcap.extract.assembly.stretches import OF_THING
from firstcap.extract.assembly.unit import Hit, Unit, component_of, is_covered
from firstcap.extract.patterns.base import Family
from firstcap.extract.patterns.values import ComponentSpec
from firstcap.schema.vocabulary import Component

_OF_THE = re.compile(
    r"\b(?:of|for|in|on|to|with|inside|from|du|des|de la|del|de los|der|des|eines|einer)\s+(?:the|a|an|each|every|any|our|its|le|la|el|un|une)?\s*(?:[\w/.\-“”\"]+\s+){0,4}$",
    re.IGNORECASE,
)

_ASIDE = re.compile(
    r"\b(?:other than|without|(?:has|have|with|having) no|(?:which|that) (?:has|have|contains?|holds?|carries|carry)(?: an?| its)?|excluding|except|not including|sold with|supplied with|with(?! respect| regard| reference)|come with|comes with|included with|including|together with|einschließlich|inklusive|samt|nebst|y compris|con|avec|mit|used with|until (?:the|it|its|such)(?: \w+)?|when (?:the|its|a)|if (?:the|a)|whose|that powers|powers? the|shown (?:on|by) (?:the|its)|power the|run the|keep the|supply the|sold separately|in the|cast in the|stamped on (?:the|its))\s*(?:\w+\s+){0,2}$",
    re.IGNORECASE,
)

# "If the battery of a meter fails within ten years, the module is exchanged": the battery is what is promised.
_IF_IT_FAILS = re.compile(
    r"^\W*(?:[\d.()a-z]{1,5}\s+)?(?:if|should|where|when)\s+(?:the|a|an|any|its|such)?\s*(?:[\w-]+\s+){0,2}$",
    re.IGNORECASE,
)

# "Except the maincase, which is warranted for twenty years": an aside with a promise of its own.
_ITSELF = re.compile(
    r",?\s+(?:which|that|whose warranty)\s+(?:is|are|shall|will|carry|carries|has|have)\b", re.IGNORECASE
)


def fill_subject(
    draft: Draft, part: Unit, unit: Unit, before: Sequence[Draft], previous: Draft | None, context: Context
) -> None:
    kinds = part.of(Family.PROMISE, Family.BAND)
    anchors = [limit.hit.start for limit in draft.times] + [hit.start for _, hit in draft.volumes]
    subject_end = min([hit.start for hit in kinds] + anchors, default=part.end)
    covers = part.of(Family.LEVEL, Family.STANDARD)
    kinds_of_meter = part.of(Family.METER_TYPE)
    found = [
        hit
        for hit in part.of(Family.COMPONENT)
        if not is_covered(hit, covers)
        and not (component_of(hit) is not Component.WHOLE_METER and is_covered(hit, kinds_of_meter))
        and not _in_firm_name(part, hit, context)
    ]
    within = [hit for hit in found if not is_covered(hit, part.of(Family.START, Family.LIFE))]
    found = within or found  # "from the date the meter is set, the rotor …": the meter is no subject
    subject = [hit for hit in found if hit.end <= subject_end]
    chosen = subjects_of(part, subject) or subjects_of(
        part, [hit for hit in found if hit.end <= min(anchors, default=part.end)]
    )
    if before and re.match(
        r"\W*(?:and\s+)?(?:those|that(?!\s+(?:the|its|each|any|all|our|every))|the ones?)\b", part.text, re.IGNORECASE
    ):
        chosen = []  # "those for 2 inch meters": the subject is the one before
    if not chosen:
        after = max(anchors, default=part.start)
        trailing = [hit for hit in found if hit.start > after]
        last_end = max([limit.hit.end for limit in draft.times] + [hit.end for _, hit in draft.volumes], default=0)
        beside = bool(trailing) and bool(OF_THING.match(part.run.text[last_end : trailing[0].start]))
        chosen = subjects_of(part, trailing) if (not before or beside) and LABEL.match(part.text) is None else []
        if beside and trailing and not chosen:
            chosen = trailing[:1]  # "five years for the register": no aside
        if trailing and not chosen and not before and _leads(part, min(anchors, default=part.end), last_end):
            chosen = [hit for hit in trailing if component_of(hit) is not Component.WHOLE_METER] or trailing[:1]
            beside = True
        chosen = [hit for hit in chosen if beside or component_of(hit) is not Component.WHOLE_METER]
    if chosen:
        draft.scalars["component"] = Found.of(chosen[0])
        if len({component_of(hit) for hit in chosen}) > 1:
            draft.scalars["components"] = Found(list(chosen), chosen[0])
    product = list(part.of(Family.PRODUCT))
    product_subject = [hit for hit in product if hit.end <= subject_end] or product
    if product_subject:
        draft.put("product", Found.of(product_subject[0]))
        names = list(dict.fromkeys(str(hit.value) for hit in product_subject))
        if len(names) > 1:
            draft.scalars["products"] = Found(tuple(names), product_subject[0])
    types = part.of(Family.METER_TYPE)
    if types:
        draft.put("meter_type", Found.of(types[0]))
        if len({hit.value for hit in types}) > 1:
            draft.scalars["mixed_types"] = Found(True, types[0])
    sizes = [hit for hit in part.of(Family.SIZE) if not _beside_standard(part, hit)]
    if sizes:
        labels: list[str] = []
        for hit in sizes:
            labels.extend(label for label in hit.value if label not in labels)  # type: ignore[attr-defined]
        draft.sizes = Found(tuple(labels), sizes[0], False, sizes[0].mention.pattern)
    if "component" not in draft.scalars and not product_subject and _unknown_subject(part, found):
        draft.scalars["component"] = Found(ComponentSpec(Component.OTHER), None, False, "component.unknown")
        draft.doubts.append("component_default")
    prior = unit.extra.get("prior")
    if isinstance(prior, Unit) and "component" not in draft.scalars and prior.of(Family.COMPONENT):
        named = [
            hit for hit in prior.of(Family.COMPONENT) if not is_covered(hit, prior.of(Family.LEVEL, Family.STANDARD))
        ]
        for hit in subjects_of(prior, named)[:1]:
            draft.put("component", Found.of(hit).passed_on())
        kinds_before = prior.of(Family.METER_TYPE)
        if kinds_before and "meter_type" not in draft.scalars:
            draft.put("meter_type", Found.of(kinds_before[0]).passed_on())
            if len({hit.value for hit in kinds_before}) > 1:
                draft.scalars["mixed_types"] = Found(True, kinds_before[0])
    if isinstance(prior, Unit) and (prior.of(Family.COMPONENT) or prior.of(Family.METER_TYPE)):
        sizes_before = [label for hit in prior.of(Family.SIZE) for label in hit.value]  # type: ignore[attr-defined]
        if sizes_before and draft.sizes is None and not prior.of(Family.DURATION):
            draft.sizes = Found(tuple(dict.fromkeys(sizes_before)), prior.of(Family.SIZE)[0], True)
    last = before[-1] if before else previous
    anaphoric = (
        bool(before) or bool(SAME_AGAIN.match(unit.text)) or (bool(ANAPHORA.match(unit.text)) and previous is not None)
    )
    if last is not None and anaphoric:
        if "component" not in draft.scalars and "component" in last.scalars:
            draft.put("component", last.scalars["component"].passed_on())
        if draft.get("component") == last.get("component") or not chosen or (before and "product" not in draft.scalars):
            for name in ("product", "products", "meter_type"):
                if (name in last.scalars and "product" not in draft.scalars) or name == "meter_type":
                    draft.put(name, last.scalars[name].passed_on() if name in last.scalars else None)
        again = (
            bool(before) and not chosen and not product_subject
        )  # "to new limits for …, and to repaired limits for …"
        if draft.sizes is None and last.sizes is not None and (again or SAME_AGAIN.match(unit.text)):
            draft.sizes = last.sizes.passed_on()


def _leads(part: Unit, begin: int, end: int) -> bool:
    """ "25 years: case and bottom plate": the time is the label of the things behind it."""
    text = part.run.text
    return (
        not re.search(r"\w{2}", text[part.start : begin])
        and re.match(r"\s*(?:[:–—]|-+\s)", text[end : part.end]) is not None
    )


def _beside_standard(part: Unit, size: Hit) -> bool:
    """ "(C700 up to 2 inch, C701 above)": sizes that say which standard holds, not what is promised."""
    text = part.run.text
    opened = text.rfind("(", part.start, size.start)
    if opened < 0 or ")" in text[opened : size.start]:
        return False
    closed = text.find(")", size.end)
    return any(opened <= hit.start < (closed if closed >= 0 else part.end) for hit in part.of(Family.STANDARD))


def _in_firm_name(part: Unit, hit: Hit, context: Context) -> bool:
    """ "Millrace Meter & Valve Co. warrants …": parts in the supplier's own name are no subject."""
    words = context.supplier_words
    if not hit.mention.text[:1].isupper() or not {word.casefold() for word in hit.mention.text.split()} <= words:
        return False
    before = re.findall(r"\w+", part.run.text[max(part.start, hit.start - 30) : hit.start])[-1:]
    after = re.findall(r"\w+", part.run.text[hit.end : hit.end + 30])[:1]
    return any(word[:1].isupper() and word.casefold() in words for word in (*before, *after))


_SUBJECT = re.compile(
    r"(?:^|[.;]\s+|\b(?:and|but|while)\s+)\W*(?:[\d.]+\s+)?(?:the|any|each|every|all|our)\s+((?:[\w/-]+\s+){1,4}?)"
    r"(?:(?:supplied|sold|furnished|delivered|shipped)\s+(?:\w+\s+){0,4})?"
    r"(?:is|are|shall be|will be|carry|carries)\s+(?:\w+ly\s+|also\s+|hereby\s+)?(?:warranted|guaranteed|covered|protected)\b",
    re.IGNORECASE,
)

_GENERAL = re.compile(
    r"\b(?:warrant\w*|guarant\w*|cover\w*|products?|goods|equipment|items?|units?|wares?|articles?|instruments?|devices?|"
    r"limits?|accurac\w+|terms?|promises?|company|seller|manufacturer|supplier|purchaser|buyer|customer|utility|periods?|"
    r"above|following|same|foregoing|latter|former|others?|rest|remainder|parts?|components?|series|models?|types?|sizes?)\b",
    re.IGNORECASE,
)


def _unknown_subject(part: Unit, found: Sequence[Hit]) -> bool:
    """ "Any dongle … is warranted": a thing that has no name of its own in the catalogue."""
    match = _SUBJECT.search(part.text)
    if match is None or _GENERAL.search(match.group(1)):
        return False
    low, high = part.start + match.start(), part.start + match.end()
    return not any(low <= hit.start < high for hit in part.hits if hit.family is not Family.TRIGGER) and not found


# "On bodies and strainers": the second is as much a subject as the first.
_AND_ALSO = re.compile(r"\s*(?:,|and|or|&|, ?and|/)\s*(?:(?:the|its|any|all)\s+)?(?:[\w-]+\s+)?$", re.IGNORECASE)


def subjects_of(part: Unit, hits: Sequence[Hit]) -> list[Hit]:
    """The components a promise is about: "the register of the meter" is about the register."""
    kept: list[Hit] = []
    left_out: Hit | None = None  # the last part named in passing
    for hit, following in itertools.zip_longest(hits, hits[1:]):
        before = part.run.text[part.start : hit.start]
        if following is not None and part.run.text[hit.end : following.start] == " ":
            continue  # "the transmitter electronics"
        if re.match(
            r",?\s+(?:included|inclusive|excluded|excepted|comprise|comprises|compris|incluida|incluidas|inbegriffen)\b",
            part.run.text[hit.end : hit.end + 14],
        ):
            continue  # "endpoints, their batteries included"
        aside = _ASIDE.search(before[-60:])
        if (
            aside
            and (len(hits) > 1 or not aside.group().lower().startswith("in the"))
            and not _IF_IT_FAILS.match(before)
            and not _ITSELF.match(part.run.text[hit.end : hit.end + 30])
        ):
            left_out = hit
            continue
        if left_out is not None and _AND_ALSO.fullmatch(part.run.text[left_out.end : hit.start]) and kept:
            left_out = hit
            continue  # "each meter, including its transducers and display"
        if kept and _OF_THE.search(before[-60:]) and not _AND_ALSO.match(part.run.text[kept[-1].end : hit.start]):
            continue
        kept.append(hit)
    specific = [hit for hit in kept if component_of(hit) is not Component.WHOLE_METER]
    joined = bool(specific) and re.search(r"\b(?:and|or)\b|[,&]", part.run.text[kept[0].end : specific[0].start])
    if (
        specific
        and component_of(kept[0]) is Component.WHOLE_METER
        and specific[0].start - kept[0].end < 25
        and not joined
    ):
        return specific  # "meter couplings", "the meter body"
    if specific and kept and component_of(kept[0]) is Component.WHOLE_METER:
        return [kept[0]] if not re.search(r"\band\b|,", part.run.text[kept[0].end : specific[0].start]) else kept
    return specific or kept[:1]
