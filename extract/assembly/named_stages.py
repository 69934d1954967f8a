"""Names that a table gives to its columns or rows and the text explains: "Stage A, extended low flow: at the minimum …"."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.context import Context
from firstcap.extract.assembly.draft import BandDraft, Found
from firstcap.extract.assembly.limit_standards import limit_standards
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.unit import Unit, hits_of, units_of
from firstcap.extract.page import BlockKind
from firstcap.extract.patterns.base import Family
from firstcap.schema.vocabulary import Promise

_TELLS = (Family.BAND, Family.LEVEL, Family.STANDARD)


@dataclass(slots=True)
class Stage:
    """What a name stands for: a level or percentages of its own, and the standard they come from."""

    level: Found | None = None
    standard: Found | None = None
    bands: list[BandDraft] = field(default_factory=list)


def stage_names(context: Context, texts: Sequence[str]) -> dict[str, str]:
    """Of the headings of columns or rows, those that the text or a heading of it uses as names, by what they say."""
    said = [block.run.text.casefold() for _, block in context.blocks(*_PROSE)]
    found: dict[str, str] = {}
    for text in texts:
        name = cleaned(text)
        if re.search(r"\w\W+\w", name) and any(_holds(name, other) for other in said):
            found[text] = name
    return found


_PROSE = (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM, BlockKind.HEADING)


def cleaned(text: str) -> str:
    return re.sub(r"\W*\([^)]*\)\W*$|\W+$", "", text).strip().casefold()


def _holds(name: str, text: str) -> bool:
    return re.search(rf"(?<!\w){re.escape(name)}(?!\w)", text) is not None


def explained(names: Sequence[str], context: Context) -> dict[str, Stage]:
    """What the text says of each name: under a heading that begins with it, or in a sentence that tells it from the others."""
    stages = {name: Stage() for name in dict.fromkeys(names)}
    for index, block in context.blocks(*_PROSE):
        if block.kind is BlockKind.HEADING:
            name = _heads(block.run.text, stages)
            if name is not None:
                _take(stages[name], Unit(block.run, 0, len(block.run.text), hits_of(block.run, context.reader)))
            continue
        under = _heads(context.layout.blocks[block.headings[-1]].run.text, stages) if block.headings else None
        for unit in units_of(block.run, context.reader, block=index, headings=block.headings):
            parts = _by_name(unit, list(stages))
            if not parts and under is not None:
                parts = [(under, unit)]
            for name, part in parts:
                _take(stages[name], part)
    return {name: stage for name, stage in stages.items() if stage.level or stage.standard or stage.bands}


def _heads(text: str, names: dict[str, Stage]) -> str | None:
    start = re.sub(r"^\W*(?:[\d.]+\s+|the\s+)*", "", text.casefold())
    return next((name for name in names if _holds(name, start[: len(name) + 1])), None)


def _by_name(unit: Unit, names: Sequence[str]) -> list[tuple[str, Unit]]:
    """The stretch of a sentence that each name in it is told in; none where the names stand apart from what is told."""
    text = unit.text.casefold()
    places = sorted(
        (match.start(), match.end(), name)
        for name in names
        for match in re.finditer(rf"(?<!\w){re.escape(name)}(?!\w)", text)
    )
    told = [hit.start - unit.start for hit in unit.of(*_TELLS)]
    if not places or not told or unit.of(Family.NEGATION):
        return []
    if len({name for _, _, name in places}) == 1:
        return [(places[0][2], unit)]
    before = min(told) < places[0][0]
    edges = [0, *(end for _, end, _ in places)] if before else [*(start for start, _, _ in places), len(text)]
    return [
        (name, unit.part(unit.start + low, unit.start + high))
        for (_, _, name), low, high in zip(places, edges, edges[1:], strict=False)
    ]


def _take(stage: Stage, unit: Unit) -> None:
    levels = {hit.value: hit for hit in unit.of(Family.LEVEL)}
    if stage.level is None and len(levels) == 1:
        stage.level = Found.of(next(iter(levels.values()))).passed_on()
    standards = {hit.value: hit for hit in limit_standards(unit)}
    if stage.standard is None and len(standards) == 1:
        stage.standard = Found.of(next(iter(standards.values()))).passed_on()
    if not stage.bands:
        stage.bands = bands_in(unit)


def put_stage(record: Record, stages: dict[str, Stage]) -> None:
    """Gives a record under a name what the name stands for."""
    stage = stages.get(record.column)
    if stage is None:
        return
    record.level = record.level or stage.level
    record.standard = record.standard or stage.standard
    if not record.bands:
        record.bands = list(stage.bands)
    if record.promise is None:
        told = stage.level or stage.standard or Found.of(stage.bands[0].hit)
        record.promise = Found(Promise.ACCURACY, told.hit, True, "promise.by_name")
