"""Checked records to findings: which mechanics apply, what was assumed, what is wanting."""
