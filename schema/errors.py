"""One tree of errors. Every message says what happened, to which file and page, and what to do next."""

from enum import IntEnum
from typing import ClassVar


class ExitCode(IntEnum):
    OK = 0
    SOME_FAILED = 1
    USAGE = 2
    BUSY = 3


class FirstcapError(Exception):
    """Base: `code` names the kind of error in tables, `exit_code` is what the command line returns."""

    code: ClassVar[str] = "error"
    exit_code: ClassVar[ExitCode] = ExitCode.SOME_FAILED

    def __init__(self, message: str, *, file: str | None = None, page: int | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.file = file
        self.page = page

    def __str__(self) -> str:
        place = self.file or ""
        if self.page is not None:
            place += f", page {self.page}"
        return f"{place}: {self.message}" if place else self.message


class UsageError(FirstcapError):
    code = "usage"
    exit_code = ExitCode.USAGE


class DocumentError(FirstcapError):
    """A file that cannot be read; the rest of the stack goes on."""

    code = "document"


class NotAPdfError(DocumentError):
    code = "not_a_pdf"


class EncryptedError(DocumentError):
    code = "encrypted"


class DamagedError(DocumentError):
    code = "damaged"


class NoPagesError(DocumentError):
    code = "no_pages"


class NoTextError(DocumentError):
    code = "no_text"


class TooManyPagesError(DocumentError):
    code = "too_many_pages"


class CatalogueError(FirstcapError):
    code = "catalogue"


class CatalogueBusyError(CatalogueError):
    """Another process holds the file for writing."""

    code = "catalogue_busy"
    exit_code = ExitCode.BUSY


class CatalogueVersionError(CatalogueError):
    code = "catalogue_version"


class ConflictError(CatalogueError):
    """Another person changed the item in between; nothing was written."""

    code = "conflict"


class QueryError(FirstcapError):
    """A person's SQL was refused or failed."""

    code = "query"
    exit_code = ExitCode.USAGE


class ValueRefusedError(FirstcapError):
    """A value typed by a person that cannot be understood as what the field asks for."""

    code = "value_refused"
    exit_code = ExitCode.USAGE
