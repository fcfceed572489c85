"""Answers as pages to read in a browser and to print."""
