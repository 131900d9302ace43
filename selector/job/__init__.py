"""From the facts of a house to targets, a plan, marks and a verdict."""
