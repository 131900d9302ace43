"""Many boards at once: a verdict for every record."""
