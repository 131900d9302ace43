"""What can hurt someone: seen, measured, or worked out."""
