"""The steps from one form of the book to the next; frozen once released."""
