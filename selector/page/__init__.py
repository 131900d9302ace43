"""What a person looks at: drawings of the board, plots, the offline page."""
