"""Answers as people type them."""
