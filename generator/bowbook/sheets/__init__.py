"""The printable sheet of one kite: its words, its drawing, its full-size pattern."""
