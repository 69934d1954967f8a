"""Which supplier and line of the catalogue the names in a list of meters stand for: what is open, and what was said."""

from collections.abc import Sequence
from dataclasses import dataclass

from firstcap.store.catalogue import Catalogue, next_moment
from firstcap.store.rows import fetch, insert
from firstcap.store.sequence import Numbers

SUPPLIER, PRODUCT = "supplier", "product"


@dataclass(frozen=True)
class Written:
    """A supplier and product as the list writes them, and how many meters have them. `why_not` names what is open,
    `product_said` that somebody has said what the product stands for."""

    supplier_written: str
    product_written: str | None
    meters: int
    supplier: str | None
    product_said: bool
    why_not: str | None


@dataclass(frozen=True)
class Line:
    """What a supplier gives: a form (a document's code, or its id), one product of it or all, and words for it."""

    supplier: str
    form: str
    product: str | None
    words: tuple[str, ...]


@dataclass(frozen=True)
class NameMatch:
    """What a name stands for. `supplier` None, or for a product `form` None: nothing in the catalogue.

    `told` names it for a person, where a form has no code of its own.
    """

    kind: str
    supplier_written: str
    product_written: str | None
    supplier: str | None
    form: str | None = None
    product: str | None = None
    score: float | None = None
    told: str = ""


def written_names(catalogue: Catalogue) -> list[Written]:
    """Every pair of names in the list of meters, those of most meters first."""
    with catalogue.reading() as connection:
        rows = fetch(connection, _WRITTEN)
    return [Written(**row) for row in rows]


_WRITTEN = """
SELECT n.supplier_written, n.product_written, m.meters, n.supplier, n.product_said, n.why_not
FROM base.named_lines AS n JOIN base.meter_names AS m ON m.name_no = n.name_no
ORDER BY m.meters DESC, n.supplier_written, n.product_written NULLS FIRST
"""
_LINES = """
SELECT f.supplier, f.form, t.product, list_distinct(list(d.title)) AS titles,
  list_distinct(list(d.document_code)) AS codes, list_distinct(list(t.meter_type)) AS types
FROM base.in_force AS f
JOIN main.documents AS d ON d.document_id = f.document_id
JOIN (SELECT DISTINCT document_id, product, meter_type FROM main.terms WHERE state <> 'struck') AS t
  ON t.document_id = f.document_id
GROUP BY f.supplier, f.form, t.product ORDER BY ALL
"""


def catalogue_lines(catalogue: Catalogue) -> list[Line]:
    """Every supplier's forms and products that promise something."""
    with catalogue.reading() as connection:
        rows = fetch(connection, _LINES)
    lines = []
    for row in rows:
        types = [kind.replace("_", " ") for kind in row["types"] if kind]
        named = [row["product"], *row["titles"], *row["codes"], *types]
        lines.append(Line(row["supplier"], row["form"], row["product"], tuple(word for word in named if word)))
    return lines


def remember(catalogue: Catalogue, reviewer: str, matches: Sequence[NameMatch]) -> None:
    """Append what was said of names; the last word on a name holds."""
    if not matches:
        return
    with catalogue.writing() as connection:
        numbers, moment = Numbers(connection), next_moment(connection)
        rows = [
            (
                numbers.next("meter_matches"),
                moment,
                reviewer,
                match.kind,
                match.supplier_written,
                match.product_written,
                match.supplier,
                match.form,
                match.product,
                match.score,
            )
            for match in matches
        ]
        insert(connection, "base.meter_matches", rows)
