"""The figures of a chart, and how each may have been mistyped."""
