"""Fills README's examples with what the commands really print, and draws its picture: `python docs/show.py`.

Run it when reading, confirming or the reports have changed; it takes a minute, so no test runs it. The commands are
those printed above each example in README.md; each runs after the ones before it, in a copy of the invented stack.
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
    readme.write_text(text, encoding="utf-8")
    PICTURE.write_text(picture, encoding="utf-8")


if __name__ == "__main__":
    main()
