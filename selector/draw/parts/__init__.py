"""Selectors of a board."""
