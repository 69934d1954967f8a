"""Owns the spoiling of good pages: what scanners, fax machines, stamps and cameras do to them, the same for a seed."""

import random
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image
from reportlab.lib.utils import ImageReader
from reportlab.pdfgen.canvas import Canvas

from firstcap.extract.page import Word
from firstcap.extract.pdf import open_document
from firstcap.extract.raster import Gray, drawn

Shade = NDArray[np.float64]

# degrees of tilt, blur in pixels, noise, JPEG quality
_PAPER = {
    "scan": (0.7, 0.6, 8.0, 70),
    "poor": (-2.1, 0.9, 14.0, 45),
    "fax": (0.8, 0.5, 10.0, 90),
    "coarse": (0.4, 0.5, 8.0, 90),
    "stamp": (0.5, 0.6, 8.0, 65),
    "photo": (1.1, 0.9, 7.0, 60),
    "layer": (-0.6, 0.6, 8.0, 65),
}
WAYS = ("clean", *_PAPER)


def spoiled(gray: Gray, how: str, seed: int) -> Gray:
    """The image of a page at 200 dpi as `how` would give it."""
    if how == "clean":
        return gray
    noise = np.random.default_rng(seed)
    height, width = gray.shape
    degrees, blur, sigma, quality = _PAPER[how]
    if how == "stamp":
        gray = _stamped(gray, noise)
    turn = cv2.getRotationMatrix2D((width / 2, height / 2), degrees, 1.0)
    image = cv2.warpAffine(gray, turn, (width, height), flags=cv2.INTER_CUBIC, borderValue=(255.0,))
    if how == "photo":
        image = _keystoned(image, noise)
    image = cv2.GaussianBlur(image, (0, 0), blur)
    if how in ("fax", "coarse"):  # black and white; fine mode is 204 by 196 dots to the inch, standard mode 204 by 98
        lines = 196 if how == "fax" else 98
        size = (round(width * 204 / 200), round(height * lines / 200))
        small = cv2.resize(image, size, interpolation=cv2.INTER_AREA)
        image = np.where(small + noise.normal(0, sigma, small.shape) < 150, 0, 255).astype(np.uint8)
        image = cv2.resize(image, (width, height), interpolation=cv2.INTER_NEAREST)
    else:
        light = (image * 0.85 + 20) * _shade(how, height, width) + noise.normal(0, sigma, image.shape)
        image = np.clip(light, 0, 255).astype(np.uint8)
    _, packed = cv2.imencode(".jpg", image, [cv2.IMWRITE_JPEG_QUALITY, quality])
    return np.asarray(cv2.imdecode(packed, cv2.IMREAD_GRAYSCALE), dtype=np.uint8)


def _shade(how: str, height: int, width: int) -> Shade:
    across = np.linspace(1.0, {"poor": 0.82, "photo": 0.7}.get(how, 0.95), width)[None, :]
    if how != "photo":
        return np.repeat(across, height, axis=0)
    down = np.linspace(1.0, 0.75, height)[:, None]
    hand = np.ones((height, width))
    cv2.ellipse(hand, (width // 2, height), (width // 3, height // 3), 20, 0, 360, (0.72,), -1)
    return np.asarray(across * down * cv2.GaussianBlur(hand, (0, 0), 40), dtype=np.float64)


def _keystoned(image: Gray, noise: np.random.Generator) -> Gray:
    height, width = image.shape
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=np.float32)
    moved = (corners + noise.uniform(-0.006, 0.006, (4, 2)) * width).astype(np.float32)
    matrix = cv2.getPerspectiveTransform(corners, moved)
    return np.asarray(cv2.warpPerspective(image, matrix, (width, height), borderValue=(255.0,)), dtype=np.uint8)


def _stamped(gray: Gray, noise: np.random.Generator) -> Gray:
    """A mark of receipt in pale ink across the print."""
    height, width = gray.shape
    ink = np.full((height, width), 255, np.uint8)
    x, y = int(noise.uniform(0.15, 0.45) * width), int(noise.uniform(0.25, 0.7) * height)
    cv2.rectangle(ink, (x, y), (x + 700, y + 170), (150,), 7)
    cv2.putText(ink, "RECEIVED", (x + 40, y + 115), cv2.FONT_HERSHEY_DUPLEX, 3.6, (150,), 9)
    turn = cv2.getRotationMatrix2D((x + 350.0, y + 85.0), float(noise.uniform(8, 24)), 1.0)
    ink = np.asarray(cv2.warpAffine(ink, turn, (width, height), borderValue=(255.0,)), dtype=np.uint8)
    return np.minimum(gray, ink)


def as_scan(path: Path, how: str, seed: int) -> bytes:
    """The document as a PDF of images; under `layer` a hidden text with damaged figures lies over them."""
    pages = open_document(path).pages
    out = BytesIO()
    canvas = Canvas(out, invariant=1)
    lot = random.Random(seed)
    for page, (number, gray, scale) in zip(pages, drawn(path, [page.number for page in pages]), strict=True):
        height, width = (side / scale for side in gray.shape)
        packed = BytesIO()
        Image.fromarray(spoiled(gray, how, seed + number)).save(packed, "JPEG", quality=90)
        packed.seek(0)
        canvas.setPageSize((width, height))
        canvas.drawImage(ImageReader(packed), 0, 0, width, height)
        if how == "layer":
            _wrong_layer(canvas, page.words, height, lot)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _wrong_layer(canvas: Canvas, words: tuple[Word, ...], height: float, lot: random.Random) -> None:
    for word in words:
        damaged = "".join(
            lot.choice("0123456789") if char.isdigit() and lot.random() < 0.4 else char for char in word.text
        )
        text = canvas.beginText(word.x0, height - word.bottom + 0.2 * word.size)
        text.setFont("Helvetica", max(word.size, 1.0))
        text.setTextRenderMode(3)
        text.textOut(damaged.encode("latin-1", "replace").decode("latin-1"))
        canvas.drawText(text)
