"""What field readings come to: a duct traverse, a part's drop at another airflow, what a cooling coil delivers."""
