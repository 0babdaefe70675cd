"""The next bow: planned for a wind or after a favourite, and what a friend needs to repeat a kite."""
