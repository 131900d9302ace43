"""Where tables are."""
