"""The grammar of a table file and the schema made from it."""
