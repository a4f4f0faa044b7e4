"""What follows from the entries, one at a time: the page and its rounds."""
