"""Lines such as "5/8 inch: 500,000 gal" under a promise that points below: a table set as text."""

from collections.abc import Sequence

from firstcap.extract.assembly.draft import Draft, Found, TimeLimit
from firstcap.extract.assembly.records import Grid, Record
from firstcap.extract.assembly.unit import Unit
from firstcap.extract.page import Run, Table
from firstcap.extract.patterns.base import Family
from firstcap.schema.quantities import Duration, Volume


def text_grids(units: Sequence[Sequence[Unit]], drafts: Sequence[Draft], grids: Sequence[Grid]) -> list[Grid]:
    """Lines such as "5/8 inch: 500,000 gal" under a promise that points below: a table set as text."""
    waiting = [
        d
        for d in drafts
        if d.refs and not (d.times and d.volumes) and not any(g.headings == d.unit.headings for g in grids)
    ]
    found: list[Grid] = []
    for draft in waiting:
        records: list[Record] = []
        block = -1
        for group in units:
            first = group[0]
            if first.block <= draft.unit.block or first.headings != draft.unit.headings:
                continue
            rows = [
                unit
                for unit in group
                if unit.of(Family.SIZE) and unit.of(Family.VOLUME, Family.DURATION) and len(unit.text) < 90
            ]
            if len(rows) != len(group) or any(unit.of(Family.TRIGGER) for unit in group):
                break
            block = first.block if block < 0 else block
            records.extend(_text_record(unit) for unit in rows)
        if len(records) >= 2 and not any(grid.block == block for grid in found):
            empty = Table((), 0, 0, 0)
            found.append(Grid(block, draft.unit.headings, empty, None, records))
    return found


def _text_record(unit: Unit) -> Record:
    row = Run(unit.text, unit.run.words_between(unit.start, unit.end), ())
    sizes = unit.of(Family.SIZE)[0]
    record = Record(row, Found.of(sizes))
    for hit in unit.of(Family.DURATION):
        if isinstance(hit.value, Duration):
            record.times.append(TimeLimit(hit.value, hit))
    for hit in unit.of(Family.VOLUME)[:1]:
        if isinstance(hit.value, Volume):
            record.volumes.append((hit.value, hit))
    return record
