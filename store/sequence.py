"""Numbers of rows, counted on from what the file holds. Safe because only one process at a time has it for writing."""

import duckdb

_COUNTED = {
    "readings": "SELECT max(reading_no) FROM base.readings",
    "files": "SELECT max(file_no) FROM base.files",
    "standing": "SELECT max(standing_no) FROM base.standing",
    "fleets": "SELECT max(fleet_no) FROM base.fleets",
    "meter_matches": "SELECT max(match_no) FROM base.meter_matches",
    "claims": "SELECT max(claim_no) FROM base.claims",
    "decisions": "SELECT max(decision_no) FROM base.decisions",
    "second_acts": "SELECT max(decision_no) FROM base.second_acts",
    "versions": "SELECT greatest((SELECT max(version_no) FROM base.term_versions), "
    "(SELECT max(version_no) FROM base.document_versions))",
}


class Numbers:
    """Hands out the next number of each kind within one transaction."""

    def __init__(self, connection: duckdb.DuckDBPyConnection) -> None:
        self._connection = connection
        self._last: dict[str, int] = {}

    def next(self, kind: str) -> int:
        if kind not in self._last:
            row = self._connection.execute(_COUNTED[kind]).fetchone()
            self._last[kind] = int(row[0] or 0) if row else 0
        self._last[kind] += 1
        return self._last[kind]
