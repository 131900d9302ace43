"""The job file: its keys, its text, its values."""
