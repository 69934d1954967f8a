"""Errors say to which file and page, and what the shell gets."""

import inspect

import pytest

from firstcap.schema import errors
from firstcap.schema.errors import CatalogueBusyError, DamagedError, ExitCode, FirstcapError, UsageError

TREE = [member for _, member in inspect.getmembers(errors, inspect.isclass) if issubclass(member, FirstcapError)]


def test_an_error_begins_with_its_file_and_page() -> None:
    assert str(DamagedError("cut short", file="a.pdf", page=3)) == "a.pdf, page 3: cut short"
    assert str(DamagedError("cut short", file="a.pdf")) == "a.pdf: cut short"
    assert str(UsageError("say which size")) == "say which size"


@pytest.mark.parametrize("kind", TREE)
def test_every_error_has_a_code_of_its_own_and_an_exit_code(kind: type[FirstcapError]) -> None:
    assert [other for other in TREE if other.code == kind.code] == [kind]
    assert kind.exit_code is not ExitCode.OK


def test_the_shell_can_tell_a_busy_catalogue_from_wrong_usage() -> None:
    assert (UsageError.exit_code, CatalogueBusyError.exit_code) == (ExitCode.USAGE, ExitCode.BUSY)
