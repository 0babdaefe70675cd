"""What a book holds: records in SI, units, stock, problems, and the kept copies of edited files."""
