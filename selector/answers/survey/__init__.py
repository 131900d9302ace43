"""What `survey` says: of one record, and of all of them."""
