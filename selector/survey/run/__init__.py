"""Carrying a survey out, part by part."""
