"""A description to text, SVG and shapes."""
