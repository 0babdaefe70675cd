"""Every figure and every verdict in words."""
