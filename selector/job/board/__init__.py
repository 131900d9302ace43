"""How a board stands in a house."""
