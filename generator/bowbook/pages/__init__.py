"""One module per kind of page, and what all pages share: addresses, theme, stories, photos, data files."""
