"""What is said of a folder of jobs."""
