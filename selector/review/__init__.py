"""Figures that may have been mistyped."""
