"""Files of others read into a job: points, readings with times, tables, surfaces; shown before anything is written."""
