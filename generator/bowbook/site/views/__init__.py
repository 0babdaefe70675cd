"""One module per kind of page: `view(facts)` gives its template plain words, places and pictures; it decides nothing."""
