"""Records as people keep them: CSV, Parquet, sheets."""
