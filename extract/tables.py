"""Where the tables of a page are: which kinds are looked for, in which order, and how a grid becomes a Table."""

from collections.abc import Sequence

from firstcap.extract.banded import banded_grids
from firstcap.extract.borderless import Found, borderless_grids
from firstcap.extract.grid import Grid, bounds_of, inside
from firstcap.extract.leaders import leader_grids
from firstcap.extract.lines import Line
from firstcap.extract.page import Word
from firstcap.extract.pdf import RawPage, Rule
from firstcap.extract.ruled import ruled_grid


def drawn_tables(page: RawPage, words: Sequence[Word]) -> list[Grid]:
    """Tables that the page's lines show: closed cells first, then cells between level rules."""
    grids: list[Grid] = []
    taken: set[int] = set()
    for boxes in sorted(page.grids, key=len):
        bounds = bounds_of(boxes)
        here = [word for word in words if id(word) not in taken and inside(word, bounds, 0.5)]
        grid = ruled_grid(boxes, here) if here else None
        if grid is not None:
            grids.append(grid)
            taken |= {id(word) for word in grid.words()}
    rest = [word for word in words if id(word) not in taken]
    for grid in banded_grids(rest, rules_outside(page.rules, grids)):
        held = {id(word) for word in grid.words()}
        if not held & taken:
            grids.append(grid)
            taken |= held
    return grids


def rules_outside(rules: Sequence[Rule], grids: Sequence[Grid]) -> list[Rule]:
    """The rules that are no part of these tables."""
    return [
        rule
        for rule in rules
        if not any(
            grid.bounds[0] - 3 <= rule.x0
            and rule.x1 <= grid.bounds[2] + 3
            and grid.bounds[1] - 3 <= rule.top
            and rule.bottom <= grid.bounds[3] + 3
            for grid in grids
            if grid.ruled
        )
    ]


def tables_among(lines: Sequence[Line], rules: Sequence[Rule]) -> list[Found]:
    """Leader lists first; then borderless tables among the lines between them."""
    found: list[Found] = []
    place = 0
    for listed in [*leader_grids(lines), None]:
        stop = listed.first if listed is not None else len(lines)
        for table in borderless_grids(lines[place:stop], rules):
            found.append(Found(table.grid, table.first + place, table.last + place))
        if listed is not None:
            found.append(listed)
            place = listed.last
    return found
