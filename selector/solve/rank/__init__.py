"""The first k combinations, exactly; knows nothing of boards."""
