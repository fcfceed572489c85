"""The files people write, read into values and written back."""
