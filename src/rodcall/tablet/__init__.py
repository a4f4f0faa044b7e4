"""Data of this tablet: the folder of jobs, settings, samples, crash reports."""
