"""What is bought for one bar or several over one shelf: offers, purchases as columns and rows, and the buying list."""
