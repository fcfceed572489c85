"""Grams: evaluation, compliance, rounding, making steps and what must be said of them."""
