"""What stands on the sheets for people: the one who helps at the unit, and the owner of the house."""
