"""Rows from the public views turned into pages, charts and spreadsheets."""
