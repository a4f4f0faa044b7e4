"""The job file on the disk: written whole or not at all, journaled, locked, recovered."""
