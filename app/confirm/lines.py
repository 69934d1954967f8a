"""Plain lines in, plain lines out: what every conversation at the terminal is held with."""

import re
import sys
from textwrap import wrap
from typing import TextIO

_WIDTH = 100
_BEFORE_UNIT = re.compile(r"(?<=\d) (?=(?:%|gal|gpm|in|months?|years?|days?)(?!\w))")


class EndOfInputError(Exception):
    """The person closed the input."""


class Lines:
    """Asks and says, through a pipe as well as at a screen."""

    def __init__(self, source: TextIO, out: TextIO) -> None:
        self._source = source
        self._out = out

    def say(self, text: str, indent: str = "", hang: str = "") -> None:
        held = _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)  # textwrap never breaks there
        lines = wrap(held, _WIDTH, initial_indent=indent, subsequent_indent=indent + hang) if text else [""]
        print("\n".join(lines).replace("\N{NO-BREAK SPACE}", " "), file=self._out)

    def ask(self, question: str) -> str:
        if self._source is sys.stdin and self._source.isatty():
            try:
                return input(f"{question} ").strip()
            except EOFError:
                raise EndOfInputError from None
        print(question, end=" ", file=self._out, flush=True)
        line = self._source.readline()
        if not line:
            raise EndOfInputError
        print(line.rstrip("\n"), file=self._out)
        return line.strip()

    def agreed(self, question: str) -> bool:
        while True:
            answer = self.ask(f"{question} (y/n)").casefold()
            if answer in ("y", "yes"):
                return True
            if answer in ("n", "no"):
                return False
