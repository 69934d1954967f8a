"""The way a new user goes, with the real reader: a folder of papers in, acts typed, answers and a comparison out."""

import json
import shutil
import subprocess
import sys
from importlib.resources import as_file, files
from pathlib import Path

import pytest
from pypdfium2 import PdfDocument
from pypdfium2.raw import FPDF_PAGEOBJ_IMAGE

from firstcap.app.demo import STACK

PAPERS = ("cobblemere_letter.pdf", "saltgrove_disc_rev6.pdf", "wexlow_damaged.pdf")


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("district")
    (folder / "papers").mkdir()
    for name in PAPERS:
        with as_file(files(STACK).joinpath(name)) as paper:
            shutil.copy(paper, folder / "papers" / name)
    (folder / "papers" / "notes.pdf").write_text("no PDF at all", encoding="utf-8")
    return folder


def firstcap(place: Path, *arguments: str, stdin: str = "") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "firstcap.app", *arguments]
    return subprocess.run(command, cwd=place, input=stdin, capture_output=True, text=True, check=False)


def test_read_confirm_query_compare_and_claim_follow_one_another(place: Path) -> None:
    read = firstcap(place, "read", "papers", "--jobs", "2", "--json")
    told = {document["file_name"]: document for document in json.loads(read.stdout)["documents"]}
    assert read.returncode == 1 and len(told) == 4
    assert (told["wexlow_damaged.pdf"]["error"], told["notes.pdf"]["error"]) == ("damaged", "not_a_pdf")
    assert told["saltgrove_disc_rev6.pdf"]["terms"] > 3 and told["cobblemere_letter.pdf"]["terms"] > 0

    acts = "y\ny\nf remedy refund\ny\n"
    signed = ("--reviewer", "R. Alder", "--document", "saltgrove")
    sitting = firstcap(place, "confirm", "--terminal", *signed, stdin=acts)
    assert sitting.returncode == 0 and "p. 1 “" in sitting.stdout

    sql = "select state, count(*) as n from terms where state <> 'proposed' group by state order by state"
    answer = firstcap(place, "query", sql, "--format", "csv")
    assert answer.stdout.split() == ["state,n", "confirmed,1", "corrected,1"]

    compared = firstcap(place, "compare", "--size", "5/8", "--out", "comparison.html")
    assert compared.returncode == 0
    assert "Saltgrove" in (place / "comparison.html").read_text(encoding="utf-8")

    (place / "meters.csv").write_text("Badge,Make,Size,Sent out\nM-1,Saltgrove Meter Works,5/8,2025-03-03\n")
    (place / "bench.csv").write_text("Badge,When,GPM,Accuracy,Odometer (gal)\nM-1,2026-06-02,0.25,88.0,90000\n")
    (place / "meters.toml").write_text('[columns]\nmeter_id = "Badge"\nshipped_on = "Sent out"\n')
    (place / "bench.toml").write_text('flow_unit = "gpm"\n[columns]\ntested_on = "When"\nflow = "GPM"\n')
    day = ("--on", "2026-07-01", "--include-proposed")
    fleet = firstcap(place, "fleet", "meters.csv", "--columns", "meters.toml", *day, "--out", "cover.csv")
    assert fleet.returncode == 0 and "1 of 1 lines of meters.csv used" in fleet.stderr
    claimed = firstcap(place, "claims", "bench.csv", "--columns", "bench.toml", *day, "--out", "claims")
    assert claimed.returncode == 0 and "1 meter claimable of 1 tested" in claimed.stderr, claimed.stderr
    letter = PdfDocument(place / "claims" / "claim_saltgrove_meter_works.pdf")[0]
    drawn = [item for item in letter.get_objects(max_depth=4) if item.type == FPDF_PAGEOBJ_IMAGE]
    assert drawn, "beside the clause stands the strip of the page it was read from"
