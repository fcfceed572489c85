"""What an answer means: prices, savings, ranges, conflicts and the smallest changes that end them."""
