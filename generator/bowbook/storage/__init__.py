"""Files on the disk: written whole, swapped whole, locked, and refused in sentences."""
