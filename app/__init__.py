"""What people touch: the command line, the confirming fronts and the reports."""
