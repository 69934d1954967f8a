"""How long a fleet takes, and how much memory: `python bench/fleet.py [METERS] [--memory 3GB]`, a million unless given.

An invented catalogue (40 suppliers, 3 editions each, 10 promises for each of 15 sizes: 18,000 terms) and an invented
list of meters. Each step runs in a process of its own, so that its peak of resident memory is its own. Seconds depend
on the machine; the ratio to the plainest thing that can be done with the list, counting its lines, says more.
"""

import argparse
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

SUPPLIERS, EDITIONS = 40, 3
SIZES = "5/8 5/8x3/4 3/4 3/4x1 1 1-1/4 1-1/2 2 3 4 6 8 10 12 16".split()
DAY = date(2026, 7, 1)
FIRST, SPAN = date(2010, 1, 1), 5_600  # days over which meters were shipped


def catalogue(folder: Path, meters: int, memory: str) -> int:
    """Write the catalogue, every term still to be confirmed; its number of terms."""
    from firstcap.schema.terms import DocumentFacts, Limit, Reading, Term
    from firstcap.store.catalogue import Catalogue

    store = Catalogue(folder / "catalogue.duckdb")
    for supplier in range(SUPPLIERS):
        for edition in range(EDITIONS):
            terms = []
            for size in SIZES:
                for number in range(10):
                    years, cap = 1 + 2 * number + edition, Decimal(100_000 * (number + 3))
                    limits = [Limit(kind="time", months=Decimal(12 * years), start_event="shipment")]
                    if number % 2:
                        limits.append(Limit(kind="volume", usgal=cap))
                    if number == 4:
                        limits.append(Limit(kind="time", months=Decimal(6 * years), start_event="installation"))
                    terms.append(
                        Term(
                            component="whole_meter",
                            promise="accuracy" if number % 2 else "materials_workmanship",
                            variant=str(number),
                            size_label=size,
                            ends="first_of" if len(limits) > 1 else "time_only",
                            start_rule="single",
                            start_event="shipment",
                            duration_months=Decimal(12 * years),
                            volume_cap_usgal=cap if number % 2 else None,
                            limits=tuple(limits),
                        )
                    )
            name = f"supplier {supplier} edition {edition}"
            facts = DocumentFacts(
                supplier=f"Invented Supplier {supplier}",
                document_code=f"IS-{supplier}",
                effective_from=FIRST + timedelta(days=edition * SPAN // EDITIONS),
            )
            document_id = f"{supplier * EDITIONS + edition:064x}"
            store.record(
                Reading(
                    document_id=document_id,
                    file_name=f"{name}.pdf",
                    pages=1,
                    text_source="text",
                    facts=facts,
                    terms=tuple(terms),
                    reader="1",
                )
            )
    return SUPPLIERS * EDITIONS * len(SIZES) * 10


def list_of(folder: Path, meters: int, memory: str) -> int:
    """Write the list of meters; its bytes."""
    import duckdb

    sizes = ", ".join(f"'{size}'" for size in [*["5/8"] * 12, *SIZES])
    out = folder / "meters.csv"
    duckdb.connect(config={"memory_limit": "2GB"}).execute(
        f"""COPY (
          SELECT 'PR-' || i AS "Meter ID", 'Invented Supplier ' || (hash(i) % {SUPPLIERS}) AS "Make",
            [{sizes}][1 + (hash(i + 1) % 27)::INTEGER] AS "Size",
            strftime(DATE '{FIRST}' + (hash(i + 2) % {SPAN})::INTEGER, '%m/%d/%Y') AS "Ship Date",
            strftime(DATE '{FIRST}' + (hash(i + 2) % {SPAN} + 20 + hash(i + 3) % 300)::INTEGER, '%m/%d/%Y')
              AS "Install Date",
            (hash(i + 4) % 1500)::INTEGER AS "Reading (CCF)",
            strftime(DATE '{DAY}' - (hash(i + 5) % 30)::INTEGER, '%m/%d/%Y') AS "Read Date",
            (20 + hash(i + 6) % 160)::INTEGER AS "Annual Use (CCF)"
          FROM range({meters}) AS t(i)
        ) TO '{out}' (HEADER)"""
    )
    return out.stat().st_size


def counted(folder: Path, meters: int, memory: str) -> int:
    """The plainest thing: how many lines the list has."""
    import duckdb

    reader = f"read_csv('{folder / 'meters.csv'}', all_varchar = true)"
    [row] = duckdb.connect(config={"memory_limit": memory}).execute(f"SELECT count(*) FROM {reader}").fetchall()
    return int(row[0])


def imported(folder: Path, meters: int, memory: str) -> int:
    """The list into the catalogue, names matched; its meters."""
    from firstcap.app.fleet.importing import import_list
    from firstcap.app.fleet.matching import match_names, take_none
    from firstcap.store.catalogue import Catalogue

    store = Catalogue(folder / "catalogue.duckdb")
    done = import_list(store, folder / "meters.csv", day=DAY, memory=memory)
    match_names(store, "bench", take_none)
    return done.meters


def summed(folder: Path, meters: int, memory: str) -> int:
    """Every promise of every meter, summed for the report; how many there are."""
    from firstcap.store.catalogue import Catalogue
    from firstcap.store.cover import cover_sums

    with cover_sums(Catalogue(folder / "catalogue.duckdb"), DAY, include_proposed=True, memory=memory) as sums:
        return sum(int(row["meters"]) for row in sums.kinds())


def written(folder: Path, meters: int, memory: str) -> int:
    """Every promise of every meter as CSV; how many rows."""
    from firstcap.store.catalogue import Catalogue
    from firstcap.store.cover import write_cover

    store = Catalogue(folder / "catalogue.duckdb")
    rows = write_cover(store, DAY, folder / "cover.csv", include_proposed=True, memory=memory)
    (folder / "cover.csv").unlink()
    return rows


STEPS: dict[str, Callable[[Path, int, str], int]] = {
    step.__name__: step for step in (catalogue, list_of, counted, imported, summed, written)
}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("meters", type=int, nargs="?", default=1_000_000)
    parser.add_argument("--memory", default="3GB", help="what DuckDB may use")
    parser.add_argument("--folder", type=Path, help="where the files lie; kept, and made where they are not there")
    parser.add_argument("--step", choices=STEPS, help=argparse.SUPPRESS)
    parser.add_argument("--skip", nargs="*", choices=STEPS, default=(), help="steps to leave out")
    asked = parser.parse_args()
    if asked.step:
        began = time.perf_counter()
        result = STEPS[asked.step](asked.folder, asked.meters, asked.memory)
        used = resource.getrusage(resource.RUSAGE_SELF)
        seconds = time.perf_counter() - began
        print(json.dumps([result, seconds, used.ru_utime + used.ru_stime, used.ru_maxrss / 1e6]))
        return
    with tempfile.TemporaryDirectory() as made:
        folder = asked.folder or Path(made)
        folder.mkdir(parents=True, exist_ok=True)
        _measure(asked, folder)


def _measure(asked: argparse.Namespace, folder: Path) -> None:
    print(f"{asked.meters:,} meters, {os.cpu_count()} cores, DuckDB may use {asked.memory}")
    print(f"{'step':10} {'result':>14} {'seconds':>9} {'cpu s':>8} {'ratio':>7} {'peak GB':>8}")
    plain = None
    for step in STEPS:
        there = {"catalogue": "catalogue.duckdb", "list_of": "meters.csv"}.get(step)
        if step in asked.skip or (there and (folder / there).exists()):
            continue
        command = [sys.executable, __file__, str(asked.meters), "--step", step, "--folder", str(folder)]
        done = subprocess.run([*command, "--memory", asked.memory], stdout=subprocess.PIPE, text=True, check=True)
        result, seconds, cpu, peak = json.loads(done.stdout.splitlines()[-1])
        plain = seconds if step == "counted" else plain
        ratio = f"{seconds / plain:.1f}" if plain else ""
        print(f"{step:10} {result:>14,} {seconds:>9.1f} {cpu:>8.1f} {ratio:>7} {peak:>8.2f}", flush=True)


if __name__ == "__main__":
    main()
