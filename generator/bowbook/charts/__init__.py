"""Findings to pictures; a chart computes nothing."""
