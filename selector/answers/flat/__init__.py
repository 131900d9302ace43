"""Answers as tables of plain values."""
