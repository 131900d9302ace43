"""One module for each kind of selector."""
