"""What may be asked of a bar and a batch: measures, quantities, house practice, a maker's own scales."""
