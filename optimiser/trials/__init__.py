"""What happened at the bench, and scales fitted to it."""
