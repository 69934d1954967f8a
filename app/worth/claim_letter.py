"""The letter that a claim begins with: the facts, the clause, what is asked. A person completes, decides and signs."""

from datetime import date

from firstcap.app.report import words
from firstcap.app.report.letter import Letter, Quote
from firstcap.app.report.paper import Paper
from firstcap.app.report.rows import DocumentRow
from firstcap.app.worth import claim_words as told
from firstcap.app.worth.cases import Case
from firstcap.app.worth.claim_paper import edition, lasting, quote_of
from firstcap.app.worth.prices import money
from firstcap.schema.vocabulary import DutyKind
from firstcap.store.catalogue import StoredTerm

_OPEN = "…"


def letter_of(case: Case, enclosure: Paper, *, sender: str | None, on: date, currency: str) -> Letter:
    """The letter to one supplier; what the program cannot know is a blank line or stands in brackets."""
    paragraphs: list[str | Quote] = [_what(case), *_clauses(case), _test(case), _ask(case, currency)]
    paragraphs += _duties(case)
    paragraphs.append(
        "The enclosure lists each meter with its dates, its registration and its results, and the clauses this letter "
        "rests on. Rights that we have beside this warranty are not waived by this letter."
    )
    return Letter(
        doubts=_doubts(case),
        sender=(sender or _OPEN, _OPEN),
        to=(case.supplier, _OPEN, _OPEN),
        subject=f"Warranty claim for {words.counted(len(case.claims), 'water meter')}: {_promises(case)}",
        paragraphs=tuple(paragraphs),
        open=f"Draft prepared on {on}. It is no claim until a person has checked it, completed it and signed it.",
        sign=("Signature", "Name", "Title", "Date"),
        enclosure=enclosure,
    )


def _doubts(case: Case) -> tuple[str, ...]:
    """What a person must settle before signing."""
    found = []
    if unconfirmed := sum(claim.unconfirmed for claim in case.claims):
        found.append(
            f"{words.counted(unconfirmed, 'meter')} claimed on a promise that the program read and no person has "
            "checked: confirm it first."
        )
    if earlier := sum(claim.may_have_begun_earlier for claim in case.claims):
        found.append(f"{words.counted(earlier, 'meter')} {told.BEGUN_EARLIER}")
    return tuple(found)


def _promises(case: Case) -> str:
    return words.joined(dict.fromkeys(told.LEVELS[stored.term.accuracy_level] for stored in case.terms))


def _document(document: DocumentRow) -> str:
    parts = [f"“{document.title}”" if document.title else None, edition(document) if document.document_code else None]
    named = ", ".join(filter(None, parts)) or document.file_name
    return f"{named}, effective {document.effective_from}" if document.effective_from else named


def _what(case: Case) -> str:
    documents = words.joined(map(_document, case.documents))
    several = len(case.claims) > 1
    edition_ = "the edition that was in force then" if len(case.documents) > 1 else "that edition"
    return (
        f"We claim under {documents} for the {words.counted(len(case.claims), 'meter')} listed in the enclosure. "
        f"{'Each' if several else 'It'} was shipped under {edition_}, and its accuracy was warranted on the day it was "
        "tested."
    )


def _clauses(case: Case) -> list[str | Quote]:
    """Each promise once in our words, with the document's own sentence or row."""
    found: list[str | Quote] = []
    seen: set[str] = set()
    for stored in case.terms:
        quote = quote_of(case, stored.term_id)
        if quote in seen:
            continue
        seen.add(quote)
        places = case.places.get(stored.term_id, ())
        place = next((one for one in places if one.quote == quote), None)
        found.append(Quote(quote, place, f"{words.capital(_promise(stored))}. Your document says:"))
    return found


def _promise(stored: StoredTerm) -> str:
    size = f" for {stored.term.size_label} meters" if stored.term.size_label else ""
    return f"{told.LEVELS[stored.term.accuracy_level]}{size}: {lasting(stored.term)}"


def _test(case: Case) -> str:
    days = sorted({claim.result.tested_on for claim in case.claims})
    when = f"on {days[0]}" if len(days) == 1 else f"between {days[0]} and {days[-1]}"
    it, each = ("them", "Each") if len(case.claims) > 1 else ("it", "It")
    spreads = [finding.run.uncertainty for claim in case.claims for _, finding in claim.result.runs]
    beyond = ", by more than the uncertainty of the test" if spreads and all(spreads) else ""
    return (
        f"We tested {it} {when} [as found, before cleaning; on which bench, with which certificate: to be completed]. "
        f"{each} registered outside the limits you promise at the flow named{beyond}."
    )


def _ask(case: Case, currency: str) -> str:
    remedies = list(dict.fromkeys(words.remedy(stored.term.remedy) for stored in case.terms if stored.term.remedy))
    asked = f"We ask for the remedy of your document: {words.joined(remedies, 'or')}. " if remedies else ""
    priced = [claim for claim in case.claims if claim.credit is not None]
    if not priced or case.credit is None:
        return f"{asked}Please tell us the price on which your share is reckoned." if _prorated(case) else asked.strip()
    left = len(case.claims) - len(priced)
    more = f"; {words.counted(left, 'meter')} more without a price here" if left else ""
    return (
        f"{asked}At the prices of the enclosure your share comes to {money(case.credit, currency)} for "
        f"{words.counted(len(priced), 'meter')}{more}."
    )


def _prorated(case: Case) -> bool:
    return any(claim.pays is None or claim.pays > 0 for claim in case.claims)


def _duties(case: Case) -> list[str]:
    """What the document asks of a claim, in the letter's words; nothing is said of what it does not ask."""
    kinds = {clause.kind: clause for clause in case.duties}
    said: list[str] = []
    notice = kinds.get(DutyKind.WRITTEN_NOTICE)
    if notice is not None:
        within = f" within {words.counted(notice.days, 'day')} of discovery" if notice.days else ""
        said.append(f"This letter is the notice in writing that your document asks for{within}.")
    if DutyKind.RETURN_AUTHORISATION in kinds:
        said.append("Please send us the return authorisation for these meters.")
    if DutyKind.RETURN_FREIGHT_CUSTOMER in kinds:
        said.append("We shall return them with freight prepaid.")
    if DutyKind.RETURN_FREIGHT_SUPPLIER in kinds:
        said.append("Please tell us how you pay the freight that your document puts on you.")
    if DutyKind.TEST_BY_STANDARD in kinds:
        said.append("The test records are enclosed [to be enclosed].")
    if DutyKind.PROOF_OF_DATE in kinds:
        said.append("Proof of the dates is enclosed [to be enclosed].")
    return [" ".join(said)] if said else []
