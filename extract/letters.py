"""Letters out of strips of an image: where the lines of a sheet stand, and what each strip says, sign by sign.

The only importer of rapidocr and onnxruntime. The models lie inside rapidocr's wheel; nothing is ever fetched.
Recognition runs the model directly, not through rapidocr: a reader of numbers must know where each sign stands, how
sure it is, and which sign it would have been otherwise.
"""

import logging
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import onnxruntime
import rapidocr
from numpy.typing import NDArray

from firstcap.extract.raster import Gray

_HEIGHT = 48  # pixels: the height of a strip that the model was trained on
_BATCH = 6
_MODELS = Path(rapidocr.__file__).parent / "models"
# What a document of this trade prints beside letters, digits and the signs of a keyboard.
_SIGNS = "±×÷°²³¹½¼¾£€§©®™•·–—‘’“”„«»†‡…′″µ≤≥¿¡ºª"

_NEVER = "ıſĸŉŊŋ^`|~\\"  # a worn i, f, k or n, and strokes of a ruling line


@dataclass(frozen=True, slots=True)
class Sign:
    """One sign of a strip: its middle from the strip's left edge in pixels, how sure, and the runner-up."""

    text: str
    x: float
    sure: float
    other: str
    other_sure: float


@dataclass(frozen=True, slots=True)
class Strip:
    """A line as it was found: its four corners in pixels, clockwise from the top left, and how sure that it is text."""

    corners: tuple[tuple[float, float], ...]
    sure: float


@cache
def _detector() -> Any:
    logging.getLogger("RapidOCR").setLevel(logging.ERROR)  # it tells which model it opens
    return rapidocr.RapidOCR(
        params={
            "Global.log_level": "error",
            "Det.model_path": str(_model("det")),  # a path, so that nothing is looked for elsewhere
            "EngineConfig.onnxruntime.intra_op_num_threads": 1,  # reading runs in one process a core
            "EngineConfig.onnxruntime.inter_op_num_threads": 1,
        }
    )


def _model(part: str) -> Path:
    found = sorted(_MODELS.glob(f"*_{part}_*.onnx"))
    if not found:
        raise ImportError(f"the installed rapidocr brings no {part} model; install firstcap[ocr] anew")
    return found[-1]


@dataclass(frozen=True, slots=True)
class _Recogniser:
    session: Any
    signs: tuple[str, ...]
    allowed: NDArray[np.intp]  # columns of the model's answer that are signs a leaflet may carry


@cache
def _recogniser() -> _Recogniser:
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    options.log_severity_level = 4
    session = onnxruntime.InferenceSession(str(_model("rec")), options, providers=["CPUExecutionProvider"])
    signs = ["", *session.get_modelmeta().custom_metadata_map["character"].splitlines(), " "]
    allowed = np.array([index for index, sign in enumerate(signs) if _is_allowed(sign)], dtype=np.intp)
    return _Recogniser(session, tuple(signs[index] for index in allowed), allowed)


def _is_allowed(sign: str) -> bool:
    if sign in ("", " ") or sign in _SIGNS:
        return True
    if sign in _NEVER:
        return False
    return len(sign) == 1 and (sign.isascii() or (sign < "\u0180" and unicodedata.category(sign) in ("Lu", "Ll")))


def find_strips(gray: Gray) -> list[Strip]:
    """Where text stands, in no order."""
    found = _detector()(cv2.cvtColor(gray, cv2.COLOR_GRAY2BGR), use_det=True, use_cls=False, use_rec=False)
    boxes = getattr(found, "boxes", None)
    if boxes is None:
        return []
    return [
        Strip(tuple((float(x), float(y)) for x, y in box), float(sure))
        for box, sure in zip(boxes, found.scores, strict=True)
    ]


def read_strips(strips: Sequence[Gray]) -> list[list[Sign]]:
    """What each strip says, blanks included."""
    read: list[list[Sign]] = [[] for _ in strips]
    order = sorted(range(len(strips)), key=lambda index: strips[index].shape[1] / strips[index].shape[0])
    for start in range(0, len(order), _BATCH):
        batch = order[start : start + _BATCH]
        widths = [max(8, round(strips[i].shape[1] * _HEIGHT / strips[i].shape[0])) for i in batch]
        full = max(96, *widths)
        data = np.zeros((len(batch), 3, _HEIGHT, full), dtype=np.float32)
        for row, (index, width) in enumerate(zip(batch, widths, strict=True)):
            image = cv2.resize(strips[index], (width, _HEIGHT), interpolation=cv2.INTER_LINEAR).astype(np.float32)
            data[row, :, :, :width] = image / 127.5 - 1.0
        answer = _recogniser().session.run(None, {"x": data})[0][:, :, _recogniser().allowed]
        for row, (index, width) in enumerate(zip(batch, widths, strict=True)):
            to_strip = full / answer.shape[1] * strips[index].shape[1] / width
            read[index] = _decoded(answer[row], to_strip)
    return read


def _decoded(answer: NDArray[np.float32], pixels: float) -> list[Sign]:
    """The signs of one answer (steps by signs): at each step the likeliest; repeats are one sign, the first is none."""
    signs = _recogniser().signs
    best = answer.argmax(axis=1)
    found: list[Sign] = []
    step = 0
    while step < len(best):
        index = int(best[step])
        stop = step + 1
        while stop < len(best) and int(best[stop]) == index:
            stop += 1
        if index:
            peak = step + int(answer[step:stop, index].argmax())
            column = answer[peak]
            second, other = (int(place) for place in np.argsort(column)[-2:])
            runner = second if other == index else other
            found.append(
                Sign(
                    signs[index],
                    ((step + stop) / 2) * pixels,
                    float(column[index]),
                    signs[runner],
                    float(column[runner]),
                )
            )
        step = stop
    return found
