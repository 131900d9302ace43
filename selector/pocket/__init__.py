"""The offline page for a phone."""
