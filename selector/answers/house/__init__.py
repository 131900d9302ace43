"""What several answers say of a house: targets, allowed ranges, stages, what to measure."""
