"""The words that several answers share, each wording in one place: records in, text out."""
