"""What belongs to this tablet and not to a job: where jobs are kept, settings, samples, crash reports."""
