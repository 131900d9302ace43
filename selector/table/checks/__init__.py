"""What the grammar cannot see."""
