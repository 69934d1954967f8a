"""What the labels of a row or column name: size, part, product, level, promise, start, material."""

import re

from firstcap.extract.assembly.draft import Found
from firstcap.extract.assembly.part_names import parts_named
from firstcap.extract.assembly.promised import promise_of
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape, event_in
from firstcap.extract.assembly.subject import subjects_of
from firstcap.extract.assembly.unit import Hit, Unit, component_of
from firstcap.extract.page import Run
from firstcap.extract.patterns import size
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.values import StartClock, StartSpec
from firstcap.schema.vocabulary import AccuracyLevel, Component, StartRule


def put_label(shape: Shape, record: Record, run: Run, kind: str, header: str) -> None:
    if kind == "size":
        mention = size.size_in(run.text, header)
        if mention is not None:
            record.sizes = Found.of(Hit(mention, run))
        return
    if kind == "unit":
        return
    if kind == "start":
        event = event_in(run.text, shape.reader.style)
        if event is not None:
            whole = Mention(
                Family.START,
                0,
                len(run.text),
                StartSpec((StartClock(event),), StartRule.SINGLE),
                "start.column",
                run.text,
            )
            record.start = Found.of(Hit(whole, run))
        return
    if kind == "remark":
        record.remark = run
        for hit in shape.hits(run):
            if hit.family is Family.START and record.start is None:
                record.start = Found.of(hit)
        return
    put_name(shape, record, run, label=shape.of_parts)
    if record.product is None and _MODEL.search(header):
        _put_model(record, run)


_MODEL = re.compile(
    r"^\W*(?:meter )?(?:models?|series|product(?: line)?s?|types?|baureihe|typ|modell|modelos?|modèles?|serie|série|gamme)\W*$",
    re.IGNORECASE,
)
_MODEL_NAME = re.compile(r"[A-Z][\w-]*\d[\w-]*|[A-Z]{1,4}(?:-\w+)?|[A-Z][\w-]+ [A-Z]?\d+\w*")


def _put_model(record: Record, run: Run) -> None:
    """A name of the supplier's own under "Model": letters and figures that are no word of the trade."""
    text = run.text.strip()
    if record.component is None and record.meter_type is None and _MODEL_NAME.fullmatch(text):
        record.product = Found.of(Hit(Mention(Family.PRODUCT, 0, len(run.text), text, "product.column", text), run))


def put_name(shape: Shape, record: Record, run: Run, *, label: bool = False) -> None:
    """What a label or a heading names; `label`: it is that of a row in a table of parts."""
    whole = Unit(run, 0, len(run.text), shape.hits(run))
    levels = whole.of(Family.LEVEL)
    if levels and record.level is None:
        record.level = Found.of(levels[0])
    elif record.level is None:
        record.level = _bare_level(run)
    covered = [
        hit
        for hit in whole.of(Family.COMPONENT)
        if not any(lv.start <= hit.start and hit.end <= lv.end for lv in levels)
    ]
    subjects = parts_named(run, covered) if label else subjects_of(whole, covered)
    whole_only = record.component is not None and record.component.hit is not None and not label
    if whole_only and record.component is not None and record.component.hit is not None:
        whole_only = component_of(record.component.hit) is Component.WHOLE_METER
    if subjects and (record.component is None or whole_only):
        record.component = Found.of(subjects[0])
        record.parts = tuple(subjects) if len({component_of(hit) for hit in subjects}) > 1 else ()
        if re.search(r"\bor\b|/", run.text):
            record.parts = ()  # "Register or electronics": which of them, the cells say
    for name, family in (
        ("product", Family.PRODUCT),
        ("meter_type", Family.METER_TYPE),
        ("standard", Family.STANDARD),
        ("start", Family.START),
        ("rule", Family.RULE),
    ):
        hit = whole.first(family)
        if hit is not None and getattr(record, name) is None:
            setattr(record, name, Found.of(hit))
    names = tuple(dict.fromkeys(str(hit.value) for hit in whole.of(Family.PRODUCT)))
    if len(names) > 1 and not record.products:
        record.products = names
    if record.promise is None:
        found = promise_of(whole)
        if found is not None:
            record.promise = found
    sizes = whole.first(Family.SIZE)
    if sizes is not None and record.sizes is None:
        record.sizes = Found.of(sizes)
    record.variant = record.variant or variant_of(run.text)


def _bare_level(run: Run) -> Found | None:
    """A column headed "New years" or "Repaired gallons": the level in one word."""
    match = re.match(
        r"\W*(?:(?:as|when|while|if|once|for|like|than)\s+)?(new|repaired)\b(?!\s+(?:products?|parts?|units?|edition))",
        run.text,
        re.IGNORECASE,
    ) or re.search(r"\w\W*[,:(–—-]\s*(new|repaired)\W*$", run.text, re.IGNORECASE)
    if match is None:
        return None
    level = AccuracyLevel.NEW_METER if match.group(1).lower() == "new" else AccuracyLevel.REPAIRED_METER
    mention = Mention(Family.LEVEL, match.start(1), match.end(1), level, "level.bare_header", match.group(1))
    return Found.of(Hit(mention, run))


_VARIANTS = (
    ("bottom plate", r"\bbottom plates?\b|\bfrost bottoms?\b"),
    ("bronze", r"\bbronze|\bbronce\b"),
    ("brass", r"\bbrass\b|\blaiton\b|\bmessing\b|\blatón\b"),
    ("composite", r"\bcomposite\b"),
    ("polymer", r"\bpolymer|\bplastic|\bnylon\b|\bpolímero\b|\bresin\b|\bpolymère\b|\bkunststoff"),
    ("stainless steel", r"\bstainless\b"),
    ("iron", r"\biron\b"),
    ("direct-read", r"\bdirect[- ]?read(?:ing)?\b"),
    ("encoder", r"\bencoders?\b|\bencoded\b"),
    ("mechanical", r"\bmechanical\b"),
    ("electronic", r"\belectronic\b"),
)


def variant_of(text: str) -> str | None:
    """The material or make that may tell alike components apart."""
    for name, pattern in _VARIANTS:
        if re.search(pattern, text, re.IGNORECASE):
            return name
    return None
