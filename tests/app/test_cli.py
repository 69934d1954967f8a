"""The command line: data on stdout, narration on stderr, exit codes that a script can act on."""

import io
import json
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType

import pytest

from firstcap.app import cli
from firstcap.schema.errors import DamagedError
from firstcap.schema.terms import Reading, Term
from firstcap.store import catalogue as store
from firstcap.store.catalogue import Catalogue

COMMANDS = ("read", "documents", "terms", "confirm", "query", "compare", "schema", "demo")
HEAVY = {"spacy", "pdfplumber", "duckdb", "pydantic", "pint", "rich", "jinja2", "starlette", "uvicorn"}
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capfd: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command line in an empty folder: exit code, stdout, stderr."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("FIRSTCAP_CATALOGUE", raising=False)

    def call(*arguments: str | Path, stdin: str = "") -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "stdin", io.StringIO(stdin))
        capfd.readouterr()
        code = 0
        try:
            cli.main([str(argument) for argument in arguments])
        except SystemExit as done:
            code = done.code if isinstance(done.code, int) else 1
        sys.stdout.flush()
        out, err = capfd.readouterr()
        return code, out, err

    return call


@pytest.fixture
def reader(monkeypatch: pytest.MonkeyPatch, stack: tuple[Reading, ...]) -> None:
    """A stand-in for the reader: files named after a reading of the stack hold it, all others are damaged."""
    module = ModuleType("firstcap.extract.reading")
    by_name = {one.file_name: one for one in stack}

    def read(path: Path, *, max_pages: int, ocr: bool) -> Reading:
        if path.name == "stop.pdf":
            raise KeyboardInterrupt
        if path.name not in by_name:
            raise DamagedError("the file ends early; ask for a new copy", file=path.name)
        from firstcap.app.read import file_id

        return by_name[path.name].model_copy(update={"document_id": file_id(path)})

    module.read = read  # type: ignore[attr-defined]
    module.READER = "reader for tests 1"  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "firstcap.extract.reading", module)


@pytest.fixture
def papers(tmp_path: Path) -> Path:
    folder = tmp_path / "papers"
    folder.mkdir()
    for name in ("quailbrush.pdf", "saltbush.pdf", "torn.pdf"):
        (folder / name).write_bytes(name.encode())
    return folder


# ---- help, version, hygiene -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("arguments", [[], *([command] for command in COMMANDS)], ids=["firstcap", *COMMANDS])
def test_help_imports_nothing_heavy(arguments: list[str]) -> None:
    program = (
        "import sys\n"
        "from firstcap.app.cli import main\n"
        "try:\n    main(sys.argv[1:])\n"
        "finally:\n    print('LOADED', *sorted(sys.modules), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, *arguments, "--help"], capture_output=True, text=True, check=True
    )
    loaded = set(done.stderr.partition("LOADED")[2].split())
    assert "typer" in loaded and "Usage: firstcap" in done.stdout
    own = {"pydantic"} if arguments else set()  # typer parses the options of a command with it
    assert loaded.isdisjoint(HEAVY - own)


def test_help_lists_every_command(run: Run) -> None:
    code, out, _ = run("--help")
    assert code == 0 and all(f"  {command} " in out for command in COMMANDS)


def test_version_is_the_package_s(run: Run) -> None:
    from importlib.metadata import version

    assert run("--version")[:2] == (0, f"firstcap {version('firstcap')}\n")


def test_the_module_runs_like_the_program() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "firstcap.app", "--version"], capture_output=True, text=True, check=True
    )
    assert done.stdout.startswith("firstcap ")


@pytest.mark.parametrize("arguments", [["nonsense"], ["read"], ["read", "--jobs", "0", "x"], ["compare"], ["query"]])
def test_wrong_usage_is_exit_code_2(run: Run, arguments: list[str]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "") and err


# ---- read -----------------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("reader")
def test_a_stack_with_one_bad_file_is_read_listed_and_exits_with_1(run: Run, papers: Path) -> None:
    code, out, err = run("read", papers, "--jobs", "1")
    lines = {line.split()[0]: line for line in out.splitlines() if ".pdf" in line}
    assert code == 1
    assert lines["quailbrush.pdf"].split() == [
        "quailbrush.pdf",
        "Quailbrush",
        "Meters",
        "W-410",
        "rev.",
        "C",
        "2",
        "2",
        "2",
        "to",
        "confirm",
    ]
    assert "failed: the file ends early; ask for a new copy" in lines["torn.pdf"]
    assert "3 terms in these documents, 3 to confirm" in err and "Next: firstcap confirm" in err
    assert (papers.parent / "firstcap.duckdb").exists()


