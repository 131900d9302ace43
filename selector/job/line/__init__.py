"""What is typed on one line: the facts of a job as pairs, a reading as it is read off in the field."""
