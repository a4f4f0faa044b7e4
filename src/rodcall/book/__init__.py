"""The field book: entries in order, the page computed from them, and the job file."""