@pytest.mark.usefixtures("reader")
def test_a_stack_without_a_bad_file_exits_with_0(run: Run, papers: Path) -> None:
    (papers / "torn.pdf").unlink()
    assert run("read", papers, "--jobs", "1")[0] == 0


@pytest.mark.usefixtures("reader")
def test_json_says_the_same_facts_for_machines(run: Run, papers: Path) -> None:
    code, out, _ = run("read", papers, "--jobs", "1", "--json")
    told = json.loads(out)
    assert code == 1
    assert told["counts"] == {"read": 2, "known": 0, "copy": 0, "failed": 1}
    first, _, torn = told["documents"]
    assert {key: first[key] for key in ("file_name", "supplier", "document_code", "revision", "effective_from")} == {
        "file_name": "quailbrush.pdf",
        "supplier": "Quailbrush Meters",
        "document_code": "W-410",
        "revision": "C",
        "effective_from": "2023-03-01",
    }
    assert (first["outcome"], first["status"], first["terms"], first["to_confirm"], first["warnings"]) == (
        "read", "to_confirm", 2, 2, 2,
    )  # fmt: skip
    assert (torn["status"], torn["error"], torn["message"]) == (
        "failed", "damaged", "the file ends early; ask for a new copy",
    )  # fmt: skip


@pytest.mark.usefixtures("reader")
def test_reading_again_reads_nothing_twice(run: Run, papers: Path) -> None:
    run("read", papers, "--jobs", "1")
    _, out, _ = run("read", papers, "--jobs", "1")
    assert out.count("already read") == 2
    assert json.loads(run("documents", "--json")[1])[0]["terms"] == 2


@pytest.mark.usefixtures("reader")
def test_a_supplier_named_later_stands_over_what_was_read(run: Run, papers: Path) -> None:
    run("read", papers, "--jobs", "1")
    run("read", papers / "saltbush.pdf", "--jobs", "1", "--supplier", "Greasewood Supply")
    suppliers = [row["supplier"] for row in json.loads(run("documents", "--json")[1])]
    assert suppliers[:2] == ["Quailbrush Meters", "Greasewood Supply"]


@pytest.mark.usefixtures("reader")
def test_ctrl_c_keeps_what_was_recorded(run: Run, papers: Path) -> None:
    (papers / "stop.pdf").write_bytes(b"stop")
    code, out, err = run("read", papers, "--jobs", "1")
    assert code == 130 and "stopped; 2 of 4 files not read" in err
    assert "quailbrush.pdf" in out and "torn.pdf" not in out
    assert len(json.loads(run("documents", "--json")[1])) == 2


def test_a_path_that_is_not_there_is_exit_code_2(run: Run) -> None:
    code, out, err = run("read", "nowhere.pdf")
    assert (code, out) == (2, "") and "nowhere.pdf: no such file or folder" in err


@pytest.mark.usefixtures("reader")
def test_the_catalogue_is_named_by_option_or_environment(
    run: Run, papers: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    run("read", papers, "--jobs", "1", "--catalogue", tmp_path / "one.duckdb")
    monkeypatch.setenv("FIRSTCAP_CATALOGUE", str(tmp_path / "two.duckdb"))
    run("read", papers, "--jobs", "1")
    assert (tmp_path / "one.duckdb").exists() and (tmp_path / "two.duckdb").exists()
    assert not (tmp_path / "firstcap.duckdb").exists()


# ---- looking --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "arguments",
    [["documents"], ["terms"], ["confirm", "--terminal"], ["query", "select 1"], ["compare", "--size", "5/8"]],
    ids=lambda arguments: arguments[0],
)
def test_without_a_catalogue_the_way_to_make_one_is_told(run: Run, arguments: list[str]) -> None:
    code, out, err = run(*arguments)
    assert (code, out) == (2, "") and "firstcap read FOLDER" in err


@pytest.mark.usefixtures("catalogue")
def test_documents_are_listed_with_the_reason_why_one_failed(run: Run) -> None:
    code, out, _ = run("documents")
    assert code == 0 and "failed: the file ends before its last page" in out


@pytest.mark.usefixtures("catalogue")
def test_terms_are_listed_as_sentences_with_their_state(run: Run) -> None:
    _, out, _ = run("terms", "--supplier", "saltbush")
    assert "saltbush.pdf  (Saltbush Instruments)" in out and "quailbrush" not in out
    assert "[proposed] The measuring element of the 5/8 in meter keeps new-meter accuracy for 120 months" in out
    assert run("terms", "--supplier", "nobody")[0] == 2


