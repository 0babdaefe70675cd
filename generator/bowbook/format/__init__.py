"""The file format: text to checked records, with a problem for whatever is wrong, and records back to text."""
