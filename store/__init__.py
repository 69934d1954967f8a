"""The catalogue: one DuckDB file, all SQL lives here."""