@pytest.mark.usefixtures("catalogue")
def test_a_query_answers_in_the_format_asked_for(run: Run, tmp_path: Path) -> None:
    sql = "select supplier, size_label, duration_months from terms order by duration_months desc limit 1"
    assert run("query", sql, "--format", "csv")[1].split() == [
        "supplier,size_label,duration_months",
        "Saltbush",
        "Instruments,5/8,120.0",
    ]
    assert json.loads(run("query", sql, "--format", "json")[1])[0]["duration_months"] == 120
    assert "Saltbush Instruments" in run("query", sql)[1]
    code, out, err = run("query", sql, "--out", tmp_path / "terms.parquet")
    assert (code, out) == (0, "") and "1 rows written" in err
    assert (tmp_path / "terms.parquet").read_bytes()[:4] == b"PAR1"


@pytest.mark.usefixtures("catalogue")
@pytest.mark.parametrize(
    "arguments", [["drop view terms"], ["select nothing from nowhere"], ["select 1", "--format", "pdf"]]
)
def test_a_query_that_is_refused_is_exit_code_2(run: Run, arguments: list[str]) -> None:
    code, out, err = run("query", *arguments)
    assert (code, out) == (2, "") and err.startswith("firstcap: ")


def test_the_schema_describes_every_field_of_a_reading_and_a_term(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("schema")
    described = json.loads(out)
    assert code == 0 and described["$ref"] == "#/$defs/Reading"
    assert set(described["$defs"]["Term"]["properties"]) == set(Term.model_fields)
    assert set(described["$defs"]["Reading"]["properties"]) == set(Reading.model_fields)
    run("schema", "--out", tmp_path / "schema.json")
    assert json.loads((tmp_path / "schema.json").read_text(encoding="utf-8")) == described


# ---- confirm --------------------------------------------------------------------------------------------------------


def test_a_port_that_is_taken_is_told_with_what_to_do(run: Run, catalogue: Catalogue) -> None:
    with socket.socket() as holder:
        holder.bind(("127.0.0.1", 0))
        holder.listen()
        port = str(holder.getsockname()[1])
        code, out, err = run("confirm", "--no-browser", "--port", port, "--catalogue", str(catalogue.path))
    assert (code, out) == (2, "") and "give another --port" in err


def test_confirming_reads_acts_from_standard_input(run: Run, catalogue: Catalogue) -> None:
    code, out, _ = run("confirm", "--terminal", "--reviewer", "R. Alder", "--document", "quail", stdin="y\ny\nq\n")
    assert code == 0 and "signed “R. Alder”" in out and "2 of 3 decided" in out
    assert len(catalogue.decisions()) == 2


def test_the_login_name_signs_where_no_reviewer_is_given(
    run: Run, monkeypatch: pytest.MonkeyPatch, catalogue: Catalogue
) -> None:
    monkeypatch.setenv("LOGNAME", "m.fescue")
    assert "signed “m.fescue”" in run("confirm", "--terminal", stdin="y\n")[1]
    assert [decision.reviewer for decision in catalogue.decisions()] == ["m.fescue"]


def test_a_sitting_that_is_killed_loses_nothing(catalogue: Catalogue) -> None:
    arguments = ["confirm", "--terminal", "--catalogue", str(catalogue.path), "--reviewer", "R. Alder"]
    with subprocess.Popen(
        [sys.executable, "-m", "firstcap.app", *arguments], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as sitting:
        assert sitting.stdin and sitting.stdout
        sitting.stdin.write("y\ny\n")
        sitting.stdin.flush()
        confirmed = 0
        for line in sitting.stdout:
            confirmed += line.startswith("Confirmed.")
            if confirmed == 2:
                break
        sitting.kill()
    assert [stored.state for stored in catalogue.terms()] == ["confirmed", "proposed", "proposed"]


# ---- a catalogue in use ---------------------------------------------------------------------------------------------


@pytest.fixture
def held(catalogue: Catalogue) -> Iterator[int]:
    """Another process has the file open for writing; its number."""
    program = f"import duckdb; c = duckdb.connect({str(catalogue.path)!r}); print('held', flush=True); input()"
    with subprocess.Popen(
        [sys.executable, "-c", program], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as holder:
        assert holder.stdout and holder.stdout.readline() == "held\n"
        yield holder.pid
        holder.kill()


@pytest.mark.usefixtures("reader")
def test_a_catalogue_in_use_is_exit_code_3_and_says_who_has_it(
    run: Run, held: int, papers: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = store.Catalogue.__init__
    monkeypatch.setattr(store.Catalogue, "__init__", lambda self, path: made(self, path, wait_seconds=0.1))
    for arguments in (["documents"], ["read", papers], ["confirm", "--terminal"]):
        begun = time.monotonic()
        code, out, err = run(*arguments)
        assert (code, out) == (3, "") and str(held) in err
        assert time.monotonic() - begun < 5
