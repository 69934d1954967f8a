"""Mentions in their scope (heading, clause, row, column, footnote) become terms, with the alternatives not taken."""
