"""Arrays, regression and distributions; knows no soap."""
