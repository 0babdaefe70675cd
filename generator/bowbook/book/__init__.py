"""Files to checked records: quantities, faults, stock, kites."""
