"""A unit over the years: what each visit measured, what changed since the first, what is verified and what is owed."""
