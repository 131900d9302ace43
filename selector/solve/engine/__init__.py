"""One table under given facts as instructions, and what one setting gives."""
