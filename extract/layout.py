"""Pages of words to a Layout: blocks in the order they are read, under their headings.

The order of work: furniture aside; drawn tables and panels as pieces of their own; the rest cut into columns;
borderless tables and paragraphs within each column; tables and paragraphs joined over column and page breaks; headings
nested.
Every word of every page ends in exactly one block (`unplaced` counts those that do not).
"""

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import count, pairwise

from firstcap.extract import blocks, columns, furniture
from firstcap.extract.blocks import Habits, Para
from firstcap.extract.footmarks import part_glued_marks
from firstcap.extract.grid import Grid, append_grid, continues, inside, reading_lines, to_table
from firstcap.extract.lines import Line, make_lines, rebuild_lines
from firstcap.extract.page import Block, BlockKind, Layout, Origin, PageFacts, Run, Word, join_runs
from firstcap.extract.pdf import Bounds, Panel, RawDocument, RawPage, Rule
from firstcap.extract.runs import Vocabulary, make_run
from firstcap.extract.tables import drawn_tables, rules_outside, tables_among
from firstcap.extract.turned import restored, upright


@dataclass(slots=True)
class _Leaf:
    """A stretch of one column: lines and tables, top down. `panel` tells text in a box from the text beside it."""

    page: int
    panel: int
    parts: list["Line | Grid"] = field(default_factory=list)


@dataclass(slots=True)
class _Region:
    """A finished part of a page that takes part in the order of its surroundings as one piece."""

    leaves: list[_Leaf]
    grid: Grid | None = None


def build_layout(raw: RawDocument) -> Layout:
    """The document as the eye takes it in. Pure and total: any words give a Layout, and none is lost."""
    origin: dict[int, Word] = {}
    pages: list[RawPage] = []
    for printed in part_glued_marks(raw).pages:
        page, words = upright(printed)
        pages.append(page)
        origin.update(words)
    aside = furniture.find_furniture(pages)
    vocabulary = Vocabulary(word for page in pages for word in page.words)
    body = _body_size(pages)
    numbers = count(1)  # panels, through the document; 0 is the page itself
    leaves: list[_Leaf] = []
    furniture_words: list[list[Word]] = []
    for page, chosen in zip(pages, aside, strict=True):
        leaves.extend(_page_leaves(page, chosen, numbers))
        furniture_words.append(furniture.words_of(page, chosen))
    habits = _habits(pages, leaves, body)
    flow: list[tuple[_Leaf, Para | Grid]] = []
    for leaf in languages_apart(leaves):
        flow.extend((leaf, part) for part in _leaf_parts(leaf, habits))
    flow = _join_breaks(flow)
    made = _finish(flow, vocabulary, body)
    made = _with_furniture(made, furniture_words)
    nested = _nested(made, body)
    return Layout(
        pages=tuple(_facts(page) for page in raw.pages),
        blocks=tuple(restored(block, origin) for block in nested) if origin else nested,
        metadata=dict(raw.metadata),
    )


def unplaced(raw: RawDocument, layout: Layout) -> int:
    """How many words of the pages are in no block, or in more than one: 0 unless this module is wrong."""
    placed = Counter(word for block in layout.blocks for word in block.run.words)
    wanted = Counter(word for page in part_glued_marks(raw).pages for word in page.words)
    return (wanted - placed).total() + (placed - wanted).total()


def _facts(page: RawPage) -> PageFacts:
    ocr = sum(word.origin is Origin.OCR for word in page.words) * 2 > len(page.words)
    return PageFacts(
        number=page.number,
        width=page.width,
        height=page.height,
        origin=Origin.OCR if ocr and page.words else Origin.TEXT,
        words=len(page.words),
        image_area=page.image_area,
        rotated=page.rotated,
    )


def _body_size(pages: Iterable[RawPage]) -> float:
    sizes: Counter[float] = Counter()
    for page in pages:
        for word in page.words:
            sizes[round(word.size * 2) / 2] += len(word.text)
    return sizes.most_common(1)[0][0] if sizes else 10.0


# --- pages to leaves --------------------------------------------------------------------------------------------------


