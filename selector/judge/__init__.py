"""How one board stands under what is known: every stage, every limit, the board, every note that applies."""
