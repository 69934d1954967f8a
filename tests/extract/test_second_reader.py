"""Two readers of figures: what they agree on may be sure, what they differ on is doubted."""

import shutil

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from firstcap.extract import second_reader
from firstcap.extract.second_reader import read_figures, same_figures


def drawn(text: str) -> NDArray[np.uint8]:
    strip = np.full((40, 24 * len(text) + 20), 255, np.uint8)
    return np.asarray(cv2.putText(strip, text, (8, 31), cv2.FONT_HERSHEY_SIMPLEX, 1.0, (0,), 2, cv2.LINE_AA))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("640,000", "640,000."),
        ("(5)", "5"),
        ("±1.5%", "1.5%"),  # the second reader drops this sign in silence
        ('5/8"', "5/8”"),
        ("98.5–101.5%", "98.5-101.5%"),
    ],
)
def test_marks_around_figures_are_no_difference(one: str, other: str) -> None:
    assert same_figures(one, other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("640,000", "540,000"),
        ("1.5", "15"),
        ("1,500", "1.500"),
        ("98.5%", "98.5"),  # a lost per cent sign makes another value
        ("5/8", "58"),
        ("1", "10"),
    ],
)
def test_a_figure_point_fraction_or_per_cent_sign_that_differs_is_a_difference(one: str, other: str) -> None:
    assert not same_figures(one, other)


def test_without_a_second_reader_nothing_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_reader, "is_available", lambda: False)
    assert read_figures([drawn("12")]) == [None]


def test_each_strip_keeps_its_own_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(second_reader, "is_available", lambda: True)
    # The columns of tesseract's TSV output that are used, as its manual page names them.
    lines = [
        {"top": "45", "height": "30", "text": "750"},
        {"top": "47", "height": "30", "text": "000"},
        {"top": "210", "height": "28", "text": "5/8"},
    ]
    monkeypatch.setattr(second_reader, "_run", lambda _: lines)
    assert read_figures([drawn("750 000"), drawn("2"), drawn("5/8")]) == ["750000", None, "5/8"]


@pytest.mark.skipif(shutil.which("tesseract") is None, reason="tesseract is not installed")
def test_the_second_reader_reads_plain_figures() -> None:
    texts = ["640,000", "98.5%", "25", "1,120,000"]
    assert read_figures([drawn(text) for text in texts]) == texts