def _page_leaves(page: RawPage, aside: set[int], numbers: Iterator[int]) -> list[_Leaf]:
    words = [word for word in page.words if id(word) not in aside]
    grids = drawn_tables(page, words)
    taken = {id(word) for grid in grids for word in grid.words()}
    rest = [word for word in words if id(word) not in taken]
    rules = [*rules_outside(page.rules, grids), *_bands(page)]
    panels = _panels(page, rest, grids)
    return _region(rest, grids, panels, rules, page, 0, numbers)


def _bands(page: RawPage) -> list[Rule]:
    """The upper and lower edges of wide fields across the page: a banner parts what stands above and below it."""
    edges: list[Rule] = []
    for panel in page.panels:
        if panel.x1 - panel.x0 > 0.6 * page.width and panel.bottom - panel.top < 0.3 * page.height:
            edges += [Rule(panel.x0, y, panel.x1, y) for y in (panel.top, panel.bottom)]
    return edges


def _panels(page: RawPage, words: Sequence[Word], grids: Sequence[Grid]) -> list[Bounds]:
    """Frames and tinted fields with text inside and other text beside them: side panels, cards, boxes."""
    frames: list[Bounds] = [_bounds(panel) for panel in page.panels]
    frames += [box for boxes in page.grids if len(boxes) <= 4 for box in boxes]
    found: list[Bounds] = []
    for frame in sorted(set(frames), key=lambda box: (box[2] - box[0]) * (box[3] - box[1]), reverse=True):
        x0, top, x1, bottom = frame
        if x1 - x0 < 60 or bottom - top < 25:
            continue
        if any(
            grid.bounds[0] <= (x0 + x1) / 2 <= grid.bounds[2] and grid.bounds[1] <= (top + bottom) / 2 <= grid.bounds[3]
            for grid in grids
        ):
            continue
        inner = [word for word in words if inside(word, frame, 0)]
        if len(inner) < 4 or len(inner) > 0.9 * len(words):
            continue
        if any(
            word.x0 < x0 - 1 < word.x1 - 1 or word.x0 + 1 < x1 + 1 < word.x1
            for word in words
            if top < (word.top + word.bottom) / 2 < bottom
        ):
            continue
        beside = [
            word
            for word in words
            if (word.x1 <= x0 + 1 or word.x0 >= x1 - 1) and top < (word.top + word.bottom) / 2 < bottom
        ]
        lines = len(make_lines(inner))
        if not beside or lines < 2:
            continue
        if any(_same(frame, other) for other in found):
            continue
        found.append(frame)
    return found


def _bounds(panel: Panel) -> Bounds:
    return (panel.x0, panel.top, panel.x1, panel.bottom)


def _same(left: Bounds, right: Bounds) -> bool:
    return all(abs(a - b) < 8 for a, b in zip(left, right, strict=True))


def _contains(outer: Bounds, inner: Bounds) -> bool:
    return (
        outer[0] - 1 <= inner[0]
        and outer[1] - 1 <= inner[1]
        and inner[2] <= outer[2] + 1
        and inner[3] <= outer[3] + 1
        and outer != inner
    )


def _region(
    words: Sequence[Word],
    grids: Sequence[Grid],
    panels: Sequence[Bounds],
    rules: Sequence[Rule],
    page: RawPage,
    panel: int,
    numbers: Iterator[int],
) -> list[_Leaf]:
    """Leaves of a region in reading order; inner panels are laid out by themselves first."""
    pieces: list[columns.Piece] = []
    rest = list(words)
    left_grids = list(grids)
    outer = [box for box in panels if not any(_contains(other, box) for other in panels)]
    for box in outer:
        inner = [word for word in rest if inside(word, box, 0)]
        held = [grid for grid in left_grids if _contains(box, grid.bounds)]
        if not inner and not held:
            continue
        within = [other for other in panels if _contains(box, other)]
        leaves = _region(inner, held, within, rules, page, next(numbers), numbers)
        pieces.append(columns.Piece(*box, region=_Region(leaves)))
        taken = {id(word) for word in inner}
        rest = [word for word in rest if id(word) not in taken]
        left_grids = [grid for grid in left_grids if grid not in held]
    for grid in left_grids:
        pieces.append(columns.Piece(*grid.bounds, region=_Region([], grid)))
    for line in make_lines(rest):
        pieces.extend(columns.of_segment(segment) for segment in line.segments)
    found: list[_Leaf] = []
    for leaf_pieces in columns.read_order(pieces, rules):
        found.extend(_leaf(leaf_pieces, page.number, panel))
    for leaf in found:
        if leaf.panel == panel:
            leaf.parts = _with_borderless(leaf.parts, rules)
    return found


