"""What is said of what the rooms below found, by their codes: one line of words a code."""
