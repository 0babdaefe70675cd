"""bowbook: build pages for hand-made bowed kites, from plain files to a printed site."""

__version__ = "1.0.0"
