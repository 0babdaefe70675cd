"""The site on this machine while its maker works on it: watch, publish, serve, reload."""
