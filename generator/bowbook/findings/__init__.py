"""Checked records to findings: which mechanics apply, what was assumed, what is wanting.

The only room that knows both `book` and `bench`.
"""
