"""What is said of a unit over the years."""
