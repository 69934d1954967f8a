"""Numbered SQL files, each applied in one transaction with its record."""
