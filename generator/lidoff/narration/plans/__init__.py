"""What can be said of an entry, a module for each of the reader's questions."""
