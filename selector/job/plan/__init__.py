"""From a house to one setting."""
