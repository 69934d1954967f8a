"""Makes docs/comparison.png: the first-cap chart of a catalogue, drawn by firstcap, photographed by headless Chromium.

    firstcap demo pinyon-ridge
    python docs/make_pictures.py pinyon-ridge/firstcap.duckdb --size 5/8

The demo's catalogue holds invented suppliers with invented numbers: pictures here are made of nothing else.
Needs a `chromium` on the path (`--browser` names another).
"""

import argparse
import re
import subprocess
import tempfile
from pathlib import Path

from firstcap.app.report.comparison import compare
from firstcap.app.report.first_cap import charted, first_cap_svg
from firstcap.app.report.rows import load
from firstcap.store.catalogue import Catalogue

_QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--hide-scrollbars",
)


def photograph(svg: str, out: Path, browser: str, scale: int = 2) -> None:
    """One SVG as a PNG of `scale` times its size, in the light colours."""
    size = re.search(r'<svg [^>]*\bwidth="([0-9.]+)" height="([0-9.]+)"', svg)
    if size is None:
        raise SystemExit("the chart has no size")
    width, height = (round(float(side)) for side in size.groups())
    with tempfile.TemporaryDirectory() as folder:
        page = Path(folder, "chart.html")
        page.write_text(f'<!DOCTYPE html><meta charset="utf-8"><body style="margin:0">{svg}', encoding="utf-8")
        subprocess.run(
            [
                browser,
                *_QUIET,
                f"--user-data-dir={folder}/profile",
                f"--window-size={width},{height}",
                f"--force-device-scale-factor={scale}",
                f"--screenshot={out.resolve()}",
                page.as_uri(),
            ],
            check=True,
            capture_output=True,
            timeout=120,
        )


def main() -> None:
    parser = argparse.ArgumentParser(description="Photograph the first-cap chart of a catalogue.")
    parser.add_argument("catalogue", type=Path)
    parser.add_argument("--size", default="5/8")
    parser.add_argument("--promise", default="accuracy-new-meter-whole-meter", help="anchor of the promise in the page")
    parser.add_argument("--out", type=Path, default=Path(__file__).with_name("comparison.png"))
    parser.add_argument("--browser", default="chromium")
    asked = parser.parse_args()
    comparison = compare(load(Catalogue(asked.catalogue), asked.size))
    drawable = {group.anchor: group for group in comparison.promises if charted(group)}
    if asked.promise not in drawable:
        raise SystemExit(f"no chart {asked.promise!r}; there are: {', '.join(drawable) or 'none'}")
    photograph(first_cap_svg(comparison, drawable[asked.promise]), asked.out, asked.browser)
    print(asked.out)


if __name__ == "__main__":
    main()