def _leaf(pieces: Sequence[columns.Piece], page: int, panel: int) -> list[_Leaf]:
    leaves = [_Leaf(page, panel)]
    waiting: list[columns.Piece] = []

    def flush() -> None:
        leaves[-1].parts.extend(rebuild_lines(piece.segment for piece in waiting if piece.segment is not None))
        waiting.clear()

    for piece in sorted(pieces, key=lambda piece: (piece.top if piece.region else piece.middle, piece.x0)):
        if isinstance(piece.region, _Region):
            flush()
            if piece.region.grid is not None:
                leaves[-1].parts.append(piece.region.grid)
            else:
                leaves.extend(piece.region.leaves)
                leaves.append(_Leaf(page, panel))
        else:
            waiting.append(piece)
    flush()
    return [leaf for leaf in leaves if leaf.parts]


def _with_borderless(parts: Sequence["Line | Grid"], rules: Sequence[Rule]) -> list["Line | Grid"]:
    found: list[Line | Grid] = []
    lines: list[Line] = []

    def flush() -> None:
        if not lines:
            return
        drawn = [_typed_rule(line) for line in lines]
        more = [rule for rule in drawn if rule is not None]
        kept = [line for line, rule in zip(lines, drawn, strict=True) if rule is None]
        typed = [line for line, rule in zip(lines, drawn, strict=True) if rule is not None]
        place = 0
        for table in tables_among(kept, [*rules, *more]):
            found.extend(kept[place : table.first])
            found.append(table.grid)
            for line in typed:
                if table.grid.bounds[1] - 20 <= line.middle <= table.grid.bounds[3] + 20:
                    table.grid.cells[0].silent.extend(line.words)
            typed = [
                line for line in typed if not table.grid.bounds[1] - 20 <= line.middle <= table.grid.bounds[3] + 20
            ]
            place = table.last
        found.extend(kept[place:])
        found.extend(typed)
        lines.clear()

    for part in parts:
        if isinstance(part, Grid):
            flush()
            found.append(part)
        else:
            lines.append(part)
    flush()
    return found


def _typed_rule(line: Line) -> Rule | None:
    """A row of hyphens or underscores, as a typewriter rules a line."""
    text = line.text.replace(" ", "")
    if len(text) >= 8 and set(text) <= set("-–—=_"):
        return Rule(line.x0, line.middle, line.x1, line.middle)
    return None


# --- two languages side by side ---------------------------------------------------------------------------------------

_SMALL_WORDS = {
    "en": frozenset("the of and to for is in or by with shall will from this that any not".split()),
    "fr": frozenset("le la les de des du et à pour est dans ou par avec un une au aux sur ce".split()),
    "de": frozenset("der die das und für ist in den dem ein eine mit von zu auf nicht oder des".split()),
    "es": frozenset("el la los las de del y para es en o por con un una al se no que".split()),
}


def _language(leaf: _Leaf) -> str | None:
    words = [word.text.lower() for part in leaf.parts if isinstance(part, Line) for word in part.words]
    if len(words) < 25:
        return None
    counts = {name: sum(word in small for word in words) for name, small in _SMALL_WORDS.items()}
    best = max(counts, key=lambda name: counts[name])
    return best if counts[best] > 0.12 * len(words) else None


def languages_apart(leaves: Sequence[_Leaf]) -> list[_Leaf]:
    """Two languages in columns side by side over several pages: the first is read to its end, then the second."""
    spoken = [_language(leaf) for leaf in leaves]
    known = [name for name in spoken if name is not None]
    changes = sum(a != b for a, b in pairwise(known))
    if len(set(known)) != 2 or changes < 3:
        return list(leaves)
    first, second = known[0], next(name for name in known if name != known[0])
    begin = spoken.index(first)
    ordered: list[_Leaf] = list(leaves[:begin])
    later: list[_Leaf] = []
    current = first
    for leaf, name in zip(leaves[begin:], spoken[begin:], strict=True):
        current = name or current
        (later if current == second else ordered).append(leaf)
    return ordered + later


