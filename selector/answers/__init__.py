"""What every command says, once."""
