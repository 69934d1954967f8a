"""Page furniture: running heads and feet, page numbers, print marks, told by place, repetition and form."""

import re
from collections import Counter
from collections.abc import Sequence

from firstcap.extract.grid import bounds_of, inside
from firstcap.extract.lines import Line, make_lines
from firstcap.extract.page import Word
from firstcap.extract.pdf import RawPage

PAGE_NUMBER = re.compile(
    r"(?:(?:page|pg\.?|p\.|seite|s\.|página|pagina|pág\.?|sheet|blatt|feuille|hoja)\s*)?"
    r"(?:[-–—•|]\s*)?(?:\d{1,3}|[ivxl]{1,6})(?:\s*(?:of|/|von|de|sur|out of|di)\s*\d{1,3})?(?:\s*[-–—•|])?",
    re.IGNORECASE,
)
_ENDS_WITH_PAGE = re.compile(
    r"\b(?:page|seite|página|pág\.?|sheet|blatt)\s*\d{1,3}(?:\s*(?:of|/|von|de|sur)\s*\d{1,3})?$", re.IGNORECASE
)
_OF_ALL = re.compile(r"(?:^|\s)(\d{1,3})\s*/\s*(\d{1,3})$")
_ZONE = 0.12  # share of the page's height at its head and foot where furniture stands


def find_furniture(pages: Sequence[RawPage]) -> list[set[int]]:
    """For each page the id() of the words that are furniture."""
    lines = [make_lines(_loose(page)) for page in pages]
    repeated = _repeated(pages, lines)
    seen_before: set[str] = set()
    found: list[set[int]] = []
    for page, page_lines in zip(pages, lines, strict=True):
        chosen: list[Line] = []
        sizes = [line.size for line in page_lines for _ in line.words]
        body = sorted(sizes)[len(sizes) // 2] if sizes else 10.0
        chosen.extend(_foot(page, page_lines, repeated, body))
        chosen.extend(_head(page, page_lines, repeated, body, seen_before))
        words = {id(word) for line in chosen for word in line.words}
        words |= {id(word) for word in page.words if word.turned == 45}
        words |= _margin_print(page)
        found.append(words)
        seen_before |= {word.text.strip(",.") for word in page.words}
    return found


def _loose(page: RawPage) -> list[Word]:
    """Upright words outside ruled tables."""
    tables = [bounds_of(boxes) for boxes in page.grids if len(boxes) >= 4]
    return [word for word in page.words if word.turned in (0, 180) and not any(inside(word, table) for table in tables)]


def _key(line: Line) -> str:
    return re.sub(r"\d+", "#", line.text.lower())


def _repeated(pages: Sequence[RawPage], lines: Sequence[Sequence[Line]]) -> set[str]:
    """Texts that stand at the head or foot of two pages or more, figures aside."""
    counts: Counter[str] = Counter()
    for page, page_lines in zip(pages, lines, strict=True):
        keys = {
            _key(line)
            for line in page_lines
            if line.bottom > page.height * (1 - _ZONE) or line.top < page.height * _ZONE
        }
        counts.update(keys)
    return {key for key, count in counts.items() if count >= 2 and any(char.isalnum() or char == "#" for char in key)}


def _is_page_number(line: Line, page: RawPage) -> bool:
    if len(line.words) > 24:
        return False
    text = line.text
    if _ENDS_WITH_PAGE.search(text):
        return True
    counted = _OF_ALL.search(text)
    if counted and int(counted.group(1)) == page.number <= int(counted.group(2)):
        return True
    for end in {0, len(line.segments) - 1}:
        others = [segment for index, segment in enumerate(line.segments) if index != end]
        if PAGE_NUMBER.fullmatch(line.segments[end].text) and all(
            any(char.isalpha() for char in other.text) for other in others
        ):
            return True
    return False


def _foot(page: RawPage, lines: Sequence[Line], repeated: set[str], body: float) -> list[Line]:
    """Lines at the foot, cluster by cluster from the last one up, as long as a cluster looks like furniture.

    A page that ends early may carry its foot high up: there only a printed page number is believed.
    """
    chosen: list[Line] = []
    limit = page.height * (1 - _ZONE)
    stop = len(lines)
    while stop:
        start = stop - 1
        while (
            start and lines[start].top - lines[start - 1].bottom <= 1.1 * body and not _ruled(page, lines, start, body)
        ):
            start -= 1
        cluster = lines[start:stop]
        gap = cluster[0].top - lines[start - 1].bottom if start else page.height
        if _is_foot(page, cluster, gap, repeated, body, limit, first=not chosen):
            chosen.extend(cluster)
            stop = start
            continue
        for line in reversed(cluster):
            numbered = _is_page_number(line, page)
            if line.middle > limit and (_key(line) in repeated or numbered):
                chosen.append(line)
            else:
                break
        break
    return chosen


def _ruled(page: RawPage, lines: Sequence[Line], index: int, body: float) -> bool:
    """A long rule stands over this line, as over a running foot."""
    line, above = lines[index], lines[index - 1]
    return any(
        rule.horizontal and rule.x1 - rule.x0 > 0.3 * page.width and above.bottom - 2 < rule.top < line.top + 3
        for rule in page.rules
    )


def _is_foot(
    page: RawPage, cluster: Sequence[Line], gap: float, repeated: set[str], body: float, limit: float, first: bool
) -> bool:
    if len(cluster) > 4 or any(len(line.words) > 30 for line in cluster):
        return False
    low = all(line.middle > limit for line in cluster)
    numbered = any(_is_page_number(line, page) for line in cluster)
    if not low:
        one = len(cluster) <= 2 and (gap > 0.8 * body or any(len(line.segments) > 1 for line in cluster))
        return first and numbered and one
    if numbered or any(_key(line) in repeated for line in cluster):
        return True
    sentences = sum(line.text.rstrip().endswith((".", ";", ":")) for line in cluster)
    lowest = all(line.middle > 0.92 * page.height for line in cluster)
    return lowest and gap > 2.2 * body and len(cluster) <= 3 and sentences == 0 and not cluster[0].words[0].mark


def _head(page: RawPage, lines: Sequence[Line], repeated: set[str], body: float, seen_before: set[str]) -> list[Line]:
    if page.number == 1:
        top = [segment for line in lines[:1] for segment in line.segments if PAGE_NUMBER.fullmatch(segment.text)]
        return [Line([segment]) for segment in top if len(segment.words) > 1]
    chosen: list[Line] = []
    for index, line in enumerate(lines):
        if line.middle > page.height * _ZONE:
            break
        below = lines[index + 1] if index + 1 < len(lines) else None
        gap = below.top - line.bottom if below is not None else page.height
        sure = _key(line) in repeated or (
            _is_page_number(line, page) and len(line.words) <= 12 and not line.text.rstrip().endswith(".")
        )
        echo = (
            page.number > 1
            and gap > 0.8 * body
            and len(line.words) < 15
            and (line.size < 0.97 * body or len(line.words) <= 4 or len(line.segments) > 1)
            and all(word.text.strip(",.") in seen_before for word in line.words)
        )
        if sure or echo:
            chosen.append(line)
        else:
            break
    return chosen


def _margin_print(page: RawPage) -> set[int]:
    """Turned text in the outer margin, away from every turned table header: form numbers, print marks."""
    found: set[int] = set()
    for word in page.words:
        if word.turned in (90, 270) and (word.x1 < 0.07 * page.width or word.x0 > 0.93 * page.width):
            found.add(id(word))
    return found


def words_of(page: RawPage, chosen: set[int]) -> list[Word]:
    return [word for word in page.words if id(word) in chosen]
