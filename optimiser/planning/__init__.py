"""What goes beyond one bar: several over one shelf; it extends the model and knows no solver."""
