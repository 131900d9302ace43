"""Questions about a page, and the file they make."""
