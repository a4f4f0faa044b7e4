"""What follows from the book: pure functions of numpy arrays and lengths; no file, no clock."""
