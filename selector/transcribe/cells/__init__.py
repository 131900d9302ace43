"""A page as it was given, cell by cell."""
