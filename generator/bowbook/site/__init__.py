"""Findings and a theme to the files of a published book."""
