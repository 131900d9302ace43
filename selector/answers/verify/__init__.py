"""What `verify` says: the answer, and its parts: the verdict, what to do, the figures, the record."""
