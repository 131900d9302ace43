"""Targets and limits of every call."""
