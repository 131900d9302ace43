"""What people mistype who have never been told the rules of the file."""
