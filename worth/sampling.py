"""How many meters of a lot to test, and which: exact sample sizes, the published code letters, a draw to be repeated.

Shares and confidences are exact fractions, so that 1 − 0.9 is a tenth and nothing less. Formulas and worked examples:
docs/claims.md, "Test first".
"""

import hashlib
import math
from bisect import bisect_left
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

SEPARATOR = "|"  # between seed, lot and meter


def failing_in(lot: int, share: Fraction) -> int:
    """The fewest failing meters that make up at least `share` of the lot."""
    return math.ceil(lot * share)


def chance_of_passing(lot: int, failing: int, sample: int, accepted: int = 0) -> Fraction:
    """How likely a sample drawn without return shows at most `accepted` failing meters: the exact hypergeometric sum.

    >>> chance_of_passing(36, 1, 4)
    Fraction(8, 9)
    """
    if not (0 <= failing <= lot and 0 <= sample <= lot):
        raise ValueError("a lot holds neither more failing meters nor a larger sample than meters")
    # Sample and failing meters may change places; with the smaller one drawn the numbers stay small.
    drawn, marked = sorted((sample, failing))
    ways = sum(math.comb(marked, k) * math.comb(lot - marked, drawn - k) for k in range(min(accepted, drawn) + 1))
    return Fraction(ways, math.comb(lot, drawn))


def sample_size(lot: int, share: Fraction, confidence: Fraction, accepted: int = 0) -> int | None:
    """The smallest sample that a lot with `share` or more failing passes with a chance of at most 1 − confidence.

    None where the lot is so small that `accepted` failing meters are that share already: no sample can tell then.

    >>> sample_size(10, Fraction(1, 10), Fraction(9, 10)), sample_size(500, Fraction(5, 100), Fraction(95, 100))
    (9, 56)
    """
    if not (0 < share <= 1 and 0 < confidence < 1):
        raise ValueError("a share lies above 0 up to 1, a confidence between 0 and 1")
    failing, risk = failing_in(lot, share), 1 - confidence
    if lot == 0 or failing <= accepted:
        return None

    def enough(sample: int) -> bool:
        return chance_of_passing(lot, failing, sample, accepted) <= risk

    high = 1
    while high < lot and not enough(high):
        high *= 2
    low, high = high // 2, min(high, lot)
    return bisect_left(range(lot + 1), True, low, high, key=enough)


@dataclass(frozen=True)
class LetterPlan:
    """A row of the table of code letters: how many to test of a lot of that size."""

    letter: str
    sample: int


LETTER_SOURCE = (
    "ISO 2859-1 / ANSI/ASQ Z1.4, general inspection level II: code letters of lots of 151 to 35,000 and their sample "
    "sizes, as printed in a published copy of the tables"
)
# First lot size, letter, sample size. Only rows read in a published copy; the acceptance numbers were not (their
# columns are scrambled in it) and stand here nowhere.
_LETTERS = ((151, "G", 32), (281, "H", 50), (501, "J", 80), (1201, "K", 125), (3201, "L", 200), (10001, "M", 315))
_LARGEST_LOT = 35_000


def letter_plan(lot: int) -> LetterPlan | None:
    """The code letter and sample size for a lot; None outside the rows that were seen printed.

    >>> letter_plan(2000), letter_plan(150)
    (LetterPlan(letter='K', sample=125), None)
    """
    if lot > _LARGEST_LOT:
        return None
    return next((LetterPlan(letter, size) for first, letter, size in reversed(_LETTERS) if lot >= first), None)


def draw(meters: Iterable[str], sample: int, *, seed: str, lot: str) -> tuple[str, ...]:
    """The meters of a sample: those whose SHA-256 of seed, lot and meter id comes first.

    Nothing but the names decides: not their order, no state, no release of a language. Whoever has the list can repeat
    the draw with any program that knows SHA-256. A larger sample of the same lot contains the smaller one, and a meter
    that leaves the lot is replaced by one more and moves no other.
    """
    return tuple(sorted(set(meters), key=lambda meter: (lottery(seed, lot, meter), meter))[:sample])


def lottery(seed: str, lot: str, meter: str) -> str:
    """The number a meter is drawn by, as hexadecimal text."""
    return hashlib.sha256(SEPARATOR.join((seed, lot, meter)).encode()).hexdigest()
