"""How much of what a careful reader quotes stands together after layout.

For every gold file in a folder: is each quote inside the text of one block, or of one table row (its header and its
row's cells joined)? Also words lost or doubled, and milliseconds a page.

    python bench/layout.py FOLDER [--source text] [--missing] [--dump NAME]
"""

import argparse
import json
import re
import sys
import time
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from firstcap.extract.layout import build_layout, unplaced
from firstcap.extract.page import Block, BlockKind, Layout, Run, Table
from firstcap.extract.pdf import open_document
from firstcap.schema.errors import DocumentError


def squeezed(text: str) -> str:
    """NFKC, without white space, hyphens or letter case: what must agree whatever the typesetter did."""
    text = unicodedata.normalize("NFKC", text).replace("\u2044", "/")
    return re.sub(r"[\s\-()\u2010\u2011\u00ad.…]+", "", text).casefold()


def quotes(gold: Any) -> Iterator[str]:
    """Every quote of a gold file, once."""
    seen: set[str] = set()
    stack = [gold]
    while stack:
        item = stack.pop()
        if isinstance(item, dict):
            quote = item.get("quote")
            if isinstance(quote, str) and quote.strip() and quote not in seen:
                seen.add(quote)
                yield quote
            stack.extend(item.values())
        elif isinstance(item, list):
            stack.extend(item)


def row_texts(table: Table) -> Iterator[str]:
    """Each row's cells joined, spanning cells included once; then each cell on its own, the caption and the notes."""
    for row in range(table.rows):
        cells = []
        for col in range(table.cols):
            cell = table.at(row, col)
            if cell is not None and cell not in cells:
                cells.append(cell)
        yield " ".join(cell.text for cell in cells)
    for row in range(table.rows):
        yield " ".join(cell.text for cell in table.cells if cell.row == row)
        yield " ".join(with_marks(cell.run) for cell in table.cells if cell.row == row)
    if table.caption is not None:
        yield table.caption.text
    for note in table.notes:
        yield note.text


def with_marks(run: Run) -> str:
    """The text with its footnote marks where they are printed, as some readers quote it."""
    text = run.text
    for place, mark in reversed(run.marks):
        text = f"{text[:place]}{mark}{text[place:]}"
    return text


def units(layout: Layout) -> Iterator[str]:
    for block in layout.blocks:
        if block.table is not None:
            yield from row_texts(block.table)
        else:
            yield block.run.text


def found(quote: str, texts: list[str], headings: list[str]) -> bool:
    wanted = squeezed(quote)
    if any(wanted in text for text in texts):
        return True
    return any(wanted in heading + text for heading, text in zip(headings, texts, strict=False))


def dump(layout: Layout) -> Iterator[str]:
    """The layout for the eye: kind, level, number, headings, then the text or the grid."""
    for index, block in enumerate(layout.blocks):
        yield describe(index, block)


def describe(index: int, block: Block) -> str:
    head = f"{index:3} p{block.run.page} {block.kind.value:9} {block.number or '':5} {list(block.headings)}"
    if block.mark:
        head += f" mark={block.mark}"
    if block.table is None:
        marks = f"   marks {list(block.run.marks)}" if block.run.marks else ""
        return f"{head} {block.run.text}{marks}"
    table = block.table
    lines = [f"{head} {table.rows}x{table.cols} header {table.header_rows} {'ruled' if table.ruled else 'borderless'}"]
    if table.caption:
        lines.append(f"      caption: {table.caption.text}")
    for row in range(table.rows):
        shown = []
        for col in range(table.cols):
            cell = table.at(row, col)
            here = cell is not None and cell.row == row and cell.col == col
            text = (cell.text if here else "^" if cell is not None else "·") if cell is not None else "·"
            if cell is not None and here and cell.run.marks:
                text += " {" + ",".join(mark for _, mark in cell.run.marks) + "}"
            shown.append(text)
        lines.append("      | " + " | ".join(shown))
    lines.extend(f"      note: {note.text}" for note in table.notes)
    return "\n".join(lines)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--source", default="text", help="text_source of the documents to look at, or 'all'")
    parser.add_argument("--missing", action="store_true", help="print the quotes that stand in no one block")
    parser.add_argument("--dump", metavar="NAME", help="print the layout of the documents whose name contains NAME")
    arguments = parser.parse_args()
    if arguments.dump:
        for path in sorted(arguments.folder.glob("*.pdf")):
            if arguments.dump in path.name:
                print(f"=== {path.name}")
                print("\n".join(dump(build_layout(open_document(path)))))
        return 0
    hits = total = lost = pages = 0
    spent = 0.0
    for gold_path in sorted(arguments.folder.glob("*.gold.json")):
        gold = json.loads(gold_path.read_text())
        if arguments.source not in ("all", gold["document"].get("text_source")):
            continue
        path = gold_path.with_name(gold_path.name.replace(".gold.json", ".pdf"))
        begun = time.perf_counter()
        try:
            raw = open_document(path)
        except DocumentError as error:
            print(f"{path.stem:28} {error.code}")
            continue
        layout = build_layout(raw)
        spent += time.perf_counter() - begun
        pages += len(raw.pages)
        texts = [squeezed(text) for text in units(layout)]
        wanted = list(quotes(gold))
        headings = ["", *texts[:-1]]
        missing = [quote for quote in wanted if not found(quote, texts, headings)]
        missing_words = unplaced(raw, layout)
        hits += len(wanted) - len(missing)
        total += len(wanted)
        lost += missing_words
        tables = sum(block.kind is BlockKind.TABLE for block in layout.blocks)
        print(
            f"{path.stem:28} {len(wanted) - len(missing):3}/{len(wanted):<3} quotes  {tables} tables"
            f"  {missing_words} unplaced words"
        )
        if arguments.missing:
            for quote in missing:
                print(f"      {quote}")
    share = hits / total if total else 0.0
    print(f"all: {hits}/{total} = {share:.2%}; {lost} unplaced words; {spent / max(pages, 1) * 1000:.0f} ms a page")
    return 0


if __name__ == "__main__":
    sys.exit(main())
