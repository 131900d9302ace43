"""Settings searched, boards decoded."""
