"""The progress of a stack, on stderr: a bar where a person watches, silence where nobody does."""

import sys
from types import TracebackType
from typing import Self

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, TextColumn, TimeRemainingColumn
from rich.progress import Progress as Bar
from rich.text import Text


class Progress:
    def __init__(self, total: int) -> None:
        console = Console(stderr=True, highlight=False, emoji=False)
        columns = (TextColumn("reading"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn(), _name_column())
        self._bar = Bar(*columns, console=console, transient=True, disable=not sys.stderr.isatty())
        self._task = self._bar.add_task("reading", total=total, name="")

    def step(self, name: str) -> None:
        self._bar.update(self._task, advance=1, name=Text(name).plain)

    def __enter__(self) -> Self:
        self._bar.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._bar.stop()


def _name_column() -> TextColumn:
    return TextColumn("{task.fields[name]}", markup=False)
