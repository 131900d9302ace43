"""The checked model of a table: values, quantities, and what is said of them."""
