"""What was measured, judged."""
