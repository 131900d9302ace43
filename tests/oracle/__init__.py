"""A second reading of tables for the tests, written from the design without sight of the program."""
