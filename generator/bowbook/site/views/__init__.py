"""One module per kind of page: `view(facts)` gives its template words, places and pictures; it decides nothing."""
