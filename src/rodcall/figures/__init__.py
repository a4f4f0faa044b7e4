"""All figures of a job: pure functions of numpy arrays and lengths; no file, no clock."""
