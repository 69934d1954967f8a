"""The fleet: a utility's own meters against the promises of the catalogue."""
