"""A board as found, and the fewest moves."""
