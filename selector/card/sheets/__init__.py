"""Sheets for people, printed as the card is: one page for the one who helps, one for the owner."""
