"""The problem as arrays: columns, rows, programme."""
