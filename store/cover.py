"""Sums over the cover of all meters on a day: one pass over meters and promises, then small tables from its result."""

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import duckdb

from firstcap.schema.errors import CatalogueError
from firstcap.store.catalogue import Catalogue, report_rows
from firstcap.store.rows import fetch

MEMORY = "3GB"
_ORDERED = 200_000  # meters whose rows are put in order before they are written
_COUNTS = """
  sum(meters)::BIGINT AS meters,
  coalesce(sum(meters) FILTER (WHERE covered), 0)::BIGINT AS covered,
  coalesce(sum(meters) FILTER (WHERE NOT covered AND doubt IS NULL AND ending_cap IN ('time', 'both')), 0)::BIGINT
    AS ended_by_time,
  coalesce(sum(meters) FILTER (WHERE NOT covered AND doubt IS NULL AND ending_cap = 'volume'), 0)::BIGINT
    AS ended_by_volume,
  coalesce(sum(meters) FILTER (WHERE NOT covered AND doubt = 'not_begun'), 0)::BIGINT AS not_begun,
  coalesce(sum(meters) FILTER (WHERE covered IS NULL), 0)::BIGINT AS cannot_tell,
  coalesce(sum(meters) FILTER (WHERE state = 'proposed'), 0)::BIGINT AS unconfirmed
"""
_KIND = "component, promise, accuracy_level"
_SUMS = """CREATE OR REPLACE TEMP TABLE sums AS
SELECT coalesce(n.supplier, n.supplier_written) AS supplier, s.size_label, s.shipped_year, t.term_id, s.covered,
  base.cap_word(s.cap_code) AS ending_cap, base.doubt_word(s.doubt_code) AS doubt,
  base.assumed_words(s.assumed_bits) AS assumed, s.end_month, s.meters,
  t.component, t.promise, t.accuracy_level, t.state, t.document_id
FROM (
  SELECT name_no, size_label, year(shipped_on)::INTEGER AS shipped_year, version_no, covered, cap_code, doubt_code,
    assumed_bits, CASE WHEN covered THEN (year(ends) * 12 + month(ends))::INTEGER END AS end_month, count(*) AS meters
  FROM (
    SELECT *, CASE WHEN isfinite(end_at) THEN end_at END AS ends
    FROM (SELECT * EXCLUDE (ends) FROM base.cover_on(?::DATE, include_proposed := ?))
  ) GROUP BY ALL
) AS s
JOIN base.named_lines AS n ON n.name_no = s.name_no
LEFT JOIN base.current_terms AS t ON t.version_no = s.version_no"""


@dataclass(frozen=True)
class Loss:
    """`meters` covers of one kind that end in a month (counted as 12 × year + month), by time or volume."""

    component: str
    promise: str
    accuracy_level: str | None
    month: int
    cap: str
    meters: int


