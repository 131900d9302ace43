"""The text of a file as names, words and values, each with its place."""
