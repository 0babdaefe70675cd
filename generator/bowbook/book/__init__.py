"""What a book holds: records in SI, units, stock, and what is wrong with it."""
