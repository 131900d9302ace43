"""Finds the setting of a variable-speed blower's control board, and reads one back."""

__version__ = "0.1.0"
