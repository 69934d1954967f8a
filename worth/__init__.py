"""What a promise is worth: pure arithmetic over quantities. No database, no files, no printing."""
