"""From a list of bench tests to claims: the report, a file a supplier, and the log of what was claimed."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from pathlib import Path

from firstcap.app.report.letter import Letter
from firstcap.app.report.paper import Paper, Place, Table
from firstcap.app.report.strips import strips_of
from firstcap.app.report.writers import WRITERS, write_whole
from firstcap.app.worth.bench import BenchResult, BenchTest, judged
from firstcap.app.worth.cases import Case, Claim, cases_of
from firstcap.app.worth.claim_letter import letter_of
from firstcap.app.worth.claim_paper import case_paper, claims_paper, enclosure_paper
from firstcap.app.worth.claim_words import reason_of
from firstcap.schema.claims import ClaimAction
from firstcap.schema.errors import UsageError
from firstcap.store.catalogue import Catalogue
from firstcap.store.claims import log, logged, put_tests
from firstcap.worth.claims import FLOW_TOLERANCE


@dataclass(frozen=True)
class Settings:
    """How results are judged and claims reckoned: see the options of `firstcap claims`."""

    on: date
    uncertainty: Fraction | None = None
    tolerance: Fraction = FLOW_TOLERANCE
    include_proposed: bool = False
    again: bool = False
    prices: Mapping[str, Fraction] | None = None
    currency: str = "$"
    sender: str | None = None


@dataclass(frozen=True)
class Outcome:
    results: tuple[BenchResult, ...]
    cases: tuple[Case, ...]
    paper: Paper

    @property
    def claims(self) -> tuple[Claim, ...]:
        return tuple(claim for case in self.cases for claim in case.claims)


def claims(
    catalogue: Catalogue, tests: Sequence[BenchTest], settings: Settings, problems: Table | None = None
) -> Outcome:
    """Judge the tests, keep them with their findings in the catalogue, and report; nothing is logged as claimed."""
    results = judged(
        catalogue,
        tests,
        include_proposed=settings.include_proposed,
        uncertainty=settings.uncertainty,
        tolerance=settings.tolerance,
    )
    _keep(catalogue, results)
    cases = cases_of(catalogue, results, logged(catalogue), settings.prices or {}, again=settings.again)
    paper = claims_paper(
        results,
        cases,
        problems,
        on=settings.on,
        currency=settings.currency,
        assumed_uncertainty=settings.uncertainty,
        include_proposed=settings.include_proposed,
    )
    return Outcome(tuple(results), tuple(cases), paper)


def _keep(catalogue: Catalogue, results: Sequence[BenchResult]) -> None:
    tests, findings = [], []
    for result in results:
        for test, finding in result.runs:
            spread = finding.run.uncertainty
            reading = None if test.reading_usgal is None else float(test.reading_usgal)
            numbers = (float(test.flow), float(test.registration), None if spread is None else float(spread), reading)
            tests.append((test.line, test.meter_id, test.tested_on, *numbers))
            by = finding.by
            cover = by.promise.cover if by else None
            ended = (cover.by, cover.on) if cover is not None and cover.in_force is False else (None, None)
            why = reason_of(BenchResult(result.meter_id, result.tested_on, result.meter, ((test, finding),)))
            limit = None if by is None or by.limit is None else float(by.limit)
            chance = None if by is None else by.chance_outside
            term = None if by is None else by.promise.term_id
            findings.append((test.line, finding.call, term, limit, chance, *ended, why))
    put_tests(catalogue, tests, findings)


def write_files(catalogue: Catalogue, outcome: Outcome, folder: Path, settings: Settings) -> list[Path]:
    """The claim file of each supplier in `folder`: to be sent, the letter with its enclosure as PDF; to be kept, all as
    XLSX and HTML, with the checklist and what was too close to call.

    UsageError where the folder or a file cannot be written, or the typesetter is not installed.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise UsageError(
            f"cannot be made ({error.strerror or error}); choose another place", file=str(folder)
        ) from error
    written = []
    for case in outcome.cases:
        if not case.claims:
            continue
        paper = case_paper(case, on=settings.on, currency=settings.currency)
        enclosure = enclosure_paper(case, on=settings.on, currency=settings.currency)
        letter = letter_of(case, enclosure, sender=settings.sender, on=settings.on, currency=settings.currency)
        strips = strips_of(catalogue, paper.places, with_heads=True)
        stem = folder / f"claim_{_file_name(case.supplier)}"
        for ending in (".pdf", ".xlsx", ".html"):
            out = stem.with_name(stem.name + ending)
            write_whole(out, _letter_writer(letter) if ending == ".pdf" else WRITERS[ending], paper, strips)
            written.append(out)
    out = folder / "claims.html"
    write_whole(out, WRITERS[".html"], outcome.paper, {})
    return [*written, out]


def _letter_writer(letter: Letter) -> Callable[[Paper, Path, dict[Place, str]], None]:
    from firstcap.app.report.typeset import write_letter

    return lambda _, out, strips: write_letter(letter, out, strips)


def _file_name(supplier: str) -> str:
    return re.sub(r"[^a-z0-9]+", "_", supplier.casefold()).strip("_") or "supplier"


def record(
    catalogue: Catalogue,
    outcome: Outcome,
    action: ClaimAction,
    reviewer: str,
    *,
    meters: Sequence[str] = (),
    note: str | None = None,
) -> int:
    """Log an act of a person on the claims of this list, or of these meters; how many were logged.

    An act that the log holds already as its last is not repeated. UsageError for a meter that has no claim here.
    """
    held = [claim for case in outcome.cases for claim in (*case.claims, *case.left_out)]
    known = {claim.result.meter_id for claim in held}
    unknown = [meter for meter in meters if meter not in known]
    if unknown:
        raise UsageError(f"no claim on meter {', '.join(unknown)} follows from this list of tests")
    chosen = [claim for claim in held if not meters or claim.result.meter_id in meters]
    acts = [claim.act(action, note) for claim in chosen if claim.before is None or claim.before.action is not action]
    log(catalogue, acts, reviewer)
    return len(acts)


def record_prepared(catalogue: Catalogue, outcome: Outcome, reviewer: str) -> None:
    """Log that claim files were written; a claim of which the log tells more already is left as it stands."""
    acts = [claim.act(ClaimAction.PREPARED) for claim in outcome.claims if claim.before is None]
    log(catalogue, acts, reviewer)