class CoverSums:
    """Small tables about one day. Counts are of meters and promises together, but for `fleet` and `doubts`."""

    def __init__(self, connection: duckdb.DuckDBPyConnection, day: date) -> None:
        self._connection = connection
        self.day = day

    def _rows(self, sql: str, parameters: list[Any] | None = None) -> list[dict[str, Any]]:
        return fetch(self._connection, sql, parameters or [])

    def rows(self, sql: str, parameters: Sequence[object] = ()) -> list[dict[str, object]]:
        """Rows of the public views over the connection that is open: the sums are a source of views for reports too."""
        return report_rows(self._connection, sql, parameters)

    def fleet(self) -> dict[str, Any]:
        """The last list: its file, lines, meters, and how many of them have no promise."""
        [row] = self._rows(
            "SELECT file_name, lines, meters, settings FROM base.fleets ORDER BY fleet_no DESC LIMIT 1"
        ) or [{"file_name": None, "lines": 0, "meters": 0, "settings": "{}"}]
        [bare] = self._rows("SELECT coalesce(sum(meters), 0)::BIGINT AS bare FROM sums WHERE term_id IS NULL")
        return {**row, **bare, "settings": json.loads(row["settings"])}

    def kinds(self) -> list[dict[str, Any]]:
        """A row a kind of promise, of most meters first."""
        return self._rows(
            f"SELECT {_KIND}, {_COUNTS} FROM sums WHERE term_id IS NOT NULL GROUP BY ALL ORDER BY meters DESC, {_KIND}"
        )

    def by(self, dimension: str) -> list[dict[str, Any]]:
        """A row a supplier, size_label or shipped_year and kind of promise."""
        assert dimension in ("supplier", "size_label", "shipped_year")
        order = "z.nominal_mm" if dimension == "size_label" else f"s.{dimension}"
        return self._rows(
            f"""SELECT s.* FROM (
              SELECT {dimension}, {_KIND}, {_COUNTS} FROM sums WHERE term_id IS NOT NULL GROUP BY ALL
            ) AS s {"LEFT JOIN main.sizes AS z USING (size_label)" if dimension == "size_label" else ""}
            ORDER BY {order} NULLS LAST, s.{dimension}, meters DESC, {_KIND}"""
        )

    def doubts(self) -> list[dict[str, Any]]:
        """Why it cannot be told, or why there is no promise: a row a reason; `bare` counts meters without a promise."""
        return self._rows(
            """SELECT doubt, sum(meters)::BIGINT AS meters, bool_and(term_id IS NULL) AS bare
            FROM sums WHERE doubt IS NOT NULL AND doubt <> 'not_begun' GROUP BY doubt ORDER BY meters DESC, doubt"""
        )

    def assumptions(self) -> list[dict[str, Any]]:
        return self._rows(
            """SELECT assumption, sum(meters)::BIGINT AS meters
            FROM (SELECT unnest(string_split(assumed, ', ')) AS assumption, meters FROM sums WHERE assumed IS NOT NULL)
            GROUP BY assumption ORDER BY meters DESC, assumption"""
        )

    def losses(self) -> list[Loss]:
        """Covers that still hold, by the month in which they end; those without an end in sight are not here."""
        rows = self._rows(
            f"""SELECT {_KIND}, end_month AS month, ending_cap AS cap, sum(meters)::BIGINT AS meters FROM sums
            WHERE covered AND end_month IS NOT NULL GROUP BY ALL ORDER BY {_KIND}, month, cap"""
        )
        return [Loss(**row) for row in rows]

    def terms(self, most: int) -> list[dict[str, Any]]:
        """The promises that the fleet has, those of most meters first."""
        return self._rows(
            f"""SELECT supplier, size_label, term_id, document_id, {_KIND}, state, sum(meters)::BIGINT AS meters
            FROM sums WHERE term_id IS NOT NULL GROUP BY ALL ORDER BY meters DESC, term_id LIMIT {most}"""
        )

    def problems(self) -> list[dict[str, Any]]:
        return self._rows(
            """SELECT kind, meter_used, count(*) AS lines FROM base.fleet_problems GROUP BY ALL
            ORDER BY meter_used, lines DESC, kind"""
        )

    def problem_lines(self, most: int) -> list[dict[str, Any]]:
        return self._rows(
            f"SELECT * FROM base.fleet_problems ORDER BY meter_used, line_no, kind, column_name LIMIT {most}"
        )

    def sizes(self) -> list[dict[str, Any]]:
        return self._rows("SELECT size_label, count(*) AS meters FROM base.meters GROUP BY ALL ORDER BY meters DESC, 1")

    def spots(self, size: str, years: float, usgal: float) -> list[tuple[float, float, int]]:
        """Where the meters of a size stand: years since shipment and US gallons at their last reading, in cells.

        `years` and `usgal` are the width and height of a cell; each spot is the middle of one and how many lie in it.
        """
        rows = self._connection.execute(
            """SELECT (x + 0.5) * ?, (y + 0.5) * ?, count(*) FROM (
              SELECT floor((reading_on - coalesce(shipped_on, installed_on)) / 365.25 / ?)::INTEGER AS x,
                floor(reading_usgal / ?)::INTEGER AS y
              FROM base.meters WHERE size_label = ? AND reading_usgal IS NOT NULL
            ) WHERE x >= 0 GROUP BY x, y ORDER BY x, y""",
            [years, usgal, years, usgal, size],
        ).fetchall()
        return [(float(x), float(y), int(count)) for x, y, count in rows]

    def extent(self, size: str) -> tuple[float, float]:
        """Years and US gallons that 99 of 100 meters of a size do not exceed."""
        [row] = self._connection.execute(
            """SELECT coalesce(approx_quantile((reading_on - coalesce(shipped_on, installed_on)) / 365.25, 0.99), 0),
              coalesce(approx_quantile(reading_usgal, 0.99), 0)
            FROM base.meters WHERE size_label = ? AND reading_usgal IS NOT NULL""",
            [size],
        ).fetchall()
        return float(row[0]), float(row[1])

    def details(self, most: int, include_proposed: bool) -> list[dict[str, Any]] | None:
        """Every row of the cover, in the order of the list; None where there are more than `most`."""
        [row] = self._rows("SELECT coalesce(sum(meters), 0)::BIGINT AS count FROM sums")
        if row["count"] > most:
            return None
        return self._rows(
            "SELECT * FROM meter_cover_on(?::DATE, include_proposed := ?) "
            "ORDER BY line_no, component, promise, term_id",
            [self.day, include_proposed],
        )


@contextmanager
def cover_sums(
    catalogue: Catalogue, day: date, *, include_proposed: bool = False, memory: str = MEMORY
) -> Iterator[CoverSums]:
    """The sums of a day, as long as the catalogue is held open for reading."""
    with catalogue.reading({"memory_limit": memory}) as connection:
        connection.execute(_SUMS, [day, include_proposed])
        yield CoverSums(connection, day)


def write_cover(
    catalogue: Catalogue, day: date, out: Path, *, include_proposed: bool = False, memory: str = MEMORY
) -> int:
    """Every meter and promise as CSV, streamed to a file that appears whole or not at all; how many rows.

    In the order of the list where it is not too long for that, else as they come.
    CatalogueError where it cannot be written.
    """
    unfinished = out.with_name(f".{out.stem}.part{out.suffix}")
    target = str(unfinished).replace("'", "''")
    try:
        with catalogue.reading({"memory_limit": memory}) as connection:
            [meters] = connection.execute("SELECT count(*) FROM base.meters").fetchall()[0]
            order = "ORDER BY line_no, component, promise, term_id" if meters <= _ORDERED else ""
            connection.execute(f"SET preserve_insertion_order = {bool(order)}")
            [row] = connection.execute(
                f"COPY (SELECT * FROM meter_cover_on(?::DATE, include_proposed := ?) {order}) "
                f"TO '{target}' (FORMAT csv, HEADER)",
                [day, include_proposed],
            ).fetchall()
        unfinished.replace(out)
        return int(row[0])
    except (OSError, duckdb.IOException) as error:
        raise CatalogueError(f"cannot be written ({error}); choose another place", file=str(out)) from error
    finally:
        unfinished.unlink(missing_ok=True)


def write_problems(catalogue: Catalogue, out: Path) -> int:
    """What of the list could not be used, as CSV in the order of its lines; how many rows."""
    target = str(out).replace("'", "''")
    with catalogue.reading() as connection:
        [row] = connection.execute(
            "COPY (SELECT * FROM meter_problems ORDER BY line_no, kind, column_name) "
            f"TO '{target}' (FORMAT csv, HEADER)"
        ).fetchall()
    return int(row[0])
