"""From text to a checked table: source, places, grammar, model; one module for each kind of selector."""
