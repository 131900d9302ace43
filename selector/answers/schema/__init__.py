"""The published shapes of answers."""
