"""A board whose manual is missing."""
