"""A book's files to its site in place: what changed, what must be made from it, and the making."""
