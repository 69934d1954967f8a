"""A letter with an enclosure: what a person signs and sends, prepared by the program and left open where it must be."""

from dataclasses import dataclass

from firstcap.app.report.paper import Paper, Place


@dataclass(frozen=True)
class Quote:
    """The document's own words, with the place they stand at: the strip of the page is shown where it can be drawn.

    `before` leads up to them and stays on their page.
    """

    words: str
    place: Place | None = None
    before: str = ""


@dataclass(frozen=True)
class Letter:
    """`sender` and `to` are the lines of an address; `…` on a line of its own is left for the person to fill in.

    `open` says at the head and on each page what the letter is before it is signed, `doubts` at the head what must be
    settled first. `sign` are the lines under the signature.
    """

    sender: tuple[str, ...]
    to: tuple[str, ...]
    subject: str
    paragraphs: tuple[str | Quote, ...]
    open: str
    sign: tuple[str, ...]
    enclosure: Paper
    doubts: tuple[str, ...] = ()
