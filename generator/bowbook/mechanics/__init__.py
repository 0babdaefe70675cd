"""The mechanics: numbers in SI go in, numbers come out; no files, no records."""
