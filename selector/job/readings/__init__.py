"""What was measured."""
