"""What may be written: the kinds of entry, the job, its grid and its terms."""
