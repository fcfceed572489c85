"""What is asked and what there is, as values; knows no files."""