# --- leaves to paragraphs and tables ----------------------------------------------------------------------------------


def _habits(pages: Sequence[RawPage], leaves: Iterable[_Leaf], body: float) -> Habits:
    """The smallest blank between lines that comes back, for each font size: that of lines within a paragraph."""
    gaps: dict[float, list[float]] = {}
    for leaf in leaves:
        for upper, lower in pairwise(leaf.parts):
            if not isinstance(upper, Line) or not isinstance(lower, Line) or not 0.9 < upper.size / lower.size < 1.1:
                continue
            gap = (lower.top - upper.bottom) / max(lower.size, 1.0)
            if -0.4 < gap < 1.5 and len(upper.words) >= 5:
                gaps.setdefault(round(lower.size * 2) / 2, []).append(gap)
    usual: dict[float, float] = {}
    for size, found in gaps.items():
        found.sort()
        least = max(2, len(found) // 20)
        usual[size] = next((gap for gap in found if sum(abs(other - gap) < 0.08 for other in found) >= least), found[0])
    return Habits(
        gaps=usual,
        body=body,
        bullets=frozenset(word for page in pages for word in _after_bullets(page)),
        jitter=any(word.origin is Origin.OCR for page in pages for word in page.words[:1]),
    )


def _after_bullets(page: RawPage) -> Iterable[int]:
    for x0, top, x1, bottom in page.bullets:
        middle = (top + bottom) / 2
        near = [
            word
            for word in page.words
            if word.top < middle < word.bottom and 0 < word.x0 - x1 < 2.5 * word.size and not word.turned
        ]
        before = any(word.top < middle < word.bottom and -2 * word.size < word.x1 - x0 <= 1 for word in page.words)
        if near and not before:
            yield id(min(near, key=lambda word: word.x0))


def _leaf_parts(leaf: _Leaf, habits: Habits) -> list[Para | Grid]:
    found: list[Para | Grid] = []
    lines: list[Line] = []

    def flush() -> None:
        for para in blocks.paragraphs(lines, habits):
            found.extend(blocks.shape(para, habits))
        lines.clear()

    for part in leaf.parts:
        if isinstance(part, Grid):
            flush()
            found.append(part)
        else:
            lines.append(part)
    flush()
    return found


_TERMINATED = re.compile(r"[.:;!?][\"'”’)\]»]*$")


def _join_breaks(flow: list[tuple[_Leaf, Para | Grid]]) -> list[tuple[_Leaf, Para | Grid]]:
    """Paragraphs and tables that a column or page break has cut are made whole."""
    joined: list[tuple[_Leaf, Para | Grid]] = []
    for leaf, part in flow:
        if isinstance(part, Grid):
            previous = _last(joined, leaf, (Grid,))
            if isinstance(previous, Grid) and continues(previous, part):
                append_grid(previous, part)
                continue
        elif part.kind is BlockKind.PARAGRAPH and not part.run_in:
            previous = _last(joined, leaf, (Para,))
            if isinstance(previous, Para) and _runs_on(previous, part):
                previous.lines.extend(part.lines)
                previous.silent |= part.silent
                continue
        joined.append((leaf, part))
    return joined


def _last(joined: Sequence[tuple[_Leaf, Para | Grid]], leaf: _Leaf, kinds: tuple[type, ...]) -> Para | Grid | None:
    """The part that this leaf's first part may carry on: the last of an earlier leaf, footnotes and panels aside."""
    for other, part in reversed(joined):
        if Grid in kinds and isinstance(part, Para) and _CONTINUED.match(part.text):
            continue
        if other is leaf:
            return None
        if isinstance(part, Para) and part.kind is BlockKind.FOOTNOTE:
            continue
        if other.panel != leaf.panel:
            continue
        return part if isinstance(part, kinds) else None
    return None


# What stands between the two parts of a table: "(continued on the next page)", "Table 2, continued".
_CONTINUED = re.compile(
    r"^\W*(?:(?:table|schedule|annex|exhibit|appendix|tabelle|tableau|tabla)\s[\w.-]+\W?.{0,60}?)?"
    r"\b(?:continued|continues|cont['’]?d|cont\.|fortsetzung|suite|continúa|continuación)(?:\s+(?:on|from|over|auf|von|de|en|à|sur)\b.{0,30}|\s+overleaf)?\W*$",
    re.IGNORECASE,
)


def _runs_on(first: Para, second: Para) -> bool:
    if first.kind not in (BlockKind.PARAGRAPH, BlockKind.LIST_ITEM):
        return False
    if not 0.9 < first.size / max(second.size, 0.1) < 1.11:
        return False
    if _TERMINATED.search(first.text):
        return False
    if second.number is not None and not first.text.endswith(("Section", "Sections", "and", "or", "of")):
        return False
    last = first.lines[-1]
    reaches = max(word.x1 for word in last) > first.right - 6 * first.size
    if second.text[:1].islower() or last[-1].text.endswith("-"):
        return True
    return reaches and len(first.words) >= 8


# --- blocks -----------------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Made:
    block: Block
    panel: int
    bold: bool = False
    size: float = 0.0
    run_in: bool = False
    capitals: bool = False


_CAPTION = re.compile(
    r"(?:table|tab\.|schedule|exhibit|annex|appendix|tableau|tabelle|tabla|cuadro|figure)\s*[\dA-Z]", re.IGNORECASE
)


def _numbered_footnotes(flow: Sequence[tuple[_Leaf, Para | Grid]], body: float) -> None:
    """A list item in small type whose number hangs as a mark on a word of its page is that mark's footnote."""
    marks: dict[int, set[str]] = {}
    for _, part in flow:
        for word in part.words() if isinstance(part, Grid) else part.words:
            if word.mark:
                marks.setdefault(word.page, set()).add(word.text)
    for _, part in flow:
        if not isinstance(part, Para) or part.number is None or part.kind is BlockKind.HEADING:
            continue
        if part.number in marks.get(part.page, set()) and part.size < 0.97 * body:
            label = re.sub(r"\W", "", part.words[0].text)
            if label == part.number:
                part.kind, part.mark, part.number = BlockKind.FOOTNOTE, part.number, None
                part.silent.add(id(part.words[0]))


def _finish(flow: Sequence[tuple[_Leaf, Para | Grid]], vocabulary: Vocabulary, body: float) -> list[_Made]:
    _numbered_footnotes(flow, body)
    made: list[_Made] = []
    used: set[int] = set()
    for index, (_, part) in enumerate(flow):
        if isinstance(part, Grid):
            continue
        following = flow[index + 1] if index + 1 < len(flow) else None
        if (
            following is not None
            and isinstance(following[1], Grid)
            and following[1].caption is None
            and _is_caption(part, following[1])
        ):
            following[1].caption = _run(part, vocabulary)
            used.add(index)
    for index, (_, part) in enumerate(flow):
        if not isinstance(part, Grid):
            continue
        after = index + 1
        while after < len(flow) and after not in used:
            note = flow[after][1]
            if not isinstance(note, Para) or not _is_note(note, part, body):
                break
            run = _run(note, vocabulary)
            if part.caption is None and _CAPTION.match(note.text) and len(note.lines) == 1:
                part.caption = run
            else:
                part.notes.append(run)
            used.add(after)
            after += 1
    for index, (leaf, part) in enumerate(flow):
        if index in used:
            continue
        if isinstance(part, Grid):
            table = to_table(part, vocabulary)
            runs = [cell.run for cell in table.cells]
            if table.caption is not None:
                runs.insert(0 if table.caption.page == part.page else len(runs), table.caption)
            runs += list(table.notes)
            made.append(_Made(Block(BlockKind.TABLE, join_runs(runs), table=table), leaf.panel))
        else:
            block = Block(part.kind, _run(part, vocabulary), number=part.number, mark=part.mark)
            made.append(_Made(block, leaf.panel, part.bold, part.size, part.run_in, part.capitals))
    return made


def _run(para: Para, vocabulary: Vocabulary) -> Run:
    return make_run(para.lines, vocabulary, para.silent)


def _is_caption(para: Para, grid: Grid) -> bool:
    if para.page != grid.page or para.kind is BlockKind.FOOTNOTE or len(para.words) > 25:
        return False
    gap = grid.bounds[1] - para.bottom
    return _CAPTION.match(para.text) is not None and -2 <= gap < 2.5 * para.size and len(para.lines) <= 2


def _is_note(para: Para, grid: Grid, body: float) -> bool:
    """A line under a table in smaller type, or one that says what the table's signs mean."""
    if para.page != grid.pages[-1] or para.kind in (BlockKind.FOOTNOTE, BlockKind.HEADING, BlockKind.LIST_ITEM):
        return False
    if len(para.lines) > 3:
        return False
    text = para.text
    small = para.size < 0.95 * body
    explains = re.match(r"(?:notes?\b|remarks?\b|table\b|[A-Z]{1,3}\s?=|\w+\s=)", text, re.IGNORECASE) is not None
    return small or (explains and (len(para.lines) <= 2))


def _with_furniture(made: Sequence[_Made], words: Sequence[Sequence[Word]]) -> list[_Made]:
    """Furniture blocks after the last block that begins on their page."""
    found: list[_Made] = list(made)
    for page_words in words:
        if not page_words:
            continue
        page = page_words[0].page
        fresh = []
        upright = [word for word in page_words if word.turned in (0, 180)]
        turned = [word for word in page_words if word.turned not in (0, 180)]
        for line in make_lines(upright):
            for segment in line.segments:
                fresh.append(_Made(Block(BlockKind.FURNITURE, make_run([segment.words])), 0))
        if turned:
            fresh.append(_Made(Block(BlockKind.FURNITURE, make_run(reading_lines(turned))), 0))
        place = max((i + 1 for i, item in enumerate(found) if item.block.run.page <= page), default=0)
        found[place:place] = fresh
    return found


def _nested(made: Sequence[_Made], body: float) -> tuple[Block, ...]:
    """Each block under its headings. Rank: size, then capitals, bold, depth of its number; run-in headings lowest."""
    ranks = _ranks(made, body)
    stack: list[tuple[int, tuple[float, ...]]] = []
    saved: dict[int, list[tuple[int, tuple[float, ...]]]] = {}
    panel = 0
    finished: list[Block] = []
    for index, item in enumerate(made):
        block = item.block
        if block.kind is BlockKind.FURNITURE:
            finished.append(block)
            continue
        if item.panel != panel:
            saved[panel] = list(stack)
            stack = saved.get(item.panel, [])
            panel = item.panel
        if block.kind is BlockKind.HEADING:
            rank = ranks[index]
            while stack and stack[-1][1] >= rank:
                stack.pop()
            above = tuple(place for place, _ in stack)
            stack.append((index, rank))
            finished.append(_replace(block, len(above) + 1, above))
        else:
            if stack and made[stack[-1][0]].run_in and _leaves_run_in(made, index, stack[-1][0]):
                stack.pop()
            finished.append(_replace(block, 0, tuple(place for place, _ in stack)))
    return tuple(finished)


def _leaves_run_in(made: Sequence[_Made], index: int, heading: int) -> bool:
    """A numbered clause without a heading of its own does not stand under the run-in heading of the clause before."""
    number = made[index].block.number
    own = made[heading].block.number
    if index == heading + 1 or number is None or made[index].block.kind is not BlockKind.PARAGRAPH:
        return False
    return own is None or not number.startswith(own)


def _replace(block: Block, level: int, headings: tuple[int, ...]) -> Block:
    return Block(block.kind, block.run, level, block.number, headings, block.table, block.mark)


def _ranks(made: Sequence[_Made], body: float) -> dict[int, tuple[float, ...]]:
    ranks: dict[int, tuple[float, ...]] = {}
    for index, item in enumerate(made):
        if item.block.kind is not BlockKind.HEADING:
            continue
        depth = _depth(item.block.number)
        size = -round(item.size * 2) / 2 if item.size > 1.04 * body else -body
        ranks[index] = (
            1.0 if item.run_in else 0.0,
            size,
            depth,
            0.0 if item.capitals else 1.0,
            0.0 if item.bold else 1.0,
        )
    return ranks


def _depth(number: str | None) -> float:
    if number is None:
        return 0.5
    if number[:1].isdigit():
        return 1.0 + number.count(".")
    return 1.0
