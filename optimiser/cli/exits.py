"""Exit codes."""

FOUND, NONE, BAD, FAULT, INTERRUPTED = 0, 1, 2, 3, 130
