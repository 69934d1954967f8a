"""Lines of a region to paragraphs, headings, list items and footnotes.

A paragraph ends where the next line's first word would still have fitted on the line, where the gap widens, the type
changes, or a clause number or bullet opens a new one.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from statistics import median

from firstcap.extract.glyphs import MARK_SIGNS, SIGN, SOFT_HYPHEN
from firstcap.extract.lines import Line, Segment
from firstcap.extract.page import BlockKind, Word

BULLET = re.compile(r"[•◦▪▫■□●○‣∙·▸►➢➤✓✔❖◆◇➔→–—*-]|\ufffd|o")
_NAMED = re.compile(
    r"(?:article|section|clause|part|art\.?|artikel|artículo|cláusula|abschnitt|schedule|annex|appendix|exhibit)\s+"
    r"(\d{1,2}(?:\.\d{1,2})*|[IVX]{1,5}|[A-Z])\b[.:)]?",
    re.IGNORECASE,
)
_PLAIN = re.compile(r"§?\s?(\d{1,2}(?:\.\d{1,2}){1,3}\.?|\d{1,2}[.)]|[IVX]{1,5}[.)]|[A-Z][.)])(?=\s)")
_BARE = re.compile(r"§?\s?(\d{1,2}|[IVX]{1,5})(?=\s+[A-ZÀ-Þ])")
_LETTERED = re.compile(r"[(\[](\d{1,2}|[a-z]|[ivx]{1,4})[)\]](?=\s)|([a-z])[.)](?=\s)")
_END = re.compile(r"[.:;!?][\"'”’)\]»]*$")


@dataclass(slots=True)
class Para:
    """A piece of text on its way to a Block."""

    lines: list[list[Word]]
    page: int
    x0: float
    right: float  # where the lines of its column end
    size: float
    kind: BlockKind = BlockKind.PARAGRAPH
    number: str | None = None
    mark: str | None = None
    run_in: bool = False
    silent: set[int] = field(default_factory=set)

    @property
    def words(self) -> list[Word]:
        return [word for line in self.lines for word in line]

    @property
    def text(self) -> str:
        return " ".join(word.text for word in self.words if not word.mark)

    @property
    def top(self) -> float:
        return min(word.top for word in self.lines[0])

    @property
    def bottom(self) -> float:
        return max(word.bottom for word in self.lines[-1])

    @property
    def bold(self) -> bool:
        """All of it is bold, stops and figures aside."""
        letters = [word for word in self.words if any(char.isalpha() for char in word.text) and not word.mark]
        return bool(letters) and all(word.bold for word in letters)

    @property
    def capitals(self) -> bool:
        letters = [char for char in self.text if char.isalpha()]
        return len(letters) >= 4 and sum(char.isupper() for char in letters) >= 0.9 * len(letters)


def clause_number(text: str) -> str | None:
    """The printed number of a clause, bare: "3.1", "IV", "A"."""
    for pattern in (_NAMED, _PLAIN, _BARE):
        match = pattern.match(text)
        if match:
            return match.group(1).rstrip(".)")
    return None


@dataclass(frozen=True, slots=True)
class Habits:
    """How this document sets its text: blanks between the lines of a paragraph, by font size, and bullets it draws.

    `bullets` holds id() of the words that a drawn bullet stands before. `jitter` is true for scans.
    """

    gaps: dict[float, float]
    body: float
    bullets: frozenset[int] = frozenset()
    jitter: bool = False

    def gap(self, size: float) -> float:
        near = round(size * 2) / 2
        if near in self.gaps:
            return self.gaps[near]
        return self.gaps.get(round(self.body * 2) / 2, 0.25)


def paragraphs(lines: Sequence[Line], habits: Habits) -> list[Para]:
    """Lines that stand under one another as paragraphs."""
    found: list[Para] = []
    for group in _groups(lines):
        found.extend(_group_paragraphs(group, habits))
    return found


def _groups(lines: Sequence[Line]) -> list[list[Line]]:
    """Lines side by side in lanes (a masthead's left and right part) are read lane by lane."""
    units = [unit for line in lines for unit in _lane_segments(line)]
    groups: list[list[Line]] = []
    plain: list[Line] = []
    index = 0
    while index < len(units):
        stop = index + 1
        while stop < len(units) and (
            any(_beside(unit, units[stop]) for unit in units[index:stop]) or _goes_on(units, index, stop)
        ):
            stop += 1
        if stop == index + 1:
            plain.append(units[index])
            index += 1
            continue
        if plain:
            groups.append(plain)
            plain = []
        lanes: list[list[Line]] = []
        for unit in units[index:stop]:
            home = next((lane for lane in lanes if any(_over(part, unit) for part in lane)), None)
            if home is None:
                lanes.append([unit])
            else:
                home.append(unit)
        lanes.sort(key=lambda lane: (lane[0].x0, lane[0].top))
        while stop < len(units) and len(lanes) > 1 and units[stop].x0 > min(part.x0 for part in lanes[-1]) - 5:
            if units[stop].top - lanes[-1][-1].bottom > 0.8 * units[stop].size:
                break
            lanes[-1].append(units[stop])
            stop += 1
        groups.extend(lanes)
        index = stop
    if plain:
        groups.append(plain)
    return groups


def _goes_on(units: Sequence[Line], index: int, stop: int) -> bool:
    """A line close under one lane of those begun at `index`, with the next line of another lane beside it."""
    unit = units[stop]
    return (
        stop > index + 1
        and any(_over(other, unit) and unit.top - other.bottom < 0.8 * unit.size for other in units[index:stop])
        and any(_beside(unit, later) for later in units[stop + 1 : stop + 3])
    )


def _over(upper: Line, lower: Line) -> bool:
    return upper.x0 < lower.x1 and upper.x1 > lower.x0


def _beside(left: Line, right: Line) -> bool:
    shared = min(left.bottom, right.bottom) - max(left.top, right.top)
    return shared > 0.25 * min(left.bottom - left.top, right.bottom - right.top) and not _over(left, right)


def _lane_segments(line: Line) -> list[Line]:
    parts: list[list[Segment]] = [[line.segments[0]]]
    for left, right in pairwise(line.segments):
        if right.x0 - left.x1 > 2.5 * line.size:
            parts.append([right])
        else:
            parts[-1].append(right)
    return [Line(part) for part in parts]


def _group_paragraphs(lines: Sequence[Line], habits: Habits) -> list[Para]:
    found: list[Para] = []
    start = 0
    for stop in range(1, len(lines) + 1):
        if stop < len(lines) and _same_stretch(lines, stop, habits):
            continue
        found.extend(_stretch_paragraphs(lines[start:stop], lines, habits))
        start = stop
    return found


def _same_stretch(lines: Sequence[Line], index: int, habits: Habits) -> bool:
    """Whether line `index` stands as close under the one before it as lines of one paragraph do."""
    upper, lower = lines[index - 1], lines[index]
    size = max(min(upper.size, lower.size), 1.0)
    gap = (lower.top - upper.bottom) / size
    usual = habits.gap(size)
    if gap > usual + 0.9 or gap < -1.5:
        return False
    if not 0.9 < upper.size / lower.size < 1.11:
        return False
    if gap > usual + (0.45 if habits.jitter else 0.18):
        near = [
            (second.top - first.bottom) / size
            for first, second in ((lines[at - 1], lines[at]) for at in (index - 1, index + 1) if 0 < at < len(lines))
            if 0.9 < first.size / second.size < 1.11
        ]
        wider = bool(near) and gap > min(near) + 0.18
        if wider or not near or _END.search(upper.text) or gap > usual + 0.6:
            return False
    return min(upper.x1, lower.x1) > max(upper.x0, lower.x0) - size


def _right_edge(lines: Sequence[Line], column: Sequence[Line]) -> float:
    """Where lines end: a stretch of full lines shows it itself, a few short ones go by the column around them."""
    own = max(line.x1 for line in lines)
    wide = max(line.x1 for line in column)
    left = min(line.x0 for line in column)
    full = [line for line in lines if line.x1 > own - 1.5 * line.size and len(line.words) >= 5]
    if len(full) >= 2 and own - left > 0.6 * (wide - left):
        return own
    if len(lines) == 2 and len(lines[0].words) >= 5 and lines[0].x1 - left > 0.6 * (wide - left):
        return own
    return wide


def _stretch_paragraphs(lines: Sequence[Line], column: Sequence[Line], habits: Habits) -> list[Para]:
    left, right = min(line.x0 for line in lines), _right_edge(lines, column)
    paras: list[list[Line]] = [[lines[0]]]
    for upper, lower in pairwise(lines):
        if id(lower.words[0]) in habits.bullets or _opens(paras[-1], upper, lower, left, right):
            paras.append([lower])
        else:
            paras[-1].append(lower)
    return [
        Para(
            [line.words for line in group],
            page=group[0].words[0].page,
            x0=min(line.x0 for line in group),
            right=right,
            size=median(word.size for line in group for word in line.words),
        )
        for group in paras
    ]


def _plain_bold(words: Sequence[Word]) -> bool:
    return all(word.bold for word in words if any(char.isalpha() for char in word.text))


def _opens(current: Sequence[Line], upper: Line, lower: Line, left: float, right: float) -> bool:
    """Whether `lower` begins a new paragraph."""
    size = lower.size
    first = lower.words[0]
    text = lower.text
    if lower.words[0].mark:
        return True
    token = text.split(" ", 1)[0]
    if BULLET.fullmatch(token) and len(lower.words) > 1 and token not in "-–—o*":
        return True
    opening = current[0].text
    if abs(lower.x0 - current[0].x0) < 0.3 * size and len(lower.words) > 1:
        if BULLET.fullmatch(token) and opening.split(" ", 1)[0] == token:
            return True
        if _LETTERED.match(text) and _LETTERED.match(opening):
            return True
    upper_text = upper.text
    ended = _END.search(upper_text) is not None
    room = right - upper.x1 + _left_room(left, upper, lower)
    blank = 0.25 * size
    fits = first.x1 - first.x0 + blank < room - 0.35 * size
    if BULLET.fullmatch(token) and len(lower.words) > 1 and (ended or fits) and token != "o":
        return True
    upper_bold, lower_bold = _plain_bold(upper.words), _plain_bold(lower.words)
    letters = any(char.isalpha() for char in upper_text) and any(char.isalpha() for char in text)
    if letters and upper_bold != lower_bold:
        if lower_bold or not upper.words[-1].bold:
            return True
        if not first.bold and (fits or ended or first.text[:1].isupper() or clause_number(text)):
            return True
    if ended and first.bold and not lower_bold and not upper.words[-1].bold and current[0].words[0].bold:
        return True
    if _LETTERED.match(text) and (ended or upper_text.endswith((",", "and", "or"))):
        full = room < 1.5 * size and abs(lower.x0 - upper.x0) < 2
        return not full or fits
    if clause_number(text) and (ended or fits) and not _mid_reference(upper_text):
        return True
    if text[:1].islower() and upper_text.endswith(("-", "/", SOFT_HYPHEN)):
        return False
    if fits:
        return True
    base = current[0].x0 if len(current) == 1 else median(line.x0 for line in current[1:])
    return ended and len(current) > 1 and lower.x0 > max(base, upper.x0) + 0.8 * size


def _left_room(left: float, upper: Line, lower: Line) -> float:
    """The room at the left of a line that is set flush right or in the middle."""
    if abs(upper.x0 - lower.x0) < 1.5 * lower.size:
        return 0.0
    flush = abs(upper.x1 - lower.x1) < 0.3 * lower.size
    centered = abs((upper.x0 + upper.x1) - (lower.x0 + lower.x1)) < 0.6 * lower.size
    if not (flush or centered):
        return 0.0
    return upper.x0 - left


_POINTS_ON = re.compile(r"(?:sections?|clauses?|articles?|and|or|to|of|in|under|table|than|the|,)$", re.IGNORECASE)


def _mid_reference(text: str) -> bool:
    """The line above ends in words that a number carries on ("Section", "and", "of")."""
    return (
        re.search(r"(?:sections?|clauses?|articles?|and|or|to|of|in|under|table|than|the|,)$", text, re.I) is not None
    )


def _notes(para: Para) -> list[Para]:
    """Footnotes set one after the other in one paragraph: "* Counted from shipment. † Not for compound meters."."""
    if not SIGN.fullmatch(para.words[0].text):
        return [para]
    parts: list[list[list[Word]]] = [[]]
    before: Word | None = None
    for line in para.lines:
        parts[-1].append([])
        for word in line:
            if before is not None and SIGN.fullmatch(word.text) and _END.search(before.text):
                parts[-1] = [kept for kept in parts[-1] if kept]
                parts.append([[]])
            parts[-1][-1].append(word)
            before = word
    return [replace(para, lines=[kept for kept in part if kept], silent=set(para.silent)) for part in parts]


def shape(para: Para, habits: Habits) -> list[Para]:
    """Decide what a paragraph is; a run-in heading parts from its paragraph."""
    notes = _notes(para)
    if len(notes) > 1:
        return [made for note in notes for made in shape(note, habits)]
    words = para.words
    body = habits.body
    if words[0].mark:
        para.kind = BlockKind.FOOTNOTE
        para.mark = words[0].text
        return [para]
    text = para.text
    bracketed = SIGN.fullmatch(words[0].text)
    if bracketed and words[0].text[0] in "([" and len(words) > 3:
        para.kind, para.mark = BlockKind.FOOTNOTE, bracketed.group(1)
        para.silent.add(id(words[0]))
        return [para]
    if text[:1] in MARK_SIGNS.replace("#", "") and not text.startswith("§") and len(words) > 3:
        sign = re.match(rf"[{re.escape(MARK_SIGNS)}]+", text)
        token = words[0].text
        if sign and sign.group() != "#":
            para.kind = BlockKind.FOOTNOTE
            para.mark = sign.group()
            if token == sign.group():
                para.silent.add(id(words[0]))
            return [para]
    token = text.split(" ", 1)[0]
    if len(words) > 1 and BULLET.fullmatch(token) and token not in MARK_SIGNS and (token != "o" or len(words) > 2):
        para.kind = BlockKind.LIST_ITEM
        para.silent.add(id(words[0]))
        return [para]
    if id(words[0]) in habits.bullets:
        para.kind = BlockKind.LIST_ITEM
        return [para]
    lettered = _LETTERED.match(text)
    if lettered:
        para.kind = BlockKind.LIST_ITEM
        para.number = lettered.group(1) or lettered.group(2)
        return [para]
    para.number = clause_number(text)
    if _is_heading(para, body):
        para.kind = BlockKind.HEADING
        return [para]
    if para.number is not None and _PLAIN.match(text) is None and _NAMED.match(text) is None:
        para.number = None  # "14 Sluice Lane" is an address; a bare figure numbers headings only
    return _run_in(para)


def _is_heading(para: Para, body: float) -> bool:
    text = para.text
    words = [word for word in para.words if not word.mark]
    if len(words) > 16 or len(para.lines) > 3:
        return False
    if not any(char.isalpha() for char in text):
        return False
    ends = text.rstrip("\"'”’)")
    sentence = ends.endswith((".", ";", ",")) and len(words) > 6
    if sentence and not para.bold:
        return False
    if ends.endswith((",", ";")):
        return False
    if para.size > 1.12 * body and len(words) <= 16:
        return True
    if para.bold:
        return not (ends.endswith(".") and len(words) > 10)
    if para.capitals and len(words) <= 10:
        return True
    if _NAMED.match(text) and len(words) <= 9 and not ends.endswith("."):
        return True
    number = para.number
    return bool(
        number and len(words) <= 7 and not ends.endswith(".") and words[-1].text[-1:].isalpha() and words[1:]
        and words[1].text[:1].isupper() and not any(char.isdigit() for word in words[1:] for char in word.text)
    )  # fmt: skip


def _run_in(para: Para) -> list[Para]:
    """A heading in other type (or in words and a stop) at the head of its paragraph becomes a paragraph of its own."""
    words = para.words
    cut = _styled_head(words) or _worded_head(words, para)
    if not cut or cut >= len(words):
        return [para]
    head, rest = _cut(para, cut)
    head.kind, head.run_in, rest.number = BlockKind.HEADING, True, para.number
    return [head, *_inner_heads(rest)]


def _inner_heads(para: Para) -> list[Para]:
    """Further bold headings inside a paragraph that opened with one: "Remedy. … Duties. … Exclusions. …"."""
    words = para.words
    for index in range(2, len(words) - 2):
        if not (words[index].bold and not words[index - 1].bold and _END.search(words[index - 1].text)):
            continue
        if _styled_head(words[index:]):
            first, rest = _cut(para, index)
            return [first, *_run_in(rest)]
    return [para]


def _cut(para: Para, place: int) -> tuple[Para, Para]:
    before: list[list[Word]] = []
    after: list[list[Word]] = []
    taken = 0
    for line in para.lines:
        here = max(0, min(len(line), place - taken))
        if here:
            before.append(list(line[:here]))
        if here < len(line):
            after.append(list(line[here:]))
        taken += len(line)
    return (
        Para(before, para.page, para.x0, para.right, para.size, number=para.number),
        Para(after, para.page, para.x0, para.right, para.size),
    )


def _styled_head(words: Sequence[Word]) -> int:
    """Length of an opening stretch in bold or italic that ends in a stop, colon or dash, or where roman type begins."""
    for style in ("bold", "italic"):
        count = 0
        while count < len(words) and (getattr(words[count], style) or _neutral(words[count])):
            count += 1
        while count and _neutral(words[count - 1]) and not getattr(words[count - 1], style):
            count -= 1
        if not count or count > 12 or count >= len(words) - 1:
            continue
        if not any(sum(char.isalpha() for char in word.text) >= 3 for word in words[:count]):
            continue
        last = words[count - 1].text
        following = words[count].text
        closed = last[-1:] in ".:?!–—" or following in ("–", "—", "-", ":")
        numbered = clause_number(" ".join(word.text for word in words[:count]) + " ") is not None
        if closed or (style == "bold" and (numbered or following[:1].isupper())):
            return count
    return 0


def _neutral(word: Word) -> bool:
    return word.mark or not any(char.isalnum() for char in word.text) or word.text.rstrip(".):").isdigit()


_NOT_IN_TITLES = frozenset(
    "yes no ref tel fax form rev issue is are was shall will may must be has have does do not apply applies means the a"
    " an this these that it they each all any ist sind wird son será est sont sera".split()
)


def _worded_head(words: Sequence[Word], para: Para) -> int:
    """ "Claims. Give written notice …": up to four words and a stop before a sentence, without any change of type."""
    start = 0
    if para.number is not None:
        while start < len(words) and start < 3 and not words[start].text[-1:].isalpha():
            start += 1
        if start == 0 and len(words) > 2:
            start = 1
    for index in range(start, min(start + 3, len(words) - 2)):
        text = words[index].text
        bare = text.rstrip(".:")
        if bare.lower() in _NOT_IN_TITLES:
            return 0
        if index == start and not text[:1].isupper():
            return 0
        if any(char.isdigit() for char in text) or not bare:
            return 0
        if text.endswith((".", ":")) and not text.endswith(("..", "Inc.", "Co.", "Ltd.", "No.", "Corp.", "Dr.", "St.")):
            following = words[index + 1].text
            if not _END.search(words[-1].text):
                return 0
            if text.endswith(":") and index - start < 1 and len(words) < 6:
                return 0
            if not following[:1].isupper() or len(bare) < 3:
                return 0
            return index + 1 if len(words) - index > 4 else 0
        if not (bare[:1].islower() or bare[:1].isupper()):
            return 0
    return 0
