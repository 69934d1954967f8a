"""What a meter costs, by size: as given on the command line, `148.50` for every size or `5/8=148.50` for one."""

from collections.abc import Mapping, Sequence
from decimal import Decimal, InvalidOperation
from fractions import Fraction

from firstcap.app.report.rows import size_label
from firstcap.schema.errors import UsageError
from firstcap.schema.vocabulary import SIZE_BY_LABEL

EVERY_SIZE = ""


def prices_of(given: Sequence[str]) -> dict[str, Fraction]:
    """Size label, or EVERY_SIZE, to the price. UsageError for what is no price of a size."""
    prices: dict[str, Fraction] = {}
    for text in given:
        size, _, number = text.rpartition("=")
        label = size_label(size) if size.strip() else EVERY_SIZE
        if label not in SIZE_BY_LABEL and label != EVERY_SIZE:
            raise UsageError(f"{size.strip()!r} is no meter size; write a price as 148.50, or 5/8=148.50 for one size")
        try:
            price = Decimal(number.strip().replace(",", ""))
        except InvalidOperation:
            price = Decimal("NaN")
        if not price.is_finite() or price < 0:
            raise UsageError(f"{number.strip()!r} is no price; write 148.50, or 5/8=148.50 for one size")
        if label in prices:
            raise UsageError(f"two prices for {label or 'every size'}; give one")
        prices[label] = Fraction(price)
    return prices


def price_for(prices: Mapping[str, Fraction], size: str | None) -> Fraction | None:
    """The price of that size, else the one of every size; None where neither was given."""
    return prices.get(size or EVERY_SIZE, prices.get(EVERY_SIZE))


def money(amount: Fraction, currency: str) -> str:
    return f"{currency}{float(amount):,.2f}"
