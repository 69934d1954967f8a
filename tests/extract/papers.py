"""Small papers for tests: lines of text laid out as blocks with words in plausible places.

`# ` and `## ` open headings, `- ` a list item, `~ ` a running head or foot; a blank line ends a paragraph; everything
else is a paragraph. A line `---` turns the page.
"""

from firstcap.extract.page import Block, BlockKind, Layout, Origin, PageFacts, Run, Word

_HEIGHT = 12.0
_WIDTH = 5.0


def run_of(text: str, page: int = 1, top: float = 72.0) -> Run:
    """Text as a run whose words stand on lines of 90 characters."""
    words, spans = [], []
    place = column = line = 0
    for token in text.split():
        start = text.index(token, place)
        place = start + len(token)
        if column + len(token) > 90:
            column, line = 0, line + 1
        x0, y0 = 54 + column * _WIDTH, top + line * _HEIGHT
        words.append(Word(token, page, x0, y0, x0 + len(token) * _WIDTH, y0 + 10))
        spans.append((start, place))
        column += len(token) + 1
    return Run(text, tuple(words), tuple(spans))


def paper(text: str) -> Layout:
    """A layout of the paper that the text sketches."""
    blocks: list[Block] = []
    stack: list[tuple[int, int]] = []
    page, top = 1, 72.0
    pending: list[str] = []

    def put(kind: BlockKind, body: str, level: int = 0) -> None:
        nonlocal top
        if kind is BlockKind.HEADING:
            while stack and stack[-1][0] >= level:
                stack.pop()
        number = body.split()[0].strip("().") if body[:1].isdigit() or body[:1] == "(" else None
        headings = () if kind is BlockKind.FURNITURE else tuple(index for _, index in stack)
        blocks.append(Block(kind, run_of(body, page, top), level, number, headings))
        if kind is BlockKind.HEADING:
            stack.append((level, len(blocks) - 1))
        top += _HEIGHT * (2 + len(body) // 90)

    def flush() -> None:
        if pending:
            put(BlockKind.PARAGRAPH, " ".join(pending))
            pending.clear()

    for line in text.strip().splitlines():
        stripped = line.strip()
        marks = {
            "# ": (BlockKind.HEADING, 1),
            "## ": (BlockKind.HEADING, 2),
            "- ": (BlockKind.LIST_ITEM, 0),
            "~ ": (BlockKind.FURNITURE, 0),
        }
        mark = next((each for each in marks if stripped.startswith(each)), None)
        if not stripped or mark or stripped == "---":
            flush()
        if stripped == "---":
            page, top = page + 1, 72.0
        elif mark:
            kind, level = marks[mark]
            put(kind, stripped.removeprefix(mark), level)
        elif stripped:
            pending.append(stripped)
    flush()
    pages = tuple(PageFacts(number, 612, 792, Origin.TEXT, 200) for number in range(1, page + 1))
    return Layout(pages, tuple(blocks))
