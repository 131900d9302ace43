"""One kind of slip a module."""
