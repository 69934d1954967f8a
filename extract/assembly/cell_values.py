"""What one data cell promises: time, volume, life, percentages or a flow, with what its footnotes change."""

import re
from collections.abc import Sequence
from dataclasses import replace

from firstcap.extract.assembly.bands import bands_in
from firstcap.extract.assembly.cell_notes import noted
from firstcap.extract.assembly.cell_tails import free_months
from firstcap.extract.assembly.credits import cell_stages
from firstcap.extract.assembly.draft import Found, TimeLimit
from firstcap.extract.assembly.flow_columns import band_at_flows, band_over_flows, flow_name, of_flows
from firstcap.extract.assembly.records import Record
from firstcap.extract.assembly.shape import Shape
from firstcap.extract.assembly.told_units import unit_of_column
from firstcap.extract.assembly.unit import Hit, Unit
from firstcap.extract.numbers import NumberStyle
from firstcap.extract.page import Cell, Run
from firstcap.extract.patterns import flow
from firstcap.extract.patterns.accuracy import band_in
from firstcap.extract.patterns.base import Family, Mention
from firstcap.extract.patterns.duration import duration_in
from firstcap.extract.patterns.values import FullAndTail
from firstcap.extract.patterns.volume import volume_in
from firstcap.schema.quantities import Duration, FlowRate, PercentBand, Volume
from firstcap.schema.vocabulary import FlowRole

_Q = re.compile(r"^\W*(?:table \w+\.?\s*)?(Q\s?[1-4]|R)\b", re.IGNORECASE)


def footnotes(shape: Shape, cell: Cell, header_run: Run, row: int) -> list[Run]:
    marks = [mark for _, mark in cell.run.marks]
    marks += [mark for _, mark in header_run.marks]
    for col, kind in shape.keys.items():
        if kind in ("name", "size"):
            key_cell = shape.table.at(row, col)
            if key_cell is not None:
                marks += [mark for _, mark in key_cell.run.marks]
    found = []
    for mark in dict.fromkeys(marks):
        block = shape.context.layout.footnote(mark)
        if block is not None:
            found.append(block.run)
    return found


def put_values(
    shape: Shape, record: Record, cell: Cell, place: tuple[int, int], unit_text: str, notes: Sequence[Run]
) -> None:
    """Reads one cell into a record; `place` is its row and column, `unit_text` where the unit of a bare number stands."""
    run = cell.run
    hits = shape.hits(run)
    style, gallon = shape.reader.style, shape.reader.gallon
    q_name = _Q.match(unit_text)
    duration = (
        _first_of(hits, Family.DURATION)
        or _lifted(duration_in(run.text, unit_text, style), run)
        or _lifted(_leading_time(run.text, unit_text, style), run)
    )
    cap = _first_of(hits, Family.VOLUME)
    if cap is None and _first_of(hits, Family.DURATION) is None:
        outer_units = _outer_units(shape, unit_text)
        cap = _lifted(
            volume_in(run.text, unit_text, style, gallon)
            or next((found for text in outer_units if (found := volume_in(run.text, text, style, gallon))), None),
            run,
        )
    if duration is None and cap is None:
        duration, cap = _in_told_unit(shape, run, unit_text)
    life = _first_of(hits, Family.LIFE)
    bands = [hit for hit in hits if hit.family is Family.BAND]
    flow_hit = _first_of(hits, Family.FLOW) or (
        None
        if duration or cap
        else _lifted(
            flow.flow_in(run.text, unit_text, style, gallon)
            or (
                flow.flow_in(run.text, f"{unit_text} {shape.outer}", style, gallon)
                if q_name or of_flows(shape, unit_text)
                else None
            ),
            run,
        )
    )
    if of_flows(shape, unit_text) or (
        re.search(r"gpm|flow|q\d|l/h|m³/h|m3/h|changeover|range", unit_text, re.IGNORECASE)
        and not re.search(r"year|month|registr|volume|total", unit_text, re.IGNORECASE)
    ):
        if flow_hit is not None:
            duration = cap = None
    if q_name is not None and flow_hit is None:
        ratio = re.match(r"^\W*R?\s*(\d{2,4})\W*$", run.text)
        if q_name.group(1).upper() == "R" and ratio:
            ratio_value = FlowRate(low=ratio.group(1), high=ratio.group(1), unit="gpm")  # type: ignore[arg-type]
            record.flows["R"] = (
                ratio_value,
                Hit(Mention(Family.FLOW, 0, len(run.text), ratio_value, "flow.ratio", run.text), run),
            )
        return
    for note in notes:
        duration, cap = noted(shape, record, note, duration, cap, unit_text)
    if duration is not None:
        value = duration.value
        if isinstance(value, FullAndTail):
            record.times.append(TimeLimit(value.total, duration, value.full))
            if value.full.months is not None:
                record.full = Found(value.full.months, duration, False, duration.mention.pattern)
        elif isinstance(value, Duration):
            record.times.append(TimeLimit(value, duration))
        starts = [hit for hit in hits if hit.family is Family.START]
        if starts:
            record.start = Found.of(starts[0])
        rules = [hit for hit in hits if hit.family is Family.RULE]
        if rules:
            record.rule = Found.of(rules[0])
        _stages(shape, record, duration, run, notes)
        more = [hit for hit in hits if hit.family is Family.DURATION and hit is not duration]
        if more and len(starts) > 1 and isinstance(more[0].value, Duration):
            record.times[-1] = TimeLimit(
                record.times[-1].duration, duration, record.times[-1].full, Found.of(starts[0])
            )
            record.times.append(TimeLimit(more[0].value, more[0], None, Found.of(starts[1])))
    if cap is not None and isinstance(cap.value, Volume):
        record.volumes.append((cap.value, cap))
    if life is not None:
        record.life = Found.of(life)
    if bands:
        own = bands_in(Unit(run, 0, len(run.text), list(hits)))
        alone = own[0] if len(own) == 1 and own[0].role is None and own[0].flow is None else None
        record.bands.extend(band_at_flows(shape, *place, alone.band, alone.hit) if alone is not None else own)
    if not bands and duration is None and cap is None and (flow_hit is None or "%" in run.text):
        mention = band_in(run.text, unit_text, style)
        if mention is not None and isinstance(mention.value, PercentBand):
            made = band_at_flows(shape, *place, mention.value, Hit(mention, run))
            record.bands.extend(replace(band, role=band.role or FlowRole.MINIMUM) for band in made)
            return
    if flow_hit is not None and duration is None and cap is None and isinstance(flow_hit.value, FlowRate):
        record.bands.extend(band_over_flows(shape, *place))
        record.flows[flow_name(unit_text)] = (flow_hit.value, flow_hit)


