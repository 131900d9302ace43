"""What people see, smell and hear at a unit, and what it means."""
