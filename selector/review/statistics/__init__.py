"""How the figures of a chart hang together."""
