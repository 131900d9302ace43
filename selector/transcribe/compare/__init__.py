"""A table held against its page or another table."""