def _in_told_unit(shape: Shape, run: Run, unit_text: str) -> tuple[Hit | None, Hit | None]:
    """A bare number whose unit the words beside the table tell: a time, or a volume."""
    told = unit_of_column(shape.told, unit_text)
    if told is None or not _BARE.match(run.text):
        return None, None
    unit, timed = told
    style = shape.reader.style
    if timed:
        return _lifted(duration_in(run.text, unit, style), run), None
    return None, _lifted(volume_in(run.text, unit, style, shape.reader.gallon), run)


_BARE = re.compile(r"^\W*\d[\d.,/ ½¼¾]*\W*$")


def _stages(shape: Shape, record: Record, duration: Hit, run: Run, notes: Sequence[Run]) -> None:
    """Stages printed beside the time, in its cell, in the remark of its row or in a footnote on it."""
    total = record.times[0].duration.months if record.times else None
    for place in (run, *([record.remark] if record.remark is not None else []), *notes):
        found = cell_stages(place, duration, total, shape.reader.style, bare=place not in notes)
        if found is not None and not record.credits:
            record.credits, record.full = found
    if record.full is None and not record.credits and total is not None:
        for place in (run, *([record.remark] if record.remark is not None else []), *notes):
            free = free_months(place.text, total, shape.reader.style)
            if free is not None:
                words = Mention(Family.SHARE, free[1], free[2], free[0], "cell.tail", place.text[free[1] : free[2]])
                record.full = Found.of(Hit(words, place))
                return


def _first_of(hits: Sequence[Hit], family: Family) -> Hit | None:
    return next((hit for hit in hits if hit.family is family), None)


def _outer_units(shape: Shape, unit_text: str) -> list[str]:
    """Where the unit of a bare number may stand when its header names none: caption, notes, the sentence before."""
    if re.search(r"year|month|flow|size", unit_text, re.IGNORECASE):
        return []
    places = [f"{unit_text} {shape.outer}"]
    before = shape.context.layout.blocks[shape.block - 1].run.text if shape.block else ""
    said = re.search(
        r"number of (?:u\.?s\.? )?gallons|gallons in the|in (?:thousands|millions) of gallons",
        before,
        re.IGNORECASE,
    )
    if said and re.search(r"limit|accuracy|meter|registr|volume", unit_text, re.IGNORECASE):
        places.append(f"{unit_text} gallons")
    return places


def _leading_time(text: str, header: str, style: NumberStyle) -> Mention | None:
    """ "10 (6 full, 4 at half price)" under "Years": the number that leads, where words explain it."""
    match = re.match(r"\W*(\d{1,3}(?:[.,]\d)?)\s*[:;(,]\s*(?=.*[a-z]{3})", text, re.IGNORECASE)
    return duration_in(text[: match.end(1)], header, style) if match else None


def _lifted(mention: Mention | None, run: Run) -> Hit | None:
    return None if mention is None else Hit(mention, run)
