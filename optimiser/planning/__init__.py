"""What goes beyond one bar: several over one shelf as one programme, and what is bought for them; it knows no solver."""
