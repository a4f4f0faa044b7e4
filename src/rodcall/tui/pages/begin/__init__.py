"""Before a job is open: the list of jobs, and the form for a new one."""
