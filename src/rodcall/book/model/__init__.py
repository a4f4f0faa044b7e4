"""The data of a book: the kinds of entry, the job, its grid and its terms."""
