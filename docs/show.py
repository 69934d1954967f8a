"""Fills README's examples with what the commands really print, and draws its pictures: `python docs/show.py`.

Run it when reading, confirming or the reports have changed; it takes a minute and needs Chromium, so no test runs it.
The commands are those printed above each example in README.md; each runs after the ones before it, in a copy of the
invented stack.
"""

import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
EXAMPLE = re.compile(r"(```sh\n(?P<command>[^`]*?)```\n\n```text\n)(?P<output>.*?)(```\n)", re.DOTALL)
PICTURE = ROOT / "docs" / "comparison.svg"
FLEET = ROOT / "docs" / "fleet.svg"
SCREEN = ROOT / "docs" / "confirming.png"
TYPED = {"confirm": "c\nc\nq\n"}  # what the person types: confirm the document, confirm one term, stop
SIZE = "5/8"


def _run(command: str, folder: Path) -> str:
    """What a person sees in the terminal, what they type included."""
    typed = next((keys for name, keys in TYPED.items() if f"firstcap {name}" in command), None)
    done = subprocess.run(
        command,
        shell=True,
        cwd=folder,
        env={**os.environ, "PATH": f"{Path(sys.executable).parent}{os.pathsep}{os.environ['PATH']}", "COLUMNS": "200"},
        input=typed or "",
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        check=False,
    )
    return done.stdout


def _shown(command: str, output: str) -> str:
    """Of a sitting of confirmation, the second item and what was answered; of all else, everything but progress."""
    if "confirm" in command:
        items = output.split("\n── ")
        return f"── {items[2].strip()}\n"
    lines = [line.rstrip() for line in output.splitlines()]
    return "\n".join(line for line in lines if not re.fullmatch(r"\S+\.pdf: .*", line)).strip() + "\n"


def _picture(catalogue: Path) -> str:
    from firstcap.app.report.comparison import compare
    from firstcap.app.report.first_cap import charted, first_cap_svg
    from firstcap.app.report.rows import load
    from firstcap.store.catalogue import Catalogue

    comparison = compare(load(Catalogue(catalogue), SIZE))
    group = next(group for group in comparison.promises if charted(group))
    return str(first_cap_svg(comparison, group)) + "\n"


def _fleet(catalogue: Path) -> str:
    """The demo's fleet, which the demo has left in its catalogue, on the first-cap chart."""
    from firstcap.app.demo_fleet import DAY
    from firstcap.app.fleet.charts import standing
    from firstcap.store.catalogue import Catalogue
    from firstcap.store.cover import cover_sums

    with cover_sums(Catalogue(catalogue), DAY, include_proposed=True) as sums:
        figure = standing(sums, SIZE)
    assert figure is not None
    return str(figure.svg) + "\n"


def _screen(catalogue: Path) -> bytes:
    """The page of an open promise that ends by time or volume, as Chromium shows it, in few colours to be small."""
    from io import BytesIO

    from PIL import Image
    from playwright.sync_api import sync_playwright

    from firstcap.app.confirm.board import Board, Choice
    from firstcap.app.confirm.cards import CardKind
    from firstcap.store.catalogue import Catalogue

    board = Board(Catalogue(catalogue))
    board.refresh()
    open_cards = (card for card in board.chosen(Choice()) if card.kind is CardKind.TERM and card.open_items)
    card = next(card for card in open_cards if len(card.items[0].stored.term.limits) == 2)
    command = [sys.executable, "-m", "firstcap.app", "confirm", "--no-browser", "--port", "0", "--reviewer", "R. Quill"]
    served = subprocess.Popen([*command, "--catalogue", str(catalogue)], stdout=subprocess.PIPE, text=True)
    assert served.stdout
    try:
        address = served.stdout.readline().strip()
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
            page = browser.new_page(viewport={"width": 1200, "height": 600})
            page.goto(f"{address}confirm?at={card.key}")
            page.wait_for_load_state("networkidle")
            image = page.screenshot()
            browser.close()
    finally:
        served.terminate()
        served.wait()
    few = Image.open(BytesIO(image)).convert("RGB").quantize(32, dither=Image.Dither.NONE)
    stream = BytesIO()
    few.save(stream, "PNG", optimize=True)
    return stream.getvalue()


def main() -> None:
    readme = ROOT / "README.md"
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place)
        shutil.copytree(ROOT / "fixtures" / "pinyon_ridge", folder / "fixtures" / "pinyon_ridge")
        _run("firstcap demo", folder)

        def example(found: re.Match[str]) -> str:
            output = _run(found["command"].strip(), folder)
            return f"{found[1]}{_shown(found['command'], output)}{found[4]}"

        text = EXAMPLE.sub(example, readme.read_text(encoding="utf-8"))
        picture = _picture(folder / "pinyon-ridge" / "firstcap.duckdb")
        fleet = _fleet(folder / "pinyon-ridge" / "firstcap.duckdb")
        screen = _screen(folder / "pinyon-ridge" / "firstcap.duckdb")
    readme.write_text(text, encoding="utf-8")
    PICTURE.write_text(picture, encoding="utf-8")
    FLEET.write_text(fleet, encoding="utf-8")
    SCREEN.write_bytes(screen)


if __name__ == "__main__":
    main()
