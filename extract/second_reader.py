"""A second reader of figures: tesseract, where it is installed. It is another program with another model, so that the
two do not make the same mistakes; what they disagree on is doubted, and never corrected by it.

Measured: on prose it is as good as the first, and it drops ± in silence, so that this sign is not compared.
"""

import csv
import os
import re
import shutil
import subprocess
from collections.abc import Sequence
from functools import cache

import cv2
import numpy as np

from firstcap.extract.raster import Gray

_HEIGHT = 48  # pixels of each strip: the size of letters that it reads best
_GAP = 36  # white between two strips
_MOST = 120  # strips to a sheet: a call costs a quarter of a second to start
_SECONDS = 60


@cache
def is_available() -> bool:
    return shutil.which("tesseract") is not None


def read_figures(crops: Sequence[Gray]) -> list[str | None]:
    """What each short strip says, blanks left out; None where nobody is there to read or nothing was read."""
    if not is_available():
        return [None] * len(crops)
    found: list[str | None] = []
    for start in range(0, len(crops), _MOST):
        found.extend(_sheet(crops[start : start + _MOST]))
    return found


def _sheet(crops: Sequence[Gray]) -> list[str | None]:
    """Each strip as a line of its own on one white sheet: out of its sentence, so that no guess of words helps."""
    strips = [
        cv2.resize(
            crop, (max(8, round(crop.shape[1] * _HEIGHT / crop.shape[0])), _HEIGHT), interpolation=cv2.INTER_CUBIC
        )
        for crop in crops
    ]
    pitch = _HEIGHT + _GAP
    sheet = np.full((pitch * len(strips) + _GAP, max(strip.shape[1] for strip in strips) + 2 * _GAP), 255, np.uint8)
    for row, strip in enumerate(strips):
        top = _GAP + row * pitch
        sheet[top : top + _HEIGHT, _GAP : _GAP + strip.shape[1]] = strip
    _, packed = cv2.imencode(".png", sheet)
    texts: list[list[str]] = [[] for _ in strips]
    for line in _run(packed.tobytes()):
        row = int((int(line["top"]) + int(line["height"]) / 2 - _GAP / 2) // pitch)
        if line["text"].strip() and 0 <= row < len(texts):
            texts[row].append(line["text"].strip())
    return ["".join(parts) or None for parts in texts]


def _run(image: bytes) -> list[dict[str, str]]:
    command = ["tesseract", "stdin", "stdout", "--psm", "6", "--dpi", "200", "tsv"]
    try:
        done = subprocess.run(
            command,
            input=image,
            capture_output=True,
            check=True,
            timeout=_SECONDS,
            env={**os.environ, "OMP_THREAD_LIMIT": "1"},  # several threads are slower than one
        )
    except (OSError, subprocess.SubprocessError):
        return []
    table = csv.DictReader(done.stdout.decode("utf-8", "replace").splitlines(), delimiter="\t", quoting=csv.QUOTE_NONE)
    return [row for row in table if row.get("level") == "5" and row.get("text")]


_FOLDED = str.maketrans(
    {"”": '"', "“": '"', "″": '"', "’": "'", "–": "-", "—": "-", "−": "-", "×": "x", "±": "", "+": ""}
)


def same_figures(one: str, other: str) -> bool:
    """Whether two readings of a word agree in every figure, point, comma and sign between its first and last figure."""
    return _core(one) == _core(other)


def _core(text: str) -> str:
    plain = re.sub(r"\s+", "", text.translate(_FOLDED)).lower()
    found = re.search(r"\d.*\d|\d", plain)
    return (found.group() + ("%" if "%" in plain[found.end() :] else "")) if found else plain
