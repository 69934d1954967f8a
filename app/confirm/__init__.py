"""Confirming: one core (next item, apply decision), several fronts."""
