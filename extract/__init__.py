"""One PDF in, one Reading out. Pure: no database, no printing."""
