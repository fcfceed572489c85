"""The batch record: what was made, from which lots, in one SQLite file."""
