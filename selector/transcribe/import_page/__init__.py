"""Charts of a page that was handed over."""
