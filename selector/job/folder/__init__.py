"""A folder of jobs: which files are jobs, which of several versions is the newest, and how far each unit has come."""
