"""Options that several commands share, and the catalogue behind them."""

from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from firstcap.schema.errors import UsageError

if TYPE_CHECKING:
    from firstcap.store.catalogue import Catalogue

CatalogueOption = Annotated[
    Path,
    typer.Option("--catalogue", envvar="FIRSTCAP_CATALOGUE", help="The catalogue file.", dir_okay=False),
]
DEFAULT_CATALOGUE = Path("firstcap.duckdb")

OutOption = Annotated[Path | None, typer.Option(help="Write to x.html, x.pdf, x.xlsx, x.md or x.json.", dir_okay=False)]
SortOption = Annotated[
    str | None,
    typer.Option("--sort", help="Order tables by this column; a minus before it: largest first.", show_default=False),
]


def open_catalogue(path: Path) -> "Catalogue":
    """A catalogue that is there; for commands that only look."""
    from firstcap.store.catalogue import Catalogue

    if not path.exists():
        raise UsageError(
            "there is no catalogue here yet; make one with `firstcap read FOLDER`, or name one with --catalogue",
            file=str(path),
        )
    return Catalogue(path)


_Kind = TypeVar("_Kind", bound=StrEnum)


def chosen(kind: type[_Kind], text: str, option: str) -> _Kind:
    """The member of a list that was typed for an option; UsageError with the list otherwise."""
    try:
        return kind(text.casefold())
    except ValueError:
        raise UsageError(f"{option} is {text!r}; it may be {', '.join(kind)}") from None


def login_name() -> str:
    """Who signs what is written, where no --reviewer is given."""
    import getpass

    try:
        return getpass.getuser()
    except (OSError, KeyError) as problem:
        raise UsageError("there is no login name to sign with; give one with --reviewer NAME") from problem
