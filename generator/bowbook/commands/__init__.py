"""One module per command: read the words given, call the rooms, print what they say."""
