"""Results as plain data."""
