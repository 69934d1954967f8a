"""A term is held against the others of its kind: what one size lacks and the others have was likely not read."""

from papers import paper

from firstcap.extract.assembly.assemble import assemble
from firstcap.schema.terms import Term

SURE = 0.9
BOTH = (
    "A {size} inch meter will register within the limits of AWWA C700 for new meters for {years} years "
    "from shipment or "
    "{cap} gallons, whichever comes first."
)
VOLUME = (
    "A {size} inch meter will register within the limits of AWWA C700 for new meters until it has registered {cap} "
    "gallons."
)


def accuracy(*sentences: str) -> list[Term]:
    terms, _ = assemble(paper("\n\n".join(sentences)), None, is_warranty=True)
    return sorted(terms, key=lambda term: term.size_label or "")


def test_the_size_that_lacks_the_years_of_all_others_is_not_sure() -> None:
    five, one = accuracy(
        BOTH.format(size="5/8", years="five", cap="500,000"), VOLUME.format(size="1", cap="1,000,000")
    )[::-1]
    assert (five.duration_months, one.duration_months) == (60, None)
    assert five.confidence >= SURE > one.confidence


def test_a_promise_by_volume_alone_may_be_sure_where_every_size_is_promised_so() -> None:
    terms = accuracy(VOLUME.format(size="5/8", cap="500,000"), VOLUME.format(size="1", cap="1,000,000"))
    assert [int(term.volume_cap_usgal or 0) for term in terms] == [1_000_000, 500_000]
    assert all(term.confidence >= SURE for term in terms)
