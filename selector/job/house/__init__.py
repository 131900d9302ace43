"""What is known of one house."""
