"""What comes from elsewhere into this book: tables of old notes, sessions from the field, stock of a friend's file."""
