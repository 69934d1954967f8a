"""Owns the demo's fleet: what `fleet`, `test-first` and `claims` make of its invented meters and bench tests.

The options are told as they would be typed, so that a person can run the same and change them.
"""

import shlex
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from firstcap.store.catalogue import Catalogue

METERS = "meters.csv"
TESTS = "bench_tests.csv"
DAY = date(2026, 7, 1)  # the day of the scenario, not of the reader
WITHIN_MONTHS = 12
PRICES = ("5/8=148.50", "3/4=182", "1=236")
TARIFF = "7.20"
SENDER = "Pinyon Ridge Water District"


@dataclass(frozen=True)
class FleetOutputs:
    """What was written, and in one line what the bench tests came to."""

    cover: Path
    test_first: Path
    claims: Path
    letters: tuple[Path, ...]
    found: str
    meters: int
    tested: int
    tests: int

    def lines(self) -> list[str]:
        """For a person: each file with what is in it."""
        return [
            f"Cover of {self.meters:,} invented meters on {DAY}: {self.cover}",
            f"What to test before its accuracy cover ends within {WITHIN_MONTHS} months: {self.test_first}",
            f"{self.tests:,} invented bench tests of {self.tested:,} meters: {self.claims}",
            f"  {self.found}",
            *(f"  Letter to complete and sign, with its enclosure: {letter}" for letter in self.letters),
        ]


def look_at_fleet(catalogue: "Catalogue", folder: Path, reviewer: str) -> FleetOutputs:
    """Do all three, with promises still to be confirmed and the clearly nearest names taken. Writes into `folder`.

    Where the typesetter is not installed there are no letters, and `found` says so.
    """
    from fractions import Fraction

    from firstcap.app.fleet.bench_list import bench_list
    from firstcap.app.fleet.importing import import_list
    from firstcap.app.fleet.matching import match_names, take_near
    from firstcap.app.fleet.output import deliver
    from firstcap.app.fleet.units import gallons_in
    from firstcap.app.report.writers import deliver as deliver_paper
    from firstcap.app.worth import claims as library
    from firstcap.app.worth.prices import prices_of
    from firstcap.app.worth.test_first import Worth, test_first
    from firstcap.schema.errors import UsageError

    imported = import_list(catalogue, folder / METERS, day=DAY)
    match_names(catalogue, reviewer, take_near)
    cover, first = folder / "fleet.html", folder / "test-first.html"
    deliver(catalogue, DAY, [cover], include_proposed=True)
    gallons = gallons_in("kgal")
    assert gallons is not None
    worth = Worth(prices_of(PRICES), Fraction(TARIFF) / gallons)
    deliver_paper(test_first(catalogue, DAY, WITHIN_MONTHS, worth=worth, include_proposed=True), first)
    settings = library.Settings(DAY, include_proposed=True, prices=prices_of(PRICES), sender=SENDER)
    held = bench_list(folder / TESTS, day=DAY)
    outcome = library.claims(catalogue, held.tests, settings, held.table)
    found = outcome.paper.statuses[0].text
    counts = (imported.lines, len({test.meter_id for test in held.tests}), len(held.tests))
    try:
        written = library.write_files(catalogue, outcome, folder / "claims", settings)
    except UsageError as error:
        report = folder / "claims.html"
        deliver_paper(outcome.paper, report)
        return FleetOutputs(cover, first, report, (), f"{found} No letters: {error}", *counts)
    letters = tuple(path for path in written if path.suffix == ".pdf")
    return FleetOutputs(cover, first, written[-1], letters, found, *counts)


def commands(folder: Path, catalogue: str) -> list[str]:
    """The same as commands to type, in lines that may be continued."""

    def place(name: str) -> str:
        return shlex.quote(str(folder / name))

    prices = " ".join(f"--price {price}" for price in PRICES)
    return [
        f"firstcap fleet {place(METERS)} --on {DAY} --include-proposed --catalogue {catalogue} \\",
        f"  --names near --out {place('cover.csv')}",
        f"firstcap test-first --within {WITHIN_MONTHS} --on {DAY} --include-proposed --catalogue {catalogue} \\",
        f"  {prices} --tariff {TARIFF} --out {place('test-first.csv')}",
        f"firstcap claims {place(TESTS)} --on {DAY} --include-proposed --catalogue {catalogue} \\",
        f'  {prices} --sender "{SENDER}" --out {place("claims")}',
    ]
