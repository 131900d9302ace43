"""Marks and facts of one board."""
