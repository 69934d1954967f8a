"""How well numbers survive a scan: the pages of PDFs that carry text are drawn, spoiled, read from the image, and
compared with their own text, number by number.

For each kind of spoiling: how many words with a figure are found again (recall), how many of those read stand on the
page (precision), how many of the wrong ones the reader itself doubts, and seconds a page.

    python bench/ocr.py [FOLDER …] [--pages N] [--spoil clean scan poor fax …] [--wrong]
"""

import argparse
import random
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from spoil import WAYS, spoiled

from firstcap.extract.page import Word
from firstcap.extract.pdf import RawPage, open_document
from firstcap.extract.raster import drawn, sheet
from firstcap.extract.scanned import read_sheet
from firstcap.schema.errors import DocumentError

DOUBT = 0.8  # below this a person is told to look


def numbers(words: Iterator[Word] | tuple[Word, ...] | list[Word]) -> Counter[str]:
    return Counter(bare(word.text) for word in words if is_number(word))


def is_number(word: Word) -> bool:
    return not word.mark and not word.turned and any(char.isdigit() for char in word.text)


def bare(text: str) -> str:
    for printed, plain in (("”", '"'), ("“", '"'), ("″", '"'), ("’", "'"), ("–", "-"), ("—", "-"), ("−", "-")):
        text = text.replace(printed, plain)
    return text.strip(".,;:()[]\"'•·")


def text_pages(folders: list[Path]) -> Iterator[tuple[Path, RawPage]]:
    for folder in folders:
        for path in sorted(folder.rglob("*.pdf")):
            try:
                raw = open_document(path)
            except DocumentError as error:
                print(f"{path.name}: {error}", file=sys.stderr)
                continue
            for page in raw.pages:
                if page.image_area < 0.05 and not page.rotated and sum(map(is_number, page.words)) >= 5:
                    yield path, page


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="*", type=Path, default=[Path(__file__).parent.parent / "fixtures"])
    parser.add_argument("--pages", type=int, default=20, help="how many pages, drawn by lot with a kept seed")
    parser.add_argument("--spoil", nargs="+", default=["clean", "scan", "poor", "fax"], choices=WAYS)
    parser.add_argument("--wrong", action="store_true", help="print each number read wrong or not at all")
    options = parser.parse_args()
    pages = list(text_pages(options.folders))
    chosen = random.Random(1).sample(pages, min(options.pages, len(pages)))
    print(f"{len(chosen)} of {len(pages)} pages")
    heads = ("numbers", "recall", "precision", "doubted wrong", "doubted right", "s/page")
    print(" " * 6, *(f"{head:>14}" for head in heads))
    for how in options.spoil:
        total = found = read = wrong = doubted = fearful = 0
        started = time.perf_counter()
        for seed, (path, page) in enumerate(chosen):
            _, gray, scale = next(drawn(path, [page.number]))
            words = read_sheet(sheet(spoiled(gray, how, seed), scale), page.number)
            truth, seen = numbers(page.words), numbers(words)
            total += truth.total()
            read += seen.total()
            found += (truth & seen).total()
            extra = seen - truth
            wrong += extra.total()
            unsure = numbers([word for word in words if word.confidence < DOUBT])
            doubted += (extra & unsure).total()
            fearful += (unsure - extra).total()
            if options.wrong and (extra or truth - seen):
                for label, which in (("sure", extra - unsure), ("doubted", extra & unsure), ("lost", truth - seen)):
                    if which:
                        print(f"  {how} {path.name}:{page.number} {label}: {' '.join(sorted(which.elements()))}")
        seconds = (time.perf_counter() - started) / max(len(chosen), 1)
        shares = (f"{found / max(total, 1):.4f}", f"{found / max(read, 1):.4f}")
        cells = (total, *shares, f"{doubted} of {wrong}", fearful, f"{seconds:.1f}")
        print(f"{how:6}", *(f"{cell:>14}" for cell in cells))


if __name__ == "__main__":
    main()
