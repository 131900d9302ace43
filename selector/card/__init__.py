"""The card for the unit's door: one sheet, printed or as a page, and the code on it."""
