"""Other people's and older records into this book: tables of old notes, and stock that a friend's file brings."""
